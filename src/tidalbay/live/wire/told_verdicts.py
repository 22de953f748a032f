"""What the record says so far, for those who judge: verdicts as they travel, folded where they must wait."""

from collections.abc import Mapping
from typing import Any

from tidalbay.bedside import may_see_verdicts
from tidalbay.judge import judge_attempt
from tidalbay.report import why_folded
from tidalbay.trace import Log, Trace

Told = Mapping[str, Any]


def verdicts_told(log: Log, trace: Trace, number: int | None = None) -> dict[str, Any]:
    """Each criterion with its verdict and why, and what follows; nothing of it while it is folded.

    Parameters
    ----------
    log : Log
    trace : Trace
        Of the same attempt, up to now.
    number : int or None
        Which attempt at this assessment it is for its learner; None where nobody counts.
    """
    judged = judge_attempt(log, trace, number)
    folded = why_folded(judged.record, judged.criteria)
    if folded:
        # What follows from the result would tell how it went; which attempt it is does not.
        return {"folded": folded, "turn": list(judged.outcome.turn[:1]), "criteria": [], "outcome": None}
    plain = judged.as_plain()
    return {
        "folded": "",
        "turn": list(judged.outcome.turn),
        "criteria": plain["criteria"],
        "outcome": plain["outcome"],
    }


def verdicts_message(told: Told, role: str, mode: str) -> dict[str, Any] | None:
    """The message for a role; None for one that may not see it."""
    return {"kind": "verdicts", "verdicts": told} if may_see_verdicts(role, mode) else None
