"""Nothing passes that is not on the list, whoever asks and whatever a reading is called."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.bedside.recordings import PATIENT, regular

from tidalbay.bedside import (
    ROLES,
    allowed,
    blood_gas,
    blood_pressure,
    capnogram,
    counted_rate,
    felt_pulse,
    findings_as_plain,
    findings_at,
    oximeter,
    shown_to,
    temperature,
)
from tidalbay.science.warning import early_warning
from tidalbay.trace import MODES

# Written out here and not taken from the code: the truth that no learner may receive.
TRUTH = [
    "pao2_mmhg",
    "paco2_mmhg",
    "ph",
    "sao2_pct",
    "shunt_frac",
    "fio2_frac",
    "end_tidal_o2_frac",
    "end_tidal_co2_mmhg",
    "rate_per_min",
    "tidal_ml",
    "demand_l_min",
    "heart_rate_per_min",
    "cohb_frac",
    "effort_index_frac",
    "fatigue_frac",
    "alertness_frac",
    "confusion_frac",
    "systolic_mmhg",
    "diastolic_mmhg",
    "temperature_degc",
    "flowmeter_flow_lpm",
    "supplied_ml",
    "room_ml",
    "expired_ml",
]
BLOOD = [*TRUTH[:5], "cohb_frac"]

names = st.one_of(
    st.sampled_from(
        [*TRUTH, "spo2_shown_pct", "flowmeter_shown_lpm", "*_shown_lpm", "order_text", "act_flags"]
    ),
    st.from_regex(r"[a-z_*]{0,12}_(pct|mmhg|frac|lpm|ml|psi|words)", fullmatch=True),
    st.text(max_size=20),
)
values = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.text(max_size=5),
    st.lists(st.floats(), max_size=3),
)


@given(st.sampled_from(ROLES), st.sampled_from(MODES), st.dictionaries(names, values))
@settings(deadline=None)
def test_nothing_outside_the_list_ever_passes(role, mode, readings):
    shown = shown_to(role, mode, readings)

    endings = tuple(name[1:] for name in allowed(role, mode) if name.startswith("*_"))
    assert all(name in readings for name in shown)
    assert all(name in allowed(role, mode) or name.endswith(endings) for name in shown)
    assert not any("*" in name for name in shown)
    if role in ("learner", "checker"):
        assert not set(shown) & set(TRUTH)


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("role", ["learner", "checker"])
def test_the_truth_reaches_neither_learner_nor_checker(role, mode):
    assert shown_to(role, mode, dict.fromkeys(TRUTH, 1.0)) == {}


@pytest.mark.parametrize("mode", MODES)
def test_the_truth_of_the_blood_never_reaches_the_projector(mode):
    assert shown_to("projector", mode, dict.fromkeys(BLOOD, 1.0)) == {}


def test_only_a_demonstration_shows_on_the_projector_where_each_millilitre_came_from():
    ledger = dict.fromkeys(["fio2_frac", "supplied_ml", "room_ml", "expired_ml"], 1.0)

    assert shown_to("projector", "demonstration", ledger) == ledger
    for mode in ("practice", "formative", "summative"):
        assert shown_to("projector", mode, ledger) == {}


@pytest.mark.parametrize("mode", MODES)
def test_the_instructor_sees_the_truth(mode):
    truth = dict.fromkeys(TRUTH, 1.0)

    assert shown_to("instructor", mode, truth) == truth


PRINT = {
    "counted_rate_per_min": 24.0,
    "counted_rate_age_s": 3.0,
    "flowmeter_shown_lpm": 4.0,
    "order_text": "Oxygen to keep SpO2 94 to 98 %.",
    "act_flags": ["flow_set"],
    "early_warning_score": 6,
}


@pytest.mark.parametrize("role", ["learner", "projector"])
def test_in_an_assessment_the_float_is_read_the_breaths_are_counted_and_nothing_is_flagged(role):
    drawn = {"flowmeter_float_frac": 0.27, "bag_full_pct": 80.0, "chest_ml": 210.0, "spo2_shown_pct": 91.0}

    assert shown_to(role, "summative", {**PRINT, **drawn}) == drawn


@pytest.mark.parametrize("mode", ["demonstration", "practice", "formative"])
def test_outside_an_assessment_they_stand_in_print(mode):
    assert shown_to("learner", mode, PRINT) == PRINT


@pytest.mark.parametrize("mode", MODES)
def test_the_checker_reads_them_in_every_mode(mode):
    assert shown_to("checker", mode, PRINT) == PRINT


def everything_that_can_be_read():
    trace, now_s = regular(15.0, seconds=1200), 1100.0
    signs = {"rate_per_min": 24, "spo2_pct": 91, "on_oxygen": True, "systolic_mmhg": 120, "pulse_per_min": 90}
    return {
        **oximeter(trace, now_s, 1).as_plain(),
        **counted_rate(trace, now_s, 1).as_plain(now_s),
        **felt_pulse(trace, now_s, 1).as_plain(now_s),
        **temperature(trace, now_s, 1, PATIENT).as_plain(now_s),
        **blood_pressure(trace, now_s, 1).as_plain(now_s),
        **blood_gas(trace, now_s, 1, PATIENT).as_plain(now_s),
        **blood_gas(trace, 100.0, 1, PATIENT).as_plain(now_s),
        **capnogram(trace, now_s, 1, PATIENT).as_plain(),
        **findings_as_plain(findings_at(trace, now_s, PATIENT)),
        **early_warning(**signs, consciousness="alert", temperature_degc=37.0, age_years=40).as_plain(),
    }


def test_no_reading_is_forgotten_and_each_passes_to_a_learner_who_practises():
    readings = everything_that_can_be_read()

    assert shown_to("learner", "practice", readings).keys() == readings.keys()
    assert len(readings) > 50


def test_the_wire_carries_no_not_a_number():
    shown = shown_to(
        "learner", "practice", {"spo2_shown_pct": float("nan"), "capnogram": [[0.0, float("nan")]]}
    )

    assert shown == {"spo2_shown_pct": None, "capnogram": [[0.0, None]]}


@pytest.mark.parametrize(
    ("name", "value", "kind"),
    [
        ("finding_colour", {"pao2_mmhg": 50.0}, "dict"),
        ("capnogram", [{"ph": 7.1}], "dict"),
        ("wearing", {1}, "set"),
    ],
)
def test_a_value_that_could_hide_other_readings_is_refused_in_a_sentence(name, value, kind):
    with pytest.raises(ValueError) as refused:
        shown_to("learner", "practice", {name: value})

    assert str(refused.value) == (
        f"{name} holds a {kind}, which may hide other readings; "
        "pass a number, a word, yes or no, or a list of them."
    )


def test_a_hidden_reading_does_not_pass_for_being_named_like_an_object_s():
    sly = {
        "pao2_mmhg": 50.0,
        "Pao2_gauge_psi": 1.0,
        "a b_gauge_psi": 1.0,
        "_gauge_psi": 1.0,
        "*_gauge_psi": 1.0,
    }

    assert shown_to("learner", "practice", {**sly, "cylinder_gauge_psi": 700.0}) == {
        "cylinder_gauge_psi": 700.0
    }


@pytest.mark.parametrize(
    ("role", "mode", "sentence"),
    [
        (
            "visitor",
            "practice",
            "There is no role 'visitor'; roles are learner, checker, instructor, projector.",
        ),
        (
            "learner",
            "exam",
            "There is no mode 'exam'; modes are demonstration, practice, formative, summative.",
        ),
    ],
)
def test_an_unknown_role_or_mode_is_refused_in_a_sentence(role, mode, sentence):
    with pytest.raises(ValueError) as refused:
        shown_to(role, mode, {})

    assert str(refused.value) == sentence


@pytest.mark.parametrize("role", ROLES)
def test_an_assessment_never_shows_more_than_practice(role):
    assert allowed(role, "summative") <= allowed(role, "practice") <= allowed(role, "demonstration")
