"""Forms that ask where a reading was, and for how long.

| form | formula | margin |
|---|---|---|
| while C always r | always(C implies r) | the worst distance from the bound; and for how long it was broken |
| never X | always(not X) | the worst distance from the bound; and the longest stretch |
| for at least p of W, r | share of W in which r holds is p or more | points of share |

A reading holds from its row until the next. One that was not available is in no range.
"""

from dataclasses import dataclass

import numpy as np

from tidalbay.case.criteria import ORDERED_RANGE, ActWanted, Form, Never, ReadingSaid, While, Window
from tidalbay.catalogue.devices import device_kinds
from tidalbay.catalogue.judged_readings import judged_readings
from tidalbay.judge.matching import arguments_are, matching
from tidalbay.judge.order import never_came
from tidalbay.judge.record import Done, Flags, Floats, Record
from tidalbay.judge.verdict import CANNOT, MET, NOT_MET, Evidence, Finding
from tidalbay.judge.words import about, bounds_words, clock, either, number, span, told, upper


@dataclass(frozen=True, slots=True)
class Level:
    """A reading with how far on the good side of its bounds it was, a value a row.

    Attributes
    ----------
    values, margins : arrays of one value a row
        NaN where the reading was not available. [its unit]
    is_so : array of bool
        Whether it was within its bounds.
    asked : str
        Its bounds in words.
    """

    name: str
    unit: str
    values: Floats
    margins: Floats
    is_so: Flags
    asked: str = ""


def always(record: Record, form: Form, if_never: str | None) -> Finding:
    """At every moment looked at, a reading is within its bounds."""
    assert form.always is not None
    worn = form.while_.wearing if form.while_ else ()
    level = level_of(record, form.always, worn)
    looked_at = _after_grace(record, moments(record, form.while_), form.grace_ms / 1000.0)
    return held(record, level, looked_at, form.longer_than_ms / 1000.0, if_never, form.always.name)


def never(record: Record, form: Form, if_never: str | None) -> Finding:
    """Something did not happen: an act, or a reading beyond a bound."""
    said = form.never
    assert said is not None
    if said.act:
        return _never_done(record, said, if_never)
    if said.reading is None:
        is_on = record.wearing(said.wearing)
        worn = Level("wearing", "", is_on.astype(float), np.where(is_on, -1.0, 1.0), ~is_on)
        every = np.ones(len(record.clock), dtype=bool)
        return _never_worn(record, worn, every, said)
    bounds = ReadingSaid(name=said.reading, on=said.on, at_most=said.above, at_least=said.below)
    level = level_of(record, bounds, said.wearing)
    looked_at = record.wearing(said.wearing) if said.wearing else np.ones(len(record.clock), dtype=bool)
    return held(record, level, looked_at, said.longer_than_ms / 1000.0, if_never, said.reading)


def for_at_least(record: Record, form: Form, if_never: str | None) -> Finding:
    """For a share of a stretch of time, a reading was within its bounds."""
    assert form.reading is not None
    assert form.for_at_least is not None
    level = level_of(record, form.reading, ())
    looked_at = within(record, form.during)
    looked_s = float(_lengths(record)[looked_at].sum())
    if level is None or looked_s <= 0.0:
        return _no_occasion(record, form.reading.name, if_never, level is None)
    so_s = float(_lengths(record)[looked_at & level.is_so].sum())
    points = 100.0 * (so_s / looked_s - form.for_at_least)
    verdict = MET if points >= -1e-9 else NOT_MET
    spans = _spans(record, looked_at & ~level.is_so)
    so_pct, asked_pct = f"{100.0 * so_s / looked_s:.0f} %", f"{100.0 * form.for_at_least:.0f} %"
    why = (
        f"{upper(about(level.name))} was {level.asked} for {span(so_s)} of {span(looked_s)}: {so_pct}, where "
        f"{asked_pct} is asked."
    )
    broken_s = max((to - since for since, to in spans), default=0.0)
    evidence = Evidence(spans=tuple(spans))
    if not record.has_ended:  # the share may still change either way
        return Finding(CANNOT, f"So far: {why}", points, "points", broken_s, evidence, is_open=True)
    return Finding(verdict, why, points, "points", broken_s, evidence)


def held(
    record: Record, level: Level | None, looked_at: Flags, forgiven_s: float, if_never: str | None, name: str
) -> Finding:
    """Whether a reading kept to its bounds at every moment looked at, breaks up to a length forgiven. [s]"""
    if level is None or not looked_at.any():
        return _no_occasion(record, name, if_never, level is None and bool(looked_at.any()))
    known = looked_at & ~np.isnan(level.margins)
    if not known.any():
        return Finding(CANNOT, f"{upper(about(name))} was not available at any moment looked at.")
    least = int(np.flatnonzero(known)[np.argmin(level.margins[known])])
    margin, at_s = float(level.margins[least]), float(record.clock[least])
    broken = [each for each in _spans(record, known & ~level.is_so) if each[1] - each[0] > forgiven_s]
    reading = (level.name, at_s, float(level.values[least]))
    unit = f" {level.unit}" if level.unit not in ("", "1") else ""
    if not broken:
        nearest = f"{number(float(level.values[least]))}{unit}"
        kept = f"{upper(about(name))} was {level.asked} all along"
        why = f"{kept}; nearest to the edge at {clock(at_s)}: {nearest}."
        return Finding(MET, why, margin, level.unit, 0.0, Evidence(readings=(reading,)))
    longest_s = max(to - since for since, to in broken)
    since_s = broken[0][0]
    why = (
        f"{upper(about(name))} was to be {level.asked}, and was not for {span(longest_s)} from "
        f"{clock(since_s)}; furthest off at {clock(at_s)}: {number(level.values[least])}{unit}."
    )
    return Finding(NOT_MET, why, margin, level.unit, longest_s, Evidence((), tuple(broken), (reading,)))


