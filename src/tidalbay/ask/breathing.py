"""What one settled breath holds, and a course of stages, for a patient asked about without a case."""

from collections.abc import Mapping, Sequence
from typing import Any

from tidalbay.ask.said import expect, one_of
from tidalbay.attempt import BREATHING, Breath, Pattern, Stage, settled_breath
from tidalbay.attempt import course as course_of
from tidalbay.catalogue.breath_ranges import (
    GASES,
    SET_FLOW_LPM,
    asked_number,
    check_pattern,
    usual_pattern,
)
from tidalbay.catalogue.devices import DeviceKind, at_the_patient, device_kinds
from tidalbay.catalogue.patients import patient_numbers
from tidalbay.engine import Patient, patient_from
from tidalbay.equipment import (
    Equipment,
    equipment_from_setup,
)
from tidalbay.science.gas import standard_atmosphere_mmhg
from tidalbay.trace import Trace

NONE = "none"
LOOSE_AND_TIGHT = (0.0, 1.0)  # how a mask might sit where nobody says: the ends of the band
WIDE_OPEN = (1.0,)  # and the mouth of somebody with prongs
OF_DEVICE = ("fit", "valves", "setting_pct", "fio2_set", "set_flow_lpm", "gas")
PATTERN = tuple(Pattern.__dataclass_fields__)
STAGE_WORDS = {
    "minutes", "device", "flow_lpm", *OF_DEVICE, "altitude_m", "room_oxygen_frac", "breathing", "airway_open",
    *PATTERN,
}  # fmt: skip


def breath(
    device: str = NONE,
    flow_lpm: float = 0.0,
    *,
    rate_per_min: float | None = None,
    tidal_ml: float | None = None,
    inspiratory_share: float = 0.42,
    pause_s: float = 0.0,
    mouth_share: float | None = None,
    fit: float | None = None,
    valves: int | None = None,
    setting_pct: int | None = None,
    fio2_set: float | None = None,
    set_flow_lpm: float | None = None,
    gas: str | None = None,
    altitude_m: float = 0.0,
    patient: str = "healthy_adult",
    overrides: Mapping[str, Any] | None = None,
) -> Breath:
    """What one settled breath on a device holds, and where each millilitre came from.

    Parameters
    ----------
    device : str
        nasal_cannula, simple_mask, non_rebreathing_mask, ...; none is a bare face.
    flow_lpm : float
        As the flowmeter shows it. [L/min]
    rate_per_min, tidal_ml : float or None
        The breathing pattern, held. None is quiet breathing: 15 of 500 mL in adults, in children
        the median rate of their age and 7 mL/kg. [1/min], [mL]
    inspiratory_share, pause_s : float
        See `attempt.Pattern`. [1], [s]
    mouth_share : float or None
        0 mouth shut, 1 wide open. None is shut, with a band that reaches to wide open where prongs
        are worn. [1]
    fit : float or None
        0 loose, 0.5 snug, 1 tight. None is snug, with a band from loose to tight where a mask is worn. [1]
    valves : int or None
        Discs over the side ports of a reservoir mask.
    setting_pct : int or None
        Entrainment valve. [%]
    fio2_set : float or None
        Share of oxygen that a blending device is set to. [1]
    set_flow_lpm : float or None
        Flow of the high-flow set in whose tubing an in-line nebuliser is; `flow_lpm` then drives the cup.
        None is 40. [L/min]
    gas : str or None
        The outlet that `flow_lpm` comes from: oxygen (None) or air.
    altitude_m : float
        Above the sea, standard atmosphere. [m]
    patient : str
        A preset of the catalogue.
    overrides : mapping or None
        Numbers of the patient, by the catalogue's names.

    Raises
    ------
    ValueError
        With a sentence that says what was expected.
    """
    numbers = patient_numbers(patient, _named(overrides))
    said = {"rate_per_min": rate_per_min, "tidal_ml": tidal_ml, "inspiratory_share": inspiratory_share}
    pattern = _pattern({**said, "pause_s": pause_s, "mouth_share": mouth_share}, numbers)
    altitude_m = asked_number("altitude_m", altitude_m)
    on: dict[str, Any] = {"valves": valves, "setting_pct": setting_pct, "fio2_set": fio2_set}
    on |= {"altitude_m": altitude_m, "set_flow_lpm": set_flow_lpm, "gas": gas}
    equipment = _one_device(device, flow_lpm, fit=fit, **on)
    kind = device_kinds().get(device)
    fits = () if kind is None or not kind.has_edge or fit is not None else LOOSE_AND_TIGHT
    has_prongs = kind is not None and at_the_patient(kind).gas_to == "prongs"
    mouths = WIDE_OPEN if has_prongs and mouth_share is None else ()
    return settled_breath(
        _body(numbers),
        equipment,
        pattern,
        standard_atmosphere_mmhg(altitude_m),
        near_equipment=[_one_device(device, flow_lpm, fit=each, **on) for each in fits],
        near_mouth_shares=mouths,
    )


