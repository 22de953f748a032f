"""What flows where: from each supply through its flowmeter and tubing to a device, or to the room."""

from dataclasses import replace
from math import inf, sqrt
from typing import NamedTuple, TypeVar

from tidalbay.catalogue.supplies import outlet_kinds, regulator_kind
from tidalbay.equipment.bottle import drawn, flow_share, step_ends_s, step_of, vessel_gas_l, with_vessel_gas
from tidalbay.equipment.graph import Graph
from tidalbay.equipment.parts import Cylinder, Device, Flowmeter, Supply, Tube
from tidalbay.units import SECONDS_PER_MINUTE

G = TypeVar("G", bound=Graph)

STANDARD_KPA = 101.325


class Delivery(NamedTuple):
    """Gas that arrives at a device: litres a minute as metered, and its oxygen fraction."""

    flow_lpm: float
    oxygen_frac: float


NOTHING = Delivery(0.0, 0.2095)


def oxygen_frac(supply: Supply | None) -> float:
    """Oxygen fraction of what a supply gives."""
    kinds = outlet_kinds()
    if supply is None:
        return NOTHING.oxygen_frac
    return next(kind.value("oxygen_frac") for kind in kinds.values() if kind.gas == supply.gas)


def full_flow_lpm(graph: Graph, meter: Flowmeter) -> float:
    """What the knob lets pass while the supply has its pressure, nothing being in the way. [L/min]

    A float reads by the density of the gas under line pressure, a fixed opening passes gas in
    proportion to that pressure; both are marked for sea level, where the room adds 101 kPa.
    """
    marked_lpm = meter.row.value("flush_lpm") if meter.flush else meter.set_lpm
    supply = graph.supply(meter.supply)
    if isinstance(supply, Cylinder):
        line_kpa = regulator_kind().value("outlet_kpa")
    else:
        line_kpa = supply.row.value("pressure_kpa") if supply else 0.0
    thinner = (line_kpa + graph.barometric_kpa) / (line_kpa + STANDARD_KPA)
    if meter.row.style == "float":
        thinner = sqrt(thinner)
    return marked_lpm * (1.0 + meter.scale_error_frac) * thinner


def whistles(graph: Graph, meter: Flowmeter) -> bool:
    """Whether a kinked tube drives the flow out of the humidifier's relief valve."""
    tube = graph.tube_from(meter.id)
    return bool(meter.humidified and tube and tube.kinked and flow_lpm(graph, meter) > 0.0)


def _open_flow_lpm(graph: Graph, meter: Flowmeter) -> float:
    """The full flow, or 0 where a kinked tube holds it back."""
    tube = graph.tube_from(meter.id)
    if tube and tube.kinked and not meter.humidified:
        return 0.0
    return full_flow_lpm(graph, meter)


def _supply_share(graph: Graph, supply: Supply | None) -> float:
    if isinstance(supply, Cylinder):
        if supply.regulator is None:
            return 0.0
        return flow_share(step_of(supply, vessel_gas_l(supply), graph.room_k))
    return 1.0 if supply and supply.pressurised else 0.0


def flow_lpm(graph: Graph, meter: Flowmeter) -> float:
    """Flow that leaves a flowmeter now, wherever it goes. [L/min]"""
    return _open_flow_lpm(graph, meter) * _supply_share(graph, graph.supply(meter.supply))


def shown_lpm(graph: Graph, meter: Flowmeter) -> float:
    """What the flowmeter shows: a float the flow that passes, a dial what was dialled. [L/min]"""
    if meter.row.style == "dial":
        return meter.max_lpm if meter.flush else meter.set_lpm
    full_lpm = full_flow_lpm(graph, meter)
    if full_lpm <= 0.0:
        return 0.0
    marked_lpm = meter.max_lpm if meter.flush else meter.set_lpm
    return min(meter.max_lpm, marked_lpm * flow_lpm(graph, meter) / full_lpm)


