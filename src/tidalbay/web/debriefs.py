"""Attempts laid out for their debrief: read from the store, played again once, and kept for a while."""

import asyncio
from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isfinite
from typing import Any, Final

from tidalbay.ask import replay
from tidalbay.attempt import Attempt, Change, Fork, played_with_forks, what_if
from tidalbay.catalogue import acts as act_kinds
from tidalbay.catalogue import check_values
from tidalbay.engine import source_digest
from tidalbay.judge import COSTS_NOTHING
from tidalbay.live import Lab
from tidalbay.records import ActStore, StoredAttempt, StoreError
from tidalbay.report import Debrief, debrief_of, other_way, skin_each_minute
from tidalbay.report.effect_band import Bodies, effect_band
from tidalbay.report.strips import step_of, strips_of
from tidalbay.trace import Entry, Log, Trace, trace_from_json
from tidalbay.web.refusal import Refused

MOST_KEPT: Final = 6  # laid out at once; one takes a few megabytes
WAYS: Final = ("changed", "moved", "added", "removed")
NAMES: Final = ("way", "entry", "t_ms", "kind", "on", "values")
DRIFTED: Final = (
    "The program was changed since this attempt, so both lines are worked out anew and may differ a little "
    "from what was shown."
)


@dataclass
class Laid:
    """One attempt laid out, with what is needed to go another way.

    Attributes
    ----------
    stored : StoredAttempt
    debrief : Debrief
    attempt : Attempt
        Played again from its log.
    replayed : Trace
        What it showed this time: the same as was shown unless the program was changed since.
    forks : tuple of Fork
        It as it stood before each act, so that only what comes after a change is run.
    """

    stored: StoredAttempt
    debrief: Debrief
    attempt: Attempt
    replayed: Trace
    forks: tuple[Fork, ...]
    _bodies: Bodies | None = field(default=None)

    @property
    def log(self) -> Log:
        """Everything done and judged."""
        return self.debrief.judged.record.log

    @property
    def has_drifted(self) -> bool:
        """Whether playing it again shows something else than was shown."""
        return self.replayed.digest() != self.debrief.judged.record.trace.digest()

    def page(self) -> dict[str, Any]:
        """What the page's first look needs, and the things that an act could be done to."""
        return {
            **self.debrief.first_page(),
            "attempt": self.stored.id,
            "things": {**self.attempt.equipment.seen(), "probe": None},
        }

    def other_way(self, change: Change | None) -> dict[str, Any]:
        """Run it with one act other than it was; both curves as plain values.

        With nothing changed all of it is run again, and the two are compared byte by byte.

        Raises
        ------
        ValueError
            With a sentence, for a change that is none.
        """
        until_s = self.attempt.t_s
        if change is None:
            would = what_if(self.log, None, until_s)
            same = would.attempt.trace().digest() == self.replayed.digest()
        else:
            would = what_if(self.log, change, until_s, self.forks)
            same = False
        told = {**other_way(self.log, self.replayed, would), "is_same": same, "drifted": "", "was": None}
        refused = next((why for n, why in would.left_out if change and n == (change.entry or 0)), None)
        if refused is not None:
            raise ValueError(f"Hands could not have done that then. {refused}")
        if self.has_drifted:
            record = self.debrief.judged.record
            again = type(record)(record.log, self.replayed, record.is_whole_account)
            strips = strips_of(again, step_of(again.end_s), skin_each_minute(self.attempt))
            told |= {"drifted": DRIFTED, "was": [strip.as_plain() for strip in strips]}
        return told

    def band(self, change: Change) -> dict[str, Any]:
        """How far the change might have worked otherwise in bodies that may as well be this one.

        The bodies are played through once for all changes; after that each takes as long as this one.

        Raises
        ------
        ValueError
            With a sentence, for a change that is none.
        """
        would = what_if(self.log, change, self.attempt.t_s, self.forks)
        if self._bodies is None:
            self._bodies = Bodies(self.log, self.attempt.t_s)
        return effect_band(
            (self.replayed, would.attempt.trace()), self._bodies.both_ways(change), would.from_s
        )


