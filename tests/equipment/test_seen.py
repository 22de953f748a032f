"""What eyes see of the equipment: floats, needles and kinks; never what is hidden inside a part."""

import json

import pytest

from tidalbay.equipment import equipment_from_setup

SETUP = {
    "supplies": [
        {"id": "wall", "kind": "wall_oxygen", "flowmeter": {"id": "meter", "max_lpm": 15, "flow_lpm": 6}},
        {"id": "bottle", "kind": "cylinder", "size": "E", "gauge_psi": 1000, "flowmeter": {"id": "dial"}},
        {"id": "machine", "kind": "concentrator", "running": True},
    ],
    "devices": [
        {"id": "mask", "kind": "non_rebreathing_mask", "connected_to": "meter", "worn": True},
        {"id": "prongs", "kind": "nasal_cannula", "worn": False, "prongs": "up"},
        {"id": "venturi", "kind": "air_entrainment_mask", "worn": False, "entrainment_pct": 28},
        {"id": "high", "kind": "high_flow_nasal_cannula", "worn": False, "oxygen_share_pct": 40},
    ],
}


def room():
    return equipment_from_setup(SETUP)


def part(equipment, sort, part_id):
    return next(each for each in equipment.seen()[sort] if each["id"] == part_id)


def test_a_float_stands_where_gas_lifts_it_and_sinks_when_the_tubing_kinks():
    assert part(room(), "flowmeters", "meter")["float_frac"] == pytest.approx(0.4)

    kinked = room().with_fault("tube_kinked", "mask_tubing", True)
    meter = part(kinked, "flowmeters", "meter")
    assert (meter["float_frac"], meter["set_frac"]) == (0.0, pytest.approx(0.4))
    assert part(kinked, "tubes", "mask_tubing")["kinked"]


def test_a_float_that_hangs_shows_where_it_hangs_and_not_that_it_hangs():
    stuck = room().with_fault("float_stuck", "meter", True).apply("flow_set", "meter", {"flow_lpm": 0}, 0)
    meter = part(stuck, "flowmeters", "meter")

    assert (meter["float_frac"], meter["set_frac"]) == (pytest.approx(0.4), 0.0)
    assert "stuck_at_lpm" not in meter


def test_a_gauge_reads_only_with_the_key_open():
    shut = part(room(), "supplies", "bottle")
    opened = part(room().apply("valve_opened", "bottle", {}, 0), "supplies", "bottle")

    assert (shut["valve_open"], shut["gauge_psi"]) == (False, 0.0)
    assert opened["gauge_psi"] == pytest.approx(1000, rel=0.01)
    assert 0.2 < opened["gauge_frac"] < 0.6


def test_a_bare_cylinder_has_no_gauge():
    bare = equipment_from_setup({"supplies": [{"id": "bottle", "kind": "cylinder", "size": "E"}]})

    assert "gauge_frac" not in part(bare, "supplies", "bottle")
    assert part(bare, "supplies", "bottle")["regulator"] is False


def test_gas_carries_its_name_in_print():
    named = equipment_from_setup(
        {"supplies": [{"id": "a", "kind": "wall_air"}, {"id": "o", "kind": "wall_oxygen"}]}
    )

    assert [each["gas_name"] for each in named.seen()["supplies"]] == ["MEDICAL AIR", "OXYGEN"]


def test_each_kind_of_device_shows_what_it_has():
    seen = {each["id"]: each for each in room().seen()["devices"]}

    assert (seen["mask"]["port_discs"], seen["mask"]["bag_valve"]) == (2, True)
    assert seen["prongs"]["prongs"] == "up"
    assert seen["venturi"]["entrainment_pct"] == 28
    assert seen["high"]["oxygen_share_pct"] == pytest.approx(40)
    assert "port_discs" not in seen["prongs"]
    assert {each["snug"] for each in seen.values()} == {"snug"}


@pytest.mark.parametrize(
    ("cause", "on", "value"),
    [
        ("bag_valve_stuck", "mask", True),
        ("tube_leaking", "mask_tubing", 0.5),
        ("float_stuck", "meter", True),
        ("sieve_worn", "machine", 0.3),
    ],
)
def test_what_is_hidden_in_a_part_changes_only_what_can_be_seen_or_heard_of_it(cause, on, value):
    before, after = room().seen(), room().with_fault(cause, on, value).seen()
    told = {
        (sort, each["id"], name)
        for sort in ("supplies", "flowmeters", "tubes", "devices")
        for each, was in zip(after[sort], before[sort], strict=True)
        for name in each
        if each[name] != was[name]
    }

    assert {name for _, _, name in told} <= {"hisses", "alarms", "float_frac"}


def test_what_is_seen_is_plain_json():
    assert json.loads(json.dumps(room().seen(), allow_nan=False)) == room().seen()
