"""The page's words and tables as plain data, so that the screen and the paper say the same."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from math import log10
from typing import Final

from tidalbay.printed.look import number
from tidalbay.validation.figure import Figure, Point
from tidalbay.validation.result import Result, summary
from tidalbay.validation.row import Row, group_titles

CAUTION: Final = (
    "For teaching and assessment with simulated patients only; not for the care of any person. The "
    "order, local policy, the device's own instructions and licensed practice come first."
)
TITLE: Final = "The model held against published measurements"

STANDING: Final = {
    "tuned": "tuned on",
    "built_in": "own source",
    "untouched": "left out",
}

HOW_TO_READ: Final = (
    "Each row is one published value. The model is asked the same question through its public doors, "
    "under the study's own conditions where it states them and under ours, said beside the row, where "
    "it does not. The tolerance is the author's own spread: a standard deviation, a printed range, the"
    " error of a fit. Where none is published it is a tenth of the value, or half of an effect, and "
    "the row says so. It follows from the source, not from the model's answer. A row outside its "
    "tolerance is a miss and stays one.",
    "“Left out” means that nothing was chosen to meet the row: these are the real test. “Tuned on” "
    "means that a constant was chosen with this row in view, so that agreement shows little. “Own "
    "source” means that the model uses this source's own equation or figure, so that agreement shows "
    "only that it is carried through rightly.",
    "Most studies do not state how their people breathed. The pattern moves inspired oxygen more than "
    "any constant of a device does, so rows marked “pattern ours” are weaker than the others.",
)


ABOUT_MISSED: Final = (
    "Rows outside their tolerance, with what we think is behind it; first those that nothing was tuned"
    " on. Nothing was changed to make one disappear."
)
ABOUT_PLOTS: Final = (
    "Lines are the model's; a hatched band is what breathing round the pattern does to it. Marks are "
    "published values, each with a bar of what would be within its tolerance."
)
ABOUT_CONSTANTS: Final = (
    "Every number that was chosen so that the model meets data, the data, and the rows that were left "
    "out to test it. Figures of single patients were chosen so that a case begins as its text says; no"
    " study stands behind most of them."
)
KEY: Final = (
    "A full disc: nothing was tuned on it. An open ring: tuned on it. An open square: the model's own "
    "source. A shaded or open box: a printed range. A cross: missed."
)


@dataclass(frozen=True, slots=True)
class Told:
    """One row in words, for a table."""

    id: str
    quantity: str
    source: str
    conditions: str
    published: str
    model: str
    difference: str
    tolerance: str
    verdict: str
    is_within: bool
    standing: str
    is_pattern_ours: bool
    why_tolerance: str
    why_missed: str


def told(result: Result) -> Told:
    """One result in words."""
    row = result.row
    digits = _digits(row)
    unit = "" if row.unit == "1" else f" {row.unit}"
    return Told(
        id=row.id,
        quantity=row.quantity,
        source=row.source,
        conditions=row.conditions,
        published=published_words(row) + unit,
        model=number(result.model, digits) + unit,
        difference=signed(result.difference, digits),
        tolerance=f"{row.tolerance:.4g}" if row.tolerance else "the range",
        verdict="within" if result.within else f"missed, {'above' if result.difference > 0.0 else 'below'}",
        is_within=result.within,
        standing=STANDING[standing(row)],
        is_pattern_ours=row.pattern_ours,
        why_tolerance=row.why_tolerance,
        why_missed=row.why_missed if not result.within else "",
    )


def standing(row: Row) -> str:
    """How a row stands to the model's constants: tuned, built_in or untouched."""
    if row.tuned_on:
        return "tuned"
    return "built_in" if row.built_in else "untouched"


def published_words(row: Row) -> str:
    """The published number or range, its ends to the same digits."""
    return " to ".join(number(value, _printed_digits(row)) for value in _ends(row))


def signed(value: float, digits: int) -> str:
    """A difference with its sign; nothing inside a range is 0."""
    text = number(value, digits)
    return text if text.startswith("−") or not text.strip("0.") else f"+{text}"


def point_words(letter: str, point: Point) -> str:
    """What one letter of a plot stands for."""
    words = told(point.result)
    return (
        f"{letter}  {words.quantity}: published {words.published}, model {words.model}, {words.verdict} "
        f"({words.standing}). {short_source(words.source)}."
    )


def short_source(source: str) -> str:
    """First author and year, or the first words of a source that has neither."""
    author = re.match(r"(?:Am |)([A-ZÀ-Ý][^\s,]*(?: (?:Nugent|Andersen))?) [A-Z]{1,4}(?:[,.]| et al)", source)
    year = re.search(r"\b(?:18|19|20)\d\d\b", source)
    if author and year:
        return f"{author[1]} {year[0]}"
    return re.split(r"[:(;]| \(", source)[0].strip(" .,")


def sentence(words: str) -> str:
    """Words as a sentence: a capital in front and a stop behind."""
    first = words[:1] if words.startswith("pH") else words[:1].upper()
    return f"{first}{words[1:]}{'' if words.endswith('.') else '.'}"


def letters(figure: Figure) -> list[str]:
    """What the letters of a plot stand for."""
    return [point_words(letter, point) for letter, point in figure.letters]


def missed(results: Sequence[Result]) -> list[Told]:
    """Rows outside their tolerance: first those that nothing was tuned on."""
    found = [each for each in results if not each.within]
    found.sort(key=lambda each: ("untouched", "built_in", "tuned").index(standing(each.row)))
    return [told(each) for each in found]


def grouped(results: Sequence[Result]) -> list[tuple[str, list[tuple[str, list[Told]]]]]:
    """Every row in words, by group and within it by source."""
    found = []
    for group, title in group_titles().items():
        of_group = [each for each in results if each.row.group == group]
        studies = [
            (rows[0].row.source, [told(each) for each in rows])
            for rows in (list(same) for _, same in groupby(of_group, key=lambda each: each.row.source_id))
        ]
        if studies:
            found.append((title, studies))
    return found


def counts(results: Sequence[Result]) -> list[str]:
    """What there is, in sentences."""
    found = summary(results)
    return [
        f"{found.rows} published values from {found.sources} sources; none gave more than five.",
        f"{found.within} within tolerance, {found.missed} missed.",
        f"{found.untouched} were left out of all tuning; of these {found.untouched_within} are within.",
        f"{found.tuned_on} were tuned on, {found.built_in} are the model's own equations and figures.",
    ]


def _ends(row: Row) -> tuple[float, ...]:
    return row.published if isinstance(row.published, tuple) else (row.published,)


def _printed_digits(row: Row) -> int:
    return max(len(f"{value:g}".partition(".")[2]) for value in _ends(row))


def _digits(row: Row) -> int:
    """Digits worth printing: those of the published value, and enough to see the tolerance."""
    ends = _ends(row)
    size = row.tolerance or (abs(ends[-1] - ends[0]) if len(ends) > 1 else 1.0)
    return min(6, max(_printed_digits(row), round(-log10(size / 5.0))))
