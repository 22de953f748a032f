"""What is judged: an attempt's log and trace, read once into acts with their times and readings by name."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from tidalbay.catalogue.acts import acts as act_kinds
from tidalbay.catalogue.judged_readings import judged_readings
from tidalbay.trace import Entry, Log, Mark, Trace, plain

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

# Who tapped while watching somebody else's hands: such a tap is some seconds off (assumed 15 s).
_WATCHERS: Final = ("checker", "instructor")
NO_DEVICE: Final = "none"
_LEARNER: Final = "learner"
# Where saying is doing: a look is what was said, pointed at or written; words to others are the act itself.
_SAYING_IS_DOING: Final = ("observed", "handoff_given", "help_called", "read_back")
_WRITTEN: Final = ("charted", "minutes_worked_out")

# What an instructor does to the clock and the case says nothing about who handled the equipment.
OF_THE_STATION: Final = frozenset(
    {
        "attempt_started",
        "attempt_ended",
        "time_skipped",
        "event_thrown",
        "cause_thrown",
        "paused",
        "resumed",
        "pace_set",
        "stepped",
        "stopped_kindly",
    }
)


def watches(by: str) -> bool:
    """Whether who tapped was watching somebody else's hands: the log names a role, or role and screen."""
    return by.partition("-")[0] in _WATCHERS


@dataclass(frozen=True, slots=True)
class Done:
    """One act as it counts for judging.

    Attributes
    ----------
    n : int
        Its number in the log.
    t_s : float
        When it was seen; for a late tap the moment it names itself. [s]
    kind, on, values, manner
        As in the log.
    device : str
        The kind of device it was done to; empty where it was done to none or nobody can tell.
    is_exact : bool
        Whether its time is that of the hands and not of somebody who watched them.
    is_own_word : bool
        Whether only the learner says that it was done: their own tap, of what moves nothing and is neither a
        look read out nor something written or told.
    """

    n: int
    t_s: float
    kind: str
    on: str | None
    device: str
    values: Mapping[str, Any]
    manner: str
    is_exact: bool
    is_own_word: bool = False


