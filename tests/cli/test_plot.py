"""Law and contract of the curves: exact lines for known numbers, and nothing where nothing is known."""

from math import nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tidalbay.cli.play.plot import COARSE, FINE, Scale, curve, minute_step, time_line, with_scale

TEN = Scale(0.0, 10.0, (10.0, 0.0))


def test_a_step_is_drawn_as_a_reading_that_held_and_then_changed():
    assert curve([0, 1, 2, 3], [0, 0, 10, 10], 4, TEN, 4, 3, COARSE) == [
        "  **",
        "  * ",
        "*** ",
    ]


def test_a_fine_curve_has_eight_dots_in_a_character():
    assert curve([0, 1, 2, 3], [0, 0, 10, 10], 4, TEN, 2, 1, FINE) == ["⣀⡏"]


def test_nothing_is_drawn_where_nothing_is_known():
    assert curve([0, 1, 2, 3], [10, nan, nan, 10], 4, TEN, 4, 1, COARSE) == ["*  *"]


def test_a_range_is_dotted_behind_the_curve():
    ordered = Scale(0.0, 10.0, (), (10.0, 5.0))

    assert curve([0, 1], [10, 10], 4, ordered, 4, 3, COARSE) == ["**..", "....", "    "]


def test_numbers_stand_at_their_rows():
    assert with_scale(["a", "b", "c"], TEN, 6, FINE) == ["  10 ┤a", "     │b", "   0 ┤c"]


def test_the_line_of_time_fills_and_carries_a_flag_for_each_act():
    assert time_line(60, 120, [0, 90], 20, 6, FINE) == [
        "      ┻━━━━━━━━━─────┴────",
        "      0         1    2 min",
    ]


def test_a_run_that_is_over_leaves_nothing_ahead():
    assert time_line(125, 120, [], 10, 0, COARSE)[0] == "=========="


@pytest.mark.parametrize(("minutes", "step"), [(1, 1), (16, 2), (120, 10), (720, 60)])
def test_minutes_under_the_line_leave_room_between_them(minutes, step):
    assert minute_step(60.0 * minutes, 93) == step


@given(
    st.lists(st.one_of(st.just(nan), st.floats(-50, 150)), min_size=1, max_size=200),
    st.integers(1, 60),
    st.integers(1, 8),
    st.booleans(),
)
def test_whatever_is_drawn_keeps_to_its_paper(values, columns, rows, fine):
    lines = curve(list(range(len(values))), values, len(values), TEN, columns, rows, FINE if fine else COARSE)

    assert [len(line) for line in lines] == [columns] * rows


@given(st.floats(6, 43200), st.integers(8, 110))
def test_the_line_of_time_keeps_to_its_paper(until_s, columns):
    ruled, minutes = time_line(until_s / 3, until_s, [until_s / 2], columns, 6, FINE)

    assert len(ruled) == columns + 6
    assert len(minutes) <= columns + 6
    assert minutes.endswith(" min")
