"""An oracle: the engine's equations solved again, in small steps, by another road.

Same continuous equations, nothing else in common.  The chest follows its curve at every moment,
spaces are stirred by rate equations, the windpipe is a tape that gas is written on at one end and
read from at the other (plug flow, no parcels), lung units meet the whole non-linear blood in
every step, and all of it is advanced together by the classical Runge-Kutta method.  `chain_rates`
is the same as ordinary differential equations, with a chain of small stirred tanks in place of
the tape, for solvers that know nothing else.

Shared with the engine are constants and the published functions of `science`, nothing of
`tidalbay.engine` that computes.  Left out: breathing chosen by the patient, apnoea, entrainment,
bags without their valve.  What the engine renews once a breath by definition (output of the heart,
share of flow by vasoconstriction, base excess, carbon monoxide) is taken from an engine state.
"""

from math import ceil, cos, exp, floor, pi, sin
from typing import Any, NamedTuple

import numba
import numpy as np

import tidalbay.engine.layout as at
from tidalbay.engine import airway, lungs
from tidalbay.science import airway as flows
from tidalbay.science.blood import blood_contents, pressures_from_contents
from tidalbay.science.jit import compiled
from tidalbay.units import BODY_WATER_MMHG, stpd_per_btps

# Places in the vector of unknowns.  Pairs are oxygen and carbon dioxide.
PASSED = 0  # volume through the windpipe, inward positive [mL]
NOSE, UVULA, PHARYNX, MOUTH, FACE = 1, 3, 5, 7, 9  # fractions
BAG = 11  # volume [mL]
ARTERIAL, FAST, SLOW, VENOUS = 12, 14, 16, 18  # contents [mL/mL]
BODY_PN2 = 20
INSPIRED, INSPIRED_O2 = 21, 22  # volumes of the breath under way [mL]
UNITS = 23  # a pair of volumes for each [mL BTPS]
SIZE = UNITS + 2 * at.N_UNITS
LINE = SIZE  # of the chain only: as many pairs of fractions as it has tanks

TAPE_ML = 0.05  # grid of the tape
TAPE_ROOM = 2**16  # 3.3 L of it, more than any breath and the windpipe
EDGE_ML = 2.0  # over which a bag turns empty or full, so that no step leaps past it


class Held(NamedTuple):
    """Constants of one held pattern of breathing, one body, one set-up."""

    inspiratory_s: float
    emptying_s: float
    expiratory_s: float
    constant_s: float
    tidal_ml: float
    frc_ml: float
    rest_share: Any
    air_share: Any
    blood_share: Any  # of cardiac output, shunt taken off
    shunt: float
    flow_ml_s: float
    haemoglobin: float
    base_excess: float
    temperature: float
    cohb: float
    methb: float
    oxygen_use_ml_s: float
    co2_output_ml_s: float
    weight_kg: float
    dry_mmhg: float
    stpd_per_btps: float
    upper_ml: float
    line_ml: float
    mouth_ml_s_cmh2o: float
    nose_ml_s_cmh2o: float
    gap_ml_s_cmh2o: float
    prong_ml_s: float
    prong_o2: float
    stirring_ml_s: float
    room_o2: float
    face_ml: float
    face_ml_s: float
    face_o2: float
    open_ml_s_cmh2o: float
    draught_ml_s: float
    shield_ml_s: float
    bag_ml: float
    bag_ml_s: float
    bag_o2: float
    bag_valve_ml_s_cmh2o: float
    bag_opening_cmh2o: float
    size: float  # of pools of blood and of tissue oxygen, against five litres of blood
    haste: float  # by which the stores of tissue are divided

    @property
    def breath_s(self):
        return self.inspiratory_s + self.expiratory_s


class Breath(NamedTuple):
    """What one breath of the oracle came to, at its end."""

    time_s: float
    pao2_mmhg: float
    paco2_mmhg: float
    sao2_frac: float
    fio2_frac: float


_contents = compiled(blood_contents, None)
_nasal_flow = compiled(flows.nasal_flow_ml_s, None)
_bag_share = compiled(flows.bag_share_ml_s, None)
_draught = compiled(flows.draught_ml_s, None)
_quick = numba.njit(error_model="numpy", nogil=True)

