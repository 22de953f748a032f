"""The lab of this afternoon: the row that is open, its codes, its line of learners."""

import asyncio
import datetime
import time
from dataclasses import dataclass
from typing import Any, Final

from tidalbay.case import FIRST_FORM, Case, CaseErrors, in_form
from tidalbay.live import Lab, Station
from tidalbay.records import JoinCode, LabRow, LabStore, StoreError
from tidalbay.web.people.code_words import new_code
from tidalbay.web.people.visitors import AFTERNOON_MS
from tidalbay.web.people.which_form import TAKES_TURNS, following, last_form

JOINING_ROLES: Final = ("learner", "checker", "projector")
LONGEST_LAB_MS: Final = 20 * 3600 * 1000
MOST_STATIONS: Final = 30
# Hands may be at the wall in these; a demonstration is shown on the screen by whoever leads.
ASKS_GAS: Final = ("practice", "formative", "summative")
COSTS_NO_ATTEMPT: Final = ("stopped_kindly", "void_for_equipment")

# What has to be put back before the next learner comes in; common practice, no source.
PUT_BACK: Final = (
    ("flow", "Flow at 0"),
    ("valve", "Cylinder valve shut"),
    ("bled", "Regulator bled"),
    ("kit", "Used kit binned"),
)


@dataclass
class Afternoon:
    """One lab, opened when the server starts and closed by the instructor, or by the next day.

    Parameters
    ----------
    lab : Lab
    store : LabStore
    row : LabRow
    """

    lab: Lab
    store: LabStore
    row: LabRow

    @classmethod
    def open(cls, lab: Lab, store: LabStore) -> "Afternoon":
        """Go on with the lab that is open, or open one; make the codes that it lacks."""
        row = store.labs.now_open()
        if row is not None and _utc_ms() - row.opened_utc_ms > LONGEST_LAB_MS:
            store.labs.close(row.id)  # yesterday's codes let nobody in today
            row = None
        is_new = row is None
        afternoon = cls(lab, store, row or store.labs.open(datetime.date.today().isoformat()))
        if is_new:
            afternoon._ask_gas_again()
        afternoon.make_codes()
        return afternoon

    def close_and_open(self) -> None:
        """Close this lab, so that its codes and whoever came by them end, and open another."""
        self.store.labs.close(self.row.id)
        self.row = self.store.labs.open(datetime.date.today().isoformat())
        self._ask_gas_again()
        self.make_codes()

    def make_codes(self) -> None:
        """Give every station a code for every role that joins by one."""
        have = {(each.station, each.role) for each in self.codes()}
        for station in self.lab.stations:
            for role in JOINING_ROLES:
                if (station, role) not in have:
                    self._new_code(role, station)

    def codes(self) -> list[JoinCode]:
        """Return the codes that let somebody in now."""
        return self.store.labs.codes(self.row.id)

    def code_of(self, station: str, role: str) -> str:
        """Return the code for a role at a station, as it is kept; empty where there is none."""
        return next((each.code for each in self.codes() if (each.station, each.role) == (station, role)), "")

    def _new_code(self, role: str, station: str) -> None:
        for _ in range(20):  # two alike among a million are rare, and refused
            try:
                self.store.labs.new_code(self.row.id, role, AFTERNOON_MS, station, new_code())
                return
            except StoreError as problem:
                last = problem
        raise last

    # -- what comes out of the wall ---------------------------------------------------------

    def gas_here(self) -> dict[str, str]:
        """Return the gas of each station's outlet as somebody said it today: oxygen, air or none."""
        here: dict[str, str] = self.store.settings.all().get("gas_here", {})
        return {id: gas for id, gas in here.items() if id in self.lab.stations}

    def say_gas(self, station: str, gas: str) -> None:
        """Keep what comes out of a station's outlet today."""
        self.store.settings.set("gas_here", {**self.gas_here(), station: gas})

    def _ask_gas_again(self) -> None:
        """Forget what was said of the walls: it held for a day."""
        if self.store.settings.all().get("gas_here"):
            self.store.settings.set("gas_here", {})

    def asks_gas(self, station: Station, mode: str, room_is_open: bool) -> str | None:
        """Return why an attempt cannot begin before the gas is said, or None."""
        if mode not in modes_that_ask(room_is_open) or station.id in self.gas_here():
            return None
        return (
            f"Nobody has said yet what comes out of the wall at {station.title} today. The instructor says it"
            " on Today: oxygen, air or none; then begin."
        )

    # -- forms of a case --------------------------------------------------------------------

    def case_here(self, station: Station) -> Case | None:
        """Return the case whose attempt is at a station, as the shelf has it; None where it is gone."""
        begun = station.begun
        try:
            return self.lab.cases.get(str(begun["id"])) if begun is not None else None
        except CaseErrors:
            return None

    def next_form(self, station: Station) -> str | None:
        """Return the form in which the next learner here meets the case; None where it has but one."""
        case, begun = self.case_here(station), station.begun
        if case is None or begun is None or len(case.form_ids) < 2:
            return None
        last = str(begun.get("form", FIRST_FORM))
        return following(case.form_ids, last) if station.mode in TAKES_TURNS else last

    def in_turn(self, station: Station, case: Case, mode: str) -> Case:
        """Return a case that is about to begin in the form whose turn it is at this station."""
        if len(case.form_ids) < 2 or mode not in ("formative", "summative"):
            return case
        return in_form(case, following(case.form_ids, last_form(self.lab, station, case.id)))

    # -- the line of learners ---------------------------------------------------------------

    def line(self) -> list[dict[str, Any]]:
        """Return who comes when: id, name, station and state."""
        names = self.store.people.names()
        return [
            {"learner": each.learner, "name": names.get(each.learner, "name erased"), "station": each.station,
             "state": each.state}
            for each in self.store.line.all(self.row.id)
        ]  # fmt: skip

    def add(self, names: list[str], station: str | None = None) -> None:
        """Put learners at the end of the line; their names go to the one table that can be erased."""
        for name in names:
            self.store.line.add(self.row.id, self.store.people.add(name), station)

    async def next(self, station_id: str, form: str | None = None) -> str | None:
        """Let the next who waits come, to a fresh patient of the same case; None where nobody waits.

        Parameters
        ----------
        station_id : str
        form : str or None
            Which form of the case; the one after the last at this station, if nobody says.
        """
        station = self.lab.station(station_id)
        before, line = await self.at(station), self.store.line
        case = self.case_here(station)
        if case is not None:
            case = in_form(case, form or self.next_form(station) or FIRST_FORM)
        coming = await asyncio.to_thread(line.next_for, self.row.id, station_id)
        await station.next(coming.learner if coming else None, case=case)
        if before is not None:
            await self._move_if(before, "at_station", "done")
        if coming is None:
            return None
        await asyncio.to_thread(line.move, self.row.id, coming.learner, "at_station", station_id)
        return coming.learner

    def hands_at(self, station_id: str) -> list[dict[str, str]]:
        """Return whose hands may act at a station, by id and name: who is there, then who waits for it."""
        line = [each for each in self.line() if each["station"] in (None, station_id)]
        there = [each for each in line if each["state"] == "at_station"]
        waiting = [each for each in line if each["state"] == "waiting"]
        return [{"id": each["learner"], "name": each["name"]} for each in (*there, *waiting)]

    async def at(self, station: Station) -> str | None:
        """Return whose attempt a station holds; the line remembers it when the server has started again."""
        if station.learner is not None or station.life == "empty":
            return station.learner
        for each in await asyncio.to_thread(self.store.line.all, self.row.id):
            if each.state == "at_station" and each.station == station.id:
                return each.learner
        return None

    async def came(self, learner: str, station_id: str) -> None:
        """A learner's attempt has begun."""
        await asyncio.to_thread(self.store.line.move, self.row.id, learner, "at_station", station_id)

    async def ended(self, learner: str, why: str) -> None:
        """A learner's attempt has ended; some ends cost no attempt, and the learner waits again."""
        await self._move_if(learner, "at_station", "waiting" if why in COSTS_NO_ATTEMPT else "done")

    async def _move_if(self, learner: str, state: str, to: str) -> None:
        for each in await asyncio.to_thread(self.store.line.all, self.row.id):
            if each.learner == learner and each.state == state:
                await asyncio.to_thread(self.store.line.move, self.row.id, learner, to)


def modes_that_ask(room_is_open: bool) -> list[str]:
    """Return the modes in which the gas must be said first.

    Practice on a computer that no room can reach has drawn equipment and no wall.
    """
    return [mode for mode in ASKS_GAS if mode != "practice" or room_is_open]


def _utc_ms() -> int:
    return time.time_ns() // 1_000_000
