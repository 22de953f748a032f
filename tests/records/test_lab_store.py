"""Contract of the lab store: settings, sign-ins, labs, codes, the line, and names that can be erased."""

import threading

import pytest
from sqlalchemy.exc import IntegrityError

from tidalbay.records import InLine, LabStore, SignedIn, StationRow, StoreError

HOUR_MS = 3_600_000


class Clock:
    """Wall clock of a test. [ms]"""

    now_ms = 1_900_000_000_000

    def __call__(self) -> int:
        return self.now_ms


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def store(tmp_path, clock):
    store = LabStore.open(tmp_path, clock)
    yield store
    store.close()


def refusal(call, *args) -> str:
    with pytest.raises(StoreError) as problem:
        call(*args)
    return str(problem.value)


def test_settings_outlive_the_server(tmp_path, store):
    store.settings.set("supply_pressure_unit", "psi")
    store.settings.set("supply_pressure_unit", "bar")
    store.settings.set("gas_here", {"outlet-1": "oxygen", "outlet-2": "none"})
    store.settings.set_password_hash("$argon2id$1")
    store.close()

    again = LabStore.open(tmp_path)

    assert again.settings.all() == {
        "supply_pressure_unit": "bar",
        "gas_here": {"outlet-1": "oxygen", "outlet-2": "none"},
    }
    assert again.settings.password_hash() == "$argon2id$1"
    again.close()


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("supply_pressure_unit", "atm", "the setting supply_pressure_unit is 'atm'; it is one of psi, bar."),
        ("gas_tension_unit", None, "it is one of mmHg, kPa"),
        ("region", "", "it is a name of 1 to 100 printable characters"),
        ("gas_here", ["oxygen"], "it says the gas of each outlet"),
        (
            "gas_here",
            {"outlet-1": "helium"},
            "has 'helium'; a gas here is one of oxygen, air, none.",
        ),
        ("password_hash", "x", "there is no setting password_hash"),
    ],
)
def test_a_setting_that_cannot_be_is_refused(store, name, value, words):
    assert words in refusal(store.settings.set, name, value)
    assert store.settings.all() == {}


def test_a_browser_is_known_by_its_token_until_its_time_is_over(store, clock):
    store.signing_in.sign_in("token-1", "checker", HOUR_MS, station="s1")

    assert store.signing_in.who("token-1") == SignedIn(
        "checker", "s1", None, clock.now_ms, clock.now_ms + HOUR_MS
    )
    assert store.signing_in.who("token-2") is None
    clock.now_ms += HOUR_MS
    assert store.signing_in.who("token-1") is None


def test_the_file_holds_no_token(tmp_path, store):
    store.signing_in.sign_in("a-token-that-opens-a-door", "instructor", HOUR_MS)

    assert b"a-token-that-opens-a-door" not in (tmp_path / "lab.db").read_bytes()


def test_signing_out_and_a_new_password_let_nobody_stay(store):
    for token in ("one", "two"):
        store.signing_in.sign_in(token, "instructor", HOUR_MS)
    store.signing_in.sign_in("three", "checker", HOUR_MS, station="s1")

    store.signing_in.sign_out("one")
    assert store.signing_in.who("one") is None
    assert store.signing_in.who("two") is not None
    store.settings.set_password_hash("$argon2id$2")
    assert store.signing_in.who("two") is None
    assert store.signing_in.who("three") is not None


def test_one_lab_is_open_at_a_time(store, clock):
    lab = store.labs.open("2026-11-25")

    assert store.labs.now_open() == lab
    assert refusal(store.labs.open, "2026-11-26") == "the lab of 2026-11-25 is still open; close it first."
    clock.now_ms += HOUR_MS
    store.labs.close(lab.id)
    assert store.labs.now_open() is None
    assert store.labs.open("2026-11-26").id == lab.id + 1
    assert [(row.day, row.closed_utc_ms) for row in store.labs.all()] == [
        ("2026-11-25", clock.now_ms),
        ("2026-11-26", None),
    ]


def test_stations_keep_the_order_in_which_they_were_set_up(store):
    stations = [StationRow("s2", "By the window"), StationRow("s1", "By the door")]
    store.labs.set_stations([StationRow("s9", "Of last year")])

    store.labs.set_stations(stations)

    assert store.labs.stations() == stations
    assert "two stations have one id" in refusal(store.labs.set_stations, [stations[0], stations[0]])
    assert store.labs.stations() == stations


def test_a_code_gives_a_role_at_a_station_however_it_is_typed(store):
    lab = store.labs.open("2026-11-25")

    code = store.labs.new_code(lab.id, "checker", HOUR_MS, "s1")

    typed = f" {code.code[:3].lower()}-{code.code[3:].lower()} "
    assert store.labs.code(typed) == code
    assert (code.role, code.station, len(code.code)) == ("checker", "s1", 6)
    assert store.labs.codes(lab.id) == [code]
    assert store.labs.code(code.code + "2") is None
    assert store.labs.code("") is None


