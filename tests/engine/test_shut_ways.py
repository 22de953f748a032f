"""Law: what was shut opens as fast as recoil and resistance let it, and a mask that gives nothing is felt."""

import numpy as np
import pytest
from tests.engine.benches import held, reservoir_mask

import tidalbay.engine.layout as at
from tidalbay.engine import BREATH_COLUMNS, Patient, Run, first_state
from tidalbay.engine.lungs import LOBE_OPENS_S
from tidalbay.science.controls import Controls

pytestmark = pytest.mark.usefixtures("model")

OPEN, SHUT = Controls(), Controls(airway_open=0.0)
OXYGEN = Controls(room_oxygen_frac=1.0)
STUCK = {"bag_valve_ml_s_cmh2o": 1e-6, "bag_spills_to_room": 1.0}


def after(patient, controls, seconds):
    run = Run(first_state(patient, controls), patient, 0)
    run.advance_to(seconds, controls)
    return run


def lung_ml(run):
    units = run.state[at.UNITS : at.HISTORY].reshape(at.N_UNITS, at.N_UNIT_FIELDS)
    return units[:, [at.UNIT_O2_ML, at.UNIT_CO2_ML, at.UNIT_N2_ML]].sum(axis=1)


def peaks_l_min(run):
    return np.vstack(run.breaths)[:, BREATH_COLUMNS.index("peak_inspiratory_flow_lpm")]


def test_a_lobe_that_was_shut_fills_with_its_time_constant():
    patient = held(15.0, 500.0, lobe_frac=0.2)
    run = after(patient, OXYGEN, 120.0)
    usual_ml = lung_ml(run)[at.LOBE]
    run.patient = patient._replace(lobe_plugged=1.0)
    run.advance_to(1800.0, OXYGEN)
    shrunken_ml = lung_ml(run)[at.LOBE]

    run.patient = patient
    lacking = []
    for breath in (1, 2, 3):  # at the ends of breaths the chest is where it was
        run.advance_to(1800.0 + 4.0 * breath, OXYGEN)
        lacking.append(usual_ml - lung_ml(run)[at.LOBE])

    assert shrunken_ml < 0.5 * usual_ml
    assert lacking[1] / lacking[0] == pytest.approx(np.exp(-4.0 / LOBE_OPENS_S), rel=0.05)
    assert lacking[2] < 0.02 * usual_ml


def test_a_lobe_that_opens_hardly_shows_in_the_flow_of_the_whole_chest():
    patient = held(15.0, 500.0, lobe_frac=0.2)
    run = after(patient, OXYGEN, 120.0)
    usual = peaks_l_min(run)[-1]
    run.patient = patient._replace(lobe_plugged=1.0)
    run.advance_to(1800.0, OXYGEN)
    before = len(np.vstack(run.breaths))

    run.patient = patient
    run.advance_to(1830.0, OXYGEN)

    lacked_l_min = 0.06 * 0.2 * patient.frc_ml / LOBE_OPENS_S
    assert usual < peaks_l_min(run)[before:].max() < usual + lacked_l_min + 1.0


@pytest.mark.parametrize(("resistance", "elastance"), [(3.0, 10.0), (15.0, 20.0), (30.0, 150.0)])
def test_an_airway_that_opens_lets_in_what_recoil_drives_through_its_resistance(resistance, elastance):
    patient = held(12.0, 500.0, resistance_cmh2o_s_l=resistance, elastance_cmh2o_l=elastance)
    run = after(patient, OPEN, 120.0)
    usual = peaks_l_min(run)[-1]
    run.advance_to(181.0, SHUT)  # opens in the middle of a breath in, the chest wide and its gas not in it
    lacking_ml = patient.frc_ml + run.state[at.CHEST_ML] - lung_ml(run).sum()
    before = len(np.vstack(run.breaths))

    run.advance_to(200.0, OPEN)

    recoil_l_min = 0.06 * lacking_ml * elastance / resistance
    assert lacking_ml > 100.0
    assert peaks_l_min(run)[before:].max() <= usual + recoil_l_min
    assert lung_ml(run).sum() == pytest.approx(patient.frc_ml + run.state[at.CHEST_ML], abs=1.0)


def test_a_store_that_is_smaller_than_the_need_is_emptied_and_not_overdrawn():
    newborn = Patient(
        oxygen_use_ml_min=900.0, cardiac_output_l_min=0.76, blood_ml=284.0, weight_kg=3.3, frc_ml=90.0,
        anatomical_dead_space_ml=8.0, upper_airway_ml=4.0, apnoea=1.0,
    )  # fmt: skip
    run = after(newborn, OPEN, 1.0)

    lowest = 1.0
    for second in range(2, 240):
        run.advance_to(float(second), OPEN)
        lowest = min(lowest, run.state[at.TISSUE_FAST_O2], run.state[at.TISSUE_SLOW_O2])

    assert -1e-15 < lowest < 1e-3


def test_a_bag_that_gives_nothing_under_a_tight_mask_is_hard_work_at_once():
    patient = Patient(breath_variability_frac=0.0, other_drive_l_min=4.0)
    sound, stuck = reservoir_mask(10.0), reservoir_mask(10.0, **STUCK)
    run = after(patient, sound, 300.0)
    easy = run.state[at.EFFORT_INDEX]

    run.advance_to(315.0, stuck)

    assert run.state[at.EFFORT_INDEX] > 3.0 * easy
    assert run.state[at.MASK_RESISTANCE_CMH2O_S_L] == pytest.approx(1000.0 / 20.0, rel=0.3)
    loose = after(patient, reservoir_mask(10.0, 900.0, **STUCK), 300.0)
    assert loose.state[at.EFFORT_INDEX] < 1.3 * easy


def test_weak_muscles_draw_less_through_what_is_narrow():
    weak = Patient(muscle_strength_cmh2o=12.0, breath_variability_frac=0.0, other_drive_l_min=4.0)
    free = after(weak, reservoir_mask(10.0, 900.0), 300.0)
    shut = after(weak, reservoir_mask(10.0, **STUCK), 300.0)

    assert shut.state[at.LAST_TIDAL_ML] < 0.7 * free.state[at.LAST_TIDAL_ML]
