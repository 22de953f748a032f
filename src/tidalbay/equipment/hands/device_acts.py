"""Acts on devices, their tubing, and the oximeter's probe."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TypeVar

from tidalbay.catalogue.devices import SNUGNESS, cup_endings, probe_delays_s, prong_placements
from tidalbay.catalogue.fault import is_number
from tidalbay.equipment.act import Act
from tidalbay.equipment.flow import delivery
from tidalbay.equipment.graph import (
    Graph,
    device_meant,
    flowmeter_meant,
    host_meant,
    only,
    tube_meant,
    with_article,
)
from tidalbay.equipment.parts import ActRefused, Device, EquipmentError, Tube, new_device

G = TypeVar("G", bound=Graph)

_TAKEN = {
    "nose": "there are prongs in the nose already, '{other}'",
    "face": "'{other}' is on the face already",
    "mouth": "'{other}' is in the mouth already",
    "neck": "'{other}' is at the neck already",
    "tubing": "'{other}' is in the wide tubing already",
}


def device_chosen(graph: G, act: Act) -> G:
    """A device was taken from its wrapper; it is in the hand, connected to nothing."""
    kind = str(act.values.get("device"))
    there = graph.device(act.on)
    if there is not None and there.kind == kind:
        return graph
    name = act.on or graph.free_id(kind)
    if name in graph.part_ids():
        raise ActRefused(f"'{name}' is the name of another part; give the new device its own.")
    try:
        return graph.put(new_device(name, kind))
    except EquipmentError as error:
        raise ActRefused(str(error)) from None


# --- tubing ---------------------------------------------------------------------------------------


def tubing_connected(graph: G, act: Act) -> G:
    """Tubing was pushed onto a flowmeter at one end and a device at the other.

    A tube that was on that flowmeter comes off: the nipple takes one.
    """
    device = _device_to_connect(graph, act)
    source = act.part("from")
    if source is None and act.on is not None and graph.device(act.on) is None and graph.tube(act.on) is None:
        source = act.on
    if source is not None and source not in graph.part_ids():
        raise ActRefused(f"There is no '{source}' here to connect tubing to.")
    if source is None and graph.chosen_outlet and graph.flowmeter_on(graph.chosen_outlet):
        source = graph.chosen_outlet
    meter = flowmeter_meant(graph, source)
    tube = graph.tube_to(device.id) or Tube(graph.free_id(f"{device.id}_tubing"), None, device.id)
    if tube.source == meter.id:
        return graph.put(tube)
    other = graph.tube_from(meter.id)
    if other is not None:
        graph = graph.put(replace(other, source=None))
    return graph.put(replace(tube, source=meter.id))


def _device_to_connect(graph: Graph, act: Act) -> Device:
    name = act.part("to")
    if name is None and act.on is not None:
        tube = graph.tube(act.on)
        name = tube.device if tube else act.on if graph.device(act.on) else None
    if name is not None:
        if graph.device(name) is None:
            raise ActRefused(f"There is no '{name}' here to connect tubing to.")
        return device_meant(graph, name)
    loose = [device for device in graph.devices if not _is_fed(graph, device)]
    return only(loose or list(graph.devices), "device")


def _is_fed(graph: Graph, device: Device) -> bool:
    tube = graph.tube_to(device.id)
    return tube is not None and tube.source is not None


def tubing_disconnected(graph: G, act: Act) -> G:
    """Tubing was pulled off the flowmeter, or off the device where `end` says so."""
    tube = tube_meant(graph, act.on)
    device = graph.device(tube.device)
    if act.choice("end", ("flowmeter", "device"), "flowmeter") == "device":
        graph = graph.put(replace(tube, device=None))
    else:
        graph = graph.put(replace(tube, source=None))
    return graph.put(replace(device, bag_filled=False)) if device and device.bag_filled else graph


def tubing_freed(graph: G, act: Act) -> G:
    """A kink was straightened."""
    return graph.put(replace(tube_meant(graph, act.on), kinked=False))


def tubing_drained(graph: G, act: Act) -> G:
    """Water was let out of the tubing, away from the patient."""
    return graph.put(replace(tube_meant(graph, act.on), water_frac=0.0))


# --- on and off -----------------------------------------------------------------------------------


def device_placed(graph: G, act: Act) -> G:
    """The device went onto the patient, gas or no gas; prongs that were out are in again.

    An in-line nebuliser goes into the wide tubing of the device that `to` names, or of the only one.
    """
    device = device_meant(graph, act.on, None if act.on else _in_the_hand(graph))
    if device.row.needs_tracheostomy and not graph.tracheostomy:
        raise ActRefused(
            f"'{device.id}' is pushed onto a tracheostomy tube, and this patient has none; "
            "fit a mask or a mouthpiece to the cup instead."
        )
    if device.row.joins:
        device = replace(device, joined_to=host_meant(graph, device, act.part("to")).id)
    _check_place_is_free(graph, device)
    prongs = device.prongs if device.prongs in ("down", "up") else "down"
    device = replace(device, prongs=act.choice("way", tuple(prong_placements()), prongs))
    if "snugness" in act.values:
        device = replace(device, snugness_frac=snugness_frac(act.values["snugness"]))
    if device.worn:
        return graph.put(device)
    device = replace(device, worn=True, placed_ms=act.t_ms)
    if not device.row.is_mask:
        return graph.put(device)
    graph = replace(graph, placings=graph.placings + 1)
    return graph.put(replace(device, placing=graph.placings))


def _in_the_hand(graph: Graph) -> list[Device] | None:
    in_the_hand = [device for device in graph.devices if not device.worn]
    return in_the_hand or None


def _check_place_is_free(graph: Graph, device: Device) -> None:
    place = device.row.worn_on
    blocking = {"mouth": ("mouth", "face"), "face": ("face", "mouth")}.get(place, (place,))
    rivals = graph.joined_to(device.joined_to) if device.joined_to else graph.worn()
    for other in rivals:
        if other.id != device.id and other.row.worn_on in blocking:
            reason = _TAKEN[other.row.worn_on].format(other=other.id)
            raise ActRefused(f"'{device.id}' cannot go on: {reason}. Take that off first.")


def device_removed(graph: G, act: Act) -> G:
    """The device came off; its tubing stays on, and a bag is no longer taken as filled."""
    device = device_meant(graph, act.on, None if act.on else (graph.worn() or None))
    return graph.put(replace(device, worn=False, bag_filled=False, joined_to=None))


def bag_filled(graph: G, act: Act) -> G:
    """The bag was untwisted and the flap held until it was full; without gas it stays empty."""
    device = replace(_with_part(graph, act, "has_bag", "a reservoir bag"), bag_twisted=False)
    if delivery(graph, device).flow_lpm <= 0.0:
        return graph.put(device)
    if not device.worn:
        return graph.put(replace(device, bag_filled=True))
    graph = replace(graph, placings=graph.placings + 1)
    return graph.put(replace(device, bag_filled=True, placing=graph.placings))


# --- how it is worn -------------------------------------------------------------------------------


def prongs_turned(graph: G, act: Act) -> G:
    """Prongs were turned or re-sited."""
    device = _with_part(graph, act, "prongs", "prongs")
    return graph.put(replace(device, prongs=act.choice("way", tuple(prong_placements()))))


def snugness_frac(value: object) -> float:
    """Snugness from a word, or from a number between 0 (loose) and 1 (tight)."""
    if isinstance(value, str) and value in SNUGNESS:
        return SNUGNESS[value]
    if is_number(value) and 0.0 <= value <= 1.0:
        return float(value)
    raise ActRefused(f"A strap is {', '.join(SNUGNESS)}, or a number from 0 to 1; it says {value!r}.")


def strap_set(graph: G, act: Act) -> G:
    """The strap was set loose, snug or tight."""
    device = device_meant(graph, act.on)
    return graph.put(replace(device, snugness_frac=snugness_frac(act.values.get("snugness"))))


def nose_clip_pinched(graph: G, act: Act) -> G:
    """The metal strip was moulded to the bridge of the nose."""
    return graph.put(replace(_with_part(graph, act, "clip", "a nose clip"), nose_clip_pinched=True))


def disc_refitted(graph: G, act: Act) -> G:
    """Every disc this device is made with is in its place and moves again, the bag's valve included."""
    device = _with_part(graph, act, "discs", "discs")
    made = new_device(device.id, device.kind)
    return graph.put(
        replace(device, port_discs=made.port_discs, bag_valve=made.bag_valve, bag_valve_stuck=False)
    )


