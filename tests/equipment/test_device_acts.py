"""Contract of devices and tubing under hands: foolish is possible, impossible is refused with a sentence."""

import pytest

from tidalbay.catalogue.acts import acts
from tidalbay.equipment import EQUIPMENT_ACTS, ActRefused, Equipment, equipment_from_setup


def done(equipment, *acts):
    for act_id, on, *values in acts:
        equipment = equipment.apply(act_id, on, values[0] if values else {}, 0)
    return equipment


def set_up(*devices, flow_lpm=10, kind="wall_oxygen", **more):
    supplies = [{"id": "wall", "kind": kind, "flowmeter": {"id": "meter", "flow_lpm": flow_lpm}}]
    return equipment_from_setup({"supplies": supplies, "devices": list(devices), **more})


CANNULA = {"id": "cannula", "kind": "nasal_cannula", "connected_to": "meter"}
RESERVOIR = {"id": "mask", "kind": "non_rebreathing_mask", "connected_to": "meter"}


def test_a_mask_goes_on_with_no_flow_and_the_world_answers():
    mask = set_up({"id": "mask", "kind": "simple_mask", "connected_to": "meter", "worn": False}, flow_lpm=0)

    worn = done(mask, ("device_placed", "mask"))

    assert worn.controls(760.0).face_volume_ml == 120.0
    assert worn.controls(760.0).face_flow_btps_ml_s == 0.0
    assert worn.warnings() == ["No gas reaches the simple face mask."]


def test_fifteen_litres_go_through_a_cannula_with_a_warning():
    flooded = done(set_up(CANNULA), ("flow_set", "meter", {"flow_lpm": 15}))

    assert flooded.readings()["cannula.flow_lpm"] == 15.0
    assert flooded.warnings() == ["15 L/min is more than the 6 L/min usual for a nasal cannula."]


def test_a_cannula_stays_on_under_a_mask():
    setup = {
        "supplies": [
            {"id": "air", "kind": "wall_air", "flowmeter": {"id": "air_meter", "flow_lpm": 8}},
            {"id": "wall", "kind": "wall_oxygen", "flowmeter": {"id": "meter", "flow_lpm": 2}},
        ],
        "devices": [CANNULA, {"id": "neb", "kind": "nebuliser_mask", "connected_to": "air_meter"}],
    }

    equipment = equipment_from_setup(setup)

    controls = equipment.controls(760.0)
    assert equipment.wearing() == {"nasal_cannula", "nebuliser_mask"}
    assert (controls.prong_oxygen_frac, controls.face_oxygen_frac) == (1.0, 0.209)
    assert controls.face_flow_btps_ml_s == pytest.approx(4.0 * controls.prong_flow_btps_ml_s)
    assert equipment.warnings() == []


def test_a_bag_is_filled_first_only_where_gas_arrives():
    dry = set_up({**RESERVOIR, "worn": False}, flow_lpm=0)

    tried = done(dry, ("bag_filled", "mask"), ("device_placed", "mask"))
    filled = done(
        dry, ("flow_set", "meter", {"flow_lpm": 12}), ("bag_filled", "mask"), ("device_placed", "mask")
    )

    assert tried.controls(760.0).bag_start_ml == 0.0
    assert filled.controls(760.0).bag_start_ml == filled.controls(760.0).bag_volume_ml > 0.0
    assert filled.warnings() == []
    assert tried.warnings() == [
        "No gas reaches the non-rebreathing mask.",
        "The bag of the non-rebreathing mask was not filled before it went on.",
    ]


def test_every_placing_of_a_mask_and_every_refill_on_the_face_has_a_number_of_its_own():
    mask = set_up(RESERVOIR)
    steps = [
        mask,
        mask := done(mask, ("bag_filled", "mask")),
        mask := done(mask, ("device_removed", "mask"), ("device_placed", "mask")),
        mask := done(mask, ("device_removed", "mask"), ("bag_filled", "mask"), ("device_placed", "mask")),
    ]

    placings = [step.controls(760.0).face_placing for step in steps]

    assert len(set(placings)) == 4
    assert 0.0 not in placings


def test_handling_a_mask_that_stays_on_the_face_is_no_new_placing():
    mask = set_up(RESERVOIR)

    handled = done(
        mask,
        ("device_placed", "mask"),
        ("strap_set", "mask", {"snugness": "tight"}),
        ("flow_set", "meter", {"flow_lpm": 15}),
    )

    assert handled.controls(760.0).face_placing == mask.controls(760.0).face_placing


def test_a_mask_off_the_face_is_no_mask():
    off = done(set_up(RESERVOIR), ("device_removed", "mask"))

    controls = off.controls(760.0)
    assert (controls.face_placing, controls.face_volume_ml, controls.bag_volume_ml) == (0.0, 0.0, 0.0)
    assert off.readings()["mask.flow_lpm"] == 10.0
    assert off.wearing() == frozenset()


