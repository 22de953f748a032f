"""What a station tells: the first message for each screen, and all that follows."""

from collections.abc import AsyncIterator, Callable, Mapping
from dataclasses import dataclass
from typing import Any

from tidalbay.bedside import JUDGES, may_see_verdicts
from tidalbay.case import FIRST_FORM
from tidalbay.live.clock import StationClock
from tidalbay.live.played import Played
from tidalbay.live.wire import (
    Moment,
    entries_message,
    every_fault,
    introduction,
    marks_message,
    marks_shown,
    steps_shown,
    verdicts_message,
)
from tidalbay.live.wire.listening import Message, News


@dataclass
class Standing:
    """How a station stands now.

    Attributes
    ----------
    id, title : str
    clock : StationClock
    life : str
        empty, ready, running, paused or ended.
    played : Played or None
        The attempt here.
    learner : str or None
        Whose it is; opaque.
    moment : Moment or None
        What was told last.
    verdicts : mapping or None
        What the record said of it last.
    notice : str or None
        What stands on every page until the clock goes on.
    stopped_kindly : bool
        Whether somebody stopped it, kindly: projectors go blank until it goes on or ends.
    """

    id: str
    title: str
    clock: StationClock
    life: str = "empty"
    played: Played | None = None
    learner: str | None = None
    moment: Moment | None = None
    verdicts: Mapping[str, Any] | None = None
    notice: str | None = None
    stopped_kindly: bool = False


class Teller:
    """Makes a station's messages and knows who listens.

    Parameters
    ----------
    now : Standing
        Read whenever something is told; changed by the station alone.
    wall : callable
        A counter of real seconds. [s]
    first_seq : int
        Where the numbers of messages begin.
    """

    def __init__(self, now: Standing, wall: Callable[[], float], first_seq: int) -> None:
        """Begin with nobody listening."""
        self._now = now
        self._wall = wall
        self._news = News(self.hello, self._entries, first_seq)

    def hello(self, role: str, me: str = "") -> Message:
        """The first message for a screen: everything as it is now, for its role."""
        message: Message = {
            "kind": "hello",
            "seq": self._news.seq,
            "role": role,
            "station": self._told_station(),
            "case": None,
            "clock": self._told_clock(),
            "entries": [],
            "breath": None,
            "notice": self._now.notice,
            "me": me,
        }
        played = self._now.played
        if played is None:
            return message
        entries = self._entries(role, list(range(1, len(played.log) + 1)))
        message["case"] = introduction(played.case, role, played.mode)
        message["entries"] = entries["entries"] if entries else []
        if self._now.moment is not None:
            message["breath"] = {**self._now.moment.message(role), "clock": message["clock"]}
        if role in JUDGES:
            message |= {"marks": marks_shown(played.log), "steps": steps_shown(played.case)}
        if may_see_verdicts(role, played.mode):
            message["verdicts"] = self._now.verdicts
        if role == "instructor":
            message["events"] = [
                {"id": event["id"], "tells": event.get("tells")} for event in played.case["events"]
            ]
            message["faults"] = every_fault()
            message["people"] = self._people()["people"]
        return message

    async def follow(
        self, role: str, after: int = 0, screen: str = "", me: str = ""
    ) -> AsyncIterator[Message]:
        """Everything after a number, for a role, as it comes; a first message where `after` is of no use.

        Parameters
        ----------
        role : str
        after : int
            The last number that the screen has seen; 0 for none.
        screen, me : str
            Opaque ids of the tab and of whoever sits there.
        """
        listener = self._news.join(role, screen, self._wall())
        self._news.tell("people", self._people_for)
        try:
            while True:
                for message in list(self._news.since(role, after)):
                    after = message["seq"]
                    yield {**message, "me": me} if message["kind"] == "hello" else message
                if not await self._news.wait(listener):
                    return
        finally:
            self._news.leave(listener)
            self._news.tell("people", self._people_for)

    @property
    def has_listeners(self) -> bool:
        """Whether a screen is connected."""
        return bool(self._news.listeners)

    def board(self) -> dict[str, Any]:
        """The station in a line, for whoever looks at all of them; instructor's eyes only."""
        played = self._now.played
        line: dict[str, Any] = {
            **self._told_station(),
            "clock": self._told_clock(),
            "screens": [listener.role for listener in self._news.listeners],
            "notice": self._now.notice,
        }
        if played is not None:
            case = played.case
            told = {"id": case["id"], "title": case["title"], "form": case.get("form", FIRST_FORM)}
            line |= {"case": {**told, "patient": case["patient"]["name"]}}
            oximeter = played.watch.oximeter
            line["oximeter"] = oximeter.words if oximeter is not None else None
        return line

    # -- telling ----------------------------------------------------------------------------

    def tell_breath(self, played: Played) -> None:
        """A breath begins, or the one under way has changed."""
        self._now.moment = moment = played.moment(self._told_clock())
        self._news.tell("breath", moment.message)

    def tell_clock(self) -> None:
        """The clock goes, stands, or runs at another pace."""
        clock = self._told_clock()
        self._news.tell("clock", lambda _: {"kind": "clock", "clock": clock})

    def tell_station(self) -> None:
        """The station's life has changed."""
        station = self._told_station()
        self._news.tell("station", lambda _: {"kind": "station", "station": station})

    def say(self, words: str) -> None:
        """A sentence for everybody."""
        self._now.notice = words
        self._news.tell("notice", lambda _: {"kind": "notice", "words": words})

    def greet_all(self, played: Played) -> None:
        """Another attempt lies here: everybody gets a new first message."""
        self._now.moment = played.moment(self._told_clock())
        self._news.greet_all()

    def tell_entries(self, numbers: list[int]) -> None:
        """Entries are new, or read otherwise now."""
        self._news.tell_entries(numbers)

    def tell_marks(self, played: Played) -> None:
        """Somebody judged."""
        self._news.tell("marks", lambda role: marks_message(played.log, role))

    def tell_verdicts(self, played: Played, told: Mapping[str, Any]) -> None:
        """The record was judged, and says otherwise than before."""
        if told != self._now.verdicts:
            self._now.verdicts = told
            self._news.tell("verdicts", lambda role: verdicts_message(told, role, played.mode))

    def is_for_judges(self, mode: str) -> bool:
        """Whether somebody listens who may see verdicts."""
        return any(may_see_verdicts(each.role, mode) for each in self._news.listeners)

    def tell_beat(self, now_ms: int) -> None:
        """The station is alive. [ms]"""
        self._news.tell("beat", lambda _: {"kind": "beat", "t_ms": now_ms})

    def close(self) -> None:
        """End every listener."""
        self._news.close()

    def _entries(self, role: str, numbers: list[int]) -> Message | None:
        played = self._now.played
        return None if played is None else entries_message(played.log, role, played.mode, numbers)

    def _told_station(self) -> dict[str, Any]:
        played = self._now.played
        return {
            "id": self._now.id,
            "title": self._now.title,
            "mode": played.mode if played else None,
            "state": self._now.life,
            "minutes": played.case["minutes"] if played else None,
            "attempt": played.id if played else None,
            "learner": self._now.learner,
            "stopped_kindly": self._now.stopped_kindly,
        }

    def _told_clock(self) -> dict[str, Any]:
        return self._now.clock.told(self._now.life)

    def _people_for(self, role: str) -> Message | None:
        return self._people() if role == "instructor" else None

    def _people(self) -> Message:
        now_s = self._wall()
        return {
            "kind": "people",
            "people": [
                {"role": each.role, "screen": each.screen, "since_s": round(now_s - each.since_s, 1)}
                for each in self._news.listeners
            ],
        }
