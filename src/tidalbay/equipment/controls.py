"""From the graph of parts to the numbers of the breathing model."""

from typing import Any

from tidalbay.catalogue.devices import blocked_nostril, probe_delays_s, prong_placements
from tidalbay.equipment.flow import arriving
from tidalbay.equipment.graph import Graph
from tidalbay.equipment.parts import Device
from tidalbay.science.controls import Controls
from tidalbay.units import BODY_K, BODY_WATER_MMHG, btps_ml_s_from_lpm

MEDICAL_AIR_PCT = 20.9  # what entrainment ratios are printed with
SHUT_ML_S_CMH2O = 1e-9  # a way that lets nothing through


def controls(graph: Graph, barometric_mmhg: float, room_oxygen_frac: float) -> Controls:
    """What the equipment does to the face now.

    Parameters
    ----------
    barometric_mmhg : float
        Pressure of the room. [mmHg]
    room_oxygen_frac : float
        Oxygen fraction of dry room air. [1]
    """
    numbers: dict[str, Any] = {
        "barometric_mmhg": barometric_mmhg,
        "room_oxygen_frac": room_oxygen_frac,
        "probe_on": 0.0 if graph.probe_site is None else 1.0,
    }
    if graph.probe_site is not None:
        numbers["probe_delay_s"] = probe_delays_s()[graph.probe_site]
    if graph.nostril_blocked:
        numbers["nose_open_frac"] = 0.5
    for device in graph.worn():
        if device.row.gas_to == "prongs":
            numbers |= _prongs(graph, device, barometric_mmhg)
    mask = breathed_mask(graph)
    if breathes_through_neck(graph):
        numbers["bypass_upper_airway"] = 1.0
    if mask is not None:
        numbers |= _mask(graph, mask, barometric_mmhg)
    return Controls(**numbers)


def breathes_through_neck(graph: Graph) -> bool:
    """Whether breath passes a tracheostomy; a mask worn at the neck says so too."""
    return graph.tracheostomy or any(device.row.worn_on == "neck" for device in graph.worn())


def breathed_mask(graph: Graph) -> Device | None:
    """The mask whose gas is breathed: at the neck with a tracheostomy, otherwise over nose and mouth."""
    at_neck = breathes_through_neck(graph)
    masks = [device for device in graph.worn() if device.row.is_mask]
    return next((device for device in masks if (device.row.worn_on == "neck") == at_neck), None)


def _prongs(graph: Graph, device: Device, barometric_mmhg: float) -> dict[str, Any]:
    where = prong_placements()[device.prongs]
    inside, capture = where.inside_frac, where.capture_frac
    if graph.nostril_blocked and inside > 0.0:
        inside *= blocked_nostril().inside_frac
        capture = max(capture, blocked_nostril().capture_frac)
    gas = arriving(graph, device)
    flow_ml_s = btps_ml_s_from_lpm(gas.flow_lpm, barometric_mmhg)
    in_nostrils = where.inside_frac > 0.0
    return {
        "prong_flow_btps_ml_s": inside * flow_ml_s,
        "prong_oxygen_frac": gas.oxygen_frac,
        "prong_stirring": where.stirring,
        "jet_flow_btps_ml_s": (1.0 - inside) * flow_ml_s,
        "jet_capture_frac": capture,
        "nostril_gap_ml_s_cmh2o": device.row.value("nostril_gap_ml_s_cmh2o") if in_nostrils else 0.0,
    }


def _mask(graph: Graph, device: Device, barometric_mmhg: float) -> dict[str, Any]:
    row = device.row
    gas = arriving(graph, device)
    flow_ml_s = btps_ml_s_from_lpm(gas.flow_lpm, barometric_mmhg)
    seal = seal_ml_s_cmh2o(device)
    ports = ports_ml_s_cmh2o(device)
    numbers: dict[str, Any] = {
        "face_placing": float(device.placing),
        "face_volume_ml": row.value("mask_volume_ml"),
        "port_ml_s_cmh2o": ports,
        "seal_ml_s_cmh2o": seal,
        "draught_btps_ml_s": draught_ml_s(device),
        "draught_shield_btps_ml_s": max(1.0, row.value("draught_shield_ml_s")),
        "face_takes_back": 1.0 - row.value("expires_to_room"),
    }
    if row.value("holds_mouth_open") > 0.0:
        numbers["mouth_held_frac"] = 1.0
    if row.value("shuts_nose") > 0.0:
        numbers["nose_open_frac"] = 0.0
    if row.gas_to == "bag":
        return numbers | _bag(device, flow_ml_s, gas.oxygen_frac, barometric_mmhg, graph.room_k)
    numbers |= {"face_flow_btps_ml_s": flow_ml_s, "face_oxygen_frac": gas.oxygen_frac}
    if row.entrainment_flow_lpm:
        numbers["face_entrainment_ratio"] = entrainment_ratio(device.entrainment_pct)
        numbers["face_entrainment_open_frac"] = device.entrainment_open_frac
        printed_lpm = row.entrainment_flow_lpm[device.entrainment_pct]
        share = gas.flow_lpm / printed_lpm  # a jet's push grows with the square of its flow
        numbers["face_entrainment_stall_cmh2o"] = max(1e-6, row.value("stall_cmh2o") * share * share)
    return numbers


