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


def test_another_valve_than_the_ordered_one_leaves_the_flow_as_it_was():
    venturi = set_up("air_entrainment_mask", 4)

    wrong = venturi.with_fault("valve_exchanged", "device", 60)

    assert wrong.readings()["device.entrainment_pct"] == 60.0
    assert "valve for 60 %" in wrong.describe()[1]
    assert wrong.warnings() == ["4 L/min is less than the 15 L/min usual for an air-entrainment mask."]
    assert wrong.apply("entrainment_set", "device", {"pct": 28}, 0) == venturi


def test_under_a_loose_lid_part_of_the_gas_hisses_out_and_the_float_does_not_tell():
    wet = set_up().apply("humidifier_fitted", "meter", {"water": "to_the_line"}, 0)

    loose = wet.with_fault("humidifier_loose", "meter", 0.5)

    assert loose.readings()["meter.shown_lpm"] == 4.0
    assert loose.readings()["device.flow_lpm"] == 2.0
    assert loose.readings()["meter.hisses"] == 1.0
    assert "humidifier with its lid loose and hissing" in loose.describe()[1]
    assert loose.warnings() == [
        "The lid of the humidifier on 'meter' is loose: 50 % of the gas escapes.",
    ]
    assert loose.advance(60.0).ledger.to_patient_l == pytest.approx(2.0)
    assert loose.apply("humidifier_fitted", "meter", {}, 0) == wet
    assert loose.apply("humidifier_removed", "meter", {}, 0).readings()["device.flow_lpm"] == 4.0


@pytest.mark.parametrize(("lid", "bubbles", "relief"), [("tight", 0.0, 1.0), ("loose", 1.0, 0.0)])
def test_pinching_the_outlet_tells_a_tight_humidifier_from_a_loose_one(lid, bubbles, relief):
    # Tight: bubbling stops and the relief valve sounds; loose: it bubbles on. Common practice, no source.
    wet = set_up().apply("humidifier_fitted", "meter", {"water": "to_the_line"}, 0)
    humidifier = wet.with_fault("humidifier_loose", "meter") if lid == "loose" else wet

    pinched = humidifier.with_fault("tube_kinked", "device")

    assert humidifier.readings()["meter.bubbles"] == 1.0
    assert pinched.readings()["meter.bubbles"] == bubbles
    assert pinched.readings()["meter.relief_sounds"] == relief


def test_a_humidifier_without_water_does_not_bubble():
    dry = set_up().apply("humidifier_fitted", "meter", {"water": "none"}, 0)

    assert dry.readings()["meter.bubbles"] == 0.0
    assert dry.readings()["device.flow_lpm"] == 4.0


def test_water_in_the_tubing_gurgles_and_holds_gas_back_until_it_is_drained():
    healthy = set_up("high_flow_nasal_cannula", 12)

    wet = healthy.with_fault("tube_wet", "device", 0.5)

    assert 0.5 < wet.readings()["device.flow_lpm"] / 12.0 < 0.9
    assert wet.readings()["meter.shown_lpm"] == wet.readings()["device.flow_lpm"]
    assert wet.readings()["device_tubing.gurgles"] == 1.0
    assert "water in it, gurgling, the float dancing" in ", ".join(wet.describe())
    assert "Water lies in the tubing 'device_tubing'." in wet.warnings()
    assert wet.apply("tubing_drained", "device", {}, 0) == healthy


def test_tubing_that_was_put_on_air_keeps_its_flow_and_loses_its_oxygen():
    both = equipment_from_setup(
        {
            "supplies": [
                {"id": "wall", "kind": "wall_oxygen", "flowmeter": {"id": "meter", "flow_lpm": 6}},
                {"id": "air", "kind": "wall_air", "flowmeter": {"id": "air_meter"}},
            ],
            "devices": [{"id": "device", "kind": "simple_mask", "connected_to": "meter"}],
        }
    )

    on_air = both.with_fault("tube_on_air", "device")

    assert on_air.readings()["air_meter.shown_lpm"] == 6.0
    assert on_air.controls(760.0).face_oxygen_frac == 0.209
    assert on_air.describe()[0] == (
        "Medical-air outlet, flowmeter at 6 L/min, tubing, simple face mask on the face, strap snug."
    )
    assert on_air.warnings() == [
        "The simple face mask is on the medical-air outlet: it brings no more oxygen than the room."
    ]
    assert on_air.readings()["meter.hisses"] == 1.0
    back = on_air.with_fault("tube_on_air", "device", False)
    assert back.controls(760.0) == both.controls(760.0)
    by_hand = on_air.apply("tubing_connected", "device", {"from": "meter"}, 0)
    assert by_hand.controls(760.0) == both.controls(760.0)


