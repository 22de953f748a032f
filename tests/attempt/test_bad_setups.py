"""Contract: a set-up that cannot be is refused with its reason, and a case says the line."""

from math import nan

import pytest
from tests.attempt.refused import answer_of

from tidalbay.case import CaseErrors, read_case
from tidalbay.equipment import EquipmentError, equipment_from_setup

pytestmark = pytest.mark.usefixtures("model")

WALL = {"id": "wall", "kind": "wall_oxygen", "flowmeter": {"id": "meter", "max_lpm": 15}}


def setup(*devices, **flowmeter):
    return {"supplies": [{**WALL, "flowmeter": {**WALL["flowmeter"], **flowmeter}}], "devices": list(devices)}


SETUPS = [
    (
        setup({"id": "one", "kind": "simple_mask"}, {"id": "two", "kind": "non_rebreathing_mask"}),
        "'two' cannot go on: 'one' is on the face already. Take that off first.",
    ),
    (
        setup({"id": "one", "kind": "nasal_cannula"}, {"id": "two", "kind": "high_flow_nasal_cannula"}),
        "'two' cannot go on: there are prongs in the nose already, 'one'. Take that off first.",
    ),
    (setup(flow_lpm=40), "'meter' is set to 40 L/min, but its scale ends at 15 L/min."),
    (setup(flow_lpm=-2), "'meter' has flow_lpm -2; write a number of 0 or more."),
    (setup(flow_lpm=nan), "'meter' has flow_lpm nan; write a number of 0 or more."),
    (setup(flow_lpm="2"), "'meter' has flow_lpm '2'; write a number of 0 or more."),
    (
        setup({"id": "one", "kind": "simple_mask", "connected_to": "tap"}),
        "'one' is connected to 'tap', which is no flowmeter here; there is 'meter'.",
    ),
]


@pytest.mark.parametrize(("said", "words"), SETUPS)
def test_a_set_up_that_cannot_be_is_refused_with_its_reason(said, words):
    error = answer_of(equipment_from_setup, said)

    assert isinstance(error, EquipmentError)
    assert str(error) == words


CASE = """\
schema: 1
id: bad
title: A bad case
teaches: Nothing.
patient: {name: Mr N. Alder, preset: healthy_adult}
order: {text: Air., target_spo2_pct: [94, 98]}
setup:
  supplies:
    - {id: wall, kind: wall_oxygen, flowmeter: {id: meter, max_lpm: 15}}
  devices:
    - {id: one, kind: simple_mask}
    - {id: two, kind: simple_mask, worn: false}
minutes: 10
"""


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("worn: false", "worn: true"),
        ("preset: healthy_adult", "preset: healthy_adult, haemoglobin_g_dl: 0"),
        ("preset: healthy_adult", "preset: healthy_adult, age_years: 400"),
        ("preset: healthy_adult", "preset: healthy_adult, ph: 3"),
        ("max_lpm: 15", "max_lpm: 15, flow_lpm: 40"),
        ("max_lpm: 15", "max_lpm: .nan"),
        ("minutes: 10", "minutes: .inf"),
    ],
)
def test_a_case_that_cannot_be_says_its_line(old, new):
    read_case(CASE, "case.yaml")

    error = answer_of(read_case, CASE.replace(old, new), "case.yaml")

    assert isinstance(error, CaseErrors)
    assert f"case.yaml:{1 + CASE[: CASE.index(old)].count(chr(10))}:" in str(error)
    assert "Traceback" not in str(error)