def _blend(device: Device | None, supply: Supply | None) -> tuple[float, float]:
    """Oxygen fraction behind a device's own blender, and the share of the flow it draws from the supply."""
    pure = oxygen_frac(supply)
    if device is None or not device.row.blends_oxygen or supply is None or supply.gas != "oxygen":
        return pure, 1.0
    air = outlet_kinds()["wall_air"].value("oxygen_frac")
    share = min(1.0, max(0.0, (device.oxygen_share_frac - air) / (pure - air)))
    return air + share * (pure - air), share


def drawn_lpm(graph: Graph, meter: Flowmeter) -> float:
    """Flow that leaves the supply for a flowmeter: less than it gives where a blender adds air. [L/min]"""
    tube = graph.tube_from(meter.id)
    device = graph.device(tube.device) if tube else None
    return flow_lpm(graph, meter) * _blend(device, graph.supply(meter.supply))[1]


def delivery(graph: Graph, device: Device) -> Delivery:
    """What arrives at a device through its tubing."""
    tube = graph.tube_to(device.id)
    meter = graph.flowmeter(tube.source) if tube else None
    if tube is None or meter is None:
        return NOTHING
    supply = graph.supply(meter.supply)
    return Delivery(flow_lpm(graph, meter) * _passing_frac(tube), _blend(device, supply)[0])


def _passing_frac(tube: Tube) -> float:
    return 0.0 if tube.kinked else 1.0 - tube.leak_frac


# --- time ---------------------------------------------------------------------------------------


def _full_lps(graph: Graph, cylinder: Cylinder) -> float:
    """What leaves a cylinder while it has pressure: by its flowmeter, or freely from an open valve. [L/s]"""
    if cylinder.regulator is None:
        blown_lpm = regulator_kind().value("open_valve_lpm") if cylinder.valve_open else 0.0
        return blown_lpm / SECONDS_PER_MINUTE
    meter = graph.flowmeter_on(cylinder.id)
    if meter is None:
        return 0.0
    tube = graph.tube_from(meter.id)
    device = graph.device(tube.device) if tube else None
    return _open_flow_lpm(graph, meter) * _blend(device, cylinder)[1] / SECONDS_PER_MINUTE


def next_change_s(graph: Graph) -> float:
    """Seconds until a cylinder's flow changes by itself: fades, fades further, ends. [s]"""
    ends = (step_ends_s(each, _full_lps(graph, each), graph.room_k) for each in graph.cylinders())
    return min(ends, default=inf)


def advance(graph: G, dt_s: float) -> G:
    """The graph after a stretch of time in which hands did nothing."""
    later = graph
    for meter in graph.flowmeters:
        later = _meter_flows(later, graph, meter, dt_s)
    for cylinder in graph.cylinders():
        if cylinder.regulator is None:
            bottle, left_l = drawn(cylinder, _full_lps(graph, cylinder), dt_s, graph.room_k)
            if left_l > 0.0:
                later = later.put(bottle).note(vented_l=left_l)
    return later


def _meter_flows(later: G, graph: Graph, meter: Flowmeter, dt_s: float) -> G:
    supply = graph.supply(meter.supply)
    if isinstance(supply, Cylinder):
        bottle, left_l = drawn(supply, _full_lps(graph, supply), dt_s, graph.room_k)
        if left_l <= 0.0:
            return later
        later = later.put(bottle).note(from_cylinders_l=left_l)
    else:
        left_l = drawn_lpm(graph, meter) * dt_s / SECONDS_PER_MINUTE
        if left_l <= 0.0:
            return later
        later = later.note(from_wall_l=left_l)
    given_l = left_l * _share_to_patient(graph, meter)
    return later.note(to_patient_l=given_l, to_room_l=left_l - given_l)


def _share_to_patient(graph: Graph, meter: Flowmeter) -> float:
    tube = graph.tube_from(meter.id)
    device = graph.device(tube.device) if tube else None
    return _passing_frac(tube) if tube and device and device.worn else 0.0


def with_valve(graph: G, cylinder: Cylinder, is_open: bool) -> G:
    """The graph with a cylinder's valve turned; opening it lets gas into the regulator."""
    turned = replace(cylinder, valve_open=is_open)
    if is_open and turned.regulator is not None:
        turned = with_vessel_gas(turned, vessel_gas_l(turned))
    return graph.put(turned)