def level_of(record: Record, said: ReadingSaid, worn: tuple[str, ...]) -> Level | None:
    """A reading and how far within its bounds it was; None where the record does not follow it.

    Above the ordered range while no oxygen is given is no fault.
    """
    values = record.reading(said.name, said.on, worn)
    if values is None:
        return None
    margins = np.full(len(values), np.inf)
    is_so = ~np.isnan(values)
    for bound, is_strict, sign in (
        (said.above, True, 1.0),
        (said.at_least, False, 1.0),
        (said.below, True, -1.0),
        (said.at_most, False, -1.0),
    ):
        if bound is not None:
            margin = sign * (values - bound)
            margins, is_so = np.minimum(margins, margin), is_so & (margin > 0 if is_strict else margin >= 0)
    if said.within is not None:
        low, high = record.case["order"]["target_spo2_pct"] if said.within == ORDERED_RANGE else said.within
        above = (
            np.where(record.on_oxygen, high - values, np.inf)
            if said.within == ORDERED_RANGE
            else high - values
        )
        margin = np.minimum(values - low, above)
        margins, is_so = np.minimum(margins, margin), is_so & (margin >= 0)
    asked = bounds_words(said, record.case["order"]["target_spo2_pct"])
    return Level(said.name, judged_readings()[said.name].unit, values, margins, is_so, asked)


def moments(record: Record, said: While | None) -> Flags:
    """The rows that a criterion looks at."""
    flags = np.ones(len(record.clock), dtype=bool)
    if said is None:
        return flags
    if said.wearing:
        flags &= record.wearing(said.wearing)
    if said.reading is not None:
        level = level_of(record, said.reading, said.wearing)
        flags &= level.is_so if level is not None else False
    return flags & _between(record, said.after, said.until)


def within(record: Record, said: Window | None) -> Flags:
    """The rows of a stretch of the attempt."""
    if said is None:
        return np.ones(len(record.clock), dtype=bool)
    flags = _between(record, said.after, said.until)
    inside = np.flatnonzero(flags)
    if said.first_ms is not None and len(inside):
        flags &= record.clock < record.clock[inside[0]] + said.first_ms / 1000.0
    if said.last_ms is not None and len(inside):
        flags &= record.clock > record.clock[inside[-1]] - said.last_ms / 1000.0
    return flags


def _between(record: Record, after: ActWanted | None, until: ActWanted | None) -> Flags:
    flags = np.ones(len(record.clock), dtype=bool)
    since: Done | None = None
    if after is not None:
        since = next(iter(matching(record, after)), None)
        flags &= record.clock > since.t_s if since is not None else False
    if until is not None:
        later = (d for d in matching(record, until) if since is None or d.t_s >= since.t_s)
        if (end := next(later, None)) is not None:
            flags &= record.clock <= end.t_s
    return flags


def _never_worn(record: Record, worn: Level, looked_at: Flags, said: Never) -> Finding:
    found = held(record, worn, looked_at, said.longer_than_ms / 1000.0, None, "the device")
    names = either([device_kinds()[kind].words for kind in said.wearing])
    if found.verdict != NOT_MET:
        return found.turned(found.verdict, f"Never worn: {names}.")
    since_s = found.evidence.spans[0][0]
    return found.turned(NOT_MET, f"Worn for {span(found.broken_s or 0.0)} from {clock(since_s)}: {names}.")


def _never_done(record: Record, said: Never, if_never: str | None) -> Finding:
    """An act that must not be done, or not be done so: where it never was, how is no question."""
    kinds = [each for each in record.acts if each.kind in said.act]
    of_the_kind = [each for each in kinds if said.on is None or each.on in (said.on, None)]
    done = [each for each in of_the_kind if arguments_are(record, each.values, said.values)]
    if done:
        why = f"{upper(told(done[0]))}" + (f", the first of {len(done)} times." if len(done) > 1 else ".")
        return Finding(NOT_MET, why, evidence=Evidence(tuple(each.n for each in done)))
    if said.values and not of_the_kind:
        return never_came(record, "Nothing of the kind was done, neither so nor otherwise.", if_never)
    return Finding(MET, "Nothing of the kind is in the record.", is_open=not record.has_ended)


def _no_occasion(record: Record, name: str, if_never: str | None, is_unknown: bool) -> Finding:
    if is_unknown:
        return Finding(CANNOT, f"The record does not follow {about(name)}.")
    why = f"The occasion never came: there was no moment at which to look at {about(name)}."
    return never_came(record, why, if_never)


def _after_grace(record: Record, flags: Flags, grace_s: float) -> Flags:
    """The rows without the first seconds of each stretch."""
    if grace_s <= 0.0:
        return flags
    kept = flags.copy()
    for since_s, _ in _spans(record, flags):
        kept &= ~((record.clock >= since_s) & (record.clock < since_s + grace_s))
    return kept


def _lengths(record: Record) -> Floats:
    """How long each row holds. [s]"""
    clock_s = record.clock
    if not len(clock_s):
        return np.zeros(0)
    return np.diff(clock_s, append=clock_s[-1] + 1.0)


def _spans(record: Record, flags: Flags) -> list[tuple[float, float]]:
    """Stretches in which flags stand, from and to. [s]"""
    edges = np.diff(np.concatenate(([False], flags, [False])).astype(int))
    starts, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
    after = record.clock + _lengths(record)
    return [(float(record.clock[i]), float(after[j - 1])) for i, j in zip(starts, ends, strict=True)]
