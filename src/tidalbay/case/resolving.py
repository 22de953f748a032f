"""A case resolved: every preset and default written out, as the plain data a recording keeps."""

import hashlib
import json
from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel

from tidalbay.case.forms import FIRST_FORM, form_words
from tidalbay.case.model import Case, Condition, Event, ScriptedAct, Setup
from tidalbay.case.procedures import check_off_criteria, plain_criterion, procedures
from tidalbay.catalogue.causes import causes
from tidalbay.catalogue.digest import catalogue_sha256
from tidalbay.catalogue.drugs import drugs
from tidalbay.catalogue.nebulisers import nebuliser_kinds
from tidalbay.catalogue.patients import patient_numbers
from tidalbay.catalogue.supplies import concentrator_kinds

RESOLVED_VERSION = 1


def case_sha256(case: Case) -> str:
    """Return the SHA-256 of the text a case was read from, 64 hexadecimal digits.

    A case that was made in a program and not read has none; its resolved form is hashed instead.
    """
    if case.text_sha256:
        return case.text_sha256
    return hashlib.sha256(json.dumps(resolve(case), sort_keys=True, allow_nan=False).encode()).hexdigest()


def case_title(case: Case) -> str:
    """Return a case's title, with its form behind it unless it is the case as it is written."""
    return case.title if case.form == FIRST_FORM else f"{case.title}, {form_words(case.form)}"


def resolve(case: Case) -> dict[str, Any]:
    """Return a case with nothing left to look up: what a recording keeps in its first entry.

    Dictionaries, lists, text and numbers only. Numbers of the patient are merged from preset, case and
    formulas; times are in milliseconds. It holds: `version`, `id`, `title` (which names every form but
    the first), `form`, `teaches`, `setting`, `patient` (`name`, `born`, `identity_number`, `bed`, `says`,
    `preset`, `numbers`), `order`, `posture`, `setup` (as the equipment takes it), `minutes`, `paths`
    (acts as `acts_plain` gives them), `events` (`id`; one of `at_ms`, `when`, `after`, `by_hand`; `on`;
    `sets`, a list of `cause`, `value`, `strikes`, `time_constant_s`; `tells`), `check_off` (`procedure`,
    `urgent`, `criteria` as a file writes them, `decision`), `debrief` and `catalogue_sha256`. A `when`
    holds `reading`, `on`, `below`, `above`, `for_ms`, or else `acts` (a list of `act`, `on`, `values`)
    and `wait_ms`; an `after` holds `event` and `wait_ms`.
    """
    patient = case.patient
    return {
        "version": RESOLVED_VERSION,
        "id": case.id,
        "title": case_title(case),
        "form": case.form,
        "teaches": case.teaches,
        "setting": case.setting,
        "patient": {
            "name": patient.name,
            "born": patient.born,
            "identity_number": patient.identity_number,
            "bed": patient.bed,
            "says": patient.says,
            "preset": patient.preset,
            "numbers": patient_numbers(patient.preset, patient.numbers),
        },
        "order": _said(case.order),
        "posture": case.posture,
        "setup": plain_setup(case.setup),
        "minutes": case.minutes,
        "paths": {name: acts_plain(acts) for name, acts in case.paths.items()},
        "events": [_event(event) for event in case.events],
        "medicine": {
            "cup": next(iter(nebuliser_kinds().values())).numbers,
            "drugs": {name: drug.numbers for name, drug in drugs().items()},
        },
        "check_off": _check_off(case),
        "debrief": plain_criterion(case.debrief) if case.debrief is not None else {},
        "catalogue_sha256": catalogue_sha256(),
    }


def acts_plain(acts: tuple[ScriptedAct, ...]) -> list[dict[str, Any]]:
    """Return scripted acts as plain data: `at_ms`, `act`, `on`, `manner`, `by`, `values`."""
    return [
        {
            "at_ms": act.at_ms,
            "act": act.act,
            "on": act.on,
            "manner": act.manner,
            "by": act.by,
            "values": _listed(act.values),
        }
        for act in acts
    ]


def plain_setup(setup: Setup) -> dict[str, Any]:
    """Return a set-up as the equipment takes it: only what was written, and the scales of flowmeters."""
    said: dict[str, Any] = _said(setup)
    for supply in said.get("supplies", ()):
        if "flowmeter" in supply:
            built_in = concentrator_kinds().get(supply["kind"])
            supply["flowmeter"].setdefault("max_lpm", built_in.value("max_lpm") if built_in else 15.0)
    return said


def _check_off(case: Case) -> dict[str, Any]:
    """Criteria with their procedure's steps written out, so that a record keeps what it was judged by."""
    check_off = case.check_off
    if check_off is None:
        return {}
    named = check_off.procedure
    library = procedures(check_off.school)
    return {
        "procedure": {"id": named, "version": library[named].version} if named is not None else {},
        "urgent": check_off.urgent,
        "criteria": [plain_criterion(each) for each in check_off_criteria(check_off)],
        # Every rule, also those nobody wrote: what is usual may change, an old attempt's decision may not.
        "decision": check_off.decision.model_dump(),
    }


def _event(event: Event) -> dict[str, Any]:
    plain: dict[str, Any] = {"id": event.id}
    if event.at_ms is not None:
        plain["at_ms"] = event.at_ms
    if event.when is not None:
        plain["when"] = _condition(event.when)
    if event.after is not None:
        plain["after"] = {"event": event.after.event, "wait_ms": event.after.wait_ms}
    if event.by_hand:
        plain["by_hand"] = True
    sets = [
        {
            "cause": name,
            "value": value,
            "strikes": causes()[name].strikes,
            "time_constant_s": causes()[name].time_constant_s,
        }
        for name, value in event.sets.items()
    ]
    return plain | {"on": event.on, "sets": sets, "tells": event.tells}


def _condition(when: Condition) -> dict[str, Any]:
    if when.acts:
        waited = [{"act": act.act, "on": act.on, "values": _listed(act.values)} for act in when.acts]
        return {"acts": waited, "wait_ms": when.wait_ms}
    bounds = {name: getattr(when, name) for name in ("below", "above") if getattr(when, name) is not None}
    return {"reading": when.reading, "on": when.on, **bounds, "for_ms": when.for_ms}


def _said(part: BaseModel) -> dict[str, Any]:
    """Return what was written in a part, and in the parts of it; what was left empty was not."""
    written = {name: getattr(part, name) for name in type(part).model_fields if name in part.model_fields_set}
    return {name: _listed(value) for name, value in written.items() if value is not None}


def _listed(value: Any) -> Any:
    if isinstance(value, BaseModel):
        return _said(value)
    if isinstance(value, Mapping):
        return {name: _listed(item) for name, item in value.items()}
    if isinstance(value, tuple):
        return [_listed(item) for item in value]
    return value
