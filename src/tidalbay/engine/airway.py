"""Gas on its way between outlet and windpipe: stirred spaces, one bag, and a line of parcels.

```
room ─ nostril ─┐                              bag ─ valve ─┐
prongs ─────► NOSE ─ UVULA ─┐                    supply ──► FACE ◄─► ports, edge, draught ─ room
                            PHARYNX ─ line ─ lungs   (under a mask, nose and mouth breathe FACE)
room ─────► MOUTH ──────────┘
```

A gas is a place in the state: N_GASES numbers from there on, oxygen, carbon dioxide and labels of
origin that travel passively, so that every millilitre of a breath can say where it came from.
"""

import tidalbay.engine.layout as at
from tidalbay.engine.layout import Floats
from tidalbay.engine.patient import Patient
from tidalbay.science.airway import (
    MOUTH_ML_S_CMH2O,
    NOSE_ML_S_CMH2O,
    bag_share_ml_s,
    captured_jet_ml_s,
    draught_ml_s,
    entrained_ratio,
    nasal_flow_ml_s,
    nasal_pressure_cmh2o,
    share_kept_by_mixing,
)
from tidalbay.science.arithmetic import exp
from tidalbay.science.controls import Controls
from tidalbay.science.jit import in_kernel

# Prong gas stirs the nose and throat beyond its own volume; nearly unidentified by oxygen (both
# at 0 move inspired oxygen at 6 L/min by 0.01), needed for washing out carbon dioxide.
STIR_NOSE = 1.0
STIR_THROAT = 0.15

NOSE_SHARE, UVULA_SHARE, PHARYNX_SHARE = 4.0 / 13.0, 3.0 / 13.0, 6.0 / 13.0  # of the upper airway (assumed)
MOUTH_SHARE = 25.0 / 65.0  # part of the mouth that carries flow, against nose and throat (assumed)
END_TIDAL_SHARE = 0.2  # end-tidal gas is weighted over about this share of the dead space, 30 mL in an adult
LIFTED_EDGE_ML_S_CMH2O = 5.0  # a mask that nothing opens still gives at its edge (assumed)


@in_kernel
def account(state: Floats, volume_ml: float, gas: int) -> None:
    """Note gas that crosses the border of patient and worn equipment; inward positive."""
    oxygen, carbon_dioxide = state[gas + at.O2], state[gas + at.CO2]
    state[at.GAIN_O2_ML] += volume_ml * oxygen
    state[at.GAIN_CO2_ML] += volume_ml * carbon_dioxide
    state[at.GAIN_N2_ML] += volume_ml * (1.0 - oxygen - carbon_dioxide)


@in_kernel
def copy_gas(state: Floats, source: int, target: int) -> None:
    """Make one place hold the composition of another."""
    for i in range(at.N_GASES):
        state[target + i] = state[source + i]


@in_kernel
def set_gas(state: Floats, gas: int, oxygen_frac: float, label: int) -> None:
    """Make a composition of oxygen in nitrogen with one label of origin."""
    for i in range(at.N_GASES):
        state[gas + i] = 0.0
    state[gas + at.O2] = oxygen_frac
    state[gas + label] = 1.0


@in_kernel
def add_gas(state: Floats, mixture: int, mixture_ml: float, gas: int, volume_ml: float) -> float:
    """Mix a volume into a running mixture, empty at 0 mL; returns its new volume. [mL]"""
    if volume_ml <= 0.0:
        return mixture_ml
    volume = mixture_ml + volume_ml
    share = volume_ml / volume
    for i in range(at.N_GASES):
        state[mixture + i] += share * (state[gas + i] - state[mixture + i])
    return volume


@in_kernel
def add_pure(
    state: Floats, mixture: int, mixture_ml: float, oxygen_frac: float, label: int, volume_ml: float
) -> float:
    """Mix a volume of supplied gas into a running mixture, and account for it. [mL]"""
    if volume_ml <= 0.0:
        return mixture_ml
    volume = mixture_ml + volume_ml
    share = volume_ml / volume
    for i in range(at.N_GASES):
        state[mixture + i] -= share * state[mixture + i]
    state[mixture + at.O2] += share * oxygen_frac
    state[mixture + label] += share
    state[at.GAIN_O2_ML] += volume_ml * oxygen_frac
    state[at.GAIN_N2_ML] += volume_ml * (1.0 - oxygen_frac)
    return volume


