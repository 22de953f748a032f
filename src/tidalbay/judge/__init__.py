"""Judging: a recording held against criteria, with the margin and the evidence of every verdict.

In come a log, its trace and criteria; no engine runs, so a recording can be judged where none can.  Out come
verdicts (met, not met, cannot be judged) with seconds and readings to click on, and a decision by a policy
that is data.  Public names: `Record`, `judge`, `Verdict`, `Finding`, `Evidence`, `MET`, `NOT_MET`, `CANNOT`,
`STATES`.
"""

from tidalbay.judge.judging import STATES, finding_of, judge
from tidalbay.judge.record import Record
from tidalbay.judge.verdict import CANNOT, MET, NOT_MET, Evidence, Finding, Verdict

__all__ = [
    "CANNOT",
    "MET",
    "NOT_MET",
    "STATES",
    "Evidence",
    "Finding",
    "Record",
    "Verdict",
    "finding_of",
    "judge",
]