class Debriefs:
    """The newest attempts that somebody talked through, laid out."""

    def __init__(self) -> None:
        """Begin with none."""
        self._laid: OrderedDict[tuple[str, int, int], Laid] = OrderedDict()
        self._one_at_a_time = asyncio.Lock()  # stations that are running come first
        self._one_band_at_a_time = asyncio.Lock()

    async def of(self, lab: Lab, stored: StoredAttempt, log: Log) -> Laid:
        """Lay an attempt out, or find it laid out.

        Raises
        ------
        Refused
            409, with a sentence, where it cannot be played again.
        """
        key = (stored.id, len(log), stored.t_ms if stored.state != "ended" else -1)
        async with self._one_at_a_time:
            found = self._laid.get(key)
            if found is None:
                try:
                    found = await asyncio.to_thread(_lay_out, lab.store, stored, log)
                except (StoreError, ValueError) as problem:
                    raise Refused(409, f"This attempt cannot be laid out. {problem}") from None
                self._laid[key] = found
                while len(self._laid) > MOST_KEPT:
                    self._laid.popitem(last=False)
            self._laid.move_to_end(key)
            return found

    async def other_way(self, laid: Laid, change: Change | None) -> dict[str, Any]:
        """Go another way, in a thread and one at a time; errors as of `Laid.other_way`, refused with 409."""
        async with self._one_at_a_time:
            try:
                return await asyncio.to_thread(laid.other_way, change)
            except ValueError as problem:
                raise Refused(409, str(problem)) from None

    async def band(self, laid: Laid, change: Change) -> dict[str, Any]:
        """Work out the band of a change, in a thread, one at a time, and beside what is asked meanwhile."""
        async with self._one_band_at_a_time:
            try:
                return await asyncio.to_thread(laid.band, change)
            except ValueError as problem:
                raise Refused(409, str(problem)) from None


def change_said(said: Mapping[str, Any], laid: Laid) -> Change | None:
    """The change that a page asks for; None for `{}`, which changes nothing.

    Raises
    ------
    Refused
        400, with a sentence.
    """
    unknown = sorted(set(said) - set(NAMES))
    if unknown:
        raise Refused(400, f"There is no {', '.join(unknown)[:100]} here; write {', '.join(NAMES)}.")
    if not said:
        return None
    way = said.get("way")
    if way not in WAYS:
        raise Refused(400, f"way is {str(way)[:40]!r}; write {', '.join(WAYS)}.")
    old = None if way == "added" else _entry(laid, said.get("entry"))
    kind = _kind(said.get("kind")) if way == "added" else old.kind if old else ""
    t_ms = _moment(said.get("t_ms"), laid) if way in ("added", "moved") else None
    if way in ("moved", "removed"):
        return Change(way, old.n if old else None, t_ms)
    values = said.get("values")
    if not isinstance(values, dict):
        raise Refused(400, "values are the act's arguments, as an object in braces.")
    wrong = check_values(act_kinds()[kind], values)
    if wrong:
        raise Refused(400, " ".join(wrong))
    on = said.get("on")
    if on is not None and not isinstance(on, str):
        raise Refused(400, "on is the name of what the act is done to.")
    if way == "changed":
        return Change("changed", old.n if old else None, on=on, values=values)
    return Change("added", None, t_ms, kind, on, values)


def _entry(laid: Laid, n: object) -> Entry:
    acts = {act.n: act for act in laid.debrief.acts if act.is_changeable}
    if not isinstance(n, int) or isinstance(n, bool) or n not in acts:
        raise Refused(
            400, "entry is the number of an act that moves something; only those can go another way."
        )
    return next(each for each in laid.log.acts if each.n == n)


def _kind(kind: object) -> str:
    known = act_kinds().get(str(kind))
    if known is None or known.changes == "nothing" or known.group == "time":
        raise Refused(400, f"kind is {str(kind)[:40]!r}; write an act that moves something.")
    return known.id


def _moment(t_ms: object, laid: Laid) -> int:
    until_ms = int(1000.0 * laid.attempt.t_s)
    if not isinstance(t_ms, int) or isinstance(t_ms, bool) or not isfinite(t_ms) or not 0 < t_ms <= until_ms:
        raise Refused(400, f"t_ms is a moment of the attempt in milliseconds, 1 to {until_ms}.")
    return t_ms


def _lay_out(store: ActStore, stored: StoredAttempt, log: Log) -> Laid:
    kept = store.shown_trace(stored.id)
    is_of_this_program = log.acts[0].values["engine_digest"] == source_digest()
    attempt, forks = _played(log)
    if stored.state != "ended":
        attempt.run_to(stored.t_ms / 1000.0)
    replayed = attempt.trace()
    shown = replayed if kept is None else trace_from_json(kept.decode())
    skin = skin_each_minute(attempt) if is_of_this_program else None
    number = store.turn_of(stored.id, COSTS_NOTHING)
    return Laid(stored, debrief_of(log, shown, skin, number), attempt, replayed, forks)


def _played(log: Log) -> tuple[Attempt, tuple[Fork, ...]]:
    """The attempt played once, with its forks; once more where hands cannot do one of its acts any more."""
    attempt, forks = played_with_forks(log)
    attempt.run_to(log.entries[-1].t_ms / 1000.0)
    if len(attempt.log.acts) == len(log.acts):
        return attempt, forks
    return replay(log), forks
