"""Contract of the cylinder answer: three sums side by side, and a sentence for what cannot be."""

import pytest

from tidalbay.equipment import EquipmentError, cylinder_duration, equipment_from_setup, pressure_kpa_from_text
from tidalbay.units import kpa_from_psi


@pytest.mark.parametrize(
    ("text", "kpa"),
    [
        ("2000psi", 13789.52),
        ("137 bar", 13700.0),
        ("13700kPa", 13700.0),
        (" 100.5 BAR ", 10050.0),
        ("-5psi", -34.4738),
    ],
)
def test_a_pressure_is_read_as_people_write_it(text, kpa):
    assert pressure_kpa_from_text(text) == pytest.approx(kpa)


@pytest.mark.parametrize("text", ["2000", "psi", "many bar", "", "12 mmHg", "1e400psi"])
def test_what_is_no_pressure_is_answered_with_a_sentence(text):
    with pytest.raises(EquipmentError) as refusal:
        pressure_kpa_from_text(text)

    assert str(refusal.value) == (
        f"{text!r} is no pressure; write a number with psi, bar or kPa, for instance 2000psi."
    )


REFUSED = [
    (
        ("Q", 5000.0, 2.0),
        "There is no cylinder size 'Q'; the sizes are D, E, G, H, M, UK-C, UK-D, UK-E, UK-F, "
        "UK-G, UK-J, CD, HX, ZX.",
    ),
    (
        ("E", -5.0, 2.0),
        "A pressure of -5 kPa cannot be; a cylinder's gauge shows 0 to 35000 kPa (350 bar, 5076 psi).",
    ),
    (
        ("E", 1e9, 2.0),
        "A pressure of 1e+09 kPa cannot be; a cylinder's gauge shows 0 to 35000 kPa (350 bar, 5076 psi).",
    ),
    (
        ("E", 5000.0, 2.0, -1.0),
        "A reserve of -1 kPa cannot be; a cylinder's gauge shows 0 to 35000 kPa (350 bar, 5076 psi).",
    ),
    (
        ("E", 5000.0, 0.0),
        "A flow of 0 L/min does not empty a cylinder; write more than 0 and at most 100 L/min.",
    ),
    (
        ("E", 5000.0, -2.0),
        "A flow of -2 L/min does not empty a cylinder; write more than 0 and at most 100 L/min.",
    ),
    (
        ("E", 5000.0, 1e6),
        "A flow of 1e+06 L/min does not empty a cylinder; write more than 0 and at most 100 L/min.",
    ),
    (
        ("E", float("nan"), 2.0),
        "A pressure of nan kPa cannot be; a cylinder's gauge shows 0 to 35000 kPa (350 bar, 5076 psi).",
    ),
]


@pytest.mark.parametrize(("asked", "sentence"), REFUSED, ids=[sentence[:40] for _, sentence in REFUSED])
def test_an_absurd_question_is_answered_with_a_sentence(asked, sentence):
    with pytest.raises(EquipmentError) as refusal:
        cylinder_duration(*asked)

    assert str(refusal.value) == sentence


def test_the_answer_keeps_the_reserve_back():
    answer = cylinder_duration("E", kpa_from_psi(1000), 2.0, kpa_from_psi(200))
    to_the_end = cylinder_duration("E", kpa_from_psi(1000), 2.0, 0.0)

    assert answer.usable_l < answer.content_l
    assert answer.minutes == pytest.approx(answer.usable_l / 2.0)
    assert to_the_end.usable_l == to_the_end.content_l
    assert cylinder_duration("E", kpa_from_psi(1000), 2.0) == answer


def test_below_the_reserve_nothing_is_left_and_the_answer_says_so():
    answer = cylinder_duration("E", kpa_from_psi(150), 2.0)

    assert (answer.usable_l, answer.minutes, answer.minutes_by_factor) == (0.0, 0.0, 0.0)
    assert answer.minutes_by_water_capacity == 0.0
    assert answer.warnings == ("The gauge is at or below the reserve: change the cylinder.",)


def test_more_pressure_than_the_size_is_filled_to_is_pointed_out():
    answer = cylinder_duration("E", kpa_from_psi(3000), 2.0)

    assert answer.warnings == (
        "A size E cylinder is filled to about 2000 psi (138 bar); check size and gauge.",
    )


def test_a_british_size_has_no_factor_in_psi():
    assert cylinder_duration("UK-E", 13700.0, 2.0).minutes_by_factor is None


def test_the_simulated_cylinder_lasts_as_long_as_the_answer_says():
    # One path: the bottle on the ward and the sum at the desk hold the same gas.
    row = {"id": "bottle", "kind": "cylinder", "size": "E", "gauge_psi": 1000, "valve_open": True}
    equipment = equipment_from_setup({"supplies": [{**row, "flowmeter": {"flow_lpm": 2}}]})
    answer = cylinder_duration("E", kpa_from_psi(1000), 2.0)

    later = equipment.advance(answer.minutes * 60.0)

    assert later.readings()["bottle.gauge_psi"] == pytest.approx(200, rel=0.005)  # and the regulator
