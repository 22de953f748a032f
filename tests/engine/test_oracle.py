"""Law: the engine comes to what its own equations come to, solved by another road in fine steps.

The goals are those below; the oracle's own error, by halving its step, is under a fifth of them.
Nothing here is about physiology: published measurements are held elsewhere.
"""

from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from tests.engine.benches import cannula, held, reservoir_mask, simple_mask
from tests.engine.oracle import INSPIRED, INSPIRED_O2, Oracle, chain

import tidalbay.engine.layout as at
from tidalbay.engine import settled
from tidalbay.science.controls import Controls

pytestmark = pytest.mark.usefixtures("model")

PATIENTS = {
    "healthy": held(15, 500, shunt_frac=0.02, vq_log_sd=0.4),
    "shunt": held(28, 400, shunt_frac=0.2, vq_log_sd=1.2),
    "wide V/Q": held(20, 450, shunt_frac=0.05, vq_log_sd=1.5),
    "mouth half open": held(15, 500, shunt_frac=0.02, vq_log_sd=0.4, mouth_share=0.5),
    "child": held(
        26,
        130,
        vq_log_sd=0.4,
        frc_ml=500.0,
        oxygen_use_ml_min=110.0,
        co2_output_ml_min=90.0,
        cardiac_output_l_min=2.4,
        anatomical_dead_space_ml=44.0,
        upper_airway_ml=19.0,
        blood_ml=1500.0,
        weight_kg=20.0,
    ),
}
SET_UPS = {
    "bare face": Controls(),
    "cannula 4 L/min": cannula(4.0),
    "simple mask 6 L/min": simple_mask(6.0),
    "reservoir mask 10 L/min": reservoir_mask(10.0),
}
# Above 250 mmHg a thousandth of a volume per cent of oxygen is worth as much: the PaO2 goal is then 0.2 %.
PAO2_MMHG, PAO2_SHARE, PACO2_MMHG, FIO2, SAO2 = 0.5, 0.002, 0.1, 0.005, 0.001


def at_rest(patient, controls, hours=4.0):
    """The engine's state at the end of a breath, when everything has come to rest."""
    run = settled(patient, controls, 1)
    breath_s = 60.0 / patient.held_rate_per_min
    run.advance_to(round(3600.0 * hours / breath_s) * breath_s - 0.001, controls)
    assert run.state[at.SUBINTERVAL] == run.state[at.SUBINTERVALS]
    return run.state


def at_end_of_breath(state):
    """What is compared: PaO2, PaCO2, SaO2, FiO2."""
    return [float(state[place]) for place in (at.PAO2, at.PACO2, at.SAO2, at.LAST_FIO2)]


def settled_breath(state, patient, controls, **steps):
    """The oracle's last breath of ten minutes, its tissue stores small so that it settles in them."""
    return Oracle(state, patient, controls, haste=16.0, **steps).breathe(10.0)[-1]


def case(who, worn):
    quick = who not in ("mouth half open", "child") and worn in ("bare face", "cannula 4 L/min")
    return pytest.param(who, worn, marks=() if quick else pytest.mark.slow)


# Prongs at 4 L/min turn a child's nose over once in a sub-interval.
MISSED = pytest.mark.xfail(strict=True, reason="a child's PaCO2 on a cannula at 4 L/min is 0.13 mmHg off")
AT_REST = [
    case(who, worn) for who in PATIENTS for worn in SET_UPS if (who, worn) != ("child", "cannula 4 L/min")
]


@pytest.mark.parametrize(
    ("who", "worn"),
    [*AT_REST, pytest.param("child", "cannula 4 L/min", marks=[pytest.mark.slow, MISSED])],
)
def test_a_settled_patient_is_where_the_equations_come_to_rest(who, worn):
    patient, controls = PATIENTS[who], SET_UPS[worn]
    state = at_rest(patient, controls)

    truth = settled_breath(state, patient, controls)

    assert state[at.PAO2] == pytest.approx(truth.pao2_mmhg, abs=PAO2_MMHG, rel=PAO2_SHARE)
    assert state[at.PACO2] == pytest.approx(truth.paco2_mmhg, abs=PACO2_MMHG)
    assert state[at.SAO2] == pytest.approx(truth.sao2_frac, abs=SAO2)
    assert state[at.LAST_FIO2] == pytest.approx(truth.fio2_frac, abs=FIO2)


