"""Laws of gas in room, lung and cylinder."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tidalbay.science.gas import (
    air_compressibility,
    alveolar_oxygen_mmhg,
    gas_held_l,
    gauge_pressure_kpa,
    inspired_oxygen_mmhg,
    mountain_pressure_mmhg,
    nitrogen_compressibility,
    oxygen_compressibility,
    shunt_frac,
    standard_atmosphere_mmhg,
    water_vapour_mmhg,
)

GAS = st.sampled_from(["oxygen", "air", "nitrogen"])
TEMPERATURE_K = st.floats(263, 323)
FRACTION = st.floats(0, 1)


@given(st.floats(0.5, 50), st.floats(0, 40_000), TEMPERATURE_K, GAS)
def test_gauge_comes_back_from_the_gas_held(capacity, gauge, temperature, gas):
    held = gas_held_l(capacity, gauge, temperature, gas)

    assert gauge_pressure_kpa(capacity, held, temperature, gas) == pytest.approx(gauge, rel=1e-9, abs=1e-6)


@given(st.floats(0, 39_000), st.floats(1, 1000), TEMPERATURE_K, GAS)
def test_more_pressure_holds_more_gas_and_warmth_less(gauge, more, temperature, gas):
    before = gas_held_l(10.0, gauge, temperature, gas)

    assert gas_held_l(10.0, gauge + more, temperature, gas) > before
    assert gas_held_l(10.0, gauge, temperature + 1.0, gas) < before


@given(st.floats(0.1, 50), GAS)
def test_an_open_cylinder_holds_its_own_volume(capacity, gas):
    assert gas_held_l(capacity, 0.0, 294.15, gas) == pytest.approx(capacity, rel=1e-12)


@pytest.mark.parametrize(
    "compressibility", [oxygen_compressibility, nitrogen_compressibility, air_compressibility]
)
def test_thin_gas_is_ideal(compressibility):
    assert compressibility(0.0, 293.15) == 1.0


def test_an_empty_cylinder_reads_a_vacuum_and_an_overfilled_one_its_highest_pressure():
    assert gauge_pressure_kpa(2.0, 0.0, 293.15, "oxygen") == pytest.approx(-101.325)
    assert gauge_pressure_kpa(2.0, 1e6, 293.15, "oxygen") == pytest.approx(40_000.0)


def test_an_unknown_gas_is_refused_with_the_names_of_those_known():
    with pytest.raises(ValueError) as refusal:
        gas_held_l(2.0, 100.0, 293.15, "oxygne")

    assert str(refusal.value) == "no compressed gas is called 'oxygne'; write one of: air, nitrogen, oxygen"


@given(st.floats(0, 8000), st.floats(10, 800))
def test_pressure_falls_with_height_and_less_on_mountains_than_in_the_standard_atmosphere(height, more):
    assert standard_atmosphere_mmhg(height + more) < standard_atmosphere_mmhg(height)
    assert mountain_pressure_mmhg(height + more) < mountain_pressure_mmhg(height)
    assert mountain_pressure_mmhg(height) >= standard_atmosphere_mmhg(height) - 1


@given(st.floats(0, 45))
def test_warmer_gas_holds_more_vapour(temperature):
    assert water_vapour_mmhg(temperature + 0.5) > water_vapour_mmhg(temperature)


@given(st.floats(0.1, 0.99), st.floats(400, 800), st.floats(10, 90), st.floats(0.7, 1.0))
def test_alveolar_oxygen_rises_with_inspired_and_falls_with_carbon_dioxide(fio2, barometric, paco2, quotient):
    here = alveolar_oxygen_mmhg(fio2, barometric, paco2, quotient)

    assert alveolar_oxygen_mmhg(fio2 + 0.01, barometric, paco2, quotient) >= here
    assert alveolar_oxygen_mmhg(fio2, barometric, paco2 + 1, quotient) <= here
    assert 0 <= here <= inspired_oxygen_mmhg(fio2, barometric)


@given(st.floats(500, 800), st.floats(10, 90), st.floats(0.7, 1.0))
def test_pure_oxygen_leaves_what_carbon_dioxide_leaves(barometric, paco2, quotient):
    assert alveolar_oxygen_mmhg(1.0, barometric, paco2, quotient) == pytest.approx(barometric - 47 - paco2)


@given(st.floats(12, 25), st.floats(5, 11), FRACTION)
def test_shunt_comes_back_from_the_mixture_it_makes(capillary, venous, share):
    arterial = share * venous + (1 - share) * capillary

    assert shunt_frac(capillary, arterial, venous) == pytest.approx(share, abs=1e-12)


def test_shunt_without_uptake_is_no_shunt():
    assert shunt_frac(15.0, 15.0, 15.0) == 0.0
