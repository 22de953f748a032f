"""Contract of causes: each strikes, is seen where a nurse would see it, and can be mended."""

import pytest

from tidalbay.equipment import CAUSES, ActRefused, equipment_from_setup


def set_up(kind="nasal_cannula", flow_lpm=4, **device):
    return equipment_from_setup(
        {
            "supplies": [
                {"id": "wall", "kind": "wall_oxygen", "flowmeter": {"id": "meter", "flow_lpm": flow_lpm}},
                {
                    "id": "bottle",
                    "kind": "cylinder",
                    "valve_open": True,
                    "flowmeter": {"id": "dial", "flow_lpm": 2},
                },
            ],
            "devices": [{"id": "device", "kind": kind, "connected_to": "meter", **device}],
        }
    )


def test_a_kinked_tube_sinks_the_float_and_freeing_it_lifts_it_again():
    healthy = set_up()

    kinked = healthy.with_fault("tube_kinked", "device")

    assert kinked.readings()["meter.shown_lpm"] == 0.0
    assert kinked.readings()["device.flow_lpm"] == 0.0
    assert kinked.warnings() == [
        "The tubing 'device_tubing' is kinked: no gas passes.",
        "No gas reaches the nasal cannula.",
    ]
    assert kinked.apply("tubing_freed", "device", {}, 0) == healthy


def test_behind_a_humidifier_a_kink_drives_the_flow_out_of_the_whistling_relief_valve():
    wet = set_up().apply("humidifier_fitted", "meter", {"water": "to_the_line"}, 0)

    kinked = wet.with_fault("tube_kinked", "device")

    assert kinked.readings()["meter.shown_lpm"] == 4.0
    assert kinked.readings()["device.flow_lpm"] == 0.0
    assert kinked.warnings()[0] == (
        "The tubing 'device_tubing' is kinked: no gas passes. The humidifier's relief valve whistles."
    )
    assert kinked.advance(60.0).ledger.to_room_l == pytest.approx(4.0 + 2.0)


def test_a_dial_goes_on_showing_its_flow_through_a_kink():
    on_bottle = equipment_from_setup(
        {
            "supplies": [
                {
                    "id": "bottle",
                    "kind": "cylinder",
                    "valve_open": True,
                    "flowmeter": {"id": "dial", "flow_lpm": 2},
                }
            ],
            "devices": [{"id": "device", "kind": "nasal_cannula", "connected_to": "dial"}],
        }
    )

    kinked = on_bottle.with_fault("tube_kinked", "device")

    assert kinked.readings()["dial.shown_lpm"] == 2.0
    assert kinked.readings()["bottle.flow_lpm"] == 0.0


@pytest.mark.parametrize("end", ["flowmeter", "device"])
def test_a_tube_that_came_off_lets_the_gas_into_the_room(end):
    off = set_up().with_fault("tube_disconnected", "device", end)

    minute = off.advance(60.0)

    assert off.readings()["meter.shown_lpm"] == 4.0
    assert off.controls(760.0).prong_flow_btps_ml_s == 0.0
    assert minute.ledger.to_room_l == pytest.approx(4.0 + 2.0)
    mended = off.apply("tubing_connected", "device", {"from": "meter", "to": "device"}, 0)
    assert mended.readings()["device.flow_lpm"] == 4.0


def test_a_leak_takes_its_share_of_the_flow():
    leaking = set_up().with_fault("tube_leaking", "device", 0.25)

    assert leaking.readings()["device.flow_lpm"] == 3.0
    assert leaking.readings()["meter.shown_lpm"] == 4.0


def test_a_shut_valve_and_an_empty_cylinder_look_different_on_the_gauge():
    healthy = set_up()

    shut = healthy.with_fault("valve_shut", "bottle")
    empty = healthy.with_fault("supply_empty", "bottle")

    assert shut.readings()["bottle.gauge_psi"] == pytest.approx(2000, rel=0.01)
    assert shut.advance(60.0).readings()["dial.flow_lpm"] == 0.0
    assert empty.readings()["bottle.gauge_psi"] == 0.0
    assert empty.readings()["dial.shown_lpm"] == 2.0


def test_a_pipeline_without_pressure_gives_nothing_until_it_is_back():
    healthy = set_up()

    dry = healthy.with_fault("supply_empty", "wall")

    assert dry.readings()["meter.shown_lpm"] == 0.0
    assert dry.warnings()[0] == "The outlet 'wall' has no pressure."
    assert dry.with_fault("supply_empty", "wall", False) == healthy


def test_a_missing_disc_opens_a_port_and_refitting_closes_it():
    healthy = set_up("non_rebreathing_mask", 12)

    ports = [
        healthy.with_fault("disc_missing", "device", missing).controls(760.0).port_ml_s_cmh2o
        for missing in (0, 1, 2)
    ]

    assert ports == [0.0, 400.0, 800.0]
    refitted = healthy.with_fault("disc_missing", "device", 2).apply("disc_refitted", "device", {}, 0)
    assert refitted == healthy