NITROGEN = lungs.NITROGEN_ML_ML_MMHG
NOSE_SHARE, UVULA_SHARE, PHARYNX_SHARE = airway.NOSE_SHARE, airway.UVULA_SHARE, airway.PHARYNX_SHARE
MOUTH_SHARE, STIR_NOSE, STIR_THROAT = airway.MOUTH_SHARE, airway.STIR_NOSE, airway.STIR_THROAT
ARTERIAL_ML, VENOUS_ML = lungs.ARTERIAL_ML, lungs.VENOUS_ML
FAST_O2_ML, SLOW_O2_ML = lungs.FAST_O2_ML, lungs.SLOW_O2_ML
FAST_CO2_ML_KG, SLOW_CO2_ML_KG = lungs.FAST_CO2_ML_KG, lungs.SLOW_CO2_ML_KG
FAST_FLOW, FAST_USE = lungs.FAST_FLOW_SHARE, lungs.FAST_USE_SHARE
BODY_N2_ML_KG = lungs.BODY_NITROGEN_BLOOD_ML_KG
N_UNITS, N_PERFUSED = at.N_UNITS, at.N_PERFUSED


@_quick
def chest(t_s, held):
    """Volume above rest and its rate of change at a moment of the breath. [mL, mL/s]"""
    if t_s < held.inspiratory_s:
        turn = pi * t_s / held.inspiratory_s
        return (
            held.tidal_ml * 0.5 * (1.0 - cos(turn)),
            held.tidal_ml * 0.5 * sin(turn) * pi / held.inspiratory_s,
        )
    x = (t_s - held.inspiratory_s) / held.constant_s
    end = held.emptying_s / held.constant_s
    if x >= end:
        return 0.0, 0.0
    left_over = (1.0 + end) * exp(-end)
    scale = held.tidal_ml / (1.0 - left_over)
    return scale * ((1.0 + x) * exp(-x) - left_over), -scale * x * exp(-x) / held.constant_s


@_quick
def uptake(k, chest_ml, y, held):
    """Oxygen, carbon dioxide and nitrogen that blood takes from a unit, and what it then holds."""
    if k >= N_PERFUSED or held.blood_share[k] <= 0.0:
        return 0.0, 0.0, 0.0, 0.0, 0.0
    volume = held.rest_share[k] * held.frc_ml + held.air_share[k] * chest_ml
    o2, co2 = y[UNITS + 2 * k], y[UNITS + 2 * k + 1]
    per_ml = held.dry_mmhg / volume
    o2_ml_dl, co2_ml_dl, _, _ = _contents(
        o2 * per_ml,
        co2 * per_ml,
        held.haemoglobin,
        held.base_excess,
        held.temperature,
        held.cohb,
        held.methb,
    )
    o2_content, co2_content = 0.01 * o2_ml_dl, 0.01 * co2_ml_dl
    blood = held.flow_ml_s * held.blood_share[k] / held.stpd_per_btps
    nitrogen = NITROGEN * ((volume - o2 - co2) * per_ml - y[BODY_PN2])
    return (
        blood * (o2_content - y[VENOUS]),
        blood * (co2_content - y[VENOUS + 1]),
        blood * nitrogen,
        o2_content,
        co2_content,
    )


