"""Patients: published formulas where nobody says a number, and no body that could not live."""

import re
from itertools import pairwise

import pytest

from tidalbay.catalogue.body_formulas import (
    body_surface_m2,
    child_surface_m2,
    predicted_weight_kg,
    resting_oxygen_use_ml_min,
)
from tidalbay.catalogue.body_norms import body_norms
from tidalbay.catalogue.patients import (
    PatientError,
    patient_fields,
    patient_numbers,
    preset_fault,
    presets,
)
from tidalbay.trace import unit_of

# What the engine reads, by these very names.
ENGINE_READS = re.findall(
    r"\S+",
    """
    haemoglobin_g_dl temperature_degc shunt_frac vq_log_sd dead_ventilation_frac frc_ml oxygen_use_ml_min
    co2_output_ml_min cardiac_output_l_min paco2_habitual_mmhg base_excess_mmol_l carboxyhaemoglobin_frac
    methaemoglobin_frac co2_sensitivity_l_min_mmhg hypoxic_sensitivity_l_min_mmhg wakeful_drive_l_min
    other_drive_l_min rate_bias elastance_cmh2o_l resistance_cmh2o_s_l expiratory_time_constant_s
    inspiratory_share inspiratory_capacity_ml mouth_share resting_heart_rate_per_min vasoconstriction
    anatomical_dead_space_ml breath_variability_frac pain weight_kg
""",
)


def test_every_number_that_the_engine_reads_is_there():
    numbers = patient_numbers("healthy_adult")

    assert set(ENGINE_READS) <= set(numbers)
    assert set(numbers) == set(patient_fields())
    assert [name for name, value in numbers.items() if not isinstance(value, float)] == ["sex"]


@pytest.mark.parametrize("field", patient_fields().values(), ids=lambda field: field.name)
def test_a_number_has_its_unit_its_range_and_where_it_comes_from(field):
    assert field.basis
    assert field.about
    if not field.choices:
        assert field.low < field.high
        assert field.unit == (unit_of(field.name) or "")


@pytest.mark.parametrize("preset", presets())
def test_every_preset_is_a_possible_patient(preset):
    numbers = patient_numbers(preset)

    for name, field in patient_fields().items():
        assert numbers[name] in field.choices or field.low <= numbers[name] <= field.high
    assert all(figure.basis and figure.mark for figure in presets()[preset].figures.values())


def test_the_textbook_man_uses_about_as_much_oxygen_as_textbooks_say():
    # 250 mL/min at 70 kg (textbooks, from memory); 10 kg^0.75, 242 mL/min: Brody 1945 (from memory);
    # measured 2.6 mL/min per kg: Byrne et al., J Appl Physiol 2005;99:1112 (from memory), 182 mL/min.
    used = patient_numbers("healthy_adult")["oxygen_use_ml_min"]

    assert 182 <= used <= 250


def test_resting_oxygen_use_is_the_published_energy_turned_into_oxygen():
    # Mifflin 1990: 10 x 70 + 6.25 x 175 - 5 x 40 + 5 = 1598.75 kcal a day. Weir 1949: 3.94 kcal for each
    # litre of oxygen and 1.11 for each litre of carbon dioxide, so 4.828 at a quotient of 0.8.
    used = resting_oxygen_use_ml_min(weight_kg=70, height_cm=175, age_years=40, sex="male")

    assert used == pytest.approx(1598.75 / 1440 / 4.828 * 1000, rel=1e-12)


def test_a_degree_of_fever_takes_a_tenth_more_oxygen():
    # 10 to 13 % a degree: textbooks (from memory).
    cool = patient_numbers("healthy_adult")["oxygen_use_ml_min"]
    warm = patient_numbers("healthy_adult", {"temperature_degc": 39})["oxygen_use_ml_min"]

    assert 1.20 <= warm / cool <= 1.26


def test_predicted_weight_is_that_of_the_lung_protection_trial():
    # ARDS Network, N Engl J Med 2000;342:1301: 50 + 0.91 (height - 152.4) kg, women 45.5 (from memory).
    assert predicted_weight_kg(175, "male") == pytest.approx(70.6, abs=0.05)
    assert predicted_weight_kg(163, "female") == pytest.approx(55.1, abs=0.05)


def test_the_surface_of_the_textbook_man():
    # Du Bois & Du Bois 1916: 1.84 to 1.85 m2 for 70 kg and 175 cm (from memory).
    assert body_surface_m2(70, 175) == pytest.approx(1.85, abs=0.01)


def test_dead_space_is_that_of_numa_and_newth():
    # Numa & Newth, J Appl Physiol 1996;80:1485-9: 2.2 mL/kg in adults.
    numbers = patient_numbers("healthy_adult")

    assert numbers["anatomical_dead_space_ml"] == pytest.approx(2.2 * 70.6, abs=1)