def test_a_tighter_strap_and_a_pinched_clip_each_close_part_of_the_gap():
    mask = set_up({"id": "mask", "kind": "simple_mask", "connected_to": "meter", "nose_clip_pinched": False})

    seals = [
        done(mask, *acts).controls(760.0).seal_ml_s_cmh2o
        for acts in (
            [("strap_set", "mask", {"snugness": "loose"})],
            [],
            [("nose_clip_pinched", "mask")],
            [("nose_clip_pinched", "mask"), ("strap_set", "mask", {"snugness": "tight"})],
        )
    ]

    assert seals == [380.0, 180.0, 100.0, 20.0]


def test_prongs_that_point_the_wrong_way_lose_flow_and_turning_them_back_mends_it():
    cannula = set_up(CANNULA, flow_lpm=4)
    whole = cannula.controls(760.0)

    upward = done(cannula, ("prongs_turned", "cannula", {"way": "up"}))

    controls = upward.controls(760.0)
    assert controls.prong_flow_btps_ml_s == pytest.approx(0.6 * whole.prong_flow_btps_ml_s)
    assert controls.prong_flow_btps_ml_s + controls.jet_flow_btps_ml_s == pytest.approx(
        whole.prong_flow_btps_ml_s
    )
    assert upward.warnings() == ["The nasal cannula is worn with prongs curving up."]
    assert done(upward, ("prongs_turned", "cannula", {"way": "down"})).controls(760.0) == whole


def test_prongs_outside_the_nostrils_leave_the_nose_free():
    below = done(set_up(CANNULA), ("prongs_turned", "cannula", {"way": "below"})).controls(760.0)

    assert below.nostril_gap_ml_s_cmh2o == 0.0
    assert below.prong_flow_btps_ml_s == 0.0
    assert below.jet_flow_btps_ml_s > 0.0


def test_placing_a_cannula_again_sites_prongs_that_had_slipped():
    slipped = set_up(CANNULA).with_fault("prongs_out", "cannula", "cheek")

    assert done(slipped, ("device_placed", "cannula")).controls(760.0) == set_up(CANNULA).controls(760.0)


def test_the_entrainment_valve_sets_the_ratio_and_the_printed_flow_is_the_least():
    venturi = set_up({"id": "mask", "kind": "air_entrainment_mask", "connected_to": "meter"}, flow_lpm=4)

    sixty = done(venturi, ("entrainment_set", "mask", {"pct": 60}))

    assert venturi.controls(760.0).face_entrainment_ratio == pytest.approx(10.1, abs=0.05)
    assert venturi.warnings() == []
    assert sixty.controls(760.0).face_entrainment_ratio == pytest.approx(1.02, abs=0.005)
    assert sixty.warnings() == ["4 L/min is less than the 15 L/min usual for an air-entrainment mask."]


def test_a_blending_device_draws_only_its_share_from_the_oxygen_supply():
    setup = {
        "supplies": [
            {"id": "wall", "kind": "wall_oxygen", "flowmeter": {"id": "m", "max_lpm": 70, "flow_lpm": 50}}
        ],
        "devices": [{"id": "prongs", "kind": "high_flow_nasal_cannula", "connected_to": "m"}],
    }

    blended = done(equipment_from_setup(setup), ("oxygen_share_set", "prongs", {"pct": 60}))

    controls = blended.controls(760.0)
    drawn_lpm = blended.readings()["wall.flow_lpm"]
    assert controls.prong_oxygen_frac == pytest.approx(0.60)
    assert controls.nostril_gap_ml_s_cmh2o == 260.0
    assert drawn_lpm + 0.209 * (50 - drawn_lpm) == pytest.approx(0.60 * 50)
    assert blended.readings()["prongs.oxygen_share_pct"] == pytest.approx(60)


def test_a_blending_device_empties_a_cylinder_by_its_share_alone():
    bottle = {
        "id": "bottle",
        "kind": "cylinder",
        "valve_open": True,
        "flowmeter": {"id": "m", "max_lpm": 70, "flow_lpm": 50},
    }
    prongs = {"id": "prongs", "kind": "high_flow_nasal_cannula", "connected_to": "m", "oxygen_share_pct": 40}

    minute = equipment_from_setup({"supplies": [bottle], "devices": [prongs]}).advance(60.0)

    # x + 0.209 (50 - x) = 0.40 * 50
    assert minute.ledger.from_cylinders_l == pytest.approx(50 * (0.40 - 0.209) / 0.791)