@_quick
def lung_rates(t_s, y, fresh_o2, fresh_co2, held, rates):
    """Rates of units and blood; returns flow through the windpipe and what the units give off."""
    chest_ml, chest_ml_s = chest(t_s, held)
    windpipe = leaving = left_o2 = left_co2 = nitrogen = 0.0
    mixed_o2, mixed_co2 = held.shunt * y[VENOUS], held.shunt * y[VENOUS + 1]
    filling = np.empty(N_UNITS)
    for k in range(N_UNITS):
        o2, co2, n2, o2_content, co2_content = uptake(k, chest_ml, y, held)
        rates[UNITS + 2 * k], rates[UNITS + 2 * k + 1] = -o2, -co2
        nitrogen += n2
        filling[k] = held.air_share[k] * chest_ml_s + o2 + co2 + n2
        windpipe += filling[k]
        if k < N_PERFUSED:
            mixed_o2 += held.blood_share[k] * o2_content
            mixed_co2 += held.blood_share[k] * co2_content
        if filling[k] < 0.0:
            volume = held.rest_share[k] * held.frc_ml + held.air_share[k] * chest_ml
            leaving -= filling[k]
            left_o2 -= filling[k] * y[UNITS + 2 * k] / volume
            left_co2 -= filling[k] * y[UNITS + 2 * k + 1] / volume
            rates[UNITS + 2 * k] += filling[k] * y[UNITS + 2 * k] / volume
            rates[UNITS + 2 * k + 1] += filling[k] * y[UNITS + 2 * k + 1] / volume
    drawn = leaving + max(0.0, windpipe)
    drawn_o2 = left_o2 + max(0.0, windpipe) * fresh_o2
    drawn_co2 = left_co2 + max(0.0, windpipe) * fresh_co2
    for k in range(N_UNITS):
        if filling[k] > 0.0:
            rates[UNITS + 2 * k] += filling[k] * drawn_o2 / drawn
            rates[UNITS + 2 * k + 1] += filling[k] * drawn_co2 / drawn
    blood_rates(y, mixed_o2, mixed_co2, nitrogen, held, rates)
    if leaving > 0.0:
        return windpipe, left_o2 / leaving, left_co2 / leaving
    return windpipe, fresh_o2, fresh_co2


@_quick
def blood_rates(y, mixed_o2, mixed_co2, nitrogen, held, rates):
    """Lungs, arteries, two tissues, veins."""
    q = held.flow_ml_s
    fast_q, slow_q = q * FAST_FLOW, q * (1.0 - FAST_FLOW)
    rates[ARTERIAL] = q * (mixed_o2 - y[ARTERIAL]) / (ARTERIAL_ML * held.size)
    rates[ARTERIAL + 1] = q * (mixed_co2 - y[ARTERIAL + 1]) / (ARTERIAL_ML * held.size)
    use, make = held.oxygen_use_ml_s, held.co2_output_ml_s
    rates[FAST] = (fast_q * (y[ARTERIAL] - y[FAST]) - FAST_USE * use) / (FAST_O2_ML * held.size)
    rates[SLOW] = (slow_q * (y[ARTERIAL] - y[SLOW]) - (1.0 - FAST_USE) * use) / (SLOW_O2_ML * held.size)
    rates[FAST + 1] = (fast_q * (y[ARTERIAL + 1] - y[FAST + 1]) + FAST_USE * make) / (
        FAST_CO2_ML_KG * held.weight_kg / held.haste
    )
    rates[SLOW + 1] = (slow_q * (y[ARTERIAL + 1] - y[SLOW + 1]) + (1.0 - FAST_USE) * make) / (
        SLOW_CO2_ML_KG * held.weight_kg / held.haste
    )
    for gas in range(2):
        rates[VENOUS + gas] = (
            fast_q * (y[FAST + gas] - y[VENOUS + gas]) + slow_q * (y[SLOW + gas] - y[VENOUS + gas])
        ) / (VENOUS_ML * held.size)
    body_ml = BODY_N2_ML_KG * held.weight_kg * NITROGEN / held.haste
    rates[BODY_PN2] = nitrogen * held.stpd_per_btps / body_ml