def entrainment_set(graph: G, act: Act) -> G:
    """The entrainment valve was set or exchanged; its ports are clear again."""
    device = _with_part(graph, act, "entrainment", "an entrainment valve")
    pct = act.number("pct")
    settings = device.row.entrainment_flow_lpm
    if pct not in settings:
        listed = ", ".join(str(setting) for setting in settings)
        raise ActRefused(f"'{device.id}' has no valve for {pct:g} %; its valves are {listed} %.")
    return graph.put(replace(device, entrainment_pct=int(pct), entrainment_open_frac=1.0))


def oxygen_share_set(graph: G, act: Act) -> G:
    """The oxygen share of a device that blends was set."""
    device = _with_part(graph, act, "blender", "a blender")
    pct = act.number("pct")
    if not 21.0 <= pct <= 100.0:
        raise ActRefused(f"{pct:g} % cannot be set on '{device.id}': it blends from 21 to 100 %.")
    return graph.put(replace(device, oxygen_share_frac=pct / 100.0))


def interface_fitted(graph: G, act: Act) -> G:
    """What a nebuliser's cup ends in was exchanged: mask, mouthpiece, T-piece or the tee of wide tubing."""
    kind = cup_endings()[act.choice("part", tuple(cup_endings()))].id
    device = _with_part(graph, act, "nebuliser", "a nebuliser cup")
    if device.kind == kind:
        return graph
    if device.worn:
        raise ActRefused(f"'{device.id}' is on the patient; take it off before changing what it ends in.")
    return graph.put(replace(device, kind=kind))


