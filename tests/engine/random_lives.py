"""Random lives: patients, equipment and breathing drawn by a seed, and the laws that each stretch must keep.

`live(seed, hours)` lives one life and answers with what it broke, in words.  A life is its seed: the
same seed is the same life, to the last digit, alone or beside others.
"""

import hashlib
from dataclasses import dataclass, field

import numpy as np
from tests.engine.inventory import held_ml_stpd, missing_ml_stpd

import tidalbay.engine.layout as at
from tidalbay.catalogue.causes import causes
from tidalbay.catalogue.devices import device_kinds, prong_placements
from tidalbay.catalogue.patients import PatientError, patient_fields, patient_numbers, presets
from tidalbay.engine import (
    BREATH_COLUMNS,
    SECOND_COLUMNS,
    CannotBreatheEnough,
    Run,
    first_state,
    patient_from,
    settled,
)
from tidalbay.engine.breathing import RISING_STEPS
from tidalbay.equipment import CAUSES, ActRefused, equipment_from_setup
from tidalbay.science.gas import standard_atmosphere_mmhg
from tidalbay.units import BODY_WATER_MMHG

HOUR_S = 3600.0
MISSING_ML_PER_HOUR = 1e-5  # STPD, of oxygen, carbon dioxide and nitrogen each
NEVER_STRUCK = ("posture", "lobe_plugged")
STRUCK = [
    cause.id for cause in causes().values() if cause.strikes == "patient" and cause.id not in NEVER_STRUCK
]
SLOW = {"haemoglobin_g_dl", "temperature_degc"}
DEVICES = tuple(device_kinds())
BAGS = tuple(kind.id for kind in device_kinds().values() if kind.has_bag)
METERS = {"meter": 15.0, "wide_meter": 70.0, "air_meter": 15.0, "dial": 25.0, "machine_meter": 5.0}
SUPPLIES = ("wall", "wide_wall", "air", "bottle", "machine")


@dataclass
class Lived:
    """What one life was, and every law it broke."""

    seed: int
    hours: float = 0.0
    stretches: int = 0
    seconds: int = 0  # rows written
    breaths: int = 0
    unsettled: bool = False  # no breathing held this patient's habit; lived from the first guess
    violations: list[str] = field(default_factory=list)
    digest: str = ""


# --- drawing --------------------------------------------------------------------------------------


def generator(seed):
    """Chance of a life, keyed by its seed alone."""
    return np.random.Generator(np.random.Philox(key=seed))


def between(rng, low, high, ends=0.1):
    """A number of a range: now and then one of its ends, else even, or even in the logarithm."""
    if rng.random() < ends:
        return float(low if rng.random() < 0.5 else high)
    if low > 0.0 and high > 20.0 * low and rng.random() < 0.7:
        return float(np.exp(rng.uniform(np.log(low), np.log(high))))
    return float(rng.uniform(low, high))


def random_patient(rng):
    """A patient whom the catalogue accepts: any frame and age, every number as odd as one body allows."""
    if rng.random() < 0.3:
        preset, frame = str(rng.choice(list(presets()))), {}
    else:
        age = between(rng, 0.0, 110.0) if rng.random() < 0.7 else between(rng, 0.0, 3.0)
        preset, frame = "healthy_adult", {"age_years": age, "sex": str(rng.choice(["female", "male"]))}
    usual = patient_numbers(preset, frame)
    oddness = rng.random() ** 3
    odd = {}
    for name, known in patient_fields().items():
        if name in ("age_years", "sex") or rng.random() > oddness:
            continue
        low, high = known.low, known.high
        if known.of_body:
            low, high = (min(max(share * float(usual[name]), low), high) for share in known.of_body)
        odd[name] = between(rng, low, high)
    while True:  # what does not go together goes, one number after the other
        try:
            numbers = patient_numbers(preset, {**frame, **odd})
        except PatientError as error:
            wrong = [fault.name for fault in error.faults if fault.name in odd] or sorted(odd)
            odd.pop(str(rng.choice(wrong)))
            continue
        return patient_from({name: value for name, value in numbers.items() if name != "sex"})


