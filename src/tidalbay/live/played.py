"""One attempt as it is played: breath by breath, looked at, the breath under way known to its end."""

from collections.abc import Mapping
from math import ceil, floor, isfinite
from typing import Any, Final

from tidalbay.attempt import Attempt, ComingBreath, plan_from
from tidalbay.live.watching import Watch
from tidalbay.live.wire import Moment, faults_at_hand, moment_of
from tidalbay.trace import Entry, Log, Mark, plain

# The clock begins here and not at 0, so that the patient has been seen once before anybody acts. [ms]
FIRST_LOOK_MS: Final = 1
_EXACT_S: Final = 1e-9


class Played:
    """An attempt, what was found in it, and its breath under way.

    Made by `begun` or `replayed`; time comes in whole milliseconds, so that a log of them tells all.
    """

    def __init__(self, attempt_id: str, attempt: Attempt) -> None:
        """Use `begun` or `replayed`."""
        self.id = attempt_id
        self.continues: str | None = None  # the attempt that this one was branched from, at this station
        self.attempt = attempt
        first = attempt.log.acts[0]
        self.case: Mapping[str, Any] = plain(first.values["case"])
        self.watch = Watch(self.case, attempt.plan.seed)
        attempt.run_to(FIRST_LOOK_MS / 1000.0)
        self.watch.look(attempt)
        self.coming: ComingBreath = attempt.coming()
        self._stretch = attempt.stretches[-1]
        self._happened = len(attempt.happened)
        self._told_n = 0
        self._faults: Mapping[str, list[str]] = {}
        self._faults_of: object = None

    @classmethod
    def begun(cls, attempt_id: str, first: Entry) -> "Played":
        """A new attempt from its first entry.

        Raises
        ------
        ValueError
            With a sentence, where the case cannot be played.
        """
        return cls(attempt_id, Attempt.start(plan_from(first), Log([first])))

    @classmethod
    def replayed(cls, attempt_id: str, log: Log, until_ms: int) -> "Played":
        """The attempt that a log tells, run on to a moment: the same as if it had never been away. [ms]"""
        first, *later = log.entries
        assert isinstance(first, Entry)
        played = cls.begun(attempt_id, first)
        for entry in later:
            played.take(entry)
        played.pass_to(until_ms)
        played.attempt.run_to(until_ms / 1000.0)
        played._ahead()
        return played

    @property
    def log(self) -> Log:
        """Everything done and judged so far."""
        return self.attempt.log

    @property
    def mode(self) -> str:
        """demonstration, practice, formative or summative."""
        return self.attempt.plan.mode

    @property
    def reached_ms(self) -> int:
        """The first whole millisecond that is not before what has been played. [ms]"""
        return max(FIRST_LOOK_MS, ceil(self.attempt.t_s * 1000.0 - 1e-6))

    @property
    def breath_ends_ms(self) -> int:
        """The last whole millisecond of the breath under way. [ms]"""
        return floor(self.coming.ends_s * 1000.0)

    @property
    def due_ms(self) -> int:
        """When something is next to be told: the breath ends, or something may change. [ms]"""
        stop_s = self.attempt.next_stop_s()
        if not isfinite(stop_s):
            return self.breath_ends_ms
        return min(self.breath_ends_ms, max(self.reached_ms + 1, ceil(stop_s * 1000.0)))

    def pass_to(self, now_ms: int) -> bool:
        """Let time pass to a moment; whether there is a breath to tell of. [ms]"""
        is_news = False
        while self.due_ms <= now_ms:
            self.attempt.run_to(self.due_ms / 1000.0)
            is_news = self._ahead() or is_news
        return is_news

    def take(self, entry: Entry | Mark) -> None:
        """Append an entry that was checked, let it work, and note what it brought to light."""
        self.pass_to(entry.t_ms)
        self.attempt.act(entry)
        self.watch.note(self.attempt, entry)
        self._ahead()

    def moment(self, clock: Mapping[str, Any]) -> Moment:
        """The moment now, for messages; the same breath told twice supersedes itself."""
        self.watch.look(self.attempt)
        superseded = self.coming.n == self._told_n
        self._told_n = self.coming.n
        stretch = self.attempt.stretches[-1]
        if self._faults_of is not stretch:  # what could go wrong changes only with the equipment
            self._faults_of, self._faults = stretch, faults_at_hand(self.attempt)
        return moment_of(self.attempt, self.watch, self.coming, clock, superseded, self._faults)

    def _ahead(self) -> bool:
        """Work out the breath under way anew where it is another one, or where something has changed."""
        attempt = self.attempt
        ended = attempt.run.time_s >= self.coming.ends_s - _EXACT_S
        changed = attempt.stretches[-1] is not self._stretch or len(attempt.happened) != self._happened
        self._stretch, self._happened = attempt.stretches[-1], len(attempt.happened)
        if ended or changed:
            self.coming = attempt.coming(None if ended else self.coming)
        return ended or changed


def entries_until(log: Log, to_ms: int) -> list[Entry | Mark]:
    """What a log held at a moment; a skip that passes over the moment had not been yet. [ms]"""
    found: list[Entry | Mark] = []
    for entry in log.entries:
        until_ms = float(entry.t_ms)
        if isinstance(entry, Entry) and entry.kind == "time_skipped" and entry.manner == "done":
            until_ms += floor(60_000.0 * float(entry.values["minutes"]))
        if entry.t_ms > to_ms or until_ms > to_ms:
            break
        found.append(entry)
    return found
