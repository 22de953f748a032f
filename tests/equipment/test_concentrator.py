"""Contract of concentrators: they give gas while they run, purer as they warm, poorer as flow grows."""

from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tidalbay.catalogue.supplies import concentrator_kinds
from tidalbay.equipment import ActRefused, EquipmentError, equipment_from_setup
from tidalbay.equipment.parts import Concentrator
from tidalbay.equipment.sources.concentrator import oxygen_frac


def machine(flow_lpm=2.0, running=True, kind="concentrator", device="nasal_cannula", **setup):
    return equipment_from_setup(
        {
            "supplies": [
                {
                    "id": "machine",
                    "kind": kind,
                    "running": running,
                    "flowmeter": {"id": "meter", "flow_lpm": flow_lpm},
                }
            ],
            "devices": [{"id": "device", "kind": device, "connected_to": "meter"}],
            **setup,
        }
    )


def test_a_running_machine_feeds_the_prongs_with_its_own_fraction():
    controls = machine(4.0).controls(760.0)

    assert controls.prong_oxygen_frac == pytest.approx(0.947, abs=0.002)
    assert controls.prong_flow_btps_ml_s == pytest.approx(75, abs=1)
    assert machine(4.0).readings()["device.supplied_o2_pct"] == pytest.approx(94.7, abs=0.2)


def test_a_machine_that_was_not_switched_on_gives_nothing_and_says_so():
    off = machine(running=False)

    assert off.controls(760.0).prong_flow_btps_ml_s == 0.0
    assert off.readings()["meter.shown_lpm"] == 0.0
    assert off.readings()["machine.oxygen_pct"] is None
    assert off.describe() == [
        "Oxygen concentrator, switched off, flowmeter at 0 L/min, tubing, nasal cannula on the face, "
        "prongs curving down."
    ]
    assert off.warnings() == [
        "The concentrator 'machine' is switched off, though a flow is set.",
        "No gas reaches the nasal cannula.",
    ]


def test_after_a_start_the_gas_grows_purer_until_it_is_warm():
    started = machine(running=False).apply("concentrator_started", "machine", {}, 0)

    purity = []
    equipment = started
    while (step_s := equipment.next_change_s()) < inf:
        purity.append(equipment.readings()["machine.oxygen_pct"])
        equipment = equipment.advance(step_s)
    purity.append(equipment.readings()["machine.oxygen_pct"])

    assert purity == sorted(purity)
    assert purity[0] < 35
    assert purity[-1] > 95
    assert equipment.concentrators() == machine(running=True).concentrators()
    assert started.warnings() == [
        "The concentrator 'machine' is still warming up: it gives 28 % oxygen.",
    ]
    assert "running, still warming up" in started.describe()[0]


def test_switched_off_it_stops_at_once_and_a_second_start_begins_cold():
    again = (
        machine()
        .apply("concentrator_stopped", "machine", {}, 0)
        .apply("concentrator_started", "machine", {}, 0)
    )

    assert again.readings()["machine.oxygen_pct"] < 35


def test_without_power_flow_ends_and_the_alarm_sounds_until_the_machine_starts_afresh():
    dark = machine(4.0).with_fault("power_failed", "machine")
    light = dark.with_fault("power_failed", "machine", False)

    assert dark.readings()["machine.alarms"] == 1.0
    assert dark.readings()["meter.shown_lpm"] == 0.0
    assert dark.describe()[0].startswith("Oxygen concentrator, silent without power, its alarm on,")
    assert dark.warnings()[0] == "The concentrator 'machine' has no power."
    assert light.readings()["machine.runs"] == 1.0
    assert light.readings()["machine.oxygen_pct"] < 35


def test_opened_past_its_scale_it_gives_more_gas_with_less_oxygen_and_warns():
    wide = machine().apply("flow_set", "meter", {"flush": True}, 0)

    assert wide.readings()["meter.flow_lpm"] == 8.0
    assert wide.readings()["meter.shown_lpm"] == 5.0
    assert wide.readings()["machine.oxygen_pct"] < 82
    assert wide.readings()["machine.alarms"] == 1.0
    assert wide.warnings()[0] == ("The concentrator 'machine' gives 73 % oxygen at 8 L/min: its alarm is on.")


