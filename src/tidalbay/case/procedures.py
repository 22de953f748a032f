"""The library of procedures: skills as steps, those that come with the package and a school's own.

A school puts its own files into one folder; a file with the id of a packaged one stands in its place. A
stored attempt keeps the text it was judged by, so a change here alters no result.
"""

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError

from tidalbay.case.check_off import CheckOff, Procedure
from tidalbay.case.criteria import Criterion
from tidalbay.case.criteria_checks import Room, criterion_faults
from tidalbay.case.criteria_conflicts import together_faults
from tidalbay.case.moments import text_from_ms
from tidalbay.case.problem import CaseErrors, whole_file
from tidalbay.case.source import source_from_file
from tidalbay.case.words import fault_of
from tidalbay.case.yaml_tree import Span, Tree, tree_from_source, tupled
from tidalbay.catalogue.fault import Fault, did_you_mean, said

_OWN = "tidalbay.catalogue"
_CRITERIA = ("check_off", "criteria")


class UnknownProcedureError(LookupError):
    """There is no procedure of that name."""


@cache
def procedures(school: Path | None = None) -> Mapping[str, Procedure]:
    """Every procedure by id; those of a school's folder stand in the place of the packaged ones.

    Raises
    ------
    CaseErrors
        With every error of every file, each with its line; and where there is no such folder.
    """
    packaged = dict(_read(Path(str(files(_OWN))) / "procedures"))
    own = {} if school is None else _school_s(school)
    found = packaged | own
    library = {name: procedure for name, (procedure, _) in found.items()}
    for procedure, tree in (own or packaged).values():
        _check_includes(tree, procedure, library)
    problems = [problem for _, tree in found.values() for problem in tree.problems]
    if problems:
        raise CaseErrors(problems)
    return library


def _school_s(folder: Path) -> dict[str, tuple[Procedure, Tree]]:
    if not folder.is_dir():
        raise whole_file(str(folder), "there is no such folder", "name the one that holds your procedures")
    own = dict(_read(folder))
    if not own:
        raise whole_file(str(folder), "no procedure is in this folder", "its files end in .yaml")
    return own


def load_procedure(path: Path | str) -> Procedure:
    """Read a procedure from a file; raises `CaseErrors` as a case does."""
    read, tree = _read_one(path)
    if read is None or tree.problems:
        raise CaseErrors(tree.problems)
    return read


def _read(folder: Path) -> Iterator[tuple[str, tuple[Procedure, Tree]]]:
    """Every procedure of a folder, by its id; raises `CaseErrors` with the errors of all of its files."""
    read = [_read_one(path) for path in sorted(folder.glob("*.yaml"))]
    problems = [problem for _, tree in read for problem in tree.problems]
    if problems:
        raise CaseErrors(problems)
    yield from ((procedure.id, (procedure, tree)) for procedure, tree in read if procedure is not None)


def _read_one(path: Path | str) -> tuple[Procedure | None, Tree]:
    source = source_from_file(path)
    tree = tree_from_source(source)
    read: Procedure | None = None
    try:
        read = Procedure.model_validate(tupled(tree.value))
    except ValidationError as errors:
        for error in errors.errors(include_url=False, include_context=False, include_input=False):
            tree.say(*_worded(tree, tuple(error["loc"]), error["type"]))
    if read is not None:
        _check(tree, read)
    return read, tree


def _worded(tree: Tree, where: tuple[str | int, ...], kind: str) -> tuple[Span, Fault]:
    """An error of the model in words; that of a step as of a criterion in a case."""
    for place in (("urgent", "steps"), ("steps",)):
        if where[: len(place)] == place and len(where) > len(place):
            steps: Any = tree.value
            for step in place:
                steps = steps[step]
            moved = Tree(tree.source, {"check_off": {"criteria": steps}})
            for kept, into in ((tree.values, moved.values), (tree.names, moved.names)):
                into |= {
                    (*_CRITERIA, *p[len(place) :]): span
                    for p, span in kept.items()
                    if p[: len(place)] == place
                }
            return fault_of(moved, (*_CRITERIA, *where[len(place) :]), kind)
    name = str(where[-1]) if where else "the procedure"
    known = list(Procedure.model_fields)
    if kind == "missing":
        return _span(tree, where[:-1]), Fault(name, f"the procedure lacks {name}", "", f"write {name}")
    if kind == "extra_forbidden":
        what = f"the procedure has no {said(name)}"
        return _span(tree, where), Fault(name, what, ", ".join(known), did_you_mean(name, known))
    return _span(tree, where), Fault(
        name, f"{_dotted(where) or 'the file'} cannot be read as a procedure has it"
    )


