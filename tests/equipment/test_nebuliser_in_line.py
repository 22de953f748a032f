"""Contract of the cup in line: on a tracheostomy tube, or in the wide tubing of a set whose gas it joins."""

import pytest

from tidalbay.equipment import ActRefused, driven_cup, equipment_from_setup

SUPPLIES = [
    {"id": "wall", "kind": "wall_oxygen", "flowmeter": {"id": "meter", "max_lpm": 70, "flow_lpm": 32}},
    {"id": "second", "kind": "wall_oxygen", "flowmeter": {"id": "second_meter", "flow_lpm": 8}},
    {"id": "air", "kind": "wall_air", "flowmeter": {"id": "air_meter", "flow_lpm": 8}},
]
HIGH_FLOW = {
    "id": "prongs",
    "kind": "high_flow_nasal_cannula",
    "connected_to": "meter",
    "oxygen_share_pct": 50,
}
CUP = {"id": "cup", "kind": "nebuliser_in_line", "connected_to": "air_meter"}
T_PIECE = {"id": "tee", "kind": "nebuliser_t_piece", "connected_to": "second_meter"}
NECK_MASK = {"id": "neck", "kind": "tracheostomy_mask", "connected_to": "meter"}
TRACHEOSTOMY = {"patient": {"tracheostomy": True}}


def room(*devices, **more):
    return equipment_from_setup({"supplies": SUPPLIES, "devices": list(devices), **more})


def done(equipment, *acts):
    for act_id, on, *values in acts:
        equipment = equipment.apply(act_id, on, values[0] if values else {}, 0)
    return equipment


def refusal(equipment, act, on, values=None):
    with pytest.raises(ActRefused) as refused:
        equipment.apply(act, on, values or {}, 0)
    return str(refused.value)


@pytest.mark.parametrize(("driven_by", "oxygen_frac"), [("air_meter", 0.209), ("second_meter", 1.0)])
def test_the_cups_gas_joins_the_sets_and_moves_its_share_of_oxygen(driven_by, oxygen_frac):
    without = room(HIGH_FLOW).controls(760.0)

    joined = room({**CUP, "connected_to": driven_by}, HIGH_FLOW).controls(760.0)

    # 32 L/min at 50 % and 8 L/min of the driving gas: what goes in comes out (Dalton's law).
    assert joined.prong_flow_btps_ml_s == pytest.approx(without.prong_flow_btps_ml_s * 40 / 32)
    assert joined.prong_oxygen_frac == pytest.approx((32 * 0.5 + 8 * oxygen_frac) / 40)


def test_a_share_that_moves_is_told_in_a_sentence_and_one_that_does_not_is_not():
    with_air = room(CUP, HIGH_FLOW)
    pure = room({**CUP, "connected_to": "second_meter"}, {**HIGH_FLOW, "oxygen_share_pct": 100})

    assert with_air.warnings() == [
        "The cup in the tubing of the high-flow nasal cannula adds 8 L/min of other gas: "
        "44 % oxygen reaches the patient and not 50 %."
    ]
    assert with_air.readings()["prongs.supplied_o2_pct"] == pytest.approx(44.2, abs=0.05)
    assert with_air.readings()["prongs.flow_lpm"] == 32.0
    assert pure.warnings() == []


def test_mist_goes_through_the_nose_with_all_the_gas_of_the_set():
    cup = driven_cup(room(CUP, HIGH_FLOW))

    assert (cup.by, cup.flow_lpm, cup.carrier_lpm, cup.reaches_frac) == ("nose", 8.0, 32.0, 1.0)
    assert cup.nose_frac(mouth_share=1.0) == 1.0
    assert cup.passes_um == pytest.approx(2.1 * (30 / 40) ** 0.5)


def test_mist_from_prongs_that_are_not_in_the_nose_reaches_less_of_it():
    def reaches(**more):
        return driven_cup(room(CUP, {**HIGH_FLOW, **more})).reaches_frac

    assert reaches(prongs="cheek") == 0.0
    assert reaches(prongs="one_out") == 0.5
    blocked = room(CUP, HIGH_FLOW, patient={"one_nostril_blocked": True})
    assert driven_cup(blocked).reaches_frac == 0.5


def test_prongs_that_come_off_take_the_cup_in_their_tubing_with_them():
    off = done(room(CUP, HIGH_FLOW), ("device_removed", "prongs"))

    assert off.wearing() == frozenset()
    assert driven_cup(off).reaches_frac == 0.0
    assert done(off, ("device_placed", "prongs")).wearing() == {
        "high_flow_nasal_cannula",
        "nebuliser_in_line",
    }


def test_a_cup_that_is_taken_out_leaves_the_set_as_it_was():
    before = room({**CUP, "worn": False}, HIGH_FLOW)

    there_and_back = done(before, ("device_placed", "cup"), ("device_removed", "cup"))

    assert there_and_back.controls(760.0) == before.controls(760.0)
    assert driven_cup(there_and_back).reaches_frac == 0.0
    assert "in-line nebuliser in the hand" in " ".join(there_and_back.describe())


