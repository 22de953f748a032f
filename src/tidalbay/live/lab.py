"""A lab: its stations, and what is taken up again when the server starts."""

import asyncio
import logging
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any, Final

from tidalbay.case import Case
from tidalbay.engine import is_kept
from tidalbay.live.hands.said import StationRefused
from tidalbay.live.played import Played
from tidalbay.live.station import Station
from tidalbay.live.warming import compiled_soon, read_catalogue
from tidalbay.records import ActStore, StoredAttempt, StoreError
from tidalbay.trace import Entry, Log

SIX_STATIONS: Final = tuple((f"s{i}", f"Station {i}") for i in range(1, 7))
# Patients' time to be played again before the doors open, from which the compiled model is worth its seconds:
# the plain one plays about 200 s of it in a second. [s]
WORTH_LOADING_S: Final = 60.0
WORTH_COMPILING_S: Final = 3600.0
_log = logging.getLogger(__name__)


class Lab:
    """Stations by id, over one data folder.

    `open` takes the folder, `start` takes up what was under way, `close` puts everything down.

    Parameters
    ----------
    store : ActStore
    cases : mapping of str to Case
    stations : sequence of (id, title)
    """

    def __init__(
        self, store: ActStore, cases: Mapping[str, Case], stations: Sequence[tuple[str, str]]
    ) -> None:
        """Use `open`."""
        self.store = store
        self.cases = cases
        self.stations: dict[str, Station] = {}
        self.notices: list[str] = []
        self._warming: asyncio.Future[None] | None = None
        self._said = tuple(stations)

    @classmethod
    def open(
        cls, folder: Path, cases: Mapping[str, Case], stations: Sequence[tuple[str, str]] = SIX_STATIONS
    ) -> "Lab":
        """Open a data folder.

        Raises
        ------
        StoreError
            With a sentence: read-only, taken by another server, of a newer program, disk full.
        """
        return cls(ActStore.open(folder), cases, stations)

    async def start(self, tell: Callable[[str], None] = lambda words: None) -> None:
        """Set the stations up, take up attempts that were under way, and have the model compiled.

        Parameters
        ----------
        tell : callable
            Is told in a sentence what takes time before anybody can be let in.
        """
        for id, title in self._said:
            self.add_station(id, title)
        await asyncio.to_thread(read_catalogue)
        newest: dict[str, StoredAttempt] = {}
        for stored in await asyncio.to_thread(self.store.open_attempts):
            if stored.station in newest:  # a branch began, and a crash came before its parent was ended
                await self._let_go(newest[stored.station])
            newest[stored.station] = stored
        played_s = sum(stored.t_ms for stored in newest.values()) / 1000.0
        if newest:
            tell(_taking_up(len(newest), played_s))
        if played_s >= (WORTH_LOADING_S if is_kept() else WORTH_COMPILING_S):
            await compiled_soon()
        for stored in newest.values():
            await self._take_up(stored)
        self._warming = asyncio.ensure_future(self._warm_up())

    def add_station(self, id: str, title: str) -> Station:
        """Set up one more station, empty."""
        if id in self.stations:
            raise StationRefused(f"There is a station {id!r} already; give the new one another id.")
        station = self.stations[id] = Station(id, title, self.store)
        return station

    def station(self, id: str) -> Station:
        """The station of that id.

        Raises
        ------
        StationRefused
            If there is none.
        """
        found = self.stations.get(id)
        if found is None:
            raise StationRefused(f"There is no station {id!r}; there is {', '.join(self.stations)}.")
        return found

    def case(self, id: str) -> Case:
        """The case of that id.

        Raises
        ------
        StationRefused
            If the shelf has none.
        """
        found = self.cases.get(id)
        if found is None:
            raise StationRefused(f"There is no case {id!r}; there is {', '.join(self.cases) or 'none'}.")
        return found

    def board(self) -> list[dict[str, Any]]:
        """Every station in a line."""
        return [station.board() for station in self.stations.values()]

    async def close(self) -> None:
        """Stop every station where it stands, and let go of the folder."""
        if self._warming is not None:
            self._warming.cancel()
            await asyncio.gather(self._warming, return_exceptions=True)
        await asyncio.gather(*(station.close() for station in self.stations.values()))
        await asyncio.to_thread(self.store.close)

    async def _warm_up(self) -> None:
        """What can wait until the stations stand: the compiled model, and traces that a crash has cost."""
        await compiled_soon()
        for stored in await asyncio.to_thread(self.store.ended_without_trace):
            try:
                log = await asyncio.to_thread(self.store.log, stored.id)
                trace = await asyncio.to_thread(_shown, stored.id, log)
                await asyncio.wrap_future(self.store.finish(stored.id, trace))
            except (StoreError, ValueError) as problem:
                _log.error("the trace of attempt %s could not be kept: %s", stored.id, problem)

    async def _let_go(self, stored: StoredAttempt) -> None:
        """End an attempt that its station has gone back from."""
        try:
            log = await asyncio.to_thread(self.store.log, stored.id)
            ended = Entry(
                n=log.next_n,
                t_ms=max(stored.t_ms, log.entries[-1].t_ms),
                kind="attempt_ended",
                by="station",
                hands="station",
                values={"why": "gone_back"},
            )
            await asyncio.wrap_future(self.store.append(stored.id, [ended]))
        except (StoreError, ValueError) as problem:
            _log.error("attempt %s could not be ended: %s", stored.id, problem)

    async def _take_up(self, stored: StoredAttempt) -> None:
        station = self.stations.get(stored.station) or self.add_station(stored.station, stored.station)
        try:
            await station.restore(stored.id, stored.t_ms)
        except (StoreError, ValueError) as problem:
            _log.error("attempt %s could not be taken up again: %s", stored.id, problem)
            self.notices.append(f"{station.title}: its attempt could not be taken up again. {problem}")


def _taking_up(count: int, played_s: float) -> str:
    whose = "an attempt that was" if count == 1 else f"{count} attempts that were"
    hours, minutes = divmod(round(played_s / 60.0), 60)
    long = f"{hours} h {minutes} min" if hours else f"{minutes} min" if minutes else "less than a minute"
    return f"Taking up {whose} under way; {long} of patients' time to be played again."


def _shown(attempt_id: str, log: Log) -> bytes:
    """The trace that an ended log tells, as it is kept."""
    return Played.replayed(attempt_id, log, log.entries[-1].t_ms).attempt.trace().to_json().encode()