@_quick
def airway_rates(y, windpipe, back_o2, back_co2, held, rates):
    """Rates of nose, throat, mouth, mask and bag; `back` is what comes up the windpipe."""
    nasal = _nasal_flow(
        windpipe, held.prong_ml_s, held.gap_ml_s_cmh2o, held.nose_ml_s_cmh2o, held.mouth_ml_s_cmh2o
    )
    oral = windpipe - nasal
    past_prongs = nasal - held.prong_ml_s
    draw = max(0.0, past_prongs) + max(0.0, oral)
    outside_o2, outside_co2 = held.room_o2, 0.0
    if held.face_ml > 0.0:
        outside_o2, outside_co2 = y[FACE], y[FACE + 1]
    nose_ml = NOSE_SHARE * held.upper_ml
    uvula_ml = UVULA_SHARE * held.upper_ml
    pharynx_ml = PHARYNX_SHARE * held.upper_ml
    inward, outward = max(0.0, nasal), max(0.0, -nasal)
    for gas in range(2):
        outside = outside_o2 if gas == 0 else outside_co2
        supplied = held.prong_ml_s * held.prong_o2 if gas == 0 else 0.0
        nose, uvula, pharynx, mouth = y[NOSE + gas], y[UVULA + gas], y[PHARYNX + gas], y[MOUTH + gas]
        back = back_o2 if gas == 0 else back_co2
        if nasal > 0.0:
            entering = supplied + max(0.0, past_prongs) * outside
            entering_ml_s = held.prong_ml_s + max(0.0, past_prongs)
        else:
            entering = supplied + outward * uvula
            entering_ml_s = held.prong_ml_s + outward
        stirred_nose = STIR_NOSE * held.stirring_ml_s * (uvula - nose)
        stirred_throat = STIR_THROAT * held.stirring_ml_s * (pharynx - uvula)
        rates[NOSE + gas] = (entering - entering_ml_s * nose + stirred_nose) / nose_ml
        rates[UVULA + gas] = (
            inward * (nose - uvula) + outward * (pharynx - uvula) - stirred_nose + stirred_throat
        ) / uvula_ml
        rates[PHARYNX + gas] = (
            inward * (uvula - pharynx)
            + max(0.0, oral) * (mouth - pharynx)
            + max(0.0, -windpipe) * (back - pharynx)
            - stirred_throat
        ) / pharynx_ml
        rates[MOUTH + gas] = (max(0.0, oral) * (outside - mouth) + max(0.0, -oral) * (pharynx - mouth)) / (
            MOUTH_SHARE * held.upper_ml
        )
        rates[FACE + gas] = 0.0
    rates[BAG] = 0.0
    if held.face_ml > 0.0:
        mask_rates(y, draw, nasal, oral, held, rates)
    rates[PASSED] = windpipe
    rates[INSPIRED] = max(0.0, windpipe)
    rates[INSPIRED_O2] = max(0.0, windpipe) * y[PHARYNX]


@_quick
def mask_rates(y, draw, nasal, oral, held, rates):
    """Supply, bag and room into the mask, and what nose and mouth breathe out into it."""
    entering, entering_o2 = held.face_ml_s, held.face_ml_s * held.face_o2
    if held.bag_ml > 0.0:
        given = _bag_share(
            max(0.0, draw - entering), held.bag_valve_ml_s_cmh2o, held.bag_opening_cmh2o, held.open_ml_s_cmh2o
        )
        if given > held.bag_ml_s:  # at its last drops it gives what it gets
            given = held.bag_ml_s + (given - held.bag_ml_s) * min(1.0, max(0.0, y[BAG] / EDGE_ML))
        else:  # full, it passes on what it gets
            fullness = 1.0 - (held.bag_ml - y[BAG]) / EDGE_ML
            given += (held.bag_ml_s - given) * min(1.0, max(0.0, fullness))
        rates[BAG] = held.bag_ml_s - given
        entering += given
        entering_o2 += given * held.bag_o2
    room = max(0.0, draw - entering)
    room += _draught(held.draught_ml_s, held.shield_ml_s, max(0.0, entering - draw))
    entering += room
    entering_o2 += room * held.room_o2
    out_of_nose = max(0.0, -nasal) + (held.prong_ml_s if nasal <= 0.0 else max(0.0, held.prong_ml_s - nasal))
    out_of_mouth = max(0.0, -oral)
    rates[FACE] = (
        entering_o2
        - entering * y[FACE]
        + out_of_nose * (y[NOSE] - y[FACE])
        + out_of_mouth * (y[MOUTH] - y[FACE])
    ) / held.face_ml
    rates[FACE + 1] = (
        -entering * y[FACE + 1]
        + out_of_nose * (y[NOSE + 1] - y[FACE + 1])
        + out_of_mouth * (y[MOUTH + 1] - y[FACE + 1])
    ) / held.face_ml


# --- the windpipe as a tape -------------------------------------------------------------------


@_quick
def read(tape, gas, place_ml):
    """Composition at a place of the tape, between its grid points."""
    place = place_ml / TAPE_ML
    low = floor(place)
    share = place - low
    slot = int(low) % TAPE_ROOM
    return (1.0 - share) * tape[slot, gas] + share * tape[(slot + 1) % TAPE_ROOM, gas]


