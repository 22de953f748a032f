"""Laws of the equipment: gas is kept, time may be cut anywhere, independent acts commute, values stay."""

from math import inf, isfinite

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tidalbay.equipment import CAUSES, ActRefused, Equipment, equipment_from_setup
from tidalbay.equipment.sources.bottle import held_l

SETUP = {
    "supplies": [
        {"id": "wall", "kind": "wall_oxygen", "flowmeter": {"id": "meter", "flow_lpm": 3}},
        {"id": "air", "kind": "wall_air", "flowmeter": {"id": "air_meter", "flow_lpm": 6}},
        {
            "id": "bottle",
            "kind": "cylinder",
            "size": "D",
            "gauge_psi": 400,
            "valve_open": True,
            "flowmeter": {"id": "dial", "flow_lpm": 5},
        },
        {"id": "spare", "kind": "cylinder", "size": "D", "gauge_psi": 900},
        {"id": "machine", "kind": "concentrator", "flowmeter": {"id": "machine_meter", "flow_lpm": 3}},
    ],
    "devices": [
        {"id": "cannula", "kind": "nasal_cannula", "connected_to": "meter"},
        {"id": "mask", "kind": "non_rebreathing_mask", "connected_to": "dial", "worn": False},
        {"id": "venturi", "kind": "air_entrainment_mask", "connected_to": "air_meter", "worn": False},
        {"id": "high", "kind": "high_flow_nasal_cannula", "worn": False},
    ],
}

ACTS = st.one_of(
    st.tuples(
        st.just("flow_set"),
        st.sampled_from(["meter", "air_meter", "dial", "machine_meter"]),
        st.one_of(st.fixed_dictionaries({"flow_lpm": st.floats(0, 15)}), st.just({"flush": True})),
    ),
    st.tuples(
        st.sampled_from(["concentrator_started", "concentrator_stopped"]), st.just("machine"), st.just({})
    ),
    st.tuples(
        st.sampled_from(
            [
                "valve_opened",
                "valve_closed",
                "cylinder_cracked",
                "regulator_fitted",
                "regulator_bled",
                "cylinder_changed",
            ]
        ),
        st.sampled_from(["bottle", "spare"]),
        st.sampled_from([{}, {"to": "spare"}, {"to": "bottle"}]),
    ),
    st.tuples(
        st.sampled_from(
            ["device_placed", "device_removed", "tubing_disconnected", "tubing_freed", "bag_filled"]
        ),
        st.sampled_from(["cannula", "mask", "venturi", "high"]),
        st.just({}),
    ),
    st.tuples(
        st.just("tubing_connected"),
        st.sampled_from(["cannula", "mask", "venturi", "high"]),
        st.fixed_dictionaries({"from": st.sampled_from(["meter", "air_meter", "dial", "machine_meter"])}),
    ),
    st.tuples(st.just("humidifier_fitted"), st.sampled_from(["meter", "dial"]), st.just({})),
    st.tuples(st.just("cylinder_chosen"), st.none(), st.just({"size": "UK-C"})),
)
FAULTS = st.one_of(
    st.tuples(st.sampled_from(["valve_shut", "supply_empty"]), st.just("bottle"), st.none()),
    st.tuples(
        st.sampled_from(["tube_kinked", "tube_leaking"]), st.sampled_from(["cannula", "mask"]), st.none()
    ),
    st.tuples(
        st.sampled_from(CAUSES),
        st.sampled_from(["bottle", "spare", "wall", "machine", "meter", "cannula", "mask", "venturi"]),
        st.sampled_from([None, False, 0.4, 3]),
    ),
)
STEPS = st.lists(st.one_of(ACTS, FAULTS, st.floats(0, 3000)), max_size=14)


def taken(equipment: Equipment, step) -> Equipment:
    """The equipment after an act, a fault or a stretch of time; as it was where hands were refused."""
    if isinstance(step, float):
        return equipment.advance(step)
    name, on, values = step
    try:
        if name in CAUSES:
            return equipment.with_fault(name, on, values)
        return equipment.apply(name, on, values, 0)
    except ActRefused:
        return equipment


