"""Nothing assumed decides a must: it stays undecided where an effect that the model assumes was at work."""

from collections.abc import Iterator
from typing import Final

from tidalbay.case.criteria import Criterion, Form
from tidalbay.catalogue.judged_readings import judged_readings
from tidalbay.judge.record import Record
from tidalbay.judge.verdict import CANNOT, NOT_MET, Finding

# What prongs turned upward cost was never measured; the effect is assumed (the prongs in devices.yaml).
UPWARD: Final = "up"


def undecided_where_assumed(record: Record, criterion: Criterion, finding: Finding) -> Finding:
    """The finding, or an undecided one where a reading broke a must while an assumed effect was at work."""
    if finding.verdict != NOT_MET or not any(_reads_the_patient(form) for form in _forms(criterion)):
        return finding
    at_work = list(assumed_spans(record))
    broken = finding.evidence.spans
    if not broken or not all(any(s < to and since < e for s, e in at_work) for since, to in broken):
        return finding
    why = "Not measured: it was broken only while the prongs pointed upward, and what that costs is assumed."
    return finding.turned(CANNOT, why)


def assumed_spans(record: Record) -> Iterator[tuple[float, float]]:
    """Stretches in which an assumed effect was at work. [s]"""
    since: float | None = None
    for done in record.acts:
        way = done.values.get("way")
        if done.kind in ("prongs_turned", "device_placed") and way == UPWARD:
            since = done.t_s if since is None else since
        elif since is not None and (done.kind == "device_removed" or way is not None):
            yield (since, done.t_s)
            since = None
    if since is not None:
        yield (since, record.end_s)
    for event in record.case.get("events", ()):
        if "at_ms" in event and any(c["cause"] == "prongs_upside_down" and c["value"] for c in event["sets"]):
            yield (event["at_ms"] / 1000.0, record.end_s)


def _forms(form: Form) -> Iterator[Form]:
    yield form
    for part in form.parts:
        yield from _forms(part)


def _reads_the_patient(form: Form) -> bool:
    names = [said.name for said in (form.always, form.reading) if said is not None]
    names += [form.never.reading] if form.never and form.never.reading else []
    return any(judged_readings()[name].of == "patient" for name in names)