def random_equipment(rng, altitude_m):
    """A room with every supply, every device in reach, and nothing on the face yet."""
    setup = {
        "altitude_m": altitude_m,
        "supplies": [
            {"id": "wall", "kind": "wall_oxygen", "flowmeter": {"id": "meter", "max_lpm": 15}},
            {"id": "wide_wall", "kind": "wall_oxygen", "flowmeter": {"id": "wide_meter", "max_lpm": 70}},
            {"id": "air", "kind": "wall_air", "flowmeter": {"id": "air_meter", "max_lpm": 15}},
            {
                "id": "bottle",
                "kind": "cylinder",
                "size": "D",
                "gauge_psi": between(rng, 0.0, 2000.0),
                "valve_open": bool(rng.random() < 0.8),
                "flowmeter": {"id": "dial", "max_lpm": 25},
            },
            {
                "id": "machine",
                "kind": "concentrator",
                "running": bool(rng.random() < 0.5),
                "flowmeter": {"id": "machine_meter"},
            },
        ],
        "devices": [{"id": kind, "kind": kind, "worn": False} for kind in DEVICES],
        "patient": {
            "tracheostomy": bool(rng.random() < 0.12),
            "one_nostril_blocked": bool(rng.random() < 0.1),
        },
    }
    return equipment_from_setup(setup)


OTHER_ACTS = (
    ("valve_opened", "bottle"),
    ("valve_closed", "bottle"),
    ("cylinder_changed", "bottle"),
    ("regulator_bled", "bottle"),
    ("concentrator_started", "machine"),
    ("concentrator_stopped", "machine"),
    ("tubing_freed", "device"),
    ("tubing_drained", "device"),
    ("tubing_disconnected", "device"),
    ("humidifier_fitted", "meter"),
    ("humidifier_removed", "meter"),
)


def random_act(rng):
    """An act on the equipment, with arguments that people could say; hands may be unable to do it."""
    device, meter = str(rng.choice(DEVICES)), str(rng.choice(list(METERS)))
    match rng.integers(14):
        case 0 | 1:
            return "flow_set", meter, {"flow_lpm": between(rng, 0.0, METERS[meter], 0.2)}
        case 2:
            return "flow_set", meter, {"flush": True}
        case 3 | 4:
            return "tubing_connected", None, {"from": meter, "to": device}
        case 5 | 6:
            way = str(rng.choice(list(prong_placements())))
            return "device_placed", device, {"way": way, "snugness": between(rng, 0.0, 1.0)}
        case 7:
            return "device_removed", device, {}
        case 8:
            return "bag_filled", str(rng.choice(BAGS)), {}
        case 9:
            return "strap_set", device, {"snugness": between(rng, 0.0, 1.0)}
        case 10:
            return "entrainment_set", "air_entrainment_mask", {"pct": int(rng.choice([24, 28, 35, 40, 60]))}
        case 11:
            return "oxygen_share_set", "high_flow_nasal_cannula", {"pct": between(rng, 21.0, 100.0)}
        case 12:
            act = str(rng.choice(["probe_removed", "probe_placed", "disc_refitted", "nose_clip_pinched"]))
            return act, None if act.startswith("probe") else device, {}
        case _:
            act, on = rng.choice(OTHER_ACTS)
            return str(act), device if on == "device" else meter if on == "meter" else str(on), {}


def random_fault(rng):
    """A cause that strikes the equipment, or goes again, with a value that a case may give it."""
    cause = causes()[str(rng.choice(CAUSES))]
    match cause.type:
        case "choice":
            value = str(rng.choice(cause.choices))
        case "yes_no" | "yes":
            value = cause.type == "yes" or bool(rng.random() < 0.7)
        case "whole":
            value = int(rng.integers(int(cause.low), int(cause.high) + 1))
        case _:
            value = between(rng, cause.low, cause.high)
    return cause.id, str(rng.choice([*DEVICES, *SUPPLIES, *METERS])) if cause.on else None, value


def handled(rng, equipment):
    """The equipment after some hands and some bad luck; what cannot be done is refused in words."""
    for _ in range(rng.integers(1, 6)):
        try:
            if rng.random() < 0.2:
                cause, on, value = random_fault(rng)
                equipment = equipment.with_fault(cause, on, value)
            else:
                act, on, values = random_act(rng)
                equipment = equipment.apply(act, on, values, 0)
        except ActRefused:
            continue
    return equipment


