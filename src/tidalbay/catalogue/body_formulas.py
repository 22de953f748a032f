"""What a body of an age, sex, height and weight usually has: formulas where nobody says a number.

Children have their own; between 15 and 18 years each formula passes over into that of adults.
"""

from collections.abc import Callable, Mapping
from math import exp, log
from typing import Any, Final

from tidalbay.catalogue.body_norms import usual_at

FEVER_PER_DEGC: Final = 0.10  # oxygen used per degree above 37; textbooks, 0.10 to 0.13 (from memory)
RESPIRATORY_QUOTIENT: Final = 0.8  # textbooks
UPPER_AIRWAY_SHARE: Final = 0.43  # of the dead space, adults: Nunn 1959, J Appl Physiol 14:187
CHEST_DEAD_ML_KG: Final = 1.03  # below the throat, children of every age: Numa & Newth 1996
DEAD_SPACE_ML_KG: Final = 2.2  # adults: Numa & Newth, J Appl Physiol 1996;80:1485-9
FRC_ML_KG: Final = 34.0  # adults, between textbook values sitting and lying (from memory)
INSPIRATORY_CAPACITY_ML_KG: Final = 28.34  # 2000 mL in the usual man in bed; assumed
FRC_LOST_PER_BMI: Final = 0.0288  # to 75 % from 20 to 30 kg/m2: Jones & Nzekwu 2006, Chest 130:827-33
LEAN_BMI: Final = 25.0  # kg/m2; below it weight takes nothing from the lungs (assumed)
LEAST_FRC_SHARE: Final = 0.5  # nothing is left to lose near residual volume (assumed)
DRIVE_KG: Final = 70.0  # children's answers to gases are smaller by weight over this; see `_drive_share`
CO2_SENSITIVITY_L_MIN_MMHG: Final = 2.0  # adults 2 to 3, 0.5 to 8, West & Read 1967 (from memory)
HYPOXIC_SENSITIVITY_L_MIN_MMHG: Final = 0.67  # adults; see its field
WAKEFUL_DRIVE_L_MIN: Final = 4.0  # adults, at most; assumed


def adult_share(age_years: float) -> float:
    """How far a body has come from child (0, at 15 years) to adult (1, from 18). [1]"""
    return min(1.0, max(0.0, (age_years - 15.0) / 3.0))


def _passing_over(age_years: float, child: float, adult: float) -> float:
    share = adult_share(age_years)
    return (1.0 - share) * child + share * adult


# --- size -----------------------------------------------------------------------------------------------


def usual_weight_kg(age_years: float, sex: str, height_cm: float) -> float:
    """Weight of the median body mass index at that age, for this height. [kg]"""
    return usual_at("body_mass_index_kg_m2", age_years, sex) * (height_cm / 100.0) ** 2


def predicted_weight_kg(height_cm: float, sex: str) -> float:
    """Weight that adults' lungs are sized for. [kg]

    50 (men) or 45.5 kg (women) and 0.91 kg for each cm above 152.4: ARDS Network, N Engl J Med
    2000;342:1301-8 (from memory).
    """
    return (50.0 if sex == "male" else 45.5) + 0.91 * (height_cm - 152.4)


def lung_weight_kg(age_years: float, sex: str, height_cm: float) -> float:
    """Weight that the lungs fit: of a child, the usual one for age and height; else predicted. [kg]"""
    adult = max(30.0, predicted_weight_kg(height_cm, sex))
    return _passing_over(age_years, usual_weight_kg(age_years, sex, height_cm), adult)


def body_surface_m2(weight_kg: float, height_cm: float) -> float:
    """Surface of an adult's body. [m2]

    Du Bois & Du Bois, Arch Intern Med 1916;17:863-71 (from memory).
    """
    return 0.007184 * float(weight_kg**0.425) * float(height_cm**0.725)


def child_surface_m2(weight_kg: float, height_cm: float) -> float:
    """Surface of a child's body. [m2]

    Haycock, Schwartz & Wisotsky, J Pediatr 1978;93:62-6 (from memory).
    """
    return 0.024265 * float(weight_kg**0.5378) * float(height_cm**0.3964)


# --- gas used, blood moved ------------------------------------------------------------------------------


def resting_oxygen_use_ml_min(weight_kg: float, height_cm: float, age_years: float, sex: str) -> float:
    """Oxygen used at rest without fever. [mL/min STPD]

    Adults' resting energy by Mifflin et al., Am J Clin Nutr 1990;51:241-7 (from memory), children's
    by Schofield, Hum Nutr Clin Nutr 1985;39 suppl 1:5-41; turned into oxygen by Weir, J Physiol
    1949;109:1-9 (from memory), at a respiratory quotient of 0.8.
    """
    adult_kcal_day = (
        10.0 * weight_kg + 6.25 * height_cm - 5.0 * age_years + (5.0 if sex == "male" else -161.0)
    )
    energy_kcal_day = _passing_over(age_years, _child_kcal_day(weight_kg, age_years, sex), adult_kcal_day)
    kcal_per_l = 3.94 + 1.11 * RESPIRATORY_QUOTIENT
    return energy_kcal_day / 1440.0 / kcal_per_l * 1000.0


