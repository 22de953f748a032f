"""Laws and refusals of the early-warning score; its published bands are held in tests/published."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tidalbay.science.warning import (
    CONSCIOUSNESS,
    CREDIT,
    RESPONSES,
    WarningRefusedError,
    early_warning,
    respiration_points,
    saturation_points,
    temperature_points,
)

WELL = {
    "rate_per_min": 16,
    "spo2_pct": 97,
    "on_oxygen": False,
    "systolic_mmhg": 120,
    "pulse_per_min": 70,
    "consciousness": "alert",
    "temperature_degc": 37.0,
    "age_years": 40,
}

signs = st.fixed_dictionaries(
    {
        "rate_per_min": st.floats(0, 120),
        "spo2_pct": st.floats(0, 100),
        "on_oxygen": st.booleans(),
        "systolic_mmhg": st.floats(0, 300),
        "pulse_per_min": st.floats(0, 300),
        "consciousness": st.sampled_from(CONSCIOUSNESS),
        "temperature_degc": st.floats(20, 45),
        "age_years": st.floats(16, 110),
        "scale": st.sampled_from([1, 2]),
    }
)


@given(signs)
@settings(deadline=None)
def test_a_score_is_the_sum_of_seven_parts_of_0_to_3_and_stays_within_20(found):
    score = early_warning(**found)

    assert len(score.parts) == 7
    assert all(part.points in (0, 1, 2, 3) for part in score.parts)
    assert score.total == sum(part.points for part in score.parts)
    assert 0 <= score.total <= 20


@given(signs)
@settings(deadline=None)
def test_a_response_never_softens_when_a_sign_gives_three(found):
    score = early_warning(**found)
    order = list(RESPONSES)

    assert score.single_three == any(part.points == 3 for part in score.parts)
    if score.single_three:
        assert order.index(score.response.id) >= order.index("one_sign")


@given(signs)
@settings(deadline=None)
def test_becoming_confused_never_lowers_the_score_and_adds_three_to_the_alert(found):
    alert = early_warning(**{**found, "consciousness": "alert"}).total
    confused = early_warning(**{**found, "consciousness": "confused"}).total

    assert confused == alert + 3


@given(st.floats(0, 100), st.booleans())
@settings(deadline=None)
def test_on_scale_1_less_saturation_never_gives_fewer_points(spo2_pct, on_oxygen):
    lower = max(0.0, spo2_pct - 1.0)

    assert saturation_points(lower, 1, on_oxygen) >= saturation_points(spo2_pct, 1, on_oxygen)


def test_a_well_adult_scores_nothing_and_the_line_says_so():
    score = early_warning(**WELL)

    assert score.total == 0
    assert score.words == (
        "0 by oxygen scale 1. No sign is out of range; the full set is taken again within 12 hours."
    )


def test_one_sign_alone_asks_for_a_review_though_the_total_is_low():
    score = early_warning(**{**WELL, "rate_per_min": 25})

    assert (score.total, score.single_three, score.response.id) == (3, True, "one_sign")


def test_values_between_two_charted_ones_are_charted_first():
    assert (respiration_points(8.49), respiration_points(8.5)) == (3, 1)
    assert (saturation_points(91.4, 1, False), saturation_points(91.5, 1, False)) == (3, 2)
    assert (temperature_points(38.04), temperature_points(38.05)) == (0, 1)


def test_the_plain_form_credits_the_publisher_and_names_every_part():
    plain = early_warning(**WELL).as_plain()

    assert plain["early_warning_credit"] == CREDIT
    assert plain["early_warning_parts"] == [
        ["respiration rate", "16 /min", 0],
        ["oxygen saturation", "97 %", 0],
        ["air or oxygen", "air", 0],
        ["systolic pressure", "120 mmHg", 0],
        ["pulse", "70 /min", 0],
        ["consciousness", "alert", 0],
        ["temperature", "37.0 °C", 0],
    ]


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (
            {"age_years": 15},
            "This score is for people of 16 and over, and the patient is 15; use a chart made for children.",
        ),
        ({"age_years": math.nan}, "The age is nan years; write the patient's age, a number from 0 up."),
        ({"age_years": -1}, "The age is -1 years; write the patient's age, a number from 0 up."),
        (
            {"pregnant": True},
            "This score is not for pregnancy, which shifts every sign; use a maternity chart.",
        ),
        (
            {"scale": 3},
            "There is no oxygen scale 3; write 1, or 2 where 88 to 92 % is ordered "
            "for known hypercapnic failure.",
        ),
        ({"pulse_per_min": None}, "The score needs all seven signs; measure first: pulse."),
        (
            {"temperature_degc": None, "on_oxygen": None, "consciousness": None},
            "The score needs all seven signs; measure first: temperature, air or oxygen, consciousness.",
        ),
        (
            {"spo2_pct": 880},
            "The oxygen saturation is 880 %; no patient has that. Write 0 to 100 %.",
        ),
        (
            {"temperature_degc": 98.6},
            "The temperature is 98.6 °C; no patient has that. Write 20 to 45 °C.",
        ),
        (
            {"rate_per_min": math.nan},
            "The respiration rate is nan /min; no patient has that. Write 0 to 120 /min.",
        ),
        (
            {"consciousness": "drowsy"},
            "Consciousness is 'drowsy'; write one of alert, confused, voice, pain, unresponsive.",
        ),
    ],
)
def test_what_cannot_be_scored_is_refused_in_a_sentence(change, sentence):
    with pytest.raises(WarningRefusedError) as refused:
        early_warning(**{**WELL, **change})

    assert str(refused.value) == sentence


def test_every_reason_is_said_at_once():
    with pytest.raises(WarningRefusedError) as refused:
        early_warning(**{**WELL, "age_years": 3, "pulse_per_min": None, "spo2_pct": 101})

    assert str(refused.value).splitlines() == [
        "This score is for people of 16 and over, and the patient is 3; use a chart made for children.",
        "The score needs all seven signs; measure first: pulse.",
        "The oxygen saturation is 101 %; no patient has that. Write 0 to 100 %.",
    ]


def test_a_sixteenth_birthday_is_old_enough():
    assert early_warning(**{**WELL, "age_years": 16}).total == 0
