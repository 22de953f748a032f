"""The record of a station judged as it stands, in the background, while the attempt goes on."""

import asyncio
from concurrent.futures import ThreadPoolExecutor
from typing import Any, Final

from tidalbay.attempt import Attempt
from tidalbay.judge import COSTS_NOTHING
from tidalbay.live.errands import Errands
from tidalbay.live.store import Keeper
from tidalbay.live.telling import Standing, Teller
from tidalbay.live.wire import verdicts_told

# One judge for all stations: several threads at once would each take the interpreter from those who tap.
_JUDGE: Final = ThreadPoolExecutor(1, thread_name_prefix="judge")


class JudgingAlong:
    """Judges after each act and mark, once however many came meanwhile; nobody's act waits for it.

    Parameters
    ----------
    now : Standing
        The station as it is now.
    teller : Teller
        Who tells the verdicts to those who may see them.
    keeper : Keeper
        Which counts whose attempt this is.
    errands : Errands
    lock : asyncio.Lock
        The station's: the attempt is copied under it.
    """

    def __init__(
        self, now: Standing, teller: Teller, keeper: Keeper, errands: Errands, lock: asyncio.Lock
    ) -> None:
        """Begin with nothing to judge."""
        self._now = now
        self._teller = teller
        self._keeper = keeper
        self._errands = errands
        self._lock = lock
        self._judging: asyncio.Future[None] | None = None
        self._is_to_judge = False

    def soon(self, is_asked: bool = False) -> None:
        """Judge the record as it stands; unasked only while somebody listens who may see it."""
        played = self._now.played
        if played is None or not (is_asked or self._teller.is_for_judges(played.mode)):
            return
        self._is_to_judge = True
        if self._judging is None or self._judging.done():
            self._judging = self._errands.run(self._judge())

    async def _judge(self) -> None:
        while self._is_to_judge:
            self._is_to_judge = False
            async with self._lock:
                played = self._now.played
                if played is None:
                    return
                copy = played.attempt.branch()
            told = await asyncio.get_running_loop().run_in_executor(_JUDGE, self._told_of, played.id, copy)
            if self._now.played is played:
                self._teller.tell_verdicts(played, told)

    def _told_of(self, attempt_id: str, attempt: Attempt) -> dict[str, Any]:
        number = self._keeper.turn_of(attempt_id, COSTS_NOTHING)
        return verdicts_told(attempt.log, attempt.trace(), number)