def test_gas_that_reaches_a_device_in_the_hand_is_gas_into_the_room():
    in_the_hand = set_up({**CANNULA, "worn": False}, flow_lpm=4).advance(60.0)
    worn = set_up(CANNULA, flow_lpm=4).advance(60.0)

    assert (in_the_hand.ledger.to_patient_l, in_the_hand.ledger.to_room_l) == (0.0, pytest.approx(4.0))
    assert (worn.ledger.to_patient_l, worn.ledger.to_room_l) == (pytest.approx(4.0), 0.0)


def test_masks_keep_the_shield_against_draught_of_their_row():
    assert set_up({"id": "m", "kind": "simple_mask"}).controls(760.0).draught_shield_btps_ml_s == 200.0


def test_an_act_that_names_no_flowmeter_means_the_one_that_feeds_something():
    setup = {
        "supplies": [
            {"id": "wall", "kind": "wall_oxygen", "flowmeter": {"id": "meter"}},
            {"id": "air", "kind": "wall_air", "flowmeter": {"id": "air_meter"}},
        ],
        "devices": [CANNULA],
    }

    set_on = done(equipment_from_setup(setup), ("flow_set", None, {"flow_lpm": 3}))

    assert set_on.readings()["meter.set_lpm"] == 3.0
    assert set_on.readings()["air_meter.set_lpm"] == 0.0


def test_prongs_beside_a_mask_are_no_placing_of_the_mask():
    mask = set_up(RESERVOIR, {"id": "cannula", "kind": "nasal_cannula", "worn": False})

    both = done(mask, ("device_placed", "cannula"), ("device_removed", "mask"), ("device_placed", "mask"))

    assert both.controls(760.0).face_placing == mask.controls(760.0).face_placing + 1.0


def test_disconnecting_lets_a_filled_bag_down():
    filled = done(set_up({**RESERVOIR, "worn": False}), ("bag_filled", "mask"))

    off = done(filled, ("tubing_disconnected", "mask"), ("device_placed", "mask"))

    assert off.controls(760.0).bag_start_ml == 0.0


def test_warnings_name_a_low_cylinder_a_missing_disc_a_free_end_and_a_leak():
    setup = {
        "supplies": [
            {
                "id": "bottle",
                "kind": "cylinder",
                "gauge_psi": 150,
                "valve_open": True,
                "flowmeter": {"id": "dial", "flow_lpm": 12},
            },
            {"id": "wall", "kind": "wall_oxygen", "flowmeter": {"id": "meter", "flow_lpm": 2}},
        ],
        "devices": [{**RESERVOIR, "connected_to": "dial", "port_discs": 0, "leak_frac": 0.1}, CANNULA],
    }

    warned = equipment_from_setup(setup).with_fault("tube_disconnected", "cannula", "device")

    assert warned.warnings() == [
        "The cylinder 'bottle' is below its reserve of 200 psi.",
        "The tubing 'cannula_tubing' ends in the room: gas is lost.",
        "The tubing 'mask_tubing' leaks 10 % of its flow.",
        "The nasal cannula is connected to nothing.",
        "No gas reaches the nasal cannula.",
        "2 of the discs of the non-rebreathing mask are missing.",
    ]


def test_a_mask_at_the_neck_takes_the_upper_airway_out_of_the_path():
    neck = set_up({"id": "mask", "kind": "tracheostomy_mask", "connected_to": "meter"})

    controls = neck.controls(760.0)
    assert controls.bypass_upper_airway == 1.0
    assert controls.face_volume_ml == 100.0


def test_a_mask_over_the_face_of_a_patient_with_a_tracheostomy_is_breathed_by_nobody():
    face = set_up(RESERVOIR, patient={"tracheostomy": True})

    controls = face.controls(760.0)
    assert (controls.bypass_upper_airway, controls.face_volume_ml) == (1.0, 0.0)
    assert face.warnings() == [
        "The non-rebreathing mask is over a face that breathes through a tracheostomy."
    ]


def test_a_mouthpiece_holds_the_mouth_open_and_shuts_the_nose():
    mouthpiece = set_up({"id": "neb", "kind": "nebuliser_mask", "connected_to": "meter", "worn": False})

    breathed = done(
        mouthpiece, ("interface_fitted", "neb", {"part": "mouthpiece"}), ("device_placed", "neb")
    ).controls(760.0)

    assert (breathed.mouth_held_frac, breathed.nose_open_frac) == (1.0, 0.0)
    assert breathed.face_volume_ml == 50.0


def test_the_probe_goes_on_and_off_with_the_delay_of_its_site():
    bare = Equipment.bare()

    ear = done(bare, ("probe_placed", None, {"site": "ear"})).controls(760.0)
    off = done(bare, ("probe_removed", None)).controls(760.0)

    assert (ear.probe_on, ear.probe_delay_s) == (1.0, 8.0)
    assert off.probe_on == 0.0


