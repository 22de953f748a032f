"""Contract of the causes: an event changes what happens, never what is read."""

import pytest

from tidalbay.catalogue.acts import acts
from tidalbay.catalogue.causes import (
    VALUE_TYPES,
    cause_fault,
    cause_value_fault,
    causes,
    condition_readings,
    reading_fault,
)
from tidalbay.catalogue.devices import device_kinds
from tidalbay.catalogue.patients import patient_fields
from tidalbay.equipment.faults import CAUSES


def value_sentence(cause, value):
    fault = cause_value_fault(causes()[cause], value)
    return fault and fault.sentence


@pytest.mark.parametrize("cause", causes().values(), ids=lambda cause: cause.id)
def test_a_row_says_whom_it_strikes_with_what_and_where_that_comes_from(cause):
    assert cause.strikes in ("patient", "equipment")
    assert cause.type in VALUE_TYPES
    assert cause.sentence
    assert cause.source
    assert cause.time_constant_s >= 0
    assert (cause.type == "choice") == bool(cause.choices)
    assert cause.type == "whole" or not cause.numbers


def test_the_causes_that_strike_equipment_are_those_the_equipment_knows():
    assert {cause.id for cause in causes().values() if cause.strikes == "equipment"} == set(CAUSES)


def test_the_causes_that_strike_a_patient_are_numbers_of_the_patient_or_the_posture():
    struck = {cause.id for cause in causes().values() if cause.strikes == "patient"}

    assert struck - {"posture"} <= set(patient_fields())
    assert set(causes()["posture"].choices) == set(acts()["positioned"].arguments["position"].choices)


def test_the_entrainment_valves_that_can_be_mixed_up_are_those_that_are_made():
    made = {pct for kind in device_kinds().values() for pct in kind.entrainment_flow_lpm}

    assert set(causes()["valve_exchanged"].numbers) == made


def test_no_reading_is_a_cause():
    assert not set(causes()) & set(condition_readings())
    assert not {"systolic_mmhg", "diastolic_mmhg"} & set(causes())


def test_an_event_that_sets_a_reading_is_told_why_it_cannot():
    sentence = cause_fault("spo2_shown_pct").sentence

    assert sentence == (
        "spo2_shown_pct is a reading; an event sets only causes, and the model says what is read."
        " Set what brings it about; the page of cases lists the causes."
    )


def test_names_nobody_knows_are_answered_with_the_nearest():
    assert cause_fault("tube_kinkt").sentence.endswith("Did you mean tube_kinked?")
    assert cause_fault("shunt_frac") is None
    assert reading_fault("spo2_pct").sentence.startswith(
        "there is no reading spo2_pct. Allowed: spo2_shown_pct,"
    )
    assert reading_fault("ph") is None


@pytest.mark.parametrize(
    ("cause", "value", "sentence"),
    [
        ("shunt_frac", 0.35, None),
        ("shunt_frac", 0.9, "shunt_frac is 0.9. Allowed: 0 to 0.6. 0.6 is nearest."),
        ("posture", "flat", None),
        (
            "posture",
            "Flat",
            "posture is Flat. Allowed: flat, propped, upright, sitting_out, side. Did you mean flat?",
        ),
        ("tube_kinked", True, None),
        ("tube_kinked", 1, "tube_kinked is 1. Allowed: true, false."),
        ("device_off", True, None),
        ("device_off", False, "device_off is false. Allowed: true."),
        ("flow_knocked", 2.5, None),
        ("flow_knocked", 400, "flow_knocked is 400. Allowed: 0 to 100 L/min. 100 is nearest."),
        ("valve_exchanged", 40, None),
        ("valve_exchanged", 29, "valve_exchanged is 29. Allowed: 24, 28, 31, 35, 40, 50, 60."),
        ("valve_exchanged", True, "valve_exchanged is true. Allowed: 24, 28, 31, 35, 40, 50, 60."),
        ("disc_missing", 2, None),
        ("disc_missing", 1.5, "disc_missing is 1.5. Allowed: 0 to 2, whole."),
        ("ports_covered", 0.5, None),
        ("ports_covered", 2, "ports_covered is 2. Allowed: 0 to 1. 1 is nearest."),
    ],
)
def test_the_value_of_a_cause_is_held_to_its_range(cause, value, sentence):
    assert value_sentence(cause, value) == sentence
