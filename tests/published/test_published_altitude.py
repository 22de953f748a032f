"""Pressure at height and water vapour against published values."""

import pytest

from tidalbay.science.gas import (
    inspired_oxygen_mmhg,
    mountain_pressure_mmhg,
    standard_atmosphere_mmhg,
    water_vapour_mmhg,
)
from tidalbay.units import kpa_from_mmhg


def test_standard_atmosphere_meets_its_two_defining_pressures():
    # US Standard Atmosphere 1976 / ISO 2533: 101325 Pa at 0 m, 22632.1 Pa at 11 km.
    assert kpa_from_mmhg(standard_atmosphere_mmhg(0.0)) == pytest.approx(101.325, abs=1e-9)
    assert kpa_from_mmhg(standard_atmosphere_mmhg(11_000.0)) == pytest.approx(22.6321, abs=0.0005)


# ISO 2533 worked at four heights; moist inspired PO2 with 20.95 % oxygen. Rounded to 0.1 mmHg.
@pytest.mark.parametrize(
    ("height_m", "pressure", "inspired"),
    [(500, 716.0, 140.2), (1500, 634.2, 123.0), (2500, 560.2, 107.5), (4000, 462.3, 87.0)],
)
def test_standard_atmosphere_and_inspired_oxygen_have_their_worked_values(height_m, pressure, inspired):
    ours = standard_atmosphere_mmhg(height_m)

    assert ours == pytest.approx(pressure, abs=0.1)
    assert inspired_oxygen_mmhg(0.2095, ours) == pytest.approx(inspired, abs=0.06)


# West JB. J Appl Physiol 1996;81:1850-1854 (equation from memory, worked at whole kilometres).
@pytest.mark.parametrize(
    ("height_m", "pressure"), [(1000, 679), (2000, 605), (3000, 537), (5000, 420), (8000, 284)]
)
def test_mountains_have_the_pressure_of_their_equation(height_m, pressure):
    assert mountain_pressure_mmhg(height_m) == pytest.approx(pressure, abs=0.6)


def test_highest_summit_has_the_pressure_measured_there():
    # 253 mmHg at 8848 m, measured once: West JB et al. J Appl Physiol 1983;54:1188-1194 (from memory). The
    # standard atmosphere would give 236.
    assert mountain_pressure_mmhg(8848) == pytest.approx(253, abs=3)


# Handbook values of saturated vapour over water (from memory), and 47 mmHg at 37 °C as the Merck Manual
# prints in its table of alveolar equations.
@pytest.mark.parametrize(
    ("temperature", "pressure", "within"), [(0, 4.58, 0.02), (20, 17.54, 0.05), (37, 47.0, 0.5)]
)
def test_water_vapour_has_its_handbook_pressure(temperature, pressure, within):
    assert water_vapour_mmhg(float(temperature)) == pytest.approx(pressure, abs=within)
