"""Contract of a case's set-up: what it may say, what is taken for granted, what cannot be."""

import pytest

from tidalbay.equipment import Equipment, EquipmentError, equipment_from_setup

WALL = {"id": "wall", "kind": "wall_oxygen", "flowmeter": {"id": "meter", "max_lpm": 15, "flow_lpm": 4}}
AIR = {"id": "air", "kind": "wall_air", "flowmeter": {"id": "air_meter"}}
BOTTLE = {"id": "bottle", "kind": "cylinder", "size": "E", "gauge_psi": 1000, "flowmeter": {"id": "dial"}}
CANNULA = {"id": "cannula", "kind": "nasal_cannula", "connected_to": "meter"}
MASK = {"id": "mask", "kind": "non_rebreathing_mask", "connected_to": "dial", "worn": False}


def test_nothing_set_up_is_a_bare_face_in_room_air():
    equipment = equipment_from_setup({})

    assert equipment == Equipment.bare()
    assert equipment.wearing() == frozenset()
    assert equipment.describe() == []
    assert equipment.next_change_s() == float("inf")


def test_the_device_none_is_no_device():
    equipment = equipment_from_setup({"supplies": [WALL], "devices": [{"id": "face", "kind": "none"}]})

    assert equipment.devices == ()


def test_a_path_is_told_from_the_outlet_to_the_face():
    equipment = equipment_from_setup({"supplies": [WALL], "devices": [CANNULA]})

    assert equipment.describe() == [
        "Oxygen outlet, flowmeter at 4 L/min, tubing, nasal cannula on the face, prongs curving down."
    ]
    assert equipment.warnings() == []


def test_several_supplies_and_devices_stand_side_by_side():
    equipment = equipment_from_setup({"supplies": [WALL, AIR, BOTTLE], "devices": [CANNULA, MASK]})

    assert equipment.describe() == [
        "Medical-air outlet, flowmeter at 0 L/min, nothing connected.",
        "Oxygen cylinder of size E, valve shut, gauge at 0 psi, flow dial at 0 L/min, tubing, "
        "non-rebreathing mask in the hand, 2 of 2 port discs, bag not filled first.",
        "Oxygen outlet, flowmeter at 4 L/min, tubing, nasal cannula on the face, prongs curving down.",
    ]
    assert equipment.wearing() == {"nasal_cannula"}


@pytest.mark.parametrize(("unit", "value"), [("psi", 1000), ("bar", 68.94760), ("kpa", 6894.760)])
def test_a_gauge_may_be_given_in_any_of_three_units(unit, value):
    bottle = {"id": "bottle", "kind": "cylinder", f"gauge_{unit}": value, "valve_open": True, "flowmeter": {}}

    readings = equipment_from_setup({"supplies": [bottle]}).readings()

    assert readings["bottle.gauge_psi"] == pytest.approx(1000, rel=1e-6)
    assert readings["bottle.gauge_bar"] == pytest.approx(68.9476, rel=1e-6)


def test_what_is_worn_at_the_start_is_worn_well_unless_the_case_says_otherwise():
    devices = [{"id": "mask", "kind": "non_rebreathing_mask", "connected_to": "meter"}]

    controls = equipment_from_setup({"supplies": [WALL], "devices": devices}).controls(760.0)

    assert controls.seal_ml_s_cmh2o == 100.0
    assert controls.bag_start_ml == controls.bag_volume_ml > 0.0
    assert controls.bag_valve_present == 1.0
    assert controls.port_ml_s_cmh2o == 0.0


