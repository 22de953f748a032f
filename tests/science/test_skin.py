"""Laws of skin under pressure: steps may be cut, more is never better, relief mends what can mend."""

import struct

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tidalbay.science.jit import compiled, in_kernel
from tidalbay.science.skin import (
    BORNE_MMHG,
    BROKEN,
    BROKEN_LOAD,
    NOTHING_SEEN,
    PINK_FADES,
    PINK_LOAD,
    RED_LOAD,
    RED_STAYS,
    damage_per_hour,
    felt_pressure_mmhg,
    hours_until,
    skin_load_after,
    skin_stage,
    skin_tolerance_frac,
    soreness,
)

LOAD = st.floats(0, 4)
PRESSURE = st.floats(0, 400)
TOLERANCE = st.floats(0.3, 1)
SHARE = st.floats(0, 1)


@settings(max_examples=100)
@given(LOAD, PRESSURE, TOLERANCE, st.floats(0, 200000), SHARE)
def test_time_may_be_cut_anywhere(load, pressure, tolerance, dt, cut):
    whole = skin_load_after(load, pressure, tolerance, dt)

    first = skin_load_after(load, pressure, tolerance, cut * dt)
    second = skin_load_after(first, pressure, tolerance, dt - cut * dt)

    assert second == pytest.approx(whole, rel=1e-9, abs=1e-12)


@given(LOAD, PRESSURE, PRESSURE, TOLERANCE, st.floats(0, 50000))
def test_more_pressure_never_leaves_less_load(load, one, other, tolerance, dt):
    low, high = sorted((one, other))

    assert skin_load_after(load, high, tolerance, dt) >= skin_load_after(load, low, tolerance, dt) - 1e-12


@given(PRESSURE, TOLERANCE, TOLERANCE)
def test_tenderer_skin_is_never_harmed_less(pressure, one, other):
    low, high = sorted((one, other))

    assert damage_per_hour(pressure, low) >= damage_per_hour(pressure, high) - 1e-12


@given(st.floats(0, 200), SHARE, SHARE, SHARE, SHARE)
def test_shear_and_wetness_make_it_worse_and_padding_better(pressure, shear, moisture, padding, more):
    felt = felt_pressure_mmhg(pressure, shear, moisture, padding)

    assert felt_pressure_mmhg(pressure, max(shear, more), moisture, padding) >= felt
    assert felt_pressure_mmhg(pressure, shear, max(moisture, more), padding) >= felt
    assert felt_pressure_mmhg(pressure, shear, moisture, max(padding, more)) <= felt


def test_much_shear_counts_as_twice_the_pressure():
    # Bennett 1979, Arch Phys Med Rehabil 60:309 (from memory): half the pressure stops the blood.
    assert felt_pressure_mmhg(40.0, 1.0, 0.0, 0.0) == 2 * felt_pressure_mmhg(40.0, 0.0, 0.0, 0.0)


@given(LOAD, st.floats(0, 100000))
def test_relief_never_harms(load, dt):
    assert skin_load_after(load, 0.0, 1.0, dt) <= load


def test_a_flush_fades_sooner_the_less_still_touches():
    loads = [skin_load_after(0.8, pressure, 1.0, 3600.0) for pressure in (0.0, 4.0, 8.0, BORNE_MMHG)]

    assert loads == sorted(loads)
    assert loads[-1] == 0.8


def test_redness_that_stays_is_still_there_after_a_night_and_gone_after_days():
    assert skin_stage(skin_load_after(1.5, 0.0, 1.0, 8 * 3600.0)) == RED_STAYS
    assert skin_stage(skin_load_after(1.5, 0.0, 1.0, 48 * 3600.0)) == NOTHING_SEEN


def test_broken_skin_does_not_mend_within_days():
    assert skin_load_after(BROKEN_LOAD, 0.0, 1.0, 48 * 3600.0) == BROKEN_LOAD


def test_stages_come_in_their_order():
    loads = [
        0.0,
        PINK_LOAD - 1e-9,
        PINK_LOAD,
        RED_LOAD - 1e-9,
        RED_LOAD,
        BROKEN_LOAD - 1e-9,
        BROKEN_LOAD,
        9.0,
    ]

    stages = [skin_stage(load) for load in loads]

    assert stages == [
        NOTHING_SEEN, NOTHING_SEEN, PINK_FADES, PINK_FADES, RED_STAYS, RED_STAYS, BROKEN, BROKEN,
    ]  # fmt: skip


@given(st.floats(0, 0.9), st.floats(11, 300), TOLERANCE)
def test_what_is_foretold_happens(load, pressure, tolerance):
    hours = hours_until(load, RED_LOAD, pressure, tolerance)

    assert skin_load_after(load, pressure, tolerance, 3600.0 * hours) == pytest.approx(RED_LOAD)


def test_what_skin_bears_never_marks_it():
    assert hours_until(0.0, PINK_LOAD, BORNE_MMHG, 1.0) == -1.0
    assert hours_until(0.5, PINK_LOAD, 0.0, 1.0) == 0.0


def test_the_old_the_very_young_and_the_badly_perfused_bear_less():
    assert skin_tolerance_frac(40.0, 1.0) == 1.0
    assert skin_tolerance_frac(80.0, 1.0) < skin_tolerance_frac(65.0, 1.0) < 1.0
    assert skin_tolerance_frac(0.3, 1.0) < 1.0
    assert skin_tolerance_frac(40.0, 0.5) < 1.0
    assert skin_tolerance_frac(110.0, 0.0) >= 0.3


def test_a_strap_that_digs_in_hurts_before_anything_is_seen():
    assert soreness(0.0, 20.0) == 0.0
    assert soreness(0.0, 100.0) > 1.0
    assert soreness(5.0, 300.0) == 10.0


def test_a_shift_in_one_step_is_the_shift_minute_by_minute():
    load = 0.0
    for _ in range(8 * 60):
        load = skin_load_after(load, 30.0, 1.0, 60.0)

    assert skin_load_after(0.0, 30.0, 1.0, 8 * 3600.0) == pytest.approx(load, rel=1e-12)


@in_kernel
def all_of_it(load, pressure, shear, moisture, padding, age, perfusion, dt):
    felt = felt_pressure_mmhg(pressure, shear, moisture, padding)
    tolerance = skin_tolerance_frac(age, perfusion)
    after = skin_load_after(load, felt, tolerance, dt)
    return after, skin_stage(after), soreness(after, felt), hours_until(load, 1.0, felt, tolerance)


def test_compiled_and_plain_give_the_same_bits():
    twin = compiled(all_of_it, None)

    for load in (0.0, 0.4, 1.2, 3.0):
        for pressure in (0.0, 6.0, 28.0, 250.0):
            arguments = (load, pressure, 0.1, 0.3, 0.5, 74.0, 0.8, 5000.0)
            assert [struct.pack("<d", v) for v in twin(*arguments)] == [
                struct.pack("<d", v) for v in all_of_it(*arguments)
            ]
