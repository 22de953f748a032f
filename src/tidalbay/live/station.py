"""One station: a clock, a log and its listeners around one attempt at a time."""

import asyncio
import logging
import secrets
import time
from collections.abc import AsyncIterator, Awaitable, Callable, Coroutine, Mapping
from math import floor, inf
from typing import Any, Final, TypeVar

from tidalbay.case import Case, case_sha256, resolve
from tidalbay.engine import source_digest
from tidalbay.live.clock import StationClock
from tidalbay.live.listening import Message, News
from tidalbay.live.played import FIRST_LOOK_MS, Played
from tidalbay.live.rules import check_back
from tidalbay.live.said import ActSaid, ClockSaid, MarkSaid, StationRefused, Who
from tidalbay.live.saying import checked_entry, mark_of
from tidalbay.live.store import Keeper
from tidalbay.live.wire import Moment, entries_message, introduction
from tidalbay.trace import Entry, Log, Mark, Receipt, attempt_started, plain

BEAT_S: Final = 2.0
SHORTEST_NAP_S: Final = 0.02
FAST_NAP_S: Final = 0.05  # between two looks while time runs faster than life
TOLD_LOST_S: Final = 3.0  # real time lost at once that people are told of
PAUSED_LOST_S: Final = 30.0  # after so much at once nobody has been watching: the station pauses
PROGRESS_S: Final = 0.5

_CLOCK_ACTS: Final[Mapping[str, str]] = {
    "go": "resumed",
    "pause": "paused",
    "step": "stepped",
    "pace": "pace_set",
    "skip": "time_skipped",
}
_STATION: Final = Who("instructor", "station")  # what the station itself does to its clock
_log = logging.getLogger(__name__)
T = TypeVar("T")


