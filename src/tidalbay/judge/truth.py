"""Forms that ask whether what was written or read out was so: some reading lately agreed with it."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from tidalbay.case.criteria import ORDERED_RANGE, Agreement, Charted, Form
from tidalbay.catalogue.acts import as_written
from tidalbay.catalogue.chart_forms import chart_forms
from tidalbay.judge.order import absent_words, worst
from tidalbay.judge.record import Done, Record
from tidalbay.judge.verdict import CANNOT, MET, NOT_MET, Evidence, Finding
from tidalbay.judge.words import about, argument_words, clock, number, told, upper


def charted(record: Record, form: Form, if_never: str | None) -> Finding:
    """Something was written down: with the fields asked for, in a range, in agreement with what was shown."""
    said = form.charted
    assert said is not None
    entries = [d for d in record.acts if d.kind == "charted" and d.values.get("form") == said.form]
    if not entries and form.agrees_with is not None and if_never is None:
        return Finding(CANNOT, "Nothing was written down that could be held against the record.")
    if not entries:
        return absent_words(record, f"wrote down the {form_words(said.form)}", if_never)
    return _entry(record, said, form.agrees_with, entries)


def read_out(record: Record, form: Form, if_never: str | None) -> Finding:
    """Every number that was read out agreed with what was shown."""
    assert form.said is not None
    looks = [d for d in record.acts if d.kind == "observed" and d.values.get("what") == form.said.what]
    if not looks and form.agrees_with is not None and if_never is None:
        return Finding(CANNOT, "Nothing was read out that could be held against the record.")
    if not looks:
        return absent_words(record, f"read out {_words(form.said.what)}", if_never)
    if form.agrees_with is None:
        first = looks[0]
        return Finding(MET, f"{upper(told(first))}.", evidence=Evidence((first.n,)))
    name = _words(form.said.what)
    return worst([_agrees(record, form.agrees_with, d, d.values.get("found"), name) for d in looks])


def _entry(record: Record, said: Charted, agreement: Agreement | None, entries: list[Done]) -> Finding:
    found = []
    for done in entries:
        fields = done.values.get("fields", {})
        if said.has:
            found.append(_complete(said, done, fields))
        if said.field is not None:
            found.append(_field(record, said, agreement, done, fields.get(said.field)))
    if said.has and said.field is None:  # one complete entry will do
        return max(found, key=lambda each: (each.verdict == MET, -len(each.why)))
    if not found:
        why = f"Written down at {clock(entries[0].t_s)}: {form_words(said.form)}."
        return Finding(MET, why, evidence=Evidence((entries[0].n,)))
    return worst(found)


def _complete(said: Charted, done: Done, fields: Mapping[str, Any]) -> Finding:
    missing = [name for name in said.has if fields.get(name) in (None, "")]
    evidence = Evidence((done.n,))
    if missing:
        names = _listed([field_words(said.form, name) for name in missing])
        return Finding(NOT_MET, f"The entry of {clock(done.t_s)} lacks {names}.", evidence=evidence)
    return Finding(
        MET, f"The entry of {clock(done.t_s)} has everything that is asked for.", evidence=evidence
    )


def _field(record: Record, said: Charted, agreement: Agreement | None, done: Done, value: object) -> Finding:
    evidence = Evidence((done.n,))
    name = field_words(said.form, said.field or "")
    if value in (None, ""):
        return Finding(NOT_MET, f"The entry of {clock(done.t_s)} lacks {name}.", evidence=evidence)
    if agreement is not None:
        return _agrees(record, agreement, done, value, name)
    if said.within is None:
        return Finding(MET, f"{upper(name)} was written at {clock(done.t_s)}: {value}.", evidence=evidence)
    low, high = record.case["order"]["target_spo2_pct"] if said.within == ORDERED_RANGE else said.within
    written = as_number(value)
    if written is None:
        return Finding(NOT_MET, f"{upper(name)} was written as {value}, not a number.", evidence=evidence)
    margin = min(written - low, high - written)
    why = f"{upper(name)} was written as {number(written)}; asked {number(low)} to {number(high)}."
    return Finding(MET if margin >= 0 else NOT_MET, why, margin, "points", None, evidence)


def _agrees(record: Record, said: Agreement, done: Done, value: object, name: str) -> Finding:
    evidence = Evidence((done.n,))
    how = "Written down" if done.kind == "charted" else "Read out"
    number_said = as_number(value)
    if number_said is None:
        why = (
            f"{how} at {clock(done.t_s)} as {name}: “{value}”, which is no number to hold against the record."
        )
        return Finding(CANNOT, why, evidence=evidence)
    shown = record.reading(said.reading, said.on)
    if shown is None:
        return Finding(CANNOT, f"The record does not follow {about(said.reading)}.", evidence=evidence)
    was = f"{how} at {clock(done.t_s)}: {name} {number(number_said)}"
    since_s = done.t_s - said.lately_ms / 1000.0
    rows = np.flatnonzero((record.clock >= since_s) & (record.clock <= done.t_s) & ~np.isnan(shown))
    if not len(rows):
        return Finding(NOT_MET, f"{was}. Nothing was shown then that it could be.", evidence=evidence)
    nearest = int(rows[np.argmin(np.abs(shown[rows] - number_said))])
    off = abs(float(shown[nearest]) - number_said)
    margin = said.within_points - off
    reading = (said.reading, float(record.clock[nearest]), float(shown[nearest]))
    why = f"{was}; shown then: {number(float(shown[nearest]))}"
    why += "." if margin >= 0 else f", and no more than {number(said.within_points)} apart is allowed."
    verdict = MET if margin >= 0 else NOT_MET
    return Finding(verdict, why, margin, "points", None, Evidence((done.n,), (), (reading,)))


def as_number(value: object) -> float | None:
    """A number as it was written, also as text; None where it is none."""
    if isinstance(value, bool):
        return None
    if isinstance(value, int | float):
        return float(value)
    try:
        return float(str(value).strip().rstrip("%").replace(",", "."))
    except ValueError:
        return None


def form_words(form: str) -> str:
    """A form of the chart as it is called."""
    known = chart_forms().get(form)
    return known.title.lower() if known else _words(form)


def field_words(form: str, field: str) -> str:
    """A field of a form as it is called."""
    known = chart_forms().get(form)
    words = next((each.words for each in known.fields if each.name == field), "") if known else ""
    return words[:1].lower() + words[1:] if words else argument_words(field)


def _words(name: str) -> str:
    return as_written(name)


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
