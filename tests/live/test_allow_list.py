"""No role, in no mode, in no case, is told what it may not know: every field of every message is walked."""

import dataclasses
import functools
import itertools
import json
import re

import pytest
from tests.live.bench import CASES

from tidalbay.bedside import ROLES, allowed
from tidalbay.case import case_sha256, resolve
from tidalbay.engine import compile_now
from tidalbay.equipment import ActRefused
from tidalbay.live.played import Played
from tidalbay.live.wire import entries_message, introduction, moment
from tidalbay.trace import MODES, Entry, attempt_started

# Written out here and not taken from the code.
CLOCK = "t_ms times state"
OF_A_BREATH = {
    "clock": CLOCK,
    "breath": "n from_s lasts_s step_s air_ml breathing_in_s bag_pct",
    "look": "effort blue pale lids nod_deg mouth sweat recline_deg posture speaks",
    "findings": "what words since_s at_s",
    "supplies": "id kind gas_name size gauge_frac gauge_psi gauge_bar valve_open secured regulator"
    " switched_on alarms hisses",
    "flowmeters": "id supply style max_lpm float_frac set_frac flush humidified water bubbling whistles"
    " hisses",
    "tubes": "id from to kinked wet_frac gurgles hisses",
    "devices": "id kind worn snug prongs clip_pinched port_discs bag_valve bag_twisted entrainment_pct"
    " ports_covered_frac oxygen_share_pct misting sputtering cup_ml tilt_deg squeezed padded hisses"
    " joined_to joined_kind joined_worn cup_in_line",
    "probe": "site",
    "sampling_line": "site",
    "inspected": "site words stage at_s",
}
SHOWN = [
    "t_s",
    "wearing",
    "spo2_shown_pct",
    "pulse_shown_per_min",
    "oximeter_signal",
    "oximeter_last_pct",
    "oximeter_age_s",
    "oximeter_words",
    "felt_pulse_per_min",
    "felt_pulse_seconds",
    "felt_pulse_age_s",
    "measured_temperature_degc",
    "measured_temperature_age_s",
    "measured_systolic_mmhg",
    "measured_diastolic_mmhg",
    "blood_pressure_age_s",
    "gas_drawn_s",
    "gas_due_in_s",
    "gas_age_s",
    "gas_ph",
    "gas_po2_mmhg",
    "gas_pco2_mmhg",
    "gas_bicarbonate_mmol_l",
    "gas_base_excess_mmol_l",
    "gas_haemoglobin_g_dl",
    "gas_o2hb_pct",
    "gas_cohb_pct",
    "gas_methb_pct",
    "gas_hhb_pct",
    "gas_saturation_pct",
    "gas_words",
    "capnogram",
    "capnogram_start_s",
    "capnogram_words",
    "end_tidal_co2_shown_mmhg",
]
IN_PRINT = ["counted_rate_per_min", "counted_rate_seconds", "counted_rate_age_s"]
LEDGER = [
    "fio2_frac",
    "inspired_ml",
    "supplied_ml",
    "nose_and_throat_ml",
    "mask_ml",
    "bag_ml",
    "room_ml",
    "expired_ml",
]
HANDS_AND_EARS = ("chest_sounds", "hands", "pain")

EXTRA = (  # what somebody examines on the way, so that all that can be told is told
    ("observed", {"what": "rate", "found": 22}),
    ("examined", {"what": "pulse"}),
    ("examined", {"what": "blood_pressure"}),
    ("examined", {"what": "temperature"}),
    ("examined", {"what": "skin"}),
    ("examined", {"what": "chest_sounds"}),
    ("blood_gas_drawn", {}),
    ("sampling_line_placed", {"site": "nose"}),
    ("cause_thrown", {"cause": "pain", "value": 8, "strikes": "patient", "time_constant_s": 0}),
)
MINUTES = 14