def _bag(
    device: Device, flow_ml_s: float, oxygen_frac: float, barometric_mmhg: float, room_k: float
) -> dict[str, Any]:
    row = device.row
    # Cool dry gas in the bag takes more room once it is warm and wet; a bag is filled at the room's pressure.
    warmed = BODY_K / room_k * barometric_mmhg / (barometric_mmhg - BODY_WATER_MMHG)
    volume_ml = row.value("bag_volume_ml") * warmed
    supplied_ml_s = flow_ml_s * (1.0 - row.value("lost_share"))
    numbers = {
        "bag_volume_ml": volume_ml,
        "bag_start_ml": volume_ml if device.bag_filled else 0.0,
        "bag_flow_btps_ml_s": supplied_ml_s,
        "bag_oxygen_frac": oxygen_frac,
        "bag_spills_to_room": row.value("spills_to_room"),
        "bag_valve_present": 1.0 if device.bag_valve else 0.0,
        "bag_valve_ml_s_cmh2o": row.value("bag_neck_ml_s_cmh2o"),
        "bag_valve_opening_cmh2o": row.value("bag_valve_opening_cmh2o") if device.bag_valve else 0.0,
    }
    if device.bag_twisted:
        # The tubing enters above the twist: its gas goes on into the mask, and the bag stays as it is.
        numbers |= {
            "bag_start_ml": 0.0,
            "bag_flow_btps_ml_s": 0.0,
            "bag_valve_ml_s_cmh2o": SHUT_ML_S_CMH2O,
            "face_flow_btps_ml_s": supplied_ml_s,
            "face_oxygen_frac": oxygen_frac,
        }
    elif device.bag_valve and device.bag_valve_stuck:
        # What the full bag cannot hold hisses out at the connector.
        numbers |= {"bag_spills_to_room": 1.0, "bag_valve_ml_s_cmh2o": SHUT_ML_S_CMH2O}
    return numbers


def seal_ml_s_cmh2o(device: Device) -> float:
    """What the edge of a mask leaves open, nose clip included. [mL/s/cmH2O]"""
    if device.seal_ml_s_cmh2o is not None:
        return device.seal_ml_s_cmh2o
    edge = device.row.seal_ml_s_cmh2o
    clip = 0.0 if device.nose_clip_pinched else device.row.clip_open_ml_s_cmh2o
    return clip + (edge.value(device.snugness_frac) if edge else 0.0)


def ports_ml_s_cmh2o(device: Device) -> float:
    """What the ports let in: holes always open, and places without their disc. [mL/s/cmH2O]"""
    row = device.row
    without_disc = max(0.0, row.value("port_places") - device.port_discs)
    return row.value("ports_ml_s_cmh2o") + without_disc * row.value("open_port_ml_s_cmh2o")


def draught_ml_s(device: Device) -> float:
    """Exchange with a still room: by fit, or on a reservoir mask by how much of it is open. [mL/s]"""
    row = device.row
    if row.draught_ml_s is not None:
        return row.draught_ml_s.value(device.snugness_frac)
    all_open = row.value("all_open_ml_s_cmh2o")
    if all_open <= 0.0:
        return 0.0
    open_ml_s_cmh2o = ports_ml_s_cmh2o(device) + seal_ml_s_cmh2o(device)
    return row.value("draught_all_open_ml_s") * open_ml_s_cmh2o / all_open


def entrainment_ratio(setting_pct: float) -> float:
    """Litres of room air drawn in by one litre of oxygen for a setting. [1]

    References
    ----------
    (100 - F) / (F - 20.9), mass balance; the ratios printed on devices are this, rounded.
    """
    if setting_pct <= MEDICAL_AIR_PCT:
        return 0.0
    return (100.0 - setting_pct) / (setting_pct - MEDICAL_AIR_PCT)
