"""What was judged, and the steps it is about, for those who judge: checkers and instructor see one list."""

from collections.abc import Mapping
from typing import Any

from tidalbay.bedside import JUDGES, mark_shown
from tidalbay.trace import Log, plain


def marks_message(log: Log, role: str) -> dict[str, Any] | None:
    """Every mark of a log, oldest first; None for a role that does not judge."""
    if role not in JUDGES:
        return None
    return {"kind": "marks", "marks": marks_shown(log)}


def marks_shown(log: Log) -> list[dict[str, Any]]:
    """Marks as pages take them."""
    return [
        {
            "n": mark.n,
            "t_ms": mark.t_ms,
            "kind": mark.kind,
            "about": mark.about,
            "rater": mark.rater,
            "values": mark_shown(mark.kind, plain(mark.values)),
        }
        for mark in log.marks
    ]


def steps_shown(case: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The steps of the case's check-off, numbered as on paper; none where the case has no check-off."""
    criteria = (case.get("check_off") or {}).get("criteria", ())
    return [
        {"item": i, "id": each["id"], "say": each["say"], "must": bool(each.get("must", False))}
        for i, each in enumerate(criteria, start=1)
    ]