@in_kernel
def flush(state: Floats, space: int, volume_ml: float, passed_ml: float, inflow: int, outflow: int) -> None:
    """Pass a volume through a stirred space; `outflow` gets the mean of what it gives off."""
    if passed_ml <= 0.0:
        copy_gas(state, space, outflow)
        return
    if volume_ml <= 0.0:
        copy_gas(state, inflow, space)
        copy_gas(state, inflow, outflow)
        return
    turnover = passed_ml / volume_ml
    kept = share_kept_by_mixing(turnover)
    for i in range(at.N_GASES):
        entering = state[inflow + i]
        leaving = entering + (state[space + i] - entering) * kept
        state[outflow + i] = leaving
        state[space + i] += turnover * (entering - leaving)


@in_kernel
def stir(state: Floats, one: int, one_ml: float, other: int, other_ml: float, exchanged_ml: float) -> None:
    """Exchange gas between two neighbouring stirred spaces; exact, however much is exchanged."""
    per_ml = 1.0 / one_ml + 1.0 / other_ml
    moved = (1.0 - exp(-exchanged_ml * per_ml)) / per_ml
    for i in range(at.N_GASES):
        difference = moved * (state[other + i] - state[one + i])
        state[one + i] += difference / one_ml
        state[other + i] -= difference / other_ml


@in_kernel
def push_and_pull(state: Floats, inward: bool, moved_ml: float, gas_in: int, gas_out: int) -> None:
    """Push gas into one end of the windpipe's line; the same volume leaves at the other.

    The first gas in is the last gas out when the flow turns.  Parcels of (volume, composition)
    stand in a ring; the head is the parcel nearest the mouth.
    """
    if moved_ml <= 0.0:
        return
    if int(state[at.LINE_COUNT]) == at.N_PARCELS:
        _join_two(state, inward)
    count = int(state[at.LINE_COUNT])
    head = int(state[at.LINE_HEAD])
    if inward:
        head = head - 1 if head > 0 else at.N_PARCELS - 1
        parcel = _place(head)
    else:
        parcel = _place(head + count)
    state[parcel] = moved_ml
    for i in range(at.N_GASES):
        state[parcel + 1 + i] = state[gas_in + i]
    for i in range(at.N_GASES):
        state[gas_out + i] = 0.0
    count += 1
    left_ml = moved_ml
    while left_ml > 0.0 and count > 0:
        parcel = _place(head + count - 1) if inward else _place(head)
        taken_ml = min(left_ml, state[parcel])
        share = taken_ml / moved_ml
        for i in range(at.N_GASES):
            state[gas_out + i] += share * state[parcel + 1 + i]
        if taken_ml < state[parcel]:
            state[parcel] -= taken_ml
            left_ml = 0.0
        else:
            left_ml -= taken_ml
            count -= 1
            if not inward:
                head = head + 1 if head < at.N_PARCELS - 1 else 0
    state[at.LINE_COUNT] = count
    state[at.LINE_HEAD] = head


@in_kernel
def _place(slot: int) -> int:
    """Where in the state a slot of the ring stands."""
    if slot >= at.N_PARCELS:
        slot -= at.N_PARCELS
    return at.PARCELS + slot * at.PARCEL_SIZE


@in_kernel
def _join_two(state: Floats, inward: bool) -> None:
    """Make room in a full line: the two parcels at the pushed end become one."""
    count = int(state[at.LINE_COUNT])
    head = int(state[at.LINE_HEAD])
    if inward:
        joined = _place(head)
        head = head + 1 if head < at.N_PARCELS - 1 else 0
        kept = _place(head)
        state[at.LINE_HEAD] = head
    else:
        joined, kept = _place(head + count - 1), _place(head + count - 2)
    volume = state[kept] + state[joined]
    share = state[joined] / volume
    state[kept] = volume
    for i in range(1, at.PARCEL_SIZE):
        state[kept + i] += share * (state[joined + i] - state[kept + i])
    state[at.LINE_COUNT] = count - 1


