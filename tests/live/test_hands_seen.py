"""What hands do to a cup and to a bag is seen on every screen."""

import pytest

from tidalbay.case import case_sha256, read_case, resolve
from tidalbay.live.played import Played
from tidalbay.trace import Entry, attempt_started

CASE = """\
schema: 1
id: hands-seen
title: Hands seen
teaches: What hands do is seen.
patient: {name: Mr T. Oakley, preset: healthy_adult}
order: {text: As needed., target_spo2_pct: [94, 98]}
minutes: 5
setup:
  supplies: [{id: outlet, kind: wall_oxygen, flowmeter: {id: flowmeter, flow_lpm: 10}}]
  devices: [DEVICE]
"""


def played(device):
    case = read_case(CASE.replace("DEVICE", device), "case.yaml")
    first = attempt_started(
        mode="practice",
        seed=1,
        case=resolve(case),
        case_sha256=case_sha256(case),
        engine_digest="none",
        by="instructor",
    )
    return Played.begun("a-1", first)


def devices_after(station, kind, on, role="learner", **values):
    n, t_ms = station.log.next_n, station.reached_ms
    station.take(Entry(n=n, t_ms=t_ms, kind=kind, by="learner", hands="learner", on=on, values=values))
    message = station.moment({"t_ms": t_ms, "times": 1, "state": "running"}).message(role)
    return {device["id"]: device for device in message["things"]["devices"]}


@pytest.mark.parametrize("role", ["learner", "projector", "checker", "instructor"])
def test_a_tilted_cup_is_told_as_it_is_held(model, role):
    station = played("{id: cup, kind: nebuliser_mask, connected_to: flowmeter}")

    held = devices_after(station, "cup_held", "cup", role, angle_deg=60)

    assert held["cup"]["tilt_deg"] == 60


def test_a_cup_in_line_is_told_with_the_tubing_that_it_is_in(model):
    station = played(
        "{id: prongs, kind: high_flow_nasal_cannula}, "
        "{id: cup, kind: nebuliser_in_line, connected_to: flowmeter, worn: false}",
    )

    fitted = devices_after(station, "device_placed", "cup", to="prongs")

    assert (fitted["cup"]["joined_to"], fitted["cup"]["joined_kind"], fitted["cup"]["joined_worn"]) == (
        "prongs",
        "high_flow_nasal_cannula",
        True,
    )
    assert fitted["prongs"]["cup_in_line"]


def test_of_two_cups_the_one_in_use_holds_the_medicine(model):
    station = played(
        "{id: first, kind: nebuliser_mouthpiece, worn: false}, "
        "{id: mask, kind: nebuliser_mask, connected_to: flowmeter}"
    )

    poured = devices_after(station, "drug_loaded", "mask", drug="salbutamol", dose_mg=5, volume_ml=4)

    assert poured["mask"]["cup_ml"] == 4.0
    assert "cup_ml" not in poured["first"]


def test_a_bag_is_squeezed_from_the_first_squeeze_until_it_comes_off(model):
    station = played("{id: bag, kind: bag_valve_mask, connected_to: flowmeter}")

    before = devices_after(station, "hands_cleaned", None)
    squeezed = devices_after(station, "bag_squeezed", "bag", rate_per_min=10)
    off = devices_after(station, "device_removed", "bag")

    assert (before["bag"]["squeezed"], squeezed["bag"]["squeezed"]) == (False, True)
    assert "squeezed" not in off["bag"]
