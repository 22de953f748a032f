"""A verdict: what the record says of one criterion, by how much, and by which acts, seconds and readings."""

from dataclasses import dataclass, field, replace
from typing import Any, Final

MET, NOT_MET, CANNOT = "met", "not_met", "cannot_be_judged"
VERDICTS: Final = (MET, NOT_MET, CANNOT)


@dataclass(frozen=True, slots=True)
class Evidence:
    """Enough to go from a verdict to the moment.

    Attributes
    ----------
    acts : tuple of int
        Numbers of entries in the log.
    spans : tuple of (float, float)
        Stretches of time, from and to. [s]
    readings : tuple of (str, float, float)
        Name, moment [s] and value [its unit].
    """

    acts: tuple[int, ...] = ()
    spans: tuple[tuple[float, float], ...] = ()
    readings: tuple[tuple[str, float, float], ...] = ()

    def with_others(self, others: "Evidence") -> "Evidence":
        """Both together, each act once."""
        return Evidence(
            tuple(dict.fromkeys(self.acts + others.acts)),
            tuple(dict.fromkeys(self.spans + others.spans)),
            tuple(dict.fromkeys(self.readings + others.readings)),
        )


@dataclass(frozen=True, slots=True)
class Finding:
    """What one form finds in a record.

    Attributes
    ----------
    verdict : str
        One of `VERDICTS`.
    why : str
        One sentence.
    margin : float or None
        By how much, positive is good; seconds for order and time, points of a reading for levels, points of a
        hundred for shares. None where there is nothing to measure.
    unit : str
        Of the margin.
    broken_s : float or None
        The longest stretch for which a level was broken. [s]
    is_prompted : bool
        Whether an act that it rests on was done after a prompt.
    is_open : bool
        Whether the attempt ended before it could be decided.
    """

    verdict: str
    why: str
    margin: float | None = None
    unit: str = ""
    broken_s: float | None = None
    evidence: Evidence = field(default_factory=Evidence)
    is_prompted: bool = False
    is_open: bool = False

    def turned(self, verdict: str, why: str) -> "Finding":
        """The same evidence with another verdict and sentence."""
        return replace(self, verdict=verdict, why=why)


@dataclass(frozen=True, slots=True)
class Verdict:
    """What stands beside one criterion.

    Attributes
    ----------
    criterion, say : str
        Its id and its sentence.
    must : bool
    weight : float
        Points.
    finding : Finding
        What the record says; for what only a person can judge, what the checker's state says.
    state : str or None
        The checker's step state, where somebody spoke; None is not recorded.
    overruled : str or None
        Another verdict that a checker gave; both stand.
    reason : str
        The checker's reason.
    """

    criterion: str
    say: str
    must: bool
    weight: float
    finding: Finding
    state: str | None = None
    overruled: str | None = None
    reason: str = ""
    overruled_by: str = ""

    @property
    def verdict(self) -> str:
        """What counts: the checker's where one overruled, otherwise the record's."""
        return self.overruled or self.finding.verdict

    def as_plain(self) -> dict[str, Any]:
        """Names and plain values."""
        finding = self.finding
        return {
            "id": self.criterion,
            "say": self.say,
            "must": self.must,
            "weight": self.weight,
            "verdict": self.verdict,
            "record": finding.verdict,
            "why": finding.why,
            "margin": finding.margin,
            "margin_unit": finding.unit,
            "broken_s": finding.broken_s,
            "prompted": finding.is_prompted,
            "state": self.state or "not_recorded",
            "overruled": self.overruled,
            "reason": self.reason,
            "evidence": {
                "acts": list(finding.evidence.acts),
                "spans_s": [list(span) for span in finding.evidence.spans],
                "readings": [
                    {"name": name, "at_s": at_s, "value": value}
                    for name, at_s, value in finding.evidence.readings
                ],
            },
        }