def dressed(rng, equipment):
    """One device on, fed with gas: random acts alone leave the face bare too often."""
    kind = str(rng.choice(DEVICES))
    meter = "wide_meter" if kind == "high_flow_nasal_cannula" else str(rng.choice(list(METERS)))
    steps = [("device_removed", device.id, {}) for device in equipment.worn()]
    steps += [
        ("tubing_connected", None, {"from": meter, "to": kind}),
        ("flow_set", meter, {"flow_lpm": between(rng, 0.0, METERS[meter])}),
        ("bag_filled", kind, {}),
        ("device_placed", kind, {}),
    ]
    for act, on, values in steps:
        try:
            equipment = equipment.apply(act, on, values, 0)
        except ActRefused:
            continue
    return equipment


def struck(rng, patient):
    """The patient after something that an event of a case may do to them, at once."""
    ranges = patient_fields()
    changed = {
        str(name): between(rng, ranges[name].low, ranges[name].high)
        for name in rng.choice(STRUCK, size=rng.integers(0, 4), replace=False)
    }
    for name in SLOW & set(changed):  # blood and heat do not change at once, and so at most a little here
        now = getattr(patient, name)
        changed[name] = min(max(changed[name], 0.998 * now), 1.002 * now)
    if rng.random() < 0.2:
        changed["lobe_plugged"] = float(rng.integers(2))
    return patient._replace(**changed)


def breathing(rng, patient):
    """That patient breathing freely, to an imposed pattern, or not at all."""
    own = patient._replace(held_rate_per_min=0.0, held_tidal_ml=0.0, held_pause_s=0.0, apnoea=0.0)
    kind = rng.random()
    if kind < 0.6:
        return own
    if kind < 0.75:
        return own._replace(apnoea=1.0)
    rate = between(rng, 3.0, 60.0)
    return own._replace(
        held_rate_per_min=rate,
        held_tidal_ml=0.0 if rng.random() < 0.1 else between(rng, 2.0, 2500.0),
        held_pause_s=between(rng, 0.0, 0.8) * 60.0 / rate if rng.random() < 0.4 else 0.0,
        inspiratory_share=between(rng, 0.2, 0.6),
        mouth_share=between(rng, 0.0, 1.0),
    )


def stretch_s(rng, hours):
    """How long nothing is done: from a part of a breath to an hour."""
    return between(rng, 0.02, min(HOUR_S, hours * HOUR_S), 0.0)


# --- living ---------------------------------------------------------------------------------------


def live(seed, hours, calm=False):
    """Live one life of so many hours and answer with what it broke.

    Parameters
    ----------
    calm : bool
        No change of altitude, of nostrils, or of the patient's own numbers on the way.
    """
    rng = generator(seed)
    lived = Lived(seed)
    altitude_m = between(rng, -100.0, 5000.0)
    room_oxygen_frac = 0.2095 if rng.random() < 0.6 else between(rng, 0.1, 1.0)
    own = random_patient(rng)
    equipment = random_equipment(rng, altitude_m)
    if rng.random() < 0.5:
        equipment = dressed(rng, equipment)
    controls = equipment.controls(standard_atmosphere_mmhg(altitude_m), room_oxygen_frac)
    try:
        run = settled(own, controls, seed)
        own = run.patient
    except CannotBreatheEnough:
        # The first guess is shown to nobody: it lives six minutes of an imposed pattern unwatched.
        still = own._replace(held_rate_per_min=20.0, held_tidal_ml=7.0 * own.weight_kg)
        run = Run(first_state(own, controls), still, seed)
        run.advance_to(360.0, controls)
        lived.unsettled = True
    digest = hashlib.sha256()
    highest_mmhg = controls.barometric_mmhg
    until_s = run.time_s + hours * HOUR_S
    while run.time_s < until_s and len(lived.violations) < 5:
        if rng.random() < 0.3:
            equipment = dressed(rng, equipment)
        else:
            equipment = handled(rng, equipment)
        if rng.random() < 0.15 and not calm:
            own = struck(rng, own)
        if rng.random() < 0.05 and not calm:
            altitude_m = between(rng, -100.0, 5000.0)
        if rng.random() < 0.1:
            room_oxygen_frac = between(rng, 0.1, 1.0)
        run.patient = breathing(rng, own)
        controls = equipment.controls(standard_atmosphere_mmhg(altitude_m), room_oxygen_frac)
        if rng.random() < 0.15:
            controls = controls._replace(airway_open=0.0)
        dt_s = min(stretch_s(rng, hours), equipment.next_change_s(), until_s - run.time_s)
        if dt_s <= 0.0:
            dt_s = 1e-3
        before_s = run.time_s
        highest_mmhg = max(highest_mmhg, controls.barometric_mmhg)
        lived.violations += [
            f"seed {seed}, stretch {lived.stretches} at {before_s:.2f} s for {dt_s:.2f} s: {what}"
            for what in lived_through(run, controls, dt_s, highest_mmhg, rng)
        ]
        equipment = equipment.advance(dt_s)
        lived.stretches += 1
        for rows in (*run.seconds, *run.breaths):
            digest.update(rows.tobytes())
        lived.seconds += sum(len(rows) for rows in run.seconds)
        lived.breaths += sum(len(rows) for rows in run.breaths)
    lived.hours = run.time_s / HOUR_S
    digest.update(run.state.tobytes())
    lived.digest = digest.hexdigest()
    return lived


