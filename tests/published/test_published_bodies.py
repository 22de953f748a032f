"""Bodies of every age: their formulas and their rest, held against what was measured in people.

Rates, depths and saturations come out of a settled patient.  By age only `rate_bias`, `shunt_frac` and
`vq_log_sd` were tuned; a check that they were tuned on says so.
"""

from functools import cache

import numpy as np
import pytest

import tidalbay
from tidalbay.catalogue.patients import patient_numbers, presets
from tidalbay.engine import SECOND_COLUMNS, patient_from, settled
from tidalbay.equipment import equipment_from_setup
from tidalbay.science.controls import Controls

pytestmark = pytest.mark.usefixtures("model")

AIR = Controls()
SEED = 1


def body(age, sex="male", **said):
    return patient_numbers("healthy_adult", {"age_years": age, "sex": sex, **said})


def engine_patient(numbers):
    return patient_from({name: value for name, value in numbers.items() if not isinstance(value, str)})


@cache
def at_rest(preset, controls, minutes=4, **said):
    """Means over the last minute of a patient who has settled and then breathed on."""
    run = settled(engine_patient(patient_numbers(preset, said)), controls, SEED)
    run.advance_to(60.0 * minutes, controls)
    rows = np.vstack(run.seconds)[-60:]
    return dict(zip(SECOND_COLUMNS, rows.mean(axis=0), strict=True))


def resting(age, sex="male"):
    return at_rest("healthy_adult", AIR, age_years=age, sex=sex)


# --- size and what follows from it ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("age", "sex", "kg", "cm"),
    [(0, "male", 3.3, 49.9), (0.5, "female", 7.3, 65.7), (1, "male", 9.6, 75.7), (2, "female", 11.5, 86.4)],
)
def test_size_in_infancy_is_the_median_of_the_growth_standards(age, sex, kg, cm):
    # WHO child growth standards, 2006 (from memory).
    numbers = body(age, sex)

    assert numbers["weight_kg"] == pytest.approx(kg, abs=0.15)
    assert numbers["height_cm"] == pytest.approx(cm, abs=0.3)


@pytest.mark.parametrize(
    ("age", "sex", "cm", "bmi"),
    [
        (7, "male", 121.7, 15.48),
        (11, "female", 145.0, 17.25),
        (13, "male", 156.0, 18.23),
        (15, "female", 161.7, 20.2),
    ],
)
def test_size_at_school_is_the_median_of_the_growth_reference(age, sex, cm, bmi):
    # WHO growth reference, 2007 (table seen); ages between the points that the catalogue holds.
    numbers = body(age, sex)

    assert numbers["height_cm"] == pytest.approx(cm, abs=1.5)
    assert numbers["weight_kg"] / (numbers["height_cm"] / 100) ** 2 == pytest.approx(bmi, abs=0.2)


@pytest.mark.parametrize(
    ("age", "ml_kg"), [(0.02, 3.27), (0.5, 3.05), (1, 2.89), (4, 2.38), (8, 2.05), (14, 1.76)]
)
def test_air_passages_of_children_are_those_that_were_measured(age, ml_kg):
    # Numa & Newth 1996, J Appl Physiol 80:1485-9: 3.28 - 0.56 ln(1 + age) mL/kg, 7 days to 14.7 years.
    numbers = body(age)

    assert numbers["anatomical_dead_space_ml"] / numbers["weight_kg"] == pytest.approx(ml_kg, abs=0.04)


def test_most_of_an_infants_dead_space_lies_above_the_throat():
    # Numa & Newth 1996: extrathoracic 2.3 mL/kg in early infancy, 0.8 above six years; 1.03 below, at any
    # age.
    infant, older = body(0.02), [body(age) for age in (7, 9, 11, 13)]

    assert infant["upper_airway_ml"] / infant["weight_kg"] == pytest.approx(2.3, abs=0.1)
    assert np.mean([n["upper_airway_ml"] / n["weight_kg"] for n in older]) == pytest.approx(0.8, abs=0.15)


@pytest.mark.parametrize(("cm", "ml", "low", "high"), [
    (50, 72, 51, 102), (60, 114, 81, 161), (70, 168, 119, 237), (80, 236, 166, 333),
])  # fmt: skip
def test_resting_lung_volume_of_infants_is_what_helium_measured(cm, ml, low, high):
    # Collated helium values by length with 95 % limits, table 1 of an ERJ paper on standards for infants;
    # another set of infants than the formula's (Pediatr Pulmonol 1993;15:357-61).
    age = {50: 0.0, 60: 0.22, 70: 0.64, 80: 1.35}[cm]
    volume = body(age, height_cm=cm)["frc_ml"]

    assert low <= volume <= high
    assert volume == pytest.approx(ml, rel=0.12)


