"""What instruments and eyes can read off the equipment, as flat names with units."""

from math import isfinite

from tidalbay.equipment.flow import (
    arriving,
    bubbles,
    delivery,
    drawn_lpm,
    flow_lpm,
    next_change_s,
    oxygen_frac,
    shown_lpm,
    whistles,
)
from tidalbay.equipment.graph import Graph
from tidalbay.equipment.parts import Concentrator, Cylinder, Device, Flowmeter, Supply
from tidalbay.equipment.sources.bottle import shown_kpa
from tidalbay.equipment.sources.concentrator import alarms
from tidalbay.equipment.told.sounds import gurgles, hisses
from tidalbay.units import KPA_PER_BAR, psi_from_kpa

Readings = dict[str, float | None]


def readings(graph: Graph) -> Readings:
    """Every reading by `part.quantity_unit`; None where the instrument is not there.

    Booleans are 1 and 0.  `wearing.KIND` says for each worn kind that it is worn, `PART.hisses`
    for each part from which gas is heard to escape; both are left out where they are not so.
    """
    found: Readings = {}
    for supply in graph.supplies:
        found |= _supply(graph, supply)
    for meter in graph.flowmeters:
        found |= _flowmeter(graph, meter)
    for tube in graph.tubes:
        found[f"{tube.id}.kinked"] = float(tube.kinked)
        found[f"{tube.id}.connected"] = float(tube.source is not None and tube.device is not None)
        found[f"{tube.id}.gurgles"] = float(gurgles(graph, tube))
    for part_id in hisses(graph):
        found[f"{part_id}.hisses"] = 1.0
    for device in graph.devices:
        found |= _device(graph, device)
    for device in graph.worn():
        found[f"wearing.{device.kind}"] = 1.0
    change_s = next_change_s(graph)
    found["equipment.next_change_s"] = change_s if isfinite(change_s) else None
    return found


def _supply(graph: Graph, supply: Supply) -> Readings:
    meter = graph.flowmeter_on(supply.id)
    found: Readings = {f"{supply.id}.flow_lpm": drawn_lpm(graph, meter) if meter else 0.0}
    if isinstance(supply, Cylinder):
        gauge_kpa = shown_kpa(supply, graph.room_k)
        found[f"{supply.id}.gauge_kpa"] = gauge_kpa
        found[f"{supply.id}.gauge_bar"] = None if gauge_kpa is None else gauge_kpa / KPA_PER_BAR
        found[f"{supply.id}.gauge_psi"] = None if gauge_kpa is None else psi_from_kpa(gauge_kpa)
        found[f"{supply.id}.valve_open"] = float(supply.valve_open)
        found[f"{supply.id}.secured"] = float(supply.secured)
        found[f"{supply.id}.gas_l"] = supply.gas_l
    elif isinstance(supply, Concentrator):
        passing_lpm = flow_lpm(graph, meter) if meter else 0.0
        found[f"{supply.id}.switched_on"] = float(supply.switched_on)
        found[f"{supply.id}.runs"] = float(supply.runs)
        found[f"{supply.id}.alarms"] = float(alarms(supply, passing_lpm))
        purity = 100.0 * oxygen_frac(supply, passing_lpm) if supply.runs else None
        found[f"{supply.id}.oxygen_pct"] = purity
    else:
        found[f"{supply.id}.pressurised"] = float(supply.pressurised)
    return found


def _flowmeter(graph: Graph, meter: Flowmeter) -> Readings:
    found: Readings = {
        f"{meter.id}.set_lpm": meter.set_lpm,
        f"{meter.id}.shown_lpm": shown_lpm(graph, meter),
        f"{meter.id}.flow_lpm": flow_lpm(graph, meter),
        f"{meter.id}.flush": float(meter.flush),
    }
    if meter.humidified:
        found[f"{meter.id}.bubbles"] = float(bubbles(graph, meter))
        found[f"{meter.id}.relief_sounds"] = float(whistles(graph, meter))
    return found


def _device(graph: Graph, device: Device) -> Readings:
    gas, brings = delivery(graph, device), arriving(graph, device)
    found: Readings = {
        f"{device.id}.worn": float(device.worn),
        f"{device.id}.placed_s": device.placed_ms / 1000.0 if device.worn else None,
        f"{device.id}.flow_lpm": gas.flow_lpm,
        f"{device.id}.supplied_o2_pct": 100.0 * brings.oxygen_frac if brings.flow_lpm > 0.0 else None,
        f"{device.id}.snugness_frac": device.snugness_frac,
    }
    if device.row.has_bag:
        found[f"{device.id}.bag_filled_first"] = float(device.bag_filled)
        found[f"{device.id}.port_discs"] = float(device.port_discs)
    if device.row.entrainment_flow_lpm:
        found[f"{device.id}.entrainment_pct"] = float(device.entrainment_pct)
    if device.row.blends_oxygen:
        found[f"{device.id}.oxygen_share_pct"] = 100.0 * device.oxygen_share_frac
    return found
