"""When verdicts are shown: at an assessment not before the people have judged for themselves."""

from collections.abc import Sequence

from tidalbay.case.criteria import Criterion
from tidalbay.judge.decision import rating_of
from tidalbay.judge.record import Record

SUMMATIVE = "summative"


def why_folded(record: Record, criteria: Sequence[Criterion]) -> str:
    """Why the verdicts of the record stay folded, in a sentence; empty where they may be shown.

    Parameters
    ----------
    record : Record
    criteria : sequence of Criterion
        What the attempt is judged by.

    Notes
    -----
    In an assessment whoever judges would lean on the record, so it waits for the marks on everything that
    only a person can judge, and for the global rating.
    """
    if record.log.entries[0].values["mode"] != SUMMATIVE:
        return ""
    spoken = {mark.about for mark in record.marks if mark.kind == "step_state"}
    waiting = [each for each in criteria if each.form == "judged_by" and each.id not in spoken]
    missing = []
    if waiting:
        count = len(waiting)
        missing.append(f"{count} {'mark' if count == 1 else 'marks'} that only a person can give")
    if rating_of(record) is None:
        missing.append("the global rating")
    if not missing:
        return ""
    return f"Verdicts stay folded in an assessment until the checker has judged: {' and '.join(missing)}."
