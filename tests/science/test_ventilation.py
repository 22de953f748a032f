"""The drive to breathe: what its parts make of blood."""

import pytest

from tidalbay.science.blood import blood_contents, pressures_from_contents
from tidalbay.science.ventilation import brain_pco2_mmhg, chemical_drive_l_min

BLOOD = (15.0, 0.0, 37.0, 0.01, 0.005)  # haemoglobin, base excess, temperature, carboxy-, methaemoglobin


def brain_venous_pco2_mmhg(po2_mmhg, pco2_mmhg):
    """Blood after 6.5 mL/dL of oxygen given off for 6.4 of carbon dioxide (textbooks, from memory)."""
    oxygen, carbon_dioxide, _, _ = blood_contents(po2_mmhg, pco2_mmhg, *BLOOD)
    return pressures_from_contents(oxygen - 6.5, carbon_dioxide + 6.4, *BLOOD, 35.0, 48.0)[1]


@pytest.mark.parametrize("pco2_mmhg", [35.0, 40.0, 60.0])
def test_the_brain_keeps_the_carbon_dioxide_that_fuller_blood_cannot_carry(pco2_mmhg):
    # Haldane's effect by the blood's own equations; the drive has a straight line for it.
    air, oxygen = 93.0, 600.0

    kept = brain_pco2_mmhg(pco2_mmhg, oxygen) - brain_pco2_mmhg(pco2_mmhg, air)

    by_blood = brain_venous_pco2_mmhg(oxygen, pco2_mmhg) - brain_venous_pco2_mmhg(air, pco2_mmhg)
    assert kept == pytest.approx(by_blood, abs=0.5)


def test_below_the_threshold_carbon_dioxide_takes_less_drive_away_than_it_adds_above():
    at, above, below = (
        chemical_drive_l_min(pco2, pco2, 93.0, 40.0, 2.0, 0.67, 0.0) for pco2 in (40.0, 42.0, 38.0)
    )

    assert above - at > 4 * (at - below) > 0
