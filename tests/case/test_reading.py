"""Contract of a case that is well written: read whole, frozen, and resolved to plain numbers."""

import hashlib
import json
from pathlib import Path

import pytest
from tests.case.small_case import CASE, WALL

from tidalbay.case import (
    CaseErrors,
    acts_plain,
    case_sha256,
    load_acts,
    load_case,
    read_acts,
    read_case,
    resolve,
    scripted_act,
)
from tidalbay.case.moments import ms_from_text, text_from_ms
from tidalbay.case.set_up_checks import HIGHEST_FILLING
from tidalbay.catalogue.patients import patient_fields
from tidalbay.equipment import equipment_from_setup
from tidalbay.equipment.hands import supply_acts

GOOD = Path(__file__).parent / "data" / "good.yaml"


@pytest.fixture(scope="module")
def case():
    return load_case(GOOD)


def test_a_case_says_what_its_file_says(case):
    assert (case.id, case.minutes, case.posture) == ("first-day", 20, "propped")
    assert case.order.target_spo2_pct == (94, 98)
    assert case.setup.supplies[0].flowmeter.max_lpm == 15
    assert list(case.paths) == ["good", "tempting"]
    assert [event.id for event in case.events] == ["recruited", "lunch", "tired", "slipped", "kink"]


def test_times_are_read_as_minutes_and_seconds_quoted_or_not(case):
    assert [act.at_ms for act in case.paths["good"][:5]] == [20_000, 60_000, 90_000, 100_000, 110_000]
    assert [act.at_ms for act in case.paths["tempting"]] == [60_000, 70_000, 80_000, 90_000]
    assert case.events[2].when.for_ms == 60_000
    assert case.events[3].after.wait_ms == 60_000


@pytest.mark.parametrize(
    ("text", "ms"),
    [
        ("2:30", 150_000),
        ("0:00", 0),
        ("120:00", 7_200_000),
        ("1:02.5", 62_500),
        ("90 s", 90_000),
        ("90s", 90_000),
        ("1.5 min", 90_000),
        ("2 h", 7_200_000),
        ("2:75", None),
        ("2", None),
        ("-1 s", None),
        ("soon", None),
        (150, None),
    ],
)
def test_a_time_is_what_it_reads_as_or_is_none(text, ms):
    assert ms_from_text(text) == ms


@pytest.mark.parametrize("ms", [0, 500, 59_999, 60_000, 7_200_000])
def test_a_time_that_is_written_out_reads_back_the_same(ms):
    assert ms_from_text(text_from_ms(ms)) == ms


def test_an_act_keeps_its_arguments_apart_from_its_envelope(case):
    act = case.paths["good"][6]

    assert (act.act, act.manner, act.by) == ("medicine_given", "said", "learner")
    assert dict(act.values) == {"drug": "paracetamol", "dose": "1 g", "route": "mouth"}


def test_nothing_in_a_case_can_be_changed(case):
    with pytest.raises(ValueError, match="frozen"):
        case.title = "another"
    with pytest.raises(TypeError):
        case.paths["good"] = ()
    with pytest.raises(TypeError):
        case.events[0].sets["pain"] = 9
    with pytest.raises(TypeError):
        case.patient.numbers["pain"] = 9


def test_a_resolved_case_has_every_number_of_the_patient(case):
    numbers = resolve(case)["patient"]["numbers"]

    assert set(numbers) == set(patient_fields())
    assert numbers["shunt_frac"] == 0.26  # the case's own
    assert numbers["elastance_cmh2o_l"] == 21  # the preset's
    assert numbers["oxygen_use_ml_min"] > 200  # from a formula


def test_a_resolved_case_is_plain_and_comes_back_from_json_the_same(case):
    resolved = resolve(case)

    assert json.loads(json.dumps(resolved, allow_nan=False)) == resolved


def test_a_resolved_event_says_what_it_strikes_and_how_fast_the_patient_follows(case):
    events = {event["id"]: event for event in resolve(case)["events"]}

    assert events["lunch"] == {
        "id": "lunch",
        "at_ms": 840_000,
        "on": "cannula",
        "sets": [{"cause": "device_off", "value": True, "strikes": "equipment", "time_constant_s": 0.0}],
        "tells": None,
    }
    assert events["recruited"]["when"] == {
        "acts": [
            {"act": "coached", "on": None, "values": {"what": "cough"}},
            {"act": "medicine_given", "on": None, "values": {}},
        ],
        "wait_ms": 120_000,
    }
    assert events["tired"]["when"] == {"reading": "spo2_shown_pct", "on": None, "below": 85, "for_ms": 60_000}
    assert events["slipped"]["after"] == {"event": "lunch", "wait_ms": 60_000}
    assert events["kink"]["by_hand"] is True
    assert [cause["time_constant_s"] for cause in events["recruited"]["sets"]] == [240.0, 300.0]


def test_the_equipment_takes_a_resolved_set_up_as_it_is(case):
    equipment = equipment_from_setup(resolve(case)["setup"])

    assert {"wall_flowmeter", "dial", "cannula", "cannula_tubing", "bottle"} <= set(equipment.part_ids())
    assert equipment.wearing() == frozenset()