def test_a_bag_without_its_valve_lets_expired_gas_in():
    missing = set_up("non_rebreathing_mask", 12).with_fault("bag_valve_missing", "device")

    controls = missing.controls(760.0)
    assert (controls.bag_valve_present, controls.bag_valve_opening_cmh2o) == (0.0, 0.0)
    assert missing.warnings() == ["The valve at the bag of the non-rebreathing mask is missing."]


def test_an_emptied_bag_starts_empty_as_a_new_placing():
    full = set_up("non_rebreathing_mask", 12)

    emptied = full.with_fault("bag_emptied", "device")

    assert emptied.controls(760.0).bag_start_ml == 0.0
    assert emptied.controls(760.0).face_placing != full.controls(760.0).face_placing


@pytest.mark.parametrize(
    ("cause", "value", "share_inside"),
    [("prongs_out", None, 0.0), ("prongs_out", "one_out", 0.5), ("prongs_upside_down", None, 0.6)],
)
def test_prongs_that_slipped_bring_less_inside(cause, value, share_inside):
    healthy = set_up()

    slipped = healthy.with_fault(cause, "device", value).controls(760.0)

    assert slipped.prong_flow_btps_ml_s == pytest.approx(
        share_inside * healthy.controls(760.0).prong_flow_btps_ml_s
    )
    assert healthy.with_fault(cause, "device", value).with_fault(cause, "device", False) == healthy


def test_a_blocked_nostril_halves_the_nose_and_turns_half_the_flow_back():
    healthy = set_up()

    blocked = healthy.with_fault("one_nostril_blocked").controls(760.0)

    assert blocked.nose_open_frac == 0.5
    assert blocked.prong_flow_btps_ml_s == pytest.approx(blocked.jet_flow_btps_ml_s)
    assert blocked.jet_capture_frac == 0.6
    assert healthy.with_fault("one_nostril_blocked").with_fault("one_nostril_blocked", value=False) == healthy


def test_a_loose_strap_and_a_lifted_clip_open_the_edge():
    healthy = set_up("simple_mask", 8)

    assert healthy.with_fault("strap_loose", "device").controls(760.0).seal_ml_s_cmh2o == 300.0
    assert healthy.with_fault("nose_clip_lifted", "device").controls(760.0).seal_ml_s_cmh2o == 180.0


def test_covered_ports_entrain_less_and_setting_the_valve_again_clears_them():
    venturi = set_up("air_entrainment_mask", 4)

    covered = venturi.with_fault("ports_covered", "device", 0.75)

    assert covered.controls(760.0).face_entrainment_open_frac == 0.25
    assert covered.warnings() == ["The entrainment ports of the air-entrainment mask are covered."]
    assert covered.apply("entrainment_set", "device", {"pct": 28}, 0) == venturi


def test_a_device_that_came_off_is_off():
    off = set_up("simple_mask", 8).with_fault("device_off", "device")

    assert off.controls(760.0).face_volume_ml == 0.0


def test_a_probe_that_came_off_reads_nothing():
    assert set_up().with_fault("probe_off").controls(760.0).probe_on == 0.0


REFUSED = [
    (
        "drowsy",
        None,
        None,
        f"There is no cause 'drowsy'; the causes are {', '.join(CAUSES)}.",
    ),
    ("tube_kinked", "hose", None, "There is no tubing 'hose' here; there is 'device_tubing'."),
    (
        "tube_disconnected",
        "device",
        "roof",
        "Tubing comes off at the flowmeter or the device; it says 'roof'.",
    ),
    ("tube_leaking", "device", 3, "How much of it is a number from 0 to 1; it says 3."),
    ("valve_shut", "wall", None, "'wall' is an outlet in the wall, not a cylinder."),
    ("disc_missing", "device", None, "'device' is a nasal cannula and does not have discs."),
    ("bag_emptied", "device", None, "'device' is a nasal cannula and does not have a bag."),
    ("prongs_out", "device", "ear", "Prongs that are out are below, cheek or one_out; it says 'ear'."),
    ("ports_covered", "device", None, "'device' is a nasal cannula and does not have entrainment ports."),
    ("device_off", "tent", None, "There is no device 'tent' here; there is 'device'."),
]


@pytest.mark.parametrize(("cause", "on", "value", "sentence"), REFUSED, ids=[row[3][:45] for row in REFUSED])
def test_a_cause_with_nothing_to_strike_is_answered_with_a_sentence(cause, on, value, sentence):
    with pytest.raises(ActRefused) as refusal:
        set_up().with_fault(cause, on, value)

    assert str(refusal.value) == sentence


def test_more_discs_cannot_be_missing_than_the_mask_was_made_with():
    with pytest.raises(ActRefused) as refusal:
        set_up("non_rebreathing_mask", 12).with_fault("disc_missing", "device", 3)

    assert str(refusal.value) == "'device' is made with 2 discs; 3 of them cannot be missing."


def test_a_refusal_says_an_before_a_vowel():
    with pytest.raises(ActRefused) as refusal:
        set_up("air_entrainment_mask").with_fault("bag_emptied", "device")

    assert str(refusal.value) == "'device' is an air-entrainment mask and does not have a bag."
