"""One station: a clock, a log and its listeners around one attempt at a time."""

import asyncio
import logging
import secrets
import time
from collections.abc import AsyncIterator, Callable, Mapping
from math import inf
from typing import Any, Final

from tidalbay.bedside import may_see_verdicts
from tidalbay.case import Case, case_sha256, resolve
from tidalbay.engine import source_digest
from tidalbay.live.clock import StationClock
from tidalbay.live.errands import Errands
from tidalbay.live.hands.rules import check_back
from tidalbay.live.hands.said import ActSaid, ClockSaid, MarkSaid, StationRefused, Who
from tidalbay.live.judging_along import JudgingAlong
from tidalbay.live.left_alone import WORDS as LEFT_WORDS
from tidalbay.live.left_alone import LeftAlone
from tidalbay.live.played import FIRST_LOOK_MS, Played, entries_until
from tidalbay.live.saying import checked_entry, mark_of
from tidalbay.live.store import Keeper
from tidalbay.live.telling import Standing, Teller
from tidalbay.live.wire.listening import Message
from tidalbay.trace import Entry, Log, Mark, Receipt, Trace, attempt_started, plain

BEAT_S: Final = 2.0
SHORTEST_NAP_S: Final = 0.02
FAST_NAP_S: Final = 0.05  # between two looks while time runs faster than life
TOLD_LOST_S: Final = 3.0  # real time lost at once that people are told of
LONG_AGAIN_MS: Final = 600_000  # a patient's time that is played again before one's eyes have wandered
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
        self._now = Standing(id, title, StationClock(wall))
        seq = 1000 * int(time.time()) if first_seq is None else first_seq
        self._teller = Teller(self._now, wall, seq)
        self._keeper = keeper
        self._wall = wall
        self._lock = asyncio.Lock()
        self._wake = asyncio.Event()
        self._time_is_up_told = False
        self._errands = Errands()
        self._judging = JudgingAlong(self._now, self._teller, keeper, self._errands, self._lock)
        self._loop: asyncio.Task[None] | None = None
        self._beat_s = -inf
        self._left = LeftAlone(wall)

    @property
    def id(self) -> str:
        """Its id in addresses and in the store."""
        return self._now.id

    @property
    def title(self) -> str:
        """What people call it."""
        return self._now.title

    @property
    def life(self) -> str:
        """empty, ready, running, paused or ended."""
        return self._now.life

    @property
    def mode(self) -> str | None:
        """The mode of the attempt here; None while it is empty."""
        return self._now.played.mode if self._now.played else None

    @property
    def attempt(self) -> str | None:
        """The id of the attempt here; None while it is empty."""
        return self._now.played.id if self._now.played else None

    @property
    def begun(self) -> Mapping[str, Any] | None:
        """The resolved case of the attempt here, as its first entry holds it; None while it is empty."""
        return self._now.played.case if self._now.played else None

    @property
    def learner(self) -> str | None:
        """Whose attempt it is; opaque."""
        return self._now.learner

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
        await self._errands.whole(self._begin(first, learner))

    async def next(
        self, learner: str | None = None, seed: int | None = None, case: Case | None = None
    ) -> None:
        """The next learner: a fresh patient of the same case, with chance of its own.

        Parameters
        ----------
        learner : str or None
            Whose attempt it will be; opaque.
        seed : int or None
            Key of the attempt's chance; thrown if it is not said.
        case : Case or None
            The form of the case that comes; the one that was here if it is not said, or if the case's text
            is another one by now.

        Raises
        ------
        StationRefused
            Where there has been no attempt yet.
        """
        played = self._here()
        if self._now.life != "ended":
            await self.end("finished", _STATION)
        values = played.log.acts[0].values
        resolved = plain(values["case"])
        if case is not None and case_sha256(case) == values["case_sha256"]:
            resolved = await asyncio.to_thread(resolve, case)
        first = attempt_started(
            mode=str(values["mode"]),
            seed=secrets.randbits(32) if seed is None else seed,
            case=resolved,
            case_sha256=str(values["case_sha256"]),
            engine_digest=source_digest(),
            by=learner or "station",
        )
        await self._errands.whole(self._begin(first, learner))

    async def end(self, why: str, who: Who) -> None:
        """End the attempt: finished, time_up, stopped_kindly or void_for_equipment."""
        await self.act(ActSaid(act="attempt_ended", values={"why": why}), who)

    async def restore(self, attempt_id: str, t_ms: int, learner: str | None = None) -> None:
        """Take up an attempt again where its clock was last marked: paused, and saying so. [ms]"""
        log = await asyncio.to_thread(self._keeper.log, attempt_id)
        played = await asyncio.to_thread(Played.replayed, attempt_id, log, t_ms)
        begun_by = played.log.acts[0].by
        if learner is None and begun_by != _STATION.name:
            learner = begun_by
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
            self._now.clock.pace(pace[-1] if pace else 1)

    async def close(self) -> None:
        """Stop the clock's task, finish what is being kept, and end every listener."""
        if self._loop is not None:
            self._loop.cancel()
            await asyncio.gather(self._loop, return_exceptions=True)
            self._loop = None
        await self._errands.finished()
        if self._now.played is not None and self._now.life in ("running", "paused", "ready"):
            self._mark_clock()
        self._teller.close()

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
        return await self._errands.whole(self._act(said, who))

    async def mark(self, said: MarkSaid, who: Who) -> Receipt:
        """Keep a mark of a rater; errors as of `act`."""
        return await self._errands.whole(self._mark(said, who))

    async def clock(self, said: ClockSaid, who: Who) -> None:
        """Let the clock go, pause, step by a breath, change its pace, skip, go back or branch.

        Errors as of `act`.
        """
        if said.do in ("back", "branch"):
            await self._errands.whole(self._branch(said, who))
            return
        if (said.do == "go" and self._now.life == "running" and self._now.clock.until_ms == inf) or (
            said.do == "pause" and self._now.life in ("paused", "ready")
        ):
            return  # it does so already
        values: dict[str, Any] = {}
        if said.do == "pace":
            values = {} if said.times is None else {"times": said.times}
        elif said.do == "skip":
            values = {} if said.minutes is None else {"minutes": said.minutes}
        await self.act(ActSaid(act=_CLOCK_ACTS[said.do], values=values, key=said.key), who)

    async def catch_up(self) -> None:
        """Catch up with the clock now; the station does so by itself whenever something is due."""
        async with self._lock:
            await self._tick()

    # -- listening --------------------------------------------------------------------------

    def hello(self, role: str, me: str = "") -> Message:
        """The first message for a screen: everything as it is now, for its role."""
        return self._teller.hello(role, me)

    def follow(self, role: str, after: int = 0, screen: str = "", me: str = "") -> AsyncIterator[Message]:
        """Everything after a number, for a role, as it comes; a first message where `after` is of no use.

        Parameters
        ----------
        role : str
        after : int
            The last number that the screen has seen; 0 for none.
        screen, me : str
            Opaque ids of the tab and of whoever sits there.
        """
        self._live_on()
        if self._now.played is not None and may_see_verdicts(role, self._now.played.mode):
            self._judging.soon(is_asked=True)
        return self._teller.follow(role, after, screen, me)

    async def recorded(self) -> tuple[Log, Trace]:
        """The log and the trace of the attempt here, as they stand now; the trace is made in a thread.

        Raises
        ------
        StationRefused
            Where no attempt is here.
        """
        async with self._lock:
            played = self._here()
            self._pass(played)
            copy = played.attempt.branch()
        return copy.log, await asyncio.to_thread(copy.trace)

    def board(self) -> dict[str, Any]:
        """The station in a line, for whoever looks at all of them; instructor's eyes only."""
        return self._teller.board()

    # -- inside: acts -----------------------------------------------------------------------

    async def _act(self, said: ActSaid, who: Who) -> Receipt:
        async with self._lock:
            played = self._here()
            self._pass(played)
            entry, kept = checked_entry(played, said, who, self._now.clock.now_ms())
            if kept is not None:
                return kept
            return await self._keep(played, entry)

    async def _mark(self, said: MarkSaid, who: Who) -> Receipt:
        async with self._lock:
            played = self._here()
            mark = mark_of(played, said, who, max(self._now.clock.now_ms(), played.reached_ms))
            kept = played.log.check(mark)
            if kept is not None:
                return kept
            return await self._keep(played, mark)

    async def _keep(self, played: Played, entry: Entry | Mark) -> Receipt:
        """On the disk first, then in the world, then told. The lock is held."""
        self._now.clock.hold()
        try:
            await asyncio.wrap_future(self._keeper.append(played.id, [entry]))
            if isinstance(entry, Entry) and entry.kind == "time_skipped" and entry.manner == "done":
                await self._skip(played, entry)
            else:
                played.take(entry)
        finally:
            self._now.clock.release()
        self._judging.soon()
        if isinstance(entry, Entry):
            self._heed(played, entry)
            self._left.seen()
            numbers = [entry.n]
            if entry.kind == "taken_back":
                numbers.append(int(entry.values["entry"]))
            self._teller.tell_entries(numbers)
            self._teller.tell_breath(played)
        else:
            self._teller.tell_marks(played)
        return Receipt(entry.n, entry.t_ms)

    async def _skip(self, played: Played, entry: Entry) -> None:
        """Hours pass in a thread, with word of how far they have come."""
        passing = asyncio.ensure_future(asyncio.to_thread(played.take, entry))
        begin_s, minutes = played.attempt.t_s, float(entry.values["minutes"])
        while not passing.done():
            await asyncio.wait((passing,), timeout=PROGRESS_S)
            if not passing.done():
                passed = min(minutes, (played.attempt.t_s - begin_s) / 60.0)
                self._teller.say(f"Time passes: {passed:.0f} of {minutes:g} minutes.")
        await passing
        self._now.clock.set_to(played.reached_ms)

    def _heed(self, played: Played, entry: Entry) -> None:
        """What an act does to the clock and to the station's life."""
        if entry.manner != "done":
            return
        life = self._now.life
        self._now.stopped_kindly = _is_stopped(entry.kind, self._now.stopped_kindly)
        match entry.kind:
            case "paused" | "stopped_kindly":
                self._now.clock.stop()
                self._now.life = "paused"
            case "resumed":
                self._now.clock.go()
                self._now.life = "running"
            case "stepped":
                self._now.clock.go(played.breath_ends_ms)
                self._now.life = "running"
            case "pace_set":
                self._now.clock.pace(int(entry.values["times"]))
            case "attempt_ended":
                self._now.clock.stop()
                self._now.life = "ended"
                self._errands.run(self._finish(played))
            case "time_skipped":
                pass
            case _:
                return
        if entry.kind == "stopped_kindly":
            self._teller.say("Stopped, kindly. Nothing is judged; everybody may breathe.")
        elif self._now.notice is not None and self._now.life == "running" and life != "running":
            self._now.notice = None
        self._teller.tell_clock()
        if life != self._now.life:
            self._teller.tell_station()
        self._mark_clock()
        self._wake.set()

    async def _finish(self, played: Played) -> None:
        trace = await asyncio.to_thread(lambda: played.attempt.trace().to_json().encode())
        await asyncio.wrap_future(self._keeper.finish(played.id, trace))

    # -- inside: attempts -------------------------------------------------------------------

    async def _begin(self, first: Entry, learner: str | None) -> None:
        async with self._lock:
            life = self._now.life
            if life in ("running", "paused") or (life == "ready" and len(self._here().log) > 1):
                raise StationRefused(f"{self.title} holds an attempt that has not ended; end that first.")
            attempt_id = f"a-{secrets.token_hex(8)}"
            played = await asyncio.to_thread(Played.begun, attempt_id, first)
            if self._now.life == "ready":  # nobody has touched it: it makes room
                await self._close_log(self._here(), "finished")
            await asyncio.wrap_future(self._keeper.begin(attempt_id, self._now.id, [first]))
            self._put(played, "ready", learner, None)

    async def _branch(self, said: ClockSaid, who: Who) -> None:
        """Go on from an earlier moment, or from now, in a log of its own."""
        async with self._lock:
            old = self._here()
            check_back(said.do, who, old.mode)
            if self._now.life == "ended":
                raise StationRefused("This attempt has ended; begin another one.")
            self._pass(old)
            now_ms = max(self._now.clock.now_ms(), old.reached_ms)
            if said.do == "back" and said.to_ms is None:
                raise StationRefused("Going back needs a moment; write to_ms.")
            to_ms = now_ms if said.to_ms is None else said.to_ms
            if to_ms > now_ms:
                raise StationRefused(
                    f"{to_ms} ms has not been yet; the station stands at {now_ms} ms. Skip time instead."
                )
            to_ms = max(FIRST_LOOK_MS, to_ms)
            if to_ms >= LONG_AGAIN_MS:
                self._teller.say("Going back: what came before is played again, which takes a few seconds.")
            self._now.clock.hold()
            try:
                entries = entries_until(old.log, to_ms)
                attempt_id = f"a-{secrets.token_hex(8)}"
                played = await asyncio.to_thread(Played.replayed, attempt_id, Log(entries), to_ms)
                played.continues = old.id
                await asyncio.wrap_future(self._keeper.begin(attempt_id, self._now.id, entries, old.id))
                await self._close_log(old, "gone_back")
            finally:
                self._now.clock.release()
            times = self._now.clock.times
            minutes, seconds = divmod(to_ms // 1000, 60)
            self._put(
                played,
                "paused",
                self._now.learner,
                f"Gone back to {minutes}:{seconds:02d}; paused there.",
                to_ms,
            )
            self._now.clock.pace(times)

    async def _close_log(self, played: Played, why: str) -> None:
        """End an attempt that another one takes the place of."""
        t_ms = max(self._now.clock.now_ms(), played.reached_ms)
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
        self._errands.run(self._finish(played))

    def _put(
        self, played: Played, life: str, learner: str | None, notice: str | None, at_ms: int = FIRST_LOOK_MS
    ) -> None:
        """Lay an attempt down at this station, greet everybody afresh, and see to its clock."""
        now = self._now
        now.played, now.life, now.learner, now.notice = played, life, learner, notice
        now.verdicts = None
        now.stopped_kindly = False
        for act in played.log.acts:
            now.stopped_kindly = _is_stopped(act.kind, now.stopped_kindly)
        now.clock = StationClock(self._wall, max(at_ms, played.reached_ms))
        # Where its minutes are over already, that was said before; what is said now must not give way to it.
        self._time_is_up_told = at_ms >= 60_000.0 * float(played.case["minutes"])
        self._mark_clock()
        self._teller.greet_all(played)
        self._judging.soon()
        self._live_on()
        self._wake.set()

    def _live_on(self) -> None:
        """Have the station live, if it does not yet."""
        if self._loop is None:
            self._loop = asyncio.ensure_future(self._live())

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
                await self.catch_up()
            except Exception:
                _log.exception("%s could not go on", self._now.title)
                self._now.clock.stop()
                self._now.life = "paused"
                self._teller.say(
                    "Something went wrong in the program, and the clock was stopped. What was confirmed is "
                    "kept; let the clock go on, or end the attempt as void."
                )

    def _nap_s(self) -> float:
        played = self._now.played
        if played is None:
            return BEAT_S
        next_ms = min(played.due_ms, self._now.clock.until_ms)
        shortest_s = SHORTEST_NAP_S if self._now.clock.times == 1 else FAST_NAP_S
        return min(1.0, max(shortest_s, self._now.clock.in_real_s(next_ms)))

    async def _tick(self) -> None:
        played = self._now.played
        if played is not None:
            await self._tick_of(played)
        if self._wall() - self._beat_s >= BEAT_S:
            self._beat_s = self._wall()
            self._teller.tell_beat(self._now.clock.now_ms())
            if self._now.life != "ended":
                self._mark_clock()

    async def _tick_of(self, played: Played) -> None:
        """What time brings to the attempt here. The lock is held."""
        until_ms = self._now.clock.until_ms
        self._pass(played)
        now_ms = self._now.clock.now_ms()
        if self._now.life == "running" and now_ms >= until_ms:  # the one breath is over
            self._now.clock.stop()
            self._now.life = "paused"
            self._teller.tell_clock()
            self._teller.tell_station()
            self._mark_clock()
        lost_s = self._now.clock.take_lost_s()
        if lost_s >= TOLD_LOST_S:
            await self._told_lost(played, lost_s)
        if self._now.life == "running" and self._left.is_so(played.mode, self._teller.has_listeners):
            entry, _ = checked_entry(played, ActSaid(act="paused"), _STATION, self._now.clock.now_ms())
            await self._keep(played, entry)
            self._teller.say(LEFT_WORDS)
        if not self._time_is_up_told and now_ms >= 60_000.0 * float(played.case["minutes"]):
            self._time_is_up_told = True
            self._teller.say(f"The {played.case['minutes']:g} minutes of this case are over.")

    async def _told_lost(self, played: Played, lost_s: float) -> None:
        slept = f"{lost_s / 60.0:.0f} minutes" if lost_s >= 90.0 else f"{lost_s:.0f} seconds"
        if lost_s < PAUSED_LOST_S:
            self._teller.say(f"The computer was held up for {slept}; the patient's clock waited meanwhile.")
            return
        if self._now.life == "running":
            entry, _ = checked_entry(played, ActSaid(act="paused"), _STATION, self._now.clock.now_ms())
            await self._keep(played, entry)
        self._teller.say(
            f"The computer stood still for {slept}. The patient's clock waited and is paused; "
            "let it go on when everybody is ready."
        )

    def _pass(self, played: Played) -> None:
        """Catch up with the clock, and tell of the breath that is under way then."""
        if played.pass_to(self._now.clock.now_ms()):
            self._teller.tell_breath(played)

    def _mark_clock(self) -> None:
        if self._now.played is not None:
            state = {"running": "running", "ended": "ended"}.get(self._now.life, "paused")
            self._keeper.mark_clock(self._now.played.id, self._now.clock.now_ms(), state)

    def _here(self) -> Played:
        if self._now.played is None:
            raise StationRefused(f"{self._now.title} is empty; start a case there first.")
        return self._now.played


def _is_stopped(kind: str, before: bool) -> bool:
    """Whether a station counts as stopped, kindly, after an act of this kind."""
    return kind == "stopped_kindly" or (before and kind not in ("resumed", "stepped"))
