"""Causes that a case may throw at the equipment: what goes wrong without anybody's hands."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from tidalbay.catalogue.devices import SNUGNESS
from tidalbay.equipment.act import is_number
from tidalbay.equipment.flow import with_valve
from tidalbay.equipment.graph import Graph, cylinder_meant, device_meant, tube_meant, with_article
from tidalbay.equipment.parts import ActRefused, Cylinder, Device, WallOutlet

G = TypeVar("G", bound=Graph)


def _flag(value: object) -> bool:
    """A fault is there unless the case says false."""
    return value is not False


def _share(value: object, usual: float) -> float:
    if value is None or value is True:
        return usual
    if value is False:
        return 0.0
    if is_number(value) and 0.0 <= value <= 1.0:
        return float(value)
    raise ActRefused(f"How much of it is a number from 0 to 1; it says {value!r}.")


def _tube_kinked(graph: G, on: str | None, value: object) -> G:
    return graph.put(replace(tube_meant(graph, on), kinked=_flag(value)))


def _tube_disconnected(graph: G, on: str | None, value: object) -> G:
    tube = tube_meant(graph, on)
    if value not in (None, True, "flowmeter", "device"):
        raise ActRefused(f"Tubing comes off at the flowmeter or the device; it says {value!r}.")
    if value == "device":
        return graph.put(replace(tube, device=None))
    return graph.put(replace(tube, source=None))


def _tube_leaking(graph: G, on: str | None, value: object) -> G:
    return graph.put(replace(tube_meant(graph, on), leak_frac=_share(value, 0.5)))


def _valve_shut(graph: G, on: str | None, value: object) -> G:
    return with_valve(graph, cylinder_meant(graph, on), not _flag(value))


def _supply_empty(graph: G, on: str | None, value: object) -> G:
    supply = graph.supply(on)
    if isinstance(supply, WallOutlet):
        return graph.put(replace(supply, pressurised=not _flag(value)))
    cylinder = cylinder_meant(graph, on)
    emptied = _emptied(cylinder)
    gone_l = cylinder.gas_l
    if emptied.regulator is not None and cylinder.regulator is not None:
        gone_l += cylinder.regulator.gas_l - emptied.regulator.gas_l
    return graph.put(emptied).note(vented_l=gone_l)


def _emptied(cylinder: Cylinder) -> Cylinder:
    regulator = cylinder.regulator
    if regulator is not None and cylinder.valve_open:
        regulator = replace(regulator, gas_l=0.0)
    return replace(cylinder, gas_l=0.0, regulator=regulator)


def _device(graph: Graph, on: str | None, has: Callable[[Device], bool], words: str) -> Device:
    device = device_meant(graph, on, None if on else [each for each in graph.devices if has(each)])
    if not has(device):
        raise ActRefused(f"'{device.id}' is {with_article(device.row.words)} and does not have {words}.")
    return device


def _disc_missing(graph: G, on: str | None, value: object) -> G:
    device = _device(graph, on, lambda each: each.row.value("port_discs") > 0.0, "discs")
    missing = 1 if value is None or value is True else value
    if not isinstance(missing, int) or not 0 <= missing <= device.row.value("port_discs"):
        made = int(device.row.value("port_discs"))
        raise ActRefused(f"'{device.id}' is made with {made} discs; {value!r} of them cannot be missing.")
    return graph.put(replace(device, port_discs=int(device.row.value("port_discs")) - missing))


def _bag_valve_missing(graph: G, on: str | None, value: object) -> G:
    device = _device(graph, on, lambda each: each.row.value("bag_valve") > 0.0, "a valve at a bag")
    return graph.put(replace(device, bag_valve=not _flag(value)))


def _bag_emptied(graph: G, on: str | None, value: object) -> G:
    device = _device(graph, on, lambda each: each.row.has_bag, "a bag")
    if not device.worn:
        return graph.put(replace(device, bag_filled=False))
    graph = replace(graph, placings=graph.placings + 1)
    return graph.put(replace(device, bag_filled=False, placing=graph.placings))


def _prongs_out(graph: G, on: str | None, value: object) -> G:
    device = _device(graph, on, lambda each: each.row.gas_to == "prongs", "prongs")
    where = "below" if value is None or value is True else "down" if value is False else value
    if where not in ("below", "cheek", "one_out", "down"):
        raise ActRefused(f"Prongs that are out are below, cheek or one_out; it says {value!r}.")
    return graph.put(replace(device, prongs=str(where)))


def _prongs_upside_down(graph: G, on: str | None, value: object) -> G:
    device = _device(graph, on, lambda each: each.row.gas_to == "prongs", "prongs")
    return graph.put(replace(device, prongs="up" if _flag(value) else "down"))


def _one_nostril_blocked(graph: G, on: str | None, value: object) -> G:
    return replace(graph, nostril_blocked=_flag(value))


def _strap_loose(graph: G, on: str | None, value: object) -> G:
    device = device_meant(graph, on)
    return graph.put(replace(device, snugness_frac=SNUGNESS["loose" if _flag(value) else "snug"]))


def _nose_clip_lifted(graph: G, on: str | None, value: object) -> G:
    device = _device(graph, on, lambda each: each.row.clip_open_ml_s_cmh2o > 0.0, "a nose clip")
    return graph.put(replace(device, nose_clip_pinched=not _flag(value)))


def _ports_covered(graph: G, on: str | None, value: object) -> G:
    device = _device(graph, on, lambda each: bool(each.row.entrainment_flow_lpm), "entrainment ports")
    return graph.put(replace(device, entrainment_open_frac=1.0 - _share(value, 1.0)))


def _device_off(graph: G, on: str | None, value: object) -> G:
    device = device_meant(graph, on)
    return graph.put(replace(device, worn=False, bag_filled=False))


def _probe_off(graph: G, on: str | None, value: object) -> G:
    return replace(graph, probe_site=None if _flag(value) else "finger")


CAUSES: Mapping[str, Callable[[Any, str | None, object], Any]] = {
    "tube_kinked": _tube_kinked,
    "tube_disconnected": _tube_disconnected,
    "tube_leaking": _tube_leaking,
    "valve_shut": _valve_shut,
    "supply_empty": _supply_empty,
    "disc_missing": _disc_missing,
    "bag_valve_missing": _bag_valve_missing,
    "bag_emptied": _bag_emptied,
    "prongs_out": _prongs_out,
    "prongs_upside_down": _prongs_upside_down,
    "one_nostril_blocked": _one_nostril_blocked,
    "strap_loose": _strap_loose,
    "nose_clip_lifted": _nose_clip_lifted,
    "ports_covered": _ports_covered,
    "device_off": _device_off,
    "probe_off": _probe_off,
}


def with_fault(graph: G, cause: str, on: str | None, value: object) -> G:
    """The graph after a cause has struck, or has gone again where `value` is False.

    Raises
    ------
    ActRefused
        With a sentence, if there is no such cause or nothing here that it could strike.
    """
    strike = CAUSES.get(cause)
    if strike is None:
        raise ActRefused(f"There is no cause '{cause}'; the causes are {', '.join(CAUSES)}.")
    struck: G = strike(graph, on, value)
    return struck
