"""Everything that can be read is read from a recording that the model made."""

import math

import pytest
from tests.bedside.recordings import until

import tidalbay
from tidalbay.bedside import (
    blood_gas,
    blood_pressure,
    capnogram,
    counted_rate,
    felt_pulse,
    findings_at,
    oximeter,
    shown_to,
    temperature,
)
from tidalbay.case import resolve

AT_S = 110.0


@pytest.fixture(scope="module")
def case():
    return tidalbay.load_case("rising-shunt")


@pytest.fixture(scope="module")
def patient(case):
    return resolve(case)["patient"]["numbers"]


@pytest.fixture(scope="module")
def trace(case, model):
    return tidalbay.simulate(case, acts=[], minutes=2)


def test_a_count_agrees_with_the_breaths_the_model_took(trace):
    rates = trace.seconds["rate_per_min"]

    count = counted_rate(trace, AT_S, 1, 60)

    assert count.rate_per_min == pytest.approx(float(rates[50:110].mean()), abs=2.5)


def test_hands_instruments_and_analyser_stay_near_the_model_s_truth(trace, patient):
    row = trace.at(AT_S)

    gas = blood_gas(trace, AT_S, 1, patient)

    assert felt_pulse(trace, AT_S, 1, 60).pulse_per_min == pytest.approx(row["heart_rate_per_min"], abs=6)
    assert oximeter(trace, AT_S, 1).spo2_pct == row["spo2_shown_pct"]
    assert gas.po2_mmhg == pytest.approx(row["pao2_mmhg"], rel=0.1)
    assert gas.pco2_mmhg == pytest.approx(row["paco2_mmhg"], rel=0.1)
    assert temperature(trace, AT_S, 1, patient).temperature_degc == pytest.approx(38.8, abs=0.3)
    assert blood_pressure(trace, AT_S, 1, patient).systolic_mmhg == pytest.approx(118, abs=20)


def test_the_breath_drawn_is_the_model_s_last_whole_breath(trace, patient):
    line = capnogram(trace, AT_S, 1, patient)

    (row,) = [i for i, start in enumerate(trace.breaths["start_s"]) if start == line.start_s]
    assert line.end_tidal_mmhg == pytest.approx(trace.breaths["end_tidal_co2_mmhg"][row], abs=2)
    assert line.time_s[-1] == pytest.approx(trace.breaths["duration_s"][row], abs=1e-3)


def test_pneumonia_is_found_as_pneumonia(trace, patient):
    found = {each.what: each for each in findings_at(trace, AT_S, patient)}

    assert found["chest_sounds"].words == "coarse crackles low down"
    assert found["alertness"].rung in ("alert", "confused")
    assert found["effort"].rung in ("raised", "hard")
    assert found["colour"].rung in ("usual", "tinge")


def test_of_all_columns_a_learner_in_an_assessment_receives_only_what_the_drawing_and_the_display_need(trace):
    row = {**dict.fromkeys(trace.breaths, 1.0), **trace.at(AT_S)}

    shown = shown_to("learner", "summative", row)

    assert set(shown) == {"t_s", "spo2_shown_pct", "wearing", "chest_ml", "bag_full_pct"}
    assert not any(isinstance(value, float) and math.isnan(value) for value in shown.values())


def test_what_was_read_during_the_attempt_is_read_again_from_its_whole_recording(trace, patient):
    then = until(trace, 90)

    assert findings_at(then, 90, patient) == findings_at(trace, 90, patient)
    assert counted_rate(then, 90, 1) == counted_rate(trace, 90, 1)
    assert blood_gas(then, 90, 1, patient) == blood_gas(trace, 90, 1, patient)
