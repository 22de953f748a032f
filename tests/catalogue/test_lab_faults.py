"""Contract of the faults at hand: each throws causes that the catalogue has, with a value they can have."""

import pytest

from tidalbay.catalogue import lab_faults as room
from tidalbay.catalogue.causes import cause_value_fault, causes
from tidalbay.catalogue.lab_faults import lab_faults
from tidalbay.catalogue.patients import patient_fields

# Section by section, what a skills lab wants to be able to throw; what belongs to a patient is a case's.
WANTED = (
    "tubing_off_at_flowmeter tubing_kinked cylinder_empty valve_shut humidifier_lid_loose bag_empty"
    " bag_twisted bag_flap_missing bag_flap_stuck disc_missing on_medical_air prongs_out prongs_upside_down"
    " mouth_breathing nostril_blocked mask_off_for_a_meal finger_cold hand_moves lung_worsens opioid_deepens"
    " mucus_plug water_in_tubing wrong_valve ports_covered"
)


def test_the_faults_of_a_good_lab_are_all_there():
    assert set(WANTED.split()) <= set(lab_faults())


@pytest.mark.parametrize("fault", lab_faults().values(), ids=lambda fault: fault.id)
def test_a_fault_says_what_it_throws_how_it_is_found_and_what_is_done(fault):
    assert fault.title
    assert fault.cue
    assert fault.answer
    assert fault.source
    for cause, value in fault.throws:
        assert cause in causes()
        simply = causes()[cause].type in ("yes_no", "yes", "share") or causes()[cause].strikes == "equipment"
        assert simply if value is None else cause_value_fault(causes()[cause], value) is None
        assert causes()[cause].strikes == "equipment" or not fault.on
    assert not fault.only_if or fault.only_if in patient_fields()


@pytest.mark.parametrize(
    ("throws", "sentence"),
    [
        ([{"cause": "flood"}], "faults.yaml, x: flood is no cause; write one of "),
        ([{"cause": "pain", "value": 40}], "faults.yaml, x: pain is 40"),
    ],
)
def test_a_row_that_throws_what_cannot_be_is_refused_in_a_sentence(monkeypatch, throws, sentence):
    row = {"id": "x", "title": "x", "throws": throws, "cue": "x", "answer": "x", "source": "x"}
    monkeypatch.setattr(room, "mapping", lambda name: {"faults": [row]})
    lab_faults.cache_clear()
    try:
        with pytest.raises(ValueError) as refused:
            lab_faults()
    finally:
        lab_faults.cache_clear()

    assert str(refused.value).startswith(sentence)
