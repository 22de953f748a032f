"""The kernel: one patient, breath after breath, in sub-intervals of exact volumes.

This is the only place where a breath is computed.  `advance` runs until a time is reached and
may be called again with other controls: a change takes hold at the next sub-interval, and what
came before has the same digits with and without it.
"""

import tidalbay.engine.layout as at
from tidalbay.engine.airway import change_mask, label_stores, move_gas, set_gas, throat_pressure_cmh2o
from tidalbay.engine.breathing import (
    RISING_STEPS,
    blood_pressure_mmhg,
    finish_breath,
    plan_breath,
    remember_second,
)
from tidalbay.engine.layout import Floats
from tidalbay.engine.lungs import (
    all_fall_behind,
    catch_up,
    exchange,
    mix_leaving,
    move_units,
    share_out_air,
    windpipe_volume_ml,
)
from tidalbay.engine.patient import Patient
from tidalbay.science.arithmetic import cosine_of_half_turn
from tidalbay.science.chance import MOTION_STREAM, OXIMETER_STREAM, normal, uniform
from tidalbay.science.controls import Controls
from tidalbay.science.jit import in_kernel
from tidalbay.science.oximetry import displayed_pct, functional_reading_frac
from tidalbay.science.ventilation import expired_share_left
from tidalbay.units import BODY_K, BODY_WATER_MMHG, STANDARD_K, STANDARD_MMHG

# Share of the tidal volume in the chest at the end of each sub-interval of breathing in:
# (1 - cos(pi t / TI)) / 2, flow with its peak half way and pi/2 of its mean.
RISE = tuple(0.5 - 0.5 * cosine_of_half_turn(i / RISING_STEPS) for i in range(RISING_STEPS + 1))

# Assumed, between a four-beat exponential average (an oximeter's manual) and 30 s at most until a sudden
# change is shown (a monitor's specification).
PROBE_AVERAGING_S = 8.0
PROBE_NOISE_FRAC = 0.015  # before averaging; 0.4 % after it (assumed)
NOT_SHOWN = -1.0
HELD_S = 10.0  # the last number is held this long without a signal, then dashes (an oximeter's manual)
WEAKEST_PERFUSION_PCT = 0.3  # a monitor's specification asks for more than this
# Red and infrared pulsing alike: a ratio of 1 (Severinghaus & Kelleher 1992, from memory).
ALIKE_READS_FRAC = 0.85


@in_kernel
def advance(
    state: Floats,
    patient: Patient,
    controls: Controls,
    seed: int,
    until_s: float,
    seconds: Floats,
    breaths: Floats,
) -> tuple[int, int]:
    """Advance one patient to a time, or until there is no room left to write.

    Parameters
    ----------
    state : float array (STATE_SIZE,), changed in place
    patient : Patient
    controls : Controls
        Hold from the next sub-interval on.
    seed : int, 0 to 2**32 - 1
        Key of this attempt's chance.
    until_s : float
        The last sub-interval is the one in which this time is reached. [s]
    seconds : float array (n, N_SECOND_COLUMNS), written from row 0
    breaths : float array (m, N_BREATH_COLUMNS), written from row 0

    Returns
    -------
    tuple of int
        Rows written to `seconds` and to `breaths`.
    """
    dry_mmhg = controls.barometric_mmhg - BODY_WATER_MMHG
    stpd_per_btps = (STANDARD_K / BODY_K) * dry_mmhg / STANDARD_MMHG
    n_seconds = 0
    n_breaths = 0
    set_gas(state, at.ROOM_AIR, controls.room_oxygen_frac, at.ROOM)
    if state[at.FACE_PLACING] != controls.face_placing:
        change_mask(state, controls)
    while state[at.TIME_S] < until_s and n_seconds < len(seconds) and n_breaths < len(breaths):
        if state[at.SUBINTERVAL] >= state[at.SUBINTERVALS]:
            plan_breath(state, patient, seed)
            label_stores(state)
            share_out_air(state, patient)
        step(state, patient, controls, dry_mmhg, stpd_per_btps)
        if state[at.SUBINTERVAL] >= state[at.SUBINTERVALS]:
            finish_breath(state, patient, dry_mmhg)
            if state[at.TIDAL_ML] > 0.0:
                write_breath(state, breaths[n_breaths], dry_mmhg)
                n_breaths += 1
        while state[at.TIME_S] >= state[at.NEXT_SECOND] and n_seconds < len(seconds):
            remember_second(state)
            read_probe(state, patient, controls, seed)
            write_second(state, patient, controls, seconds[n_seconds], dry_mmhg)
            n_seconds += 1
            state[at.NEXT_SECOND] += 1.0
    return n_seconds, n_breaths


