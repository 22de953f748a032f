"""Contract: those who judge may ask what the record says so far; in an assessment it waits for them."""

import pytest
from tests.web.open_lab import FLOW

from tidalbay.case.procedures import check_off_criteria


def verdicts(open_lab, role="checker"):
    with open_lab.instructor() if role == "instructor" else open_lab.joined(role) as client:
        return client.get("/stations/s1/verdicts.json")


@pytest.mark.parametrize("role", ["checker", "instructor"])
def test_those_who_judge_see_every_criterion_with_why(open_lab, role):
    open_lab.begin(mode="formative", go=True)
    with open_lab.instructor() as client:
        client.post("/stations/s1/acts", json={"acts": [FLOW]})

    told = verdicts(open_lab, role).json()

    case = open_lab.lab.cases["post-operative"]
    assert [each["id"] for each in told["criteria"]] == [c.id for c in check_off_criteria(case.check_off)]
    by_id = {each["id"]: each for each in told["criteria"]}
    assert by_id["flow-as-ordered"]["verdict"] == "met"
    assert by_id["hands-before-touch"]["verdict"] == "cannot_be_judged"
    assert all(each["why"] for each in told["criteria"])
    assert told["outcome"]["result"] == "undecided"


def test_an_overrule_stands_beside_what_the_record_says(open_lab):
    open_lab.begin(mode="formative", go=True)
    with open_lab.joined("checker") as client:
        values = {"verdict": "met", "reason": "I saw it through the glass."}
        mark = {"kind": "overrule", "about": "sat-up", "values": values, "key": ["tablet", 1]}
        client.post("/stations/s1/marks", json={"marks": [mark]})
        told = client.get("/stations/s1/verdicts.json").json()

    sat_up = next(each for each in told["criteria"] if each["id"] == "sat-up")
    assert (sat_up["verdict"], sat_up["record"]) == ("met", "cannot_be_judged")
    assert sat_up["reason"] == "I saw it through the glass."


@pytest.mark.parametrize("role", ["checker", "instructor"])
def test_in_an_assessment_the_record_waits_until_people_have_judged(open_lab, role):
    open_lab.begin(mode="summative", go=True)

    told = verdicts(open_lab, role).json()

    assert told["criteria"] == []
    assert told["folded"].startswith("Verdicts stay folded in an assessment until the checker has judged")


@pytest.mark.parametrize("role", ["learner", "projector"])
def test_nobody_else_may_ask(open_lab, role):
    open_lab.begin(mode="formative", go=True)

    answer = verdicts(open_lab, role)

    assert answer.status_code == 403
    assert "criteria" not in answer.text


def test_a_checker_of_another_station_may_not_ask(open_lab):
    open_lab.begin(mode="formative", go=True)
    with open_lab.joined("checker", "s2") as client:
        assert client.get("/stations/s1/verdicts.json").status_code == 403


def test_the_order_of_a_checkers_taps_within_tap_error_is_asked_and_not_clocked(open_lab):
    """The log calls a tablet by its role and a name of its own; it is a watcher's all the same."""
    open_lab.begin(mode="formative", go=True)
    placed = {"act": "device_placed", "on": "cannula", "hands": "learner"}
    with open_lab.joined("checker") as client:
        client.post("/stations/s1/acts", json={"acts": [placed, {**FLOW, "hands": "learner"}]})
        told = client.get("/stations/s1/verdicts.json").json()

    by = {entry.by for entry in open_lab.entries() if entry.kind == "flow_set"}
    assert by.pop().startswith("checker-")
    flow_first = next(each for each in told["criteria"] if each["id"] == "flow-before-face")
    assert flow_first["verdict"] == "cannot_be_judged"
    assert "nobody said which came first" in flow_first["why"]


def assessed(client, learner, why="finished"):
    """One assessment of a learner, touched and ended; what is told before and after it ends."""
    started = {"case": "post-operative", "mode": "summative", "learner": learner, "go": True}
    assert client.post("/stations/s1/start", json=started).status_code == 200
    client.post("/stations/s1/acts", json={"acts": [FLOW]})
    before = client.get("/stations/s1/verdicts.json").json()
    client.post("/stations/s1/end", json={"why": why})
    return before, client.get("/stations/s1/verdicts.json").json()


def test_an_assessment_says_which_of_how_many_it_is_and_only_unfolded_what_follows(open_lab):
    if open_lab.lab.stations["s1"].life in ("ready", "running", "paused"):
        open_lab.begin()
    with open_lab.instructor() as client:
        client.post("/stations/s1/end", json={"why": "finished"})
        learner = client.post("/board/add", json={"names": ["Ines Quarrington"]}).json()["line"][-1][
            "learner"
        ]
        turns = [assessed(client, learner, why)[0]["turn"] for why in
                 ("finished", "void_for_equipment", "finished")]  # fmt: skip
        before, after = assessed(client, learner)
        debriefed = client.get(f"/debrief/{open_lab.lab.stations['s1'].attempt}/verdicts.json").json()

    assert turns == [
        ["This is the first of three attempts."],
        ["This is the second of three attempts."],
        ["This is the second of three attempts."],
    ]
    assert before["turn"] == after["turn"] == ["This is the third of three attempts."]
    assert after["folded"]
    assert "third" not in str(debriefed["verdicts"])
