"""Contract of the act catalogue: a row says all it must, and wrong arguments get sentences."""

import re
import string

import pytest

from tidalbay.catalogue.acts import (
    ARGUMENT_TYPES,
    CHANGES,
    LOGGERS,
    RESERVED,
    act_fault,
    act_versions,
    acts,
    check_values,
    plausible_when,
)
from tidalbay.catalogue.devices import (
    SNUGNESS,
    device_kinds,
    probe_delays_s,
    prong_placements,
    sampling_sites,
)
from tidalbay.catalogue.supplies import concentrator_kinds, outlet_kinds
from tidalbay.trace import unit_of

# The first set, group by group, that the founding plan of acts names.
FIRST_SET = {
    "ready": "order_read order_queried risk_asked history_asked identity_checked hands_cleaned "
    " allergies_checked fire_risk_checked explained agreed positioned equipment_checked alarms_set bell_left",
    "look": "observed examined probe_placed probe_removed pulse_matched"
    " sampling_line_placed sampling_line_removed",
    "supply": "outlet_chosen flowmeter_fitted cylinder_chosen cylinder_secured cylinder_cracked "
    " regulator_fitted regulator_bled valve_opened valve_closed gauge_read cylinder_changed flaps_checked"
    " disc_refitted warmed_up oxygen_share_set flow_set gas_proved humidifier_fitted humidifier_removed"
    " minutes_worked_out concentrator_chosen concentrator_started concentrator_stopped",
    "device": "device_chosen tubing_connected tubing_disconnected tubing_freed tubing_drained"
    " entrainment_set bag_filled device_placed device_removed prongs_turned strap_set nose_clip_pinched"
    " padding_added seal_checked",
    "nebuliser": "drug_checked drug_loaded cup_closed interface_fitted cup_held cup_tapped coached"
    " treatment_stopped mouth_rinsed cup_rinsed",
    "treat": "medicine_given blood_gas_drawn suctioned airway_opened bag_squeezed",
    "people": "help_called handoff_given read_back taught",
    "record": "charted",
    "time": "time_skipped paused resumed pace_set stepped event_thrown cause_thrown taken_back prompted"
    " stopped_kindly attempt_started attempt_ended",
}


def faults(act, **values):
    return check_values(acts()[act], values)


def test_the_first_set_of_acts_is_there_each_in_its_group():
    assert {group: set(words.split()) for group, words in FIRST_SET.items()} == {
        group: {kind.id for kind in acts().values() if kind.group == group} for group in FIRST_SET
    }
    assert {kind.group for kind in acts().values()} == set(FIRST_SET)


@pytest.mark.parametrize("kind", acts().values(), ids=lambda kind: kind.id)
def test_a_row_says_all_that_screens_judges_and_readers_need(kind):
    assert re.fullmatch(r"[a-z]+(_[a-z]+)*", kind.id)
    assert kind.button
    assert kind.sentence
    assert kind.words
    assert kind.seen
    assert kind.source
    assert kind.changes in CHANGES
    assert set(kind.by) <= set(LOGGERS)
    assert kind.by
    assert kind.plausible in plausible_when()
    assert set(kind.sentence_with) <= set(kind.arguments)
    assert set(kind.undone_by) <= set(acts())
    assert set(kind.on) <= {"outlet", "flowmeter", "cylinder", "concentrator", "tube", "device", "probe"}
    assert set(kind.one_of + kind.not_both) <= set(kind.arguments)


@pytest.mark.parametrize("kind", acts().values(), ids=lambda kind: kind.id)
def test_arguments_have_a_type_and_the_unit_that_their_name_says(kind):
    for argument in kind.arguments.values():
        assert argument.type in ARGUMENT_TYPES
        assert argument.name not in RESERVED
        assert (argument.type == "choice") == bool(argument.choices)
        if argument.type == "number":
            assert argument.low < argument.high
            assert argument.unit == unit_of(argument.name)
            assert all(argument.low <= value <= argument.high for value in argument.usual)


@pytest.mark.parametrize("kind", acts().values(), ids=lambda kind: kind.id)
def test_a_report_can_tell_an_act_from_what_it_must_say(kind):
    told = {field for _, field, _, _ in string.Formatter().parse(kind.sentence) if field}

    assert told <= {
        name for name, argument in kind.arguments.items() if not argument.optional or name in kind.one_of
    }


def test_an_act_is_told_in_words():
    assert acts()["flow_set"].told({"flow_lpm": 4.0}) == "set the flow to 4 L/min"
    assert acts()["flow_set"].told({"flush": True}) == "opened the flowmeter past its scale"
    assert acts()["device_chosen"].told({"device": "simple_mask"}) == "took the simple face mask"
    thrown = acts()["cause_thrown"]
    assert thrown.told({"cause": "tube_kinked"}) == "made it happen: the tubing kinked"
    assert (
        thrown.told({"cause": "tube_kinked", "gone": True})
        == "put right by the instructor: the tubing kinked"
    )