def test_a_float_that_hangs_shows_what_it_showed_whatever_flows():
    hanging = set_up().with_fault("float_stuck", "meter")

    turned_off = hanging.apply("flow_set", "meter", {"flow_lpm": 0}, 0)

    assert turned_off.readings()["meter.shown_lpm"] == 4.0
    assert turned_off.readings()["device.flow_lpm"] == 0.0
    assert turned_off.warnings()[0] == (
        "The float of 'meter' hangs in its tube: it does not follow the knob."
    )
    assert turned_off.apply("flowmeter_fitted", "meter", {}, 0).readings()["meter.shown_lpm"] == 0.0


def test_a_knob_that_was_knocked_stands_where_it_was_knocked():
    knocked = set_up().with_fault("flow_knocked", "meter", 0.5)

    assert knocked.readings()["meter.shown_lpm"] == 0.5
    assert set_up().with_fault("flow_knocked", "meter").readings()["meter.shown_lpm"] == 0.0


def test_a_gauge_that_hangs_promises_gas_that_is_gone():
    hanging = set_up().with_fault("gauge_stuck", "bottle")

    empty = hanging.with_fault("supply_empty", "bottle")

    assert empty.readings()["bottle.gauge_psi"] == pytest.approx(2000, rel=0.01)
    assert empty.readings()["dial.shown_lpm"] == 2.0
    assert empty.readings()["bottle.flow_lpm"] == 0.0
    assert empty.warnings()[0] == "The gauge of 'bottle' hangs: it does not follow the pressure."
    assert empty.with_fault("gauge_stuck", "bottle", False).readings()["bottle.gauge_psi"] == 0.0


def test_a_hanging_gauge_stays_with_its_regulator_until_a_sound_one_is_fitted():
    hanging = set_up().with_fault("gauge_stuck", "bottle").apply("valve_closed", "bottle", {}, 0)

    changed = hanging.apply("cylinder_changed", "bottle", {"gauge_psi": 500}, 0)
    sound = changed.apply("regulator_fitted", "bottle", {}, 0)

    assert changed.readings()["bottle.gauge_psi"] == pytest.approx(2000, rel=0.01)
    assert sound.readings()["bottle.gauge_psi"] == 0.0
    opened = sound.apply("valve_opened", "bottle", {}, 0)
    assert opened.readings()["bottle.gauge_psi"] == pytest.approx(500, rel=0.01)


def test_a_leak_at_the_regulator_hisses_and_empties_the_cylinder_sooner():
    healthy = set_up()
    leaking = healthy.with_fault("regulator_leaking", "bottle", 10)

    hour = leaking.advance(1800.0)

    assert leaking.readings()["bottle.hisses"] == 1.0
    assert leaking.readings()["dial.flow_lpm"] == 2.0
    assert hour.ledger.vented_l == pytest.approx(300.0)
    assert hour.ledger.from_cylinders_l == pytest.approx(60.0)
    assert leaking.warnings() == ["Gas hisses out where the regulator sits on 'bottle'."]
    assert "hissing where the regulator sits" in leaking.describe()[0]
    with pytest.raises(ActRefused) as refusal:
        leaking.apply("regulator_fitted", "bottle", {}, 0)
    assert str(refusal.value) == (
        "The regulator on 'bottle' is under pressure and does not come off; shut the valve first."
    )
    mended = leaking.apply("valve_closed", "bottle", {}, 0).apply("regulator_fitted", "bottle", {}, 0)
    assert mended.apply("valve_opened", "bottle", {}, 0).warnings() == []