@in_kernel
def feed_mask(state: Floats, controls: Controls, draw_ml: float, returned_ml: float, dt_s: float) -> None:
    """Fill OUTSIDE with what a mask gives: supply, bag, room air for the rest, and BACK.

    What comes in together is mixed in together: supply after BACK or before it, in turns, would
    leave more of the one that came last.

    Parameters
    ----------
    draw_ml : float
        Volume that nose and mouth draw from the mask in this sub-interval. [mL]
    returned_ml : float
        Volume of BACK that they breathe out into it, where they draw nothing. [mL]
    """
    driven_ml = controls.face_flow_btps_ml_s * dt_s
    entering_ml = add_pure(state, at.INFLOW, 0.0, controls.face_oxygen_frac, at.SUPPLIED, driven_ml)
    if controls.face_entrainment_ratio > 0.0:
        drawn_in_ml = driven_ml * entrained_ratio(
            controls.face_entrainment_ratio,
            controls.face_entrainment_open_frac,
            _share_of_stall(state, controls),
        )
        account(state, drawn_in_ml, at.ROOM_AIR)
        entering_ml = add_gas(state, at.INFLOW, entering_ml, at.ROOM_AIR, drawn_in_ml)
    if controls.bag_volume_ml > 0.0:
        given_ml = _bag_gives(state, controls, max(0.0, draw_ml - entering_ml), dt_s)
        entering_ml = add_gas(state, at.INFLOW, entering_ml, at.RESERVOIR, given_ml)
    shortfall_ml = draw_ml - entering_ml
    if shortfall_ml > 0.0:
        open_ml_s_cmh2o = max(LIFTED_EDGE_ML_S_CMH2O, controls.port_ml_s_cmh2o + controls.seal_ml_s_cmh2o)
        state[at.MASK_SUCTION_CMH2O_S] += shortfall_ml / open_ml_s_cmh2o
        account(state, shortfall_ml, at.ROOM_AIR)
        entering_ml = add_gas(state, at.INFLOW, entering_ml, at.ROOM_AIR, shortfall_ml)
    spilled_ml = entering_ml - draw_ml
    exchanged_ml = dt_s * draught_ml_s(
        controls.draught_btps_ml_s, controls.draught_shield_btps_ml_s, spilled_ml / dt_s
    )
    account(state, exchanged_ml, at.ROOM_AIR)
    entering_ml = add_gas(state, at.INFLOW, entering_ml, at.ROOM_AIR, exchanged_ml)
    if controls.face_takes_back < 0.5:
        account(state, -returned_ml, at.BACK)
        returned_ml = 0.0
    entering_ml = add_gas(state, at.INFLOW, entering_ml, at.BACK, returned_ml)
    flush(state, at.FACE, controls.face_volume_ml, entering_ml, at.INFLOW, at.OUTSIDE)
    account(state, -(spilled_ml + exchanged_ml), at.OUTSIDE)
    _displace(state, controls, returned_ml, at.OUTSIDE)
    # Half of the old value is kept: the mask's pressure and the jet it slows would hunt otherwise.
    state[at.FACE_OUTFLOW_ML_S] = 0.5 * (state[at.FACE_OUTFLOW_ML_S] + spilled_ml / dt_s)


@in_kernel
def _share_of_stall(state: Floats, controls: Controls) -> float:
    """Pressure in the mask, as a share of that at which its jet would draw nothing in. [1]"""
    open_ml_s_cmh2o = controls.port_ml_s_cmh2o + controls.seal_ml_s_cmh2o
    if controls.face_entrainment_stall_cmh2o <= 0.0 or open_ml_s_cmh2o <= 0.0:
        return 0.0
    pressure = max(0.0, state[at.FACE_OUTFLOW_ML_S]) / open_ml_s_cmh2o
    return float(pressure / controls.face_entrainment_stall_cmh2o)