def breath_warnings(
    device: str = NONE,
    flow_lpm: float = 0.0,
    fit: float | None = None,
    valves: int | None = None,
    setting_pct: int | None = None,
    fio2_set: float | None = None,
    set_flow_lpm: float | None = None,
    gas: str | None = None,
) -> list[str]:
    """Sentences on what can be done with this device and should not be left so."""
    return _one_device(
        device,
        flow_lpm,
        fit=fit,
        valves=valves,
        setting_pct=setting_pct,
        fio2_set=fio2_set,
        set_flow_lpm=set_flow_lpm,
        gas=gas,
    ).warnings()


def course(
    stages: Sequence[Mapping[str, Any]],
    *,
    patient: str = "healthy_adult",
    overrides: Mapping[str, Any] | None = None,
    seed: int = 0,
) -> Trace:
    """A patient through stages of gas, device and breathing: the question that a study asks.

    >>> on_air_then_oxygen = [{"minutes": 1}, {"minutes": 2, "device": "simple_mask", "flow_lpm": 8}]
    >>> saturation = course(on_air_then_oxygen).seconds["sao2_pct"]
    >>> bool(saturation[170] > saturation[50])
    True

    Parameters
    ----------
    stages : sequence of mappings
        Each with `minutes`, and any of: `device`, `flow_lpm`, `fit`, `valves`, `setting_pct`,
        `fio2_set`, `set_flow_lpm`, `gas` as for `breath`; `altitude_m`; `room_oxygen_frac`, a mixture
        breathed like room air; `breathing`: free, held or apnoea; for held breathing `rate_per_min`,
        `tidal_ml`, `inspiratory_share`, `pause_s`, `mouth_share`; `airway_open`: true or false.
    patient : str
        A preset of the catalogue.
    overrides : mapping or None
        Numbers of the patient, by the catalogue's names.
    seed : int
        0 to 2**32 - 1.

    Raises
    ------
    ValueError
        With a sentence that says what was expected.
    """
    numbers = patient_numbers(patient, _named(overrides))
    expect(stages, (list, tuple), "Stages are a list of mappings, one at least")
    if not stages:
        raise ValueError("Stages are a list of mappings, one at least; there is none here.")
    read = [_stage(stage, numbers) for stage in stages]
    return course_of(_body(numbers), read, int(asked_number("seed", seed)))


def _stage(said: Mapping[str, Any], numbers: Mapping[str, Any]) -> Stage:
    must = f"A stage says its minutes and any of {', '.join(sorted(STAGE_WORDS - {'minutes'}))}"
    expect(said, Mapping, must)
    if not set(said) <= STAGE_WORDS or "minutes" not in said:
        raise ValueError(f"{must}; this one says {', '.join(map(str, said)) or 'nothing'}.")
    airway_open = said.get("airway_open", True)
    expect(airway_open, bool, "airway_open is true or false")
    altitude_m = asked_number("altitude_m", said.get("altitude_m", 0.0))
    on = {name: said[name] for name in OF_DEVICE if name in said}
    return Stage(
        seconds=60.0 * asked_number("minutes", said["minutes"]),
        equipment=_one_device(
            said.get("device", NONE), said.get("flow_lpm", 0.0), altitude_m=altitude_m, **on
        ),
        barometric_mmhg=standard_atmosphere_mmhg(altitude_m),
        room_oxygen_frac=asked_number("room_oxygen_frac", said.get("room_oxygen_frac", 0.2095)),
        breathing=one_of("breathing", said.get("breathing", "free"), BREATHING),
        pattern=_pattern({name: said[name] for name in PATTERN if name in said}, numbers),
        airway_open=airway_open,
    )


