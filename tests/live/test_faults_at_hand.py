"""What the instructor can throw: each fault strikes somewhere, and is offered only where it would."""

import asyncio

import pytest
from tests.live.bench import CASES, CHECKER, INSTRUCTOR, Bench, run

from tidalbay.catalogue.lab_faults import lab_faults
from tidalbay.live import ActSaid
from tidalbay.live.wire import every_fault

CYLINDER = next(supply.id for supply in CASES["transport"].setup.supplies if supply.kind == "cylinder")

# A room with one of everything, so that every fault finds something to strike.
EVERYTHING = (
    ("transport", (ActSaid(act="valve_opened", on=CYLINDER),)),
    (
        "post-operative",
        (
            ActSaid(act="tubing_connected", values={"from": "flowmeter", "to": "reservoir_mask"}),
            ActSaid(act="humidifier_fitted", on="flowmeter"),
            ActSaid(act="flow_set", on="flowmeter", values={"flow_lpm": 10}),
            ActSaid(act="bag_filled", on="reservoir_mask"),
            ActSaid(act="device_placed", on="reservoir_mask"),
            ActSaid(act="positioned", values={"position": "upright"}),
            ActSaid(act="device_chosen", on="venturi", values={"device": "air_entrainment_mask"}),
            ActSaid(act="concentrator_chosen", on="machine", values={"machine": "concentrator"}),
            ActSaid(act="outlet_chosen", on="air", values={"gas": "air"}),
            ActSaid(act="flowmeter_fitted", on="air_flowmeter", values={"outlet": "air"}),
            ActSaid(act="device_placed", on="cannula"),
        ),
    ),
)


async def thrown(case, acts, fault):
    """Throw a fault at the first part it could strike; None where it is not at hand."""
    async with Bench() as bench:
        await bench.begin(case, "formative")
        for act in acts:
            await bench.station.act(act, CHECKER)
        at_hand = bench.station.hello("instructor")["breath"]["truth"]["faults"]
        if fault["id"] not in at_hand:
            return None
        played = bench.station._now.played
        before = (played.attempt.equipment, played.attempt.body)
        for throw in fault["throws"]:
            on = (at_hand[fault["id"]] or [None])[0]
            await bench.station.act(ActSaid(act="cause_thrown", on=on, values=throw), INSTRUCTOR)
        return before != (played.attempt.equipment, played.attempt.body)


@pytest.mark.parametrize("fault", every_fault(), ids=lambda fault: fault["id"])
def test_every_fault_strikes_somewhere_as_it_is_offered(fault):
    async def everywhere():
        return await asyncio.gather(*(thrown(case, acts, fault) for case, acts in EVERYTHING))

    struck = run(everywhere())

    assert False not in struck, "offered, and nothing changed"
    if not lab_faults()[fault["id"]].only_if:
        assert True in struck, "offered nowhere"


def test_a_fault_that_finds_nothing_to_strike_is_not_offered():
    async def offered():
        async with Bench() as bench:
            await bench.begin()
            return bench.station.hello("instructor")["breath"]["truth"]["faults"]

    at_hand = run(offered())

    assert "valve_shut" not in at_hand  # there is no cylinder
    assert "mask_off_for_a_meal" not in at_hand  # nothing is worn
    assert "mucus_plug" not in at_hand  # this patient has no lobe that a plug can shut
    assert at_hand["tubing_kinked"] == ["cannula_tubing"]
    assert at_hand["pain_returns"] == []


@pytest.mark.parametrize("case", CASES)
def test_only_the_instructor_is_offered_faults(case):
    async def hellos():
        async with Bench() as bench:
            await bench.begin(case, "demonstration")
            return {role: bench.station.hello(role) for role in ("learner", "checker", "projector")}

    for hello in run(hellos()).values():
        assert "faults" not in hello
        assert "events" not in hello
