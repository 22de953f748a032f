"""Law: the other way is drawn on the same strips, and says what it costs, leaves out and stands for."""

import pytest
from tests.report.bench import debrief, played

import tidalbay
from tidalbay.attempt import Change, forks_of, what_if
from tidalbay.report import other_way
from tidalbay.trace import Entry

pytestmark = pytest.mark.usefixtures("model")


def other(change, case="post-operative", path="good"):
    attempt, trace = played(case, path)
    return other_way(attempt.log, trace, what_if(attempt.log, change, attempt.t_s, forks_of(attempt.log)))


def entry(kind, case="post-operative", path="good"):
    attempt, _ = played(case, path)
    return next(act.n for act in attempt.log.acts if act.kind == kind)


def test_nothing_changed_draws_the_same_lines_and_gains_nothing():
    found = other(None)

    assert found["strips"] == debrief().first_page()["strips"]
    assert (found["from_s"], found["gains"], found["costs"], found["left_out"]) == (None, [], [], [])
    assert found["nothing"]


def test_without_the_device_the_saturation_is_lower_and_the_cost_is_said():
    found = other(Change("removed", entry("device_placed")))
    was = {s["id"]: s for s in debrief().first_page()["strips"]}
    would = {s["id"]: s for s in found["strips"]}

    def last(strip):
        return strip["lines"][0]["values"][-1]

    assert last(would["saturation"]) < last(was["saturation"])
    assert last(would["inspired"]) < 22.0 < last(was["inspired"])
    assert any("less in the ordered range" in cost for cost in found["costs"])
    assert found["from_s"] == 180.0
    assert "one simulated patient under the same chance" in found["stands_for"]
    assert "All later acts were left as they were." in found["stands_for"]


def test_acts_that_hands_could_no_longer_do_are_named():
    playing = tidalbay.play(tidalbay.load_case("post-operative"), [])
    for t_ms, kind, values in (
        (10_000, "device_chosen", {"device": "simple_mask"}),
        (20_000, "device_placed", {}),
    ):
        n = playing.log.next_n
        playing.attempt.act(
            Entry(n=n, t_ms=t_ms, kind=kind, by="script", hands="learner", on="simple_mask", values=values)
        )
    playing.run_to(60)

    found = other_way(playing.log, playing.trace(), what_if(playing.log, Change("removed", 2), 60))

    (left_out,) = found["left_out"]
    assert left_out.startswith(
        "Left out, since hands could not do it then: put the device on the patient at 00:20."
    )
    assert "simple_mask" in left_out


def test_before_the_change_the_lines_are_the_same():
    flow = entry("flow_set")
    found = other(Change("changed", flow, values={"flow_lpm": 6}))
    for was, would in zip(debrief().first_page()["strips"], found["strips"], strict=True):
        for mine, others in zip(was["lines"], would["lines"], strict=True):
            before = [p for p in zip(mine["t_s"], mine["values"], strict=True) if p[0] <= found["from_s"]]
            assert [
                p for p in zip(others["t_s"], others["values"], strict=True) if p[0] <= found["from_s"]
            ] == before
