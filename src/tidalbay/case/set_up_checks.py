"""What must agree within a set-up: names, joints, scales, and what a face has room for."""

from collections.abc import Mapping
from typing import Any, Final

from tidalbay.case.parts import Parts, mappings, parts_of
from tidalbay.case.words import name_span, value_span
from tidalbay.case.yaml_tree import Path, Tree
from tidalbay.catalogue.cylinders import CylinderSize, cylinder_size
from tidalbay.catalogue.devices import DeviceKind, device_kinds
from tidalbay.catalogue.fault import Fault, did_you_mean, is_number, said
from tidalbay.catalogue.supplies import built_in_regulator, concentrator_kinds
from tidalbay.units import KPA_PER_BAR, KPA_PER_PSI

HIGHEST_FILLING: Final = 1.25  # times the nominal pressure, as the equipment takes it

_END_OF_GAUGE: Final = {"psi": 6000, "bar": 400}  # the model itself refuses more

_OF_OUTLET: Final = ("pressurised",)
_OF_CYLINDER: Final = ("size", "gauge_psi", "gauge_bar", "valve_open", "secured", "regulator")
_OF_CONCENTRATOR: Final = ("running",)
_SAME_FACE: Final = {"face": {"face", "mouth"}, "mouth": {"face", "mouth"}}


def check_setup(tree: Tree, setup: object) -> None:
    """Add to the tree's problems all that does not agree within a set-up."""
    _check_names(tree, setup)
    for i, supply in mappings(setup, "supplies"):
        path: Path = ("setup", "supplies", i)
        _check_supply(tree, path, supply)
        _check_flowmeter(tree, (*path, "flowmeter"), supply)
    parts = parts_of(setup)
    fed: dict[str, str] = {}
    worn: list[tuple[str, str]] = []
    for i, device in mappings(setup, "devices"):
        path = ("setup", "devices", i)
        _check_joint(tree, path, device, parts, fed)
        _check_device(tree, path, device)
        _check_way_in(tree, path, device, setup)
        _check_host(tree, path, device, parts)
        _check_worn(tree, path, device, worn)


def _check_names(tree: Tree, setup: object) -> None:
    seen: set[str] = set()
    for path, name in _names(setup):
        if name in seen:
            fault = Fault("", f"two parts are called {name}", "", "give each its own id")
            tree.say(value_span(tree, path), fault)
        seen.add(name)


def _names(setup: object) -> list[tuple[Path, str]]:
    """Every id that is written, and the id that a device without one takes from its kind."""
    found: list[tuple[Path, object]] = []
    for i, supply in mappings(setup, "supplies"):
        found.append((("setup", "supplies", i, "id"), supply.get("id")))
        if isinstance(supply.get("flowmeter"), dict):
            found.append((("setup", "supplies", i, "flowmeter", "id"), supply["flowmeter"].get("id")))
    for i, device in mappings(setup, "devices"):
        name = "id" if device.get("id") is not None else "kind"
        found.append((("setup", "devices", i, name), device.get(name)))
    return [(path, name) for path, name in found if isinstance(name, str)]


def _check_supply(tree: Tree, path: Path, supply: Mapping[str, Any]) -> None:
    kind = supply.get("kind")
    what, own = _sort_of_supply(kind)
    foreign = [name for name in (*_OF_OUTLET, *_OF_CYLINDER, *_OF_CONCENTRATOR) if name not in own]
    for name in foreign if isinstance(kind, str) else ():
        if name in supply:
            fault = Fault("", f"{what} has no {name}", "", "leave it out, or change the kind")
            tree.say(name_span(tree, (*path, name)), fault)
    if "gauge_psi" in supply and "gauge_bar" in supply:
        fault = Fault("", "the pressure is given twice", "one of gauge_psi, gauge_bar")
        tree.say(name_span(tree, (*path, "gauge_bar")), fault)
    if kind == "cylinder":
        _check_pressure(tree, path, supply)
    if supply.get("regulator") is False and kind == "cylinder" and _has_built_in_regulator(supply):
        what = f"the regulator of a size {supply['size']} cylinder is built in"
        fault = Fault("", what, "", "leave it out")
        tree.say(name_span(tree, (*path, "regulator")), fault)
    elif supply.get("regulator") is False and "flowmeter" in supply:
        fault = Fault("", "a cylinder's flowmeter is part of its regulator", "", "leave out one of the two")
        tree.say(name_span(tree, (*path, "flowmeter")), fault)


