"""Contract: where everybody has left, the patient of a demonstration or of practice waits, and says so."""

import pytest
from tests.live.bench import CHECKER, INSTRUCTOR, Bench, run

from tidalbay.live import ActSaid, ClockSaid

HALF_AN_HOUR_S = 1800.0


async def left_for(bench, seconds):
    """Let real time pass in strides so short that no computer counts as having slept."""
    while seconds > 0:
        bench.wall.s += 2.0
        seconds -= 2.0
        await bench.station.catch_up()


async def begun(bench, mode):
    await bench.begin(mode=mode)
    await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)


@pytest.mark.parametrize("mode", ["demonstration", "practice"])
def test_half_an_hour_after_the_last_has_gone_the_station_pauses_and_says_so(mode):
    async def left():
        async with Bench() as bench:
            await begun(bench, mode)
            await left_for(bench, HALF_AN_HOUR_S - 4)
            before = bench.station.life
            await left_for(bench, 6)
            hello = bench.station.hello("learner")
            now_ms = bench.now_ms
            await left_for(bench, 60)
            return before, hello, bench.log.acts[-1], bench.now_ms - now_ms

    before, hello, last, passed_ms = run(left())

    assert before == "running"
    assert hello["notice"] == (
        "Nobody has looked at this station for half an hour, so its patient waits. Let time go on when"
        " somebody is here."
    )
    assert (hello["clock"]["state"], passed_ms) == ("paused", 0)
    assert (last.kind, last.by) == ("paused", "station")


@pytest.mark.parametrize("mode", ["formative", "summative"])
def test_a_check_off_goes_on_for_its_tablet_may_only_have_lost_the_network(mode):
    async def left():
        async with Bench() as bench:
            await begun(bench, mode)
            await left_for(bench, HALF_AN_HOUR_S + 60)
            return bench.station.life

    assert run(left()) == "running"


def test_a_screen_or_an_act_is_somebody_and_the_half_hour_begins_anew():
    async def visited():
        async with Bench() as bench:
            await begun(bench, "practice")
            await left_for(bench, HALF_AN_HOUR_S - 60)
            await bench.station.act(ActSaid(act="hands_cleaned"), CHECKER)
            await left_for(bench, HALF_AN_HOUR_S - 60)
            acted = bench.station.life
            listening = bench.station.follow("learner")
            await anext(listening)
            await left_for(bench, HALF_AN_HOUR_S + 60)
            watched = bench.station.life
            await listening.aclose()
            await left_for(bench, HALF_AN_HOUR_S + 4)
            return acted, watched, bench.station.life

    assert run(visited()) == ("running", "running", "paused")