def test_gas_of_a_cup_whose_prongs_are_off_is_counted_as_lost():
    on = room(CUP, HIGH_FLOW).advance(60.0)
    off = done(room(CUP, HIGH_FLOW), ("device_removed", "prongs")).advance(60.0)

    assert on.ledger.to_room_l == pytest.approx(8.0)  # the second oxygen outlet's, on which there is nothing
    assert off.ledger.to_patient_l == 0.0


def test_a_t_piece_is_breathed_through_the_neck_and_its_driving_gas_with_it():
    tee = room(T_PIECE, **TRACHEOSTOMY)

    controls, cup = tee.controls(760.0), driven_cup(tee)

    assert (controls.bypass_upper_airway, controls.face_oxygen_frac) == (1.0, 1.0)
    assert controls.draught_btps_ml_s == controls.seal_ml_s_cmh2o == 0.0
    assert (cup.by, cup.carrier_lpm, cup.passes_um, cup.reaches_frac) == ("neck", 0.0, 0.0, 0.85)
    assert not any("strap" in sentence for sentence in tee.describe())


def test_a_cup_goes_into_the_tubing_of_a_tracheostomy_mask_too():
    set_up = room(CUP, {**NECK_MASK, "fit": "loose"}, **TRACHEOSTOMY)

    cup = driven_cup(set_up)

    assert (cup.by, cup.carrier_lpm, cup.reaches_frac) == ("neck", 32.0, 0.37)
    assert set_up.controls(760.0).face_oxygen_frac == pytest.approx((32 * 1.0 + 8 * 0.209) / 40)


@pytest.mark.parametrize("kind", ["nebuliser_mask", "nebuliser_mouthpiece"])
def test_mist_over_a_face_that_does_not_breathe_reaches_nobody(kind):
    over_the_face = room({"id": "neb", "kind": kind, "connected_to": "meter"}, **TRACHEOSTOMY)

    assert driven_cup(over_the_face).reaches_frac == 0.0


def test_one_cup_is_fitted_with_each_of_the_four_things_that_it_can_end_in():
    cup = room({"id": "cup", "kind": "nebuliser_mask", "worn": False}, HIGH_FLOW, **TRACHEOSTOMY)

    def fitted(part):
        return done(cup, ("interface_fitted", "cup", {"part": part})).device("cup").kind

    assert [fitted(part) for part in ("mask", "mouthpiece", "t_piece", "in_line")] == [
        "nebuliser_mask",
        "nebuliser_mouthpiece",
        "nebuliser_t_piece",
        "nebuliser_in_line",
    ]


def test_what_is_seen_tells_which_tubing_the_cup_is_in():
    seen = {each["id"]: each for each in room(CUP, HIGH_FLOW).seen()["devices"]}

    assert (seen["cup"]["worn"], seen["cup"]["joined_to"]) == (True, "prongs")
    assert seen["prongs"]["cup_in_line"] is True
    assert "joined_to" not in seen["prongs"]


WIDE = "the wide tubing of a high-flow nasal cannula or tracheostomy mask"
BAG = " Between a bag and its patient valve no nebuliser is worked here: squeeze on without it."
SIMPLE = {"id": "mask", "kind": "simple_mask"}
HELD_CUP = {**CUP, "worn": False}
HELD_TEE = {**T_PIECE, "worn": False}
REFUSED = [
    ([HELD_CUP], {}, "cup", {}, f"'cup' goes into {WIDE}, and none is here."),
    (
        [HELD_CUP, {"id": "bag", "kind": "bag_valve_mask"}],
        {},
        "cup",
        {"to": "bag"},
        f"'cup' goes into {WIDE}; 'bag' is a bag-valve-mask.{BAG}",
    ),
    ([HELD_CUP, SIMPLE], {}, "cup", {"to": "mask"}, f"'cup' goes into {WIDE}; 'mask' is a simple face mask."),
    (
        [HELD_CUP, HIGH_FLOW],
        {},
        "cup",
        {"to": "set"},
        "There is no device 'set' here; there are 'cup', 'prongs'.",
    ),
    (
        [CUP, {**HELD_CUP, "id": "other", "connected_to": None}, HIGH_FLOW],
        {},
        "other",
        {},
        "'other' cannot go on: 'cup' is in the wide tubing already. Take that off first.",
    ),
    (
        [HELD_TEE],
        {},
        "tee",
        {},
        "'tee' is pushed onto a tracheostomy tube, and this patient has none; "
        "fit a mask or a mouthpiece to the cup instead.",
    ),
    (
        [HELD_TEE, NECK_MASK],
        TRACHEOSTOMY,
        "tee",
        {},
        "'tee' cannot go on: 'neck' is at the neck already. Take that off first.",
    ),
]


@pytest.mark.parametrize(("devices", "more", "on", "values", "sentence"), REFUSED)
def test_what_a_cup_cannot_be_fitted_to_is_answered_with_a_sentence(devices, more, on, values, sentence):
    assert refusal(room(*devices, **more), "device_placed", on, values) == sentence