def _child_kcal_day(weight_kg: float, age_years: float, sex: str) -> float:
    """Resting energy of a child by weight: Schofield 1985, its three spans of age."""
    if age_years < 3.0:
        per_kg, base = (59.512, -30.4) if sex == "male" else (58.317, -31.1)
    elif age_years < 10.0:
        per_kg, base = (22.706, 504.3) if sex == "male" else (20.315, 485.9)
    else:
        per_kg, base = (17.686, 658.2) if sex == "male" else (13.384, 692.6)
    return per_kg * weight_kg + base


def _oxygen_use(known: Mapping[str, Any]) -> float:
    resting = resting_oxygen_use_ml_min(
        known["weight_kg"], known["height_cm"], known["age_years"], known["sex"]
    )
    fever_degc = max(0.0, float(known["temperature_degc"]) - 37.0)
    return resting * (1.0 + FEVER_PER_DEGC * fever_degc)


def _cardiac_output(known: Mapping[str, Any]) -> float:
    size = known["weight_kg"], known["height_cm"]
    surface_m2 = _passing_over(known["age_years"], child_surface_m2(*size), body_surface_m2(*size))
    return _usual("cardiac_index_l_min_m2", known) * surface_m2


def _blood_ml(known: Mapping[str, Any]) -> float:
    """Blood by lean weight, and by the root of what is above it: Lemmens 2006, Obes Surg 16:773-6."""
    lean_kg = _lung_kg(known)
    above = max(1.0, known["weight_kg"] / lean_kg) ** 0.5
    return _usual("blood_ml_kg", known) * lean_kg * float(above)


# --- lungs and chest ------------------------------------------------------------------------------------


def dead_space_ml_kg(age_years: float) -> float:
    """Air passages without exchange, per kg of the weight that the lungs fit. [mL/kg]

    3.28 - 0.56 ln(1 + age) from 7 days to 14.7 years and 2.2 in adults: Numa & Newth, J Appl Physiol
    1996;80:1485-9.
    """
    return _passing_over(age_years, 3.28 - 0.56 * log(1.0 + min(age_years, 14.7)), DEAD_SPACE_ML_KG)


def upper_airway_ml_kg(age_years: float) -> float:
    """Of the dead space, what lies in nose and throat. [mL/kg]

    In children all but 1.03 mL/kg (2.3 mL/kg in early infancy, 0.8 above 6 years: Numa & Newth
    1996); in adults 0.43 of it (72 mL, SD 32, of about 150: Nunn 1959, J Appl Physiol 14:187).
    """
    child = dead_space_ml_kg(min(age_years, 14.7)) - CHEST_DEAD_ML_KG
    return _passing_over(age_years, child, UPPER_AIRWAY_SHARE * DEAD_SPACE_ML_KG)


def resting_volume_ml(age_years: float, sex: str, height_cm: float, weight_kg: float) -> float:
    """Gas left in the lungs after a quiet breath out, half sitting. [mL BTPS]

    Infants: ln(FRC) = -5.465 + 2.49 ln(length in cm), 112 of them, 1 to 31 months, Tepper & Reister
    1993, Pediatr Pulmonol 15:357-61 (authors from memory); adults 34 mL/kg of predicted weight;
    from 3 to 18 years a straight passage between the two (assumed).  Weight takes from it in adults
    (Jones & Nzekwu 2006, Chest 130:827-33).
    """
    share = min(1.0, max(0.0, (age_years - 3.0) / 15.0))
    by_length = exp(-5.465 + 2.49 * log(height_cm))
    lean = (1.0 - share) * by_length + share * FRC_ML_KG * lung_weight_kg(age_years, sex, height_cm)
    return lean * _passing_over(age_years, 1.0, _share_of_lean(weight_kg, height_cm))


def _share_of_lean(weight_kg: float, height_cm: float) -> float:
    above = max(0.0, weight_kg / (height_cm / 100.0) ** 2 - LEAN_BMI)
    return max(LEAST_FRC_SHARE, exp(-FRC_LOST_PER_BMI * above))


