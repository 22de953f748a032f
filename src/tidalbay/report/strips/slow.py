"""What changes by the minute: the early-warning score and the skin."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

import numpy as np

from tidalbay.attempt import Attempt
from tidalbay.bedside import findings
from tidalbay.catalogue.skin_sites import skin_sites, stage_words
from tidalbay.judge.record import Record
from tidalbay.report.strips.strip import Line, Strip
from tidalbay.report.strips.thinning import Points
from tidalbay.science.warning import CREDIT, WarningRefusedError, early_warning

EVERY_S: Final = 60.0
AIR_PCT: Final = 21.5  # gas with no more oxygen than this is air
HYPERCAPNIC_RANGE: Final = (88.0, 92.0)  # the range that the score's second scale is for (RCP 2017)
USUAL_TEMPERATURE_DEGC: Final = 37.0
BROKEN: Final = 3

SkinMinutes = Sequence[tuple[float, Mapping[str, int]]]


def skin_each_minute(attempt: Attempt) -> SkinMinutes:
    """What a look would have found at every place, a minute a row: moment [s], and stage by place."""
    return [(t_s, attempt.skin(t_s)) for t_s in _minutes(attempt.t_s)]


def skin_strip(record: Record, skin: SkinMinutes | None) -> Strip:
    """The worst stage of the skin anywhere, minute by minute."""
    title, about = "Skin", "worst place"
    if skin is None:
        said = "The skin of each minute is worked out by the model and is not kept with a trace."
        return Strip("skin", title, about, "", "steps", said=said)
    dark = record.case.get("patient", {}).get("numbers", {}).get("skin_tone") == "dark"
    points: Points = tuple((t_s, float(max(stages.values(), default=0))) for t_s, stages in skin)
    worst = max((value or 0.0 for _, value in points), default=0.0)
    names = {stage: stage_words(stage, dark) for stage in range(BROKEN + 1)}
    if worst <= 0.0:
        said = "Nothing to be seen at any place that was touched."
        return Strip("skin", title, about, "", "steps", said=said)
    said = _worst_words(skin, int(worst), names)
    line = Line("skin_stage", "skin", points, is_hidden=True)
    return Strip("skin", title, about, "", "steps", (line,), low=0.0, high=BROKEN, names=names, said=said)


def score_strip(record: Record) -> Strip:
    """The published early-warning score, minute by minute, as if a full set had been taken each time."""
    low, high = record.case["order"]["target_spo2_pct"]
    scale = 2 if (float(low), float(high)) == HYPERCAPNIC_RANGE else 1
    about = f"NEWS2, scale {scale}"
    points, refused = _scores(record, scale)
    if refused:
        return Strip("score", "Early warning", about, "", "steps", said=refused)
    top = max((value or 0.0 for _, value in points), default=0.0)
    return Strip(
        "score",
        "Early warning",
        about,
        "",
        "steps",
        (Line("score", "score", points),),
        high=max(8.0, 4.0 * float(np.ceil(top / 4.0))),
        step=4.0,
        said=f"Worked out each minute from the patient's signs. {CREDIT}",
    )


def _minutes(end_s: float) -> Iterator[float]:
    yield from (EVERY_S * n for n in range(int(end_s // EVERY_S) + 1))


def _worst_words(skin: SkinMinutes, worst: int, names: Mapping[int, str]) -> str:
    at_s, stages = next(row for row in skin if max(row[1].values(), default=0) == worst)
    places = [skin_sites()[site].words for site, stage in stages.items() if stage == worst]
    minute = int(at_s // 60)
    return f"Worst from minute {minute} on, {' and '.join(places)}: {names[worst]}."


def _scores(record: Record, scale: int) -> tuple[Points, str]:
    seconds = record.trace.seconds
    numbers = record.case["patient"]["numbers"]
    oxygen = _on_oxygen(record)
    points: list[tuple[float, float | None]] = []
    for t_s in _minutes(float(record.clock[-1]) if len(record.clock) else 0.0):
        row = int(np.searchsorted(record.clock, t_s, side="right")) - 1
        now = {name: float(seconds[name][row]) for name in _SIGNS if name in seconds}
        if row < 0 or len(now) < len(_SIGNS):
            return (), "The trace does not hold the signs that the score needs."
        try:
            score = early_warning(
                rate_per_min=now["rate_per_min"],
                spo2_pct=None if np.isnan(now["spo2_shown_pct"]) else now["spo2_shown_pct"],
                on_oxygen=bool(oxygen[row]),
                systolic_mmhg=now["systolic_mmhg"],
                pulse_per_min=now["heart_rate_per_min"],
                consciousness=_consciousness(now),
                temperature_degc=float(numbers.get("temperature_degc", USUAL_TEMPERATURE_DEGC)),
                age_years=float(numbers.get("age_years", 40.0)),
                scale=scale,
            )
        except WarningRefusedError as refused:
            if not np.isnan(now["spo2_shown_pct"]):
                return (), str(refused).replace("\n", " ")
            points.append((t_s, None))  # no reading, no score: the line has a gap
        else:
            points.append((t_s, float(score.total)))
    return tuple(points), ""


_SIGNS: Final = (
    "rate_per_min",
    "spo2_shown_pct",
    "systolic_mmhg",
    "heart_rate_per_min",
    "alertness_frac",
    "confusion_frac",
)


def _consciousness(now: Mapping[str, float]) -> str:
    """By the same table of findings as at the bedside; its rungs are the levels of the score."""
    found = findings({name: now[name] for name in ("alertness_frac", "confusion_frac")})
    return next((each.rung for each in found if each.what == "alertness"), "alert")


def _on_oxygen(record: Record) -> np.ndarray:
    """For each row whether any oxygen was given: gas to what is worn, and not from the air outlet."""
    supplied = record.reading("supplied_oxygen_pct")
    if supplied is None:
        return record.on_oxygen
    return np.asarray(record.on_oxygen & ~(supplied <= AIR_PCT), dtype=bool)