@pytest.mark.parametrize(
    ("age", "low", "high"), [(0.02, 6, 8.5), (0.5, 6, 8.5), (1, 6, 8.5), (6, 5, 7.5), (40, 2.6, 3.6)]
)
def test_small_bodies_use_more_oxygen_for_their_weight(age, low, high):
    # 6 to 8 mL/kg/min in infants, 3.5 in adults (2.6 measured: Byrne 2005); textbooks (from memory).
    numbers = body(age)

    assert low <= numbers["oxygen_use_ml_min"] / numbers["weight_kg"] <= high


def test_an_adults_oxygen_use_goes_with_weight_as_bodies_do():
    # Brody 1945: 10 kg^0.75 mL/min (from memory), within a fifth from 50 to 100 kg.
    for kg in (50, 70, 100):
        used = body(40, height_cm=175, weight_kg=kg)["oxygen_use_ml_min"]
        assert used == pytest.approx(10 * kg**0.75, rel=0.2)


@pytest.mark.parametrize("age", [0.02, 0.25, 0.5, 1.0])
def test_an_infants_heart_moves_what_doppler_measured(age):
    # Alverson 1987, J Ultrasound Med 6:519-24: 204 (SD 45) mL/kg/min through the first year.
    numbers = body(age)

    assert 1000 * numbers["cardiac_output_l_min"] / numbers["weight_kg"] == pytest.approx(204, abs=45)


def test_obesity_takes_a_quarter_of_the_resting_volume():
    # Jones & Nzekwu 2006, Chest 130:827-33: at 30 kg/m2 75 % of what it is at 20. Here it begins at 25, so
    # that the whole of it is reached at 35.
    lean, obese = (body(40, height_cm=175, weight_kg=bmi * 1.75**2)["frc_ml"] for bmi in (20, 35))

    assert obese / lean == pytest.approx(0.75, abs=0.02)


def test_breathing_muscles_weaken_with_age_and_are_weaker_in_women():
    # Harik-Khan 1998, Am J Respir Crit Care Med 158:1459-64: means 101 and 72 cmH2O, 20 to 90 years.
    men, women = (
        [body(age, sex)["muscle_strength_cmh2o"] for age in range(20, 91, 10)] for sex in ("male", "female")
    )

    assert np.mean(men) == pytest.approx(101, abs=10)
    assert np.mean(women) == pytest.approx(72, abs=10)
    assert men == sorted(men, reverse=True)


# --- at rest --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("sex", ["female", "male"])
@pytest.mark.parametrize(
    ("age", "low", "median", "high"),
    [(0.1, 25, 43, 66), (0.4, 24, 41, 64), (0.6, 23, 39, 61), (1.25, 21, 35, 53), (3.5, 17, 25, 33),
     (5, 17, 23, 29), (7, 16, 21, 27), (10, 14, 19, 25), (13.5, 12, 18, 23), (16.5, 11, 16, 22)],
)  # fmt: skip
def test_children_breathe_as_fast_as_children_do(age, low, median, high, sex):
    # Fleming 2011, Lancet 377:1011-8: 1st, 50th and 99th centile (44 at birth and 26 at two years seen, the
    # rest from memory). Tuned on the medians, by rate_bias alone.
    rate = resting(age, sex)["rate_per_min"]

    assert low <= rate <= high
    assert rate == pytest.approx(median, rel=0.12)


@pytest.mark.parametrize("months", [1, 3, 6, 12, 18, 30])
def test_an_infant_breathes_between_a_sleeping_and_a_waking_one(months):
    # Rusconi 1994, Pediatrics 94:350-5 (equations seen): medians asleep and awake, 5th to 95th centile of
    # either. Not tuned on.
    def centile(awake, z):
        first, slope, bend = (1.6801, 0.01189, 0.00013401) if awake else (1.5773, 0.01314, 0.00017646)
        spread, fades = (0.08592, 0.0004301) if awake else (0.09196, 0.0005155)
        return 10 ** (first + spread * z - (slope + fades * z) * months + bend * months**2)

    rate = resting(months / 12)["rate_per_min"]

    assert centile(False, -1.645) <= rate <= centile(True, 1.645)