@in_kernel
def step(state: Floats, patient: Patient, controls: Controls, dry_mmhg: float, stpd_per_btps: float) -> None:
    """One sub-interval: chest, gas on its way, lung units, blood."""
    number = int(state[at.SUBINTERVAL])
    rising = int(state[at.INSPIRATORY_SUBINTERVALS])
    inward = number < rising
    if inward:
        dt_s = state[at.INSPIRATORY_S] / rising
        chest_ml = state[at.TIDAL_ML] * RISE[number + 1]
    else:
        falling = int(state[at.SUBINTERVALS]) - rising
        dt_s = state[at.EXPIRATORY_S] / falling
        chest_ml = state[at.TIDAL_ML] * expired_share_left(
            dt_s * (number + 1 - rising), state[at.EMPTYING_S], state[at.EMPTYING_CONSTANT_S]
        )
    state[at.CHEST_ML] = chest_ml
    frc_ml = state[at.FRC_ML]
    moved_ml, leaving_ml, left_o2, left_co2 = 0.0, 0.0, 0.0, 0.0
    if controls.airway_open > 0.5:
        catch_up(state, patient, dt_s)
        moved_ml = windpipe_volume_ml(state, frc_ml, chest_ml)
        leaving_ml = mix_leaving(state, frc_ml, chest_ml)
        left_o2, left_co2 = state[at.LUNG + at.O2], state[at.LUNG + at.CO2]
    throat_o2 = move_gas(state, patient, controls, moved_ml, dt_s)
    if controls.airway_open > 0.5:
        fresh_o2, fresh_co2 = state[at.LUNG + at.O2], state[at.LUNG + at.CO2]
        move_units(state, frc_ml, chest_ml, moved_ml, fresh_o2, fresh_co2, leaving_ml, left_o2, left_co2)
    exchange(state, patient, dry_mmhg, stpd_per_btps, dt_s)
    if controls.airway_open <= 0.5:
        all_fall_behind(state, frc_ml, chest_ml)
    if inward:
        state[at.THROAT_O2_S] += throat_o2 * dt_s
        state[at.THROAT_PEAK_O2] = max(state[at.THROAT_PEAK_O2], throat_o2)
        state[at.PEAK_FLOW_ML_S] = max(state[at.PEAK_FLOW_ML_S], moved_ml / dt_s)
    state[at.BAG_MIN_ML] = min(state[at.BAG_MIN_ML], state[at.BAG_ML])
    state[at.SUBINTERVAL] = number + 1.0
    state[at.TIME_S] += dt_s


@in_kernel
def read_probe(state: Floats, patient: Patient, controls: Controls, seed: int) -> None:
    """What reaches a finger probe now: blood of some seconds ago, with noise, averaged."""
    cold = 1.5 if patient.perfusion_index_pct < 1.0 else 1.0  # blood comes later to a cold finger
    back = min(at.N_HISTORY - 1.0, max(0.0, cold * controls.probe_delay_s))
    then = state[at.HISTORY + int(max(0.0, state[at.NEXT_SECOND] - back)) % at.N_HISTORY]
    cohb, methb = state[at.COHB_FRAC], patient.methaemoglobin_frac
    normal_haem = 1.0 - cohb - methb
    seen = functional_reading_frac(then * normal_haem, cohb, methb, (1.0 - then) * normal_haem)
    seen += patient.oximeter_bias_frac
    second = int(state[at.NEXT_SECOND])
    # Motion makes both colours pulse alike, which reads as about 85 %.
    if uniform(seed, MOTION_STREAM, second, 0) < patient.motion_frac:
        seen += 0.6 * (ALIKE_READS_FRAC - seen)
    quiet = max(WEAKEST_PERFUSION_PCT, patient.perfusion_index_pct)
    noise = PROBE_NOISE_FRAC * max(1.0, 1.0 / quiet)
    seen += noise * normal(seed, OXIMETER_STREAM, second, 0)
    state[at.LOST_S] += 1.0
    if controls.probe_on > 0.5 and patient.perfusion_index_pct >= WEAKEST_PERFUSION_PCT:
        state[at.LOST_S] = 0.0
        state[at.PROBE_AVERAGE] += (seen - state[at.PROBE_AVERAGE]) / PROBE_AVERAGING_S
        state[at.SHOWN_PCT] = displayed_pct(state[at.PROBE_AVERAGE])
    elif controls.probe_on < 0.5 or state[at.LOST_S] > HELD_S:
        state[at.SHOWN_PCT] = NOT_SHOWN