def _check_includes(tree: Tree, procedure: Procedure, library: Mapping[str, Procedure]) -> None:
    """Procedures it takes over that are not there, circles, and steps left out that none of them has."""
    known = [name for name in library if name != procedure.id]
    for i, name in enumerate(procedure.includes):
        if name not in library:
            fault = Fault(
                "", f"there is no procedure {said(name)}", ", ".join(known), did_you_mean(name, known)
            )
            tree.say(_span(tree, ("includes", i)), fault)
        elif procedure.id in _all_included(name, library):
            fault = Fault("", f"{name} includes {procedure.id} in its turn", "", "leave one of the two out")
            tree.say(_span(tree, ("includes", i)), fault)
    if tree.problems:
        return
    has = {step.id for name in _all_included(procedure.id, library) for step in library[name].steps}
    for i, step in enumerate(procedure.without):
        if step not in has:
            fault = Fault(
                "", f"none of what it includes has a step {said(step)}", "", did_you_mean(step, sorted(has))
            )
            tree.say(_span(tree, ("without", i)), fault)


def _all_included(name: str, library: Mapping[str, Procedure]) -> set[str]:
    found, waiting = set[str](), [name]
    while waiting:
        here = waiting.pop()
        if here in library and here not in found:
            found.add(here)
            waiting.extend(library[here].includes)
    return found


def steps_of(name: str, urgent: bool = False, school: Path | None = None) -> tuple[Criterion, ...]:
    """The steps of a procedure with those it includes, each once, in the order in which they are listed.

    Parameters
    ----------
    name : str
        Id of the procedure.
    urgent : bool
        Whether oxygen cannot wait.
    school : Path or None
        A school's own folder.

    Raises
    ------
    UnknownProcedureError
        Where it, or one that it includes, is not there.
    """
    return tuple(_gathered(name, urgent, school, ()).values())


def check_off_criteria(check_off: CheckOff) -> tuple[Criterion, ...]:
    """What a case is judged by: its procedure's steps, then its own; its own take a step's place by id."""
    steps: dict[str, Criterion] = {}
    if check_off.procedure is not None:
        taken = steps_of(check_off.procedure, check_off.urgent, check_off.school)
        steps = {step.id: step for step in taken if step.id not in check_off.without}
    for criterion in check_off.criteria:
        steps[criterion.id] = criterion
    return tuple(steps.values())


def plain_criterion(part: BaseModel) -> dict[str, Any]:
    """A criterion as plain data under the names of a file, for a record; `Criterion` reads it back."""
    said = {}
    for name, field in type(part).model_fields.items():
        if name not in part.model_fields_set or name == "values":
            continue
        value = getattr(part, name)
        if value is not None:
            said[field.alias or name] = text_from_ms(value) if name.endswith("_ms") else _plain(value)
    return said | {name: _plain(value) for name, value in getattr(part, "values", {}).items()}


def criterion_from_plain(plain: Mapping[str, Any]) -> Criterion:
    """A criterion from what `plain_criterion` gave."""
    return Criterion.model_validate(tupled(dict(plain)))


def _plain(value: Any) -> Any:
    if isinstance(value, BaseModel):
        return plain_criterion(value)
    if isinstance(value, Mapping):
        return {name: _plain(item) for name, item in value.items()}
    return [_plain(item) for item in value] if isinstance(value, tuple | list) else value


def _gathered(name: str, urgent: bool, school: Path | None, above: Sequence[str]) -> dict[str, Criterion]:
    library = procedures(school)
    if name not in library:
        raise UnknownProcedureError(f"There is no procedure {name!r}; there are {', '.join(library)}.")
    if name in above:
        raise UnknownProcedureError(f"The procedure {name} includes itself, by way of {', '.join(above)}.")
    procedure = library[name]
    steps: dict[str, Criterion] = {}
    for other in procedure.includes:
        steps |= _gathered(other, urgent, school, (*above, name))
    for step in procedure.steps:
        steps[step.id] = step
    left_out = set(procedure.without)
    if urgent:
        left_out |= set(procedure.urgent.without)
        for step in procedure.urgent.steps:
            steps[step.id] = step
    return {step_id: step for step_id, step in steps.items() if step_id not in left_out}


def _check(tree: Tree, procedure: Procedure) -> None:
    for place, steps in ((("steps",), procedure.steps), (("urgent", "steps"), procedure.urgent.steps)):
        written: Any = tree.value
        for step in place:
            written = written.get(step, {}) if isinstance(written, dict) else {}
        for i, criterion in enumerate(steps):
            for inside, fault in criterion_faults(criterion, written[i], Room()):
                tree.say(_span(tree, (*place, i, *inside)), fault)
        for i, fault in together_faults(steps):
            tree.say(_span(tree, (*place, i)), fault)


def _span(tree: Tree, path: tuple[str | int, ...]) -> Span:
    while path and path not in tree.values:
        path = path[:-1]
    return tree.values.get(path, Span(1, 1, 1))


def _dotted(path: tuple[str | int, ...]) -> str:
    return ".".join(str(step) for step in path)