_HAS: Mapping[str, Callable[[Device], bool]] = {
    "has_bag": lambda device: device.row.has_bag,
    "prongs": lambda device: device.row.gas_to == "prongs",
    "clip": lambda device: device.row.clip_open_ml_s_cmh2o > 0.0,
    "discs": lambda device: device.row.value("port_discs") > 0.0 or device.row.value("bag_valve") > 0.0,
    "entrainment": lambda device: bool(device.row.entrainment_flow_lpm),
    "blender": lambda device: device.row.blends_oxygen,
    "nebuliser": lambda device: bool(device.row.cup),
}


def _with_part(graph: Graph, act: Act, part: str, words: str) -> Device:
    """The device meant, which must have a certain part for hands to take hold of."""
    has = _HAS[part]
    if act.on is None:
        fitting = [device for device in graph.devices if has(device)]
        if not fitting:
            raise ActRefused(f"No device here has {words}.")
        return device_meant(graph, None, fitting)
    device = device_meant(graph, act.on)
    if not has(device):
        raise ActRefused(f"'{device.id}' is {with_article(device.row.words)} and does not have {words}.")
    return device


# --- probe ----------------------------------------------------------------------------------------


def probe_placed(graph: G, act: Act) -> G:
    """The oximeter's probe went onto a finger, an ear or a toe."""
    return replace(graph, probe_site=act.choice("site", tuple(probe_delays_s()), "finger"))


def probe_removed(graph: G, act: Act) -> G:
    """The probe came off."""
    return replace(graph, probe_site=None)