@in_kernel
def _bag_gives(state: Floats, controls: Controls, wanted_ml: float, dt_s: float) -> float:
    """The bag fills from its supply, gives its share of a draw, and spills what it cannot hold."""
    supplied_ml = controls.bag_flow_btps_ml_s * dt_s
    held_ml = add_pure(state, at.RESERVOIR, state[at.BAG_ML], controls.bag_oxygen_frac, at.BAG, supplied_ml)
    share_ml = dt_s * bag_share_ml_s(
        wanted_ml / dt_s,
        controls.bag_valve_ml_s_cmh2o,
        controls.bag_valve_opening_cmh2o * controls.bag_valve_present,
        controls.port_ml_s_cmh2o + controls.seal_ml_s_cmh2o,
    )
    if controls.bag_spills_to_room > 0.5:
        given_ml = min(held_ml, share_ml)
        lost_ml = max(0.0, held_ml - given_ml - controls.bag_volume_ml)
        account(state, -lost_ml, at.RESERVOIR)
    else:
        given_ml = min(held_ml, max(share_ml, held_ml - controls.bag_volume_ml))
        lost_ml = 0.0
    state[at.BAG_ML] = held_ml - given_ml - lost_ml
    return given_ml


@in_kernel
def return_to_mask(state: Floats, controls: Controls, returned_ml: float) -> None:
    """BACK enters a mask that nose or mouth draws on in the same sub-interval."""
    if returned_ml <= 0.0:
        return
    if controls.face_takes_back < 0.5:
        account(state, -returned_ml, at.BACK)
        return
    flush(state, at.FACE, controls.face_volume_ml, returned_ml, at.BACK, at.PASSING)
    _displace(state, controls, returned_ml, at.PASSING)


@in_kernel
def _displace(state: Floats, controls: Controls, returned_ml: float, gas: int) -> None:
    """What breathing out displaces goes to the room, or in part to a bag without a valve."""
    space_ml = controls.bag_volume_ml - state[at.BAG_ML]
    if controls.bag_valve_present < 0.5 and space_ml > 0.0:
        open_ml_s = controls.port_ml_s_cmh2o + controls.seal_ml_s_cmh2o
        share = controls.bag_valve_ml_s_cmh2o / (controls.bag_valve_ml_s_cmh2o + open_ml_s)
        caught_ml = min(space_ml, share * returned_ml)
        state[at.BAG_ML] = add_gas(state, at.RESERVOIR, state[at.BAG_ML], gas, caught_ml)
        returned_ml -= caught_ml
    account(state, -returned_ml, gas)


