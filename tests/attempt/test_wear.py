"""Skin and linings through the loop: hours pass in a moment, and what is padded lasts longer."""

import pytest

import tidalbay
from tidalbay.bedside import oxygen_excess
from tidalbay.case import read_case

pytestmark = pytest.mark.usefixtures("model")

CASE = """
schema: 1
id: shift
title: A shift in bed
teaches: skin
patient: {{name: Nobody, preset: post_operative}}
order: {{text: "Oxygen 2 L/min", target_spo2_pct: [94, 98]}}
minutes: 700
setup:
  supplies:
    - {{id: outlet, kind: wall_oxygen, flowmeter: {{id: flowmeter, max_lpm: 15, flow_lpm: {flow}}}}}
  devices:
    - {{id: device, kind: {kind}, connected_to: flowmeter, worn: true, fit: {fit}}}
"""


def after_hours(hours, acts=(), kind="nasal_cannula", fit="snug", flow=4):
    run = tidalbay.play(read_case(CASE.format(kind=kind, fit=fit, flow=flow)), list(acts))
    run.run_to(3600.0 * hours)
    return run.attempt


def test_a_tight_cannula_marks_the_ears_within_a_shift_and_a_loose_one_does_not():
    # A pressure injury begins between 1 h and 4-6 h of sustained load: Gefen, review (author from memory).
    tight, loose = after_hours(6, fit="tight").skin(), after_hours(6, fit="loose").skin()

    assert max(tight.values()) >= 2
    assert max(loose.values()) <= 1


def test_padding_put_on_in_time_spares_the_ear_it_covers():
    pad = [{"at": "0:30", "act": "padding_added", "on": "device", "site": "left_ear"}]
    skin = after_hours(4, pad, fit="tight").skin()

    assert skin["left_ear"] < skin["right_ear"]


def test_skin_recovers_once_the_device_is_off():
    off = [{"at": "120:00", "act": "device_removed", "on": "device"}]
    worn = after_hours(2, fit="tight").skin()
    relieved = after_hours(10, off, fit="tight").skin()

    assert max(relieved.values()) < max(worn.values())


def test_looking_early_and_late_is_looking_late():
    looked = after_hours(3, fit="tight")
    looked.skin()
    looked.run_to(4 * 3600.0)

    assert looked.skin() == after_hours(4, fit="tight").skin()


def test_dry_gas_dries_and_water_spares():
    dry, trickle = after_hours(8, flow=6).dryness(), after_hours(8, flow=1).dryness()

    assert dry > trickle
    assert trickle < 2.5  # no shown benefit of humidity at 1-4 L/min (guidelines reviewed in Medicine 2024)


def test_oxygen_beyond_need_is_counted():
    plenty = after_hours(1, kind="non_rebreathing_mask", flow=15)
    enough = after_hours(1, flow=2)

    much, little = (oxygen_excess(a.trace(), 98.0) for a in (plenty, enough))

    assert much.toxic_units > little.toxic_units
    assert much.above_range_pct_h > little.above_range_pct_h


def test_four_hours_are_lived_through_in_one_call():
    run = tidalbay.play(read_case(CASE.format(kind="nasal_cannula", fit="snug", flow=2)), [])
    run.run_to(4 * 3600.0)

    assert run.trace().seconds["t_s"][-1] == 4 * 3600.0


def test_the_skin_of_an_earlier_moment_is_what_a_look_then_found():
    acts = [
        {"at": "60:00", "act": "strap_set", "on": "device", "snugness": "loose"},
        {"at": "90:00", "act": "padding_added", "on": "device", "site": "left_ear"},
        {"at": "120:00", "act": "strap_set", "on": "device", "snugness": "tight"},
        {"at": "300:00", "act": "device_removed", "on": "device"},
    ]
    whole = after_hours(8, acts, fit="tight")
    hours = (0.5, 1.0, 1.2, 1.5, 3.0, 4.9, 5.0, 7.0)

    then = [
        after_hours(each, [a for a in acts if float(a["at"][:-3]) <= 60 * each], fit="tight").skin()
        for each in hours
    ]

    assert [whole.skin(3600.0 * each) for each in hours] == then
    assert len({max(each.values()) for each in then}) > 1
