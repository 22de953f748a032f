"""Contract: a code gives a role at one station and nothing more. Each forbidden thing is tried."""

import json

import httpx2
import pytest
from tests.web.open_lab import FLOW, closing, heard

from tidalbay.bedside.allowed import HIDDEN
from tidalbay.web.routes import socket

START = {"case": "post-operative", "mode": "formative"}
MARK = {"kind": "note", "values": {"text": "seen"}}
THROWN = {"act": "event_thrown", "values": {"event": "pain-eases"}}
GAS = {"station": "s1", "gas": "oxygen"}


def sentence(answer):
    return answer.json()["sentence"]


def names_in(value):
    """Every name anywhere in a message."""
    if isinstance(value, dict):
        for name, inner in value.items():
            yield name
            yield from names_in(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from names_in(inner)


@pytest.mark.parametrize("role", ["learner", "checker", "projector"])
@pytest.mark.parametrize("mode", ["formative", "summative", "practice"])
def test_no_screen_of_the_room_receives_the_hidden_truth(open_lab, role, mode):
    open_lab.begin(mode=mode, go=True)
    plain_hidden = {name for name in HIDDEN if not name.startswith("*")}

    with open_lab.joined(role) as client, open_lab.listen(client, query="&as=instructor") as socket:
        first = heard(socket, "hello")
        messages = [first, heard(socket, "breath"), heard(socket, "breath")]

    assert first["role"] == role
    for message in messages:
        found = set(names_in(message))
        assert not found & (plain_hidden | {"truth", "ledger", "people", "events", "seed"})


def test_the_instructor_who_shows_the_bedside_receives_what_the_room_may_see(open_lab):
    open_lab.begin(mode="summative", go=True)
    with open_lab.instructor() as client:
        with open_lab.listen(client, query="&as=projector") as shown:
            seen = heard(shown, "breath")
        with open_lab.listen(client, query="&as=instructor") as own:
            known = heard(own, "breath")

        page = client.get("/bedside/s1").text

    assert "truth" not in seen
    assert "truth" in known
    assert 'data-role="projector"' in page


CLOSED = [
    ("GET", "/bedside/s2"),
    ("GET", "/check-off/s2"),
    ("GET", "/practice/s2"),
    ("GET", "/station/s1"),
    ("GET", "/paper/s2"),
    ("GET", "/codes"),
    ("GET", "/welcome"),
    ("GET", "/board.json"),
    ("POST", "/board/add"),
    ("POST", "/board/close"),
    ("POST", "/board/stations"),
    ("POST", "/stations/s2/acts"),
    ("POST", "/stations/s2/marks"),
    ("POST", "/stations/s2/clock"),
    ("POST", "/stations/s2/end"),
    ("POST", "/stations/s2/start"),
    ("POST", "/stations/s1/key"),
]


@pytest.mark.parametrize("role", ["learner", "checker", "projector"])
def test_another_station_and_the_instructors_pages_are_closed(open_lab, role):
    with open_lab.joined(role) as client:
        for method, path in CLOSED:
            answer = client.request(method, path, **({"json": {}} if method == "POST" else {}))

            assert answer.status_code == 403, (method, path)
            assert sentence(answer).startswith(
                ("This is for the ", "This screen has joined another station.")
            )


@pytest.mark.parametrize("role", ["learner", "checker", "projector"])
def test_another_stations_socket_closes_with_a_sentence(open_lab, role):
    with open_lab.joined(role) as client, open_lab.listen(client, "s2") as socket:
        code, reason = closing(socket)

    assert code == 4403
    assert reason == "This screen has joined another station. Join this one with its own code."


def test_who_has_not_joined_sees_and_does_nothing(open_lab):
    open_lab.begin()
    before = len(open_lab.entries())
    with open_lab.stranger() as client:
        for path in ("/bedside/s1", "/check-off/s1", "/station/s1", "/codes", "/board.json", "/breath"):
            assert client.get(path).status_code == 401
        assert client.get("/bedside/s1", headers={"accept": "text/html"}).headers["location"] == "/join"
        for path in ("acts", "marks", "clock", "start", "next", "end"):
            assert client.post(f"/stations/s1/{path}", json={"acts": [FLOW]}).status_code == 401
        with open_lab.listen(client) as socket:
            assert closing(socket)[0] == 4401

    assert len(open_lab.entries()) == before


def test_a_learner_cannot_throw_events_mark_or_set_the_clock_of_a_check_off(open_lab):
    open_lab.begin(go=True)
    before = len(open_lab.entries())
    with open_lab.joined("learner") as client:
        thrown = client.post("/stations/s1/acts", json={"acts": [THROWN]}).json()["receipts"][0]
        marked = client.post("/stations/s1/marks", json={"marks": [MARK]})
        paused = client.post("/stations/s1/clock", json={"do": "pause"})
        back = client.post("/stations/s1/clock", json={"do": "back", "to_ms": 0})
        ended = client.post("/stations/s1/end", json={"why": "finished"})
        begun = client.post("/stations/s1/start", json=START)

    assert "cannot be logged by learner" in thrown["refused"]
    assert (marked.status_code, begun.status_code) == (403, 403)
    for answer in (paused, back, ended):
        assert answer.status_code == 409
        assert "learner" in sentence(answer)
    assert len(open_lab.entries()) == before


def test_a_projector_only_looks(open_lab):
    open_lab.begin(go=True)
    with open_lab.joined("projector") as client:
        for path in ("acts", "marks", "clock", "end"):
            assert client.post(f"/stations/s1/{path}", json={"acts": [FLOW]}).status_code == 403
        with open_lab.listen(client) as socket:
            assert heard(socket, "hello")["role"] == "projector"


def test_a_learner_alone_begins_practice_and_nothing_else(new_lab):
    lab = new_lab()
    with lab.joined("learner") as client:
        assessed = client.post("/stations/s1/start", json={"case": "post-operative", "mode": "summative"})
        begun = client.post(
            "/stations/s1/start", json={"case": "post-operative", "mode": "practice", "go": True}
        )
        paused = client.post("/stations/s1/clock", json={"do": "pause"})
        assert client.post("/stations/s1/end", json={"why": "finished"}).status_code == 200
        again = client.post("/stations/s1/next", json={})
    lab.begin("s2", "formative")
    with lab.instructor() as client:
        client.post("/stations/s2/end", json={"why": "finished"})
    with lab.joined("learner", "s2") as client:
        taken = client.post("/stations/s2/start", json={"case": "post-operative", "mode": "practice"})

    assert (assessed.status_code, begun.status_code, paused.status_code, again.status_code) == (
        403,
        200,
        200,
        200,
    )
    assert (taken.status_code, sentence(taken)) == (
        403, "Station 2 is in use for something else; the instructor begins here.",
    )  # fmt: skip


def test_acts_carry_who_tapped_without_a_name(open_lab):
    open_lab.begin(go=True)
    with open_lab.joined("checker") as client:
        client.post("/stations/s1/acts", json={"acts": [{**FLOW, "hands": "learner"}]})
    entry = open_lab.entries()[-1]

    role, _, opaque = entry.by.partition("-")
    assert (role, len(opaque), entry.hands) == ("checker", 10, "learner")


# -- scripts and sensors --------------------------------------------------------------------


def test_a_station_key_logs_acts_at_its_station_and_nothing_else(open_lab):
    open_lab.begin(go=True)
    with open_lab.instructor() as client:
        key = client.post("/stations/s1/key", json={}).json()["key"]

    with httpx2.Client(base_url=open_lab.base, headers={"x-station-key": key}) as script:
        kept = script.post("/stations/s1/acts", json={"acts": [{**FLOW, "key": ["bench", 1]}]})
        elsewhere = script.post("/stations/s2/acts", json={"acts": [FLOW]})
        marked = script.post("/stations/s1/marks", json={"marks": [MARK]})
        clock = script.post("/stations/s1/clock", json={"do": "pause"})
        ended = script.post("/stations/s1/end", json={"why": "finished"})
        page = script.get("/board.json")

    assert kept.json()["receipts"][0]["n"] == open_lab.entries()[-1].n
    assert open_lab.entries()[-1].by.startswith("script-")
    refused = [answer.status_code for answer in (elsewhere, marked, clock, ended, page)]
    assert refused == [403, 403, 403, 403, 403]


def test_a_wrong_key_is_nobody_even_with_a_good_cookie(open_lab):
    with open_lab.joined("checker") as client:
        answer = client.post(
            "/stations/s1/acts", json={"acts": [FLOW]}, headers={"x-station-key": "guessed-" + "x" * 24}
        )

    assert answer.status_code == 401


# -- the first page, passwords, codes -------------------------------------------------------


def test_the_first_page_opens_on_this_computer_only(new_lab):
    lab = new_lab(has_password=False)
    said = {"password": "three small words", "again": "three small words", "stations": "2",
            "supply_pressure_unit": "bar", "gas_tension_unit": "kPa"}  # fmt: skip

    looked = lab.run(lab.from_elsewhere("GET", "/first"))
    tried = lab.run(lab.from_elsewhere("POST", "/first", data=said))
    claimed = lab.run(
        lab.from_elsewhere("POST", "/first", data=said, headers={"x-forwarded-for": "127.0.0.1"})
    )

    for answer in (looked, tried, claimed):
        assert answer.status_code == 403
        assert "opens only on the computer that runs Tidalbay" in sentence(answer)
    assert lab.store.settings.password_hash() is None


def test_the_first_page_sets_up_the_lab_or_says_what_is_open(new_lab):
    lab = new_lab(has_password=False)
    with lab.stranger() as client:
        assert client.get("/").headers["location"] == "/sign-in"
        assert client.get("/sign-in").headers["location"] == "/first"
        said = {"password": "short", "again": "short", "stations": "0", "supply_pressure_unit": "bar"}
        wrong = client.post("/first", data=said)
        said = {"password": "three small words", "again": "three small words", "stations": "3",
                "supply_pressure_unit": "bar", "gas_tension_unit": "kPa"}  # fmt: skip
        done = client.post("/first", data=said)
        page = client.get("/welcome")

    assert wrong.status_code == 400
    assert "A password has 8 to 200 characters" in wrong.text
    assert "1 to 30" in wrong.text
    assert (done.status_code, done.headers["location"], page.status_code) == (303, "/welcome", 200)
    assert lab.store.settings.all() == {"supply_pressure_unit": "bar", "gas_tension_unit": "kPa"}
    assert [row.id for row in lab.store.labs.stations()] == ["s1", "s2", "s3"]
    assert lab.listeners.is_open
    with lab.stranger() as client:  # a second time needs whoever knows the password
        assert client.get("/first").headers["location"] == "/sign-in"
        assert client.post("/first", data=said).headers["location"] == "/sign-in"


def test_cookies_cannot_be_read_by_pages_nor_sent_from_elsewhere(open_lab):
    with open_lab.stranger() as client:
        answer = client.post("/sign-in", data={"password": "three small words"})
        code = client.get(f"/join/{open_lab.door.afternoon.code_of('s1', 'learner')}")

    for each in (answer.headers["set-cookie"],):
        assert "httponly" in each.lower()
        assert "samesite=lax" in each.lower()
    assert "set-cookie" not in code.headers  # who signed in by password stays who they are


def test_wrong_passwords_and_codes_are_slowed_and_then_refused(new_lab):
    lab = new_lab()
    with lab.stranger() as client:
        passwords = [client.post("/sign-in", data={"password": f"guess {n}"}) for n in range(7)]
        codes = [client.post("/join", data={"code": f"heron {n:04d}"}) for n in range(12)]

    assert [answer.status_code for answer in passwords] == [403] * 5 + [429] * 2
    assert [answer.status_code for answer in codes] == [403] * 10 + [429] * 2
    assert int(codes[-1].headers["retry-after"]) >= 1


def test_codes_and_who_joined_by_them_end_with_the_lab(new_lab):
    lab = new_lab()
    code = lab.door.afternoon.code_of("s1", "checker")
    lab.begin("s1", go=True)
    with lab.joined("checker") as client, lab.instructor() as instructor, lab.listen(client) as socket:
        heard(socket, "hello")
        busy = instructor.post("/board/close", json={})
        instructor.post("/stations/s1/end", json={"why": "finished"})
        assert instructor.post("/board/close", json={}).status_code == 200
        lab.begin("s1", go=True)
        code_closed, reason = closing(socket)
        after = client.post("/stations/s1/acts", json={"acts": [FLOW]})
        again = client.get(f"/join/{code}")

    assert busy.status_code == 409
    assert (code_closed, "lab has closed" in reason) == (4401, True)
    assert (after.status_code, again.status_code) == (401, 403)
    assert lab.door.afternoon.code_of("s1", "checker") not in ("", code)


def test_a_demonstration_is_led_from_this_computer_until_there_is_a_password(new_lab):
    lab = new_lab(is_demonstration=True, has_password=False)
    with lab.stranger() as client:
        here = client.get("/board.json")
        elsewhere = lab.run(lab.from_elsewhere("GET", "/board.json"))
        lab.run(lab.door.visitors.set_password("three small words"))
        later = client.get("/board.json")

    assert (here.status_code, elsewhere.status_code, later.status_code) == (200, 401, 401)


def test_the_log_of_acts_names_nobody(new_lab):
    lab = new_lab()
    with lab.instructor() as client:
        board = client.post("/board/add", json={"names": ["Ines Quarrington"]}).json()
        learner = board["line"][0]["learner"]
        client.post("/board/gas", json=GAS)
        client.post(
            "/stations/s1/start",
            json={"case": "post-operative", "mode": "formative", "learner": learner, "go": True},
        )
        client.post("/stations/s1/acts", json={"acts": [FLOW]})
        shown = client.get("/board.json").json()["stations"][0]

    assert shown["learner_name"] == "Ines Quarrington"
    everything = json.dumps([[entry.by, entry.hands, str(entry.values)] for entry in lab.entries()])
    assert learner in everything
    assert "Quarrington" not in everything


def test_who_judges_sees_whose_attempt_it_is_by_name_and_no_other_screen_does(new_lab):
    lab = new_lab()
    with lab.instructor() as client:
        board = client.post("/board/add", json={"names": ["Ines Quarrington"]}).json()
        learner = board["line"][-1]["learner"]
        client.post("/board/gas", json=GAS)
        client.post("/stations/s1/start", json={**START, "learner": learner})

        told = {"name": "Ines Quarrington", "id": learner}
        told["learners"] = [{"id": learner, "name": "Ines Quarrington"}]
        assert client.get("/stations/s1/learner.json").json() == told
        assert client.get("/stations/s2/learner.json").json() == {"name": None, "id": None, "learners": []}
        with lab.joined("checker") as checker:
            assert checker.get("/stations/s1/learner.json").json() == told
            assert checker.get("/stations/s2/learner.json").status_code == 403
        for role in ("learner", "projector"):
            with lab.joined(role) as other:
                assert other.get("/stations/s1/learner.json").status_code == 403

        client.post("/stations/s1/end", json={"why": "finished"})
        client.post("/board/erase", json={"learner": learner})
        assert client.get("/stations/s1/learner.json").json()["name"] is None


def test_learners_who_take_every_place_shut_nobody_out_who_leads_or_judges(new_lab, monkeypatch):
    monkeypatch.setattr(socket, "MOST_SCREENS", 2)
    lab = new_lab()
    lab.begin(go=True)
    with (
        lab.joined("learner") as learner,
        lab.joined("checker") as checker,
        lab.instructor() as leads,
        lab.listen(learner) as one,
        lab.listen(learner) as two,
    ):
        assert [heard(each, "hello")["role"] for each in (one, two)] == ["learner", "learner"]
        with lab.listen(learner) as three:
            code, reason = closing(three)
        for client, role in ((checker, "checker"), (leads, "instructor")):
            with lab.listen(client) as other:
                assert heard(other, "hello")["role"] == role

    assert (code, reason) == (4429, "2 screens of this kind listen to this station already; close one.")