@in_kernel
def move_gas(state: Floats, patient: Patient, controls: Controls, moved_ml: float, dt_s: float) -> float:
    """Move the windpipe's volume of one sub-interval through everything upstream of the lungs.

    LUNG holds the gas that leaves the lungs when breathing out, and receives the gas that enters
    them when breathing in.

    Parameters
    ----------
    moved_ml : float
        Volume through the windpipe, inward positive. [mL]

    Returns
    -------
    float
        Oxygen fraction of the gas that passed behind the uvula, where throat tubes sample. [1]
    """
    stoma = controls.bypass_upper_airway > 0.5
    mouth = MOUTH_ML_S_CMH2O * controls.mouth_open_frac * max(patient.mouth_share, controls.mouth_held_frac)
    nasal_ml = 0.0
    prong_ml = 0.0
    if not stoma:
        prong_ml = controls.prong_flow_btps_ml_s * dt_s
        nasal_ml = dt_s * nasal_flow_ml_s(
            moved_ml / dt_s,
            controls.prong_flow_btps_ml_s,
            controls.nostril_gap_ml_s_cmh2o,
            NOSE_ML_S_CMH2O * controls.nose_open_frac,
            mouth,
        )
    oral_ml = moved_ml - nasal_ml
    nostril_ml = nasal_ml - prong_ml  # drawn past the prongs; negative: spilled
    draw_ml = max(0.0, nostril_ml) + max(0.0, oral_ml)
    if controls.face_volume_ml > 0.0:
        if draw_ml > 0.0:
            feed_mask(state, controls, draw_ml, 0.0, dt_s)
    else:
        copy_gas(state, at.ROOM_AIR, at.OUTSIDE)
        account(state, draw_ml, at.ROOM_AIR)

    throat_o2 = state[at.OUTSIDE + at.O2]
    if stoma:
        back_ml = _through_the_stoma(state, patient, moved_ml)
    else:
        back_ml = 0.0
        upper_ml = patient.upper_airway_ml
        nose_ml = NOSE_SHARE * upper_ml  # a shut nostril still holds its gas
        mouth_ml = MOUTH_SHARE * upper_ml
        to_pharynx_ml = 0.0
        throat_o2 = state[at.UVULA + at.O2]
        if nasal_ml > 0.0:
            entering_ml = _gather_at_nostril(state, controls, nostril_ml, prong_ml, dt_s)
            flush(state, at.NOSE, nose_ml, entering_ml, at.INFLOW, at.PASSING)
            back_ml = add_gas(state, at.BACK, 0.0, at.PASSING, -nostril_ml)
            flush(state, at.UVULA, UVULA_SHARE * upper_ml, nasal_ml, at.PASSING, at.INFLOW)
            throat_o2 = state[at.INFLOW + at.O2]
            to_pharynx_ml = nasal_ml
        if oral_ml > 0.0:
            flush(state, at.MOUTH, mouth_ml, oral_ml, at.OUTSIDE, at.PASSING)
            to_pharynx_ml = add_gas(state, at.INFLOW, to_pharynx_ml, at.PASSING, oral_ml)
        if moved_ml < 0.0:
            push_and_pull(state, False, -moved_ml, at.LUNG, at.PASSING)
            _note_end_tidal(state, patient, at.PASSING, -moved_ml)
            to_pharynx_ml = add_gas(state, at.INFLOW, to_pharynx_ml, at.PASSING, -moved_ml)
        flush(state, at.PHARYNX, PHARYNX_SHARE * upper_ml, to_pharynx_ml, at.INFLOW, at.THROAT_MEAN)
        if moved_ml > 0.0:
            push_and_pull(state, True, moved_ml, at.THROAT_MEAN, at.LUNG)
            _note_inspired(state, at.THROAT_MEAN, moved_ml)
        if nasal_ml <= 0.0:
            back_ml = _out_through_nose(state, controls, -nasal_ml, prong_ml, upper_ml, nose_ml)
        if oral_ml < 0.0:
            flush(state, at.MOUTH, mouth_ml, -oral_ml, at.THROAT_MEAN, at.PASSING)
            back_ml = add_gas(state, at.BACK, back_ml, at.PASSING, -oral_ml)
        if prong_ml > 0.0 and nose_ml > 0.0:
            stirred_ml = prong_ml * controls.prong_stirring
            uvula_ml, pharynx_ml = UVULA_SHARE * upper_ml, PHARYNX_SHARE * upper_ml
            stir(state, at.NOSE, nose_ml, at.UVULA, uvula_ml, STIR_NOSE * stirred_ml)
            stir(state, at.UVULA, uvula_ml, at.PHARYNX, pharynx_ml, STIR_THROAT * stirred_ml)
    if controls.face_volume_ml > 0.0:
        if draw_ml > 0.0:
            return_to_mask(state, controls, back_ml)
        else:
            feed_mask(state, controls, 0.0, back_ml, dt_s)
    else:
        account(state, -back_ml, at.BACK)
    return float(throat_o2)


@in_kernel
def _gather_at_nostril(
    state: Floats, controls: Controls, nostril_ml: float, prong_ml: float, dt_s: float
) -> float:
    """INFLOW: prong gas, what the breath catches of a jet beside the nostril, and OUTSIDE."""
    entering_ml = add_pure(state, at.INFLOW, 0.0, controls.prong_oxygen_frac, at.SUPPLIED, prong_ml)
    if nostril_ml > 0.0:
        caught_ml = dt_s * captured_jet_ml_s(
            controls.jet_flow_btps_ml_s, controls.jet_capture_frac, nostril_ml / dt_s
        )
        account(state, -caught_ml, at.OUTSIDE)  # that much less came from outside
        entering_ml = add_pure(
            state, at.INFLOW, entering_ml, controls.prong_oxygen_frac, at.SUPPLIED, caught_ml
        )
        entering_ml = add_gas(state, at.INFLOW, entering_ml, at.OUTSIDE, nostril_ml - caught_ml)
    return entering_ml


@in_kernel
def _out_through_nose(
    state: Floats, controls: Controls, outward_ml: float, prong_ml: float, upper_ml: float, nose_ml: float
) -> float:
    """Throat gas leaves by the nose and takes the prongs' gas with it; BACK and its volume. [mL]"""
    flush(state, at.UVULA, UVULA_SHARE * upper_ml, outward_ml, at.THROAT_MEAN, at.INFLOW)
    leaving_ml = add_pure(state, at.INFLOW, outward_ml, controls.prong_oxygen_frac, at.SUPPLIED, prong_ml)
    flush(state, at.NOSE, nose_ml, leaving_ml, at.INFLOW, at.PASSING)
    return add_gas(state, at.BACK, 0.0, at.PASSING, leaving_ml)