def test_a_concentrators_scale_is_that_of_the_machine_in_a_case_and_in_the_equipment():
    machine = "- {id: machine, kind: large_concentrator, running: true, flowmeter: {flow_lpm: 8}}"

    setup = resolve(read_case(CASE.replace(WALL, machine).replace(": meter", ": machine")))["setup"]
    equipment = equipment_from_setup(setup)

    assert setup["supplies"][0]["flowmeter"] == {"flow_lpm": 8, "max_lpm": 10}
    assert equipment.readings()["machine_flowmeter.flow_lpm"] == 8.0


def test_the_equipment_takes_the_acts_of_a_path_as_they_are(case):
    equipment = equipment_from_setup(resolve(case)["setup"])

    for act in acts_plain(case.paths["tempting"]):
        equipment = equipment.apply(act["act"], act["on"], act["values"], act["at_ms"])

    assert equipment.wearing() == {"non_rebreathing_mask"}


def test_a_case_and_the_equipment_agree_how_full_a_cylinder_can_be():
    assert supply_acts.HIGHEST_FILLING == HIGHEST_FILLING


def test_the_hash_of_a_case_is_that_of_its_text(case):
    assert case_sha256(case) == hashlib.sha256(GOOD.read_bytes()).hexdigest()


def test_a_change_of_one_letter_is_another_text_and_the_same_patient(case):
    other = read_case(GOOD.read_text(encoding="utf-8") + "# reviewed\n", "good.yaml")

    assert case_sha256(other) != case_sha256(case)
    assert resolve(other) == resolve(case)


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_a_file_from_another_system_reads_the_same(case, ending):
    text = GOOD.read_text(encoding="utf-8").replace("\n", ending)

    assert resolve(read_case(text, "good.yaml")) == resolve(case)


def test_a_mark_of_utf_8_at_the_start_of_a_file_is_passed_over(case, tmp_path):
    path = tmp_path / "marked.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + GOOD.read_bytes())

    assert resolve(load_case(path)) == resolve(case)


def test_acts_in_a_file_of_their_own_are_read_as_under_a_path(case, tmp_path):
    path = tmp_path / "acts.yaml"
    path.write_text("- {at: 1:30, act: flow_set, on: wall_flowmeter, flow_lpm: 2}\n", encoding="utf-8")

    assert load_acts(path, case) == (case.paths["good"][2],)


def test_acts_in_a_file_of_their_own_are_held_to_the_case(case):
    text = "- {at: 1 min, act: flow_set, on: wall_flowmeter, flow_lpm: 40}\n- {at: 30 min, act: order_red}\n"

    with pytest.raises(CaseErrors) as refused:
        read_acts(text, "acts.yaml", case)

    assert str(refused.value) == (
        "acts.yaml:1:60  flow_lpm is 40 and the scale of wall_flowmeter ends at 15 L/min\n"
        "    1 | - {at: 1 min, act: flow_set, on: wall_flowmeter, flow_lpm: 40}\n"
        "      |                                                            ^^\n"
        "  allowed: 0 to 15 L/min\n"
        "  hint:    a flowmeter with a larger max_lpm goes further\n"
        "\n"
        "acts.yaml:2:8  at is 30 min, and the case ends at 20:00\n"
        "    1 | - {at: 1 min, act: flow_set, on: wall_flowmeter, flow_lpm: 40}\n"
        "    2 | - {at: 30 min, act: order_red}\n"
        "      |        ^^^^^^\n"
        "  allowed: 0:00 to 20:00\n"
        "  hint:    or raise minutes\n"
        "\n"
        "acts.yaml:2:21  there is no act order_red\n"
        "    1 | - {at: 1 min, act: flow_set, on: wall_flowmeter, flow_lpm: 40}\n"
        "    2 | - {at: 30 min, act: order_red}\n"
        "      |                     ^^^^^^^^^\n"
        "  hint:    did you mean order_read?\n"
        "\n"
        "3 errors. Nothing was loaded."
    )


def test_a_file_of_acts_that_is_no_list_is_refused(case):
    with pytest.raises(CaseErrors) as refused:
        read_acts("act: order_read\n", "acts.yaml", case)

    assert str(refused.value) == (
        "acts.yaml:1:1  a file of acts is a list of acts, and this file holds names and values\n"
        "    1 | act: order_read\n"
        "      | ^\n"
        '  hint:    an act reads - {at: "0:30", act: order_read}\n'
        "\n"
        "1 error. Nothing was loaded."
    )


def test_a_program_makes_an_act_from_what_a_file_would_say():
    act = scripted_act({"at": "1:30", "act": "flow_set", "on": "wall", "flow_lpm": 2})

    assert (act.at_ms, act.act, act.on, dict(act.values)) == (90_000, "flow_set", "wall", {"flow_lpm": 2})


def test_an_act_a_program_cannot_make_is_refused_in_sentences():
    with pytest.raises(CaseErrors) as refused:
        scripted_act({"at": 90, "act": "flow_set", "flow": 2})

    assert str(refused.value) == (
        "act  at is 90, not a time\n"
        "  allowed: minutes and seconds such as 2:30, or 90 s, or 2 min\n"
        "  hint:    write 90 min for minutes or 90 s for seconds\n"
        "\n"
        "act  flow_set has no flow\n"
        "  allowed: flow_lpm, flush\n"
        "  hint:    did you mean flow_lpm?\n"
        "\n"
        "act  flow_set lacks flow_lpm or flush\n"
        "  allowed: one of flow_lpm, flush\n"
        "\n"
        "3 errors. Nothing was loaded."
    )
