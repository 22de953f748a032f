"""What must agree within a case, though each part of it is well written by itself."""

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path as FilePath
from typing import Any

from tidalbay.case.check_off_checks import check_check_off
from tidalbay.case.form_checks import check_forms
from tidalbay.case.moments import ms_from_text, text_from_ms
from tidalbay.case.parts import Parts, mappings, parts_of
from tidalbay.case.set_up_checks import check_setup
from tidalbay.case.words import listed, name_span, value_span
from tidalbay.case.yaml_tree import Path, Tree
from tidalbay.catalogue.acts import acts, value_faults
from tidalbay.catalogue.causes import cause_fault, cause_value_fault, causes, condition_readings
from tidalbay.catalogue.fault import Fault, did_you_mean, is_number, number_fault, said
from tidalbay.catalogue.patients import field_fault, patient_faults, patient_fields, presets

LOGGED_BY_THE_PROGRAM = ("attempt_started", "attempt_ended")


def check_case(tree: Tree, school: FilePath | None = None) -> None:
    """Add to the tree's problems all that does not agree; parts that are not well written are passed over.

    Parameters
    ----------
    tree : Tree
    school : Path or None
        The folder of a school's own procedures.
    """
    case = tree.value
    _check_patient(tree, case.get("patient"))
    _check_order(tree, case)
    check_setup(tree, case.get("setup"))
    _check_events(tree, case)
    check_check_off(tree, case, school)
    check_forms(tree, case)
    paths = case.get("paths")
    for name in paths if isinstance(paths, dict) else ():
        check_acts(
            tree, ("paths", name), paths[name], parts_of(case.get("setup")), _last_ms(case), _event_ids(case)
        )


# --- patient and order ------------------------------------------------------------------------------------


def _check_patient(tree: Tree, patient: object) -> None:
    if not isinstance(patient, dict):
        return
    numbers = {name: value for name, value in patient.items() if name in patient_fields()}
    if isinstance(patient.get("preset"), str) and patient["preset"] in presets():
        faults = patient_faults(patient["preset"], numbers)
    else:
        found = (field_fault(patient_fields()[name], value) for name, value in numbers.items())
        faults = [fault for fault in found if fault]
    for fault in faults:
        path = ("patient", fault.name) if fault.name in patient else ("patient", "preset")
        tree.say(value_span(tree, path), fault)


def _check_order(tree: Tree, case: Mapping[str, Any]) -> None:
    order = case.get("order")
    if not isinstance(order, dict):
        return
    match order.get("target_spo2_pct"):
        case [int() | float() as low, int() | float() as high] if low >= high:
            fault = Fault("", f"target_spo2_pct goes from {said(low)} to {said(high)}", "the lower end first")
            tree.say(value_span(tree, ("order", "target_spo2_pct")), fault)
    flow, meters = order.get("flow_lpm"), parts_of(case.get("setup")).meters
    if is_number(flow) and meters and max(meters.values()) < flow <= 100:
        fault = _beyond_scale(flow, max(meters, key=lambda name: meters[name]), max(meters.values()))
        tree.say(value_span(tree, ("order", "flow_lpm")), fault)


def _beyond_scale(flow: object, meter: str, max_lpm: float) -> Fault:
    what = f"flow_lpm is {said(flow)} and the scale of {meter} ends at {said(max_lpm)} L/min"
    return Fault(
        "flow_lpm", what, f"0 to {said(max_lpm)} L/min", "a flowmeter with a larger max_lpm goes further"
    )


# --- events -----------------------------------------------------------------------------------------------


def _event_ids(case: Mapping[str, Any]) -> list[str]:
    ids = [event["id"] for _, event in mappings(case, "events") if isinstance(event.get("id"), str)]
    return list(dict.fromkeys(ids))


def _check_events(tree: Tree, case: Mapping[str, Any]) -> None:
    parts, ids = parts_of(case.get("setup")), _event_ids(case)
    seen: set[object] = set()
    for i, event in mappings(case, "events"):
        path: Path = ("events", i)
        if isinstance(event.get("id"), str):
            if event["id"] in seen:
                fault = Fault("", f"two events are called {event['id']}", "", "give each its own id")
                tree.say(value_span(tree, (*path, "id")), fault)
            seen.add(event["id"])
        _check_trigger(tree, path, event)
        _check_moment(tree, (*path, "at"), event.get("at"), _last_ms(case))
        _check_after(tree, path, event, ids)
        _check_condition(tree, (*path, "when"), event.get("when"), parts)
        _check_sets(tree, path, event, parts)
    _check_circles(tree, case)


