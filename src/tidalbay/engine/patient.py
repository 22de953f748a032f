"""The patient as the kernel reads it: constants of one body, free of presets and names."""

from collections.abc import Mapping
from typing import NamedTuple


class Patient(NamedTuple):
    """One body at rest in bed.  Gas in mL BTPS unless said, blood per dL where nurses say so."""

    haemoglobin_g_dl: float = 15.0
    temperature_degc: float = 37.0
    shunt_frac: float = 0.02
    vq_log_sd: float = 0.4  # of perfusion over ln(V/Q)
    dead_ventilation_frac: float = 0.0
    frc_ml: float = 2400.0
    oxygen_use_ml_min: float = 250.0  # STPD
    co2_output_ml_min: float = 200.0  # STPD
    cardiac_output_l_min: float = 5.0
    paco2_habitual_mmhg: float = 40.0
    base_excess_mmol_l: float = 0.0
    carboxyhaemoglobin_frac: float = 0.01
    methaemoglobin_frac: float = 0.005
    co2_sensitivity_l_min_mmhg: float = 2.0
    hypoxic_sensitivity_l_min_mmhg: float = 0.67
    wakeful_drive_l_min: float = 4.0  # at most; what rest asks for is solved with the threshold
    other_drive_l_min: float = 0.0
    co2_threshold_mmhg: float = 36.0  # solved when the patient is settled, not chosen
    rate_bias: float = 0.85
    elastance_cmh2o_l: float = 10.0
    resistance_cmh2o_s_l: float = 3.0
    expiratory_time_constant_s: float = 0.35
    inspiratory_share: float = 0.42
    inspiratory_capacity_ml: float = 2000.0
    mouth_share: float = 0.0
    resting_heart_rate_per_min: float = 70.0
    vasoconstriction: float = 2.0
    anatomical_dead_space_ml: float = 150.0
    upper_airway_ml: float = 65.0  # nose and throat: extrathoracic 72 +/- 32 mL (Nunn 1959)
    breath_variability_frac: float = 0.08
    pain: float = 0.0
    age_years: float = 40.0
    systolic_mmhg: float = 124.0
    diastolic_mmhg: float = 78.0
    sedation_frac: float = 0.0  # opioid or other: 0 none, 1 no response
    muscle_strength_cmh2o: float = 90.0  # greatest inspiratory pressure
    oximeter_bias_frac: float = 0.0  # reading above the truth, by pigment of the skin
    perfusion_index_pct: float = 2.0  # pulsing share of the light at the probe
    motion_frac: float = 0.0  # of the time in which the probe moves
    talking_frac: float = 0.0  # of the time
    reversible_frac: float = 0.75  # of narrowed airways, what a bronchodilator could undo
    heart_drive_per_min: float = 0.0  # beats that a medicine adds
    lobe_frac: float = 0.0  # share of the lung behind one bronchus that a plug can shut
    lobe_plugged: float = 0.0
    blood_ml: float = 5000.0
    weight_kg: float = 70.0
    # Breathing imposed from outside: a bench, a held pattern, apnoea.  0 means the patient's own.
    held_rate_per_min: float = 0.0
    held_tidal_ml: float = 0.0
    held_pause_s: float = 0.0
    apnoea: float = 0.0  # 1: no breathing movements at all


def patient_from(numbers: Mapping[str, float]) -> Patient:
    """A patient from named numbers; names the kernel does not use are left out.

    Parameters
    ----------
    numbers : mapping of field name (with its unit) to value
        As resolved from a case: age, names and the like may be among them.
    """
    return Patient(**{name: float(numbers[name]) for name in Patient._fields if name in numbers})
