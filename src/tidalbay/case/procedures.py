"""The library of procedures: skills as steps, those that come with the package and a school's own.

A school puts its own files into one folder; a file with the id of a packaged one stands in its place. A
stored attempt keeps the text it was judged by, so a change here alters no result.
"""

from collections.abc import Mapping, Sequence
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
from tidalbay.case.problem import CaseErrors
from tidalbay.case.source import source_from_file
from tidalbay.case.yaml_tree import Span, Tree, tree_from_source, tupled
from tidalbay.catalogue.fault import Fault

_OWN = "tidalbay.catalogue"


class UnknownProcedureError(LookupError):
    """There is no procedure of that name."""


@cache
def procedures(school: Path | None = None) -> Mapping[str, Procedure]:
    """Every procedure by id; those of a school's folder stand in the place of the packaged ones.

    Raises
    ------
    CaseErrors
        With every error of a file, each with its line.
    """
    found = {}
    packaged = Path(str(files(_OWN))) / "procedures"
    for folder in (packaged, *([school] if school else [])):
        for path in sorted(folder.glob("*.yaml")):
            procedure = load_procedure(path)
            found[procedure.id] = procedure
    return found


def load_procedure(path: Path | str) -> Procedure:
    """Read a procedure from a file; raises `CaseErrors` as a case does."""
    source = source_from_file(path)
    tree = tree_from_source(source)
    read: Procedure | None = None
    try:
        read = Procedure.model_validate(tupled(tree.value))
    except ValidationError as errors:
        for error in errors.errors(include_url=False, include_context=False, include_input=False):
            where = tuple(error["loc"])
            tree.say(_span(tree, where), Fault("", f"{_dotted(where)}: {error['msg'].lower()}"))
    if read is not None:
        _check(tree, read)
    if read is None or tree.problems:
        raise CaseErrors(tree.problems)
    return read


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


def check_off_criteria(check_off: CheckOff, school: Path | None = None) -> tuple[Criterion, ...]:
    """What a case is judged by: its procedure's steps, then its own; its own take a step's place by id."""
    steps: dict[str, Criterion] = {}
    if check_off.procedure is not None:
        taken = steps_of(check_off.procedure, check_off.urgent, school)
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


def criterion_from_plain(said: Mapping[str, Any]) -> Criterion:
    """A criterion from what `plain_criterion` gave."""
    return Criterion.model_validate(tupled(dict(said)))


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