COUNTERS = (at.GAIN_O2_ML, at.GAIN_CO2_ML, at.GAIN_N2_ML, at.USED_O2_ML, at.MADE_CO2_ML)


def lived_through(run, controls, dt_s, highest_mmhg, rng):
    """Let a stretch pass; a sentence for every law that it broke."""
    state, patient = run.state, run.patient
    said = []
    split = rng.random() < 0.03
    from_s, until_s = run.time_s, run.time_s + dt_s
    second = float(state[at.NEXT_SECOND])
    other = run.copy() if split else None
    for counter in COUNTERS:  # counted from here, so that hours of flow do not eat the last digits
        state[counter] = 0.0
    if other is not None:
        other.state[list(COUNTERS)] = 0.0
    held = held_ml_stpd(state, patient, controls)
    line_ml = line_volume_ml(state)
    run.seconds, run.breaths = [], []
    run.advance_to(until_s, controls)
    if other is not None:
        cut_s = other.time_s + float(rng.random()) * dt_s
        other.seconds, other.breaths = [], []
        other.advance_to(cut_s, controls)
        other.advance_to(until_s, controls)
        if other.state.tobytes() != state.tobytes():
            said.append(f"cut at {cut_s!r} s the stretch gives other digits")
        if np.vstack(other.seconds).tobytes() != np.vstack(run.seconds).tobytes():
            said.append(f"cut at {cut_s!r} s the stretch gives other rows")
    seconds = np.vstack([np.empty((0, at.N_SECOND_COLUMNS)), *run.seconds])
    breaths = np.vstack([np.empty((0, at.N_BREATH_COLUMNS)), *run.breaths])
    if not np.isfinite(state).all():
        places = np.flatnonzero(~np.isfinite(state))[:6]
        return [f"the state is not finite at {places.tolist()}"]
    said += clock_faults(seconds, second, state)
    said += second_faults(seconds)
    said += breath_faults(breaths)
    said += flow_faults(breaths[breaths[:, 0] >= from_s], patient)  # begun by the patient as they are now
    said += state_faults(state, controls, highest_mmhg)
    if abs(line_volume_ml(state) - line_ml) > 1e-6 + 1e-9 * dt_s:
        said.append(f"the windpipe's line went from {line_ml!r} to {line_volume_ml(state)!r} mL")
    allowed_ml = MISSING_ML_PER_HOUR * max(1.0 / 60.0, dt_s / HOUR_S)
    for gas, missing in zip(GASES, missing_ml_stpd(state, patient, controls, held), strict=True):
        if not abs(missing) <= allowed_ml:
            said.append(f"{gas} is out by {missing:.3g} mL")
    return said


# --- laws -----------------------------------------------------------------------------------------

LINE = slice(at.PARCELS, at.UNITS)
SPACES = np.arange(at.NOSE, at.LINE, at.N_GASES)  # every gas that has a place in the state
GASES = ("oxygen", "carbon dioxide", "nitrogen")
ROUNDING = 1e-9


def parcels(state):
    """The parcels in the windpipe's line. (n, PARCEL_SIZE)"""
    slots = (int(state[at.LINE_HEAD]) + np.arange(int(state[at.LINE_COUNT]))) % at.N_PARCELS
    return state[LINE].reshape(at.N_PARCELS, at.PARCEL_SIZE)[slots]


def line_volume_ml(state):
    """Gas between throat and lungs. [mL]"""
    return float(parcels(state)[:, 0].sum())


