"""Contract: how an afternoon is led from Today: the gas first, then who comes and to which patient."""

import pytest
from tests.web.open_lab import CASE, FLOW, heard

from tidalbay.web.network import Listeners

ASSESSED = ("formative", "summative")


def sentence(answer):
    return answer.json()["sentence"]


def start(client, mode="formative", station="s1", case=CASE, **more):
    return client.post(f"/stations/{station}/start", json={"case": case, "mode": mode, **more})


def say_gas(client, station="s1", gas="oxygen"):
    return client.post("/board/gas", json={"station": station, "gas": gas})


def open_the_room(monkeypatch):
    """As on the first page, without waiting for a network."""
    monkeypatch.setattr(Listeners, "is_open", property(lambda self: True))


# -- what comes out of the wall -------------------------------------------------------------


@pytest.mark.parametrize("mode", ASSESSED)
def test_nothing_is_checked_off_before_somebody_has_said_what_comes_out_of_the_wall(new_lab, mode):
    lab = new_lab()
    with lab.instructor() as client:
        asked = client.get("/board.json").json()["stations"][0]["asks_gas"]
        early = start(client, mode)
        say_gas(client, "s2")  # another station's wall
        other = start(client, mode)
        said = say_gas(client)
        begun = start(client, mode)

    assert asked == ["formative", "summative"]
    assert (early.status_code, other.status_code, begun.status_code) == (409, 409, 200)
    assert sentence(early) == (
        "Nobody has said yet what comes out of the wall at Station 1 today. The instructor says it on Today:"
        " oxygen, air or none; then begin."
    )
    assert said.json()["stations"][0]["asks_gas"] == []


def test_a_demonstration_and_practice_on_a_computer_by_itself_have_no_wall(new_lab):
    lab = new_lab()
    with lab.instructor() as client:
        shown = start(client, "demonstration")
        practised = start(client, "practice", "s2")

    assert (shown.status_code, practised.status_code) == (200, 200)


def test_where_the_room_comes_in_practice_waits_for_the_gas_too(new_lab, monkeypatch):
    lab = new_lab()
    open_the_room(monkeypatch)
    with lab.joined("learner") as learner, lab.instructor() as client:
        early = start(learner, "practice")
        say_gas(client, gas="none")
        begun = start(learner, "practice")

    assert (early.status_code, begun.status_code) == (409, 200)
    assert "The instructor says it on Today" in sentence(early)


def test_the_gas_is_said_for_one_lab_and_asked_again_in_the_next(new_lab):
    lab = new_lab()
    with lab.instructor() as client:
        say_gas(client)
        start(client)
        client.post("/stations/s1/end", json={"why": "finished"})
        client.post("/board/close", json={})
        fresh = client.get("/board.json").json()["stations"][0]
        again = client.post("/stations/s1/next", json={})

    assert fresh["gas"] is None
    assert again.status_code == 409


# -- forms ----------------------------------------------------------------------------------


def case_of(answer):
    return answer.json()["station"]["case"]


def end(client, station="s1"):
    return client.post(f"/stations/{station}/end", json={"why": "finished"})


def test_the_next_learner_meets_the_form_that_was_not_used_last_at_the_station(new_lab):
    lab = new_lab()
    with lab.instructor() as client:
        say_gas(client)
        say_gas(client, "s2")
        first = start(client)
        shown = client.get("/board.json").json()["stations"][0]
        end(client)
        second = client.post("/stations/s1/next", json={})
        elsewhere = start(client, station="s2")
        end(client)
        third = client.post("/stations/s1/next", json={})

    assert [case_of(each)["form"] for each in (first, second, third)] == ["a", "b", "a"]
    assert [case_of(each)["patient"] for each in (first, second)] == ["Mr T. Oakley", "Mr H. Selwick"]
    assert case_of(second)["title"] == "The day after bowel surgery, form B"
    assert case_of(elsewhere)["form"] == "a"
    assert shown["next_form"] == "b"


def test_another_start_of_the_case_takes_its_turn_also_when_the_server_was_stopped_between(new_lab):
    lab = new_lab()
    with lab.instructor() as client:
        say_gas(client)
        start(client)
        end(client)
        other = start(client, case="transport")
        end(client)
        # Nothing of the station remembers it now: what is kept does.
        again = start(client)

    assert [case_of(each)["form"] for each in (other, again)] == ["a", "b"]


