"""What changes by the minute: the early-warning score and the skin."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

import numpy as np

from tidalbay.attempt import Attempt
from tidalbay.catalogue.skin_sites import skin_sites, stage_words
from tidalbay.judge.early_signs import holds_signs, scale_of, score_at
from tidalbay.judge.record import Record
from tidalbay.report.strips.strip import Line, Strip
from tidalbay.report.strips.thinning import Points
from tidalbay.science.warning import CREDIT, WarningRefusedError

EVERY_S: Final = 60.0
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
    scale = scale_of(record.case)
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
    shown = record.trace.seconds["spo2_shown_pct"]
    points: list[tuple[float, float | None]] = []
    for t_s in _minutes(float(record.clock[-1]) if len(record.clock) else 0.0):
        row = int(np.searchsorted(record.clock, t_s, side="right")) - 1
        if row < 0 or not holds_signs(record):
            return (), "The trace does not hold the signs that the score needs."
        try:
            score = score_at(record, row, scale)
        except WarningRefusedError as refused:
            if not np.isnan(shown[row]):
                return (), str(refused).replace("\n", " ")
            points.append((t_s, None))  # no reading, no score: the line has a gap
        else:
            points.append((t_s, float(score)))
    return tuple(points), ""