def in_cylinders_l(equipment: Equipment) -> float:
    return sum(held_l(cylinder) for cylinder in equipment.cylinders())


@settings(max_examples=150, deadline=None)
@given(STEPS)
def test_gas_in_cylinders_and_gas_that_left_them_is_what_was_brought(steps):
    equipment = equipment_from_setup(SETUP)

    for step in steps:
        equipment = taken(equipment, step)

        ledger = equipment.ledger
        kept_l = in_cylinders_l(equipment)
        left_l = ledger.from_cylinders_l + ledger.vented_l + ledger.taken_away_l
        assert kept_l + left_l == pytest.approx(ledger.brought_l, abs=1e-6)
        assert ledger.to_patient_l + ledger.to_room_l == pytest.approx(
            ledger.from_cylinders_l + ledger.from_wall_l + ledger.from_concentrators_l, abs=1e-6
        )


@settings(max_examples=150, deadline=None)
@given(STEPS)
def test_nothing_is_ever_negative_and_everything_can_be_read_and_told(steps):
    equipment = equipment_from_setup(SETUP)

    for step in steps:
        equipment = taken(equipment, step)

        readings = equipment.readings()
        controls = equipment.controls(745.0)
        assert all(value is None or value >= 0.0 for value in readings.values())
        assert all(isfinite(value) and value >= 0.0 for value in controls)
        assert equipment.next_change_s() >= 0.0
        assert all(sentence.endswith(".") for sentence in (*equipment.describe(), *equipment.warnings()))


@settings(max_examples=100, deadline=None)
@given(STEPS, st.floats(1, 20000), st.floats(0, 1))
def test_time_may_be_cut_anywhere(steps, stretch_s, cut):
    equipment = equipment_from_setup(SETUP)
    for step in steps:
        equipment = taken(equipment, step)

    whole = equipment.advance(stretch_s)
    halves = equipment.advance(cut * stretch_s).advance((1.0 - cut) * stretch_s)

    for one, other in zip(whole.cylinders(), halves.cylinders(), strict=True):
        assert one.gas_l == pytest.approx(other.gas_l, rel=1e-9, abs=1e-7)
    assert whole.ledger.to_patient_l == pytest.approx(halves.ledger.to_patient_l, rel=1e-9, abs=1e-7)


@settings(max_examples=60, deadline=None)
@given(STEPS)
def test_the_same_acts_and_stretches_give_the_same_digits(steps):
    ways = []
    for _ in range(2):
        equipment = equipment_from_setup(SETUP)
        for step in steps:
            equipment = taken(equipment, step)
        ways.append((equipment, equipment.controls(745.0), equipment.readings()))

    assert ways[0] == ways[1]


@settings(max_examples=60, deadline=None)
@given(st.floats(0.1, 15), st.floats(50, 2400), st.sampled_from(["D", "E", "M", "CD"]))
def test_the_gauge_only_falls_and_the_changes_run_out(flow_lpm, gauge_psi, size):
    row = {"id": "bottle", "kind": "cylinder", "size": size, "gauge_psi": gauge_psi, "valve_open": True}
    equipment = equipment_from_setup({"supplies": [{**row, "flowmeter": {"flow_lpm": flow_lpm}}]})

    gauges = []
    for _ in range(12):
        gauges.append(equipment.readings()["bottle.gauge_psi"])
        if equipment.next_change_s() == inf:
            break
        equipment = equipment.advance(equipment.next_change_s())

    assert gauges == sorted(gauges, reverse=True)
    assert gauges[-1] == 0.0
    assert equipment.next_change_s() == inf


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6))
def test_arriving_a_little_late_at_a_change_arrives_at_it(late_us):
    row = {
        "id": "bottle",
        "kind": "cylinder",
        "gauge_psi": 300,
        "valve_open": True,
        "flowmeter": {"flow_lpm": 8},
    }
    equipment = equipment_from_setup({"supplies": [row]})
    before = equipment.readings()["bottle.flow_lpm"]

    after = equipment.advance(equipment.next_change_s() + late_us * 1e-6)

    assert after.readings()["bottle.flow_lpm"] < before