def test_the_words_of_acts_are_the_words_of_the_equipment():
    choices = {
        kind.id + "." + argument.name: set(argument.choices)
        for kind in acts().values()
        for argument in kind.arguments.values()
    }

    assert choices["device_chosen.device"] == set(device_kinds())
    assert choices["prongs_turned.way"] == set(prong_placements())
    assert choices["strap_set.snugness"] == set(SNUGNESS)
    assert choices["device_placed.way"] == set(prong_placements())
    assert choices["device_placed.snugness"] == set(SNUGNESS)
    assert choices["probe_placed.site"] == set(probe_delays_s())
    assert choices["sampling_line_placed.site"] == set(sampling_sites())
    assert choices["outlet_chosen.gas"] == {outlet.gas for outlet in outlet_kinds().values()}
    assert choices["concentrator_chosen.machine"] == set(concentrator_kinds())


def test_a_reader_of_logs_knows_every_act_and_its_version():
    assert set(act_versions()) == set(acts())
    assert act_versions()["flow_set"] == 1


RIGHT = [
    ("order_read", {}),
    ("flow_set", {"flow_lpm": 4}),
    ("flow_set", {"flow_lpm": 0.25}),
    ("flow_set", {"flush": True}),
    ("observed", {"what": "spo2", "found": 92}),
    ("observed", {"what": "effort", "found": "using the neck muscles", "method": "looked"}),
    ("cylinder_chosen", {"size": "e", "gauge_psi": 2000}),
    ("charted", {"form": "oxygen_entry", "fields": {"spo2_pct": 92, "on": "cannula 2 L/min"}}),
    ("taken_back", {"entry": 7}),
]


@pytest.mark.parametrize(("act", "values"), RIGHT)
def test_what_hands_can_do_is_no_fault(act, values):
    assert faults(act, **values) == []


WRONG = [
    ("flow_set", {}, ["flow_set lacks flow_lpm or flush. Allowed: one of flow_lpm, flush."]),
    ("flow_set", {"flow_lpm": -3}, ["flow_lpm is -3. Allowed: 0 to 100 L/min. 0 is nearest."]),
    ("flow_set", {"flow_lpm": 400.5}, ["flow_lpm is 400.5. Allowed: 0 to 100 L/min. 100 is nearest."]),
    ("flow_set", {"flow_lpm": True}, ["flow_lpm is true, not a number. Allowed: 0 to 100 L/min."]),
    (
        "flow_set",
        {"flow_lpm": "4 L/min"},
        ["flow_lpm is 4 L/min, not a number. Allowed: 0 to 100 L/min. Leave the unit out; the name says it."],
    ),
    (
        "flow_set",
        {"flow_lpm": float("nan")},
        ["flow_lpm is nan, not a finite number. Allowed: 0 to 100 L/min."],
    ),
    (
        "flow_set",
        {"flow_lmp": 4, "flow_lpm": None},
        [
            "flow_set has no flow_lmp. Allowed: flow_lpm, flush. Did you mean flow_lpm?",
            "flow_lpm is empty, not a number. Allowed: 0 to 100 L/min.",
        ],
    ),
    (
        "flow_set",
        {"flow_lpm": 4, "flush": True},
        ["flow_set says flow_lpm and flush at once. Allowed: one of flow_lpm, flush."],
    ),
    ("flow_set", {"flush": "yes"}, ["flush is yes. Allowed: true, false."]),
    ("order_read", {"fast": True}, ["order_read has no fast. It has no arguments."]),
    (
        "strap_set",
        {"snugness": "snugg"},
        ["snugness is snugg. Allowed: loose, snug, tight. Did you mean snug?"],
    ),
    ("strap_set", {}, ["strap_set lacks snugness. Allowed: loose, snug, tight."]),
    (
        "gauge_read",
        {"gauge_psi": 700, "gauge_bar": 48},
        ["gauge_read says gauge_psi and gauge_bar at once. Allowed: one of gauge_psi, gauge_bar."],
    ),
    (
        "cylinder_chosen",
        {"size": "Q"},
        ["size is Q. Allowed: D, E, G, H, M, UK-C, UK-D, UK-E, UK-F, UK-G, UK-J, CD, HX, ZX."],
    ),
    ("taken_back", {"entry": 2.5}, ["entry is 2.5. Allowed: a whole number."]),
    ("prompted", {"what": 3}, ["what is 3, not text. Allowed: text. Put it in quotes."]),
    ("prompted", {"what": " "}, ["what is empty, too long or not printable. Allowed: 1 to 500 characters."]),
    ("charted", {"form": "oxygen_entry", "fields": "spo2"}, ["fields is spo2. Allowed: a mapping."]),
]


@pytest.mark.parametrize(("act", "values", "sentences"), WRONG)
def test_a_wrong_argument_is_answered_in_a_sentence(act, values, sentences):
    assert faults(act, **values) == sentences


def test_an_act_nobody_knows_is_answered_with_the_nearest():
    assert act_fault("flow_sett").sentence == "there is no act flow_sett. Did you mean flow_set?"
    assert act_fault("Device Placed").sentence == "there is no act Device Placed. Did you mean device_placed?"
    assert act_fault(3).sentence == "there is no act 3. The catalogue of acts lists every one."
    assert act_fault("flow_set") is None