@pytest.mark.parametrize("age", [0.02, 0.5, 1, 3, 6, 12, 40])
def test_a_breath_is_six_to_nine_millilitres_for_a_kilogram_at_any_age(age):
    # 6 to 8 mL/kg at every age, textbooks; tidal volume for weight does not change with age, Gaultier 1981,
    # Respir Physiol 46:71-80. Not tuned: with rates and gas output given, it follows.
    numbers = body(age)

    assert 5.5 <= resting(age)["tidal_ml"] / numbers["weight_kg"] <= 9


@pytest.mark.parametrize(
    ("age", "median"), [(1 / 52, 97.6), (3 / 52, 98.0), (8, 98.5), (21, 98.0), (40, 97.2), (75, 95.8)]
)
def test_saturation_at_rest_is_that_of_healthy_people_of_that_age(age, median):
    # First week 97.6, second to fourth 98.0 (medians, table 1 of Thorax 2009;64 suppl II; the first is
    # tuned on); children 97 to 100; adults by age 98.0, 97.2 and 95.8, oximetry at sea level (a page that
    # gathers studies).
    assert 100 * resting(age)["sao2_frac"] == pytest.approx(median, abs=1.3)


@pytest.mark.parametrize("age", [20, 30, 40, 50, 60, 70, 80])
def test_arterial_oxygen_falls_with_age_between_two_studies(age):
    # Mellemgaard 1966, Acta Physiol Scand 67:10-20: 104.2 - 0.27 age, seated; Sorbini 1968, Respiration
    # 25:3-13: 109 - 0.43 age, lying (both from memory, SD about 6). In bed lies between. Not tuned on
    # these.
    seated, lying = 104.2 - 0.27 * age, 109.0 - 0.43 * age
    measured = resting(age)["pao2_mmhg"]

    assert min(seated, lying) - 6 <= measured <= max(seated, lying) + 6


def test_arterial_oxygen_of_the_very_old_is_what_was_measured():
    # Cerveri 1995, Am J Respir Crit Care Med 152:934-41: 83.4 (SD 9.2) mmHg from 75 years. Tuned on.
    assert resting(80)["pao2_mmhg"] == pytest.approx(83.4, abs=4)


@pytest.mark.parametrize("sex", ["female", "male"])
@pytest.mark.parametrize("age", [0.02, 0.5, 2, 6, 12, 17, 30, 60, 90])
def test_pulse_pressure_and_acid_of_blood_are_healthy_at_any_age(age, sex):
    # Heart rate: Fleming 2011, 1st to 99th centile of the youngest and of adolescents; pH 7.35 to 7.45;
    # carbon dioxide 32 to 45 mmHg, textbooks (from memory).
    signs = resting(age, sex)

    assert 7.35 <= signs["ph"] <= 7.45
    assert 32 <= signs["paco2_mmhg"] <= 45
    assert 60 <= signs["heart_rate_per_min"] <= 165
    assert signs["fatigue_frac"] == 0
    assert signs["alertness_frac"] > 0.98


# --- presets --------------------------------------------------------------------------------------------

# Rate, saturation of arterial blood in per cent, carbon dioxide in mmHg: what each should rest at on air,
# written with the presets; course text and textbooks, no one source.
ON_AIR = {
    "healthy_adult": ((11, 18), (96, 99), (37, 43)),
    "healthy_woman": ((11, 18), (96, 99), (37, 43)),
    "older_adult": ((11, 20), (94, 98), (37, 43)),
    "healthy_child": ((17, 27), (96, 99), (34, 42)),
    "healthy_infant": ((25, 50), (96, 99), (32, 40)),
    "post_operative": ((18, 26), (86, 92), (36, 43)),
    "pneumonia": ((24, 34), (83, 90), (34, 43)),
    "copd_retainer": ((24, 33), (82, 88), (55, 65)),
    "asthma": ((26, 34), (88, 93), (33, 43)),
    "carbon_monoxide": ((11, 20), (96, 99), (36, 43)),
    "obese_adult": ((13, 22), (93, 97), (37, 44)),
    "opioid": ((5, 10.5), (88, 95), (54, 68)),
    "anaemia": ((12, 22), (96, 99), (36, 43)),
    "methaemoglobinaemia": ((12, 22), (96, 99), (36, 43)),
    "altitude_visitor": ((11, 18), (96, 99), (37, 43)),
    "mucus_plug": ((15, 24), (93, 97), (36, 43)),
    "child_with_asthma": ((31, 45), (89, 93), (32, 42)),
    "child_with_bronchiolitis": ((48, 60), (87, 92), (36, 50)),
}


