"""The drawing follows words, and each word that can be drawn draws something of its own."""

import pytest

from tidalbay.bedside import Finding, drawn_look
from tidalbay.catalogue.findings import DRAWN, finding_ladders, recline_deg


def found(what, rung):
    return Finding(what, "", 0.0, rung)


def test_a_well_patient_is_drawn_quiet():
    quiet = [
        found("alertness", "alert"),
        found("effort", "quiet"),
        found("speech", "sentences"),
        found("colour", "usual"),
        found("sweat", "dry"),
    ]

    assert drawn_look(quiet, "propped") == {
        "effort": 0.1,
        "blue": 0.0,
        "pale": 0.0,
        "lids": 0.0,
        "nod_deg": 0.0,
        "mouth": 0.0,
        "sweat": 0.0,
        "recline_deg": 30.0,
        "posture": "propped",
        "speaks": "whole sentences",
    }


def test_where_two_findings_show_the_same_the_stronger_is_drawn():
    look = drawn_look([found("alertness", "voice"), found("effort", "failing")], "flat")

    assert look["nod_deg"] == 14.0
    assert look["mouth"] == 0.4
    assert "speaks" not in look


@pytest.mark.parametrize("what", ["alertness", "effort", "colour", "sweat"])
def test_every_rung_of_what_eyes_see_is_drawn_otherwise_than_the_others(what):
    rungs = finding_ladders()[what].rungs
    looks = {tuple(sorted(drawn_look([found(what, rung.id)], "propped").items())) for rung in rungs}

    assert len(looks) == len(rungs)


def test_no_blue_is_drawn_where_words_say_none():
    for rung in finding_ladders()["colour"].rungs:
        assert (drawn_look([found("colour", rung.id)], "flat")["blue"] > 0.0) == (
            rung.id in ("blue", "tinge")
        )


def test_every_posture_has_its_back_rest():
    assert set(recline_deg()) == {"flat", "side", "propped", "upright", "sitting_out"}
    assert all(drawn_look([], posture)["recline_deg"] == deg for posture, deg in recline_deg().items())


def test_shares_are_shares():
    for ladder in finding_ladders().values():
        for rung in ladder.rungs:
            for name, value in rung.draws.items():
                assert name in DRAWN
                assert 0.0 <= value <= (30.0 if name.endswith("_deg") else 1.0)
