"""What if one act had been another: the same patient, chance and later acts, one entry changed.

Everything before the changed act is the same to the last digit, and with nothing changed all of it is. Later
acts are left as they were; hands that can no longer do one of them leave it out, and that is told.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Final

from tidalbay.attempt.attempt import Attempt
from tidalbay.attempt.events import Cause
from tidalbay.attempt.plan import Plan, plan_from
from tidalbay.equipment import ActRefused
from tidalbay.trace import Entry, Log

WAYS: Final = ("changed", "moved", "added", "removed")


@dataclass(frozen=True, slots=True)
class Change:
    """One act that is other than it was.

    Attributes
    ----------
    way : str
        One of `WAYS`.
    entry : int or None
        Number of the act in the log; None where one is added.
    t_ms : int or None
        When it comes instead, where it is moved or added. [ms]
    kind, on, values
        What it is instead, where it is changed or added; None leaves what it was.
    """

    way: str
    entry: int | None = None
    t_ms: int | None = None
    kind: str | None = None
    on: str | None = None
    values: Mapping[str, Any] | None = None


@dataclass(frozen=True)
class WhatIf:
    """An attempt that went another way, and the acts that hands could no longer do.

    Attributes
    ----------
    attempt : Attempt
        With a log of its own, its entries numbered anew.
    from_s : float
        The moment from which it may differ. [s]
    left_out : list of (int, str)
        Number in the old log, and why.
    """

    attempt: Attempt
    from_s: float
    left_out: list[tuple[int, str]] = field(default_factory=list)


@dataclass(frozen=True)
class Fork:
    """An attempt as it stood before one of its acts, from which it can go another way.

    Attributes
    ----------
    done : int
        How many of the acts after the first entry it has behind it.
    last_ms : int
        When the last of them came. [ms]
    attempt : Attempt
    numbers : mapping of int to int
        Numbers of its acts in the old log, to their numbers here.
    """

    done: int
    last_ms: int
    attempt: Attempt
    numbers: Mapping[int, int]


def forks_of(log: Log, times: Mapping[str, float] | None = None) -> tuple[Fork, ...]:
    """An attempt played once, kept as it stood before each act: what comes before a change is run once.

    Parameters
    ----------
    log : Log
    times : mapping of str to float or None
        Factors on numbers of the patient, for a body that is a little other than the log's.
    """
    return played_with_forks(log, times)[1]


def played_with_forks(log: Log, times: Mapping[str, float] | None = None) -> tuple[Attempt, tuple[Fork, ...]]:
    """An attempt played again to its last act, and its forks; see `forks_of`.

    The forks end before an act that hands can no longer do; the attempt stands there as well.
    """
    forks: list[Fork] = []
    attempt, numbers = _begun(log, times)
    last_ms = 0
    for done, act in enumerate(log.acts[1:]):
        forks.append(Fork(done, last_ms, attempt.branch(), dict(numbers)))
        renumbered = _renumbered(act, attempt.log.next_n, numbers)
        if renumbered is None:
            break
        try:
            attempt.act(renumbered)
        except ActRefused:  # kept by an older program; whoever goes another way meets it again
            break
        numbers[act.n], last_ms = renumbered.n, act.t_ms
    return attempt, tuple(forks)


def what_if(log: Log, change: Change | None, until_s: float, forks: Sequence[Fork] | None = None) -> WhatIf:
    """Run an attempt again with one act other than it was.

    Parameters
    ----------
    log : Log
    change : Change or None
        None changes nothing, and gives the same bytes.
    until_s : float
        How far to run. [s]
    forks : sequence of Fork or None
        Of the same log, from `forks_of`; with them only what comes after the change is run.

    Raises
    ------
    ValueError
        With a sentence, for a change that is none.
    """
    entries, from_s = _changed(log, change)
    fork = _last_before(forks or (), from_s) if change is not None else None
    if fork is None and forks:
        fork = forks[0]  # before every act; it may be of another body than the log's
    if fork is None:
        attempt, numbers = _begun(log)
    else:
        attempt, numbers = fork.attempt.branch(), dict(fork.numbers)
        entries = entries[fork.done :]
    left_out: list[tuple[int, str]] = []
    for old_n, entry in entries:
        renumbered = _renumbered(entry, attempt.log.next_n, numbers)
        if renumbered is None:
            left_out.append((old_n, "It took back an act that is no longer there."))
            continue
        try:
            attempt.act(renumbered)
        except ActRefused as refused:
            left_out.append((old_n, str(refused)))
        else:
            numbers[old_n] = renumbered.n
    attempt.run_to(until_s)
    return WhatIf(attempt, from_s, left_out)


def _begun(log: Log, times: Mapping[str, float] | None = None) -> tuple[Attempt, dict[int, int]]:
    first = log.entries[0]
    assert isinstance(first, Entry)
    plan = plan_from(first)
    if times:
        plan = _of_another_body(plan, times)
    return Attempt.start(plan, Log([first])), {first.n: first.n}


def _of_another_body(plan: Plan, times: Mapping[str, float]) -> Plan:
    """The plan with some numbers of the patient times a factor, and so where an event sets one of them."""
    patient = dict(plan.patient)
    patient |= {name: patient[name] * factor for name, factor in times.items() if name in patient}
    events = tuple(
        replace(event, causes=tuple(_scaled(c, times) for c in event.causes)) for event in plan.events
    )
    return replace(plan, patient=patient, events=events)


def _scaled(cause: Cause, times: Mapping[str, float]) -> Cause:
    value = cause.value
    is_a_number = isinstance(value, int | float) and not isinstance(value, bool)
    if cause.strikes != "patient" or cause.id not in times or not is_a_number:
        return cause
    return replace(cause, value=float(value) * times[cause.id])


def _last_before(forks: Sequence[Fork], from_s: float) -> Fork | None:
    """The last fork whose acts all came before a moment: the changed list begins with the same ones. [s]"""
    return next((fork for fork in reversed(forks) if fork.last_ms < 1000.0 * from_s), None)


def _changed(log: Log, change: Change | None) -> tuple[list[tuple[int, Entry]], float]:
    """The acts in their new order, each with its old number, and the moment of the first difference. [s]"""
    acts = list(log.acts[1:])
    if change is None:
        return [(act.n, act) for act in acts], float("inf")
    if change.way not in WAYS:
        raise ValueError(f"An act is {', '.join(WAYS)}; {change.way!r} is none of these.")
    if change.way == "added":
        added = _added(log, change)
        return _in_order([*((act.n, act) for act in acts), (0, added)]), added.t_ms / 1000.0
    old = next((act for act in acts if act.n == change.entry), None)
    if old is None:
        raise ValueError(f"There is no act numbered {change.entry} in this log.")
    others = [(act.n, act) for act in acts if act.n != old.n]
    if change.way == "removed":
        return others, old.t_ms / 1000.0
    new = replace(
        old,
        t_ms=old.t_ms if change.t_ms is None else change.t_ms,
        seen_at_ms=None,
        kind=change.kind or old.kind,
        on=change.on if change.on is not None else old.on,
        values=old.values if change.values is None else dict(change.values),
    )
    return _in_order([*others, (old.n, new)]), min(old.t_ms, new.t_ms) / 1000.0


def _added(log: Log, change: Change) -> Entry:
    if change.t_ms is None or change.kind is None:
        raise ValueError("An act that is added says when (t_ms) and which (kind).")
    return Entry(
        n=1,  # numbered anew when it is done
        t_ms=change.t_ms,
        kind=change.kind,
        by="what-if",
        hands=log.acts[-1].hands,
        on=change.on,
        values=dict(change.values or {}),
    )


def _in_order(entries: Iterable[tuple[int, Entry]]) -> list[tuple[int, Entry]]:
    """By time; at one moment in the order of their old numbers, what is added last."""
    return sorted(entries, key=lambda each: (each[1].t_ms, each[0] or 10**9))


def _renumbered(entry: Entry, n: int, numbers: Mapping[int, int]) -> Entry | None:
    """The entry under its new number; None where it takes back what is not there."""
    values = entry.values
    if entry.kind == "taken_back":
        back = numbers.get(int(values["entry"]))
        if back is None:
            return None
        values = {**values, "entry": back}
    return replace(entry, n=n, key=None, values=dict(values))
