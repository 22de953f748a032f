"""A file of an older layout is brought up to date with all it holds; a newer one is left as it is."""

import sqlite3
from pathlib import Path

import pytest
from sqlalchemy import create_engine, inspect, text
from tests.records.attempts import SOON_S, first, tap

from tidalbay.records import ActStore, LabStore, StoreError
from tidalbay.records.acts import schema
from tidalbay.records.lab.database import Database
from tidalbay.records.lab.steps import STEPS
from tidalbay.records.lab.tables import METADATA
from tidalbay.trace import Log

OF_LAYOUT_1 = Path(__file__).with_name("data")  # written on the day of the layout, and never again


def restored(script: str, path: Path) -> None:
    connection = sqlite3.connect(path)
    connection.executescript((OF_LAYOUT_1 / script).read_text(encoding="utf-8"))
    connection.close()


def test_an_act_log_of_layout_1_is_read_and_goes_on(tmp_path):
    restored("acts-1.sql", tmp_path / "acts.db")

    store = ActStore.open(tmp_path)

    assert store.notice is None
    assert store.log("a-1") == Log([first(), tap(2, 0), tap(3, 1)])
    (stored,) = store.open_attempts()
    assert (stored.station, stored.t_ms, stored.state) == ("s1", 62_000, "running")
    assert store.append("a-1", [tap(4, 2, t_ms=63_000)]).result(SOON_S)[0].n == 4
    store.close()


def test_a_lab_of_layout_1_is_read_and_goes_on(tmp_path):
    restored("lab-1.sql", tmp_path / "lab.db")

    store = LabStore.open(tmp_path, lambda: 1_900_000_000_000)

    assert store.settings.all() == {"gas_here": {"outlet-1": "oxygen"}}
    assert store.settings.password_hash() == "$argon2id$1"
    lab = store.labs.now_open()
    assert lab is not None
    assert [in_line.learner for in_line in store.line.all(lab.id)] == ["p-1", "p-2"]
    assert store.people.names() == {"p-1": "Ada Oakley"}
    assert store.labs.code("ABC234") is not None
    assert store.signing_in.who("token") is not None
    store.line.add(lab.id, "p-3")
    store.close()


def test_the_steps_lead_to_the_tables_of_today(tmp_path):
    LabStore.open(tmp_path).close()
    declared = create_engine("sqlite://")
    METADATA.create_all(declared)
    stepped = create_engine(f"sqlite:///{tmp_path / 'lab.db'}")

    def drawn(engine):
        look = inspect(engine)
        return {
            table: (
                [(c["name"], str(c["type"]), c["nullable"]) for c in look.get_columns(table)],
                look.get_pk_constraint(table)["constrained_columns"],
                look.get_foreign_keys(table),
                look.get_unique_constraints(table),
            )
            for table in look.get_table_names()
        }

    assert drawn(stepped) == drawn(declared)
    stepped.dispose()
    declared.dispose()


def test_a_later_step_is_taken_once_and_keeps_what_there_is(tmp_path):
    store = LabStore.open(tmp_path)
    person = store.people.add("Ada Oakley")
    store.close()
    taken = []

    def one_column_more(connection):
        taken.append("once")
        connection.execute(text("ALTER TABLE people ADD COLUMN said_as VARCHAR(200)"))

    for _ in range(2):
        Database(tmp_path / "lab.db", lambda: 0, [*STEPS, one_column_more]).close()

    assert taken == ["once"]
    connection = sqlite3.connect(tmp_path / "lab.db")
    assert connection.execute("SELECT id, name, said_as FROM people").fetchall() == [
        (person, "Ada Oakley", None)
    ]
    connection.close()
    with pytest.raises(StoreError, match="written by a newer Tidalbay"):
        LabStore.open(tmp_path)


@pytest.mark.parametrize("breaks", [sqlite3.OperationalError("no"), KeyboardInterrupt()])
def test_a_step_that_fails_leaves_the_act_log_as_it_was(tmp_path, breaks):
    ActStore.open(tmp_path).close()
    path = tmp_path / "acts.db"
    connection = sqlite3.connect(path, isolation_level=None)

    def half_a_step(connection):
        connection.execute("ALTER TABLE attempt ADD COLUMN half TEXT")
        raise breaks

    with pytest.raises(type(breaks)):
        schema.bring_up_to_date(connection, path, [*schema.STEPS, half_a_step])

    assert connection.execute("PRAGMA user_version").fetchone() == (1,)
    assert "half" not in [row[1] for row in connection.execute("PRAGMA table_info(attempt)")]
    connection.close()


@pytest.mark.parametrize("spoilt", [b"not a database, long enough to be looked at" * 10])
def test_a_damaged_lab_is_said_and_left_as_it_is(tmp_path, spoilt):
    (tmp_path / "lab.db").write_bytes(spoilt)

    with pytest.raises(StoreError, match=r"lab\.db  is damaged \(file is not a database\)\. It holds"):
        LabStore.open(tmp_path)

    assert (tmp_path / "lab.db").read_bytes() == spoilt
