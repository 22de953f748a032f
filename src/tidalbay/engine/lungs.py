"""Gas in the lung units, blood past them, and the pools that blood and tissue are.

Units stand in parallel over the ventilation-perfusion ratio; the last one has no blood.  Each
exchange is implicit in the unit's new pressures with blood contents taken as linear about a
recent point: the linear content is what is exchanged, so that mass closes whatever the point.
The point is renewed when a unit has moved away from it: two to four times in a quiet breath,
where a Newton solution in every sub-interval would cost twenty times as much.
"""

import tidalbay.engine.layout as at
from tidalbay.engine.layout import Floats
from tidalbay.engine.patient import Patient
from tidalbay.science.arithmetic import exp
from tidalbay.science.blood import contents_and_slopes
from tidalbay.science.circulation import stirred
from tidalbay.science.jit import in_kernel

NITROGEN_ML_ML_MMHG = 1.7e-5  # solubility in blood at 37 °C, 0.0130 mL/mL/atm (from memory)

# Blood pools; arterial and venous sum to about 3.3 L of the 5 L, the rest moves with tissue.
ARTERIAL_ML = 900.0
VENOUS_ML = 2400.0
# Tissue as the volume of blood that would hold as much: oxygen little, carbon dioxide much.
FAST_O2_ML, SLOW_O2_ML = 1100.0, 900.0
FAST_FLOW_SHARE = 0.70
FAST_USE_SHARE = 0.70
# Tuned on apnoea: 9.8 +/- 1.9 mmHg in minute 1, then 3.4-4.4 a minute (Kobayashi & Yokoyama 1994).
FAST_CO2_ML_KG, SLOW_CO2_ML_KG = 60.0, 213.0
BODY_NITROGEN_BLOOD_ML_KG = 130.0  # tissue nitrogen as a volume of blood; fat holds most (assumed)

SMALLEST_UNIT_ML = 1e-3

# A lobe that was shut opens with this time constant: collapsed lung under a held pressure of 40 cmH2O, Rothen
# 1999, Br J Anaesth 82:551-6 (from memory).  A patient's own breaths press less and may take longer.
LOBE_OPENS_S = 2.6
QUICKEST_FILLING_S = 0.05  # of the whole lung behind an airway that opens (assumed)
NOT_BEHIND_ML = 1e-6  # too little to follow any longer
RESIDUAL_FRAC = 0.25  # of its resting volume: the chest presses a unit no smaller (assumed)

# How far a unit may move from the point of its linear blood before that point is renewed.
RENEW_O2_FRAC = 0.05
RENEW_CO2_MMHG = 2.0
# Each breath starts with new points: a unit that hardly moves would else keep an old one for good.
NO_POINT = -1e6


# Nodes and weights of five-point Gauss-Hermite quadrature for a normal density (Abramowitz &
# Stegun 1964, table 25.10, in standard deviations): five units, where sixty change saturation by
# under 0.2 % at a log SD of 1.0 and 1.0 % at 1.5.
NODES_SD = (-2.8569700138728056, -1.3556261799742659, 0.0, 1.3556261799742659, 2.8569700138728056)
WEIGHTS = (
    0.011257411327720689,
    0.22207592200561263,
    0.53333333333333333,
    0.22207592200561263,
    0.011257411327720689,
)


@in_kernel
def spread_over_units(state: Floats, patient: Patient) -> None:
    """Share air and blood out over the units, log-normal over the ventilation-perfusion ratio."""
    state[at.VQ_LOG_SD] = patient.vq_log_sd
    state[at.DEAD_VENTILATION] = patient.dead_ventilation_frac
    lobe, dead = patient.lobe_frac, patient.dead_ventilation_frac
    aired = 0.0
    for k in range(at.LOBE):
        aired += WEIGHTS[k] * exp(patient.vq_log_sd * NODES_SD[k])
    for k in range(at.N_UNITS):
        unit = at.UNITS + k * at.N_UNIT_FIELDS
        if k < at.LOBE:
            blood = (1.0 - lobe) * WEIGHTS[k]
            air = (1.0 - lobe) * (1.0 - dead) * WEIGHTS[k] * exp(patient.vq_log_sd * NODES_SD[k]) / aired
        elif k == at.LOBE:  # air and blood fit each other in it
            blood = lobe
            air = lobe * (1.0 - dead)
        else:
            blood = 0.0
            air = dead
        state[unit + at.UNIT_FLOW_SHARE] = blood
        state[unit + at.UNIT_AIR_SHARE] = air
        # A unit's size lies between its share of air and its share of blood (assumed).
        size = blood * (1.0 - dead) if k != at.DEAD else dead
        state[unit + at.UNIT_REST_SHARE] = 0.5 * (air + size)


