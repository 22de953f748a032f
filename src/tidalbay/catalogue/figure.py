"""One figure of a catalogue row: its value, how it is known, and where it comes from."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal, get_args

Mark = Literal["source", "practice", "tuned", "assumed"]
MARKS: tuple[str, ...] = get_args(Mark)


@dataclass(frozen=True, slots=True)
class Figure:
    """A number with its standing.

    `mark` is `source` (published), `practice` (common practice, no source), `tuned` (fitted by us
    to the data that `basis` names) or `assumed` (plausible, nothing behind it).
    """

    value: float
    mark: str
    basis: str


def figure_from_row(row: Mapping[str, Any], where: str) -> Figure:
    """The figure written as `{is: ..., mark: ..., basis: ...}`.

    Raises
    ------
    ValueError
        With a sentence naming `where`, if the number, its mark or its basis is missing.
    """
    mark = row.get("mark")
    if mark not in MARKS:
        raise ValueError(f"{where}: mark is {mark!r}; write one of {', '.join(MARKS)}.")
    if not row.get("basis"):
        raise ValueError(f"{where}: says nothing in basis; write where the figure comes from.")
    value = row.get("is")
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{where}: is {value!r}; write a number after 'is:'.")
    return Figure(float(value), mark, str(row["basis"]))


def figures_from_rows(rows: Mapping[str, Any], known: frozenset[str], where: str) -> dict[str, Figure]:
    """Every figure of one row by name; a name that is not in `known` is refused."""
    for name in rows:
        if name not in known:
            raise ValueError(
                f"{where}: has a figure {name}, which nothing reads; write one of {', '.join(sorted(known))}."
            )
    return {name: figure_from_row(row, f"{where}.{name}") for name, row in rows.items()}