GROWN = [name for name in presets() if patient_numbers(name)["age_years"] >= 18]


@pytest.mark.parametrize("preset", GROWN)
def test_heart_and_lungs_are_within_what_textbooks_give_for_adults(preset):
    # Cardiac index 2.5 to 4.0 L/min/m2; functional residual capacity of people in bed 1.5 to 3.0 L, more with
    # hyperinflation and less with obesity: textbooks (from memory). Anaemia raises the output.
    numbers = patient_numbers(preset)

    index = numbers["cardiac_output_l_min"] / body_surface_m2(numbers["weight_kg"], numbers["height_cm"])
    assert 2.3 <= index <= 4.0
    assert (800 if preset == "obese_adult" else 1500) <= numbers["frc_ml"] <= 4000


AGES = [0, 0.02, 0.08, 0.25, 0.5, 1, 2, 5, 9, 13, 15.5, 17, 18, 30, 60, 95, 110]


@pytest.mark.parametrize("sex", ["female", "male"])
@pytest.mark.parametrize("age", AGES)
def test_a_body_of_any_age_is_possible_with_nothing_else_said(age, sex):
    numbers = patient_numbers("healthy_adult", {"age_years": age, "sex": sex})

    for name, field in patient_fields().items():
        assert numbers[name] in field.choices or field.low <= numbers[name] <= field.high


@pytest.mark.parametrize("sex", ["female", "male"])
@pytest.mark.parametrize("field", [field.name for field in patient_fields().values() if field.usual is None])
def test_growing_up_has_no_jumps(field, sex):
    # From one year, a quarter of a year changes no number by more than a tenth of its largest value; the
    # months after birth are steep in truth.
    quarters = [
        patient_numbers("healthy_adult", {"age_years": 1 + 0.25 * quarter, "sex": sex})[field]
        for quarter in range(80)
    ]

    steps = [abs(later - sooner) for sooner, later in pairwise(quarters)]
    assert 0 < max(steps) <= 0.1 * max(map(abs, quarters))


def test_what_is_usual_at_an_age_says_how_it_is_known():
    fields = patient_fields()

    for norm in body_norms().values():
        assert norm.basis
        assert norm.mark in ("source", "practice", "tuned", "assumed")
        assert norm.id not in fields or norm.unit == fields[norm.id].unit


def test_a_table_of_norms_is_read_between_its_ages_and_held_beyond_them():
    height = body_norms()["height_cm"]

    assert height.at(5.5, "male") == pytest.approx((110.0 + 116.0) / 2)
    assert height.at(0, "female") == 49.1
    assert height.at(90, "female") == 163.0


def test_the_surface_of_a_child():
    # Haycock 1978: 0.024265 x kg^0.5378 x cm^0.3964; about 0.25 m2 in a newborn, 0.5 at one year and 1 at
    # nine or ten, textbooks (from memory).
    assert child_surface_m2(3.4, 50) == pytest.approx(0.22, abs=0.03)
    assert child_surface_m2(10, 76) == pytest.approx(0.47, abs=0.03)
    assert child_surface_m2(30, 136) == pytest.approx(1.06, abs=0.04)


def test_only_the_age_need_be_said_for_a_child():
    child = patient_numbers("healthy_adult", {"age_years": 5})

    assert child["height_cm"] == 110.0
    assert child["weight_kg"] == 18.5
    assert child["resting_heart_rate_per_min"] == 98


def test_a_number_of_the_case_wins_and_what_follows_from_it_follows():
    small = patient_numbers("healthy_adult", {"weight_kg": 50, "shunt_frac": 0.1})

    assert small["weight_kg"] == 50.0
    assert small["shunt_frac"] == 0.1
    assert small["oxygen_use_ml_min"] < patient_numbers("healthy_adult")["oxygen_use_ml_min"]
    assert patient_numbers("healthy_adult", {"oxygen_use_ml_min": 300})["co2_output_ml_min"] == 240.0


