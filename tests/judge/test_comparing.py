"""Law: what a change gains and costs follows from two recordings, and nothing from none."""

import numpy as np
from tests.judge.bench import record

from tidalbay.judge import course_of, first_difference_s, gains_and_costs


def course(shown, paco2=40.0, flow=2.0):
    n = 600
    return record(
        (),
        {
            "spo2_shown_pct": np.broadcast_to(np.asarray(shown, dtype=float), n).copy(),
            "paco2_mmhg": np.full(n, paco2),
            "cannula_flow_lpm": np.full(n, flow),
            "wearing": np.full(n, "nasal_cannula"),
        },
    )


def test_the_seconds_of_a_course_add_up():
    shown = np.concatenate([np.full(100, 90.0), np.full(200, 96.0), np.full(250, 99.0), np.full(50, np.nan)])

    found = course_of(course(shown))

    assert (found.below_s, found.in_range_s, found.above_s, found.unknown_s) == (100, 200, 250, 50)
    assert (found.lowest_pct, found.oxygen_l) == (90.0, 20.0)


def test_nothing_changed_gains_and_costs_nothing():
    same = course_of(course(96))

    assert gains_and_costs(same, same) == ((), ())


def test_a_gain_in_range_may_cost_carbon_dioxide_and_gas():
    was, would = course_of(course(90)), course_of(course(96, paco2=47.0, flow=4.0))

    gains, costs = gains_and_costs(was, would)

    assert gains == (
        "About 10 min more in the ordered range.",
        "The lowest saturation shown is 96 % instead of 90 %.",
    )
    assert costs == ("Carbon dioxide rises about 7 mmHg higher.", "About 20 L more gas is used.")


def test_too_much_is_told_as_a_cost():
    was, would = course_of(course(96)), course_of(course(99))

    _, costs = gains_and_costs(was, would)

    assert "About 10 min more above it on oxygen." in costs
    assert "About 10 min less in the ordered range." in costs


def test_the_first_difference_is_the_first_second_that_shows_something_else():
    shown = np.full(600, 96.0)
    other = shown.copy()
    other[299] = 95.0

    assert first_difference_s(course(shown).trace, course(other).trace) == 300.0
    assert first_difference_s(course(shown).trace, course(shown).trace) is None
