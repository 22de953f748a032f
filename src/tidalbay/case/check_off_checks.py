"""The check-off of a case: its procedure, the steps left out, its own criteria, and all of them together."""

from collections.abc import Iterator, Mapping
from pathlib import Path as FilePath
from typing import Any

from pydantic import ValidationError

from tidalbay.case.criteria import Criterion
from tidalbay.case.criteria_checks import Room, criterion_faults
from tidalbay.case.criteria_conflicts import together_faults
from tidalbay.case.moments import ms_from_text, text_from_ms
from tidalbay.case.parts import Parts, mappings, parts_of
from tidalbay.case.procedures import UnknownProcedureError, plain_criterion, procedures, steps_of
from tidalbay.case.words import name_span, value_span
from tidalbay.case.yaml_tree import Path, Tree, tupled
from tidalbay.catalogue.fault import Fault, did_you_mean, is_number, said


def check_check_off(tree: Tree, case: Mapping[str, Any], school: FilePath | None = None) -> None:
    """Add to the tree's problems what does not agree in the check-off and the debrief."""
    said_of = case.get("check_off")
    if isinstance(said_of, dict):
        _check(tree, case, said_of, school)
    minutes = case.get("minutes")
    last_ms = round(minutes * 60_000) if is_number(minutes) and minutes > 0 else None
    for i, caption in mappings(case.get("debrief"), "captions"):
        at_ms = ms_from_text(caption.get("at"))
        if at_ms is not None and last_ms is not None and at_ms > last_ms:
            what = f"at is {said(caption['at'])}, and the case ends at {text_from_ms(last_ms)}"
            tree.say(value_span(tree, ("debrief", "captions", i, "at")), Fault("at", what))


def _check(
    tree: Tree, case: Mapping[str, Any], check_off: Mapping[str, Any], school: FilePath | None
) -> None:
    room = _room(case)
    taken = list(_taken(tree, check_off, school))
    own: list[tuple[int, Criterion]] = []
    for i, written in mappings(check_off, "criteria"):
        criterion = _read(written)
        if criterion is None:  # not well written; said already
            continue
        own.append((i, criterion))
        path: Path = ("check_off", "criteria", i)
        for inside, fault in criterion_faults(criterion, written, room):
            place = (*path, *inside)
            points_at_name = bool(inside) and fault.name == inside[-1]
            tree.say((name_span if points_at_name else value_span)(tree, place), fault)
    replaced = {criterion.id for _, criterion in own}
    kept = [step for step in taken if step.id not in replaced]
    for n, fault in together_faults([*kept, *(criterion for _, criterion in own)]):
        if n >= len(kept):
            i = own[n - len(kept)][0]
            inside = ("id",) if fault.name == "id" else ()
            tree.say(value_span(tree, ("check_off", "criteria", i, *inside)), fault)
    lacking = [
        (step, fault) for step in kept for _, fault in criterion_faults(step, plain_criterion(step), room)
    ]
    for step, fault in lacking:
        what = f"the step {step.id} of the procedure: {fault.what}"
        hint = f"give it its equipment, or write without: [{step.id}]"
        tree.say(value_span(tree, ("check_off", "procedure")), Fault("", what, fault.allowed, hint))


def _taken(tree: Tree, check_off: Mapping[str, Any], school: FilePath | None) -> Iterator[Criterion]:
    name = check_off.get("procedure")
    if not isinstance(name, str):
        return
    try:
        steps = steps_of(name, check_off.get("urgent") is True, school)
    except UnknownProcedureError:
        known = list(procedures(school))
        fault = Fault("", f"there is no procedure {said(name)}", ", ".join(known), did_you_mean(name, known))
        tree.say(value_span(tree, ("check_off", "procedure")), fault)
        return
    without = check_off.get("without")
    left_out = without if isinstance(without, list) else []
    ids = [step.id for step in steps]
    for i, step_id in enumerate(left_out):
        if isinstance(step_id, str) and step_id not in ids:
            fault = Fault(
                "", f"{name} has no step {said(step_id)}", ", ".join(ids), did_you_mean(step_id, ids)
            )
            tree.say(value_span(tree, ("check_off", "without", i)), fault)
    yield from (step for step in steps if step.id not in left_out)


def _read(written: Mapping[str, Any]) -> Criterion | None:
    try:
        return Criterion.model_validate(tupled(dict(written)))
    except ValidationError:
        return None


def _room(case: Mapping[str, Any]) -> Room:
    parts = parts_of(case.get("setup"))
    _bring(parts, case)
    minutes = case.get("minutes")
    last_ms = round(minutes * 60_000) if is_number(minutes) and minutes > 0 else None
    most_lpm = max(parts.meters.values(), default=0.0)
    return Room(tuple(parts.devices.values()), tuple(parts.names()), last_ms, most_lpm)


def _bring(parts: Parts, case: Mapping[str, Any]) -> None:
    """What the scripted runs bring is there as well."""
    paths = case.get("paths")
    for script in paths.values() if isinstance(paths, dict) else ():
        for _, act in mappings({"acts": script}, "acts"):
            parts.after(act)