def test_a_code_may_be_one_that_can_be_called_across_a_room(store):
    lab = store.labs.open("2026-11-25").id

    code = store.labs.new_code(lab, "learner", HOUR_MS, "s1", "willow-4711")

    assert code.code == "WILLOW4711"
    assert store.labs.code("Willow 4711") == code
    assert store.labs.code("willow47115") is None
    assert "lets somebody in already" in refusal(
        store.labs.new_code, lab, "checker", HOUR_MS, "s2", "WILLOW 4711"
    )
    for wrong in ("ab 12", "willow" * 4):
        assert "a code has 6 to 19 letters" in refusal(
            store.labs.new_code, lab, "checker", HOUR_MS, "s2", wrong
        )


def test_a_code_ends_with_its_time_and_with_its_lab(store, clock):
    lab = store.labs.open("2026-11-25")
    short, long = (store.labs.new_code(lab.id, "learner", hours * HOUR_MS) for hours in (1, 8))
    store.signing_in.sign_in("by code", "learner", 8 * HOUR_MS, lab=lab.id)
    store.signing_in.sign_in("by password", "instructor", 8 * HOUR_MS)

    clock.now_ms += HOUR_MS
    assert store.labs.code(short.code) is None
    assert store.labs.code(long.code) == long
    store.labs.close(lab.id)
    assert store.labs.code(long.code) is None
    assert store.signing_in.who("by code") is None
    assert store.signing_in.who("by password") is not None


def test_no_code_makes_an_instructor(store):
    lab = store.labs.open("2026-11-25")

    assert "signs in with the password" in refusal(store.labs.new_code, lab.id, "instructor", HOUR_MS)
    assert "'dean' is not a role" in refusal(store.labs.new_code, lab.id, "dean", HOUR_MS)
    assert "'dean' is not a role" in refusal(store.signing_in.sign_in, "t", "dean", HOUR_MS)


def test_a_code_for_a_lab_that_never_was_is_a_fault_of_the_program(store):
    with pytest.raises(IntegrityError):
        store.labs.new_code(99, "learner", HOUR_MS)


def test_the_line_keeps_its_order_and_knows_who_is_next(store):
    lab = store.labs.open("2026-11-25").id
    for learner, station in [("p-1", None), ("p-2", "s2"), ("p-3", None)]:
        store.line.add(lab, learner, station)

    assert store.line.next_for(lab, "s1") == InLine("p-1", None, "waiting")
    store.line.move(lab, "p-1", "at_station", "s1")
    assert store.line.next_for(lab, "s1") == InLine("p-3", None, "waiting")
    assert store.line.next_for(lab, "s2") == InLine("p-2", "s2", "waiting")
    store.line.move(lab, "p-3", "absent")
    assert store.line.next_for(lab, "s1") is None
    store.line.swap(lab, "p-1", "p-3")
    assert store.line.all(lab) == [
        InLine("p-3", "s1", "absent"),
        InLine("p-2", "s2", "waiting"),
        InLine("p-1", None, "at_station"),
    ]


def test_the_line_refuses_what_cannot_be(store):
    lab = store.labs.open("2026-11-25").id
    store.line.add(lab, "p-1")

    assert "is in line already" in refusal(store.line.add, lab, "p-1")
    assert "p-9 is not in line" in refusal(store.line.move, lab, "p-9", "done")
    assert "p-9 is not in line" in refusal(store.line.swap, lab, "p-1", "p-9")
    assert "'asleep' is no state" in refusal(store.line.move, lab, "p-1", "asleep")
    assert store.line.all(lab) == [InLine("p-1", None, "waiting")]


def test_an_erased_name_is_in_no_file_of_the_folder(tmp_path, store):
    lab = store.labs.open("2026-11-25").id
    stays, goes = store.people.add("  Ada   Oakley "), store.people.add("Zebedee Quillfeather")
    store.line.add(lab, goes)

    store.people.erase(goes)

    assert store.people.names() == {stays: "Ada Oakley"}
    assert [in_line.learner for in_line in store.line.all(lab)] == [goes]
    files = b"".join(path.read_bytes() for path in tmp_path.iterdir())
    assert b"Ada Oakley" in files
    assert b"Quillfeather" not in files


@pytest.mark.parametrize("name", ["", "   ", "x" * 201, "a\x00b"])
def test_a_name_that_is_none_is_refused(store, name):
    assert refusal(store.people.add, name) == "a name has 1 to 200 printable characters."


def test_many_threads_at_once_lose_nothing(store):
    lab = store.labs.open("2026-11-25").id
    learners = [f"p-{i}" for i in range(24)]
    problems = []

    def work(mine):
        try:
            for learner in mine:
                store.line.add(lab, learner)
                store.line.all(lab)
        except Exception as problem:
            problems.append(problem)

    threads = [threading.Thread(target=work, args=(learners[i::4],)) for i in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert problems == []
    assert sorted(in_line.learner for in_line in store.line.all(lab)) == sorted(learners)
