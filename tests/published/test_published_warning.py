"""The early-warning score against its publisher's bands, and whole sets of signs against stated totals.

Bands and responses: Royal College of Physicians. National Early Warning Score (NEWS) 2. Updated report of a
working party. London: RCP, 2017 (scoring system, trigger thresholds and clinical response).
"""

import pytest

from tidalbay.science.warning import (
    consciousness_points,
    early_warning,
    oxygen_points,
    pulse_points,
    respiration_points,
    response_to,
    saturation_points,
    systolic_points,
    temperature_points,
)

# Every value beside a boundary of RCP 2017, on both sides.
RESPIRATION = [(0, 3), (8, 3), (9, 1), (11, 1), (12, 0), (20, 0), (21, 2), (24, 2), (25, 3), (60, 3)]
SCALE_1 = [(60, 3), (91, 3), (92, 2), (93, 2), (94, 1), (95, 1), (96, 0), (100, 0)]
SCALE_2_BELOW = [(60, 3), (83, 3), (84, 2), (85, 2), (86, 1), (87, 1), (88, 0), (92, 0)]
SCALE_2_OXYGEN = [(93, 1), (94, 1), (95, 2), (96, 2), (97, 3), (100, 3)]
SYSTOLIC = [(60, 3), (90, 3), (91, 2), (100, 2), (101, 1), (110, 1), (111, 0), (219, 0), (220, 3), (260, 3)]
PULSE_LOW = [(30, 3), (40, 3), (41, 1), (50, 1), (51, 0)]
PULSE_HIGH = [(90, 0), (91, 1), (110, 1), (111, 2), (130, 2), (131, 3), (180, 3)]
COLD = [(33.0, 3), (35.0, 3), (35.1, 1), (36.0, 1), (36.1, 0)]
WARM = [(38.0, 0), (38.1, 1), (39.0, 1), (39.1, 2), (41.0, 2)]


@pytest.mark.parametrize(("rate_per_min", "points"), RESPIRATION)
def test_respiration_rate_gives_the_published_points(rate_per_min, points):
    assert respiration_points(rate_per_min) == points


@pytest.mark.parametrize("on_oxygen", [False, True])
@pytest.mark.parametrize(("spo2_pct", "points"), SCALE_1)
def test_saturation_on_scale_1_gives_the_published_points_on_air_and_oxygen(spo2_pct, points, on_oxygen):
    assert saturation_points(spo2_pct, 1, on_oxygen) == points


@pytest.mark.parametrize("on_oxygen", [False, True])
@pytest.mark.parametrize(("spo2_pct", "points"), SCALE_2_BELOW)
def test_saturation_on_scale_2_up_to_92_gives_the_published_points(spo2_pct, points, on_oxygen):
    assert saturation_points(spo2_pct, 2, on_oxygen) == points


@pytest.mark.parametrize(("spo2_pct", "points"), SCALE_2_OXYGEN)
def test_saturation_on_scale_2_above_92_costs_points_only_on_oxygen(spo2_pct, points):
    assert saturation_points(spo2_pct, 2, on_oxygen=True) == points
    assert saturation_points(spo2_pct, 2, on_oxygen=False) == 0


def test_any_oxygen_gives_the_published_points():
    assert (oxygen_points(True), oxygen_points(False)) == (2, 0)


@pytest.mark.parametrize(("systolic_mmhg", "points"), SYSTOLIC)
def test_systolic_pressure_gives_the_published_points(systolic_mmhg, points):
    assert systolic_points(systolic_mmhg) == points


@pytest.mark.parametrize(("pulse_per_min", "points"), PULSE_LOW + PULSE_HIGH)
def test_pulse_gives_the_published_points(pulse_per_min, points):
    assert pulse_points(pulse_per_min) == points


@pytest.mark.parametrize(
    ("consciousness", "points"),
    [("alert", 0), ("confused", 3), ("voice", 3), ("pain", 3), ("unresponsive", 3)],
)
def test_consciousness_gives_the_published_points(consciousness, points):
    assert consciousness_points(consciousness) == points


@pytest.mark.parametrize(("temperature_degc", "points"), COLD + WARM)
def test_temperature_gives_the_published_points(temperature_degc, points):
    assert temperature_points(temperature_degc) == points


# Trigger thresholds and how often to look, RCP 2017: 0 at least every 12 h, 1-4 every 4 to 6 h, one sign of 3
# every hour, 5-6 every hour and urgent, 7 and more continuous and emergency.
@pytest.mark.parametrize(
    ("total", "single_three", "response", "within_h"),
    [
        (0, False, "routine", 12),
        (1, False, "watched", 6),
        (4, False, "watched", 6),
        (3, True, "one_sign", 1),
        (4, True, "one_sign", 1),
        (5, False, "urgent", 1),
        (6, True, "urgent", 1),
        (7, False, "emergency", 0),
        (20, True, "emergency", 0),
    ],
)
def test_a_total_asks_for_the_published_response(total, single_three, response, within_h):
    asked = response_to(total, single_three)

    assert (asked.id, asked.look_again_within_h) == (response, within_h)


