"""Sentences for what does not fit the model, in the words of the schema."""

import re
from collections.abc import Callable, Mapping
from typing import Any, Final

from tidalbay.case.moments import moment_fault
from tidalbay.case.schema import fragment
from tidalbay.case.yaml_tree import Path, Span, Tree
from tidalbay.catalogue.fault import Fault, choice_fault, did_you_mean, number_fault, said
from tidalbay.catalogue.patients import number_hint

_MOST_LISTED: Final = 30
_WORDS_FOR_BOOL: Final = {"yes": "true", "on": "true", "no": "false", "off": "false"}


def fault_of(tree: Tree, path: Path, kind: str) -> tuple[Span, Fault]:
    """Return where and what is wrong, for an error of the model.

    Parameters
    ----------
    tree : Tree
        What the file says.
    path : path
        Where the model found the error.
    kind : str
        The model's word for it.
    """
    path = tuple(step.rstrip() if isinstance(step, str) else step for step in path)
    if path and isinstance(path[-1], int) and isinstance(value_at(tree, path[:-1]), str):
        path = path[:-1]  # one word where a list may stand
    if kind == "missing" and path and isinstance(path[-1], str):
        return name_span(tree, path[:-1]), _missing(path)
    if kind == "extra_forbidden":
        return name_span(tree, path), _extra(path)
    if kind in ("missing", "too_short", "too_long", "unexpected_positional_argument"):
        path = path[:-1] if path and isinstance(path[-1], int) else path
        return value_span(tree, path), _length(path, value_at(tree, path))
    return value_span(tree, path), _value_fault(path, value_at(tree, path), kind)


def value_span(tree: Tree, path: Path) -> Span:
    """Return where a value stands; where it is absent, the part it would stand in."""
    while path and path not in tree.values:
        path = path[:-1]
    return tree.values.get(path, Span(1, 1, 1))


def name_span(tree: Tree, path: Path) -> Span:
    """Return where the name of a value stands; for an item of a list, where the item begins."""
    return tree.names.get(path) or value_span(tree, path)


def value_at(tree: Tree, path: Path) -> Any:
    """Return the value at a path, or None."""
    here = tree.value
    for step in path:
        try:
            here = here[step]
        except (KeyError, IndexError, TypeError):
            return None
    return here


def shown(name: str, value: object, wanted: str) -> Fault:
    """Return the fault of a value of the wrong sort."""
    return Fault(name, f"{name} is {said(value)}" + ("" if value is None else f", not {wanted}"), wanted)


def listed(words: tuple[str, ...]) -> str:
    """Return words as a list, or nothing if there are too many to read."""
    return ", ".join(words) if len(words) <= _MOST_LISTED else ""


def _missing(path: Path) -> Fault:
    part, name = fragment(path[:-1]), str(path[-1])
    about = fragment(path).get("description", "")
    hint = f"write {name}: {about[:1].lower()}{about[1:].rstrip('.')}" if about else f"write {name}"
    return Fault(name, f"the {part.get('title', 'case')} lacks {name}", "", hint)


def _extra(path: Path) -> Fault:
    part, name = fragment(path[:-1]), str(path[-1])
    known = tuple(part.get("properties", {}))
    what = f"the {part.get('title', 'case')} has no {said(name)}"
    hint = did_you_mean(name, known)
    if part.get("title") in ("patient", "form's patient"):
        hint = number_hint(name) or hint
    return Fault(name, what, listed(known), hint)


def _length(path: Path, value: Any) -> Fault:
    name, part = _name(path), fragment(path)
    if not value:
        return Fault(name, f"{name} is empty")
    wanted = len(part.get("prefixItems", ()))
    return Fault(name, f"{name} holds {len(value)} value{'s' if len(value) != 1 else ''}", f"{wanted} values")


def _value_fault(path: Path, value: Any, kind: str) -> Fault:
    name, part = _name(path), fragment(path)
    worded = _BY_KIND.get(kind)
    fault = worded(name, value, part) if worded else None
    return fault or Fault(name, f"{name} is {said(value)}, which cannot be read here")


def _name(path: Path) -> str:
    if not path:
        return "the case"
    if isinstance(path[-1], str):
        return path[-1]
    return f"value {path[-1] + 1} of {path[-2]}" if len(path) > 1 else "an item"