REFUSED = [
    (
        {"tent": 1},
        "The set-up has no field tent; its fields are altitude_m, barometric_mmhg, "
        "devices, patient, probe, supplies.",
    ),
    ({"supplies": {"wall": 1}}, "The set-up's supplies are a list, each with id and kind."),
    ({"supplies": [{"kind": "wall_oxygen"}]}, "A supply needs an id, a word of its own; it says None."),
    (
        {"supplies": [{"id": "w", "kind": "pond"}]},
        "'w' is of kind 'pond'; a supply is wall_oxygen, wall_air, cylinder, "
        "concentrator, large_concentrator.",
    ),
    ({"supplies": [WALL, WALL]}, "Two parts are called 'wall'; give each its own id."),
    (
        {"supplies": [{**WALL, "size": "E"}]},
        "'wall' has no field size; its fields are flowmeter, id, kind, pressurised.",
    ),
    (
        {"supplies": [{**WALL, "flowmeter": {"max_lpm": 15, "flow_lpm": 40}}]},
        "'wall_flowmeter' is set to 40 L/min, but its scale ends at 15 L/min.",
    ),
    (
        {"supplies": [{**WALL, "flowmeter": {"flow_lpm": -1}}]},
        "'wall_flowmeter' has flow_lpm -1; write a number of 0 or more.",
    ),
    (
        {"supplies": [{**WALL, "flowmeter": {"max_lpm": 1e9}}]},
        "'wall_flowmeter' has max_lpm 1000000000.0; write a number from 0.1 to 100.",
    ),
    (
        {"supplies": [{**WALL, "flowmeter": 4}]},
        "The flowmeter of 'wall' is 4; write its id and max_lpm.",
    ),
    (
        {"supplies": [{**WALL, "flowmeter": {"style": "bubble"}}]},
        "'wall_flowmeter' has style 'bubble'; a flowmeter is float or dial.",
    ),
    (
        {"supplies": [{"id": "b", "kind": "cylinder", "size": "Q"}]},
        "'b': There is no cylinder size 'Q'; the sizes are D, E, G, H, M, UK-C, UK-D, UK-E, UK-F, UK-G, "
        "UK-J, CD, HX, ZX.",
    ),
    (
        {"supplies": [{"id": "b", "kind": "cylinder", "gauge_psi": 9000}]},
        "'b' is a size E cylinder, filled to about 2000 psi; 9000 psi is more than it can hold.",
    ),
    (
        {"supplies": [{"id": "b", "kind": "cylinder", "gauge_psi": -5}]},
        "'b': gauge_psi is -5; a pressure is a number of 0 or more.",
    ),
    (
        {"supplies": [{"id": "b", "kind": "cylinder", "gauge_psi": 500, "gauge_bar": 30}]},
        "'b': The pressure is given twice, as gauge_psi and gauge_bar.",
    ),
    (
        {"supplies": [{"id": "b", "kind": "cylinder", "valve_open": "yes"}]},
        "'b' has valve_open 'yes'; write true or false.",
    ),
    (
        {"devices": [{"id": "t", "kind": "tent"}]},
        "There is no device 'tent'; the devices are none, nasal_cannula, child_nasal_cannula, "
        "infant_nasal_cannula, high_flow_nasal_cannula, simple_mask, child_simple_mask, "
        "air_entrainment_mask, partial_rebreathing_mask, non_rebreathing_mask, "
        "child_non_rebreathing_mask, bag_valve_mask, "
        "bag_valve_mask_without_reservoir, "
        "tracheostomy_mask, nebuliser_mask, nebuliser_mouthpiece, nebuliser_t_piece, nebuliser_in_line.",
    ),
    (
        {"supplies": [WALL], "devices": [{**CANNULA, "connected_to": "tap"}]},
        "'cannula' is connected to 'tap', which is no flowmeter here; there is 'meter'.",
    ),
    (
        {"supplies": [WALL], "devices": [CANNULA, {**MASK, "connected_to": "meter"}]},
        "'mask' is connected to 'meter', which already feeds 'cannula'.",
    ),
    (
        {"devices": [{"id": "a", "kind": "simple_mask"}, {"id": "b", "kind": "nebuliser_mask"}]},
        "'b' cannot go on: 'a' is on the face already. Take that off first.",
    ),
    (
        {"devices": [{"id": "a", "kind": "simple_mask", "fit": "cosy"}]},
        "'a': A strap is loose, snug, tight, or a number from 0 to 1; it says 'cosy'.",
    ),
    (
        {"devices": [{"id": "a", "kind": "nasal_cannula", "prongs": "ear"}]},
        "'a' has prongs 'ear'; they are down, up, one_out, below, cheek.",
    ),
    (
        {"devices": [{"id": "a", "kind": "non_rebreathing_mask", "port_discs": 3}]},
        "'a' has port_discs 3; write a number from 0 to 2.",
    ),
    (
        {"devices": [{"id": "a", "kind": "air_entrainment_mask", "entrainment_pct": 29}]},
        "'a' has entrainment_pct 29; its valves are 24, 28, 31, 35, 40, 50, 60 %.",
    ),
    (
        {"devices": [{"id": "a", "kind": "simple_mask", "entrainment_pct": 28}]},
        "'a' has entrainment_pct 28; a simple face mask has no such valve.",
    ),
    (
        {"supplies": [{"id": "cd", "kind": "cylinder", "size": "CD", "regulator": False}]},
        "'cd': the regulator of a size CD cylinder is built in.",
    ),
    ({"altitude_m": 90000}, "The set-up has altitude_m 90000; write a number from -500 to 6000."),
    ({"probe": "nose"}, "The probe is on 'nose'; write ear, finger, toe or off."),
    ({"patient": 3}, "The patient is 3; write names and values."),
    ({"patient": {"tracheostomy": 1}}, "The patient has tracheostomy 1; write true or false."),
]


@pytest.mark.parametrize(("setup", "sentence"), REFUSED, ids=[sentence[:40] for _, sentence in REFUSED])
def test_what_cannot_be_set_up_is_answered_with_a_sentence(setup, sentence):
    with pytest.raises(EquipmentError) as refusal:
        equipment_from_setup(setup)

    assert str(refusal.value) == sentence


FIELDS = {
    "supply": ["id", "kind", "size", "gauge_psi", "valve_open", "secured", "regulator", "flowmeter"],
    "flowmeter": ["id", "max_lpm", "flow_lpm", "flush", "scale_error_frac", "style", "humidified"],
    "device": [
        *("id", "kind", "connected_to", "worn", "fit", "seal_ml_s_cmh2o", "nose_clip_pinched", "prongs"),
        *("port_discs", "bag_valve", "bag_filled", "entrainment_pct", "entrainment_open_frac"),
        *("oxygen_share_pct", "kinked", "leak_frac"),
    ],
    "top": ["supplies", "devices", "altitude_m", "barometric_mmhg", "patient", "probe"],
}


@pytest.mark.parametrize(("where", "name"), [(where, name) for where in FIELDS for name in FIELDS[where]])
@pytest.mark.parametrize(
    "nonsense", [[1], {"a": [2]}, "?", -1e308], ids=["list", "mapping", "word", "number"]
)
def test_nonsense_in_any_field_is_at_worst_a_sentence(where, name, nonsense):
    bottle = {"id": "bottle", "kind": "cylinder", "flowmeter": {"id": "dial", "flow_lpm": 3}}
    mask = {"id": "mask", "kind": "air_entrainment_mask", "connected_to": "dial"}
    setup = {"supplies": [bottle], "devices": [mask]}
    {"supply": bottle, "flowmeter": bottle["flowmeter"], "device": mask, "top": setup}[where][name] = nonsense

    try:
        told = equipment_from_setup(setup).describe()
    except EquipmentError as refusal:
        told = [str(refusal)]

    assert all(sentence.endswith(".") for sentence in told)