def _pattern(said: Mapping[str, Any], numbers: Mapping[str, Any]) -> Pattern:
    """A breathing pattern from what was said of it, the rest as this patient breathes quietly."""
    rate, tidal_ml = usual_pattern(numbers)
    whole = {"rate_per_min": rate, "tidal_ml": tidal_ml}
    whole |= {name: asked_number(name, value) for name, value in said.items() if value is not None}
    pattern = Pattern(**whole)
    check_pattern(pattern.rate_per_min, pattern.pause_s, pattern.tidal_ml, float(numbers["weight_kg"]))
    return pattern


def _named(overrides: Mapping[str, Any] | None) -> Mapping[str, Any]:
    if overrides is not None and not isinstance(overrides, Mapping):
        raise ValueError(
            f"The patient's own numbers are a mapping of names to values; this is {overrides!r}."
        )
    return overrides or {}


def _body(numbers: Mapping[str, Any]) -> Patient:
    return patient_from({name: value for name, value in numbers.items() if not isinstance(value, str)})


def _one_device(
    device: str,
    flow_lpm: float,
    *,
    fit: float | None = None,
    valves: int | None = None,
    setting_pct: int | None = None,
    fio2_set: float | None = None,
    set_flow_lpm: float | None = None,
    gas: str | None = None,
    altitude_m: float = 0.0,
) -> Equipment:
    """A wall outlet, a flowmeter that reaches this device's flows, and the device on.

    An in-line nebuliser comes with the set whose tubing it is in, on an oxygen outlet of its own.
    """
    if device not in (NONE, *device_kinds()):
        listed = ", ".join((NONE, *device_kinds()))
        raise ValueError(f"There is no device {device!r}; the devices are {listed}.")
    flow_lpm = asked_number("flow_lpm", flow_lpm)
    asked = {"fit": fit, "valves": valves, "setting_pct": setting_pct, "fio2_set": fio2_set}
    on = {name: asked_number(name, value) for name, value in asked.items() if value is not None}
    outlet = "wall_oxygen" if gas is None else f"wall_{one_of('gas', gas, GASES)}"
    if device == NONE:
        return Equipment.bare()
    kind = device_kinds()[device]
    if set_flow_lpm is not None and not kind.joins:
        raise ValueError(
            f"set_flow_lpm is the flow of a set that a device is fitted into; {device} is in none."
        )
    ends_at = at_the_patient(kind)
    said: dict[str, Any] = {"kind": ends_at.id, "id": ends_at.id, "connected_to": "flowmeter", "worn": True}
    for name, written, factor in (
        ("fit", "fit", 1.0),
        ("valves", "port_discs", 1.0),
        ("setting_pct", "entrainment_pct", 1.0),
        ("fio2_set", "oxygen_share_pct", 100.0),
    ):
        if name in on:
            said[written] = factor * on[name]
    supplies, worn = [_outlet("", outlet, kind, flow_lpm)], [said]
    if ends_at is not kind:
        through_lpm = SET_FLOW_LPM if set_flow_lpm is None else asked_number("set_flow_lpm", set_flow_lpm)
        supplies = [_outlet("", "wall_oxygen", ends_at, through_lpm), _outlet("cup_", outlet, kind, flow_lpm)]
        worn = [said, {"kind": device, "id": device, "connected_to": "cup_flowmeter"}]
    return equipment_from_setup(
        {
            "supplies": supplies,
            "devices": worn,
            "altitude_m": altitude_m,
            "patient": {"tracheostomy": kind.worn_on == "neck"},
        }
    )


def _outlet(prefix: str, outlet: str, kind: DeviceKind, flow_lpm: float) -> dict[str, Any]:
    meter = {"id": f"{prefix}flowmeter", "max_lpm": kind.flowmeter_max_lpm, "flow_lpm": flow_lpm}
    return {"id": f"{prefix}outlet", "kind": outlet, "flowmeter": meter}
