"""A case file read into a case, or every error of it at once."""

import pathlib
from collections.abc import Callable, Iterable, Mapping
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from tidalbay.case.checks import check_act, check_acts, check_case
from tidalbay.case.model import Case, ScriptedAct
from tidalbay.case.parts import parts_of
from tidalbay.case.problem import CaseErrors, CaseProblem, whole_file
from tidalbay.case.procedures import procedures
from tidalbay.case.resolving import plain_setup
from tidalbay.case.source import Source, source_from_file, source_from_text
from tidalbay.case.words import fault_of, value_span
from tidalbay.case.yaml_tree import Path, Span, Tree, tree_from_source, tupled
from tidalbay.catalogue.fault import Fault


def load_case(path: pathlib.Path | str, school: pathlib.Path | None = None) -> Case:
    """Read a case from a file.

    Parameters
    ----------
    path : Path or str
    school : Path or None
        The folder of a school's own procedures, which stand in the place of the packaged ones.

    Raises
    ------
    CaseErrors
        With every error of the file, or of a file in that folder, each with its line.
    """
    if school is not None:
        procedures(school)
    return _case(source_from_file(path), school)


def read_case(text: str, name: str = "case") -> Case:
    """Read a case from text; `name` is what sentences call it. Raises `CaseErrors` as `load_case` does."""
    return _case(source_from_text(text, name))


def load_acts(path: pathlib.Path | str, case: Case) -> tuple[ScriptedAct, ...]:
    """Read a scripted run for a case from a file of its own: a list of acts, as under `paths`.

    Raises `CaseErrors` as `load_case` does.
    """
    return _acts(source_from_file(path), case)


def read_acts(text: str, name: str, case: Case) -> tuple[ScriptedAct, ...]:
    """Read a scripted run for a case from text; see `load_acts`."""
    return _acts(source_from_text(text, name), case)


def scripted_act(said: Mapping[str, Any], name: str = "act") -> ScriptedAct:
    """Make a scripted act from a mapping of what a file would say: `at`, `act`, `on` and arguments.

    Raises `CaseErrors` for an act that cannot be; whether its object is there only a case can tell.
    """
    tree = Tree(Source(name, "", ()), {"paths": {"run": [dict(said)]}}, {(): Span(0, 0, 1)})
    read = _modelled(tree, (*_RUN, 0), lambda: ScriptedAct.model_validate(tupled(dict(said))))
    check_act(tree, (*_RUN, 0), said)
    if read is None or tree.problems:
        raise CaseErrors(tree.problems)
    return read


def said_at(path: pathlib.Path | str, found: Iterable[tuple[Path, Fault]]) -> tuple[CaseProblem, ...]:
    """Return faults that were found by playing a case as problems of its file, each with its line."""
    tree = tree_from_source(source_from_file(path))
    for place, fault in found:
        tree.say(value_span(tree, place), fault)
    return tuple(tree.problems)


def _case(source: Source, school: pathlib.Path | None = None) -> Case:
    tree = tree_from_source(source)
    if not isinstance(tree.value, dict):
        raise _not_a(source, tree, "a case is names and values", "a case begins with schema: 1")
    case = _modelled(tree, (), lambda: Case.model_validate(tupled(tree.value)))
    check_case(tree, school)
    if case is None or tree.problems:
        raise CaseErrors(tree.problems)
    return case.with_text(source.text).of_school(school)


def _acts(source: Source, case: Case) -> tuple[ScriptedAct, ...]:
    tree = tree_from_source(source)
    if not isinstance(tree.value, list):
        what = "a file of acts is a list of acts"
        raise _not_a(source, tree, what, 'an act reads - {at: "0:30", act: order_read}')
    script = tree.value
    _reroot(tree, _RUN)
    read = _modelled(tree, _RUN, lambda: _SCRIPT.validate_python(tupled(script)))
    written = plain_setup(case.setup)
    check_acts(
        tree, _RUN, script, parts_of(written), round(case.minutes * 60_000), [e.id for e in case.events]
    )
    if read is None or tree.problems:
        raise CaseErrors(tree.problems)
    return read


# A script in a file of its own is checked as if it stood in a case, where the schema has words for it.
_RUN: Path = ("paths", "run")
_SCRIPT = TypeAdapter(tuple[ScriptedAct, ...])

Read = TypeVar("Read")


def _modelled(tree: Tree, under: Path, read: Callable[[], Read]) -> Read | None:
    """Read into the model; what does not fit becomes problems of the tree, and None comes back."""
    try:
        return read()
    except ValidationError as errors:
        for error in errors.errors(include_url=False, include_context=False, include_input=False):
            tree.say(*fault_of(tree, (*under, *error["loc"]), error["type"]))
    return None


def _not_a(source: Source, tree: Tree, what: str, hint: str) -> CaseErrors:
    if tree.value is None and not tree.problems:
        return whole_file(source.name, "the file is empty", hint)
    holds = "names and values" if isinstance(tree.value, dict) else "one value"
    holds = "a list" if isinstance(tree.value, list) else holds
    fault = Fault("", f"{what}, and this file holds {holds}", "", hint)
    return CaseErrors([*tree.problems, source.problem(*value_span(tree, ()), fault)])


def _reroot(tree: Tree, under: Path) -> None:
    tree.value = {under[0]: {under[1]: tree.value}}
    tree.values = {(*under, *path): span for path, span in tree.values.items()}
    tree.names = {(*under, *path): span for path, span in tree.names.items()}