class Station:
    """A place in the lab that holds one attempt at a time.

    Its life: empty, ready (a case lies there and the clock stands at its beginning), running, paused,
    ended. Everything is called from one event loop.

    Parameters
    ----------
    id, title : str
    keeper : Keeper
        Where the log is kept before an act is confirmed.
    wall : callable
        A counter of real seconds that never jumps. [s]
    first_seq : int or None
        Where the numbers of messages begin; by the calendar if not said, so that a later life of the
        server begins higher.
    """

    def __init__(
        self,
        id: str,
        title: str,
        keeper: Keeper,
        *,
        wall: Callable[[], float] = time.monotonic,
        first_seq: int | None = None,
    ) -> None:
        """Begin empty."""
        self.id = id
        self.title = title
        self.learner: str | None = None
        self.life = "empty"
        self._keeper = keeper
        self._wall = wall
        self._clock = StationClock(wall)
        self._lock = asyncio.Lock()
        self._wake = asyncio.Event()
        self._played: Played | None = None
        self._moment: Moment | None = None
        self._notice: str | None = None
        self._time_is_up_told = False
        seq = 1000 * int(time.time()) if first_seq is None else first_seq
        self._news = News(self.hello, self._entries, seq)
        self._tasks: set[asyncio.Future[Any]] = set()
        self._loop: asyncio.Task[None] | None = None
        self._beat_s = -inf

    # -- life -------------------------------------------------------------------------------

    async def begin(self, case: Case, mode: str, seed: int | None = None, learner: str | None = None) -> None:
        """Begin an attempt at a case: a settled patient, the clock standing at its beginning.

        Parameters
        ----------
        case : Case
        mode : str
            demonstration, practice, formative or summative.
        seed : int or None
            Key of the attempt's chance; thrown if it is not said.
        learner : str or None
            Whose attempt it is; opaque.

        Raises
        ------
        StationRefused
            While another attempt goes on here.
        ValueError
            With a sentence: a mode that does not exist, a patient who cannot breathe enough.
        """
        first = attempt_started(
            mode=mode,
            seed=secrets.randbits(32) if seed is None else seed,
            case=await asyncio.to_thread(resolve, case),
            case_sha256=case_sha256(case),
            engine_digest=source_digest(),
            by=learner or "station",
        )
        await self._whole(self._begin(first, learner))

    async def next(self, learner: str | None = None, seed: int | None = None) -> None:
        """The next learner: a fresh patient of the same case, with chance of its own.

        Raises
        ------
        StationRefused
            Where there has been no attempt yet.
        """
        played = self._here()
        if self.life != "ended":
            await self.end("finished", _STATION)
        values = played.log.acts[0].values
        first = attempt_started(
            mode=str(values["mode"]),
            seed=secrets.randbits(32) if seed is None else seed,
            case=plain(values["case"]),
            case_sha256=str(values["case_sha256"]),
            engine_digest=source_digest(),
            by=learner or "station",
        )
        await self._whole(self._begin(first, learner))

    async def end(self, why: str, who: Who) -> None:
        """End the attempt: finished, time_up, stopped_kindly or void_for_equipment."""
        await self.act(ActSaid(act="attempt_ended", values={"why": why}), who)

    async def restore(self, attempt_id: str, t_ms: int, learner: str | None = None) -> None:
        """Take up an attempt again where its clock was last marked: paused, and saying so. [ms]"""
        log = await asyncio.to_thread(self._keeper.log, attempt_id)
        played = await asyncio.to_thread(Played.replayed, attempt_id, log, t_ms)
        async with self._lock:
            minutes, seconds = divmod(played.reached_ms // 1000, 60)
            words = (
                f"The server stopped and has started again. This attempt stands at {minutes}:{seconds:02d}, "
                "paused; everything confirmed before is in it. Let the clock go on when everybody is ready."
            )
            if played.log.acts[0].values["engine_digest"] != source_digest():
                words += " The program was changed meanwhile, so the patient's numbers may differ a little."
            self._put(played, "paused", learner, words, t_ms)
            pace = [int(act.values["times"]) for act in played.log.acts if act.kind == "pace_set"]
            self._clock.pace(pace[-1] if pace else 1)

    async def close(self) -> None:
        """Stop the clock's task, finish what is being kept, and end every listener."""
        if self._loop is not None:
            self._loop.cancel()
            await asyncio.gather(self._loop, return_exceptions=True)
            self._loop = None
        if self._tasks:
            await asyncio.gather(*self._tasks, return_exceptions=True)
        if self._played is not None and self.life in ("running", "paused", "ready"):
            self._mark_clock()
        self._news.close()

    # -- hands, judges and the clock --------------------------------------------------------

    async def act(self, said: ActSaid, who: Who) -> Receipt:
        """Keep an act, let it work, and tell everybody; it is durable before it is confirmed.

        Raises
        ------
        ActRefused, StationRefused
            With a sentence; nothing was kept.
        StoreError
            Where the disk refuses; nothing was kept.
        """
        return await self._whole(self._act(said, who))

    async def mark(self, said: MarkSaid, who: Who) -> Receipt:
        """Keep a mark of a rater; errors as of `act`."""
        return await self._whole(self._mark(said, who))

    async def clock(self, said: ClockSaid, who: Who) -> None:
        """Let the clock go, pause, step by a breath, change its pace, skip, go back or branch.

        Errors as of `act`.
        """
        if said.do in ("back", "branch"):
            await self._whole(self._branch(said, who))
            return
        if (said.do == "go" and self.life == "running" and self._clock.until_ms == inf) or (
            said.do == "pause" and self.life in ("paused", "ready")
        ):
            return  # it does so already
        values: dict[str, Any] = {}
        if said.do == "pace":
            values = {} if said.times is None else {"times": said.times}
        elif said.do == "skip":
            values = {} if said.minutes is None else {"minutes": said.minutes}
        await self.act(ActSaid(act=_CLOCK_ACTS[said.do], values=values, key=said.key), who)

    # -- listening --------------------------------------------------------------------------

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
            "notice": self._notice,
            "me": me,
        }
        played = self._played
        if played is None:
            return message
        entries = self._entries(role, list(range(1, len(played.log) + 1)))
        message["case"] = introduction(played.case, role, played.mode)
        message["entries"] = entries["entries"] if entries else []
        if self._moment is not None:
            message["breath"] = {**self._moment.message(role), "clock": message["clock"]}
        if role == "instructor":
            message["events"] = [
                {"id": event["id"], "tells": event.get("tells")} for event in played.case["events"]
            ]
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
        self._tell("people", self._people_for)
        try:
            while True:
                for message in list(self._news.since(role, after)):
                    after = message["seq"]
                    yield {**message, "me": me} if message["kind"] == "hello" else message
                if not await self._news.wait(listener):
                    return
        finally:
            self._news.leave(listener)
            self._tell("people", self._people_for)

    def board(self) -> dict[str, Any]:
        """The station in a line, for whoever looks at all of them; instructor's eyes only."""
        played = self._played
        line: dict[str, Any] = {
            **self._told_station(),
            "clock": self._told_clock(),
            "screens": [listener.role for listener in self._news.listeners],
            "notice": self._notice,
        }
        if played is not None:
            case = played.case
            line |= {"case": {"id": case["id"], "title": case["title"], "patient": case["patient"]["name"]}}
            oximeter = played.watch.oximeter
            line["oximeter"] = oximeter.words if oximeter is not None else None
        return line

    # -- inside: acts -----------------------------------------------------------------------

    async def _act(self, said: ActSaid, who: Who) -> Receipt:
        async with self._lock:
            played = self._here()
            self._pass(played)
            entry, kept = checked_entry(played, said, who, self._clock.now_ms())
            if kept is not None:
                return kept
            return await self._keep(played, entry)

    async def _mark(self, said: MarkSaid, who: Who) -> Receipt:
        async with self._lock:
            played = self._here()
            mark = mark_of(played, said, who, max(self._clock.now_ms(), played.reached_ms))
            kept = played.log.check(mark)
            if kept is not None:
                return kept
            return await self._keep(played, mark)

    async def _keep(self, played: Played, entry: Entry | Mark) -> Receipt:
        """On the disk first, then in the world, then told. The lock is held."""
        self._clock.hold()
        try:
            await asyncio.wrap_future(self._keeper.append(played.id, [entry]))
            if isinstance(entry, Entry) and entry.kind == "time_skipped" and entry.manner == "done":
                await self._skip(played, entry)
            else:
                played.take(entry)
        finally:
            self._clock.release()
        if isinstance(entry, Entry):
            self._heed(played, entry)
            numbers = [entry.n]
            if entry.kind == "taken_back":
                numbers.append(int(entry.values["entry"]))
            self._news.tell_entries(numbers)
            self._tell_breath(played)
        return Receipt(entry.n, entry.t_ms)

    async def _skip(self, played: Played, entry: Entry) -> None:
        """Hours pass in a thread, with word of how far they have come."""
        passing = asyncio.ensure_future(asyncio.to_thread(played.take, entry))
        begin_s, minutes = played.attempt.t_s, float(entry.values["minutes"])
        while not passing.done():
            await asyncio.wait((passing,), timeout=PROGRESS_S)
            if not passing.done():
                passed = min(minutes, (played.attempt.t_s - begin_s) / 60.0)
                self._say(f"Time passes: {passed:.0f} of {minutes:g} minutes.")
        await passing
        self._clock.set_to(played.reached_ms)

    def _heed(self, played: Played, entry: Entry) -> None:
        """What an act does to the clock and to the station's life."""
        if entry.manner != "done":
            return
        life = self.life
        match entry.kind:
            case "paused" | "stopped_kindly":
                self._clock.stop()
                self.life = "paused"
            case "resumed":
                self._clock.go()
                self.life = "running"
            case "stepped":
                self._clock.go(played.breath_ends_ms)
                self.life = "running"
            case "pace_set":
                self._clock.pace(int(entry.values["times"]))
            case "attempt_ended":
                self._clock.stop()
                self.life = "ended"
                self._in_background(self._finish(played))
            case "time_skipped":
                pass
            case _:
                return
        if entry.kind == "stopped_kindly":
            self._say("Stopped, kindly. Nothing is judged; everybody may breathe.")
        elif self._notice is not None and self.life == "running" and life != "running":
            self._notice = None
        self._tell_clock()
        if life != self.life:
            self._tell_station()
        self._mark_clock()
        self._wake.set()

    async def _finish(self, played: Played) -> None:
        trace = await asyncio.to_thread(lambda: played.attempt.trace().to_json().encode())
        await asyncio.wrap_future(self._keeper.finish(played.id, trace))

    # -- inside: attempts -------------------------------------------------------------------

    async def _begin(self, first: Entry, learner: str | None) -> None:
        async with self._lock:
            if self.life in ("running", "paused") or (self.life == "ready" and len(self._here().log) > 1):
                raise StationRefused(f"{self.title} holds an attempt that has not ended; end that first.")
            attempt_id = f"a-{secrets.token_hex(8)}"
            played = await asyncio.to_thread(Played.begun, attempt_id, first)
            if self.life == "ready":  # nobody has touched it: it makes room
                await self._close_log(self._here(), "finished")
            await asyncio.wrap_future(self._keeper.begin(attempt_id, self.id, [first]))
            self._put(played, "ready", learner, None)

    async def _branch(self, said: ClockSaid, who: Who) -> None:
        """Go on from an earlier moment, or from now, in a log of its own."""
        async with self._lock:
            old = self._here()
            check_back(said.do, who, old.mode)
            if self.life == "ended":
                raise StationRefused("This attempt has ended; begin another one.")
            self._pass(old)
            now_ms = max(self._clock.now_ms(), old.reached_ms)
            if said.do == "back" and said.to_ms is None:
                raise StationRefused("Going back needs a moment; write to_ms.")
            to_ms = now_ms if said.to_ms is None else said.to_ms
            if to_ms > now_ms:
                raise StationRefused(
                    f"{to_ms} ms has not been yet; the station stands at {now_ms} ms. Skip time instead."
                )
            to_ms = max(FIRST_LOOK_MS, to_ms)
            self._clock.hold()
            try:
                entries = entries_until(old.log, to_ms)
                attempt_id = f"a-{secrets.token_hex(8)}"
                played = await asyncio.to_thread(Played.replayed, attempt_id, Log(entries), to_ms)
                await asyncio.wrap_future(self._keeper.begin(attempt_id, self.id, entries, old.id))
                await self._close_log(old, "gone_back")
            finally:
                self._clock.release()
            times = self._clock.times
            minutes, seconds = divmod(to_ms // 1000, 60)
            self._put(
                played, "paused", self.learner, f"Gone back to {minutes}:{seconds:02d}; paused there.", to_ms
            )
            self._clock.pace(times)

    async def _close_log(self, played: Played, why: str) -> None:
        """End an attempt that another one takes the place of."""
        t_ms = max(self._clock.now_ms(), played.reached_ms)
        ended = Entry(
            n=played.log.next_n,
            t_ms=t_ms,
            kind="attempt_ended",
            by=_STATION.name,
            hands=_STATION.name,
            values={"why": why},
        )
        await asyncio.wrap_future(self._keeper.append(played.id, [ended]))
        played.take(ended)
        self._in_background(self._finish(played))

    def _put(
        self, played: Played, life: str, learner: str | None, notice: str | None, at_ms: int = FIRST_LOOK_MS
    ) -> None:
        """Lay an attempt down at this station, greet everybody afresh, and see to its clock."""
        self._played, self.life, self.learner, self._notice = played, life, learner, notice
        self._clock = StationClock(self._wall, max(at_ms, played.reached_ms))
        self._time_is_up_told = False
        self._moment = played.moment(self._told_clock())
        self._mark_clock()
        self._news.greet_all()
        if self._loop is None:
            self._loop = asyncio.ensure_future(self._live())
        self._wake.set()

    # -- inside: time -----------------------------------------------------------------------

    async def _live(self) -> None:
        """Let time pass for as long as the station is open."""
        while True:
            nap_s = self._nap_s()
            try:
                async with asyncio.timeout(nap_s):
                    await self._wake.wait()
            except TimeoutError:
                pass
            self._wake.clear()
            try:
                async with self._lock:
                    await self._tick()
            except Exception:
                _log.exception("%s could not go on", self.title)
                self._clock.stop()
                self.life = "paused"
                self._say(
                    "Something went wrong in the program, and the clock was stopped. What was confirmed is "
                    "kept; let the clock go on, or end the attempt as void."
                )

    def _nap_s(self) -> float:
        played = self._played
        if played is None:
            return BEAT_S
        next_ms = min(played.due_ms, self._clock.until_ms)
        shortest_s = SHORTEST_NAP_S if self._clock.times == 1 else FAST_NAP_S
        return min(1.0, max(shortest_s, self._clock.in_real_s(next_ms)))

    async def _tick(self) -> None:
        played = self._played
        if played is None:
            return
        until_ms = self._clock.until_ms
        self._pass(played)
        now_ms = self._clock.now_ms()
        if self.life == "running" and now_ms >= until_ms:  # the one breath is over
            self._clock.stop()
            self.life = "paused"
            self._tell_clock()
            self._tell_station()
            self._mark_clock()
        lost_s = self._clock.take_lost_s()
        if lost_s >= TOLD_LOST_S:
            await self._told_lost(played, lost_s)
        if not self._time_is_up_told and now_ms >= 60_000.0 * float(played.case["minutes"]):
            self._time_is_up_told = True
            self._say(f"The {played.case['minutes']:g} minutes of this case are over.")
        if self._wall() - self._beat_s >= BEAT_S and self.life != "ended":
            self._beat_s = self._wall()
            self._mark_clock()
            self._tell("beat", lambda _: {"kind": "beat", "t_ms": now_ms})

    async def _told_lost(self, played: Played, lost_s: float) -> None:
        slept = f"{lost_s / 60.0:.0f} minutes" if lost_s >= 90.0 else f"{lost_s:.0f} seconds"
        if lost_s < PAUSED_LOST_S:
            self._say(f"The computer was held up for {slept}; the patient's clock waited meanwhile.")
            return
        if self.life == "running":
            entry, _ = checked_entry(played, ActSaid(act="paused"), _STATION, self._clock.now_ms())
            await self._keep(played, entry)
        self._say(
            f"The computer stood still for {slept}. The patient's clock waited and is paused; "
            "let it go on when everybody is ready."
        )

    def _pass(self, played: Played) -> None:
        """Catch up with the clock, and tell of the breath that is under way then."""
        if played.pass_to(self._clock.now_ms()):
            self._tell_breath(played)

    # -- inside: telling --------------------------------------------------------------------

    def _tell_breath(self, played: Played) -> None:
        self._moment = moment = played.moment(self._told_clock())
        self._tell("breath", moment.message)

    def _tell_clock(self) -> None:
        clock = self._told_clock()
        self._tell("clock", lambda _: {"kind": "clock", "clock": clock})

    def _tell_station(self) -> None:
        station = self._told_station()
        self._tell("station", lambda _: {"kind": "station", "station": station})

    def _say(self, words: str) -> None:
        self._notice = words
        self._tell("notice", lambda _: {"kind": "notice", "words": words})

    def _tell(self, kind: str, for_role: Callable[[str], Message | None]) -> None:
        self._news.tell(kind, for_role)

    def _entries(self, role: str, numbers: list[int]) -> Message | None:
        played = self._played
        return None if played is None else entries_message(played.log, role, played.mode, numbers)

    def _told_station(self) -> dict[str, Any]:
        played = self._played
        return {
            "id": self.id,
            "title": self.title,
            "mode": played.mode if played else None,
            "state": self.life,
            "minutes": played.case["minutes"] if played else None,
            "attempt": played.id if played else None,
            "learner": self.learner,
        }

    def _told_clock(self) -> dict[str, Any]:
        return self._clock.told(self.life)

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

    def _mark_clock(self) -> None:
        if self._played is not None:
            state = {"running": "running", "ended": "ended"}.get(self.life, "paused")
            self._keeper.mark_clock(self._played.id, self._clock.now_ms(), state)

    # -- inside: tasks ----------------------------------------------------------------------

    def _here(self) -> Played:
        if self._played is None:
            raise StationRefused(f"{self.title} is empty; start a case there first.")
        return self._played

    def _in_background(self, coroutine: Coroutine[Any, Any, None]) -> None:
        task = asyncio.ensure_future(coroutine)
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    async def _whole(self, coroutine: Coroutine[Any, Any, T]) -> T:
        """Run to the end even if whoever asked has gone: what is on the disk must come into the world."""
        task = asyncio.ensure_future(coroutine)
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)
        return await _shielded(task)


def _shielded(task: Awaitable[T]) -> "asyncio.Future[T]":
    return asyncio.shield(task)


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
