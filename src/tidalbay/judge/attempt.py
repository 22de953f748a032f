"""An attempt judged by what its own log keeps: the criteria and the policy it was begun with."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from tidalbay.case.check_off import Decision as Policy
from tidalbay.case.criteria import Criterion
from tidalbay.case.procedures import criterion_from_plain
from tidalbay.case.yaml_tree import tupled
from tidalbay.judge.decision import Outcome, outcome
from tidalbay.judge.judging import judge
from tidalbay.judge.record import OF_THE_STATION, Record, watches
from tidalbay.judge.verdict import Verdict
from tidalbay.trace import CAUTION, Log, Trace

SCRIPT: Final = "script"


@dataclass(frozen=True)
class Judged:
    """Criteria, the verdict on each, and what follows."""

    record: Record
    criteria: tuple[Criterion, ...]
    verdicts: tuple[Verdict, ...]
    outcome: Outcome

    def as_plain(self) -> dict[str, Any]:
        """Names and plain values, with the caution."""
        return {
            "caution": CAUTION,
            "case": self.record.case.get("id"),
            "seconds": self.record.end_s,
            "ended": self.record.has_ended,
            "criteria": [verdict.as_plain() for verdict in self.verdicts],
            "outcome": self.outcome.as_plain(),
        }


def record_of(log: Log, trace: Trace) -> Record:
    """The record of an attempt.

    It is the whole account of what was done where nobody watched and tapped: a script, or a learner alone at
    the drawn equipment.
    """
    watched = any(watches(entry.by) for entry in log.acts if entry.kind not in OF_THE_STATION)
    mode = str(log.entries[0].values["mode"])
    alone = mode == "practice" or all(entry.by == SCRIPT for entry in log.acts[1:])
    return Record(log, trace, is_whole_account=alone and not watched)


def judge_attempt(log: Log, trace: Trace, number: int | None = None) -> Judged:
    """Judge an attempt by the criteria in its log's first entry; a case without any gives no verdicts.

    Parameters
    ----------
    log : Log
    trace : Trace
        Of the same attempt, as it was shown.
    number : int or None
        Which attempt at this assessment it is for its learner; None where nobody counts.
    """
    record = record_of(log, trace)
    check_off: Mapping[str, Any] = record.case.get("check_off") or {}
    criteria = tuple(criterion_from_plain(said) for said in check_off.get("criteria", ()))
    verdicts = tuple(judge(record, criteria))
    policy = Policy.model_validate(tupled(dict(check_off.get("decision", {}))))
    return Judged(record, criteria, verdicts, outcome(record, verdicts, policy, number))