def test_every_preset_says_what_it_should_rest_at():
    assert set(ON_AIR) == set(presets())


@pytest.mark.parametrize("preset", ON_AIR)
def test_a_preset_rests_on_air_as_its_words_say(preset):
    rate, saturation_pct, carbon_dioxide_mmhg = ON_AIR[preset]

    signs = at_rest(preset, AIR)

    assert rate[0] <= signs["rate_per_min"] <= rate[1]
    assert saturation_pct[0] <= 100 * signs["sao2_frac"] <= saturation_pct[1]
    assert carbon_dioxide_mmhg[0] <= signs["paco2_mmhg"] <= carbon_dioxide_mmhg[1]
    assert signs["fatigue_frac"] < 0.1


USUAL_OXYGEN = {
    "child_with_asthma": ("child_simple_mask", 6.0),
    "child_with_bronchiolitis": ("infant_nasal_cannula", 1.0),
    "healthy_infant": ("infant_nasal_cannula", 1.0),
    "healthy_child": ("child_nasal_cannula", 2.0),
    "carbon_monoxide": ("non_rebreathing_mask", 15.0),
    "asthma": ("simple_mask", 6.0),
}


def wearing(device, flow_lpm):
    """Controls of one device on a wall outlet."""
    flowmeter = {"id": "flowmeter", "max_lpm": 15.0, "flow_lpm": flow_lpm}
    return equipment_from_setup(
        {
            "supplies": [{"id": "outlet", "kind": "wall_oxygen", "flowmeter": flowmeter}],
            "devices": [{"kind": device, "id": "device", "connected_to": "flowmeter", "worn": True}],
        }
    ).controls(760.0)


@pytest.mark.parametrize("preset", ON_AIR)
def test_a_preset_settles_on_oxygen_too_and_gains_from_it(preset):
    # Direction alone; how much, is held elsewhere.
    device, flow_lpm = USUAL_OXYGEN.get(preset, ("nasal_cannula", 2.0))

    signs = at_rest(preset, wearing(device, flow_lpm))

    assert signs["sao2_frac"] > at_rest(preset, AIR)["sao2_frac"]
    assert signs["paco2_mmhg"] == pytest.approx(at_rest(preset, AIR)["paco2_mmhg"], abs=4)


def test_methaemoglobin_draws_the_shown_number_towards_85():
    # Barker 1989, Anesthesiology 70:112-7: falls to about 85 and stays (from memory).
    signs = at_rest("methaemoglobinaemia", AIR)

    assert 84 <= signs["spo2_shown_pct"] <= 90
    assert signs["sao2_frac"] > 0.96


# --- devices on small bodies ----------------------------------------------------------------------------


def inspired(device, flow_lpm, preset, rate, tidal_ml, **said):
    return tidalbay.breath(
        device, flow_lpm, rate_per_min=rate, tidal_ml=tidal_ml, patient=preset, overrides=said or None
    )


def test_a_flow_for_the_weight_gives_an_infant_about_half_oxygen():
    # Shann 1988, Lancet 2:1238-40: 150 mL/kg/min through a catheter behind the nose gave about 50 % below two
    # years. Prongs lose a little more: 0.38 to 0.55. Not tuned on.
    for age, rate, depth_ml in ((0.04, 44, 28), (0.5, 40, 56), (1.5, 31, 92)):
        kg = body(age)["weight_kg"]
        breath = inspired("infant_nasal_cannula", 0.15 * kg, "healthy_infant", rate, depth_ml, age_years=age)
        assert 0.36 <= breath.throat_mean_o2_frac <= 0.55


def test_two_litres_take_most_infants_above_or_near_sixty_per_cent():
    # Kuluz 2001, Respir Care 46:897-901: twenty infants, hypopharynx: above 60 % in two thirds of samples
    # from 2 L/min, less in those above 40 breaths a minute. Not tuned on.
    newborn = inspired("infant_nasal_cannula", 2.0, "healthy_infant", 44, 28, age_years=0.04)
    infant = inspired("infant_nasal_cannula", 2.0, "healthy_infant", 40, 56)

    assert newborn.throat_peak_o2_frac > 0.6
    assert infant.throat_peak_o2_frac > 0.55