def _check_trigger(tree: Tree, path: Path, event: Mapping[str, Any]) -> None:
    given = [name for name in ("at", "when", "after") if name in event]
    given += ["by_hand"] if event.get("by_hand") is True else []
    name = f"the event {said(event['id'])}" if "id" in event else "this event"
    if not given:
        fault = Fault(
            "", f"{name} never happens", "one of at, when, after, by_hand", "say when, or by_hand: true"
        )
        tree.say(value_span(tree, (*path, "id")), fault)
    elif len(given) > 1:
        fault = Fault("", f"{name} has {' and '.join(given)}", "one of at, when, after, by_hand")
        tree.say(name_span(tree, (*path, given[1])), fault)


def _check_after(tree: Tree, path: Path, event: Mapping[str, Any], ids: list[str]) -> None:
    after = event.get("after")
    other = after.get("event") if isinstance(after, dict) else None
    if isinstance(other, str) and other not in ids:
        fault = Fault("", f"there is no event {said(other)}", listed(tuple(ids)), did_you_mean(other, ids))
        tree.say(value_span(tree, (*path, "after", "event")), fault)


def _check_circles(tree: Tree, case: Mapping[str, Any]) -> None:
    """Find events that wait for each other, and so never happen; each circle is said once."""
    follows = {
        event["id"]: (event["after"].get("event"), i)
        for i, event in mappings(case, "events")
        if isinstance(event.get("id"), str) and isinstance(event.get("after"), dict)
    }
    said_already: set[str] = set()
    for start in follows:
        chain: list[str] = []
        here: Any = start
        while isinstance(here, str) and here in follows and here not in chain and here not in said_already:
            chain.append(here)
            here = follows[here][0]
        if isinstance(here, str) and here in chain:
            circle = chain[chain.index(here) :]
            tree.say(value_span(tree, ("events", follows[here][1], "after", "event")), _circle(circle))
        said_already.update(chain)


def _circle(circle: list[str]) -> Fault:
    if len(circle) == 1:
        what = f"the event {circle[0]} waits for itself, so it never happens"
        return Fault("", what, "", "let it happen at a time or when something is so")
    what = f"the events {', '.join(circle[:-1])} and {circle[-1]} wait for each other, so they never happen"
    return Fault("", what, "", "let one of them happen at a time or when something is so")


def _check_condition(tree: Tree, path: Path, when: object, parts: Parts) -> None:
    if not isinstance(when, dict):
        return
    if ("reading" in when) == ("acts" in when):
        fault = Fault(
            "", "a condition looks at one thing", "reading, or acts", "give it a reading or acts, not both"
        )
        tree.say(name_span(tree, path), fault)
    bounds = [name for name in ("below", "above") if name in when]
    if "reading" in when and not bounds:
        tree.say(name_span(tree, path), Fault("", "the condition has no bound", "below, above, or both"))
    reading = condition_readings().get(str(when.get("reading")))
    for name in bounds:
        if reading:
            _say(tree, (*path, name), number_fault(name, when[name], reading.low, reading.high, ""))
    if reading and reading.of == "patient" and "on" in when:
        fault = Fault("", f"{reading.id} is a reading of the patient, not of an object", "", "leave on out")
        tree.say(name_span(tree, (*path, "on")), fault)
    else:
        _check_object(tree, (*path, "on"), when.get("on"), parts)
    for i, pattern in mappings(when, "acts"):
        _check_pattern(tree, (*path, "acts", i), pattern)


def _check_pattern(tree: Tree, path: Path, pattern: Mapping[str, Any]) -> None:
    kind = acts().get(str(pattern.get("act")))
    values = {name: value for name, value in pattern.items() if name not in ("act", "on")}
    for fault in value_faults(kind, values) if kind else ():
        if fault.name in values:
            tree.say(_span_of_fault(tree, path, fault), fault)


def _check_sets(tree: Tree, path: Path, event: Mapping[str, Any], parts: Parts) -> None:
    sets = event.get("sets")
    for name, value in sets.items() if isinstance(sets, dict) else ():
        if fault := cause_fault(name):
            tree.say(name_span(tree, (*path, "sets", name)), fault)
        else:
            _say(tree, (*path, "sets", name), cause_value_fault(causes()[name], value))
    strikes_object = (
        any(name in causes() and causes()[name].on for name in sets) if isinstance(sets, dict) else True
    )
    if "on" in event and not strikes_object:
        fault = Fault("", "none of the causes set here strikes an object", "", "leave on out")
        tree.say(name_span(tree, (*path, "on")), fault)
    else:
        _check_object(tree, (*path, "on"), event.get("on"), parts)


def _check_object(tree: Tree, path: Path, on: object, parts: Parts, when: str = "") -> None:
    if isinstance(on, str) and not parts.has(on):
        known = parts.names()
        hint = did_you_mean(on, known) or ("" if known else "the set-up has no objects")
        tree.say(
            value_span(tree, path),
            Fault("", f"there is no {said(on)} here{when}", listed(tuple(known)), hint),
        )


