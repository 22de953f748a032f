"""Findings: what a nurse sees, hears and feels, in words of the one table in the catalogue."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import floor
from typing import Final

from tidalbay.bedside.looks import looks_at
from tidalbay.bedside.moment import NOBODY, Numbers, second_at
from tidalbay.catalogue.findings import (
    UNSAID,
    Bound,
    Ladder,
    OneOf,
    Rung,
    finding_ladders,
    finding_readings,
    skin_tones,
)
from tidalbay.trace import Trace

RENEWED_EVERY_S: Final = 5.0


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing found.

    Attributes
    ----------
    what : str
        Ladder of the catalogue: effort, speech, colour and so on.
    words : str
        What is found, a clause without a full stop.
    since_s : float
        Since when it has been so. [s]
    rung : str
        Which step of the ladder; for conditions, not for a screen.
    """

    what: str
    words: str
    since_s: float
    rung: str


def findings(readings: Mapping[str, float | str], earlier: Sequence[Finding] = ()) -> list[Finding]:
    """What is found with these readings.

    Parameters
    ----------
    readings : mapping
        `t_s`, numbers by the names of the table, and `skin_tone` and `voice` where they are known; as
        `looks_at` gives them. What is missing is not known, and nothing is said that needs it.
    earlier : sequence of Finding
        What was found a moment before: a finding stays until its reading has come back past the
        bound by the table's margin, and keeps its `since_s`.

    Returns
    -------
    list of Finding
        In the order of the table, one for each ladder whose needs are known.

    Raises
    ------
    ValueError
        For a skin tone for which no words are written.
    """
    tone, voice = _tone(readings), str(readings.get("voice", ""))
    before = {found.what: found for found in earlier}
    found_now: dict[str, Finding] = {}
    for ladder in finding_ladders().values():
        if not all(name in readings for name in ladder.needs):
            continue
        was = before.get(ladder.what)
        rung = _rung(ladder, readings, found_now, was.rung if was else "")
        since_s = was.since_s if was and was.rung == rung.id else float(readings.get("t_s", 0.0))
        words = rung.otherwise.get(voice) or rung.words.get(tone) or rung.words[UNSAID]
        found_now[ladder.what] = Finding(ladder.what, words, since_s, rung.id)
    return list(found_now.values())


def findings_at(
    trace: Trace,
    at_s: float,
    patient: Numbers = NOBODY,
    earlier: Sequence[Finding] | None = None,
    earlier_s: float = 0.0,
) -> list[Finding]:
    """What is found at a moment of a recording, and since when.

    Parameters
    ----------
    trace : Trace
    at_s : float
        [s]
    patient : mapping
        Numbers by field name as they are now, `skin_tone` and, of somebody who cannot speak, `voice`.
    earlier : sequence of Finding or None
        What was found at `earlier_s`, to go on from there; None starts with the recording.
    earlier_s : float
        [s]

    Notes
    -----
    Findings are renewed at every fifth second of the clock, whoever asks and when: stepping
    through an attempt and asking once at its end give the same.
    """
    at_s = second_at(trace, at_s)
    first_s = float(trace.seconds["t_s"][0])
    found = [] if earlier is None else list(earlier)
    begin_s = first_s - RENEWED_EVERY_S if earlier is None else max(earlier_s, first_s - RENEWED_EVERY_S)
    for moment_s in _renewals(begin_s, at_s, first_s):
        found = findings(looks_at(trace, moment_s, patient), found)
    return found


def findings_as_plain(found: Iterable[Finding]) -> dict[str, object]:
    """Names and plain values, two for each finding."""
    plain: dict[str, object] = {}
    for each in found:
        plain[f"finding_{each.what}"] = each.words
        plain[f"finding_{each.what}_since_s"] = each.since_s
    return plain


def _renewals(after_s: float, until_s: float, first_s: float) -> Iterable[float]:
    """Every fifth second after one moment, up to another; the recording's first second comes first."""
    if after_s < first_s <= until_s:
        yield first_s
    step = floor(max(after_s, first_s) / RENEWED_EVERY_S) + 1
    while step * RENEWED_EVERY_S <= until_s:
        yield step * RENEWED_EVERY_S
        step += 1


def _tone(readings: Mapping[str, float | str]) -> str:
    tone = readings.get("skin_tone", UNSAID)
    if tone == UNSAID or tone in skin_tones():
        return str(tone)
    raise ValueError(f"There are no words for skin_tone {tone!r}; write one of {', '.join(skin_tones())}.")


def _rung(
    ladder: Ladder, readings: Mapping[str, float | str], found_now: Mapping[str, Finding], was: str
) -> Rung:
    """The worst rung that holds; the one that held before is let go only past its margin."""
    return next(
        rung
        for rung in ladder.rungs
        if not rung.when
        or any(
            all(_holds(part, readings, found_now, rung.id == was) for part in alternative)
            for alternative in rung.when
        )
    )


def _holds(
    part: Bound | OneOf,
    readings: Mapping[str, float | str],
    found_now: Mapping[str, Finding],
    held_before: bool,
) -> bool:
    if isinstance(part, OneOf):
        return part.finding in found_now and found_now[part.finding].rung in part.rungs
    value = readings.get(part.reading)
    if value is None or isinstance(value, str):
        return False
    return part.holds(value, finding_readings()[part.reading].margin if held_before else 0.0)
