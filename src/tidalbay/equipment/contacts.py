"""What equipment does to skin and linings: where it presses, how hard, and what water its gas asks."""

from typing import NamedTuple

from tidalbay.catalogue.skin_sites import skin_contacts, skin_sites
from tidalbay.equipment.flow import delivery
from tidalbay.equipment.graph import Graph
from tidalbay.equipment.parts import Device
from tidalbay.science.mucosa import bubbled_mg_l, water_asked_mg_min

ROOM_DEGC = 21.0
HEATED_MG_L = 44.0  # 37 °C, saturated: heated humidifier of a high-flow set (Crit Care review 2017)
BREATHED_SHARE = 0.4  # of a mask's gas, what is breathed in (assumed: the time spent breathing in)


class Touch(NamedTuple):
    """One place and how it is pressed. [mmHg], [1], [1]"""

    site: str
    covered_by: str  # the site that padding names to cover it
    pressure_mmhg: float
    shear_frac: float
    moisture_frac: float


def touches(graph: Graph) -> tuple[Touch, ...]:
    """Every place that something worn touches; twice where two devices do."""
    return tuple(
        Touch(
            contact.site,
            skin_sites()[contact.site].seen_with,
            contact.pressure_mmhg.value(device.snugness_frac),
            contact.shear_frac,
            contact.moisture_frac,
        )
        for device in graph.worn()
        for contact in skin_contacts().get(device.kind, ())
    )


def water_asked_by_gas_mg_min(graph: Graph) -> float:
    """Water that supplied gas takes from nose and throat, all devices together. [mg/min]"""
    return sum(_asked(graph, device) for device in graph.worn())


def _asked(graph: Graph, device: Device) -> float:
    flow_lpm = delivery(graph, device).flow_lpm
    tube = graph.tube_to(device.id)
    meter = graph.flowmeter(tube.source) if tube is not None else None
    if device.kind == "high_flow_nasal_cannula":
        held_mg_l = HEATED_MG_L
    elif meter is not None and meter.humidified and meter.humidifier_water != "none":
        held_mg_l = bubbled_mg_l(flow_lpm, ROOM_DEGC)
    else:
        held_mg_l = 0.0
    ends_at = graph.device(device.joined_to) or device
    share = 1.0 if ends_at.row.gas_to == "prongs" else BREATHED_SHARE
    return water_asked_mg_min(share * flow_lpm, held_mg_l)
