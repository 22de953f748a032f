"""Laws of acid and base."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tidalbay.science.acid_base import base_excess_mmol_l, omega, ph_from_base_excess
from tidalbay.science.arithmetic import log

PCO2 = st.floats(1, 300)
BASE_EXCESS = st.floats(-30, 30)
HAEMOGLOBIN = st.floats(0, 25)
SATURATION = st.floats(0, 1)


@settings(deadline=None)
@given(PCO2, BASE_EXCESS, HAEMOGLOBIN, SATURATION)
def test_ph_from_base_excess_is_base_excess_turned_round(pco2, excess, haemoglobin, saturation):
    ph = ph_from_base_excess(pco2, excess, haemoglobin, saturation)

    assert base_excess_mmol_l(pco2, ph, haemoglobin, saturation) == pytest.approx(excess, abs=1e-11)


@settings(deadline=None)
@given(PCO2, st.floats(1.001, 3), BASE_EXCESS, HAEMOGLOBIN, SATURATION)
def test_more_carbon_dioxide_always_lowers_ph(pco2, factor, excess, haemoglobin, saturation):
    before = ph_from_base_excess(pco2, excess, haemoglobin, saturation)
    after = ph_from_base_excess(pco2 * factor, excess, haemoglobin, saturation)

    assert after < before


@settings(deadline=None)
@given(PCO2, BASE_EXCESS, st.floats(0.01, 10), HAEMOGLOBIN, SATURATION)
def test_more_base_always_raises_ph(pco2, excess, more, haemoglobin, saturation):
    before = ph_from_base_excess(pco2, excess, haemoglobin, saturation)
    after = ph_from_base_excess(pco2, excess + more, haemoglobin, saturation)

    assert after > before


@settings(deadline=None)
@given(PCO2, BASE_EXCESS, st.floats(1, 25), st.floats(0, 0.9))
def test_giving_off_oxygen_makes_blood_less_acid(pco2, excess, haemoglobin, saturation):
    emptier = ph_from_base_excess(pco2, excess, haemoglobin, saturation)
    fuller = ph_from_base_excess(pco2, excess, haemoglobin, saturation + 0.1)

    assert emptier > fuller


@given(st.floats(-30, 200))
def test_omega_solves_its_equation(x):
    v = omega(x)

    assert v > 0
    assert v + log(v) == pytest.approx(x, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("x", [-3.0, 18.0, -3.0000001, 18.0000001])
def test_omega_has_no_step_where_the_first_guess_changes_form(x):
    assert omega(x + 1e-9) - omega(x - 1e-9) == pytest.approx(2e-9 * omega(x) / (1 + omega(x)), rel=1e-3)