@in_kernel
def renew_linear_blood(
    state: Floats,
    unit: int,
    patient: Patient,
    base_excess_mmol_l: float,
    cohb_frac: float,
    po2_mmhg: float,
    pco2_mmhg: float,
) -> None:
    """Contents of the blood that leaves a unit, and their slopes, about a new point."""
    contents, by_ln_po2, by_ln_pco2 = contents_and_slopes(
        po2_mmhg,
        pco2_mmhg,
        patient.haemoglobin_g_dl,
        base_excess_mmol_l,
        patient.temperature_degc,
        cohb_frac,
        patient.methaemoglobin_frac,
    )
    state[unit + at.AT_PO2] = po2_mmhg
    state[unit + at.AT_PCO2] = pco2_mmhg
    state[unit + at.AT_O2] = 0.01 * contents[0]
    state[unit + at.AT_CO2] = 0.01 * contents[1]
    state[unit + at.O2_BY_PO2] = 0.01 * by_ln_po2[0] / po2_mmhg
    state[unit + at.CO2_BY_PO2] = 0.01 * by_ln_po2[1] / po2_mmhg
    state[unit + at.O2_BY_PCO2] = 0.01 * by_ln_pco2[0] / pco2_mmhg
    state[unit + at.CO2_BY_PCO2] = 0.01 * by_ln_pco2[1] / pco2_mmhg


@in_kernel
def unit_volume_ml(state: Floats, unit: int) -> float:
    """Gas in one unit. [mL BTPS]"""
    return float(state[unit + at.UNIT_O2_ML] + state[unit + at.UNIT_CO2_ML] + state[unit + at.UNIT_N2_ML])


@in_kernel
def target_volume_ml(state: Floats, unit: int, frc_ml: float, chest_ml: float) -> float:
    """What a unit holds now that it has followed the chest; a shut one keeps what it has. [mL BTPS]"""
    if state[unit + at.UNIT_AIR_NOW] <= 0.0:
        return unit_volume_ml(state, unit)
    rest_ml = state[unit + at.UNIT_REST_SHARE] * frc_ml
    wanted_ml = rest_ml + state[unit + at.UNIT_AIR_NOW] * chest_ml - state[unit + at.UNIT_BEHIND_ML]
    least_ml = RESIDUAL_FRAC * rest_ml
    if wanted_ml >= least_ml:
        return float(wanted_ml)
    return float(max(wanted_ml, min(least_ml, unit_volume_ml(state, unit))))


@in_kernel
def fall_behind(state: Floats, unit: int, frc_ml: float, chest_ml: float) -> None:
    """Note what a unit lacks to fit the chest, or has too much; it comes once the way is open."""
    fitting_ml = state[unit + at.UNIT_REST_SHARE] * frc_ml + state[unit + at.UNIT_AIR_NOW] * chest_ml
    state[unit + at.UNIT_BEHIND_ML] = fitting_ml - unit_volume_ml(state, unit)


@in_kernel
def all_fall_behind(state: Floats, frc_ml: float, chest_ml: float) -> None:
    """A sub-interval behind a shut airway: the chest moves, blood takes gas up, and nothing comes in."""
    for k in range(at.N_UNITS):
        unit = at.UNITS + k * at.N_UNIT_FIELDS
        if state[unit + at.UNIT_AIR_NOW] > 0.0:
            fall_behind(state, unit, frc_ml, chest_ml)


@in_kernel
def catch_up(state: Floats, patient: Patient, dt_s: float) -> None:
    """Units that fell behind fill or empty: the lung by its elastance and resistance, a lobe slower.

    The recoil of the gap drives flow through the resistance, gap E / R, so that the gap fades with R / E.
    """
    filling_s = max(QUICKEST_FILLING_S, patient.resistance_cmh2o_s_l / patient.elastance_cmh2o_l)
    for k in range(at.N_UNITS):
        unit = at.UNITS + k * at.N_UNIT_FIELDS
        behind_ml = state[unit + at.UNIT_BEHIND_ML]
        if behind_ml != 0.0 and state[unit + at.UNIT_AIR_NOW] > 0.0:
            lag_s = max(filling_s, LOBE_OPENS_S) if k == at.LOBE else filling_s
            left_ml = behind_ml * exp(-dt_s / lag_s)
            state[unit + at.UNIT_BEHIND_ML] = left_ml if abs(left_ml) > NOT_BEHIND_ML else 0.0


