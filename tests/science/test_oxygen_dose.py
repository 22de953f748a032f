"""Needless oxygen and the lung's oxygen dose: published onsets, and laws."""

import struct

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tidalbay.science.jit import compiled, in_kernel
from tidalbay.science.oxygen_dose import (
    SORE_CHEST,
    STIFF_LUNG,
    TICKLE,
    UNFELT,
    above_range_pct_h_after,
    needless_oxygen_h_after,
    toxic_stage,
    toxic_units_after,
    toxic_units_per_min,
)

DOSE = st.floats(0, 5000)
TIME = st.floats(0, 400000)
PRESSURE = st.floats(0, 3)


def stage_after(hours, oxygen_atm):
    return toxic_stage(toxic_units_after(0.0, oxygen_atm, 3600.0 * hours))


# ----------------------------------------------------------------------------------------------- published


def test_pure_oxygen_for_a_minute_is_one_unit():
    # Clark & Lambertsen 1971, Pharmacol Rev 23:37: the unit's definition.
    assert toxic_units_after(0.0, 1.0, 60.0) == pytest.approx(1.0)


@pytest.mark.parametrize("hours", [24, 240])
def test_half_an_atmosphere_is_borne_for_ever(hours):
    # Same; and Comroe 1945, JAMA 128:710: no symptoms in 24 h at 50 % (from memory).
    assert stage_after(hours, 0.5) == UNFELT


def test_pure_oxygen_is_felt_after_seven_hours():
    # Behnke, cited in Comroe 1945: healthy men cannot breathe it beyond seven hours without soreness. Tuned.
    assert stage_after(6.5, 1.0) == UNFELT
    assert stage_after(7.5, 1.0) == TICKLE


def test_pure_oxygen_is_sore_at_fourteen_hours_and_stiffens_the_lung_in_a_day():
    # Comroe 1945: symptoms at 14 h on average (from memory), tuned; Clark & Lambertsen: 1425 units take a
    # tenth of the vital capacity (from memory).
    assert stage_after(13.5, 1.0) == TICKLE
    assert stage_after(14.5, 1.0) == SORE_CHEST
    assert stage_after(24.0, 1.0) == STIFF_LUNG


def test_a_day_of_three_quarters_is_felt_less_than_one_of_pure_oxygen():
    # Comroe 1945: 82 % of men on pure oxygen, 55 % on 75 %, none on 50 % (from memory). Not tuned.
    assert UNFELT == stage_after(24.0, 0.5) < stage_after(24.0, 0.75) < stage_after(24.0, 1.0)


def test_an_hour_of_reservoir_mask_harms_no_lung():
    # Common practice, no source: in an emergency nobody withholds oxygen for its toxicity.
    assert stage_after(1.0, 0.85) == UNFELT


def test_saturation_above_the_range_counts_by_how_much_and_how_long():
    # By definition; that it matters in the group at risk: Echevarria 2021, Emerg Med J 38:170.
    dose = above_range_pct_h_after(0.0, 97.0, 92.0, 1.0, 1800.0)

    assert dose == pytest.approx(2.5)


# ----------------------------------------------------------------------------------------------------- laws


@given(DOSE, PRESSURE, TIME, st.floats(0, 1))
def test_time_may_be_cut_anywhere(units, oxygen, dt, cut):
    whole = toxic_units_after(units, oxygen, dt)

    first = toxic_units_after(units, oxygen, cut * dt)

    assert toxic_units_after(first, oxygen, dt - cut * dt) == pytest.approx(whole, rel=1e-9, abs=1e-9)


@given(PRESSURE, PRESSURE)
def test_more_oxygen_never_harms_more_slowly(one, other):
    low, high = sorted((one, other))

    assert toxic_units_per_min(high) >= toxic_units_per_min(low)


@given(DOSE, st.floats(0, 92), TIME)
def test_within_the_range_nothing_is_added(dose, saturation, dt):
    assert above_range_pct_h_after(dose, saturation, 92.0, 1.0, dt) == dose


@given(DOSE, st.floats(0, 100), TIME)
def test_high_saturation_on_air_is_no_fault(dose, saturation, dt):
    assert above_range_pct_h_after(dose, saturation, 88.0, 0.0, dt) == dose


@given(st.floats(0, 1), st.floats(0, 1))
def test_only_oxygen_beyond_need_is_needless(breathed, needed):
    dose = needless_oxygen_h_after(0.0, breathed, needed, 3600.0)

    assert dose == pytest.approx(max(0.0, breathed - needed))


@given(DOSE)
def test_a_dose_fades_on_air(units):
    assert toxic_units_after(units, 0.21, 24 * 3600.0) <= units


@in_kernel
def all_of_it(units, oxygen, saturation, dt):
    after = toxic_units_after(units, oxygen, dt)
    return (
        after,
        toxic_stage(after),
        above_range_pct_h_after(1.0, saturation, 92.0, 1.0, dt),
        needless_oxygen_h_after(1.0, oxygen, 0.3, dt),
    )


def test_compiled_and_plain_give_the_same_bits():
    twin = compiled(all_of_it, None)

    for units in (0.0, 500.0, 2000.0):
        for oxygen in (0.21, 0.6, 1.0):
            arguments = (units, oxygen, 96.0, 5000.0)
            assert [struct.pack("<d", v) for v in twin(*arguments)] == [
                struct.pack("<d", v) for v in all_of_it(*arguments)
            ]
