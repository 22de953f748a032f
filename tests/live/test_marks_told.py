"""Contract: those who judge see one list of marks and the case's own steps; nobody else sees either."""

import asyncio

import pytest
from tests.live.bench import CASES, CHECKER, Bench, run

from tidalbay.case.procedures import check_off_criteria
from tidalbay.live import MarkSaid

SAID = MarkSaid(
    kind="step_state", about="sat-up", values={"state": "done", "hidden": "no such value"}, key=("tablet", 1)
)


def judged(role):
    """The first message after a mark, and what came to somebody who listened when it was made."""

    async def said():
        async with Bench() as bench:
            await bench.begin(mode="formative")
            heard = bench.station.follow(role)
            await anext(heard)
            await bench.station.mark(SAID, CHECKER)
            told = []
            while True:
                try:
                    told.append(await asyncio.wait_for(anext(heard), 0.3))
                except TimeoutError:
                    return bench.station.hello(role), told

    return run(said())


@pytest.mark.parametrize("role", ["checker", "instructor"])
def test_those_who_judge_see_marks_of_each_other_and_after_a_reload(role):
    hello, told = judged(role)

    [message] = [message for message in told if message["kind"] == "marks"]
    assert message["marks"] == hello["marks"]
    [mark] = hello["marks"]
    assert (mark["kind"], mark["about"], mark["rater"]) == ("step_state", "sat-up", "checker")
    assert mark["values"] == {"state": "done"}  # what no list names does not travel


@pytest.mark.parametrize("role", ["checker", "instructor"])
def test_the_steps_are_those_that_the_record_judges_in_the_same_order(role):
    hello, _ = judged(role)

    criteria = check_off_criteria(CASES["post-operative"].check_off)
    assert [(s["item"], s["id"], s["say"], s["must"]) for s in hello["steps"]] == [
        (i, each.id, each.say, each.must) for i, each in enumerate(criteria, start=1)
    ]


@pytest.mark.parametrize("role", ["learner", "projector"])
def test_nobody_else_sees_what_was_judged_or_what_will_be(role):
    hello, told = judged(role)

    assert not {"marks", "steps"} & set(hello)
    assert "marks" not in {message["kind"] for message in told}
