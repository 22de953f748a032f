"""Laws of blood: order, limits, agreement between its parts, and the way back."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tidalbay.science.acid_base import ph_from_base_excess
from tidalbay.science.blood import (
    blood_contents,
    co2_content_ml_dl,
    oxygen_content_ml_dl,
    oxygen_saturation_frac,
    pressures_from_contents,
    saturation_with_carboxyhaemoglobin_frac,
    standard_saturation_frac,
)

PO2 = st.floats(0.1, 2500)
PCO2 = st.floats(1, 300)
PH = st.floats(6.8, 7.8)
TEMPERATURE = st.floats(30, 42)
BLOOD = st.tuples(
    st.floats(2, 24),  # haemoglobin
    st.floats(-25, 25),  # base excess
    st.one_of(st.just(37.0), TEMPERATURE),
    st.one_of(st.just(0.0), st.floats(0, 0.6)),  # carboxyhaemoglobin
    st.one_of(st.just(0.0), st.floats(0, 0.3)),  # methaemoglobin
)
law = settings(deadline=None, max_examples=200)


@law
@given(PO2, st.floats(1.001, 3), PH, TEMPERATURE)
def test_more_oxygen_never_lowers_saturation(po2, factor, ph, temperature):
    before = oxygen_saturation_frac(po2, ph, temperature)
    after = oxygen_saturation_frac(po2 * factor, ph, temperature)

    assert 0 <= before <= after <= 1


@pytest.mark.parametrize("po2", [0.0, -5.0])
def test_no_oxygen_means_no_saturation(po2):
    assert oxygen_saturation_frac(po2, 7.2, 39.0) == 0.0
    assert saturation_with_carboxyhaemoglobin_frac(po2, 7.4, 37.0, 0.3) == 0.0


@law
@given(st.floats(1, 500), PH, st.floats(0.01, 0.3), TEMPERATURE)
def test_acid_and_warmth_loosen_oxygen(po2, ph, less, temperature):
    before = oxygen_saturation_frac(po2, ph, temperature)

    assert oxygen_saturation_frac(po2, ph - less, temperature) < before
    assert oxygen_saturation_frac(po2, ph, temperature + 1) < before


@law
@given(PO2, PH, TEMPERATURE)
def test_without_carbon_monoxide_its_curve_is_the_plain_one(po2, ph, temperature):
    beside_none = saturation_with_carboxyhaemoglobin_frac(po2, ph, temperature, 0.0)

    assert beside_none == oxygen_saturation_frac(po2, ph, temperature)


@law
@given(st.floats(0.5, 700), st.floats(0.001, 300))
def test_both_gases_together_fill_haemoglobin_as_oxygen_alone_would(po2, co_as_oxygen):
    # Haldane's relation, put forward: choose M PCO, read off what each gas holds, and ask the
    # function that knows only the share of carbon monoxide.
    together = po2 + co_as_oxygen
    filled = standard_saturation_frac(together)
    cohb = filled * co_as_oxygen / together
    o2hb = filled * po2 / together

    saturation = saturation_with_carboxyhaemoglobin_frac(po2, 7.40, 37.0, min(cohb, 0.95))

    if cohb <= 0.95:
        assert saturation == pytest.approx(o2hb / (1 - cohb), rel=1e-9)


@law
@given(PO2, PH, st.floats(0, 0.8), st.floats(0.01, 0.1))
def test_carbon_monoxide_tightens_what_it_leaves_and_lessens_what_is_carried(po2, ph, cohb, more):
    before = saturation_with_carboxyhaemoglobin_frac(po2, ph, 37.0, cohb)
    after = saturation_with_carboxyhaemoglobin_frac(po2, ph, 37.0, cohb + more)

    assert after >= before
    # At low saturation the tighter grip wins, and a little carbon monoxide even adds oxygen
    # (Haldane's paradox); where haemoglobin is well filled the lost places win.
    assert cohb + (1 - cohb) * before < 0.7 or (1 - cohb - more) * after < (1 - cohb) * before


@law
@given(PO2, PCO2, BLOOD)
def test_contents_agree_with_the_functions_they_are_made_of(po2, pco2, blood):
    haemoglobin, base_excess, temperature, cohb, methb = blood

    o2, co2, saturation, ph = blood_contents(po2, pco2, *blood)

    deoxygenated = (1 - cohb - methb) * (1 - saturation)
    alone = saturation_with_carboxyhaemoglobin_frac(po2, ph, temperature, cohb / (1 - methb))
    assert saturation == pytest.approx(alone, abs=1e-9)
    assert o2 == pytest.approx(oxygen_content_ml_dl(po2, saturation, haemoglobin, cohb + methb), rel=1e-12)
    by_formula = co2_content_ml_dl(pco2, ph, 1 - deoxygenated, haemoglobin, temperature)
    if temperature == 37.0:
        assert ph == pytest.approx(
            ph_from_base_excess(pco2, base_excess, haemoglobin, 1 - deoxygenated), abs=1e-6
        )
        assert co2 == pytest.approx(by_formula, rel=3e-6)


@law
@given(PO2, PCO2, BLOOD)
def test_warming_a_sealed_sample_keeps_its_bicarbonate(po2, pco2, blood):
    # Away from 37 °C pressures are those of the warm sample: 10^(0.019 per degree) for PCO2,
    # -0.0147 per degree for pH (Rosenthal 1948 and customary, from memory).
    haemoglobin, base_excess, _, cohb, methb = blood
    warmed_pco2 = pco2 * 10 ** (0.019 * 2)

    warm = blood_contents(po2, warmed_pco2, haemoglobin, base_excess, 39.0, cohb, methb)

    deoxygenated = (1 - cohb - methb) * (1 - warm[2])
    cool_ph = ph_from_base_excess(pco2, base_excess, haemoglobin, 1 - deoxygenated)
    assert warm[3] == pytest.approx(cool_ph - 2 * 0.0147, abs=1e-6)


@law
@given(PO2, st.floats(1.001, 2), PCO2, BLOOD)
def test_more_oxygen_pressure_means_more_oxygen_and_less_carbon_dioxide(po2, factor, pco2, blood):
    before = blood_contents(po2, pco2, *blood)
    assume(before[3] < 7.75)  # beyond it, with haemoglobin above 21, the term for red cells is out of range
    after = blood_contents(po2 * factor, pco2, *blood)

    assert after[0] > before[0]
    assert after[1] <= before[1] + 1e-9


@law
@given(st.floats(0.1, 1500), PCO2, st.floats(1.001, 2), BLOOD)
def test_more_carbon_dioxide_pressure_means_more_of_it_and_less_oxygen(po2, pco2, factor, blood):
    before = blood_contents(po2, pco2, *blood)
    after = blood_contents(po2, pco2 * factor, *blood)

    assert after[1] > before[1]
    assert after[0] <= before[0] + 1e-9


@law
@given(PO2, PCO2, BLOOD, PO2, PCO2)
def test_pressures_come_back_from_contents_whatever_the_guess(po2, pco2, blood, po2_guess, pco2_guess):
    o2, co2, saturation, ph = blood_contents(po2, pco2, *blood)

    back = pressures_from_contents(o2, co2, *blood, po2_guess, pco2_guess)

    o2_again, co2_again, _, _ = blood_contents(back[0], back[1], *blood)
    assert o2_again == pytest.approx(o2, abs=2e-8)
    assert co2_again == pytest.approx(co2, abs=2e-8)
    assert back == pytest.approx((po2, pco2, saturation, ph), rel=1e-4, abs=1e-6)


@law
@given(st.floats(-10, 60), st.floats(-10, 500), BLOOD, st.floats(-10, 1e5), st.floats(-10, 1e5))
def test_contents_no_blood_can_hold_give_the_nearest_pressures(o2, co2, blood, po2_guess, pco2_guess):
    po2, pco2, saturation, ph = pressures_from_contents(o2, co2, *blood, po2_guess, pco2_guess)

    assert 0.1 <= po2 <= 2500
    assert 1 <= pco2 <= 300
    assert -1e-4 <= saturation <= 1 + 1e-4
    assert math.isfinite(ph)


@pytest.mark.parametrize("pressures", [(0.0, 40.0), (-3.0, 40.0), (95.0, 0.0), (95.0, -1.0), (0.0, 0.0)])
def test_absent_gas_gives_numbers_and_no_exception(pressures):
    contents = blood_contents(*pressures, 15.0, 0.0, 37.0, 0.0, 0.0)

    assert all(math.isfinite(value) for value in contents)
    assert contents[0] >= 0
    assert contents[1] >= 0


def test_blood_without_haemoglobin_carries_only_what_dissolves():
    o2, _, _, _ = blood_contents(100.0, 40.0, 0.0, 0.0, 37.0, 0.0, 0.0)

    assert o2 == pytest.approx(0.31, abs=1e-12)