@_quick
def write(tape, start_ml, end_ml, start_o2, start_co2, end_o2, end_co2):
    """Write a stretch of tape between two places, composition in a straight line between them."""
    first, last = start_ml / TAPE_ML, end_ml / TAPE_ML
    # One point beyond the end, so that reading at the very edge finds what was written last.
    if last > first:
        points = range(ceil(first), floor(last) + 2)
    else:
        points = range(ceil(last) - 1, floor(first) + 1)
    for point in points:
        share = min(1.0, max(0.0, (point - first) / (last - first)))
        tape[point % TAPE_ROOM, 0] = start_o2 + share * (end_o2 - start_o2)
        tape[point % TAPE_ROOM, 1] = start_co2 + share * (end_co2 - start_co2)


@_quick
def tape_rates(t_s, y, tape, held, rates):
    """All rates with the windpipe as a tape; returns what the lungs give off."""
    lung_end, mouth_end = held.line_ml - y[PASSED], -y[PASSED]
    windpipe, left_o2, left_co2 = lung_rates(
        t_s, y, read(tape, 0, lung_end), read(tape, 1, lung_end), held, rates
    )
    airway_rates(y, windpipe, read(tape, 0, mouth_end), read(tape, 1, mouth_end), held, rates)
    return left_o2, left_co2


@_quick
def runge_kutta(t_s, dt_s, y, tape, held, room):
    """One classical step of fourth order, then the tape written for it."""
    k1, k2, k3, k4, between = room[0], room[1], room[2], room[3], room[4]
    start_o2, start_co2 = tape_rates(t_s, y, tape, held, k1)
    old_ml, old_o2, old_co2 = y[PASSED], y[PHARYNX], y[PHARYNX + 1]
    between[:] = y + 0.5 * dt_s * k1
    tape_rates(t_s + 0.5 * dt_s, between, tape, held, k2)
    between[:] = y + 0.5 * dt_s * k2
    tape_rates(t_s + 0.5 * dt_s, between, tape, held, k3)
    between[:] = y + dt_s * k3
    end_o2, end_co2 = tape_rates(t_s + dt_s, between, tape, held, k4)
    y += dt_s / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4)
    if y[PASSED] > old_ml:
        write(tape, -old_ml, -y[PASSED], old_o2, old_co2, y[PHARYNX], y[PHARYNX + 1])
    elif y[PASSED] < old_ml:
        there, here = held.line_ml - old_ml, held.line_ml - y[PASSED]
        write(tape, there, here, start_o2, start_co2, end_o2, end_co2)


@_quick
def breathe(y, tape, held, step_s, n_breaths, ends):
    """Whole breaths, their turns on the grid; the unknowns at each end go to `ends`."""
    room = np.empty((5, SIZE))
    phases = (held.inspiratory_s, held.emptying_s, held.expiratory_s - held.emptying_s)
    for breath in range(n_breaths):
        y[INSPIRED] = y[INSPIRED_O2] = 0.0
        start_s = 0.0
        for phase_s in phases:
            steps = ceil(phase_s / step_s - 1e-9)
            for i in range(steps):
                runge_kutta(start_s + phase_s * i / steps, phase_s / steps, y, tape, held, room)
            start_s += phase_s
        ends[breath] = y


# --- from the engine's state and back ---------------------------------------------------------


