"""Whether all that an entry or a handoff says is so: each number, the device, the score of the signs."""

from collections.abc import Iterator, Mapping
from typing import Any, Final

import numpy as np

from tidalbay.case.criteria import Form, Truth
from tidalbay.catalogue.chart_forms import ChartField, chart_forms
from tidalbay.catalogue.devices import device_kinds
from tidalbay.judge.early_signs import holds_signs, scale_of, score_at
from tidalbay.judge.order import absent_words, worst
from tidalbay.judge.record import NO_DEVICE, Done, Record
from tidalbay.judge.told_numbers import Told, told_in
from tidalbay.judge.truth import as_number, form_words
from tidalbay.judge.verdict import CANNOT, MET, NOT_MET, Evidence, Finding
from tidalbay.judge.words import about, clock, number
from tidalbay.science.warning import WarningRefusedError

HANDOFF: Final = "handoff"
_SIGN_OF: Final = {
    "rate_per_min": "rate_per_min",
    "spo2_pct": "spo2_shown_pct",
    "systolic_mmhg": "systolic_mmhg",
    "pulse_per_min": "heart_rate_per_min",
}


def truth(record: Record, form: Form, if_never: str | None) -> Finding:
    """Everything on a form, or told in a handoff, that the record can know agrees with it."""
    said = form.truth
    assert said is not None
    entries = [done for done in record.acts if _is_meant(done, said)]
    if not entries and if_never is None:
        return Finding(CANNOT, "Nothing was written down or told that could be held against the record.")
    if not entries:
        return absent_words(record, f"wrote down or told the {form_words(said.of)}", if_never)
    found = [each for done in entries for each in _held(record, said, done)]
    if not found:
        at = " and ".join(clock(done.t_s) for done in entries)
        return Finding(CANNOT, f"Nothing in what was said at {at} can be held against the record.")
    deciding = worst(found)
    if deciding.verdict != MET:
        return deciding
    evidence = Evidence()
    for each in found:
        evidence = evidence.with_others(each.evidence)
    return Finding(MET, " ".join(each.why for each in found), deciding.margin, deciding.unit, None, evidence)


def _is_meant(done: Done, said: Truth) -> bool:
    if said.of == HANDOFF and done.kind == "handoff_given":
        return True
    return done.kind == "charted" and done.values.get("form") == said.of


def _held(record: Record, said: Truth, done: Done) -> Iterator[Finding]:
    fields: Mapping[str, Any] = done.values.get("fields", {}) if done.kind == "charted" else done.values
    for field in chart_forms()[said.of].fields:
        value = fields.get(field.name)
        if not field.reading or value in (None, "") or (said.fields and field.name not in said.fields):
            continue
        yield from _field(record, said, done, field, value, fields)


def _field(
    record: Record, said: Truth, done: Done, field: ChartField, value: object, fields: Mapping[str, Any]
) -> Iterator[Finding]:
    name = field.words[:1].lower() + field.words[1:]
    if field.reading == "numbers":
        for told in told_in(str(value)):
            yield _told(record, said, done, told)
    elif field.reading == "early_warning":
        yield _score(record, done, as_number(value), fields)
    elif field.reading == "wearing":
        kinds = _kinds(str(value))
        if kinds:
            yield _told(record, said, done, Told("wearing", name, 0.0, kinds, str(value), 0.0, False))
    else:
        told_value = as_number(value)
        if told_value is not None:
            words = number(told_value)
            yield _told(
                record, said, done, Told(field.reading, name, told_value, (), words, field.within, False)
            )


def _told(record: Record, said: Truth, done: Done, told: Told) -> Finding:
    """One thing that was said, beside what was so then; what is said of earlier, beside all before."""
    since_s = 0.0 if told.is_past else done.t_s - said.lately_ms / 1000.0
    rows = np.flatnonzero((record.clock >= since_s) & (record.clock <= done.t_s))
    was = f"Said at {clock(done.t_s)}: {told.name} {told.words}{' earlier' if told.is_past else ''}"
    if told.kinds:
        return _device(record, done, told, rows, was)
    shown = record.reading(told.reading)
    if shown is None:
        return Finding(CANNOT, f"{was}. The record does not follow {about(told.reading)}.")
    rows = rows[~np.isnan(shown[rows])]
    evidence = Evidence((done.n,))
    if not len(rows):
        return Finding(NOT_MET, f"{was}. Nothing was shown then that it could be.", evidence=evidence)
    nearest = int(rows[np.argmin(np.abs(shown[rows] - told.value))])
    margin = told.within - abs(float(shown[nearest]) - told.value)
    when = "nearest before" if told.is_past else "in the record then"
    so = f"{was}; {when}: {number(float(shown[nearest]))}"
    reading = (told.reading, float(record.clock[nearest]), float(shown[nearest]))
    evidence = Evidence((done.n,), (), (reading,))
    if margin >= 0:
        return Finding(MET, f"{so}.", margin, "points", None, evidence)
    why = f"{so}, and no more than {number(told.within)} apart is allowed."
    return Finding(NOT_MET, why, margin, "points", None, evidence)


