"""The sampling line at a station: nothing of it is told while it is off, its own breaths once it is on."""

import pytest
from tests.live.bench import Bench, run

from tidalbay.bedside import ROLES
from tidalbay.equipment import ActRefused
from tidalbay.live import ActSaid, ClockSaid, Who

TOLD = {"capnogram", "capnogram_start_s", "capnogram_words", "end_tidal_co2_shown_mmhg"}
ACTING = ("learner", "checker", "instructor")


def readings(bench, role="learner"):
    return bench.station.hello(role)["breath"]["readings"]


def site(bench, role="learner"):
    return bench.station.hello(role)["breath"]["things"]["sampling_line"]["site"]


def on(where, role="checker"):
    return ActSaid(act="sampling_line_placed", values={"site": where}), Who(role)


def test_while_it_is_off_no_screen_is_told_anything_of_it():
    async def scene():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), Who("instructor"))
            await bench.pass_s(20)
            for role in ROLES:
                assert site(bench, role) is None
                assert not TOLD & set(readings(bench, role))

    run(scene())


@pytest.mark.parametrize("role", ACTING)
def test_whoever_acts_may_put_it_on_and_every_screen_sees_its_breaths(role):
    async def scene():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), Who("instructor"))
            await bench.pass_s(20)
            await bench.station.act(*on("nose", role))
            at_once = readings(bench)
            await bench.pass_s(15)
            assert at_once["end_tidal_co2_shown_mmhg"] is None  # no breath of its own yet
            for screen in ROLES:
                told = readings(bench, screen)
                assert set(told) >= TOLD
                assert 20 <= told["end_tidal_co2_shown_mmhg"] <= 50
                assert told["capnogram_start_s"] >= 20
                assert site(bench, screen) == "nose"
            await bench.station.act(ActSaid(act="sampling_line_removed"), Who(role))
            assert not TOLD & set(readings(bench))

    run(scene())


def test_oxygen_through_the_prongs_lowers_what_it_reads():
    async def scene():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), Who("instructor"))
            await bench.station.act(*on("nose"))
            await bench.pass_s(20)
            bare = readings(bench)["end_tidal_co2_shown_mmhg"]
            await bench.station.act(
                ActSaid(act="flow_set", on="flowmeter", values={"flow_lpm": 6}), Who("checker")
            )
            await bench.station.act(ActSaid(act="device_placed", on="cannula"), Who("checker"))
            await bench.pass_s(20)
            told = readings(bench)
            assert told["end_tidal_co2_shown_mmhg"] <= bare - 4
            assert "sags" in told["capnogram_words"]

    run(scene())


def test_a_line_is_not_put_where_there_is_nothing_to_put_it_into():
    async def scene():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), Who("instructor"))
            with pytest.raises(ActRefused, match="There is no breathing circuit here"):
                await bench.station.act(*on("circuit"))
            assert site(bench) is None

    run(scene())


def test_a_placing_that_was_taken_back_leaves_no_line():
    async def scene():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), Who("instructor"))
            receipt = await bench.station.act(*on("nose"))
            await bench.pass_s(12)
            assert set(readings(bench)) >= TOLD
            await bench.station.act(ActSaid(act="taken_back", values={"entry": receipt.n}), Who("checker"))
            assert not TOLD & set(readings(bench))

    run(scene())
