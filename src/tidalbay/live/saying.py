"""From what was said to an entry of the log: every check that can be made before anything is kept."""

from collections.abc import Mapping
from typing import Any

from tidalbay.catalogue import ActKind, acts, cause_fault, cause_value_fault, causes, check_values
from tidalbay.equipment import EQUIPMENT_ACTS, ActRefused
from tidalbay.live.hands.in_words import in_words
from tidalbay.live.hands.rules import CLOCK_ACTS, NEVER_SAID, check_role
from tidalbay.live.hands.said import ActSaid, MarkSaid, StationRefused, Who
from tidalbay.live.played import Played
from tidalbay.trace import Entry, Key, Mark, Receipt

_NEVER_TAKEN_BACK = (*CLOCK_ACTS, "attempt_started", "attempt_ended", "taken_back", "event_thrown")


def checked_entry(played: Played, said: ActSaid, who: Who, t_ms: int) -> tuple[Entry, Receipt | None]:
    """The entry that an act would make, and its old receipt where the same tap was kept before.

    The attempt is run to the act's moment; nothing is appended or applied.

    Raises
    ------
    ActRefused, StationRefused
        With a sentence, in which people read what a thing is and scripts the id that they must write.
    """
    try:
        return _checked(played, said, who, t_ms)
    except (ActRefused, StationRefused) as refused:
        if who.name.startswith("script"):
            raise
        raise type(refused)(in_words(str(refused), played.attempt.equipment.seen())) from None


def _checked(played: Played, said: ActSaid, who: Who, t_ms: int) -> tuple[Entry, Receipt | None]:
    kind = acts().get(said.act)
    if kind is None:
        raise StationRefused(f"There is no act {said.act!r}.")
    if kind.id in NEVER_SAID:
        raise StationRefused(f"{kind.id} is written by the station itself; start the station instead.")
    _check_attempt(played, said.attempt, said.act)
    t_ms = max(t_ms, played.reached_ms)
    try:
        entry = Entry(
            n=played.log.next_n,
            t_ms=t_ms,
            kind=said.act,
            by=who.name,
            hands=said.hands or who.name,
            manner=said.manner,
            on=said.on,
            seen_at_ms=None if said.seen_at_ms is None else min(said.seen_at_ms, t_ms),
            key=None if said.key is None else Key(*said.key),
            v=kind.version,
            values=_resolved(kind, said.values),
        )
        kept = played.log.check(entry)
    except ActRefused:
        raise
    except (ValueError, OverflowError, RecursionError) as problem:
        raise StationRefused(str(problem)) from None
    if kept is not None:
        return entry, kept
    check_role(kind, who, played.mode)
    _check_said(played, kind, said, entry, who)
    try:
        played.attempt.check(entry)
    except ActRefused:
        raise
    except (ValueError, OverflowError) as problem:
        raise ActRefused(str(problem)) from None
    return entry, None


def mark_of(played: Played, said: MarkSaid, who: Who, t_ms: int) -> Mark:
    """The mark that would be kept.

    Raises
    ------
    StationRefused
        With a sentence.
    """
    _check_attempt(played, said.attempt)
    if who.role not in ("checker", "instructor"):
        raise StationRefused(f"Marks are a checker's or the instructor's; {who.role} cannot set them.")
    try:
        return Mark(
            n=played.log.next_n,
            t_ms=t_ms,
            kind=said.kind,
            rater=who.name,
            about=said.about,
            key=None if said.key is None else Key(*said.key),
            values=said.values,
        )
    except (ValueError, OverflowError, RecursionError) as problem:
        raise StationRefused(str(problem)) from None


def _check_attempt(played: Played, attempt: str | None, act: str = "") -> None:
    if attempt is None or attempt == played.id:
        return
    if attempt != played.continues:
        raise StationRefused(
            "This was tapped for an attempt that is over here; another patient lies there now."
        )
    if act != "stopped_kindly":  # a stop holds whatever the station's time has done since
        raise StationRefused("The station went back after this was tapped; look again, then tap it again.")