# --- scripted acts ----------------------------------------------------------------------------------------


def check_acts(
    tree: Tree, path: Path, script: object, parts: Parts, last_ms: int | None, event_ids: Iterable[str]
) -> None:
    """Check a list of acts: arguments, objects, order in time, and the scales of flowmeters."""
    before_ms = 0
    for i, act in _acts_of(script):
        here = (*path, i)
        at_ms = ms_from_text(act.get("at"))
        _check_moment(tree, (*here, "at"), act.get("at"), last_ms)
        if at_ms is not None and at_ms < before_ms:
            what = f"at is {act['at']}, before the act above it at {text_from_ms(before_ms)}"
            fault = Fault("", what, "", "acts stand in the order of their times")
            tree.say(value_span(tree, (*here, "at")), fault)
        before_ms = max(before_ms, at_ms or 0)
        check_act(tree, here, act)
        _check_thrown(tree, here, act, list(event_ids))
        kind = acts().get(str(act.get("act")))
        if kind is None or not kind.brings:
            at = f" at {text_from_ms(at_ms)}" if at_ms is not None else ""
            _check_object(tree, (*here, "on"), act.get("on"), parts, at)
        parts.after(act)
        _check_scale(tree, here, act, parts)


def check_act(tree: Tree, path: Path, act: Mapping[str, Any]) -> None:
    """Check one act by itself: its arguments, and who may log it."""
    kind = acts().get(str(act.get("act")))
    if kind is None:
        return
    if kind.id in LOGGED_BY_THE_PROGRAM:
        fault = Fault("", f"{kind.id} is logged by the program itself", "", "take it out of the script")
        tree.say(value_span(tree, (*path, "act")), fault)
        return
    envelope = ("at", "act", "on", "manner", "by")
    values = {name: value for name, value in act.items() if name not in envelope}
    for fault in value_faults(kind, values):
        tree.say(_span_of_fault(tree, path, fault), fault)
    by = act.get("by", "learner")
    if isinstance(by, str) and by not in kind.by:
        fault = Fault(
            "", f"{kind.id} is not for a {by} to log", ", ".join(kind.by), f"write by: {kind.by[0]}"
        )
        tree.say(value_span(tree, (*path, "by" if "by" in act else "act")), fault)
    if "on" in act and not kind.on:
        fault = Fault("", f"{kind.id} is not done to an object", "", "leave on out")
        tree.say(name_span(tree, (*path, "on")), fault)


def _check_thrown(tree: Tree, path: Path, act: Mapping[str, Any], event_ids: list[str]) -> None:
    event = act.get("event") if act.get("act") == "event_thrown" else None
    if isinstance(event, str) and event not in event_ids:
        hint = did_you_mean(event, event_ids) if event_ids else "the case has no events"
        fault = Fault("", f"there is no event {said(event)}", listed(tuple(event_ids)), hint)
        tree.say(value_span(tree, (*path, "event")), fault)


def _check_scale(tree: Tree, path: Path, act: Mapping[str, Any], parts: Parts) -> None:
    flow = act.get("flow_lpm")
    meter = parts.meter_meant(act.get("on")) if act.get("act") == "flow_set" else None
    if meter is not None and is_number(flow) and parts.meters[meter] < flow <= 100:
        tree.say(value_span(tree, (*path, "flow_lpm")), _beyond_scale(flow, meter, parts.meters[meter]))


def _acts_of(script: object) -> Iterator[tuple[int, dict[str, Any]]]:
    return mappings({"acts": script}, "acts")


# --- what all of them need ----------------------------------------------------------------------------------


def _last_ms(case: Mapping[str, Any]) -> int | None:
    minutes = case.get("minutes")
    return round(minutes * 60_000) if is_number(minutes) and minutes > 0 else None


def _check_moment(tree: Tree, path: Path, at: object, last_ms: int | None) -> None:
    at_ms = ms_from_text(at)
    if at_ms is not None and last_ms is not None and at_ms > last_ms:
        what = f"at is {said(at)}, and the case ends at {text_from_ms(last_ms)}"
        tree.say(
            value_span(tree, path), Fault("", what, f"0:00 to {text_from_ms(last_ms)}", "or raise minutes")
        )


def _span_of_fault(tree: Tree, path: Path, fault: Fault) -> Any:
    """Point at the argument; at its name if the name is what is wrong, at the act if it lacks one."""
    if (*path, fault.name) not in tree.values:
        return value_span(tree, (*path, "act"))
    return (name_span if " has no " in fault.what else value_span)(tree, (*path, fault.name))


def _say(tree: Tree, path: Path, fault: Fault | None) -> None:
    if fault:
        tree.say(value_span(tree, path), fault)
