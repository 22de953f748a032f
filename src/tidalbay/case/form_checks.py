"""What must agree between a case and its parallel forms, as far as it shows without playing them."""

from collections.abc import Mapping
from typing import Any, Final

from tidalbay.case.forms import OTHER_FORMS
from tidalbay.case.moments import ms_from_text, text_from_ms
from tidalbay.case.parts import mappings
from tidalbay.case.words import listed, name_span, value_span
from tidalbay.case.yaml_tree import Path, Tree
from tidalbay.catalogue.causes import condition_readings
from tidalbay.catalogue.fault import Fault, did_you_mean, is_number, number_fault, said
from tidalbay.catalogue.patients import patient_faults, patient_fields, presets

# What marks a person in the corridor; each form has its own.
OWN: Final = ("name", "identity_number")


def check_forms(tree: Tree, case: Mapping[str, Any]) -> None:
    """Add to the tree's problems what cannot be in a form, or in a range that is believed."""
    patient = case.get("patient")
    own = patient if isinstance(patient, dict) else {}
    taken: dict[tuple[str, object], str] = {(name, own.get(name)): "form a, the case itself" for name in OWN}
    ids: set[object] = set()
    for i, form in mappings(case, "forms"):
        path: Path = ("forms", i)
        if form.get("id") in ids:
            free = next((id for id in OTHER_FORMS if id not in ids), "")
            fault = Fault(
                "", f"two forms are called {said(form['id'])}", "", f"{free} is free" if free else ""
            )
            tree.say(value_span(tree, (*path, "id")), fault)
        ids.add(form.get("id"))
        of = form.get("patient")
        if isinstance(of, dict):
            _check_own(tree, path, str(form.get("id")), of, taken)
            _check_numbers(tree, (*path, "patient"), of, patient)
        _check_flows(tree, (*path, "flows_lpm"), form.get("flows_lpm"), case)
    for i, row in mappings(case, "believed"):
        _check_believed(tree, ("believed", i), row, case)


def _check_own(
    tree: Tree, path: Path, id: str, of: Mapping[str, Any], taken: dict[tuple[str, object], str]
) -> None:
    for name in OWN:
        value = of.get(name)
        if not isinstance(value, str):
            continue
        other = taken.setdefault((name, value), f"form {id}")
        if other != f"form {id}":
            fault = Fault("", f"{name} is {said(value)}, as in {other}", "", f"give each form its own {name}")
            tree.say(value_span(tree, (*path, "patient", name)), fault)


def _check_numbers(tree: Tree, path: Path, of: Mapping[str, Any], patient: object) -> None:
    """Numbers must go together in one body, and stay with the sex that the case's words have."""
    if not isinstance(patient, dict) or patient.get("preset") not in presets():
        return
    numbers = {name: value for name, value in of.items() if name in patient_fields()}
    base = {name: value for name, value in patient.items() if name in patient_fields()}
    if "sex" in numbers:
        fault = Fault(
            "", "a form keeps the sex of the case", "", "its words say he or she; write a case of its own"
        )
        tree.say(name_span(tree, (*path, "sex")), fault)
    if patient_faults(patient["preset"], base):
        return  # said already, where the case itself says them
    for fault in patient_faults(patient["preset"], {**base, **numbers}):
        own = (*path, fault.name)
        tree.say(value_span(tree, own if fault.name in of else (*path, "name")), fault)


def _check_flows(tree: Tree, path: Path, flows: object, case: Mapping[str, Any]) -> None:
    if not isinstance(flows, dict):
        return
    ends = {}
    for _, supply in mappings(case.get("setup"), "supplies"):
        meter = supply.get("flowmeter")
        if isinstance(meter, dict):
            ends[meter.get("id") or f"{supply.get('id')}_flowmeter"] = meter.get("max_lpm", 15.0)
    for name, flow in flows.items():
        if name not in ends:
            known = tuple(ends)
            fault = Fault(
                "", f"the set-up has no flowmeter {said(name)}", listed(known), did_you_mean(name, known)
            )
            tree.say(name_span(tree, (*path, name)), fault)
        elif is_number(flow) and is_number(ends[name]):
            found = number_fault(str(name), flow, 0.0, float(ends[name]), "L/min")
            if found:
                tree.say(value_span(tree, (*path, name)), found)


def _check_believed(tree: Tree, path: Path, row: Mapping[str, Any], case: Mapping[str, Any]) -> None:
    paths = case.get("paths")
    known = tuple(paths) if isinstance(paths, dict) else ()
    if isinstance(row.get("path"), str) and row["path"] not in known:
        fault = Fault(
            "", f"there is no path {said(row['path'])}", listed(known), did_you_mean(row["path"], known)
        )
        tree.say(value_span(tree, (*path, "path")), fault)
    match row.get("between"):
        case [int() | float() as low, int() | float() as high] if low >= high:
            fault = Fault("", f"between goes from {said(low)} to {said(high)}", "the lower end first")
            tree.say(value_span(tree, (*path, "between")), fault)
        case [int() | float() as low, int() | float() as high]:
            reading = condition_readings().get(str(row.get("reading")))
            for end in (low, high):
                found = reading and number_fault("between", end, reading.low, reading.high, "")
                if found:
                    tree.say(value_span(tree, (*path, "between")), found)
    at_ms, minutes = ms_from_text(row.get("at")), case.get("minutes")
    if at_ms is not None and is_number(minutes) and at_ms > 60_000 * minutes > 0:
        last = text_from_ms(round(60_000 * minutes))
        what = f"at is {said(row['at'])}, and the case ends at {last}"
        tree.say(value_span(tree, (*path, "at")), Fault("", what, f"0:00 to {last}", "or raise minutes"))
