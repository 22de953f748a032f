"""Judging: a recording held against criteria, with the margin and the evidence of every verdict.

In come a log, its trace and criteria; no engine runs, so a recording can be judged where none can.  Out come
verdicts (met, not met, cannot be judged) with seconds and readings to click on, and a decision by a policy
that is data.  Public names: `Record`, `record_of`, `judge`, `judge_attempt`, `Judged`, `Verdict`, `Finding`,
`Evidence`, `Outcome`, `outcome`, `RATINGS`, `prompts`, `course_of`,
`gains_and_costs`, `turn_words`, `COSTS_NOTHING`, `MET`, `NOT_MET`, `CANNOT`, `STATES`.
"""

from tidalbay.judge.attempt import Judged, judge_attempt, record_of
from tidalbay.judge.comparing import Course, course_of, first_difference_s, gains_and_costs
from tidalbay.judge.decision import RATINGS, Outcome, outcome
from tidalbay.judge.judging import STATES, finding_of, judge
from tidalbay.judge.prompts import Prompt, prompts
from tidalbay.judge.record import Record
from tidalbay.judge.turn import COSTS_NOTHING, turn_words
from tidalbay.judge.verdict import CANNOT, MET, NOT_MET, Evidence, Finding, Verdict

__all__ = [
    "CANNOT",
    "COSTS_NOTHING",
    "MET",
    "NOT_MET",
    "RATINGS",
    "STATES",
    "Course",
    "Evidence",
    "Finding",
    "Judged",
    "Outcome",
    "Prompt",
    "Record",
    "Verdict",
    "course_of",
    "finding_of",
    "first_difference_s",
    "gains_and_costs",
    "judge",
    "judge_attempt",
    "outcome",
    "prompts",
    "record_of",
    "turn_words",
]