def test_the_worst_signs_together_reach_the_published_maximum_of_20():
    # Scale 1: RCP 2017, as tabulated in a ward study (minimum 0, maximum 20).
    worst = early_warning(
        rate_per_min=30,
        spo2_pct=80,
        on_oxygen=True,
        systolic_mmhg=80,
        pulse_per_min=140,
        consciousness="voice",
        temperature_degc=34,
        age_years=60,
    )

    assert worst.total == 20


# Six invented patients of our demonstration cases; totals were worked out by hand from the bands above.
# A sign that their texts do not give is taken so: air, oxygen and alertness as the story says; temperature
# 37.0 °C for the woman with asthma; later moments keep pressure and temperature of the start.
# Order: rate, saturation, on oxygen, systolic, pulse, consciousness, temperature, age, scale, total.
VIGNETTES = {
    "collapsed bases after an operation, on air": (22, 90, False, 138, 98, "alert", 37.6, 58, 1, 6),
    "pneumonia, on air": (28, 88, False, 112, 116, "alert", 38.8, 67, 1, 9),
    "pneumonia, shunt risen, on a cannula": (32, 86, True, 104, 124, "alert", 38.8, 67, 1, 12),
    "the same at the upper end of its range": (32, 87, True, 104, 124, "alert", 38.8, 67, 1, 12),
    "carbon dioxide risk, on air, scale 2": (28, 84, False, 148, 108, "alert", 37.4, 71, 2, 6),
    "carbon dioxide risk, on air, scale 1": (28, 84, False, 148, 108, "alert", 37.4, 71, 1, 7),
    "carbon dioxide risk in range on 24 %, scale 2": (24, 90, True, 148, 100, "alert", 37.4, 71, 2, 5),
    "carbon dioxide risk in range on 24 %, scale 1": (24, 91, True, 148, 100, "alert", 37.4, 71, 1, 8),
    "carbon dioxide risk flooded and drowsy, scale 2": (14, 98, True, 148, 104, "voice", 37.4, 71, 2, 9),
    "carbon dioxide risk flooded and drowsy, scale 1": (14, 98, True, 148, 104, "voice", 37.4, 71, 1, 6),
    "asthma, on air": (30, 91, False, 142, 122, "alert", 37.0, 24, 1, 8),
    "on the way to imaging, on a cannula": (20, 94, True, 126, 92, "alert", 36.8, 62, 1, 4),
    "cylinder empty, scored on air": (26, 88, False, 126, 112, "alert", 36.8, 62, 1, 8),
    "cylinder empty, still charted on oxygen": (26, 89, True, 126, 112, "alert", 36.8, 62, 1, 10),
    "carbon monoxide, on air": (24, 98, False, 128, 108, "alert", 36.7, 45, 1, 3),
    "carbon monoxide, confused": (24, 98, False, 128, 108, "confused", 36.7, 45, 1, 6),
}


@pytest.mark.parametrize("vignette", VIGNETTES.values(), ids=VIGNETTES.keys())
def test_a_whole_set_of_signs_gives_the_total_worked_out_by_hand(vignette):
    rate, spo2, on_oxygen, systolic, pulse, consciousness, temperature, age, scale, total = vignette

    score = early_warning(
        rate_per_min=rate,
        spo2_pct=spo2,
        on_oxygen=on_oxygen,
        systolic_mmhg=systolic,
        pulse_per_min=pulse,
        consciousness=consciousness,
        temperature_degc=temperature,
        age_years=age,
        scale=scale,
    )

    assert score.total == total


def test_the_wrong_scale_makes_the_worse_patient_look_better():
    # Drowsy on too much oxygen against awake and in range; scale 2 is right for both.
    awake = {"rate_per_min": 24, "spo2_pct": 91, "pulse_per_min": 100, "consciousness": "alert"}
    drowsy = {"rate_per_min": 14, "spo2_pct": 98, "pulse_per_min": 104, "consciousness": "voice"}
    same = {"on_oxygen": True, "systolic_mmhg": 148, "temperature_degc": 37.4, "age_years": 71}

    by_scale = {
        scale: [early_warning(**signs, **same, scale=scale).total for signs in (awake, drowsy)]
        for scale in (1, 2)
    }

    assert by_scale == {1: [8, 6], 2: [5, 9]}