def _text(name: str, value: Any, part: Mapping[str, Any]) -> Fault:
    if "enum" in part:
        return _word(name, value, part)
    fault = shown(name, value, "text")
    scalar = value is not None and not isinstance(value, dict | list)
    return Fault(name, fault.what, "text", "put it in quotes") if scalar else fault


def _empty(name: str, value: Any, part: Mapping[str, Any]) -> Fault:
    return Fault(name, f"{name} is empty")


def _long(name: str, value: Any, part: Mapping[str, Any]) -> Fault:
    return Fault(name, f"{name} is {len(value)} letters long", f"at most {part.get('maxLength')}")


def _id(name: str, value: Any, part: Mapping[str, Any]) -> Fault:
    would_do = re.sub(r"[^a-z0-9_-]+", "_", str(value).strip().lower()).strip("_-")
    hint = f"{would_do} would do" if would_do[:1].isalpha() and len(would_do) <= 60 else ""
    return Fault(name, f"{name} is {said(value)}", "small letters, digits, _ and -, a letter first", hint)


def _number(name: str, value: Any, part: Mapping[str, Any]) -> Fault:
    if "minimum" not in part:
        return shown(name, value, "a number")
    fault = number_fault(name, value, part["minimum"], part["maximum"], part.get("unit", ""))
    whole = f"{said(part['minimum'])} to {said(part['maximum'])}, whole"
    return fault or Fault(name, f"{name} is {said(value)}", whole)


def _yes_no(name: str, value: Any, part: Mapping[str, Any]) -> Fault:
    word = _WORDS_FOR_BOOL.get(str(value).lower(), "")
    hint = f"{value} is a word in this kind of file; write {word}" if word else ""
    return Fault(name, f"{name} is {said(value)}", "true, false", hint)


def _word(name: str, value: Any, part: Mapping[str, Any]) -> Fault:
    words = tuple(part.get("enum", ()))
    fault = choice_fault(name, value, words)
    if fault is None or listed(words):
        return fault or _empty(name, value, part)
    what = f"there is no {name} {said(value)}"
    return Fault(name, what, "", fault.hint or f"the page of cases lists all {len(words)}")


def _literal(name: str, value: Any, part: Mapping[str, Any]) -> Fault:
    if "const" not in part:
        return _word(name, value, part)
    newer = isinstance(value, int) and not isinstance(value, bool) and value > part["const"]
    hint = "the file was written for a newer version of this program" if newer else ""
    return Fault(name, f"{name} is {said(value)}", said(part["const"]), hint)


def _list(name: str, value: Any, part: Mapping[str, Any]) -> Fault:
    return shown(name, value, "a list")


def _mapping(name: str, value: Any, part: Mapping[str, Any]) -> Fault:
    return shown(name, value, "names and values")


def _moment(name: str, value: Any, part: Mapping[str, Any]) -> Fault:
    return moment_fault(name, value)


def _share(name: str, value: Any, part: Mapping[str, Any]) -> Fault:
    hint = f"write {value:g} %" if isinstance(value, int | float) and not isinstance(value, bool) else ""
    return Fault(name, f"{name} is {said(value)}, not a share of time", "0 % to 100 %, as in 70 %", hint)


def _range(name: str, value: Any, part: Mapping[str, Any]) -> Fault:
    return Fault(
        name, f"{name} is {said(value)}, not a range", "two numbers as in [88, 92], or ordered_range"
    )


_BY_KIND: Final[Mapping[str, Callable[[str, Any, Mapping[str, Any]], Fault]]] = {
    "string_type": _text,
    "string_too_short": _empty,
    "string_too_long": _long,
    "string_pattern_mismatch": _id,
    "float_type": _number,
    "int_type": _number,
    "int_from_float": _number,
    "finite_number": _number,
    "greater_than_equal": _number,
    "less_than_equal": _number,
    "bool_type": _yes_no,
    "one_of": _word,
    "literal_error": _literal,
    "tuple_type": _list,
    "model_type": _mapping,
    "model_attributes_type": _mapping,
    "dict_type": _mapping,
    "mapping_type": _mapping,
    "moment": _moment,
    "share": _share,
    "range": _range,
}