@in_kernel
def share_out_air(state: Floats, patient: Patient) -> None:
    """Who takes part in the next breath: all units, or all but a plugged lobe; their points are renewed."""
    spread_anew = (
        state[at.VQ_LOG_SD] != patient.vq_log_sd
        or state[at.DEAD_VENTILATION] != patient.dead_ventilation_frac
    )
    if spread_anew:
        spread_over_units(state, patient)
    lobe = at.UNITS + at.LOBE * at.N_UNIT_FIELDS
    shut = patient.lobe_plugged > 0.5
    was_shut = state[lobe + at.UNIT_AIR_NOW] <= 0.0
    others = 1.0 - state[lobe + at.UNIT_AIR_SHARE] if shut else 1.0
    for k in range(at.N_UNITS):
        unit = at.UNITS + k * at.N_UNIT_FIELDS
        state[unit + at.UNIT_AIR_NOW] = state[unit + at.UNIT_AIR_SHARE] / others
        state[unit + at.AT_PO2] = NO_POINT
    if shut:
        state[lobe + at.UNIT_AIR_NOW] = 0.0
    elif was_shut and state[lobe + at.UNIT_AIR_NOW] > 0.0:
        fall_behind(state, lobe, state[at.FRC_ML], state[at.CHEST_ML])
    if spread_anew:  # lungs do not change their shape in one sub-interval
        all_fall_behind(state, state[at.FRC_ML], state[at.CHEST_ML])


@in_kernel
def windpipe_volume_ml(state: Floats, frc_ml: float, chest_ml: float) -> float:
    """Volume that must pass the windpipe for the units to fit the chest; inward positive. [mL]"""
    wanted = 0.0
    for k in range(at.N_UNITS):
        unit = at.UNITS + k * at.N_UNIT_FIELDS
        wanted += target_volume_ml(state, unit, frc_ml, chest_ml) - unit_volume_ml(state, unit)
    return wanted


@in_kernel
def mix_leaving(state: Floats, frc_ml: float, chest_ml: float) -> float:
    """Composition of the gas that units give off, as it is before any fresh gas joins it."""
    for i in range(at.N_GASES):
        state[at.LUNG + i] = 0.0
    leaving_ml = 0.0
    for k in range(at.N_UNITS):
        unit = at.UNITS + k * at.N_UNIT_FIELDS
        volume = unit_volume_ml(state, unit)
        out_ml = volume - target_volume_ml(state, unit, frc_ml, chest_ml)
        if out_ml > 0.0 and volume > 0.0:
            leaving_ml += out_ml
            state[at.LUNG + at.O2] += out_ml * state[unit + at.UNIT_O2_ML] / volume
            state[at.LUNG + at.CO2] += out_ml * state[unit + at.UNIT_CO2_ML] / volume
    if leaving_ml > 0.0:
        state[at.LUNG + at.O2] /= leaving_ml
        state[at.LUNG + at.CO2] /= leaving_ml
    return leaving_ml


@in_kernel
def move_units(
    state: Floats,
    frc_ml: float,
    chest_ml: float,
    moved_ml: float,
    fresh_o2: float,
    fresh_co2: float,
    leaving_ml: float,
    left_o2: float,
    left_co2: float,
) -> None:
    """Fill and empty every unit to its place in the chest.

    Units that fill draw one mixture: fresh gas from the windpipe and what others give off.
    """
    o2, co2 = left_o2, left_co2
    fresh_ml = max(0.0, moved_ml)
    if fresh_ml > 0.0:
        share = fresh_ml / (fresh_ml + leaving_ml)
        o2 += share * (fresh_o2 - o2)
        co2 += share * (fresh_co2 - co2)
    for k in range(at.N_UNITS):
        unit = at.UNITS + k * at.N_UNIT_FIELDS
        volume = unit_volume_ml(state, unit)
        taken_ml = target_volume_ml(state, unit, frc_ml, chest_ml) - volume
        if taken_ml > 0.0:
            state[unit + at.UNIT_O2_ML] += taken_ml * o2
            state[unit + at.UNIT_CO2_ML] += taken_ml * co2
            state[unit + at.UNIT_N2_ML] += taken_ml * (1.0 - o2 - co2)
        elif volume > 0.0:
            kept = 1.0 + taken_ml / volume
            state[unit + at.UNIT_O2_ML] *= kept
            state[unit + at.UNIT_CO2_ML] *= kept
            state[unit + at.UNIT_N2_ML] *= kept


