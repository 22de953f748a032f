"""The table of findings: which words follow from which state of the patient."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from tidalbay.catalogue.figure import MARKS
from tidalbay.catalogue.yaml_rows import mapping

UNSAID: Final = "unsaid"  # the tone of a patient whose skin tone nobody said
DRAWN: Final = ("effort", "blue", "pale", "lids", "nod_deg", "mouth", "sweat")  # what a drawing can show
_FILE: Final = "findings.yaml"


@dataclass(frozen=True, slots=True)
class FindingReading:
    """A number that a condition may ask for.

    Attributes
    ----------
    name, unit, about : str
    margin : float
        How far it must come back past a bound before a finding goes away. [its unit]
    hidden : bool
        Whether no nurse could see the number itself.
    """

    name: str
    unit: str
    margin: float
    hidden: bool
    about: str


@dataclass(frozen=True, slots=True)
class Bound:
    """A number at least `low` and less than `high`; either may be missing."""

    reading: str
    low: float | None
    high: float | None

    def holds(self, value: float, slack: float = 0.0) -> bool:
        """Whether a value keeps to the bound, widened by a slack on both sides."""
        return (self.low is None or value >= self.low - slack) and (
            self.high is None or value < self.high + slack
        )


@dataclass(frozen=True, slots=True)
class OneOf:
    """An earlier finding on one of these rungs."""

    finding: str
    rungs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Rung:
    """One step of a ladder.

    Attributes
    ----------
    id : str
    when : tuple of tuple of Bound or OneOf
        Alternatives; each holds if all its parts hold. Empty on the last rung, which holds always.
    words : mapping of str
        By skin tone; under `UNSAID` for any.
    otherwise : mapping of str
        Words for those who cannot say it in words, by the names of `voices`.
    mark, basis : str
        How the threshold is known, and from where.
    draws : mapping of float
        How a drawing shows it, by the names in `DRAWN`.
    """

    id: str
    when: tuple[tuple[Bound | OneOf, ...], ...]
    words: Mapping[str, str]
    otherwise: Mapping[str, str]
    mark: str
    basis: str
    draws: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Ladder:
    """One thing that can be found, from worst to best.

    Attributes
    ----------
    what : str
        Its name in acts and on screens.
    title, look : str
        What it is, and how a nurse finds it.
    needs : tuple of str
        Readings without which nothing is said.
    rungs : tuple of Rung
    near : bool
        Whether it takes a hand, an ear at the chest or a question: known once somebody has examined.
    """

    what: str
    title: str
    look: str
    needs: tuple[str, ...]
    rungs: tuple[Rung, ...]
    near: bool


@cache
def skin_tones() -> tuple[str, ...]:
    """The tones for which words are written."""
    return tuple(mapping(_FILE)["tones"])


@cache
def voices() -> tuple[str, ...]:
    """Those who cannot say it in words, and for whom other words are written."""
    return tuple(mapping(_FILE)["voices"])


@cache
def recline_deg() -> Mapping[str, float]:
    """How far the back-rest is raised, by posture. [degree]"""
    return {name: float(row["recline_deg"]) for name, row in mapping(_FILE)["postures"].items()}


@cache
def finding_readings() -> Mapping[str, FindingReading]:
    """Every number that a condition may ask for, by name."""
    return {
        name: FindingReading(name, row["unit"], float(row["margin"]), row.get("hidden", False), row["about"])
        for name, row in mapping(_FILE)["readings"].items()
    }


@cache
def finding_ladders() -> Mapping[str, Ladder]:
    """Every ladder by what it finds, in the order in which they are judged."""
    ladders: dict[str, Ladder] = {}
    for row in mapping(_FILE)["findings"]:
        ladders[row["what"]] = _ladder(row, ladders)
    return ladders


def _ladder(row: Mapping[str, Any], earlier: Mapping[str, Ladder]) -> Ladder:
    where = f"{_FILE}, {row['what']}"
    rungs = tuple(_rung(said, f"{where}, {said['id']}", earlier) for said in row["rungs"])
    if [rung.id for rung in rungs if not rung.when] != [rungs[-1].id]:
        raise ValueError(f"{where}: the last rung, and no other, holds always; leave out its 'when'.")
    unknown = [name for name in row["needs"] if name not in finding_readings()]
    if unknown:
        raise ValueError(f"{where}: needs {', '.join(unknown)}, which is not among the readings.")
    return Ladder(row["what"], row["title"], row["look"], tuple(row["needs"]), rungs, bool(row.get("near")))


def _rung(row: Mapping[str, Any], where: str, earlier: Mapping[str, Ladder]) -> Rung:
    if row.get("mark") not in MARKS:
        raise ValueError(f"{where}: mark is {row.get('mark')!r}; write one of {', '.join(MARKS)}.")
    if not row.get("basis"):
        raise ValueError(f"{where}: says nothing in basis; write where the threshold comes from.")
    when = tuple(
        tuple(_condition(name, asked, where, earlier) for name, asked in alternative.items())
        for alternative in row.get("when", ())
    )
    draws = dict(row.get("draws", {}))
    if not set(draws) <= set(DRAWN):
        raise ValueError(f"{where}: draws {', '.join(draws)}; a drawing knows {', '.join(DRAWN)}.")
    otherwise = dict(row.get("otherwise", {}))
    if not set(otherwise) <= set(voices()):
        raise ValueError(f"{where}: otherwise names {', '.join(otherwise)}; there are {', '.join(voices())}.")
    return Rung(row["id"], when, _words(row["words"], where), otherwise, row["mark"], row["basis"], draws)


def _condition(name: str, asked: Any, where: str, earlier: Mapping[str, Ladder]) -> Bound | OneOf:
    if name in earlier and isinstance(asked, list):
        known = {rung.id for rung in earlier[name].rungs}
        if not set(asked) <= known:
            raise ValueError(f"{where}: {name} is never {', '.join(sorted(set(asked) - known))}.")
        return OneOf(name, tuple(asked))
    if name not in finding_readings():
        raise ValueError(f"{where}: asks for {name}, which is neither a reading nor an earlier finding.")
    if not isinstance(asked, dict) or not asked or not set(asked) <= {"from", "below"}:
        raise ValueError(f"{where}: {name} needs 'from', 'below' or both.")
    return Bound(name, asked.get("from"), asked.get("below"))


def _words(said: Any, where: str) -> Mapping[str, str]:
    if isinstance(said, str):
        return {UNSAID: said}
    if set(said) != {UNSAID, *skin_tones()}:
        raise ValueError(f"{where}: words for several tones are {UNSAID}, {', '.join(skin_tones())}.")
    return dict(said)