@functools.cache
def played(case, path):
    """Moments of a case played by one of its paths, a fault and every examination on the way."""
    compile_now()
    resolved = resolve(CASES[case])
    first = attempt_started(
        mode="practice",
        seed=1,
        case=resolved,
        case_sha256=case_sha256(CASES[case]),
        engine_digest="x",
        by="station",
    )
    played = Played.begun("a-1", first)
    acts = [(act.at_ms, act.act, act.on, dict(act.values)) for act in CASES[case].paths[path]]
    acts += [(40_000 + 5_000 * i, kind, None, values) for i, (kind, values) in enumerate(EXTRA)]
    moments = [played.moment({"t_ms": 1, "times": 1, "state": "ready"})]
    for at_ms, kind, on, values in sorted(acts, key=lambda act: act[0]):
        if at_ms > 60_000 * MINUTES:
            break
        t_ms = max(at_ms, played.reached_ms)
        while played.due_ms < t_ms:
            played.pass_to(played.due_ms)
            if played.coming.n % 9 == 0:
                moments.append(played.moment({"t_ms": played.due_ms, "times": 1, "state": "running"}))
        entry = Entry(n=played.log.next_n, t_ms=t_ms, kind=kind, by="s", hands="l", on=on, values=values)
        try:
            played.attempt.check(entry)
        except ActRefused:
            continue
        played.take(entry)
        moments.append(played.moment({"t_ms": t_ms, "times": 1, "state": "running"}))
    return played, moments


def strangers(message, role, mode):
    """Fields of a message that its receiver may not have."""
    found = []

    def walk(part, said, listed):
        found.extend(f"{part}.{name}" for name in said if name not in listed.split())

    top = {"kind", "superseded", "things", "readings", *OF_A_BREATH} - {
        "supplies",
        "flowmeters",
        "tubes",
        "devices",
        "probe",
        "sampling_line",
    }
    top |= {"plausible"} if role in ("learner", "checker", "instructor") else set()
    top |= {"truth"} if role == "instructor" else set()
    found += [name for name in message if name not in top]
    for part in ("clock", "breath", "look"):
        walk(part, message[part], OF_A_BREATH[part])
    for part in ("findings", "inspected"):
        for each in message[part]:
            walk(part, each, OF_A_BREATH[part])
    for part, said in message["things"].items():
        for each in [said] if part in ("probe", "sampling_line") else said:
            walk(part, each, OF_A_BREATH[part])
    may = [*SHOWN, r"\w+_float_frac", r"\w+_gauge_psi", r"\w+_gauge_bar"]
    if role in ("checker", "instructor") or mode != "summative":
        may += [*IN_PRINT, r"\w+_shown_lpm"]
    if role == "instructor" or (role == "projector" and mode == "demonstration"):
        may += LEDGER
    found += [name for name in message["readings"] if not any(re.fullmatch(pattern, name) for pattern in may)]
    return found


PATHS = [(case, path) for case in CASES for path in CASES[case].paths]
ALL = list(itertools.product(ROLES, MODES))


@pytest.mark.parametrize(("case", "path"), PATHS)
def test_nothing_outside_the_list_is_told(case, path):
    _, moments = played(case, path)
    for role, mode in ALL:
        for each in moments:
            told = dataclasses.replace(each, mode=mode, _told={}).message(role)
            assert strangers(told, role, mode) == [], (role, mode)
            json.dumps(told, allow_nan=False)