def clock_faults(seconds, second, state):
    """The rows' clock rises by one second, and no second that has passed lacks its row."""
    faults = []
    expected = second + np.arange(len(seconds))
    if not np.array_equal(seconds[:, 0], expected):
        faults.append(f"rows of seconds are {seconds[:4, 0].tolist()}..., not from {second} on by one")
    if state[at.TIME_S] >= state[at.NEXT_SECOND]:
        faults.append(f"at {state[at.TIME_S]:.2f} s the row of {state[at.NEXT_SECOND]:.0f} s is not written")
    return faults


SECOND_BOUNDS = {
    "spo2_shown_pct": (-1.0, 100.0),
    "sao2_frac": (0.0, 1.0),
    "pao2_mmhg": (0.0, 800.0),
    "paco2_mmhg": (1.0, 300.0),
    "ph": (6.0, 9.5),
    "fio2_frac": (0.0, 1.0),
    "end_tidal_o2_frac": (0.0, 1.0),
    "end_tidal_co2_mmhg": (0.0, 800.0),
    "rate_per_min": (0.0, 120.0),
    "tidal_ml": (0.0, 6000.0),
    "demand_l_min": (0.0, 5000.0),
    "heart_rate_per_min": (0.0, 600.0),
    "bag_ml": (0.0, 6000.0),
    "chest_ml": (0.0, 6000.0),
    "shunt_frac": (0.0, 0.7),
    "throat_pressure_cmh2o": (-50.0, 50.0),
    "cohb_frac": (0.0, 1.0),
    "effort_index_frac": (0.0, 1e4),
    "fatigue_frac": (0.0, 1.0),
    "alertness_frac": (0.0, 1.0),
    "confusion_frac": (0.0, 1.0),
    "systolic_mmhg": (0.0, 400.0),
    "diastolic_mmhg": (0.0, 300.0),
}
BREATH_BOUNDS = {
    "duration_s": (0.0, 25.0),
    "inspiratory_s": (0.0, 20.0),
    "tidal_ml": (0.0, 6000.0),
    "inspired_ml": (0.0, 12000.0),
    "fio2_frac": (0.0, 1.0),
    "throat_mean_o2_frac": (0.0, 1.0),
    "throat_peak_o2_frac": (0.0, 1.0),
    "end_tidal_o2_frac": (0.0, 1.0),
    "end_tidal_co2_mmhg": (0.0, 800.0),
    "inspired_co2_ml": (0.0, 12000.0),
    "peak_inspiratory_flow_lpm": (0.0, 50000.0),  # a bench may impose anything; see `flow_faults`
    "bag_min_ml": (0.0, 6000.0),
    **dict.fromkeys(
        ("supplied_ml", "nose_and_throat_ml", "mask_ml", "bag_ml", "room_ml", "expired_ml"), (0.0, 12000.0)
    ),
}
LEDGER = ("supplied_ml", "nose_and_throat_ml", "mask_ml", "bag_ml", "room_ml", "expired_ml")


def bound_faults(rows, columns, bounds):
    """Numbers that are not finite, or out of bounds."""
    if not np.isfinite(rows).all():
        where = np.unique(np.argwhere(~np.isfinite(rows))[:, 1])
        return [f"{columns[i]} is not finite" for i in where]
    faults = []
    for name, (low, high) in bounds.items():
        column = rows[:, columns.index(name)]
        off = (column < low - ROUNDING) | (column > high + ROUNDING)
        if off.any():
            faults.append(f"{name} is {column[off][0]!r}, outside {low:g} to {high:g}")
    return faults


def second_faults(seconds):
    """Rows of seconds are finite and within what a body can show."""
    return bound_faults(seconds, SECOND_COLUMNS, SECOND_BOUNDS)


def breath_faults(breaths):
    """Rows of breaths are finite, within bounds, and their sources add up to the breath."""
    faults = bound_faults(breaths, BREATH_COLUMNS, BREATH_BOUNDS)
    if faults or not len(breaths):
        return faults
    inspired = breaths[:, BREATH_COLUMNS.index("inspired_ml")]
    total = sum(breaths[:, BREATH_COLUMNS.index(name)] for name in LEDGER)
    if not np.allclose(total, inspired, rtol=1e-12, atol=1e-9):
        faults.append(f"sources of a breath add up to {total[0]!r}, not to {inspired[0]!r} mL")
    starts = breaths[:, 0]
    ends = starts + breaths[:, 1]
    if (starts[1:] < ends[:-1] - 1e-6).any():
        faults.append("a breath begins before the last one ended")
    return faults


