"""Own exponential, logarithm, power and cosine against the C library's."""

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tidalbay.science.arithmetic import (
    LARGEST,
    SMALLEST_NORMAL,
    cosine_of_half_turn,
    exp,
    exp_near_zero,
    log,
    power,
)

ULP_OF_BOTH = 2  # ours is within 1 of the truth, and so is the C library


def ulps_apart(ours: float, reference: float) -> float:
    return abs(ours - reference) / math.ulp(reference)


def test_exponential_is_within_two_units_in_the_last_place_of_the_library():
    luck = random.Random(1)
    points = [luck.uniform(-700, 700) for _ in range(10_000)] + [luck.gauss(0, 3) for _ in range(10_000)]

    worst = max(ulps_apart(exp(x), math.exp(x)) for x in points)

    assert worst <= ULP_OF_BOTH


def test_logarithm_is_within_two_units_in_the_last_place_of_the_library():
    luck = random.Random(2)
    points = [math.exp(luck.uniform(-700, 700)) for _ in range(10_000)]
    points += [luck.uniform(0.5, 2.0) for _ in range(10_000)] + [1 + luck.gauss(0, 1e-6) for _ in range(1000)]

    worst = max(ulps_apart(log(x), math.log(x)) for x in points if x != 1.0)

    assert worst <= ULP_OF_BOTH


def test_logarithm_of_powers_of_two_and_of_their_neighbours_is_as_close():
    points = [2.0**k for k in range(-1022, 1024) if k != 0]
    points += [math.nextafter(x, 0.0) for x in points if x > SMALLEST_NORMAL]

    worst = max(ulps_apart(log(x), math.log(x)) for x in points)

    assert worst <= ULP_OF_BOTH


def test_exponential_of_zero_and_logarithm_of_one_are_exact():
    assert exp(0.0) == 1.0
    assert exp(-0.0) == 1.0
    assert log(1.0) == 0.0


@pytest.mark.parametrize(
    ("x", "held"), [(710.0, LARGEST), (1e300, LARGEST), (math.inf, LARGEST), (-709.0, 0.0), (-math.inf, 0.0)]
)
def test_exponential_out_of_range_is_held_and_never_raises(x, held):
    assert exp(x) == held


@pytest.mark.parametrize("x", [0.0, -1.0, -math.inf, 5e-324])
def test_logarithm_of_nothing_is_that_of_the_smallest_double(x):
    assert log(x) == log(SMALLEST_NORMAL)


def test_logarithm_of_infinity_is_finite():
    assert log(math.inf) == pytest.approx(math.log(LARGEST), rel=1e-5)


def test_not_a_number_passes_through():
    assert math.isnan(exp(math.nan))
    assert math.isnan(log(math.nan))
    assert math.isnan(power(math.nan, 2.0))


@given(st.floats(-0.3, 0.3))
def test_exponential_of_a_small_number_agrees_with_the_full_one(x):
    assert exp_near_zero(x) == pytest.approx(exp(x), rel=2.2e-11)


def test_exponential_of_a_small_number_is_farthest_off_where_its_series_ends():
    off = {x: abs(exp_near_zero(x) / exp(x) - 1.0) for x in (-0.1, -0.09, 0.09, 0.1)}

    assert max(off, key=lambda x: off[x]) == -0.1
    assert off[-0.1] == pytest.approx(2.166e-11, rel=1e-3)  # the remainder of the series, worked by hand
    assert exp_near_zero(-0.1000001) == exp(-0.1000001)


@settings(deadline=None)
@given(st.floats(1e-6, 1e6), st.floats(-10, 10))
def test_power_agrees_with_the_library(base, exponent):
    assert power(base, exponent) == pytest.approx(base**exponent, rel=4e-14)


@given(st.floats(0, 1))
def test_cosine_agrees_with_the_library(x):
    assert cosine_of_half_turn(x) == pytest.approx(math.cos(math.pi * x), abs=5e-16)


@given(st.floats(0, 1), st.floats(0, 1))
def test_cosine_never_rises(a, b):
    low, high = min(a, b), max(a, b)

    assert cosine_of_half_turn(high) <= cosine_of_half_turn(low) + 1e-16


def test_cosine_is_exact_at_its_ends_and_in_the_middle_and_held_outside():
    assert [cosine_of_half_turn(x) for x in (-1.0, 0.0, 0.5, 1.0, 2.0)] == [1.0, 1.0, 0.0, -1.0, -1.0]