def inspiratory_strength_cmh2o(age_years: float, sex: str, height_cm: float, weight_kg: float) -> float:
    """Greatest pressure of breathing in. [cmH2O]

    Adults: Harik-Khan, Wise & Fozard 1998, Am J Respir Crit Care Med 158:1459-64, 20 to 90 years;
    weight held within 45 to 120 kg.  Children: see the table of norms.
    """
    kg = min(120.0, max(45.0, weight_kg))
    man, woman = 126.0 - 1.028 * age_years + 0.343 * kg, 171.0 - 0.694 * age_years + 0.861 * kg
    adult = man if sex == "male" else woman - 0.743 * height_cm
    return _passing_over(age_years, usual_at("muscle_strength_cmh2o", age_years, sex), max(30.0, adult))


# --- drives ---------------------------------------------------------------------------------------------


def _drive_share(known: Mapping[str, Any]) -> float:
    """Size of a body's answer to carbon dioxide or low oxygen, of an adult's. [1]

    In proportion to weight in children: 0.71 against 2.10 L/min per mmHg of carbon dioxide in eight
    before puberty and eleven adults, Gozal 1994, J Appl Physiol 76:1968-75.
    """
    return _passing_over(known["age_years"], min(1.0, _lung_kg(known) / DRIVE_KG), 1.0)


# --- by field -------------------------------------------------------------------------------------------


def _usual(norm: str, known: Mapping[str, Any]) -> float:
    return usual_at(norm, known["age_years"], known["sex"])


def _lung_kg(known: Mapping[str, Any]) -> float:
    return lung_weight_kg(known["age_years"], known["sex"], known["height_cm"])


def _by_table(norm: str) -> Callable[[Mapping[str, Any]], float]:
    return lambda known: _usual(norm, known)


def _frame(known: Mapping[str, Any]) -> tuple[float, str, float, float]:
    return known["age_years"], known["sex"], known["height_cm"], known["weight_kg"]


# Digits behind the point, and the formula, which reads only fields that stand before it in the catalogue.
# Rounded, so that a patient is the same to the last digit on every machine.
FORMULAS: Final[Mapping[str, tuple[int, Callable[[Mapping[str, Any]], float]]]] = {
    "height_cm": (1, _by_table("height_cm")),
    "weight_kg": (1, lambda known: usual_weight_kg(known["age_years"], known["sex"], known["height_cm"])),
    "haemoglobin_g_dl": (1, _by_table("haemoglobin_g_dl")),
    "shunt_frac": (3, _by_table("shunt_frac")),
    "vq_log_sd": (3, _by_table("vq_log_sd")),
    "frc_ml": (0, lambda known: resting_volume_ml(*_frame(known))),
    "oxygen_use_ml_min": (1, _oxygen_use),
    "co2_output_ml_min": (1, lambda known: RESPIRATORY_QUOTIENT * known["oxygen_use_ml_min"]),
    "cardiac_output_l_min": (2, _cardiac_output),
    "paco2_habitual_mmhg": (1, _by_table("paco2_habitual_mmhg")),
    "base_excess_mmol_l": (1, _by_table("base_excess_mmol_l")),
    "co2_sensitivity_l_min_mmhg": (3, lambda known: CO2_SENSITIVITY_L_MIN_MMHG * _drive_share(known)),
    "hypoxic_sensitivity_l_min_mmhg": (3, lambda known: HYPOXIC_SENSITIVITY_L_MIN_MMHG * _drive_share(known)),
    "wakeful_drive_l_min": (2, lambda known: WAKEFUL_DRIVE_L_MIN * _drive_share(known)),
    "rate_bias": (2, _by_table("rate_bias")),
    "elastance_cmh2o_l": (
        1,
        lambda known: 1000.0 / (_usual("compliance_ml_cmh2o_kg", known) * _lung_kg(known)),
    ),
    "resistance_cmh2o_s_l": (1, _by_table("resistance_cmh2o_s_l")),
    "expiratory_time_constant_s": (2, _by_table("expiratory_time_constant_s")),
    "inspiratory_capacity_ml": (0, lambda known: INSPIRATORY_CAPACITY_ML_KG * _lung_kg(known)),
    "resting_heart_rate_per_min": (0, _by_table("resting_heart_rate_per_min")),
    "anatomical_dead_space_ml": (1, lambda known: dead_space_ml_kg(known["age_years"]) * _lung_kg(known)),
    "systolic_mmhg": (0, _by_table("systolic_mmhg")),
    "diastolic_mmhg": (0, _by_table("diastolic_mmhg")),
    "upper_airway_ml": (1, lambda known: upper_airway_ml_kg(known["age_years"]) * _lung_kg(known)),
    "muscle_strength_cmh2o": (0, lambda known: inspiratory_strength_cmh2o(*_frame(known))),
    "blood_ml": (0, _blood_ml),
}


def by_formula(field: str, known: Mapping[str, Any]) -> float:
    """The usual value of a field, from the fields that stand before it. Rounded."""
    digits, formula = FORMULAS[field]
    return round(float(formula(known)), digits)