IMPOSSIBLE = [
    ({"haemoglobin_g_dl": 0}, "haemoglobin_g_dl is 0. Allowed: 3 to 25 g/dL. 3 is nearest."),
    ({"age_years": 400}, "age_years is 400. Allowed: 0 to 110 years. 110 is nearest."),
    ({"age_years": -1}, "age_years is -1. Allowed: 0 to 110 years. 0 is nearest."),
    ({"temperature_degc": 60}, "temperature_degc is 60. Allowed: 30 to 42.5 °C. 42.5 is nearest."),
    ({"weight_kg": 0.9}, "weight_kg is 0.9. Allowed: 2 to 300 kg. 2 is nearest."),
    ({"shunt_frac": "a third"}, "shunt_frac is a third, not a number. Allowed: 0 to 0.6."),
    ({"pain": None}, "pain is empty, not a number. Allowed: 0 to 10."),
    ({"sex": "man"}, "sex is man. Allowed: female, male."),
    ({"shoe_size": 42}, "a patient has no shoe_size. The page of cases lists them."),
    ({"heamoglobin_g_dl": 12}, "a patient has no heamoglobin_g_dl. Did you mean haemoglobin_g_dl?"),
    ({"hb": 12}, "a patient has no hb. Write haemoglobin_g_dl."),
    (
        {"pH": 3},
        "a patient has no pH. Write base_excess_mmol_l; pH and bicarbonate follow from base excess and carbon"
        " dioxide.",
    ),
    (
        {"spo2": 70},
        "a patient has no spo2. Write shunt_frac; oxygen in the blood follows from the lungs.",
    ),
    (
        {"age months": 6},
        "a patient has no age months. Write age_years; six months are 0.5, a week is 0.02.",
    ),
    (
        {"age_years": 1, "height_cm": 180},
        "height_cm is 180 at 12 months. Allowed: 45 to 102 cm at that age.",
    ),
    (
        {"age_years": 0.02, "height_cm": 90},
        "height_cm is 90 at 7 days. Allowed: 31 to 69 cm at that age.",
    ),
    (
        {"weight_kg": 3},
        "3 kg at 175 cm is a body mass index of 1. Allowed: a body mass index of 10 to 90 kg/m2.",
    ),
    (
        {"weight_kg": 250, "height_cm": 130},
        "250 kg at 130 cm is a body mass index of 148. Allowed: a body mass index of 10 to 90 kg/m2.",
    ),
    (
        {"age_years": 4, "weight_kg": 70},
        "70 kg at 103.3 cm is a body mass index of 66."
        " Allowed: a body mass index of 8 to 50 kg/m2 in a child.",
    ),
    (
        {"frc_ml": 300},
        "frc_ml is 300, and 2399 is usual for a man of 40 years, 175 cm and 70 kg."
        " Allowed: 480 to 5998 in this body.",
    ),
    (
        {"age_years": 0.5, "sex": "female", "oxygen_use_ml_min": 250},
        "oxygen_use_ml_min is 250, and 56.8 is usual for a girl of 6 months, 65.7 cm and 7.3 kg."
        " Allowed: 22.7 to 199 in this body.",
    ),
    (
        {"age_years": 6, "resting_heart_rate_per_min": 40},
        "resting_heart_rate_per_min is 40, and 94 is usual for a boy of 6 years, 116 cm and 20.6 kg."
        " Allowed: 47 to 207 in this body.",
    ),
    (
        {"systolic_mmhg": 80, "diastolic_mmhg": 90},
        "the blood pressure is 80 over 90. Allowed: an upper pressure at least 10 mmHg above the lower.",
    ),
    (
        {"oxygen_use_ml_min": 200, "co2_output_ml_min": 400},
        "carbon dioxide made over oxygen used is 2.00. Allowed: a respiratory quotient of 0.6 to 1.3.",
    ),
    (
        {"carboxyhaemoglobin_frac": 0.4, "methaemoglobin_frac": 0.3},
        "carboxyhaemoglobin and methaemoglobin together leave too little haemoglobin for oxygen."
        " Allowed: 0 to 0.6 together.",
    ),
    (
        {"frc_ml": 500, "anatomical_dead_space_ml": 300},
        "frc_ml is 500 with air passages of 300 mL. Allowed: at least three times the anatomical dead space.",
    ),
]


@pytest.mark.parametrize(("overrides", "sentence"), IMPOSSIBLE)
def test_no_patient_is_made_that_could_not_live(overrides, sentence):
    with pytest.raises(PatientError) as refused:
        patient_numbers("healthy_adult", overrides)

    assert str(refused.value) == sentence


def test_everything_that_is_wrong_is_said_at_once():
    with pytest.raises(PatientError) as refused:
        patient_numbers("helthy_adult", {"age_years": 400, "haemoglobin_g_dl": 0})

    assert str(refused.value).splitlines() == [
        "there is no preset helthy_adult. Allowed: healthy_adult, healthy_woman, older_adult, healthy_child,"
        " healthy_infant, post_operative, pneumonia, copd_retainer, asthma, carbon_monoxide, obese_adult,"
        " opioid, anaemia, methaemoglobinaemia, altitude_visitor, mucus_plug, child_with_asthma,"
        " child_with_bronchiolitis. Did you mean healthy_adult?",
        "age_years is 400. Allowed: 0 to 110 years. 110 is nearest.",
        "haemoglobin_g_dl is 0. Allowed: 3 to 25 g/dL. 3 is nearest.",
    ]


def test_a_preset_that_is_there_is_no_fault():
    assert preset_fault("pneumonia") is None
