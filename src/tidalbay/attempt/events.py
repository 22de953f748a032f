"""Events of a case: at a time, after an act, or when a reading has stood for a while.

Events are derived, never logged by the case: the same case and the same acts bring the same ones.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from tidalbay.trace import Entry


@dataclass(frozen=True, slots=True)
class Cause:
    """One thing an event changes: the patient or a part of the equipment, by the catalogue's word."""

    id: str
    value: Any
    strikes: str  # patient or equipment
    on: str | None = None
    lag_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Condition:
    """A reading below or above a bound for some time. [s]"""

    reading: str
    below: float | None
    above: float | None
    for_s: float


@dataclass(frozen=True, slots=True)
class Awaited:
    """An act to wait for, with the object and the arguments it must have."""

    kind: str
    on: str | None = None
    values: Mapping[str, Any] = field(default_factory=dict)

    def is_met_by(self, act: Entry) -> bool:
        """Whether this act is the one waited for."""
        return (
            act.kind == self.kind
            and (self.on is None or act.on == self.on)
            and all(act.values.get(name) == value for name, value in self.values.items())
        )


@dataclass(frozen=True, slots=True)
class Event:
    """What a case makes happen, once.

    It comes `delay_s` after the last of: its time, its acts (each done at least once), the event
    it follows, and its condition having held.
    """

    id: str
    causes: tuple[Cause, ...]
    at_s: float = 0.0
    acts: tuple[Awaited, ...] = ()
    after: str | None = None
    condition: Condition | None = None
    delay_s: float = 0.0
    thrown_only: bool = False  # waits for the instructor


@dataclass(slots=True)
class Pending:
    """What an attempt still waits for; copied when a branch is made."""

    events: tuple[Event, ...]
    happened_s: dict[str, float] = field(default_factory=dict)
    met_s: dict[tuple[str, int], float] = field(default_factory=dict)
    held_since_s: dict[str, float] = field(default_factory=dict)

    def copy(self) -> "Pending":
        """The same waiting, for a branch."""
        return Pending(self.events, dict(self.happened_s), dict(self.met_s), dict(self.held_since_s))

    def ids(self) -> list[str]:
        """Every event of the case."""
        return [event.id for event in self.events]

    def has_conditions(self) -> bool:
        """Whether a reading must be looked at every second."""
        return any(event.condition is not None for event in self._waiting())

    def note_act(self, act: Entry, t_s: float) -> None:
        """An act was done, for the first time or again."""
        for event in self._waiting():
            for i, awaited in enumerate(event.acts):
                if awaited.is_met_by(act):
                    self.met_s.setdefault((event.id, i), t_s)

    def note_reading(self, t_s: float, readings: Mapping[str, float]) -> None:
        """A second's readings, for conditions; one that is not there holds nothing."""
        for event in self._waiting():
            if event.condition is None:
                continue
            if _holds(event.condition, readings.get(event.condition.reading)):
                self.held_since_s.setdefault(event.id, t_s)
            else:
                self.held_since_s.pop(event.id, None)

    def next_due_s(self) -> float:
        """When the next event comes that waits for nothing but time; inf if none does. [s]"""
        return min((self._due_s(event) for event in self._waiting()), default=float("inf"))

    def take_due(self, t_s: float) -> list[Event]:
        """The events that have come by now, in the order of the case; they will not come again."""
        due = [event for event in self._waiting() if self._due_s(event) <= t_s]
        for event in due:
            self.happened_s[event.id] = t_s
        return due

    def throw(self, event_id: str, t_s: float) -> Event | None:
        """The instructor makes an event happen now; None if the case has no such event."""
        for event in self.events:
            if event.id == event_id:
                self.happened_s[event.id] = t_s
                return event
        return None

    def _waiting(self) -> Sequence[Event]:
        return [event for event in self.events if event.id not in self.happened_s]

    def _due_s(self, event: Event) -> float:
        never = float("inf")
        if event.thrown_only:
            return never
        since = [event.at_s]
        since += [self.met_s.get((event.id, i), never) for i in range(len(event.acts))]
        if event.after is not None:
            since.append(self.happened_s.get(event.after, never))
        if event.condition is not None:
            since.append(self.held_since_s.get(event.id, never) + event.condition.for_s)
        return max(since) + event.delay_s


def _holds(condition: Condition, value: float | None) -> bool:
    if value is None or value != value:
        return False
    return (condition.below is None or value < condition.below) and (
        condition.above is None or value > condition.above
    )