def test_a_larger_machine_is_pure_where_the_smaller_one_ends():
    small, large = machine(5.0), machine(5.0, kind="large_concentrator")

    assert large.readings()["machine.oxygen_pct"] > small.readings()["machine.oxygen_pct"]
    assert large.apply("flow_set", "meter", {"flow_lpm": 10}, 0).readings()["meter.flow_lpm"] == 10.0


def test_a_spent_sieve_falls_below_the_alarm_at_a_flow_that_a_sound_one_bears():
    worn = machine(4.0).with_fault("sieve_worn", "machine", 0.6)

    assert machine(4.0).readings()["machine.alarms"] == 0.0
    assert worn.readings()["machine.alarms"] == 1.0
    assert worn.readings()["machine.oxygen_pct"] == pytest.approx(63, abs=3)
    assert worn.with_fault("sieve_worn", "machine", False) == machine(4.0)


def test_a_sieve_that_is_all_spent_gives_air():
    spent = machine(4.0).with_fault("sieve_worn", "machine", 1.0)

    assert spent.readings()["machine.oxygen_pct"] == pytest.approx(20.9, abs=0.1)


def test_a_blender_behind_a_sieve_that_is_all_spent_gives_air_too():
    spent = machine(4.0, device="high_flow_nasal_cannula").with_fault("sieve_worn", "machine", 1.0)

    assert spent.readings()["machine.oxygen_pct"] == pytest.approx(20.9, abs=0.1)
    assert spent.advance(60.0).readings()["device.supplied_o2_pct"] == pytest.approx(20.9, abs=0.1)


def test_its_low_pressure_drives_a_nebuliser_poorly_and_the_float_shows_it():
    on_machine = machine(10.0, kind="large_concentrator", device="nebuliser_mask")
    on_wall = equipment_from_setup(
        {
            "supplies": [{"id": "wall", "kind": "wall_oxygen", "flowmeter": {"id": "meter", "flow_lpm": 10}}],
            "devices": [{"id": "device", "kind": "nebuliser_mask", "connected_to": "meter"}],
        }
    )

    assert on_wall.readings()["device.flow_lpm"] == 10.0
    assert 4.0 < on_machine.readings()["device.flow_lpm"] < 6.0
    assert on_machine.readings()["meter.shown_lpm"] == on_machine.readings()["device.flow_lpm"]
    assert "less than the 6 L/min usual for a nebuliser mask." in on_machine.warnings()[0]


def test_a_minute_takes_its_litres_from_the_concentrator_and_no_other_supply():
    ledger = machine(4.0).advance(60.0).ledger

    assert ledger.from_concentrators_l == pytest.approx(4.0)
    assert ledger.to_patient_l == pytest.approx(4.0)
    assert ledger.from_wall_l == ledger.from_cylinders_l == 0.0


def test_a_machine_can_be_brought_and_started_by_hand():
    bare = equipment_from_setup({"devices": [{"id": "device", "kind": "nasal_cannula", "worn": False}]})
    for act, on, values in (
        ("concentrator_chosen", "machine", {"machine": "large_concentrator"}),
        ("concentrator_started", "machine", {}),
        ("flow_set", "machine", {"flow_lpm": 8}),
        ("tubing_connected", "device", {"from": "machine"}),
    ):
        bare = bare.apply(act, on, values, 0)

    assert bare.readings()["device.flow_lpm"] == 8.0
    assert bare.readings()["machine_flowmeter.shown_lpm"] == 8.0


@pytest.mark.parametrize(
    ("act", "on", "values", "sentence"),
    [
        (
            "flow_set",
            "meter",
            {"flow_lpm": 6},
            "6 L/min cannot be set on 'meter': its scale ends at 5 L/min.",
        ),
        ("valve_opened", "machine", {}, "'machine' is a concentrator, not a cylinder."),
        (
            "outlet_chosen",
            "machine",
            {"gas": "oxygen"},
            "'machine' is a concentrator, not an outlet in the wall.",
        ),
        (
            "flowmeter_fitted",
            "other",
            {"to": "machine"},
            "'machine' is a concentrator; its flowmeter is built in.",
        ),
        ("concentrator_started", "engine", {}, "There is no concentrator 'engine' here; there is 'machine'."),
        (
            "concentrator_chosen",
            "meter",
            {},
            "'meter' is the name of another part; give the concentrator its own.",
        ),
        (
            "concentrator_chosen",
            "machine",
            {"machine": "large_concentrator"},
            "'machine' is another machine; give the new one a name of its own.",
        ),
    ],
)
def test_what_hands_cannot_do_with_it_is_answered_with_a_sentence(act, on, values, sentence):
    with pytest.raises(ActRefused) as refusal:
        machine().apply(act, on, values, 0)

    assert str(refusal.value) == sentence