@dataclass(frozen=True)
class Record:
    """An attempt as far as it went.

    Parameters
    ----------
    log : Log
    trace : Trace
        Of the same attempt; a row a second. A reading holds from its row until the next.
    is_whole_account : bool
        Whether everything that was done stands in the log, so that an act that is not there was not done: a
        learner alone at the drawn equipment, or a script. False where somebody watched and tapped.
    """

    log: Log
    trace: Trace
    is_whole_account: bool

    @cached_property
    def case(self) -> dict[str, Any]:
        """The case as the log's first entry keeps it."""
        said: dict[str, Any] = plain(self.log.entries[0].values["case"])
        return said

    @cached_property
    def marks(self) -> tuple[Mark, ...]:
        """What people judged, in order."""
        return self.log.marks

    @cached_property
    def acts(self) -> tuple[Done, ...]:
        """Every act that still stands, in the order in which it was seen.

        Acts that were taken back are left out, and so is what was only said, except where saying is doing: a
        look is what was said, pointed at or written.
        """
        taken = {int(e.values["entry"]) for e in self.log.acts if e.kind == "taken_back"}
        standing = [entry for entry in self.log.acts if entry.n not in taken and _counts(entry)]
        kinds = self.device_kinds
        return tuple(sorted((_done(e, kinds) for e in standing), key=lambda done: (done.t_s, done.n)))

    @cached_property
    def is_watched(self) -> bool:
        """Whether somebody watches who could say what eyes saw: they tapped, or judged."""
        handled = (done for done in self.acts if done.kind not in OF_THE_STATION)
        spoke = bool(self.marks) or any(not done.is_exact for done in handled)
        return spoke and not self.is_whole_account

    @cached_property
    def said_only(self) -> tuple[Done, ...]:
        """Acts that were only said."""
        entries = [e for e in self.log.acts if e.manner == "said" and not _counts(e)]
        return tuple(_done(entry, self.device_kinds) for entry in entries)

    @cached_property
    def device_kinds(self) -> dict[str, str]:
        """The kind of each device that was ever there, by its name."""
        found = {d.get("id") or d["kind"]: str(d["kind"]) for d in self.case["setup"].get("devices", ())}
        for entry in self.log.acts:
            if entry.kind == "device_chosen":
                kind = str(entry.values.get("device"))
                found.setdefault(entry.on or kind, kind)
        return found

    @property
    def end_s(self) -> float:
        """The last moment that is recorded. [s]"""
        last_ms = max((entry.t_ms for entry in self.log.acts), default=0)
        clock = self.clock
        return max(float(clock[-1]) if len(clock) else 0.0, last_ms / 1000.0)

    @property
    def has_ended(self) -> bool:
        """Whether the attempt is over, so that what has not come will not come."""
        return self.log.has_ended

    @cached_property
    def clock(self) -> Floats:
        """Moments of the rows, rising. [s]"""
        return np.asarray(self.trace.seconds["t_s"], dtype=np.float64)

    def wearing(self, kinds: Sequence[str]) -> Flags:
        """For each row whether a device of one of these kinds was on."""
        flags = np.zeros(len(self.clock), dtype=bool)
        worn = self.trace.seconds.get("wearing")
        if worn is None:
            return flags
        names, rows = np.unique(worn, return_inverse=True)
        is_on = np.array([any(kind in str(name).split(" + ") for kind in kinds) for name in names])
        return np.asarray(is_on[rows], dtype=bool) if len(names) else flags

    @cached_property
    def on_oxygen(self) -> Flags:
        """For each row whether gas reached a device that was on."""
        flows = [self._column(name, "flow_lpm") for name in self.device_kinds]
        known = [flow for flow in flows if flow is not None]
        worn = self.trace.seconds.get("wearing")
        if worn is None or not known:
            return np.zeros(len(self.clock), dtype=bool)
        flowing = np.any([np.nan_to_num(flow) > 0.0 for flow in known], axis=0)
        return np.asarray((worn != NO_DEVICE) & flowing, dtype=bool)

    def reading(self, name: str, on: str | None = None, worn: Sequence[str] = ()) -> Floats | None:
        """A reading, a value a row, NaN where it was not available; None where the record has no such column.

        Parameters
        ----------
        name : str
            One of the readings of the catalogue.
        on : str or None
            Of which object.
        worn : sequence of str
            Kinds of device whose reading is meant, where it is one of a device and `on` is not said.
        """
        kind = judged_readings()[name]
        if kind.of == "patient":
            column = self.trace.seconds.get(kind.column)
            return None if column is None else kind.times * np.asarray(column, dtype=np.float64)
        objects = [on] if on else list(self._objects(kind.of, worn))
        columns = [self._column(each, kind.column) for each in objects]
        known = [column for column in columns if column is not None]
        if not known:
            return None
        together = known[0] if len(known) == 1 else np.nanmax(np.vstack([_filled(c) for c in known]), axis=0)
        return kind.times * np.where(np.isneginf(together), np.nan, together)

    def _objects(self, sort: str, worn: Sequence[str]) -> Iterator[str]:
        """Names of the objects of a sort that the record has readings of."""
        if sort == "device":
            yield from (name for name, kind in self.device_kinds.items() if not worn or kind in worn)
            return
        ending = {"flowmeter": "_shown_lpm", "cylinder": "_gauge_psi"}[sort]
        yield from (name.removesuffix(ending) for name in self.trace.seconds if name.endswith(ending))

    def _column(self, part: str, ending: str) -> Floats | None:
        column = self.trace.seconds.get(f"{re.sub('[.-]', '_', part)}_{ending}")
        return None if column is None else np.asarray(column, dtype=np.float64)


def _filled(column: Floats) -> Floats:
    """The column with unknown values below every known one, so that the largest known one is found."""
    return np.where(np.isnan(column), -np.inf, column)


def _counts(entry: Entry) -> bool:
    return entry.manner != "said" or entry.kind in _SAYING_IS_DOING


def _done(entry: Entry, kinds: Mapping[str, str]) -> Done:
    at_ms = entry.t_ms if entry.seen_at_ms is None else entry.seen_at_ms
    on = entry.on
    if on is None and "device" in act_kinds()[entry.kind].on and len(kinds) == 1:
        on = next(iter(kinds))
    return Done(
        n=entry.n,
        t_s=at_ms / 1000.0,
        kind=entry.kind,
        on=entry.on,
        device=kinds.get(on or "", str(entry.values.get("device", ""))),
        values=entry.values,
        manner=entry.manner,
        is_exact=not watches(entry.by),
        is_own_word=_is_own_word(entry),
    )


def _is_own_word(entry: Entry) -> bool:
    by_learner = entry.by.partition("-")[0] == _LEARNER
    says_itself = entry.kind in (*_SAYING_IS_DOING, *_WRITTEN)
    return by_learner and act_kinds()[entry.kind].changes == "nothing" and not says_itself