@in_kernel
def exchange(state: Floats, patient: Patient, dry_mmhg: float, stpd_per_btps: float, dt_s: float) -> None:
    """One sub-interval of gas exchange and blood flow."""
    flow_ml = state[at.CARDIAC_OUTPUT_ML_S] * dt_s
    shunt = state[at.SHUNT_FRAC]
    _return_to_lungs(state, patient, flow_ml)
    venous_o2, venous_co2 = state[at.VENOUS_O2], state[at.VENOUS_CO2]
    mixed_o2, mixed_co2, nitrogen = shunt * venous_o2, shunt * venous_co2, 0.0
    for k in range(at.N_PERFUSED):
        unit = at.UNITS + k * at.N_UNIT_FIELDS
        if state[unit + at.UNIT_FLOW_SHARE] <= 0.0:
            continue
        share = (1.0 - shunt) * state[unit + at.UNIT_PERFUSION_SHARE]
        blood_ml = flow_ml * share / stpd_per_btps  # so that contents exchange in mL BTPS
        volume = max(SMALLEST_UNIT_ML, unit_volume_ml(state, unit))
        mmhg_per_ml = dry_mmhg / volume
        po2 = state[unit + at.UNIT_O2_ML] * mmhg_per_ml
        pco2 = state[unit + at.UNIT_CO2_ML] * mmhg_per_ml
        if (
            abs(po2 - state[unit + at.AT_PO2]) > 0.3 + RENEW_O2_FRAC * state[unit + at.AT_PO2]
            or abs(pco2 - state[unit + at.AT_PCO2]) > RENEW_CO2_MMHG
        ):
            renew_linear_blood(
                state,
                unit,
                patient,
                state[at.BLOOD_BASE_EXCESS],
                state[at.COHB_FRAC],
                max(0.1, po2),
                max(0.1, pco2),
            )
        # (1/k + b dO2/dPO2) x + b dO2/dPCO2 y = n - P/k - b (C - Cv), and the same for CO2
        d_oo = 1.0 / mmhg_per_ml + blood_ml * state[unit + at.O2_BY_PO2]
        d_oc = blood_ml * state[unit + at.O2_BY_PCO2]
        d_co = blood_ml * state[unit + at.CO2_BY_PO2]
        d_cc = 1.0 / mmhg_per_ml + blood_ml * state[unit + at.CO2_BY_PCO2]
        r_o = (po2 - state[unit + at.AT_PO2]) / mmhg_per_ml - blood_ml * (state[unit + at.AT_O2] - venous_o2)
        r_c = (pco2 - state[unit + at.AT_PCO2]) / mmhg_per_ml - blood_ml * (
            state[unit + at.AT_CO2] - venous_co2
        )
        determinant = d_oo * d_cc - d_oc * d_co
        x = (r_o * d_cc - d_oc * r_c) / determinant
        y = (d_oo * r_c - d_co * r_o) / determinant
        o2 = state[unit + at.AT_O2] + state[unit + at.O2_BY_PO2] * x + state[unit + at.O2_BY_PCO2] * y
        co2 = state[unit + at.AT_CO2] + state[unit + at.CO2_BY_PO2] * x + state[unit + at.CO2_BY_PCO2] * y
        # A unit cannot give what it has not got: the linear content is bounded by its gas.
        o2 = min(max(0.0, o2), max(0.0, venous_o2) + state[unit + at.UNIT_O2_ML] / max(1e-12, blood_ml))
        state[unit + at.UNIT_O2_ML] -= blood_ml * (o2 - venous_o2)
        state[unit + at.UNIT_CO2_ML] -= blood_ml * (co2 - venous_co2)
        mixed_o2 += share * o2
        mixed_co2 += share * co2
        # Nitrogen: linear, and only with the body's own pressure of it
        carried = blood_ml * NITROGEN_ML_ML_MMHG
        pn2 = (state[unit + at.UNIT_N2_ML] + carried * state[at.BODY_PN2]) / (1.0 / mmhg_per_ml + carried)
        taken = carried * (pn2 - state[at.BODY_PN2])
        state[unit + at.UNIT_N2_ML] -= taken
        nitrogen += taken
    body_ml = BODY_NITROGEN_BLOOD_ML_KG * patient.weight_kg * NITROGEN_ML_ML_MMHG
    state[at.BODY_PN2] += nitrogen * stpd_per_btps / body_ml
    _circulate(state, patient, mixed_o2, mixed_co2, flow_ml, dt_s)