def held_pattern(state, patient, controls, haste):
    """The constants of a held pattern, with what the engine renews once a breath as it stands."""
    assert patient.held_rate_per_min > 0.0
    assert patient.held_tidal_ml > 0.0
    assert patient.lobe_plugged == 0.0
    assert controls.bag_valve_present == 1.0
    assert controls.jet_flow_btps_ml_s == controls.face_entrainment_ratio == 0.0
    breath_s = 60.0 / patient.held_rate_per_min
    inspiratory_s = patient.inspiratory_share * (breath_s - patient.held_pause_s)
    emptying_s = breath_s - inspiratory_s - patient.held_pause_s
    units = state[at.UNITS : at.HISTORY].reshape(at.N_UNITS, at.N_UNIT_FIELDS)
    mouth = controls.mouth_open_frac * max(patient.mouth_share, controls.mouth_held_frac)
    return Held(
        inspiratory_s,
        emptying_s,
        breath_s - inspiratory_s,
        min(patient.expiratory_time_constant_s, emptying_s / 5.0),
        patient.held_tidal_ml,
        patient.frc_ml,
        units[:, at.UNIT_REST_SHARE].copy(),
        units[:, at.UNIT_AIR_NOW].copy(),
        (1.0 - patient.shunt_frac) * units[: at.N_PERFUSED, at.UNIT_PERFUSION_SHARE],
        patient.shunt_frac,
        float(state[at.CARDIAC_OUTPUT_ML_S]),
        patient.haemoglobin_g_dl,
        float(state[at.BLOOD_BASE_EXCESS]),
        patient.temperature_degc,
        float(state[at.COHB_FRAC]),
        patient.methaemoglobin_frac,
        patient.oxygen_use_ml_min / 60.0,
        patient.co2_output_ml_min / 60.0,
        patient.weight_kg,
        controls.barometric_mmhg - BODY_WATER_MMHG,
        stpd_per_btps(controls.barometric_mmhg),
        patient.upper_airway_ml,
        patient.anatomical_dead_space_ml - patient.upper_airway_ml,
        flows.MOUTH_ML_S_CMH2O * mouth,
        flows.NOSE_ML_S_CMH2O * controls.nose_open_frac,
        controls.nostril_gap_ml_s_cmh2o,
        controls.prong_flow_btps_ml_s,
        controls.prong_oxygen_frac,
        controls.prong_flow_btps_ml_s * controls.prong_stirring,
        controls.room_oxygen_frac,
        controls.face_volume_ml,
        controls.face_flow_btps_ml_s,
        controls.face_oxygen_frac,
        controls.port_ml_s_cmh2o + controls.seal_ml_s_cmh2o,
        controls.draught_btps_ml_s,
        controls.draught_shield_btps_ml_s,
        controls.bag_volume_ml,
        controls.bag_flow_btps_ml_s,
        controls.bag_oxygen_frac,
        controls.bag_valve_ml_s_cmh2o,
        controls.bag_valve_opening_cmh2o,
        patient.blood_ml / 5000.0,
        float(haste),
    )


def unknowns(state, tanks=0):
    """The oracle's unknowns from an engine state between two breaths."""
    y = np.zeros(SIZE + 2 * tanks)
    for here, there in (
        (NOSE, at.NOSE),
        (UVULA, at.UVULA),
        (PHARYNX, at.PHARYNX),
        (MOUTH, at.MOUTH),
        (FACE, at.FACE),
    ):
        y[here : here + 2] = state[there + at.O2], state[there + at.CO2]
    y[BAG] = state[at.BAG_ML]
    units = state[at.UNITS : at.HISTORY].reshape(at.N_UNITS, at.N_UNIT_FIELDS)
    # The engine's last exchange of a breath comes after its last filling: sizes differ by that much.
    volume = units[:, [at.UNIT_O2_ML, at.UNIT_CO2_ML, at.UNIT_N2_ML]].sum(axis=1)
    rest = units[:, at.UNIT_REST_SHARE] * state[at.FRC_ML] + units[:, at.UNIT_AIR_NOW] * state[at.CHEST_ML]
    scale = np.divide(rest, volume, out=np.ones(at.N_UNITS), where=volume > 0.0)
    y[UNITS:SIZE] = (units[:, [at.UNIT_O2_ML, at.UNIT_CO2_ML]] * scale[:, None]).ravel()
    y[ARTERIAL : ARTERIAL + 2] = state[at.ARTERIAL_O2], state[at.ARTERIAL_CO2]
    y[FAST : FAST + 2] = state[at.TISSUE_FAST_O2], state[at.TISSUE_FAST_CO2]
    y[SLOW : SLOW + 2] = state[at.TISSUE_SLOW_O2], state[at.TISSUE_SLOW_CO2]
    y[VENOUS : VENOUS + 2] = state[at.VENOUS_O2], state[at.VENOUS_CO2]
    y[BODY_PN2] = state[at.BODY_PN2]
    if tanks:
        y[LINE:] = parcels_at(state, (np.arange(tanks) + 0.5) / tanks).ravel()
    return y