@pytest.mark.parametrize(
    ("cause", "on", "sentence"),
    [
        ("supply_empty", "machine", "'machine' is a concentrator and stores no gas; power_failed stops it."),
        ("power_failed", "wall", "'wall' is an outlet in the wall, not a concentrator."),
    ],
)
def test_a_cause_that_cannot_strike_it_is_answered_with_a_sentence(cause, on, sentence):
    equipment = machine().apply("outlet_chosen", "wall", {"gas": "oxygen"}, 0)

    with pytest.raises(ActRefused) as refusal:
        equipment.with_fault(cause, on)

    assert str(refusal.value) == sentence


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        (
            {"flowmeter": {"max_lpm": 15}},
            "The flowmeter of 'machine' is built in and ends at 5 L/min; "
            "leave out its max_lpm, or take another concentrator.",
        ),
        (
            {"flowmeter": {"style": "dial"}},
            "The flowmeter of 'machine' is built in, a float; leave out its style.",
        ),
        (
            {"flowmeter": {"flow_lpm": 8}},
            "'machine_flowmeter' is set to 8 L/min, but its scale ends at 5 L/min.",
        ),
        (
            {"valve_open": True},
            "'machine' has no field valve_open; its fields are flowmeter, id, kind, running.",
        ),
        ({"running": "yes"}, "'machine' has running 'yes'; write true or false."),
    ],
)
def test_a_set_up_that_cannot_be_is_answered_with_a_sentence(row, sentence):
    with pytest.raises(EquipmentError) as refusal:
        equipment_from_setup({"supplies": [{"id": "machine", "kind": "concentrator", **row}]})

    assert str(refusal.value) == sentence


@settings(max_examples=60, deadline=None)
@given(st.floats(0, 15), st.floats(0, 15), st.sampled_from(list(concentrator_kinds())), st.floats(0, 1))
def test_more_flow_is_never_purer_and_never_carries_less_oxygen(one_lpm, other_lpm, kind, worn):
    low, high = sorted((one_lpm, other_lpm))
    sieve = Concentrator("machine", kind, switched_on=True, running_s=600.0, worn_frac=worn)

    low_frac, high_frac = oxygen_frac(sieve, low), oxygen_frac(sieve, high)

    assert 0.2089 <= high_frac <= low_frac + 1e-12 <= 0.957
    assert low * low_frac <= high * high_frac + 1e-9


@settings(max_examples=60, deadline=None)
@given(st.floats(0, 700), st.floats(0, 1), st.floats(0.5, 5))
def test_time_may_be_cut_anywhere_while_it_warms(stretch_s, cut, flow_lpm):
    cold = machine(flow_lpm, running=False).apply("concentrator_started", "machine", {}, 0)

    whole = cold.advance(stretch_s)
    halves = cold.advance(cut * stretch_s).advance((1.0 - cut) * stretch_s)

    one, other = whole.concentrators()[0], halves.concentrators()[0]
    assert one.running_s == pytest.approx(other.running_s, abs=1e-6)
    assert whole.ledger.to_patient_l == pytest.approx(halves.ledger.to_patient_l, abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(st.floats(0, 1e6))
def test_every_step_of_warming_is_met_by_a_clock_that_rounds(now_s):
    equipment = machine(running=False).apply("concentrator_started", "machine", {}, 0)

    steps = 0
    while equipment.next_change_s() < inf and steps < 40:
        change_s = now_s + equipment.next_change_s()
        equipment, now_s = equipment.advance(change_s - now_s), change_s
        steps += 1

    assert steps == 20
