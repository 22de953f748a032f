"""Whether an attempt is enough: every must, the points, and the global rating, by a policy that is data."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from tidalbay.case.check_off import Decision as Policy
from tidalbay.judge.record import Record
from tidalbay.judge.turn import COSTS_NOTHING, turn_sentences
from tidalbay.judge.verdict import CANNOT, MET, NOT_MET, Verdict

COMPETENT, NOT_YET, OPEN, VOID = "competent", "not_yet_competent", "undecided", "void"
RATINGS: Final = {1: "unsafe", 2: "borderline", 3: "competent", 4: "very good"}
_PROMPTED: Final = {"counts": 1.0, "counts_half": 0.5, "does_not_count": 0.0}


@dataclass(frozen=True, slots=True)
class Outcome:
    """What follows from the verdicts and the global rating.

    Attributes
    ----------
    result : str
        competent, not_yet_competent, undecided or void. An assessor decides, not the program.
    why : tuple of str
        Sentences, the ones that decide first.
    points, out_of : float
        Of what could be judged; what could not is in neither.
    share_frac : float or None
        Points over what could be judged; None where nothing could.
    musts_missed, musts_undecided : tuple of str
        Criteria.
    rating : int or None
        The global rating, 1 to 4.
    is_near : bool
        Whether a second person should look: near the cut, or only a must decides.
    attempt : int or None
        Which attempt at this assessment it is for its learner; None where nobody counts.
    turn : tuple of str
        Which of how many, and what follows when it was the last, in sentences.
    """

    result: str
    why: tuple[str, ...]
    points: float
    out_of: float
    share_frac: float | None
    musts_missed: tuple[str, ...]
    musts_undecided: tuple[str, ...]
    rating: int | None
    is_near: bool
    attempt: int | None = None
    turn: tuple[str, ...] = ()

    def as_plain(self) -> dict[str, Any]:
        """Names and plain values."""
        return {
            "result": self.result,
            "why": list(self.why),
            "points": self.points,
            "out_of": self.out_of,
            "share_frac": self.share_frac,
            "musts_missed": list(self.musts_missed),
            "musts_undecided": list(self.musts_undecided),
            "global_rating": self.rating,
            "second_look": self.is_near,
            "attempt": self.attempt,
            "turn": list(self.turn),
        }


def outcome(
    record: Record, verdicts: Sequence[Verdict], policy: Policy, number: int | None = None
) -> Outcome:
    """The outcome of an attempt: conjunctive over musts, points and the global rating.

    An attempt that was stopped kindly or is void for equipment is no attempt and is not decided.

    Parameters
    ----------
    record : Record
    verdicts : sequence of Verdict
    policy : Policy
    number : int or None
        Which attempt it is for its learner, as the records count; None where they do not.
    """
    points, out_of = _points(verdicts, policy)
    share = points / out_of if out_of > 0 else None
    missed = tuple(v.criterion for v in verdicts if v.must and _is_missed(v, policy))
    undecided = tuple(v.criterion for v in verdicts if v.must and v.verdict == CANNOT)
    rating = rating_of(record)
    enough = share is not None and share >= policy.cut - 1e-9
    near = share is not None and abs(share - policy.cut) < policy.near
    only_musts = enough and bool(missed) and (rating is None or rating >= policy.global_at_least)
    result, why = _decided(record, policy, share, missed, undecided, rating)
    is_near = result in (COMPETENT, NOT_YET) and (near or only_musts)
    turn = () if number is None else turn_sentences(number, policy, result == NOT_YET, result == VOID)
    return Outcome(result, why, points, out_of, share, missed, undecided, rating, is_near, number, turn)


def rating_of(record: Record) -> int | None:
    """The newest global rating, None before one was given."""
    given = [mark.values.get("rating") for mark in record.marks if mark.kind == "global_rating"]
    newest = given[-1] if given else None
    return newest if isinstance(newest, int) and newest in RATINGS else None


def _decided(
    record: Record,
    policy: Policy,
    share: float | None,
    missed: tuple[str, ...],
    undecided: tuple[str, ...],
    rating: int | None,
) -> tuple[str, tuple[str, ...]]:
    ended = next((str(e.values.get("why")) for e in record.log.acts if e.kind == "attempt_ended"), None)
    if ended in COSTS_NOTHING and ended != "gone_back":
        return VOID, (f"The attempt was {ended.replace('_', ' ')}; it costs no attempt and is not judged.",)
    against, waiting = [], []
    if policy.every_must and missed:
        against.append(f"Missed, and each of these must be met: {', '.join(missed)}.")
    if policy.every_must and undecided:
        waiting.append(f"Not decided yet: {', '.join(undecided)}.")
    if share is None:
        waiting.append("Nothing could be judged yet.")
    elif share < policy.cut - 1e-9:
        against.append(
            f"{100 * share:.0f} % of the points that could be judged; {100 * policy.cut:.0f} % asked."
        )
    if rating is None:
        waiting.append("No global rating yet.")
    elif rating < policy.global_at_least:
        asked = RATINGS[policy.global_at_least]
        against.append(f"The global rating is {RATINGS[rating]}; at least {asked} is asked.")
    if ended is None:
        waiting.append("The attempt goes on.")
    if against and ended is not None:
        return NOT_YET, (*against, *waiting)
    if waiting or against:
        return OPEN, (*against, *waiting)
    return COMPETENT, ("Every must is met, the points are enough, and so is the global rating.",)


def _points(verdicts: Sequence[Verdict], policy: Policy) -> tuple[float, float]:
    points = out_of = 0.0
    for each in verdicts:
        if each.verdict == CANNOT:
            continue
        out_of += each.weight
        if each.verdict == MET:
            points += each.weight * (_PROMPTED[policy.prompted] if each.finding.is_prompted else 1.0)
    return points, out_of


def _is_missed(verdict: Verdict, policy: Policy) -> bool:
    prompted = verdict.verdict == MET and verdict.finding.is_prompted and policy.prompted == "does_not_count"
    return verdict.verdict == NOT_MET or prompted