def _device(record: Record, done: Done, told: Told, rows: "np.ndarray[Any, Any]", was: str) -> Finding:
    evidence = Evidence((done.n,))
    worn = record.trace.seconds.get("wearing")
    if worn is None or not len(rows):
        return Finding(CANNOT, f"{was}. The record does not say what was worn then.", evidence=evidence)
    names = dict.fromkeys(str(worn[row]) for row in rows)
    if any(kind in name.split(" + ") for name in names for kind in told.kinds):
        return Finding(MET, f"{was}; so it was.", evidence=evidence)
    last = str(worn[rows[-1]])
    words = [device_kinds()[kind].words for kind in last.split(" + ") if kind in device_kinds()]
    on = "nothing was on" if last == NO_DEVICE else f"worn then: {' and '.join(words)}"
    return Finding(NOT_MET, f"{was}; {on}.", evidence=evidence)


def _score(record: Record, done: Done, written: float | None, fields: Mapping[str, Any]) -> Finding:
    """The score that was written, beside the one that the signs make by the scale of the order."""
    evidence = Evidence((done.n,))
    row = int(np.searchsorted(record.clock, done.t_s, side="right")) - 1
    if written is None or row < 0 or not holds_signs(record):
        return Finding(CANNOT, "The record does not hold the signs that the score needs.", evidence=evidence)
    asked = scale_of(record.case)
    try:
        by = {scale: _possible(record, row, scale, fields) for scale in (asked, 3 - asked)}
    except WarningRefusedError as refused:
        return Finding(CANNOT, str(refused).replace("\n", " "), evidence=evidence)
    off = min(abs(written - score) for score in by[asked])
    said = as_number(fields.get("scale"))
    used = f" by scale {said:g}" if said is not None else ""
    was = f"Said at {clock(done.t_s)}: early-warning score {written:g}{used}"
    if off == 0 and said in (None, asked):
        return Finding(MET, f"{was}; so it was by scale {asked}.", 0.0, "points", None, evidence)
    low, high = (float(each) for each in record.case["order"]["target_spo2_pct"])
    target = f"a target of {low:g} to {high:g} % asks for scale {asked}"
    right = f"by it the signs make {_some(by[asked])}, by the other {_some(by[3 - asked])}"
    return Finding(NOT_MET, f"{was}; {target}, and {right}.", -max(off, 1.0), "points", None, evidence)


def _possible(record: Record, row: int, scale: int, fields: Mapping[str, Any]) -> tuple[int, ...]:
    """Scores of the last half minute, with signs as they were written where those were so."""
    rows = range(max(0, row - 30), row + 1)
    shown = record.trace.seconds["spo2_shown_pct"]
    known = [each for each in rows if not np.isnan(shown[each])] or [row]
    read = dict(_read_truly(record, row, fields))
    return tuple(sorted({score_at(record, each, scale, read) for each in known}))


def _read_truly(record: Record, row: int, fields: Mapping[str, Any]) -> Iterator[tuple[str, float]]:
    within = {field.name: field.within for field in chart_forms()["early_warning_score"].fields}
    for name, sign in _SIGN_OF.items():
        value = as_number(fields.get(name))
        column = record.trace.seconds[sign][max(0, row - 30) : row + 1]
        if value is not None and np.nanmin(np.abs(column - value), initial=np.inf) <= within[name]:
            yield sign, value


def _some(scores: tuple[int, ...]) -> str:
    return str(scores[0]) if len(scores) == 1 else f"{scores[0]} to {scores[-1]}"


def _kinds(words: str) -> tuple[str, ...]:
    """Kinds of device that a written name may mean; none where nobody can tell."""
    text = words.strip().lower()
    exact = [kind.id for kind in device_kinds().values() if text in (kind.id, kind.words.lower())]
    if exact:
        return tuple(exact)
    return next((told.kinds for told in told_in(text) if told.kinds), ())
