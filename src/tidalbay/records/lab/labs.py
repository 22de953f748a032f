"""Labs, their stations, and the codes by which a tablet joins."""

import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from sqlalchemy import delete, insert, select, update

from tidalbay.records.lab.database import Database
from tidalbay.records.lab.signing_in import check_role
from tidalbay.records.lab.tables import JOIN_CODE, LAB, SIGNED_IN, STATION
from tidalbay.records.problem import StoreError

# Read aloud and typed with gloves: nothing that looks like another. 28 letters, 6 places: 480 million.
_LETTERS: Final = "23456789ABCDEFGHJKMNPQRTVWXY"
_PLACES: Final = 6
_LONGEST: Final = 19  # one less than the column holds, so that a longer one is never found


@dataclass(frozen=True)
class LabRow:
    """One afternoon: its number, its day (2026-11-25), when it was opened and closed. [ms]"""

    id: int
    day: str
    opened_utc_ms: int
    closed_utc_ms: int | None


@dataclass(frozen=True)
class StationRow:
    """A place in the lab: its id, and its title as people say it."""

    id: str
    title: str


@dataclass(frozen=True)
class JoinCode:
    """What a code gives: a role at a station (None: no station yet) of a lab, until it expires. [ms]"""

    code: str
    role: str
    station: str | None
    lab: int
    expires_utc_ms: int


class Labs:
    """One lab is open at a time; closing it ends its codes, and signs out whoever came by one."""

    def __init__(self, database: Database) -> None:
        """Use `LabStore`."""
        self._database = database

    def open(self, day: str) -> LabRow:
        """Open a lab; raise `StoreError` if one is open."""
        with self._database.writing() as connection:
            already = connection.execute(select(LAB).where(LAB.c.closed_utc_ms.is_(None))).first()
            if already is not None:
                raise StoreError(f"the lab of {already.day} is still open; close it first.")
            opened_utc_ms = self._database.now_utc_ms()
            opened = insert(LAB).values(day=day, opened_utc_ms=opened_utc_ms).returning(LAB.c.id)
            return LabRow(connection.execute(opened).scalar_one(), day, opened_utc_ms, None)

    def now_open(self) -> LabRow | None:
        """Return the lab that is open, or None."""
        with self._database.reading() as connection:
            row = connection.execute(select(LAB).where(LAB.c.closed_utc_ms.is_(None))).first()
        return None if row is None else LabRow(**row._mapping)

    def all(self) -> list[LabRow]:
        """Return every lab in the order in which they were opened."""
        with self._database.reading() as connection:
            return [LabRow(**row._mapping) for row in connection.execute(select(LAB).order_by(LAB.c.id))]

    def close(self, lab: int) -> None:
        """Close a lab: its codes and whoever joined by them are let in no more."""
        with self._database.writing() as connection:
            connection.execute(
                update(LAB)
                .where(LAB.c.id == lab, LAB.c.closed_utc_ms.is_(None))
                .values(closed_utc_ms=self._database.now_utc_ms())
            )
            connection.execute(delete(JOIN_CODE).where(JOIN_CODE.c.lab == lab))
            connection.execute(delete(SIGNED_IN).where(SIGNED_IN.c.lab == lab))

    def stations(self) -> list[StationRow]:
        """Return the stations in their order on the board."""
        with self._database.reading() as connection:
            rows = connection.execute(select(STATION.c.id, STATION.c.title).order_by(STATION.c.place))
            return [StationRow(**row._mapping) for row in rows]

    def set_stations(self, stations: Sequence[StationRow]) -> None:
        """Set up the stations anew, in the order given."""
        ids = [station.id for station in stations]
        if len(set(ids)) < len(ids):
            raise StoreError(f"two stations have one id among {', '.join(ids)}; each needs its own.")
        with self._database.writing() as connection:
            connection.execute(delete(STATION))
            for place, station in enumerate(stations):
                connection.execute(insert(STATION).values(place=place, **vars(station)))

    def new_code(
        self, lab: int, role: str, lasts_ms: int, station: str | None = None, code: str | None = None
    ) -> JoinCode:
        """Make a code for a role; an instructor signs in by password and by no code.

        Parameters
        ----------
        code : str or None
            Letters and digits that the caller chose by chance; None lets six be drawn here.
        """
        check_role(role)
        if role == "instructor":
            raise StoreError("no code makes an instructor; an instructor signs in with the password.")
        letters = _drawn() if code is None else _bare(code)
        if not _PLACES <= len(letters) <= _LONGEST:
            raise StoreError(
                f"a code has {_PLACES} to {_LONGEST} letters and digits; this one has {len(letters)}."
            )
        now_ms = self._database.now_utc_ms()
        made = JoinCode(letters, role, station, lab, now_ms + lasts_ms)
        with self._database.writing() as connection:
            connection.execute(delete(JOIN_CODE).where(JOIN_CODE.c.expires_utc_ms <= now_ms))
            if connection.execute(select(JOIN_CODE.c.code).where(JOIN_CODE.c.code == letters)).first():
                raise StoreError("that code lets somebody in already; make another one.")
            connection.execute(insert(JOIN_CODE).values(**vars(made)))
        return made

    def code(self, typed: str) -> JoinCode | None:
        """Return what a code gives, however spaced or cased; None where it gives nothing, or no longer."""
        letters = _bare(typed)
        with self._database.reading() as connection:
            row = connection.execute(
                select(JOIN_CODE).where(
                    JOIN_CODE.c.code == letters, JOIN_CODE.c.expires_utc_ms > self._database.now_utc_ms()
                )
            ).first()
        return None if row is None else JoinCode(**row._mapping)

    def codes(self, lab: int) -> list[JoinCode]:
        """Return a lab's codes that still let somebody in, by station and role."""
        with self._database.reading() as connection:
            rows = connection.execute(
                select(JOIN_CODE)
                .where(JOIN_CODE.c.lab == lab, JOIN_CODE.c.expires_utc_ms > self._database.now_utc_ms())
                .order_by(JOIN_CODE.c.station, JOIN_CODE.c.role)
            )
            return [JoinCode(**row._mapping) for row in rows]


def _drawn() -> str:
    return "".join(secrets.choice(_LETTERS) for _ in range(_PLACES))


def _bare(typed: str) -> str:
    """A code as it is kept: capital letters and digits; what is too long to be one stays no code."""
    return "".join(letter for letter in typed.upper() if letter.isalnum())[: _LONGEST + 1]
