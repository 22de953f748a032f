"""The clock of a station: whole milliseconds that never go back, whatever real time does."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.live.bench import Wall

from tidalbay.live.clock import MOST_AT_ONCE_S, StationClock


def test_it_stands_still_until_it_goes():
    wall = Wall()
    clock = StationClock(wall, 1)
    wall.s += 100.0

    assert clock.now_ms() == 1

    clock.go()
    wall.s += 1.5
    assert clock.now_ms() == 1501


def test_at_another_pace_it_counts_more():
    wall = Wall()
    clock = StationClock(wall)
    clock.pace(60)
    clock.go()
    wall.s += 1.0

    assert clock.now_ms() == 60_000


def test_it_stands_still_while_the_disk_is_waited_for_and_makes_up_for_it():
    wall = Wall()
    clock = StationClock(wall)
    clock.go()
    wall.s += 1.0
    clock.hold()
    wall.s += 1.0

    assert clock.now_ms() == 1000

    clock.release()
    wall.s += 0.25
    assert clock.now_ms() == 2250  # acts do not slow the patient's time down


def test_hours_that_were_skipped_while_it_was_held_are_not_added_to_the_wait_for_them():
    wall = Wall()
    clock = StationClock(wall)
    clock.go()
    clock.hold()
    wall.s += 1.0
    clock.set_to(3_600_000)

    clock.release()

    assert clock.now_ms() == 3_600_000


def test_of_an_hour_in_which_nobody_looked_it_counts_two_seconds_and_says_the_rest():
    wall = Wall()
    clock = StationClock(wall)
    clock.go()
    wall.s += 3600.0

    assert clock.now_ms() == 1000 * MOST_AT_ONCE_S
    assert clock.take_lost_s() == pytest.approx(3598.0)
    assert clock.take_lost_s() == 0.0


def test_it_stops_by_itself_where_it_was_told_to():
    wall = Wall()
    clock = StationClock(wall)
    clock.go(until_ms=700)
    wall.s += 1.0

    assert clock.now_ms() == 700


def test_real_time_until_a_moment_follows_the_pace():
    wall = Wall()
    clock = StationClock(wall)

    assert clock.in_real_s(1000) == float("inf")

    clock.go()
    clock.pace(4)
    assert clock.in_real_s(1000) == pytest.approx(0.25)


does = st.one_of(
    st.tuples(st.just("wait"), st.floats(-5.0, 5000.0)),
    st.tuples(st.just("pace"), st.integers(1, 60)),
    st.tuples(st.sampled_from(["go", "stop", "hold", "release"]), st.none()),
    st.tuples(st.just("set_to"), st.floats(0.0, 1e8)),
)


@given(st.lists(does, max_size=40))
def test_it_never_goes_back(done):
    wall, held = Wall(), 0
    clock, before = StationClock(wall), 0
    for what, how in done:
        if what == "wait":
            wall.s += how  # also backwards: a counter that misbehaves moves nobody back
        elif what in ("pace", "set_to"):
            getattr(clock, what)(how)
        elif what != "release" or held:
            held += {"hold": 1, "release": -1}.get(what, 0)
            getattr(clock, what)()
        now = clock.now_ms()
        assert now >= before
        before = now