def test_the_instructor_chooses_the_form_and_a_demonstration_keeps_its_patient(new_lab):
    lab = new_lab()
    with lab.instructor() as client:
        say_gas(client)
        chosen = start(client, form="b")
        end(client)
        same = client.post("/stations/s1/next", json={"form": "b"})
        start(client, "demonstration", "s2")
        end(client, "s2")
        shown_again = client.post("/stations/s2/next", json={})
        none = start(client, "demonstration", "s2", form="e")
        words = client.post("/stations/s1/next", json={"form": "second"})

    assert [case_of(each)["form"] for each in (chosen, same, shown_again)] == ["b", "b", "a"]
    assert (none.status_code, sentence(none)) == (400, "The case post-operative has no form E; it has A, B.")
    assert (words.status_code, sentence(words)) == (
        400, "form is the letter of one of the case's forms, such as b.",
    )  # fmt: skip


def test_the_record_keeps_the_form_and_every_screen_the_patient_of_it(new_lab):
    lab = new_lab()
    with lab.instructor() as client:
        say_gas(client)
        start(client, form="b", go=True)
        with lab.joined("checker") as checker, lab.listen(checker) as socket:
            hello = heard(socket, "hello")
        client.post("/stations/s1/acts", json={"acts": [FLOW]})
        end(client)
        attempt = lab.lab.stations["s1"].attempt
        page = client.get(f"/debrief/{attempt}").text
        record = client.get(f"/debrief/{attempt}/record.json").json()
        report = client.get(f"/debrief/{attempt}/report.html").text
    first = lab.entries()[0].values["case"]

    assert (first["form"], first["patient"]["name"]) == ("b", "Mr H. Selwick")
    assert hello["case"]["patient"]["name"] == "Mr H. Selwick"
    for told in (page, record["case"]["title"], report):
        assert "The day after bowel surgery, form B" in told


# -- whose hands ----------------------------------------------------------------------------


def test_whose_hands_comes_from_the_line_and_only_ids_enter_the_log(new_lab):
    lab = new_lab()
    with lab.instructor() as client:
        say_gas(client)
        line = client.post("/board/add", json={"names": ["Ana Quill", "Bo Quill", "Chi Quill"]}).json()[
            "line"
        ]
        ana, bo, chi = (each["learner"] for each in line)
        client.post("/board/move", json={"learner": chi, "state": "absent"})
        start(client, learner=ana, go=True)
        told = client.get("/stations/s1/learner.json").json()
        for hands in (ana, bo, "learner", "peer"):
            said = client.post("/stations/s1/acts", json={"acts": [{**FLOW, "hands": hands}]}).json()
            assert "n" in said["receipts"][0]

    assert told["id"] == ana
    assert told["learners"] == [{"id": ana, "name": "Ana Quill"}, {"id": bo, "name": "Bo Quill"}]
    assert [entry.hands for entry in lab.entries() if entry.kind == "flow_set"] == [
        ana,
        bo,
        "learner",
        "peer",
    ]
    assert "Quill" not in str(lab.entries())


@pytest.mark.parametrize("hands", ["Ana Quill", "ana", "learner two", "p-Ana", "x" * 99])
def test_a_name_for_hands_is_refused_and_nothing_is_kept(open_lab, hands):
    open_lab.begin(go=True)
    before = len(open_lab.entries())
    with open_lab.instructor() as client:
        said = client.post("/stations/s1/acts", json={"acts": [{**FLOW, "hands": hands}]}).json()
        begun = start(client, station="s2", learner="Ana Quill")

    assert said["receipts"] == [
        {
            "refused": "hands says whose hands by role (learner, peer, checker, instructor) or by the opaque"
            " id that the line has; a name never enters the log."
        }
    ]
    assert (begun.status_code, len(open_lab.entries())) == (400, before)


# -- practice alone -------------------------------------------------------------------------


def test_a_learner_alone_is_told_of_every_case_by_title_and_line_and_of_nothing_it_teaches(open_lab):
    with open_lab.joined("learner") as learner, open_lab.joined("projector") as projector:
        cases = learner.get("/cases.json").json()["cases"]
        closed = projector.get("/cases.json")

    assert {each["id"] for each in cases} == set(open_lab.lab.cases)
    assert cases[0]["line"] == "Mr T. Oakley: “It hurts when I breathe in.”"
    assert all(set(each) == {"id", "title", "line", "minutes", "forms"} for each in cases)
    assert closed.status_code == 403
