"""YAML as plain values, each with its place in the file, so that every sentence can point.

The parser's events are put together here and not by its own constructor, which stops at the first doubled
name, follows references and builds objects from tags. A case needs none of that: it is text, numbers, yes or
no, lists and mappings (the core schema of YAML 1.2).
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Final, NamedTuple, TypeAlias

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError

from tidalbay.case.problem import CaseErrors, CaseProblem
from tidalbay.case.source import Source
from tidalbay.catalogue.fault import Fault

Path: TypeAlias = tuple[str | int, ...]

DEEPEST: Final = 40

_WHOLE = re.compile(r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+")
_NUMBER = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_NOT_FINITE = re.compile(r"[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)")
_WORDS: Final[dict[str, Any]] = {"": None, "~": None} | {
    spelt: value
    for word, value in (("null", None), ("true", True), ("false", False))
    for spelt in (word, word.capitalize(), word.upper())
}


class Span(NamedTuple):
    """Where something stands: line and column from 1, and how wide it is."""

    line: int
    col: int
    width: int


@dataclass
class Tree:
    """What a file says, and where.

    Attributes
    ----------
    value
        Dictionaries, lists and scalars.
    values, names : dict
        Where each value stands, and each name of a mapping, by its path.
    problems : list
        What was wrong in the reading itself; the rest of the file was read all the same.
    """

    source: Source
    value: Any = None
    values: dict[Path, Span] = field(default_factory=dict)
    names: dict[Path, Span] = field(default_factory=dict)
    problems: list[CaseProblem] = field(default_factory=list)

    def say(self, span: Span, fault: Fault) -> None:
        """Keep a fault as a problem at a place."""
        self.problems.append(self.source.problem(span.line, span.col, span.width, fault))


@dataclass
class _Open:
    """A mapping or list that is being read: its items so far, its path, and the name waiting for a value."""

    items: dict[str, Any] | list[Any]
    path: Path
    name: str | None = None

    def next_path(self) -> Path:
        """Where the value that comes next will stand."""
        return (*self.path, len(self.items) if self.name is None else self.name)


def tupled(value: Any) -> Any:
    """The same value with tuples for lists, which the frozen model holds."""
    if isinstance(value, dict):
        return {name: tupled(item) for name, item in value.items()}
    return tuple(tupled(item) for item in value) if isinstance(value, list) else value


def tree_from_source(source: Source) -> Tree:
    """Read YAML into a tree; raise `CaseErrors` for text that is not YAML at all."""
    tree = Tree(source)
    try:
        _read(tree)
    except MarkedYAMLError as problem:
        raise CaseErrors([*tree.problems, _syntax_problem(source, problem)]) from None
    except YAMLError as problem:
        raise CaseErrors([source.problem(1, 1, 1, Fault("", f"the file is not YAML ({problem})"))]) from None
    return tree


def _read(tree: Tree) -> None:
    stack: list[_Open] = []
    documents = 0
    for event in _events(tree.source.text):
        kind = type(event).__name__
        if kind == "DocumentStartEvent":
            documents += 1
            if documents > 1:
                tree.say(
                    _span(event), Fault("", "a second document begins here", "", "a file holds one case")
                )
                return
        elif kind in ("MappingEndEvent", "SequenceEndEvent"):
            stack.pop()
        elif kind in ("MappingStartEvent", "SequenceStartEvent", "ScalarEvent", "AliasEvent"):
            _take(tree, stack, event, kind)


def _events(text: str) -> Iterator[Any]:
    yield from YAML(typ="safe", pure=True).parse(text)


def _take(tree: Tree, stack: list[_Open], event: Any, kind: str) -> None:
    top = stack[-1] if stack else None
    if top is not None and isinstance(top.items, dict) and top.name is None:
        _take_name(tree, top, event, kind)
        return
    path = () if top is None else top.next_path()
    _refuse_marks(tree, event, kind)
    value = _value(event, kind)
    span = _span(event)
    is_empty = kind == "ScalarEvent" and event.start_mark.index == event.end_mark.index
    tree.values[path] = tree.names.get(path, span) if is_empty else span  # nothing stands there to point at
    if top is None:
        tree.value = value
    elif isinstance(top.items, list):
        top.items.append(value)
    else:
        _put(top, value)
    if kind in ("MappingStartEvent", "SequenceStartEvent"):
        if len(stack) >= DEEPEST:
            fault = Fault(
                "", f"the file is nested deeper than {DEEPEST} levels", "", "a case needs about six"
            )
            raise CaseErrors([*tree.problems, tree.source.problem(*_span(event), fault)])
        stack.append(_Open(value, path))


def _take_name(tree: Tree, top: _Open, event: Any, kind: str) -> None:
    if kind != "ScalarEvent":
        fault = Fault(
            "", "a name is one word, not a list or a mapping", "", "put text that holds { or [ in quotes"
        )
        raise CaseErrors([*tree.problems, tree.source.problem(*_span(event), fault)])
    _refuse_marks(tree, event, kind)
    name = event.value
    if not isinstance(_value(event, kind), str):
        what = f"the name {name or 'left empty'} is not text"
        tree.say(_span(event), Fault("", what, "", "names are words; put it in quotes if it is meant"))
    path = (*top.path, name)
    if path in tree.names:
        first = tree.names[path].line
        tree.say(
            _span(event), Fault("", f"{name} is said twice; the first time in line {first}", "", "keep one")
        )
        top.name = _spare_name(top, name)
        return
    tree.names[path] = _span(event)
    top.name = name


def _spare_name(top: _Open, name: str) -> str:
    """A name no file can hold, under which the second of two is read and then forgotten."""
    return f"\0{name}"


def _put(top: _Open, value: Any) -> None:
    if isinstance(top.items, dict) and top.name is not None and not top.name.startswith("\0"):
        top.items[top.name] = value
    top.name = None


def _refuse_marks(tree: Tree, event: Any, kind: str) -> None:
    if kind == "AliasEvent" or event.anchor is not None:
        sign = "*" if kind == "AliasEvent" else "&"
        what = f"{sign}{event.anchor} refers to another part of the file"
        tree.say(_span(event), Fault("", what, "", "a case says everything where it stands; write it out"))
    elif event.tag is not None and event.tag != "!":
        tree.say(_span(event), Fault("", f"the tag {event.tag} has no meaning in a case", "", "take it out"))


def _value(event: Any, kind: str) -> Any:
    if kind == "MappingStartEvent":
        return {}
    if kind == "SequenceStartEvent":
        return []
    if kind == "AliasEvent":
        return None
    if event.style in ("'", '"', "|", ">"):
        return event.value
    return _plain_scalar(event.value)


def _plain_scalar(text: str) -> Any:
    """Read an unquoted word as the core schema does."""
    if text in _WORDS:
        return _WORDS[text]
    if _WHOLE.fullmatch(text):
        return int(text, 0 if text[:2] in ("0o", "0x") else 10) if len(text) <= 18 else float(text)
    if _NUMBER.fullmatch(text) or _NOT_FINITE.fullmatch(text):
        return float(text.replace(".inf", "inf").replace(".nan", "nan").replace(".I", "I").replace(".N", "N"))
    return text


def _span(event: Any) -> Span:
    start, end = event.start_mark, event.end_mark
    width = end.column - start.column if end.line == start.line else 1
    return Span(start.line + 1, start.column + 1, max(1, width))


_NOT_CLOSED: Final = (
    "a bracket or brace that opens is not closed",
    "close it, and put commas between its items",
)

# What the parser says, what is wrong, and what a teacher can do about it.
_SYNTAX: Final[tuple[tuple[str, str, str], ...]] = (
    (
        "mapping values are not allowed",
        "a colon stands where no value can begin",
        "put text that holds a colon in quotes, or indent the line like its neighbours",
    ),
    ("could not find expected ':'", "this line has no colon after its name", "write name: value"),
    (
        "expected <block end>",
        "this line is indented unlike its neighbours",
        "names of one block begin in one column",
    ),
    ("unexpected end of stream", "a quote that opens is never closed", "close it, or take it out"),
    ("expected ',' or", *_NOT_CLOSED),
    ("did not find expected", *_NOT_CLOSED),
    ("expected the node content", "a value is expected here", "put the value in quotes"),
    ("cannot start any token", "a value cannot begin with this character", "put the value in quotes"),
)


def _syntax_problem(source: Source, problem: MarkedYAMLError) -> CaseProblem:
    said = f"{problem.context or ''} {problem.problem or ''}"
    for words, what, hint in _SYNTAX:
        if words in said:
            opens = "never closed" in what or "not closed" in what
            mark = problem.context_mark if opens and problem.context_mark else problem.problem_mark
            return _problem_at_mark(source, mark, Fault("", what, "", hint))
    return _problem_at_mark(
        source, problem.problem_mark, Fault("", f"this cannot be read as YAML ({said.strip()})")
    )


def _problem_at_mark(source: Source, mark: Any, fault: Fault) -> CaseProblem:
    line = min(mark.line + 1, len(source.lines)) if mark else 1
    return source.problem(line, mark.column + 1 if mark else 1, 1, fault)