ON_THE_WALL = st.one_of(
    st.tuples(st.just("flow_set"), st.just("meter"), st.fixed_dictionaries({"flow_lpm": st.floats(0, 15)})),
    st.tuples(st.just("humidifier_fitted"), st.just("meter"), st.just({})),
    st.tuples(
        st.sampled_from(
            ["device_placed", "device_removed", "tubing_disconnected", "tube_kinked", "prongs_out"]
        ),
        st.just("cannula"),
        st.just({}),
    ),
)
ON_THE_BOTTLE = st.one_of(
    st.tuples(st.just("flow_set"), st.just("dial"), st.fixed_dictionaries({"flow_lpm": st.floats(0, 15)})),
    st.tuples(
        st.sampled_from(
            ["valve_opened", "valve_closed", "regulator_bled", "cylinder_changed", "supply_empty"]
        ),
        st.just("bottle"),
        st.just({}),
    ),
    st.tuples(
        st.sampled_from(["device_placed", "device_removed", "bag_filled", "tube_kinked", "strap_loose"]),
        st.just("mask"),
        st.just({}),
    ),
)


@settings(max_examples=100, deadline=None)
@given(st.floats(0, 1e6), st.booleans())
def test_every_change_is_met_by_a_clock_that_rounds(now_s, shut):
    # A chamber of a few millilitres changes faster than a late clock can tell its rounding from a step.
    row = {"id": "bottle", "kind": "cylinder", "gauge_psi": 300, "valve_open": True}
    equipment = equipment_from_setup({"supplies": [{**row, "flowmeter": {"id": "dial", "flow_lpm": 15}}]})
    if shut:
        equipment = equipment.apply("valve_closed", "bottle", {}, 0)

    changes = 0
    while equipment.next_change_s() < inf and changes < 20:
        change_s = now_s + equipment.next_change_s()
        equipment, now_s = equipment.advance(change_s - now_s), change_s
        changes += 1

    assert changes == 9
    assert equipment.readings()["bottle.flow_lpm"] == 0.0


@settings(max_examples=150, deadline=None)
@given(ON_THE_WALL, ON_THE_BOTTLE)
def test_what_is_done_to_unconnected_parts_commutes(one, other):
    equipment = equipment_from_setup(SETUP)

    assert taken(taken(equipment, one), other) == taken(taken(equipment, other), one)


@settings(max_examples=60, deadline=None)
@given(STEPS)
def test_an_equipment_is_a_value_that_nothing_changes(steps):
    equipment = equipment_from_setup(SETUP)
    before = (equipment.readings(), equipment.controls(760.0), equipment.describe())

    later = equipment
    for step in steps:
        later = taken(later, step)

    assert (equipment.readings(), equipment.controls(760.0), equipment.describe()) == before


@settings(max_examples=60, deadline=None)
@given(st.floats(0, 15), st.floats(0, 15), st.sampled_from(["cannula", "mask", "venturi"]))
def test_more_flow_on_the_knob_never_brings_less_gas(low_lpm, high_lpm, device):
    low_lpm, high_lpm = sorted((low_lpm, high_lpm))
    equipment = equipment_from_setup(SETUP)

    def arriving(flow_lpm):
        return equipment.apply("flow_set", device, {"flow_lpm": flow_lpm}, 0).readings()[f"{device}.flow_lpm"]

    assert arriving(low_lpm) <= arriving(high_lpm)


@pytest.mark.parametrize("stretch_s", [-1.0, float("nan"), inf])
def test_equipment_does_not_go_back_in_time(stretch_s):
    with pytest.raises(ValueError) as refusal:
        Equipment.bare().advance(stretch_s)

    assert str(refusal.value) == f"Equipment goes forward in time by 0 s or more, not by {stretch_s} s."
