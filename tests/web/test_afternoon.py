"""Contract: how an afternoon is led from Today: the gas first, then who comes and to which patient."""

import pytest
from tests.web.open_lab import CASE

from tidalbay.web.network import Listeners

ASSESSED = ("formative", "summative")


def sentence(answer):
    return answer.json()["sentence"]


def start(client, mode="formative", station="s1", **more):
    return client.post(f"/stations/{station}/start", json={"case": CASE, "mode": mode, **more})


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
