"""Temperature and blood pressure as instruments find them."""

import numpy as np
import pytest
from tests.bedside.recordings import PATIENT, regular

from tidalbay.bedside import NothingToReadError, blood_pressure, temperature
from tidalbay.trace import Trace

SEEDS = range(300)


def without(trace, *names):
    kept = {name: column for name, column in trace.seconds.items() if name not in names}
    return Trace(kept, dict(trace.breaths), {"ph": "pH of arterial blood."})


def test_pressures_are_those_of_the_recording_within_what_standards_allow_a_cuff():
    # ISO 81060-2 (from memory): mean error at most 5 mmHg, standard deviation at most 8.
    trace = regular(15.0, seconds=60, systolic_mmhg=148.0, diastolic_mmhg=86.0)

    found = [blood_pressure(trace, 30, seed) for seed in SEEDS]

    errors = np.array([[each.systolic_mmhg - 148, each.diastolic_mmhg - 86] for each in found])
    assert np.all(np.abs(errors.mean(axis=0)) <= 1)
    assert np.all((errors.std(axis=0) > 1) & (errors.std(axis=0) < 8))


def test_the_patient_s_numbers_stand_in_for_columns_that_are_not_recorded():
    trace = without(regular(15.0, seconds=60), "systolic_mmhg", "diastolic_mmhg")

    found = blood_pressure(trace, 30, 1, {"systolic_mmhg": 200.0, "diastolic_mmhg": 110.0})

    assert found.systolic_mmhg == pytest.approx(200, abs=8)
    assert found.diastolic_mmhg == pytest.approx(110, abs=8)


def test_the_lower_pressure_stays_below_the_upper_one():
    trace = regular(15.0, seconds=60, systolic_mmhg=60.0, diastolic_mmhg=56.0)

    assert all(
        found.diastolic_mmhg <= found.systolic_mmhg - 5
        for found in (blood_pressure(trace, 30, seed) for seed in SEEDS)
    )


def test_temperature_is_within_what_standards_allow_a_thermometer():
    # ISO 80601-2-56 (from memory): 0.2 °C; a reading to a tenth adds half of one.
    trace = regular(15.0, seconds=60, temperature_degc=38.8)

    found = [temperature(trace, 30, seed).temperature_degc for seed in SEEDS]

    assert max(abs(each - 38.8) for each in found) <= 0.25
    assert len(set(found)) > 1
    assert all(each == round(each, 1) for each in found)


def test_the_patient_s_temperature_stands_in_where_none_is_recorded():
    assert temperature(regular(15.0), 30, 1, {"temperature_degc": 39.5}).temperature_degc == pytest.approx(
        39.5, abs=0.25
    )


def test_what_nobody_knows_is_refused_in_a_sentence():
    with pytest.raises(NothingToReadError) as refused:
        temperature(regular(15.0), 30, 1)

    assert str(refused.value) == (
        "The temperature cannot be read: neither the recording nor the patient's numbers hold "
        "temperature_degc. Pass the patient's numbers."
    )


def test_a_reading_says_how_old_it_is():
    trace = regular(15.0)

    assert blood_pressure(trace, 30, 1).as_plain(90)["blood_pressure_age_s"] == 60
    assert temperature(trace, 30, 1, PATIENT).as_plain(45)["measured_temperature_age_s"] == 15
