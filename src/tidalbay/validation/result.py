"""Answers of the model beside published values."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Any

from tidalbay.engine import compile_now
from tidalbay.validation.questions import questions
from tidalbay.validation.row import Row, RowError, rows

LAST_BITS = 1e-9  # a value on the very edge is within, whatever its last bits say

Progress = Callable[[int, int, str], None]


@dataclass(frozen=True, slots=True)
class Result:
    """One row and what the model answers.

    Attributes
    ----------
    row : Row
    model : float
        In the row's unit.
    difference : float
        Model less published; from the nearer end of a range, 0 inside it.
    within : bool
        Whether the difference is no larger than the tolerance.
    """

    row: Row
    model: float
    difference: float
    within: bool

    @property
    def is_as_marked(self) -> bool:
        """Whether the row meets or misses its published value as its own mark says."""
        if self.row.misses is None:
            return self.within
        return not self.within and (self.difference > 0.0) == (self.row.misses == "above")

    def as_plain(self) -> dict[str, Any]:
        """Names and plain values, for JSON."""
        row = self.row
        published = list(row.published) if isinstance(row.published, tuple) else row.published
        return {
            "id": row.id,
            "quantity": row.quantity,
            "source": row.source,
            "published": published,
            "model": self.model,
            "difference": self.difference,
            "tolerance": row.tolerance,
            "within": self.within,
            "tuned_on": row.tuned_on,
            "unit": row.unit,
            "group": row.group,
            "built_in": row.built_in,
            "pattern_ours": row.pattern_ours,
            "conditions": row.conditions,
            "why_tolerance": row.why_tolerance,
            "why_missed": row.why_missed,
        }


@dataclass(frozen=True, slots=True)
class Summary:
    """Counts over all rows."""

    rows: int
    within: int
    missed: int
    tuned_on: int
    built_in: int
    untouched: int  # neither tuned on nor built in
    untouched_within: int
    sources: int

    def as_plain(self) -> dict[str, int]:
        """Names and plain values, for JSON."""
        return {name: getattr(self, name) for name in self.__slots__}


def validate(progress: Progress | None = None) -> list[Result]:
    """Ask the model every row.

    Parameters
    ----------
    progress : callable or None
        Told how many rows are done, of how many, and the quantity that comes next.

    Returns
    -------
    list of Result
        In the order of the groups and of their files.
    """
    compile_now()
    found, every = [], rows()
    for done, row in enumerate(every):
        if progress:
            progress(done, len(every), row.quantity)
        found.append(result(row))
    if progress:
        progress(len(every), len(every), "")
    return found


def result(row: Row) -> Result:
    """The model's answer to one row.

    Raises
    ------
    RowError
        With a sentence, if its question does not exist, refuses the words, or gives no number.
    """
    model = _answer(row)
    difference = _difference(model, row)
    return Result(row, model, difference, abs(difference) <= row.tolerance + LAST_BITS * max(1.0, abs(model)))


def summary(results: Sequence[Result]) -> Summary:
    """Counts over results."""
    untouched = [each for each in results if not (each.row.tuned_on or each.row.built_in)]
    within = sum(each.within for each in results)
    return Summary(
        rows=len(results),
        within=within,
        missed=len(results) - within,
        tuned_on=sum(each.row.tuned_on for each in results),
        built_in=sum(each.row.built_in and not each.row.tuned_on for each in results),
        untouched=len(untouched),
        untouched_within=sum(each.within for each in untouched),
        sources=len({each.row.source_id for each in results}),
    )


def _answer(row: Row) -> float:
    ask = questions().get(row.question)
    if ask is None:
        raise RowError(
            f"{row.id}: there is no question {row.question!r}; write one of {', '.join(questions())}."
        )

    def asked(words: Mapping[str, Any]) -> float:
        try:
            answer = float(ask(**words))
        except (TypeError, ValueError) as error:
            raise RowError(f"{row.id}: {row.question} cannot be asked so: {error}") from error
        if not isfinite(answer):
            raise RowError(f"{row.id}: {row.question} answers {answer}, which is no number.")
        return answer

    first = asked(row.arguments)
    if row.compared_with is None:
        return first
    second = asked({**row.arguments, **row.compared_with})
    return first - second if row.by == "less" else first / second


def _difference(model: float, row: Row) -> float:
    if isinstance(row.published, float):
        return model - row.published
    low, high = row.published
    return model - min(max(model, low), high)