@in_kernel
def _through_the_stoma(state: Floats, patient: Patient, moved_ml: float) -> float:
    """Windpipe straight to OUTSIDE: nose, mouth and throat lie out of the path. [mL to BACK]"""
    if moved_ml > 0.0:
        push_and_pull(state, True, moved_ml, at.OUTSIDE, at.LUNG)
        _note_inspired(state, at.OUTSIDE, moved_ml)
        return 0.0
    push_and_pull(state, False, -moved_ml, at.LUNG, at.BACK)
    _note_end_tidal(state, patient, at.BACK, -moved_ml)
    return -moved_ml


@in_kernel
def _note_inspired(state: Floats, gas: int, volume_ml: float) -> None:
    state[at.INSPIRED_ML] += volume_ml
    state[at.INSPIRED_O2_ML] += volume_ml * state[gas + at.O2]
    state[at.INSPIRED_CO2_ML] += volume_ml * state[gas + at.CO2]
    state[at.LEDGER_SUPPLIED_ML] += volume_ml * state[gas + at.SUPPLIED]
    state[at.LEDGER_THROAT_ML] += volume_ml * state[gas + at.THROAT]
    state[at.LEDGER_MASK_ML] += volume_ml * state[gas + at.MASK]
    state[at.LEDGER_BAG_ML] += volume_ml * state[gas + at.BAG]
    state[at.LEDGER_ROOM_ML] += volume_ml * state[gas + at.ROOM]


@in_kernel
def _note_end_tidal(state: Floats, patient: Patient, gas: int, volume_ml: float) -> None:
    share = volume_ml / (volume_ml + END_TIDAL_SHARE * patient.anatomical_dead_space_ml)
    state[at.END_TIDAL_O2] += share * (state[gas + at.O2] - state[at.END_TIDAL_O2])
    state[at.END_TIDAL_CO2] += share * (state[gas + at.CO2] - state[at.END_TIDAL_CO2])


@in_kernel
def throat_pressure_cmh2o(patient: Patient, controls: Controls) -> float:
    """Pressure that prongs hold in the throat between breaths. [cmH2O]"""
    nose = NOSE_ML_S_CMH2O * controls.nose_open_frac
    mouth = MOUTH_ML_S_CMH2O * controls.mouth_open_frac * max(patient.mouth_share, controls.mouth_held_frac)
    gap, flow = controls.nostril_gap_ml_s_cmh2o, controls.prong_flow_btps_ml_s
    return nasal_pressure_cmh2o(nasal_flow_ml_s(0.0, flow, gap, nose, mouth), flow, gap, nose)


@in_kernel
def label_stores(state: Floats) -> None:
    """As a breath in begins, supplied gas that lies waiting becomes the store of its place."""
    for space in (at.NOSE, at.UVULA, at.PHARYNX, at.MOUTH, at.FACE):
        waiting = 0.0
        for i in range(at.SUPPLIED, at.ROOM):
            waiting += state[space + i]
            state[space + i] = 0.0
        if space == at.FACE:
            state[space + at.MASK] = waiting
        else:
            state[space + at.THROAT] = waiting


@in_kernel
def change_mask(state: Floats, controls: Controls) -> None:
    """A mask comes off, goes on, or has its bag filled again: old gas leaves, room air is in it."""
    account(state, -state[at.FACE_VOLUME_ML], at.FACE)
    account(state, -state[at.BAG_ML], at.RESERVOIR)
    state[at.FACE_PLACING] = controls.face_placing
    state[at.FACE_VOLUME_ML] = controls.face_volume_ml
    state[at.BAG_ML] = min(controls.bag_start_ml, controls.bag_volume_ml)
    copy_gas(state, at.ROOM_AIR, at.FACE)
    account(state, state[at.FACE_VOLUME_ML], at.FACE)
    set_gas(state, at.RESERVOIR, controls.bag_oxygen_frac, at.BAG)
    account(state, state[at.BAG_ML], at.RESERVOIR)