def test_a_twisted_bag_hangs_flat_and_its_gas_goes_straight_into_the_mask():
    full = set_up("non_rebreathing_mask", 12)

    twisted = full.with_fault("bag_twisted", "device")

    controls = twisted.controls(760.0)
    assert (controls.bag_start_ml, controls.bag_flow_btps_ml_s) == (0.0, 0.0)
    assert controls.face_flow_btps_ml_s == full.controls(760.0).bag_flow_btps_ml_s
    assert controls.face_placing != full.controls(760.0).face_placing
    assert "bag twisted at its neck and flat" in twisted.describe()[1]
    assert twisted.warnings() == [
        "The bag of the non-rebreathing mask is twisted at its neck: gas passes it by."
    ]
    filled = twisted.apply("bag_filled", "device", {}, 0)
    assert filled.warnings() == []
    assert filled.controls(760.0).bag_start_ml == full.controls(760.0).bag_start_ml


def test_a_flap_that_does_not_open_keeps_the_bag_full_and_the_gas_away():
    full = set_up("non_rebreathing_mask", 12)

    stuck = full.with_fault("bag_valve_stuck", "device")

    controls = stuck.controls(760.0)
    assert controls.bag_valve_ml_s_cmh2o < 1e-6
    assert controls.bag_spills_to_room == 1.0
    assert stuck.readings()["device.hisses"] == 1.0
    assert "bag tight and still, gas hissing at its connector" in stuck.describe()[1]
    assert stuck.warnings() == [
        "The valve at the bag of the non-rebreathing mask does not open: no gas comes from the bag."
    ]
    assert stuck.apply("disc_refitted", "device", {}, 0) == full


@pytest.mark.parametrize(
    ("fault", "hisses"),
    [
        (("tube_disconnected", "device", "device"), "device_tubing"),
        (("tube_disconnected", "device", "flowmeter"), "meter"),
        (("tube_leaking", "device", 0.3), "device_tubing"),
    ],
)
def test_gas_that_escapes_is_heard_where_it_escapes(fault, hisses):
    healthy = set_up()

    heard = healthy.with_fault(*fault)

    assert f"{hisses}.hisses" not in healthy.readings()
    assert heard.readings()[f"{hisses}.hisses"] == 1.0
    silent = heard.apply("flow_set", "meter", {"flow_lpm": 0}, 0)
    assert f"{hisses}.hisses" not in silent.readings()


def test_a_kinked_tube_is_silent():
    kinked = set_up().with_fault("tube_kinked", "device").readings()

    assert not {"meter.hisses", "device_tubing.hisses"} & set(kinked)


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
    ("humidifier_loose", "meter", None, "There is no humidifier on 'meter'."),
    ("float_stuck", "dial", None, "'dial' is a dial and has no float that could hang."),
    ("tube_on_air", "device", None, "There is no flowmeter for air here that 'device_tubing' could sit on."),
    ("flow_knocked", "meter", 40, "How much of it is a number from 0 to 15 L/min; it says 40."),
    ("power_failed", "wall", None, "'wall' is an outlet in the wall, not a concentrator."),
    ("sieve_worn", None, None, "There is no concentrator here yet."),
    ("bag_twisted", "device", None, "'device' is a nasal cannula and does not have a bag."),
    ("bag_valve_stuck", "device", None, "'device' is a nasal cannula and does not have a valve at a bag."),
    (
        "valve_exchanged",
        "device",
        40,
        "'device' is a nasal cannula and does not have an entrainment valve.",
    ),
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


@pytest.mark.parametrize("cause", ["regulator_leaking", "gauge_stuck"])
def test_a_cylinder_without_regulator_has_neither_leak_nor_gauge(cause):
    bare = equipment_from_setup({"supplies": [{"id": "bottle", "kind": "cylinder"}]})

    with pytest.raises(ActRefused) as refusal:
        bare.with_fault(cause, "bottle")

    assert str(refusal.value).startswith("There is no regulator on 'bottle'")


def test_a_valve_that_is_not_made_is_refused_with_those_that_are():
    with pytest.raises(ActRefused) as refusal:
        set_up("air_entrainment_mask").with_fault("valve_exchanged", "device", 29)

    assert str(refusal.value) == (
        "'device' has no valve for 29 %; its valves are 24, 28, 31, 35, 40, 50, 60 %."
    )


def test_a_refusal_says_an_before_a_vowel():
    with pytest.raises(ActRefused) as refusal:
        set_up("air_entrainment_mask").with_fault("bag_emptied", "device")

    assert str(refusal.value) == "'device' is an air-entrainment mask and does not have a bag."
