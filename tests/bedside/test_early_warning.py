"""The early-warning score as it stands: what each sign gives by either scale, and when there is none."""

import pytest

from tidalbay.bedside import findings, score_standing

NOW = {"rate_per_min": 22.0, "spo2_shown_pct": 93.0, "systolic_mmhg": 105.0, "heart_rate_per_min": 112.0}
ADULT = {"temperature_degc": 38.4, "age_years": 61.0}
ALERT = findings({"alertness_frac": 1.0, "confusion_frac": 0.0})
MUDDLED = findings({"alertness_frac": 1.0, "confusion_frac": 0.9})


@pytest.mark.parametrize(
    ("on_oxygen", "scale", "found", "total", "points"),
    [
        # By hand from RCP 2017: rate 22 is 2, 93 % is 2, systolic 105 is 1, pulse 112 is 2, 38.4 degC is 1.
        (False, 1, ALERT, 8, [2, 2, 0, 1, 2, 0, 1]),
        (True, 1, ALERT, 10, [2, 2, 2, 1, 2, 0, 1]),
        (True, 2, ALERT, 9, [2, 1, 2, 1, 2, 0, 1]),
        (False, 2, ALERT, 6, [2, 0, 0, 1, 2, 0, 1]),  # on air nothing is too high
        (False, 1, MUDDLED, 11, [2, 2, 0, 1, 2, 3, 1]),
    ],
)
def test_the_score_is_the_one_worked_out_by_hand(on_oxygen, scale, found, total, points):
    plain = score_standing(NOW, found, on_oxygen, scale, ADULT)

    assert plain["early_warning_score"] == total
    assert [row[2] for row in plain["early_warning_parts"]] == points


def test_a_child_and_a_missing_reading_get_a_sentence_and_no_number():
    child = score_standing(NOW, ALERT, False, 1, {**ADULT, "age_years": 7.0})
    no_probe = score_standing({**NOW, "spo2_shown_pct": None}, ALERT, False, 1, ADULT)

    assert "16 and over" in child["early_warning_refused"]
    assert "oxygen saturation" in no_probe["early_warning_refused"]
    for each in (child, no_probe):
        assert "early_warning_score" not in each
        assert "Royal College of Physicians" in each["early_warning_credit"]