def _has_built_in_regulator(supply: Mapping[str, Any]) -> bool:
    try:
        size = cylinder_size(str(supply.get("size", "E")))
    except ValueError:
        return False
    return built_in_regulator(size.id) is not None


def _sort_of_supply(kind: object) -> tuple[str, tuple[str, ...]]:
    """What a kind of supply is in a sentence, and the fields that it alone has."""
    if kind == "cylinder":
        return "a cylinder", _OF_CYLINDER
    if kind in tuple(concentrator_kinds()):
        return "a concentrator", _OF_CONCENTRATOR
    return "an outlet in the wall", _OF_OUTLET


def _check_pressure(tree: Tree, path: Path, supply: Mapping[str, Any]) -> None:
    try:
        size: CylinderSize = cylinder_size(str(supply.get("size", "E")))
    except ValueError:
        return
    for name, kpa, unit in (("gauge_psi", KPA_PER_PSI, "psi"), ("gauge_bar", KPA_PER_BAR, "bar")):
        gauge = supply.get(name)
        full = size.nominal_pressure_kpa / kpa
        if is_number(gauge) and HIGHEST_FILLING * full < gauge <= _END_OF_GAUGE[unit]:
            what = f"{name} is {said(gauge)}, more than a size {size.id} cylinder can hold"
            fault = Fault(
                name, what, f"0 to {HIGHEST_FILLING * full:.0f} {unit}", f"a full one shows {full:.0f} {unit}"
            )
            tree.say(value_span(tree, (*path, name)), fault)


def _check_flowmeter(tree: Tree, path: Path, supply: Mapping[str, Any]) -> None:
    meter = supply.get("flowmeter")
    if not isinstance(meter, dict):
        return
    built_in = concentrator_kinds().get(str(supply.get("kind")))
    for name in ("max_lpm", "style") if built_in else ():
        if name in meter:
            fault = Fault("", f"a concentrator's flowmeter has no {name} to choose", "", "leave it out")
            tree.say(name_span(tree, (*path, name)), fault)
    flow = meter.get("flow_lpm")
    ends = built_in.value("max_lpm") if built_in else meter.get("max_lpm", 15.0)
    if is_number(flow) and is_number(ends) and ends < flow <= 100:
        what = f"flow_lpm is {said(flow)} and the scale ends at {said(ends)} L/min"
        hint = "take a larger machine, or lower the flow" if built_in else "raise max_lpm, or lower the flow"
        fault = Fault("flow_lpm", what, f"0 to {said(ends)} L/min", hint)
        tree.say(value_span(tree, (*path, "flow_lpm")), fault)


def _check_joint(
    tree: Tree, path: Path, device: Mapping[str, Any], parts: Parts, fed: dict[str, str]
) -> None:
    source = device.get("connected_to")
    if not isinstance(source, str):
        return
    meter = parts.meter_meant(source)
    where = value_span(tree, (*path, "connected_to"))
    if meter is None:
        hint = did_you_mean(source, parts.meters)
        if source in parts.supplies:
            hint = f"{source} carries no flowmeter; give it one"
        tree.say(where, Fault("", f"there is no flowmeter {source}", ", ".join(parts.meters), hint))
        return
    if meter in fed:
        fault = Fault("", f"{meter} feeds {fed[meter]} already", "", "a flowmeter takes one tube")
        tree.say(where, fault)
    fed[meter] = str(device.get("id") or device.get("kind"))


