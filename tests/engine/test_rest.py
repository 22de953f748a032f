"""How a patient is found at rest: what is solved, and what bounds it."""

import pytest

import tidalbay.engine.layout as at
from tidalbay.engine import CannotBreatheEnough, Patient, settled
from tidalbay.science.controls import Controls

pytestmark = pytest.mark.usefixtures("model")

STEADY = Patient(breath_variability_frac=0.0)


@pytest.mark.parametrize("made_ml_min", [150.0, 200.0, 215.0])
def test_the_central_receptors_rest_at_their_threshold(made_ml_min):
    run = settled(STEADY._replace(co2_output_ml_min=made_ml_min), Controls(), 1)

    assert run.patient.co2_threshold_mmhg == pytest.approx(run.state[at.BRAIN_PCO2], abs=0.1)
    assert 0 < run.patient.wakeful_drive_l_min < STEADY.wakeful_drive_l_min


def test_being_awake_adds_nothing_where_the_lungs_drive_hard_and_nobody_is_refused_for_it():
    driven = settled(STEADY._replace(other_drive_l_min=3.2, shunt_frac=0.3), Controls(), 1)

    assert driven.patient.wakeful_drive_l_min == 0
    assert driven.state[at.PACO2] == pytest.approx(40, abs=1)
    with pytest.raises(CannotBreatheEnough, match="Lower other_drive_l_min"):
        settled(STEADY._replace(other_drive_l_min=12.0), Controls(), 1)


def test_an_hour_at_height_lowers_carbon_dioxide():
    # 3000 m: 6.0 (SD 2.8) mmHg less at the end of a breath out, young adults in a chamber, 2020; a row of the
    # validation page.
    run = settled(STEADY, Controls(), 1)
    before = run.state[at.PACO2]

    run.advance_to(3600.0, Controls(barometric_mmhg=526.0))

    assert 2.5 <= before - run.state[at.PACO2] <= 9