@pytest.mark.parametrize(
    "act", ["order_read", "gas_proved", "flaps_checked", "seal_checked", "gauge_read", "charted", "warmed_up"]
)
def test_an_act_that_changes_nothing_here_gives_the_same_equipment_back(act):
    equipment = set_up(CANNULA)

    assert equipment.apply(act, None, {}, 1000) is equipment


def test_a_bag_holds_more_once_its_gas_is_warm_and_wet():
    # 750 mL at 21 °C, dry, at 760 mmHg is 750 x 310.15/294.15 x 760/713 at body conditions (Charles, Dalton).
    sea = set_up(RESERVOIR).controls(760.0)

    assert sea.bag_volume_ml == pytest.approx(842.9, abs=0.1)


REFUSED = [
    (
        "device_placed",
        "second",
        {},
        "'second' cannot go on: 'mask' is on the face already. Take that off first.",
    ),
    (
        "device_placed",
        "prongs",
        {},
        "'prongs' cannot go on: there are prongs in the nose already, 'cannula'. Take that off first.",
    ),
    ("device_placed", "neb", {}, "'neb' cannot go on: 'mask' is on the face already. Take that off first."),
    (
        "device_placed",
        "tent",
        {},
        "There is no device 'tent' here; there are 'cannula', 'mask', 'neb', 'prongs', 'second'.",
    ),
    ("device_placed", None, {}, "There are several: 'neb', 'prongs', 'second'. Say which device is meant."),
    (
        "device_chosen",
        "meter",
        {"device": "simple_mask"},
        "'meter' is the name of another part; give the new device its own.",
    ),
    ("tubing_connected", "second", {"from": "tap"}, "There is no 'tap' here to connect tubing to."),
    (
        "tubing_connected",
        None,
        {"from": "meter", "to": "tent"},
        "There is no 'tent' here to connect tubing to.",
    ),
    ("tubing_disconnected", "second", {}, "There is no tubing on 'second'."),
    ("tubing_freed", "hose", {}, "There is no tubing 'hose' here; there is 'cannula_tubing'."),
    ("flow_set", "second", {"flow_lpm": 2}, "'second' is not connected to a flowmeter."),
    ("bag_filled", "cannula", {}, "'cannula' is a nasal cannula and does not have a reservoir bag."),
    ("prongs_turned", "mask", {"way": "up"}, "'mask' is a simple face mask and does not have prongs."),
    (
        "prongs_turned",
        "cannula",
        {"way": "sideways"},
        "prongs_turned needs way as one of down, up, one_out, below, cheek; it says 'sideways'.",
    ),
    (
        "strap_set",
        "mask",
        {"snugness": "cosy"},
        "A strap is loose, snug, tight, or a number from 0 to 1; it says 'cosy'.",
    ),
    ("nose_clip_pinched", "cannula", {}, "'cannula' is a nasal cannula and does not have a nose clip."),
    ("disc_refitted", "mask", {}, "'mask' is a simple face mask and does not have discs."),
    (
        "entrainment_set",
        "mask",
        {"pct": 28},
        "'mask' is a simple face mask and does not have an entrainment valve.",
    ),
    ("entrainment_set", None, {"pct": 28}, "No device here has an entrainment valve."),
    ("oxygen_share_set", "prongs", {"pct": 5}, "5 % cannot be set on 'prongs': it blends from 21 to 100 %."),
    (
        "interface_fitted",
        "mask",
        {"part": "mouthpiece"},
        "'mask' is a simple face mask and does not have a nebuliser cup.",
    ),
    (
        "probe_placed",
        None,
        {"site": "nose"},
        "probe_placed needs site as one of ear, finger, toe; it says 'nose'.",
    ),
]


@pytest.mark.parametrize(("act", "on", "values", "sentence"), REFUSED, ids=[row[3][:45] for row in REFUSED])
def test_what_hands_cannot_do_is_answered_with_a_sentence(act, on, values, sentence):
    equipment = set_up(
        CANNULA,
        {"id": "mask", "kind": "simple_mask"},
        {"id": "second", "kind": "simple_mask", "worn": False},
        {"id": "prongs", "kind": "high_flow_nasal_cannula", "worn": False},
        {"id": "neb", "kind": "nebuliser_mouthpiece", "worn": False},
    )

    with pytest.raises(ActRefused) as refusal:
        equipment.apply(act, on, values, 0)

    assert str(refusal.value) == sentence


def test_a_valve_that_the_mask_does_not_come_with_is_refused():
    venturi = set_up({"id": "mask", "kind": "air_entrainment_mask", "connected_to": "meter"})

    with pytest.raises(ActRefused) as refusal:
        done(venturi, ("entrainment_set", "mask", {"pct": 29}))

    assert str(refusal.value) == "'mask' has no valve for 29 %; its valves are 24, 28, 31, 35, 40, 50, 60 %."


def test_every_act_answered_here_is_an_act_of_the_catalogue():
    assert set(acts()) >= EQUIPMENT_ACTS