@in_kernel
def write_breath(state: Floats, row: Floats, dry_mmhg: float) -> None:
    """One row of BREATH_COLUMNS."""
    inspired = max(1e-9, state[at.INSPIRED_ML])
    labelled = (
        state[at.LEDGER_SUPPLIED_ML]
        + state[at.LEDGER_THROAT_ML]
        + state[at.LEDGER_MASK_ML]
        + state[at.LEDGER_BAG_ML]
        + state[at.LEDGER_ROOM_ML]
    )
    row[0] = state[at.BREATH_START_S]
    row[1] = state[at.TIME_S] - state[at.BREATH_START_S]
    row[2] = state[at.INSPIRATORY_S]
    row[3] = state[at.TIDAL_ML]
    row[4] = state[at.INSPIRED_ML]
    row[5] = state[at.INSPIRED_O2_ML] / inspired
    row[6] = state[at.THROAT_O2_S] / state[at.INSPIRATORY_S]
    row[7] = state[at.THROAT_PEAK_O2]
    row[8] = state[at.END_TIDAL_O2]
    row[9] = state[at.END_TIDAL_CO2] * dry_mmhg
    row[10] = state[at.INSPIRED_CO2_ML]
    row[11] = state[at.PEAK_FLOW_ML_S] * 0.06
    row[12] = state[at.BAG_MIN_ML]
    row[13] = state[at.LEDGER_SUPPLIED_ML]
    row[14] = state[at.LEDGER_THROAT_ML]
    row[15] = state[at.LEDGER_MASK_ML]
    row[16] = state[at.LEDGER_BAG_ML]
    row[17] = state[at.LEDGER_ROOM_ML]
    row[18] = state[at.INSPIRED_ML] - labelled


@in_kernel
def write_second(state: Floats, patient: Patient, controls: Controls, row: Floats, dry_mmhg: float) -> None:
    """One row of SECOND_COLUMNS."""
    row[0] = state[at.NEXT_SECOND]
    row[1] = state[at.SHOWN_PCT]
    row[2] = state[at.SAO2]
    row[3] = state[at.PAO2]
    row[4] = state[at.PACO2]
    row[5] = state[at.PH]
    row[6] = state[at.LAST_FIO2]
    row[7] = state[at.LAST_END_TIDAL_O2]
    row[8] = state[at.LAST_END_TIDAL_CO2] * dry_mmhg
    row[9] = state[at.LAST_RATE_PER_MIN]
    row[10] = state[at.LAST_TIDAL_ML]
    row[11] = state[at.DEMAND_L_MIN]
    row[12] = state[at.HEART_RATE_PER_MIN]
    row[13] = state[at.BAG_ML]
    row[14] = state[at.CHEST_ML]
    row[15] = state[at.SHUNT_FRAC]
    row[16] = patient.perfusion_index_pct
    row[17] = patient.motion_frac
    row[18] = throat_pressure_cmh2o(patient, controls)
    row[19] = state[at.COHB_FRAC]
    row[20] = state[at.EFFORT_INDEX]
    row[21] = state[at.FATIGUE_FRAC]
    row[22] = state[at.ALERTNESS_FRAC]
    row[23] = state[at.CONFUSION_FRAC]
    row[24], row[25] = blood_pressure_mmhg(state, patient)