def flow_faults(breaths, patient):
    """No breath is drawn faster than its own shape and the recoil of all that lungs could lack ask."""
    tidal, lasts, peak = (
        breaths[:, BREATH_COLUMNS.index(name)]
        for name in ("tidal_ml", "inspiratory_s", "peak_inspiratory_flow_lpm")
    )
    filling_s = max(0.05, patient.resistance_cmh2o_s_l / patient.elastance_cmh2o_l)
    # What blood took up in a long sub-interval is made good in the next one, which may be short.
    made_good = 0.01 * patient.frc_ml / (lasts / RISING_STEPS)
    most = 0.06 * (0.5 * np.pi * tidal / lasts + (patient.frc_ml + tidal) / filling_s + made_good)
    fast = peak > most
    return [f"a breath of {tidal[fast][0]:.0f} mL peaks at {peak[fast][0]:.0f} L/min"] if fast.any() else []


def state_faults(state, controls, highest_mmhg):
    """Every number of the state is one that gas, blood and a body can have."""
    faults = []
    mixtures = np.vstack([state[SPACES[:, None] + np.arange(at.N_GASES)], parcels(state)[:, 1:]])
    if mixtures.min() < -ROUNDING or mixtures.max() > 1.0 + ROUNDING:
        faults.append(f"a gas holds a share of {mixtures.min()!r} to {mixtures.max()!r}")
    if (mixtures[:, : at.FIRST_LABEL].sum(axis=1) > 1.0 + ROUNDING).any():
        faults.append("oxygen and carbon dioxide of a gas are more than all of it")
    if (mixtures[:, at.FIRST_LABEL :].sum(axis=1) > 1.0 + ROUNDING).any():
        faults.append("labels of origin of a gas are more than all of it")
    if parcels(state)[:, 0].min() < 0.0 or not 1 <= state[at.LINE_COUNT] <= at.N_PARCELS:
        faults.append("the windpipe's line holds less than nothing")
    units = state[at.UNITS : at.HISTORY].reshape(at.N_UNITS, at.N_UNIT_FIELDS)
    gas_ml = units[:, [at.UNIT_O2_ML, at.UNIT_CO2_ML, at.UNIT_N2_ML]]
    if gas_ml.min() < -ROUNDING:
        unit, gas = np.unravel_index(gas_ml.argmin(), gas_ml.shape)
        faults.append(f"unit {unit} holds {gas_ml.min()!r} mL of {GASES[gas]}")
    for name, total in (("UNIT_AIR_NOW", 1.0), ("UNIT_PERFUSION_SHARE", 1.0), ("UNIT_FLOW_SHARE", 1.0)):
        share = units[:, getattr(at, name)]
        if share.min() < 0.0 or abs(share.sum() - total) > 1e-6:
            faults.append(f"{name} are {share.tolist()}")
    for name in ("O2_BY_PO2", "CO2_BY_PCO2"):
        if units[: at.N_PERFUSED, getattr(at, name)].min() < 0.0:
            faults.append(f"{name} falls below 0: {units[: at.N_PERFUSED, getattr(at, name)].tolist()}")
    for name, low, high in (
        ("PAO2", 0.0, highest_mmhg - BODY_WATER_MMHG),
        ("BAG_ML", 0.0, controls.bag_volume_ml + 1e-6),
        ("FACE_VOLUME_ML", 0.0, 2000.0),
        ("CHEST_ML", 0.0, 6000.0),
        ("FRC_ML", 0.0, 20000.0),
        ("ARTERIAL_O2", 0.0, 0.5),
        ("VENOUS_O2", 0.0, 0.5),
        ("TISSUE_FAST_O2", 0.0, 0.5),
        ("TISSUE_SLOW_O2", 0.0, 0.5),
        ("ARTERIAL_CO2", 0.0, 100.0),
        ("VENOUS_CO2", 0.0, 100.0),
        ("TISSUE_FAST_CO2", 0.0, 100.0),
        ("TISSUE_SLOW_CO2", 0.0, 100.0),
        ("BODY_PN2", 0.0, 800.0),
        ("CARDIAC_OUTPUT_ML_S", 0.0, 2000.0),
        ("BLOOD_BASE_EXCESS", -80.0, 80.0),
        ("COHB_FRAC", 0.0, 0.95),
    ):
        value = state[getattr(at, name)]
        if not low - ROUNDING <= value <= high + ROUNDING:
            faults.append(f"{name} is {value!r}, outside {low:g} to {high:g}")
    return faults
