"""Contract: verdicts come over the line at each act to those who judge, folded where they wait."""

import asyncio
import json

import pytest
from tests.live.bench import CASES, CHECKER, LEARNER, Bench, run

from tidalbay.bedside import JUDGES, ROLES, may_see_verdicts
from tidalbay.live import ActSaid, MarkSaid
from tidalbay.trace import MODES

FLOW = ActSaid(act="flow_set", on="flowmeter", values={"flow_lpm": 2}, key=("tablet", 1))
RATING = MarkSaid(kind="global_rating", values={"rating": 3}, key=("tablet", 2))
QUIET_S = 1.5
CRITERIA = [each.say for each in CASES["post-operative"].check_off.criteria]


async def heard_by(bench, role, *, until_quiet_s=QUIET_S, doing=()):
    """Everything that a screen of a role is told while things are done, each message as it travels."""
    messages = []
    listening = bench.station.follow(role)
    messages.append(await asyncio.wait_for(anext(listening), 10))
    waiting = None
    for do in (*doing, None):
        if do is not None:
            await do()
        while True:
            waiting = waiting or asyncio.ensure_future(anext(listening))
            done, _ = await asyncio.wait((waiting,), timeout=until_quiet_s)
            if not done:
                break
            messages.append(waiting.result())
            waiting = None
    if waiting is not None:
        waiting.cancel()
    return messages


def told(role, mode, *kinds):
    async def said():
        async with Bench() as bench:
            await bench.begin(mode=mode)
            doing = {
                "flow": lambda: bench.station.act(FLOW, CHECKER if mode == "summative" else LEARNER),
                "rating": lambda: bench.station.mark(RATING, CHECKER),
                "marks": lambda: marked(bench),
            }
            return await heard_by(bench, role, doing=[doing[kind] for kind in kinds])

    return run(said())


async def marked(bench):
    """A state for every step that only a person can judge."""
    for n, each in enumerate(bench.station.hello("checker")["steps"]):
        said = {"kind": "step_state", "about": each["id"], "values": {"state": "done"}, "key": ("t", 100 + n)}
        await bench.station.mark(MarkSaid(**said), CHECKER)


def verdicts_in(messages):
    return [message["verdicts"] for message in messages if message["kind"] == "verdicts"]


@pytest.mark.parametrize("role", sorted(JUDGES))
def test_whoever_judges_is_told_at_once_and_again_at_each_act(role):
    found = verdicts_in(told(role, "formative", "flow"))

    before, after = (
        {each["id"]: each["verdict"] for each in said["criteria"]} for said in (found[0], found[-1])
    )
    assert len(found) >= 2
    assert (before["flow-as-ordered"], after["flow-as-ordered"]) == ("cannot_be_judged", "met")
    assert found[-1]["outcome"]["result"] == "undecided"


@pytest.mark.parametrize("role", sorted(JUDGES))
def test_in_an_assessment_they_stay_folded_until_marks_and_rating_are_in(role):
    messages = told(role, "summative", "flow", "rating", "marks")

    found = verdicts_in(messages)
    assert found[0]["folded"].startswith("Verdicts stay folded in an assessment")
    first_open = next(i for i, each in enumerate(found) if not each["folded"])
    assert all(not each["criteria"] and each["outcome"] is None for each in found[:first_open])
    assert found[-1]["criteria"]


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("role", sorted(set(ROLES) - JUDGES))
def test_no_byte_of_a_verdict_reaches_anybody_else(role, mode):
    messages = told(role, mode, "flow", "rating")

    assert not may_see_verdicts(role, mode)
    assert {message["kind"] for message in messages}.isdisjoint({"verdicts", "marks"})
    everything = json.dumps(messages, ensure_ascii=False)
    assert '"entries"' in everything
    for word in ("verdict", "not_met", "cannot_be_judged", "competent", "margin", "is_open", *CRITERIA):
        assert word not in everything


def test_a_screen_that_comes_later_finds_them_in_its_first_message():
    async def said():
        async with Bench() as bench:
            await bench.begin(mode="formative")
            first = await heard_by(bench, "checker")
            return first, bench.station.hello("checker"), bench.station.hello("learner")

    first, later, learner = run(said())
    assert later["verdicts"] == verdicts_in(first)[-1]
    assert "verdicts" not in learner


def test_where_nobody_judges_nothing_is_judged():
    async def said():
        async with Bench() as bench:
            await bench.begin(mode="formative")
            await heard_by(
                bench, "learner", until_quiet_s=0.3, doing=[lambda: bench.station.act(FLOW, LEARNER)]
            )
            return bench.station.hello("checker")["verdicts"]

    assert run(said()) is None
