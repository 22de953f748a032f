"""Who may do what at a station in which mode; every refusal is a sentence."""

from typing import Final

from tidalbay.catalogue import ActKind
from tidalbay.live.hands.said import StationRefused, Who

CLOCK_ACTS: Final = ("paused", "resumed", "pace_set", "stepped", "time_skipped")
NEVER_SAID: Final = ("attempt_started",)  # the station itself writes it
NOT_ASSESSED: Final = ("pace_set", "stepped")  # an assessment runs at its own pace, the same for everyone
# What a learner's own screen takes in an assessment: what is written, and a stop. The checker taps for hands.
BY_LEARNER_ASSESSED: Final = (
    "charted",
    "handoff_given",
    "minutes_worked_out",
    "stopped_kindly",
    "taken_back",
)


def check_role(kind: ActKind, who: Who, mode: str) -> None:
    """Refuse an act that this role may not log in this mode.

    Raises
    ------
    StationRefused
        With a sentence.
    """
    if who.role not in kind.by:
        raise StationRefused(
            f"{kind.button!r} is logged by {' or '.join(kind.by)}; it cannot be logged by {who.role}."
        )
    if mode == "summative" and kind.id in NOT_ASSESSED:
        raise StationRefused(
            f"{kind.button!r} is not for an assessment: it runs at the pace of life for everyone."
        )
    if who.role == "learner" and mode != "practice" and (kind.id in CLOCK_ACTS or kind.id == "attempt_ended"):
        raise StationRefused(
            f"{kind.button!r} is for whoever leads the station; a learner may do it when practising alone."
        )
    if who.role == "learner" and mode == "summative" and kind.id not in BY_LEARNER_ASSESSED:
        raise StationRefused(
            f"{kind.button!r} is tapped by the checker in an assessment, who sees the hands; "
            "a learner's own screen takes the chart, a handoff and the minutes worked out."
        )


def may_log(kind: ActKind, role: str, mode: str) -> bool:
    """Whether this role may log an act of this kind in this mode."""
    try:
        check_role(kind, Who(role), mode)
    except StationRefused:
        return False
    return kind.id not in NEVER_SAID


def check_back(do: str, who: Who, mode: str) -> None:
    """Refuse going back, or on from here in a log of its own, where it is not allowed.

    Raises
    ------
    StationRefused
        With a sentence.
    """
    if mode == "summative":
        raise StationRefused("An assessment does not go back; stop it kindly and begin another attempt.")
    if who.role != "instructor" and not (who.role == "learner" and mode == "practice"):
        raise StationRefused(
            f"Going {do} is for the instructor, and for a learner practising alone; not for {who.role}."
        )