@pytest.mark.parametrize(
    ("who", "worn"), [case(who, worn) for who in PATIENTS for worn in SET_UPS if worn != "bare face"]
)
def test_breath_by_breath_after_a_device_goes_on_the_engine_stays_with_the_equations(who, worn):
    patient, controls = PATIENTS[who], SET_UPS[worn]
    run = settled(patient, Controls(), 1)
    state = run.state.copy()
    state[at.FACE_PLACING] = controls.face_placing  # the mask is put on full of room air
    state[at.BAG_ML] = controls.bag_start_ml
    state[at.FACE : at.FACE + at.N_GASES] = state[at.ROOM_AIR : at.ROOM_AIR + at.N_GASES]
    oracle = Oracle(state, patient, controls)
    breath_s = 60.0 / patient.held_rate_per_min

    off = []
    for _ in range(round(240.0 / breath_s)):
        oracle.follow(run.state)
        truth = oracle.breathe(breath_s / 60.0)[0]
        run.advance_to(truth.time_s - 0.001, controls)
        found = at_end_of_breath(run.state)
        goals = [max(PAO2_MMHG, PAO2_SHARE * truth.pao2_mmhg), PACO2_MMHG, SAO2, FIO2]
        off.append(np.abs(np.subtract(found, truth[1:])) / goals)

    assert np.max(off, axis=0) == pytest.approx(0.0, abs=1.0)


@pytest.mark.slow
@pytest.mark.parametrize(("who", "worn"), [("healthy", "cannula 4 L/min"), ("shunt", "simple mask 6 L/min")])
def test_the_oracle_does_not_depend_on_its_own_step(who, worn):
    patient, controls = PATIENTS[who], SET_UPS[worn]
    state = at_rest(patient, controls)

    coarse, fine = (settled_breath(state, patient, controls, step_s=step_s) for step_s in (0.004, 0.002))

    assert coarse.pao2_mmhg == pytest.approx(fine.pao2_mmhg, abs=0.02 * PAO2_MMHG)
    assert coarse.paco2_mmhg == pytest.approx(fine.paco2_mmhg, abs=0.05 * PACO2_MMHG)
    assert coarse.sao2_frac == pytest.approx(fine.sao2_frac, abs=0.02 * SAO2)
    assert coarse.fio2_frac == pytest.approx(fine.fio2_frac, abs=0.02 * FIO2)


@pytest.mark.slow
def test_the_rest_of_the_oracle_does_not_depend_on_the_size_of_tissue_stores():
    patient, controls = PATIENTS["healthy"], SET_UPS["bare face"]
    state = at_rest(patient, controls)

    small, smaller = (Oracle(state, patient, controls, haste=haste).breathe(15.0)[-1] for haste in (12, 24))

    assert small.pao2_mmhg == pytest.approx(smaller.pao2_mmhg, abs=0.01)
    assert small.paco2_mmhg == pytest.approx(smaller.paco2_mmhg, abs=0.01)


@pytest.mark.slow
def test_a_windpipe_of_ever_smaller_tanks_comes_to_the_tape_by_a_solver_that_is_not_ours():
    # SciPy's DOP853 on plain differential equations.  A chain of n tanks mixes along the windpipe what
    # plug flow does not: the error falls as 1/n, and eight tanks already leave 0.25 mmHg of 231.
    patient, controls = PATIENTS["healthy"], SET_UPS["cannula 4 L/min"]
    state = at_rest(patient, controls)
    tape = Oracle(state, patient, controls, haste=16.0).breathe(3.0)[-1]

    off = np.array([by_tanks(state, patient, controls, tanks) for tanks in (8, 16, 32)]) - tape[1:]

    assert abs(off[0, 0]) < 0.5
    for coarse, fine in pairwise(off):
        assert fine[0] == pytest.approx(0.5 * coarse[0], abs=0.02)
        assert abs(fine[3]) < abs(coarse[3])
    assert np.abs(off[-1]) == pytest.approx(0.0, abs=0.1)
    assert abs(off[-1, 1]) < 0.005
    assert abs(off[-1, 3]) < 1e-5


def by_tanks(state, patient, controls, tanks):
    """PaO2, PaCO2, SaO2 and FiO2 after three minutes, the windpipe a chain of tanks."""
    rates, y = chain(state, patient, controls, tanks, haste=16.0)
    measure = Oracle(state, patient, controls).measured
    for _ in range(round(3.0 * patient.held_rate_per_min)):
        y[INSPIRED] = y[INSPIRED_O2] = 0.0
        breath_s = 60.0 / patient.held_rate_per_min
        y = solve_ivp(
            lambda t_s, y: rates(y, t_s), (0.0, breath_s), y, "DOP853", rtol=1e-6, atol=1e-8, max_step=0.2
        ).y[:, -1]
    return measure(y)[1:]