@pytest.mark.parametrize(("case", "path"), PATHS)
def test_what_takes_a_hand_or_an_ear_is_told_to_nobody_before_it_was_examined(case, path):
    _, moments = played(case, path)
    for role in ("learner", "checker", "projector"):
        told = moments[0].message(role)
        assert not {found["what"] for found in told["findings"]} & set(HANDS_AND_EARS)
        assert told["inspected"] == []
    later = moments[-1].message("learner")
    assert "chest_sounds" in {found["what"] for found in later["findings"]}
    assert later["inspected"]


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("role", ROLES)
def test_in_an_assessment_the_learner_gets_no_flags_no_order_and_no_name_of_the_trouble(role, mode):
    assessed = mode == "summative" and role in ("learner", "projector")
    for case, path in PATHS:
        told, _ = played(case, path)
        hello = introduction(told.case, role, mode)
        entries = entries_message(told.log, role, mode, range(1, len(told.log) + 1))
        assert (hello["order"] is None) == assessed
        assert (hello["title"] is None) == assessed
        assert "teaches" not in json.dumps(hello)
        assert (entries is None) == assessed
        if entries is not None:
            acts = {entry["act"] for entry in entries["entries"]}
            assert ("cause_thrown" in acts) == (role in ("checker", "instructor"))
            assert not any("catalogue_sha256" in entry["sentence"] for entry in entries["entries"])


def test_every_message_of_every_role_is_walked_with_something_in_it():
    everything = [each for case, path in PATHS for each in played(case, path)[1]]
    learner = [each.message("learner") for each in everything]

    assert len(everything) > 300
    named = {name for message in learner for name in message["readings"]}
    assert set(SHOWN) - named == set()
    assert {kind for message in learner for kind in message["things"] if message["things"][kind]} == {
        "supplies",
        "flowmeters",
        "tubes",
        "devices",
        "probe",
        "sampling_line",
    }


def test_a_hidden_fault_that_slips_into_what_is_seen_does_not_get_out(monkeypatch):
    told, _ = played("post-operative", "tempting")
    real = moment._things

    def with_leak(attempt, equipment):
        things = real(attempt, equipment)
        things["devices"][0]["bag_valve_stuck"] = True
        things["tubes"][0]["leak_frac"] = 0.5
        return things

    monkeypatch.setattr(moment, "_things", with_leak)
    message = told.moment({"t_ms": 1, "times": 1, "state": "running"}).message("learner")

    assert strangers(message, "learner", "practice") == []
    assert "leak_frac" not in json.dumps(message)


def test_the_walk_itself_finds_a_planted_leak():
    _, moments = played("post-operative", "good")
    message = json.loads(json.dumps(moments[-1].message("learner")))
    for plant, where in (
        (lambda m: m["readings"].update(pao2_mmhg=60.0), "pao2_mmhg"),
        (lambda m: m["readings"].update(flowmeter_flow_lpm=2.0), "flowmeter_flow_lpm"),
        (lambda m: m["things"]["devices"][0].update(bag_valve_stuck=True), "devices.bag_valve_stuck"),
        (lambda m: m.update(truth={}), "truth"),
        (lambda m: m["breath"].update(fio2_frac=0.3), "breath.fio2_frac"),
    ):
        leaking = json.loads(json.dumps(message))
        plant(leaking)
        assert strangers(leaking, "learner", "practice") == [where]
    counted = json.loads(json.dumps(message))
    counted["readings"]["counted_rate_per_min"] = 20
    assert "counted_rate_per_min" in strangers(counted, "learner", "summative")


@pytest.mark.parametrize("mode", MODES)
def test_only_the_instructor_gets_the_truth(mode):
    _, moments = played("hypercapnic-risk", next(iter(CASES["hypercapnic-risk"].paths)))
    for role in ROLES:
        told = dataclasses.replace(moments[-1], mode=mode, _told={}).message(role)
        assert ("truth" in told) == (role == "instructor")
        if role == "instructor":
            assert {"pao2_mmhg", "paco2_mmhg", "shunt_frac", "sao2_pct"} <= set(told["truth"]["readings"])
            assert set(told["truth"]["readings"]) - {
                n for n in told["truth"]["readings"] if "flow" in n
            } <= allowed("instructor", mode)
            assert sum(told["truth"]["ledger_ml"][f] for f in LEDGER[2:]) == pytest.approx(
                told["truth"]["ledger_ml"]["inspired_ml"], abs=0.1
            )
