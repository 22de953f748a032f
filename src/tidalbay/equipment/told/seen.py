"""What eyes see of the equipment, part by part, as a drawing needs it.

A fault that cannot be seen is not here: a flap that sticks shut, a leak, a float or a needle that hangs
show only in what they do to what is seen.
"""

from typing import Any

from tidalbay.equipment.flow import bubbles, flow_lpm, shown_lpm, whistles
from tidalbay.equipment.graph import Graph
from tidalbay.equipment.parts import Concentrator, Cylinder, Device, Flowmeter, Supply, Tube
from tidalbay.equipment.sources.bottle import shown_kpa
from tidalbay.equipment.sources.concentrator import alarms
from tidalbay.equipment.told.sounds import gurgles, hisses
from tidalbay.units import KPA_PER_BAR, psi_from_kpa

GAS_NAMES = {"oxygen": "OXYGEN", "air": "MEDICAL AIR"}
# Where the scale of a gauge ends, as a share of the pressure its cylinder is filled to (assumed).
SCALE_PER_FILLING = 1.5
LOOSE_BELOW, TIGHT_ABOVE = 0.25, 0.75  # of snugness, as warnings have it

Seen = dict[str, Any]


def seen(graph: Graph) -> dict[str, Any]:
    """Supplies, flowmeters, tubes, devices, probe and sampling line as eyes find them.

    Returns
    -------
    dict
        `supplies`, `flowmeters`, `tubes`, `devices`: lists of mappings with `id`, shares from 0 to 1
        in names that end in `_frac`, readings of instruments with their unit; `probe` and
        `sampling_line`: their `site`.
    """
    hissing = set(hisses(graph))
    return {
        "supplies": [_supply(graph, supply) | _sound(supply.id, hissing) for supply in graph.supplies],
        "flowmeters": [_flowmeter(graph, meter) | _sound(meter.id, hissing) for meter in graph.flowmeters],
        "tubes": [_tube(graph, tube) | _sound(tube.id, hissing) for tube in graph.tubes],
        "devices": [_device(graph, device) | _sound(device.id, hissing) for device in graph.devices],
        "probe": {"site": graph.probe_site},
        "sampling_line": {"site": graph.sampling_site},
    }


def snugness_word(snugness_frac: float) -> str:
    """Loose, snug or tight, as two fingers under a strap find it."""
    if snugness_frac < LOOSE_BELOW:
        return "loose"
    return "snug" if snugness_frac <= TIGHT_ABOVE else "tight"


def _sound(part_id: str, hissing: set[str]) -> Seen:
    return {"hisses": part_id in hissing}


def _supply(graph: Graph, supply: Supply) -> Seen:
    if isinstance(supply, Cylinder):
        return {
            "id": supply.id,
            "kind": "cylinder",
            "gas_name": GAS_NAMES[supply.gas],
            "size": supply.size,
            "valve_open": supply.valve_open,
            "secured": supply.secured,
            "regulator": supply.regulator is not None,
            **_gauge(supply, graph.room_k),
        }
    told: Seen = {"id": supply.id, "kind": supply.kind, "gas_name": GAS_NAMES[supply.gas]}
    if isinstance(supply, Concentrator):
        meter = graph.flowmeter_on(supply.id)
        passing_lpm = flow_lpm(graph, meter) if meter else 0.0
        told |= {"switched_on": supply.switched_on, "alarms": alarms(supply, passing_lpm)}
    return told


def _gauge(cylinder: Cylinder, room_k: float) -> Seen:
    shown = shown_kpa(cylinder, room_k)
    if shown is None:
        return {}
    scale_kpa = SCALE_PER_FILLING * cylinder.row.nominal_pressure_kpa
    return {
        "gauge_frac": round(min(1.0, shown / scale_kpa), 4),
        "gauge_psi": round(psi_from_kpa(shown), 1),
        "gauge_bar": round(shown / KPA_PER_BAR, 2),
    }


def _flowmeter(graph: Graph, meter: Flowmeter) -> Seen:
    return {
        "id": meter.id,
        "supply": meter.supply,
        "style": meter.row.style,
        "max_lpm": meter.max_lpm,
        "float_frac": round(min(1.0, shown_lpm(graph, meter) / meter.max_lpm), 4),
        "set_frac": 1.0 if meter.flush else round(min(1.0, meter.set_lpm / meter.max_lpm), 4),
        "flush": meter.flush,
        "humidified": meter.humidified,
        "water": meter.humidifier_water if meter.humidified else None,
        "bubbling": bubbles(graph, meter),
        "whistles": whistles(graph, meter),
    }


def _tube(graph: Graph, tube: Tube) -> Seen:
    return {
        "id": tube.id,
        "from": tube.source,
        "to": tube.device,
        "kinked": tube.kinked,
        "wet_frac": tube.water_frac,
        "gurgles": gurgles(graph, tube),
    }


def _device(graph: Graph, device: Device) -> Seen:
    row = device.row
    told: Seen = {
        "id": device.id,
        "kind": device.kind,
        "worn": device.worn,
        "snug": snugness_word(device.snugness_frac),
    }
    if row.gas_to == "prongs":
        told["prongs"] = device.prongs
    if row.clip_open_ml_s_cmh2o > 0.0:
        told["clip_pinched"] = device.nose_clip_pinched
    if row.has_bag:
        told |= {
            "port_discs": device.port_discs,
            "bag_valve": device.bag_valve,
            "bag_twisted": device.bag_twisted,
        }
    if row.entrainment_flow_lpm:
        told |= {
            "entrainment_pct": device.entrainment_pct,
            "ports_covered_frac": 1.0 - device.entrainment_open_frac,
        }
    if row.blends_oxygen:
        told["oxygen_share_pct"] = 100.0 * device.oxygen_share_frac
    host = graph.device(device.joined_to)
    if host is not None:
        told |= {"joined_to": host.id, "joined_kind": host.kind, "joined_worn": host.worn}
    if graph.joined_to(device.id):
        told["cup_in_line"] = True
    return told