def test_the_first_flows_of_the_who_give_moderate_oxygen_at_each_size():
    # WHO 2016 (second-hand): newborns 0.5 to 1, infants 1 to 2, children 1 to 4 L/min. Taken to be about
    # 0.3 to 0.6 (common practice, no source).
    told = [
        inspired("infant_nasal_cannula", 0.5, "healthy_infant", 44, 28, age_years=0.04),
        inspired("infant_nasal_cannula", 1.0, "healthy_infant", 40, 56),
        inspired("child_nasal_cannula", 2.0, "healthy_child", 22, 160),
    ]

    assert all(0.28 <= breath.fio2_frac <= 0.60 for breath in told)


@pytest.mark.parametrize(("flow_lpm", "mmhg"), [(1.0, 3.7), (3.0, 2.7)])
def test_a_childs_mask_at_low_flow_gives_carbon_dioxide_back(flow_lpm, mmhg):
    # Ten healthy children of 5.4 years (median) with a simple mask: inspired 3.7 mmHg at 1 L/min and 2.7 at 3
    # (abstract seen, authors and journal not). Not tuned on.
    masked = inspired("child_simple_mask", flow_lpm, "healthy_child", 23, 155, age_years=5.4)
    bare = inspired("none", 0.0, "healthy_child", 23, 155, age_years=5.4)

    given_back = 713.0 * (masked.inspired_co2_ml - bare.inspired_co2_ml) / 155

    assert given_back == pytest.approx(mmhg, abs=1.2)


def test_a_childs_reservoir_mask_gives_more_than_a_simple_one():
    # Direction: textbooks. 0.80 and more with a full bag and a good fit.
    reservoir = inspired("child_non_rebreathing_mask", 10.0, "healthy_child", 22, 160)
    simple = inspired("child_simple_mask", 10.0, "healthy_child", 22, 160)

    assert reservoir.fio2_frac > simple.fio2_frac
    assert 0.80 <= reservoir.fio2_frac <= 0.98


def test_thin_prongs_press_no_air_into_an_infant():
    # Locke 1993, Pediatrics 91:135-8: prongs of 0.2 cm made no pressure at 0.5 to 2 L/min, of 0.3 cm 9.8
    # cmH2O at 2.
    pressure = at_rest("healthy_infant", wearing("infant_nasal_cannula", 2.0))["throat_pressure_cmh2o"]

    assert 0 <= pressure < 1


# --- time -----------------------------------------------------------------------------------------------


def seconds_to_90_pct(age):
    """From pure oxygen, with breathing stopped and the airway shut."""
    pure = Controls(room_oxygen_frac=1.0)
    run = settled(engine_patient(body(age)), AIR, SEED)
    run.advance_to(180.0, pure)
    run.patient = run.patient._replace(apnoea=1.0)
    run.advance_to(185.0, pure)  # the breath under way ends: shut within it, the airway would hold its gas
    run.advance_to(180.0 + 600.0, pure._replace(airway_open=0.0))
    saturation = np.vstack(run.seconds)[180:, SECOND_COLUMNS.index("sao2_frac")]
    return int(np.flatnonzero(saturation < 0.90)[0])


def test_the_smaller_the_child_the_sooner_oxygen_runs_out():
    # Kinouchi 1992, Anesthesiology 77:1105-7; Patel 1994, Can J Anaesth 41:771-4: direction; infants below.
    times = [seconds_to_90_pct(age) for age in (3.5, 8, 14, 30)]

    assert times == sorted(times)


@pytest.mark.parametrize(("age", "seconds", "spread"), [(3.5, 160.4, 61.4), (14, 382.4, 160)])
def test_children_and_adolescents_hold_out_as_long_as_was_measured(age, seconds, spread):
    # Patel 1994: 160.4 (SD 30.7) s at 2 to 5 years, 382.4 (SD 79.9) at 11 to 18, anaesthetised; two SD. Not
    # tuned.
    assert seconds_to_90_pct(age) == pytest.approx(seconds, abs=spread)


def test_infants_hold_out_as_long_as_was_measured():
    # Patel 1994: 96.5 (SD 12.7) s below six months; a few seconds more in the waking, with more in their
    # lungs.
    assert seconds_to_90_pct(0.25) == pytest.approx(96.5, abs=30)
