"""Causes that strike devices, how they are worn, and the oximeter's probe."""

from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

from tidalbay.catalogue.devices import SNUGNESS
from tidalbay.catalogue.fault import is_number
from tidalbay.equipment.faults.values import flag, share
from tidalbay.equipment.graph import Graph, device_meant, with_article
from tidalbay.equipment.parts import ActRefused, Device

G = TypeVar("G", bound=Graph)


def _device(graph: Graph, on: str | None, has: Callable[[Device], bool], words: str) -> Device:
    device = device_meant(graph, on, None if on else [each for each in graph.devices if has(each)])
    if not has(device):
        raise ActRefused(f"'{device.id}' is {with_article(device.row.words)} and does not have {words}.")
    return device


# --- discs and bags -------------------------------------------------------------------------------


def disc_missing(graph: G, on: str | None, value: object) -> G:
    """So many discs are not over their ports; or stick open, which is the same."""
    device = _device(graph, on, lambda each: each.row.value("port_discs") > 0.0, "discs")
    missing = 1 if value is None or value is True else value
    if not isinstance(missing, int) or not 0 <= missing <= device.row.value("port_discs"):
        made = int(device.row.value("port_discs"))
        raise ActRefused(f"'{device.id}' is made with {made} discs; {value!r} of them cannot be missing.")
    return graph.put(replace(device, port_discs=int(device.row.value("port_discs")) - missing))


def bag_valve_missing(graph: G, on: str | None, value: object) -> G:
    """The flap between bag and mask is not there; or sticks open, which is the same."""
    device = _device(graph, on, lambda each: each.row.value("bag_valve") > 0.0, "a valve at a bag")
    return graph.put(replace(device, bag_valve=not flag(value)))


def bag_valve_stuck(graph: G, on: str | None, value: object) -> G:
    """The flap between bag and mask does not open."""
    device = _device(graph, on, lambda each: each.bag_valve, "a valve at a bag")
    return graph.put(replace(device, bag_valve_stuck=flag(value)))


def bag_emptied(graph: G, on: str | None, value: object) -> G:
    """The bag holds nothing, and fills from now on."""
    device = _device(graph, on, lambda each: each.row.has_bag, "a bag")
    return _with_empty_bag(graph, replace(device, bag_filled=False))


def bag_twisted(graph: G, on: str | None, value: object) -> G:
    """The bag is flat and twisted at its neck, so that gas passes it by; or it hangs free again."""
    device = _device(graph, on, lambda each: each.row.has_bag, "a bag")
    if device.bag_twisted == flag(value):
        return graph
    return _with_empty_bag(graph, replace(device, bag_filled=False, bag_twisted=flag(value)))


def _with_empty_bag(graph: G, device: Device) -> G:
    if not device.worn:
        return graph.put(device)
    graph = replace(graph, placings=graph.placings + 1)
    return graph.put(replace(device, placing=graph.placings))


# --- how it is worn -------------------------------------------------------------------------------


def prongs_out(graph: G, on: str | None, value: object) -> G:
    """The prongs slipped below the nose, onto the cheek, or one of them out."""
    device = _device(graph, on, lambda each: each.row.gas_to == "prongs", "prongs")
    where = "below" if value is None or value is True else "down" if value is False else value
    if where not in ("below", "cheek", "one_out", "down"):
        raise ActRefused(f"Prongs that are out are below, cheek or one_out; it says {value!r}.")
    return graph.put(replace(device, prongs=str(where)))


def prongs_upside_down(graph: G, on: str | None, value: object) -> G:
    """The prongs point up and away from the floor of the nose."""
    device = _device(graph, on, lambda each: each.row.gas_to == "prongs", "prongs")
    return graph.put(replace(device, prongs="up" if flag(value) else "down"))


def one_nostril_blocked(graph: G, on: str | None, value: object) -> G:
    """One side of the nose is shut."""
    return replace(graph, nostril_blocked=flag(value))


def strap_loose(graph: G, on: str | None, value: object) -> G:
    """The strap hangs loose; or is snug again."""
    device = device_meant(graph, on)
    return graph.put(replace(device, snugness_frac=SNUGNESS["loose" if flag(value) else "snug"]))


def nose_clip_lifted(graph: G, on: str | None, value: object) -> G:
    """The metal strip stands off the bridge of the nose."""
    device = _device(graph, on, lambda each: each.row.clip_open_ml_s_cmh2o > 0.0, "a nose clip")
    return graph.put(replace(device, nose_clip_pinched=not flag(value)))


def cup_tilted(graph: G, on: str | None, value: object) -> G:
    """The nebuliser's cup hangs askew; how it sprays then is the treatment's to say, and no part changes."""
    device = _device(graph, on, lambda each: bool(each.row.cup), "a cup")
    if value is not False and not (is_number(value) and 0.0 <= value <= 180.0):
        raise ActRefused(f"The cup of '{device.id}' tilts by 0 to 180 degrees; it says {value!r}.")
    return graph


def ports_covered(graph: G, on: str | None, value: object) -> G:
    """A share of the entrainment ports is covered, by a blanket for instance."""
    device = _device(graph, on, lambda each: bool(each.row.entrainment_flow_lpm), "entrainment ports")
    return graph.put(replace(device, entrainment_open_frac=1.0 - share(value, 1.0)))


def valve_exchanged(graph: G, on: str | None, value: object) -> G:
    """Another entrainment valve sits in the mask, the flow left as it was."""
    device = _device(graph, on, lambda each: bool(each.row.entrainment_flow_lpm), "an entrainment valve")
    settings = device.row.entrainment_flow_lpm
    if isinstance(value, bool) or value not in settings:
        listed = ", ".join(str(setting) for setting in settings)
        raise ActRefused(f"'{device.id}' has no valve for {value!r} %; its valves are {listed} %.")
    return graph.put(replace(device, entrainment_pct=int(str(value))))


def device_off(graph: G, on: str | None, value: object) -> G:
    """The device is off the patient, its tubing still on."""
    device = device_meant(graph, on)
    return graph.put(replace(device, worn=False, bag_filled=False, joined_to=None))


# --- probe ----------------------------------------------------------------------------------------


def probe_off(graph: G, on: str | None, value: object) -> G:
    """The probe is off; or back on the finger."""
    return replace(graph, probe_site=None if flag(value) else "finger")