@in_kernel
def body_size(patient: Patient) -> float:
    """Size of the pools of blood and tissue oxygen, against an adult with five litres of blood. [1]"""
    return patient.blood_ml / 5000.0


@in_kernel
def _return_to_lungs(state: Floats, patient: Patient, flow_ml: float) -> None:
    """Veins take what both tissues held at the last step, and give what the lungs now get."""
    slow = 1.0 - FAST_FLOW_SHARE
    veins_ml = VENOUS_ML * body_size(patient)
    back_o2 = FAST_FLOW_SHARE * state[at.TISSUE_FAST_O2] + slow * state[at.TISSUE_SLOW_O2]
    back_co2 = FAST_FLOW_SHARE * state[at.TISSUE_FAST_CO2] + slow * state[at.TISSUE_SLOW_CO2]
    state[at.VENOUS_O2] = stirred(state[at.VENOUS_O2], veins_ml, flow_ml, back_o2)
    state[at.VENOUS_CO2] = stirred(state[at.VENOUS_CO2], veins_ml, flow_ml, back_co2)


@in_kernel
def _circulate(
    state: Floats, patient: Patient, mixed_o2: float, mixed_co2: float, flow_ml: float, dt_s: float
) -> None:
    """Lungs to arteries to two tissues, which burn oxygen and make carbon dioxide.

    Tissue gives off its content of the last step, the one that the veins have just taken: the
    ring of pools is cut there, explicitly, so that what one gives is what the next one gets.
    """
    size = body_size(patient)
    arteries_ml = ARTERIAL_ML * size
    arterial_o2 = stirred(state[at.ARTERIAL_O2], arteries_ml, flow_ml, mixed_o2)
    arterial_co2 = stirred(state[at.ARTERIAL_CO2], arteries_ml, flow_ml, mixed_co2)
    state[at.ARTERIAL_O2], state[at.ARTERIAL_CO2] = arterial_o2, arterial_co2
    fast_ml = flow_ml * FAST_FLOW_SHARE
    slow_ml = flow_ml - fast_ml
    use_ml = patient.oxygen_use_ml_min * dt_s / 60.0
    make_ml = patient.co2_output_ml_min * dt_s / 60.0
    fast_use_ml = FAST_USE_SHARE * use_ml * _supply_factor(state[at.TISSUE_FAST_O2])
    slow_use_ml = (1.0 - FAST_USE_SHARE) * use_ml * _supply_factor(state[at.TISSUE_SLOW_O2])
    fast_brought_ml = fast_ml * (arterial_o2 - state[at.TISSUE_FAST_O2])
    slow_brought_ml = slow_ml * (arterial_o2 - state[at.TISSUE_SLOW_O2])
    # Nobody burns more in one sub-interval than is there (a small body made to need what a large one does).
    fast_use_ml = min(fast_use_ml, state[at.TISSUE_FAST_O2] * FAST_O2_ML * size + fast_brought_ml)
    slow_use_ml = min(slow_use_ml, state[at.TISSUE_SLOW_O2] * SLOW_O2_ML * size + slow_brought_ml)
    state[at.TISSUE_FAST_O2] += (fast_brought_ml - fast_use_ml) / (FAST_O2_ML * size)
    state[at.TISSUE_SLOW_O2] += (slow_brought_ml - slow_use_ml) / (SLOW_O2_ML * size)
    fast_gain_ml = fast_ml * (arterial_co2 - state[at.TISSUE_FAST_CO2]) + FAST_USE_SHARE * make_ml
    slow_gain_ml = slow_ml * (arterial_co2 - state[at.TISSUE_SLOW_CO2]) + (1.0 - FAST_USE_SHARE) * make_ml
    state[at.TISSUE_FAST_CO2] += fast_gain_ml / (FAST_CO2_ML_KG * patient.weight_kg)
    state[at.TISSUE_SLOW_CO2] += slow_gain_ml / (SLOW_CO2_ML_KG * patient.weight_kg)
    state[at.USED_O2_ML] += fast_use_ml + slow_use_ml
    state[at.MADE_CO2_ML] += make_ml


@in_kernel
def _supply_factor(content: float) -> float:
    """Share of its oxygen need that tissue can still meet: fades below 1.5 mL/dL. [1]"""
    return max(0.0, min(1.0, content / 0.015))
