"""Learners: opaque ids in a queue, and the one table that gives an id a name and can be erased."""

import secrets
from dataclasses import dataclass
from typing import Final

from sqlalchemy import Select, delete, func, insert, select, update

from tidalbay.records.lab.database import Database
from tidalbay.records.lab.tables import IN_LINE, PEOPLE
from tidalbay.records.problem import StoreError

IN_LINE_STATES: Final = ("waiting", "at_station", "done", "absent")


@dataclass(frozen=True)
class InLine:
    """A learner of a lab: opaque id, the station meant (None: any), and one of `IN_LINE_STATES`."""

    learner: str
    station: str | None
    state: str


class People:
    """Names. Nothing else in the data folder has one."""

    def __init__(self, database: Database) -> None:
        """Use `LabStore`."""
        self._database = database

    def add(self, name: str) -> str:
        """Keep a name under a new opaque id, and return that."""
        name = " ".join(name.split())
        if not (0 < len(name) <= 200 and name.isprintable()):
            raise StoreError("a name has 1 to 200 printable characters.")
        person = f"p-{secrets.token_hex(8)}"
        with self._database.writing() as connection:
            connection.execute(insert(PEOPLE).values(id=person, name=name))
        return person

    def names(self) -> dict[str, str]:
        """Return names by id."""
        with self._database.reading() as connection:
            return {row.id: row.name for row in connection.execute(select(PEOPLE))}

    def erase(self, person: str) -> None:
        """Overwrite a name for good. What was done under the id stays, and is nobody's."""
        with self._database.writing() as connection:
            connection.execute(delete(PEOPLE).where(PEOPLE.c.id == person))


class Line:
    """Who comes when, in each lab."""

    def __init__(self, database: Database) -> None:
        """Use `LabStore`."""
        self._database = database

    def add(self, lab: int, learner: str, station: str | None = None) -> None:
        """Put a learner at the end; once a lab."""
        with self._database.writing() as connection:
            mine = select(IN_LINE.c.id).where(IN_LINE.c.lab == lab, IN_LINE.c.learner == learner)
            if connection.execute(mine).first() is not None:
                raise StoreError(f"learner {learner} is in line already.")
            last = connection.execute(select(func.max(IN_LINE.c.place)).where(IN_LINE.c.lab == lab)).scalar()
            connection.execute(
                insert(IN_LINE).values(
                    lab=lab,
                    learner=learner,
                    station=station,
                    place=0 if last is None else last + 1,
                    state="waiting",
                )
            )

    def all(self, lab: int) -> list[InLine]:
        """Return a lab's learners in their order."""
        with self._database.reading() as connection:
            return [InLine(**row._mapping) for row in connection.execute(_ordered(lab))]

    def next_for(self, lab: int, station: str) -> InLine | None:
        """Return the first who waits for a station, or for any; None where nobody does."""
        meant = IN_LINE.c.station.is_(None) | (IN_LINE.c.station == station)
        with self._database.reading() as connection:
            row = connection.execute(_ordered(lab).where(IN_LINE.c.state == "waiting", meant)).first()
        return None if row is None else InLine(**row._mapping)

    def move(self, lab: int, learner: str, state: str, station: str | None = None) -> None:
        """Say that a learner waits, is at a station, is done, or is absent."""
        if state not in IN_LINE_STATES:
            raise StoreError(f"{state!r} is no state of a learner; states are {', '.join(IN_LINE_STATES)}.")
        changed = {"state": state} if station is None else {"state": state, "station": station}
        with self._database.writing() as connection:
            found = connection.execute(
                update(IN_LINE).where(IN_LINE.c.lab == lab, IN_LINE.c.learner == learner).values(**changed)
            )
            if not found.rowcount:
                raise StoreError(f"learner {learner} is not in line.")

    def swap(self, lab: int, one: str, other: str) -> None:
        """Let two learners change places, stations included."""
        both = select(IN_LINE.c.learner, IN_LINE.c.place, IN_LINE.c.station).where(
            IN_LINE.c.lab == lab, IN_LINE.c.learner.in_([one, other])
        )
        with self._database.writing() as connection:
            held = {row.learner: row for row in connection.execute(both)}
            for learner in (one, other):
                if learner not in held:
                    raise StoreError(f"learner {learner} is not in line.")
            for learner, taken in ((one, held[other]), (other, held[one])):
                connection.execute(
                    update(IN_LINE)
                    .where(IN_LINE.c.lab == lab, IN_LINE.c.learner == learner)
                    .values(place=taken.place, station=taken.station)
                )


def _ordered(lab: int) -> Select[tuple[str, str | None, str]]:
    return (
        select(IN_LINE.c.learner, IN_LINE.c.station, IN_LINE.c.state)
        .where(IN_LINE.c.lab == lab)
        .order_by(IN_LINE.c.place)
    )