def _check_device(tree: Tree, path: Path, device: Mapping[str, Any]) -> None:
    kind = device_kinds().get(str(device.get("kind")))
    if kind is None:
        return
    for name, there in _fields_of(kind).items():
        if name in device and device[name] is not None and not there:
            a = "an" if kind.words[0] in "aeiou" else "a"
            fault = Fault("", f"{a} {kind.words} has no {name}", "", "leave it out, or change the kind")
            tree.say(name_span(tree, (*path, name)), fault)
    settings = kind.entrainment_flow_lpm
    pct = device.get("entrainment_pct")
    if settings and isinstance(pct, int) and 24 <= pct <= 60 and pct not in settings:
        nearest = min(settings, key=lambda setting: abs(setting - pct))
        words = ", ".join(str(setting) for setting in settings)
        fault = Fault(
            "", f"entrainment_pct is {pct}; there is no such valve", f"{words} %", f"{nearest} is nearest"
        )
        tree.say(value_span(tree, (*path, "entrainment_pct")), fault)


def _fields_of(kind: DeviceKind) -> dict[str, bool]:
    """Which fields make sense for a kind of device."""
    return {
        "prongs": kind.gas_to == "prongs",
        "nose_clip_pinched": kind.clip_open_ml_s_cmh2o > 0.0,
        "port_discs": kind.value("port_places") > 0.0,
        "bag_valve": kind.value("bag_valve") > 0.0,
        "bag_filled": kind.has_bag,
        "entrainment_pct": bool(kind.entrainment_flow_lpm),
        "entrainment_open_frac": bool(kind.entrainment_flow_lpm),
        "oxygen_share_pct": kind.blends_oxygen,
        "joined_to": bool(kind.joins),
    }


def _worn_kind(device: Mapping[str, Any]) -> DeviceKind | None:
    """What a device that is on when the case begins is; None for one at hand, or for none that is known."""
    return device_kinds().get(str(device.get("kind"))) if device.get("worn", True) is True else None


def _check_way_in(tree: Tree, path: Path, device: Mapping[str, Any], setup: object) -> None:
    kind = _worn_kind(device)
    patient = setup.get("patient") if isinstance(setup, dict) else None
    if kind is None or not kind.needs_tracheostomy:
        return
    if not isinstance(patient, dict) or patient.get("tracheostomy") is not True:
        what = f"a {kind.words} is pushed onto a tracheostomy tube, and the patient has none"
        hint = "write patient: {tracheostomy: true} in the set-up, or worn: false here"
        tree.say(value_span(tree, (*path, "kind")), Fault("", what, "", hint))


def _check_host(tree: Tree, path: Path, device: Mapping[str, Any], parts: Parts) -> None:
    kind = _worn_kind(device)
    if kind is None or not kind.joins:
        return
    hosts = [name for name, each in parts.devices.items() if each in kind.joins]
    named = device.get("joined_to")
    words = " or ".join(device_kinds()[each].words for each in kind.joins)
    if isinstance(named, str) and named not in hosts:
        fault = Fault("", f"{named} is no {words}", ", ".join(hosts), did_you_mean(named, hosts))
        tree.say(value_span(tree, (*path, "joined_to")), fault)
    elif named is None and len(hosts) != 1:
        here = "several are here" if hosts else "none is here"
        what = f"an {kind.words} goes into the wide tubing of a {words}; {here}"
        hint = "add it to the devices, or write worn: false here" if not hosts else "say which in joined_to"
        tree.say(value_span(tree, (*path, "kind")), Fault("", what, ", ".join(hosts), hint))


def _check_worn(tree: Tree, path: Path, device: Mapping[str, Any], worn: list[tuple[str, str]]) -> None:
    kind = _worn_kind(device)
    if kind is None:
        return
    name = str(device.get("id") or kind.id)
    taken = next(
        (other for other, place in worn if place in _SAME_FACE.get(kind.worn_on, {kind.worn_on})), None
    )
    if taken is not None:
        fault = Fault("", f"{name} and {taken} cannot both be worn", "", "write worn: false for one of them")
        tree.say(value_span(tree, (*path, "kind")), fault)
    worn.append((name, kind.worn_on))
