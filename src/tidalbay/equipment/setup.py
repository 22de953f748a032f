"""Equipment from the plain data of a case: what stands in the room, and what is worn, when it begins."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from tidalbay.catalogue.cylinders import cylinder_size
from tidalbay.catalogue.devices import device_kinds, probe_delays_s, prong_placements
from tidalbay.catalogue.fault import is_number
from tidalbay.catalogue.supplies import (
    SupplyPart,
    concentrator_kinds,
    flowmeter_kinds,
    outlet_kinds,
    regulator_kind,
)
from tidalbay.equipment.act import pressure_kpa
from tidalbay.equipment.equipment import Equipment
from tidalbay.equipment.flow import with_valve
from tidalbay.equipment.graph import with_article
from tidalbay.equipment.hands.concentrator_acts import built_in_flowmeter
from tidalbay.equipment.hands.device_acts import snugness_frac
from tidalbay.equipment.hands.supply_acts import HIGHEST_FILLING
from tidalbay.equipment.parts import (
    Concentrator,
    Device,
    EquipmentError,
    Flowmeter,
    Regulator,
    Tube,
    WallOutlet,
    new_device,
)
from tidalbay.equipment.sources.bottle import filled, held_l
from tidalbay.equipment.sources.concentrator import warm
from tidalbay.science.gas import standard_atmosphere_mmhg
from tidalbay.units import kpa_from_mmhg, psi_from_kpa

SUPPLY_KINDS = (*outlet_kinds(), "cylinder", *concentrator_kinds())
_TOP = {"supplies", "devices", "altitude_m", "barometric_mmhg", "patient", "probe"}
_OUTLET = {"id", "kind", "flowmeter", "pressurised"}
_CYLINDER = {
    "id", "kind", "size", "gauge_psi", "gauge_bar", "gauge_kpa", "valve_open", "secured", "regulator",
    "flowmeter",
}  # fmt: skip
_CONCENTRATOR = {"id", "kind", "running", "flowmeter"}
_FLOWMETER = {"id", "max_lpm", "flow_lpm", "flush", "scale_error_frac", "style", "humidified"}
_DEVICE = {
    "id", "kind", "connected_to", "worn", "fit", "seal_ml_s_cmh2o", "nose_clip_pinched", "prongs",
    "port_discs", "bag_valve", "bag_filled", "entrainment_pct", "entrainment_open_frac", "oxygen_share_pct",
    "kinked", "leak_frac", "joined_to",
}  # fmt: skip
_PATIENT = {"tracheostomy", "one_nostril_blocked"}


def equipment_from_setup(setup: Mapping[str, Any]) -> Equipment:
    """The equipment that a case sets out.

    Parameters
    ----------
    setup : mapping
        `supplies` and `devices`, lists of mappings; optionally `altitude_m` or `barometric_mmhg`,
        `patient` and `probe`.  What is left out is as it is on a well-kept ward: a fit that is
        snug, prongs curving down, a clip that is pinched, a bag that was filled if its mask is
        worn; a cylinder is full, its valve shut; a concentrator is off, and warm where it is running.

    Raises
    ------
    EquipmentError
        With one sentence on the first thing that cannot be.
    """
    _known(setup, _TOP, "The set-up")
    equipment = replace(Equipment.bare(), barometric_kpa=_barometric_kpa(setup))
    for row in _rows(setup, "supplies"):
        equipment = _with_supply(equipment, row)
    patient = setup.get("patient") or {}
    _known(patient, _PATIENT, "The patient")
    equipment = replace(
        equipment,
        tracheostomy=_flag(patient, "tracheostomy", False, "The patient"),
        nostril_blocked=_flag(patient, "one_nostril_blocked", False, "The patient"),
        probe_site=_probe_site(setup.get("probe", "finger")),
    )
    for row in sorted(_rows(setup, "devices"), key=_is_fitted_into_another):
        if row.get("kind") != "none":
            equipment = _with_device(equipment, row)
    return equipment.note(brought_l=sum(held_l(cylinder) for cylinder in equipment.cylinders()))


# --- supplies -------------------------------------------------------------------------------------


def _with_supply(equipment: Equipment, row: Mapping[str, Any]) -> Equipment:
    part_id = _new_id(equipment, row, "supply")
    kind = row.get("kind")
    if kind not in SUPPLY_KINDS:
        raise EquipmentError(f"'{part_id}' is of kind {kind!r}; a supply is {', '.join(SUPPLY_KINDS)}.")
    meter = row.get("flowmeter")
    if kind in tuple(concentrator_kinds()):
        return _with_concentrator(equipment, part_id, row, str(kind))
    if kind != "cylinder":
        _known(row, _OUTLET, f"'{part_id}'")
        pressurised = _flag(row, "pressurised", True, f"'{part_id}'")
        equipment = equipment.put(WallOutlet(part_id, str(kind), pressurised))
        style = flowmeter_kinds()["wall_float"]
        return equipment if meter is None else _with_flowmeter(equipment, meter, part_id, style)
    _known(row, _CYLINDER, f"'{part_id}'")
    return _with_cylinder(equipment, part_id, row, meter)


def _with_cylinder(equipment: Equipment, part_id: str, row: Mapping[str, Any], meter: Any) -> Equipment:
    try:
        size = cylinder_size(str(row.get("size", "E")))
        gauge_kpa = pressure_kpa(row)
    except ValueError as error:
        raise EquipmentError(f"'{part_id}': {error}") from None
    full_kpa = size.nominal_pressure_kpa
    if gauge_kpa is not None and gauge_kpa > HIGHEST_FILLING * full_kpa:
        raise EquipmentError(
            f"'{part_id}' is a size {size.id} cylinder, filled to about {psi_from_kpa(full_kpa):.0f} psi; "
            f"{psi_from_kpa(gauge_kpa):.0f} psi is more than it can hold."
        )
    cylinder = filled(part_id, size.id, full_kpa if gauge_kpa is None else gauge_kpa, equipment.room_k)
    gas_l = cylinder.gas_l
    where = f"'{part_id}'"
    cylinder = replace(cylinder, secured=_flag(row, "secured", True, where))
    if cylinder.regulator is not None and row.get("regulator") is False:
        raise EquipmentError(f"{where}: the regulator of a size {size.id} cylinder is built in.")
    if cylinder.regulator is not None or meter is not None or _flag(row, "regulator", False, where):
        cylinder = replace(cylinder, regulator=cylinder.regulator or Regulator())
        style = flowmeter_kinds()[regulator_kind().flowmeter]
        equipment = _with_flowmeter(equipment, meter or {}, part_id, style)
    equipment = equipment.put(cylinder)
    if not _flag(row, "valve_open", False, where):
        return equipment
    opened = with_valve(equipment, cylinder, True)
    if cylinder.regulator is None:
        return opened
    # The gauge stands at the pressure given with the valve open: the chamber holds its share on top.
    share = cylinder.regulator.row.value("chamber_l") / size.water_capacity_l
    chamber = replace(cylinder.regulator, gas_l=gas_l * share)
    return opened.put(replace(cylinder, valve_open=True, gas_l=gas_l, regulator=chamber))


def _with_concentrator(equipment: Equipment, part_id: str, row: Mapping[str, Any], kind: str) -> Equipment:
    _known(row, _CONCENTRATOR, f"'{part_id}'")
    machine = Concentrator(part_id, kind)
    equipment = equipment.put(warm(machine) if _flag(row, "running", False, f"'{part_id}'") else machine)
    said = row.get("flowmeter")
    said = {} if said is None else said
    if isinstance(said, Mapping) and "style" in said:
        raise EquipmentError(f"The flowmeter of '{part_id}' is built in, a float; leave out its style.")
    built_in = built_in_flowmeter(kind, part_id, "")
    if isinstance(said, Mapping) and said.get("max_lpm", built_in.max_lpm) != built_in.max_lpm:
        raise EquipmentError(
            f"The flowmeter of '{part_id}' is built in and ends at {built_in.max_lpm:g} L/min; "
            "leave out its max_lpm, or take another concentrator."
        )
    return _with_flowmeter(equipment, said, part_id, built_in.row, built_in.max_lpm)


def _with_flowmeter(
    equipment: Equipment, row: Any, supply_id: str, usual: SupplyPart, built_in_lpm: float | None = None
) -> Equipment:
    if not isinstance(row, Mapping):
        raise EquipmentError(f"The flowmeter of '{supply_id}' is {row!r}; write its id and max_lpm.")
    part_id = _new_id(equipment, {"id": f"{supply_id}_flowmeter", **row}, "flowmeter")
    where = f"'{part_id}'"
    _known(row, _FLOWMETER, where)
    kinds = _of_style(usual)
    style = row.get("style", usual.style)
    if style not in tuple(kinds):
        raise EquipmentError(f"{where} has style {style!r}; a flowmeter is {' or '.join(kinds)}.")
    ends_lpm = usual.value("max_lpm") if built_in_lpm is None else built_in_lpm
    meter = Flowmeter(
        id=part_id,
        supply=supply_id,
        kind=kinds[style].id,
        max_lpm=_number(row, "max_lpm", ends_lpm, 0.1, 100.0, where),
        scale_error_frac=_number(row, "scale_error_frac", 0.0, -0.5, 0.5, where),
        humidified=_flag(row, "humidified", False, where),
    )
    flow_lpm = _number(row, "flow_lpm", 0.0, 0.0, None, where)
    if flow_lpm > meter.max_lpm:
        raise EquipmentError(
            f"{where} is set to {flow_lpm:g} L/min, but its scale ends at {meter.max_lpm:g} L/min."
        )
    flush = _flag(row, "flush", False, where)
    return equipment.put(replace(meter, set_lpm=meter.max_lpm if flush else flow_lpm, flush=flush))


def _of_style(usual: SupplyPart) -> Mapping[str, SupplyPart]:
    """By style, the flowmeters that could be meant: the usual one, and what hangs on outlet or cylinder."""
    kinds = flowmeter_kinds()
    return {"float": kinds["wall_float"], "dial": kinds["regulator_dial"], usual.style: usual}


# --- devices --------------------------------------------------------------------------------------


def _is_fitted_into_another(row: Mapping[str, Any]) -> bool:
    kind = device_kinds().get(str(row.get("kind")))
    return kind is not None and bool(kind.joins)


def _with_device(equipment: Equipment, row: Mapping[str, Any]) -> Equipment:
    kind = row.get("kind")
    if kind not in tuple(device_kinds()):
        listed = ", ".join(("none", *device_kinds()))
        raise EquipmentError(f"There is no device {kind!r}; the devices are {listed}.")
    part_id = _new_id(equipment, {"id": kind, **row}, "device")
    _known(row, _DEVICE, f"'{part_id}'")
    device = _as_written(new_device(part_id, str(kind)), row)
    if row.get("connected_to") is not None:
        equipment = _joined(equipment, device, row)
    equipment = equipment.put(replace(device, worn=False))
    if not device.worn:
        return equipment
    return equipment.apply("device_placed", part_id, {"way": device.prongs, "to": row.get("joined_to")}, 0)


def _as_written(device: Device, row: Mapping[str, Any]) -> Device:
    where = f"'{device.id}'"
    worn = _flag(row, "worn", True, where)
    prongs = row.get("prongs", "down")
    if prongs not in tuple(prong_placements()):
        raise EquipmentError(f"{where} has prongs {prongs!r}; they are {', '.join(prong_placements())}.")
    places = device.row.value("port_places")
    seal = row.get("seal_ml_s_cmh2o")
    blended = 100.0 * device.oxygen_share_frac
    has_clip = device.row.clip_open_ml_s_cmh2o > 0.0
    try:
        snugness = snugness_frac(row.get("fit", "snug"))
    except EquipmentError as error:
        raise EquipmentError(f"{where}: {error}") from None
    device = replace(
        device,
        worn=worn,
        snugness_frac=snugness,
        seal_ml_s_cmh2o=None if seal is None else _number(row, "seal_ml_s_cmh2o", 0.0, 0.0, 5000.0, where),
        nose_clip_pinched=_flag(row, "nose_clip_pinched", True, where) and has_clip,
        prongs=str(prongs),
        port_discs=int(_number(row, "port_discs", device.port_discs, 0.0, places, where)),
        bag_valve=_flag(row, "bag_valve", device.bag_valve, where) and device.row.value("bag_valve") > 0.0,
        bag_filled=_flag(row, "bag_filled", worn, where) and device.row.has_bag,
        entrainment_open_frac=_number(row, "entrainment_open_frac", 1.0, 0.0, 1.0, where),
        oxygen_share_frac=_number(row, "oxygen_share_pct", blended, 21.0, 100.0, where) / 100.0,
    )
    return _with_valve_setting(device, row)


def _with_valve_setting(device: Device, row: Mapping[str, Any]) -> Device:
    pct = row.get("entrainment_pct")
    if pct is None:
        return device
    settings = tuple(device.row.entrainment_flow_lpm)
    if pct not in settings:
        allowed = f"its valves are {', '.join(str(setting) for setting in settings)} %."
        if not settings:
            allowed = f"{with_article(device.row.words)} has no such valve."
        raise EquipmentError(f"'{device.id}' has entrainment_pct {pct!r}; {allowed}")
    return replace(device, entrainment_pct=int(pct))


def _joined(equipment: Equipment, device: Device, row: Mapping[str, Any]) -> Equipment:
    where = f"'{device.id}'"
    source = str(row["connected_to"])
    meter = equipment.flowmeter(source) or equipment.flowmeter_on(source)
    if meter is None:
        listed = ", ".join(f"'{each.id}'" for each in equipment.flowmeters) or "none"
        raise EquipmentError(
            f"{where} is connected to '{source}', which is no flowmeter here; there is {listed}."
        )
    other = equipment.tube_from(meter.id)
    if other is not None:
        raise EquipmentError(f"{where} is connected to '{meter.id}', which already feeds '{other.device}'.")
    tube = Tube(
        id=equipment.free_id(f"{device.id}_tubing"),
        source=meter.id,
        device=device.id,
        kinked=_flag(row, "kinked", False, where),
        leak_frac=_number(row, "leak_frac", 0.0, 0.0, 1.0, where),
    )
    return equipment.put(tube)


# --- reading plain data ---------------------------------------------------------------------------


def _barometric_kpa(setup: Mapping[str, Any]) -> float:
    if "barometric_mmhg" in setup:
        return kpa_from_mmhg(_number(setup, "barometric_mmhg", 760.0, 200.0, 850.0, "The set-up"))
    if "altitude_m" not in setup:
        return Equipment.bare().barometric_kpa
    altitude_m = _number(setup, "altitude_m", 0.0, -500.0, 6000.0, "The set-up")
    return kpa_from_mmhg(standard_atmosphere_mmhg(altitude_m))


def _probe_site(value: Any) -> str | None:
    if value is None or value == "off":
        return None
    site = value.get("site") if isinstance(value, Mapping) else value
    if site not in tuple(probe_delays_s()):
        raise EquipmentError(f"The probe is on {site!r}; write {', '.join(probe_delays_s())} or off.")
    return str(site)


def _rows(setup: Mapping[str, Any], name: str) -> Sequence[Mapping[str, Any]]:
    rows = setup.get(name) or []
    is_list = isinstance(rows, Sequence) and not isinstance(rows, str)
    if not is_list or not all(isinstance(row, Mapping) for row in rows):
        raise EquipmentError(f"The set-up's {name} are a list, each with id and kind.")
    return rows


def _new_id(equipment: Equipment, row: Mapping[str, Any], what: str) -> str:
    part_id = row.get("id")
    if not isinstance(part_id, str) or not part_id:
        raise EquipmentError(f"A {what} needs an id, a word of its own; it says {part_id!r}.")
    if part_id in equipment.part_ids():
        raise EquipmentError(f"Two parts are called '{part_id}'; give each its own id.")
    return part_id


def _known(row: Any, names: set[str], where: str) -> None:
    if not isinstance(row, Mapping):
        raise EquipmentError(f"{where} is {row!r}; write names and values.")
    for name in row:
        if name not in names:
            raise EquipmentError(f"{where} has no field {name}; its fields are {', '.join(sorted(names))}.")


def _flag(row: Mapping[str, Any], name: str, usual: bool, where: str) -> bool:
    value = row.get(name, usual)
    if not isinstance(value, bool):
        raise EquipmentError(f"{where} has {name} {value!r}; write true or false.")
    return value


def _number(
    row: Mapping[str, Any], name: str, usual: float, least: float, most: float | None, where: str
) -> float:
    value = row.get(name, usual)
    if not is_number(value) or value < least or (most is not None and value > most):
        bounds = f"from {least:g} to {most:g}" if most is not None else f"of {least:g} or more"
        raise EquipmentError(f"{where} has {name} {value!r}; write a number {bounds}.")
    return float(value)