def parcels_at(state, shares):
    """Composition of the engine's line at shares of its length, mouth first: (n, 2)."""
    n = int(state[at.LINE_COUNT])
    slots = (int(state[at.LINE_HEAD]) + np.arange(n)) % at.N_PARCELS
    parcels = state[at.PARCELS : at.UNITS].reshape(at.N_PARCELS, at.PARCEL_SIZE)[slots]
    ends = np.cumsum(parcels[:, 0])
    which = np.minimum(np.searchsorted(ends, shares * ends[-1]), n - 1)
    return parcels[which][:, [1 + at.O2, 1 + at.CO2]]


class Oracle:
    """One held pattern under way from an engine state that stands between two breaths.

    Parameters
    ----------
    step_s : float
        Longest step; halving the usual one moves nothing that is compared by a tenth of its goal.
    haste : float
        By which the stores of tissue (carbon dioxide, nitrogen) are divided.  The breath at which
        everything comes to rest does not depend on their size, the way there does.
    """

    def __init__(self, state, patient, controls, step_s=0.004, haste=1.0):
        self.held = held_pattern(state, patient, controls, haste)
        self.step_s = step_s
        self.time_s = 0.0
        self.y = unknowns(state)
        self.tape = np.zeros((TAPE_ROOM, 2))
        points = np.arange(int(self.held.line_ml / TAPE_ML) + 2)
        self.tape[points] = parcels_at(state, np.minimum(1.0, points * TAPE_ML / self.held.line_ml))
        self._guess = float(state[at.PAO2]), float(state[at.PACO2])

    def follow(self, state):
        """Take from an engine state what the engine renews once a breath."""
        units = state[at.UNITS : at.HISTORY].reshape(at.N_UNITS, at.N_UNIT_FIELDS)
        self.held = self.held._replace(
            flow_ml_s=float(state[at.CARDIAC_OUTPUT_ML_S]),
            blood_share=(1.0 - self.held.shunt) * units[: at.N_PERFUSED, at.UNIT_PERFUSION_SHARE],
            base_excess=float(state[at.BLOOD_BASE_EXCESS]),
            cohb=float(state[at.COHB_FRAC]),
        )

    def breathe(self, minutes):
        """Breathe on; a `Breath` for each whole breath."""
        number = round(60.0 * minutes / self.held.breath_s)
        ends = np.empty((number, SIZE))
        breathe(self.y, self.tape, self.held, self.step_s, number, ends)
        return [self.measured(end) for end in ends]

    def measured(self, end):
        """What the unknowns at the end of a breath say."""
        self.time_s += self.held.breath_s
        held = self.held
        po2, pco2, saturation, _ = pressures_from_contents(
            100.0 * end[ARTERIAL],
            100.0 * end[ARTERIAL + 1],
            held.haemoglobin,
            held.base_excess,
            held.temperature,
            held.cohb,
            held.methb,
            *self._guess,
        )
        self._guess = po2, pco2
        return Breath(self.time_s, po2, pco2, saturation, end[INSPIRED_O2] / end[INSPIRED])


# --- the windpipe as a chain of tanks: plain differential equations ---------------------------


def chain(state, patient, controls, tanks, haste=1.0):
    """Function of (unknowns, time) that gives their rates, and the unknowns to start from."""
    held = held_pattern(state, patient, controls, haste)

    @numba.njit(error_model="numpy")
    def rates(y, t_s):
        found = np.zeros(len(y))
        chain_rates(y, t_s, held, found)
        return found

    return rates, unknowns(state, tanks)


@_quick
def chain_rates(y, t_s, held, rates):
    """Rates of everything at a time, the windpipe as (len(y) - SIZE) / 2 stirred tanks. (len(y),)"""
    tanks = (len(y) - SIZE) // 2
    last = LINE + 2 * (tanks - 1)
    t_s = t_s % (held.inspiratory_s + held.expiratory_s)
    windpipe, left_o2, left_co2 = lung_rates(t_s, y, y[last], y[last + 1], held, rates)
    airway_rates(y, windpipe, y[LINE], y[LINE + 1], held, rates)
    per_s = tanks * abs(windpipe) / held.line_ml
    for gas in range(2):
        if windpipe > 0.0:
            before = y[PHARYNX + gas]
            for i in range(LINE + gas, last + 2, 2):
                rates[i] = per_s * (before - y[i])
                before = y[i]
        else:
            before = left_o2 if gas == 0 else left_co2
            for i in range(last + gas, LINE - 1, -2):
                rates[i] = per_s * (before - y[i])
                before = y[i]