def _resolved(kind: ActKind, values: Mapping[str, Any]) -> Mapping[str, Any]:
    """Values with what a log must keep of the catalogue beside them."""
    if kind.id != "cause_thrown":
        return values
    cause = causes().get(str(values.get("cause")))
    if cause is None:
        fault = cause_fault(values.get("cause"))
        raise ActRefused(fault.sentence if fault else "There is no such cause.")
    return {**values, "strikes": cause.strikes, "time_constant_s": cause.time_constant_s}


def _check_said(played: Played, kind: ActKind, said: ActSaid, entry: Entry, who: Who) -> None:
    if kind.group == "time" and kind.id != "prompted" and entry.manner != "done":
        raise ActRefused(f"{kind.button!r} is done or it is not; it cannot be {entry.manner}.")
    sentences = check_values(kind, entry.values)
    if sentences:
        raise ActRefused(" ".join(sentences))
    if said.on is not None:
        _check_object(played, kind, said.on)
    if kind.id == "cause_thrown":
        _check_cause(entry)
    elif kind.id == "event_thrown":
        _check_event(played, str(entry.values["event"]))
    elif kind.id == "taken_back":
        _check_taken_back(played, int(entry.values["entry"]), who)


def _check_object(played: Played, kind: ActKind, on: str) -> None:
    if not kind.on:
        raise ActRefused(f"{kind.id} is done to no object; leave {on!r} out.")
    if kind.id in EQUIPMENT_ACTS:
        return  # the equipment knows what it could be done to, and what it brings
    there = [*played.attempt.equipment.part_ids(), "probe"]
    if on not in there:
        named = ", ".join(f"'{part}'" for part in there[:-1])
        raise ActRefused(f"There is no '{on}' at this station; there is {named or 'nothing'} and the probe.")


def _check_cause(entry: Entry) -> None:
    values = entry.values
    cause = causes()[str(values["cause"])]
    if values.get("gone"):
        if cause.strikes == "patient" or cause.type not in ("yes_no", "share"):
            raise ActRefused(f"{cause.id} cannot be taken away again; throw it with another value.")
        return
    simply_so = cause.type in ("yes_no", "yes", "share") or (
        cause.strikes == "equipment" and not cause.numbers
    )
    if "value" not in values:
        if not simply_so:
            raise ActRefused(f"{cause.id} needs a value; write how much of it, or which.")
        return
    value: Any = values["value"]
    fault = cause_value_fault(cause, int(value) if _is_whole(cause.type, value) else value)
    if fault is not None:
        raise ActRefused(fault.sentence)


def _is_whole(cause_type: str, value: Any) -> bool:
    return cause_type == "whole" and isinstance(value, float) and value == int(value)


def _check_event(played: Played, event_id: str) -> None:
    pending = played.attempt.pending
    known = [event.id for event in pending.events]
    if event_id not in known:
        raise ActRefused(f"The case has no event {event_id!r}; its events are {', '.join(known) or 'none'}.")
    if event_id in pending.happened_s:
        raise ActRefused(f"{event_id!r} has happened already, at {pending.happened_s[event_id]:.0f} s.")


def _check_taken_back(played: Played, n: int, who: Who) -> None:
    entries = played.log.entries
    entry = entries[n - 1] if n <= len(entries) else None
    if not isinstance(entry, Entry):
        raise ActRefused(f"There is no act numbered {n} to take back.")
    if entry.kind in _NEVER_TAKEN_BACK:
        raise ActRefused(f"{acts()[entry.kind].button!r} cannot be taken back; what it did has been seen.")
    if who.role == "learner" and played.mode != "practice" and entry.by != who.name:
        raise StationRefused(
            "A learner takes back what they tapped themselves; this was tapped by somebody else."
        )
    if any(int(act.values["entry"]) == n for act in played.log.acts if act.kind == "taken_back"):
        raise ActRefused(f"Entry {n} has been taken back already.")
