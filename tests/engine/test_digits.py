"""Law: the same digits compiled and plain, in one go and in pieces, on one thread and on several."""

from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from tests.engine.benches import DEVICES, cannula, reservoir_mask, simple_mask

from tidalbay.engine import Patient, Run, compiling, first_state, settled
from tidalbay.engine.kernel import advance
from tidalbay.science.controls import Controls

pytestmark = pytest.mark.usefixtures("model")

SICK = Patient(shunt_frac=0.2, vq_log_sd=1.0, dead_ventilation_frac=0.1, mouth_share=0.2)


def fresh(controls, patient=SICK):
    return Run(first_state(patient, controls), patient, 7)


def rows(run):
    return np.vstack(run.seconds).tobytes(), np.vstack(run.breaths).tobytes(), run.state.tobytes()


@pytest.mark.parametrize("device", DEVICES)
def test_plain_and_compiled_give_the_same_bits(device, monkeypatch):
    controls = DEVICES[device](5.0)
    run = fresh(controls)
    run.advance_to(60.0, controls)

    monkeypatch.setattr(compiling, "current", lambda: advance)
    plain = fresh(controls)
    plain.advance_to(60.0, controls)

    assert rows(plain) == rows(run)


def test_a_run_may_change_from_plain_to_compiled_in_the_middle(monkeypatch):
    whole = fresh(cannula(4.0))
    whole.advance_to(40.0, cannula(4.0))

    run = fresh(cannula(4.0))
    with monkeypatch.context() as plain:
        plain.setattr(compiling, "current", lambda: advance)
        run.advance_to(17.3, cannula(4.0))
    run.advance_to(40.0, cannula(4.0))

    assert rows(run) == rows(whole)


def test_a_run_cut_anywhere_is_the_run_in_one_go():
    whole = fresh(simple_mask(6.0))
    whole.advance_to(90.0, simple_mask(6.0))

    pieces = fresh(simple_mask(6.0))
    for moment in (0.01, 0.5, 7.77, 8.0, 8.0001, 31.4, 60.0, 89.99, 90.0):
        pieces.advance_to(moment, simple_mask(6.0))

    assert rows(pieces) == rows(whole)


def test_a_change_in_mid_breath_leaves_every_earlier_row_as_it_was():
    without = fresh(Controls())
    without.advance_to(60.0, Controls())
    with_act = fresh(Controls())
    with_act.advance_to(31.37, Controls())
    with_act.advance_to(60.0, reservoir_mask(15.0))

    before, after = np.vstack(without.seconds), np.vstack(with_act.seconds)

    assert before[:32].tobytes() == after[:32].tobytes()
    assert before[40:].tobytes() != after[40:].tobytes()


def test_a_change_takes_hold_within_the_breath_and_does_not_wait_for_the_next():
    run = fresh(Controls())
    run.advance_to(30.0, Controls())
    run.advance_to(30.3, reservoir_mask(15.0))
    bag_ml = run.last_second()["bag_ml"]
    run.advance_to(31.0, reservoir_mask(15.0))

    assert bag_ml == 0.0
    assert run.last_second()["bag_ml"] > 100.0


def test_threads_give_the_bits_of_one_thread():
    def one(shunt):
        run = fresh(cannula(3.0), SICK._replace(shunt_frac=shunt))
        run.advance_to(300.0, cannula(3.0))
        return rows(run)

    shunts = [0.01 * i for i in range(12)]
    alone = [one(shunt) for shunt in shunts]
    with ThreadPoolExecutor(4) as pool:
        together = list(pool.map(one, shunts))

    assert together == alone


def test_another_seed_is_another_run_and_the_same_seed_the_same():
    first, again, other = (settled(SICK, Controls(), seed) for seed in (1, 1, 2))
    for run in (first, again, other):
        run.advance_to(60.0, Controls())

    assert rows(first) == rows(again)
    assert rows(first) != rows(other)


@pytest.mark.parametrize(
    "patient",
    [Patient(apnoea=1.0), Patient(held_rate_per_min=1.0, held_tidal_ml=500.0), Patient(sedation_frac=1.0)],
    ids=["apnoea", "one breath a minute", "fully sedated"],
)
def test_a_patient_who_hardly_breathes_settles_too(patient):
    run = settled(patient, Controls(), 1)

    assert run.time_s == 0.0
    assert np.isfinite(run.state).all()
