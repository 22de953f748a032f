"""What flows where: from each supply through its flowmeter and tubing to a device, or to the room."""

from dataclasses import replace
from math import inf, sqrt
from typing import NamedTuple, TypeVar

from tidalbay.catalogue.supplies import outlet_kinds, passages, regulator_kind
from tidalbay.equipment.graph import Graph
from tidalbay.equipment.parts import Concentrator, Cylinder, Device, Flowmeter, Supply, Tube
from tidalbay.equipment.sources import concentrator
from tidalbay.equipment.sources.bottle import (
    drawn,
    flow_share,
    step_ends_s,
    step_of,
    vessel_gas_l,
    with_vessel_gas,
)
from tidalbay.units import SECONDS_PER_MINUTE

G = TypeVar("G", bound=Graph)

STANDARD_KPA = 101.325


class Delivery(NamedTuple):
    """Gas that arrives at a device: litres a minute as metered, and its oxygen fraction."""

    flow_lpm: float
    oxygen_frac: float


NOTHING = Delivery(0.0, 0.2095)


def oxygen_frac(supply: Supply | None, flow_lpm: float) -> float:
    """Oxygen fraction of what a supply gives at a flow; only a concentrator's depends on it."""
    kinds = outlet_kinds()
    if supply is None:
        return NOTHING.oxygen_frac
    if isinstance(supply, Concentrator):
        return concentrator.oxygen_frac(supply, flow_lpm)
    return next(kind.value("oxygen_frac") for kind in kinds.values() if kind.gas == supply.gas)


def line_kpa(supply: Supply | None) -> float:
    """Pressure behind a flowmeter while its supply is well, above that of the room. [kPa]"""
    if isinstance(supply, Cylinder):
        row = supply.regulator.row if supply.regulator else regulator_kind()
        return row.value("outlet_kpa")
    return supply.row.value("pressure_kpa") if supply else 0.0


def flush_lpm(meter: Flowmeter) -> float:
    """What a flowmeter passes when it is opened past its scale, never less than the scale's end. [L/min]"""
    by_scale_lpm = meter.row.value("flush_per_scale") * meter.max_lpm
    return max(meter.max_lpm, min(meter.row.value("flush_lpm"), by_scale_lpm))


def full_flow_lpm(graph: Graph, meter: Flowmeter) -> float:
    """What the knob lets pass while the supply has its pressure, nothing being in the way. [L/min]

    A float reads by the density of the gas under line pressure, a fixed opening passes gas in
    proportion to that pressure; both are marked for sea level, where the room adds 101 kPa.
    """
    marked_lpm = flush_lpm(meter) if meter.flush else meter.set_lpm
    behind_kpa = line_kpa(graph.supply(meter.supply))
    thinner = (behind_kpa + graph.barometric_kpa) / (behind_kpa + STANDARD_KPA)
    if meter.row.style == "float":
        thinner = sqrt(thinner)
    return marked_lpm * (1.0 + meter.scale_error_frac) * thinner


def whistles(graph: Graph, meter: Flowmeter) -> bool:
    """Whether a kinked tube drives the flow out of the humidifier's relief valve; a loose lid lets it out."""
    tube = graph.tube_from(meter.id)
    is_tight = meter.humidified and meter.humidifier_leak_frac == 0.0
    return bool(is_tight and tube and tube.kinked and flow_lpm(graph, meter) > 0.0)


def bubbles(graph: Graph, meter: Flowmeter) -> bool:
    """Whether gas is seen to bubble through the humidifier's water."""
    has_water = meter.humidified and meter.humidifier_water != "none"
    return has_water and flow_lpm(graph, meter) > 0.0 and not whistles(graph, meter)


def _open_flow_lpm(graph: Graph, meter: Flowmeter) -> float:
    """The full flow, as far as what is behind the flowmeter lets it pass."""
    tube = graph.tube_from(meter.id)
    full_lpm = full_flow_lpm(graph, meter)
    if tube is None:
        return full_lpm
    if tube.kinked:
        return full_lpm if meter.humidified else 0.0
    wet = 1.0 - tube.water_frac * passages()["wet_tubing"].value("holds_back_frac")
    return min(full_lpm * wet, _jet_lpm(graph, meter, graph.device(tube.device)))


def _jet_lpm(graph: Graph, meter: Flowmeter, device: Device | None) -> float:
    """The most that a device takes with this pressure behind it; no bound without a jet. [L/min]"""
    if device is None or not device.row.cup:
        return inf
    jet = passages()["nebuliser_jet"]
    behind_kpa = line_kpa(graph.supply(meter.supply)) + graph.barometric_kpa
    return jet.value("jet_lpm") * behind_kpa / (jet.value("jet_kpa") + STANDARD_KPA)


def _supply_share(graph: Graph, supply: Supply | None) -> float:
    if isinstance(supply, Cylinder):
        if supply.regulator is None:
            return 0.0
        return flow_share(step_of(supply, vessel_gas_l(supply), graph.room_k))
    if isinstance(supply, Concentrator):
        return 1.0 if supply.runs else 0.0
    return 1.0 if supply and supply.pressurised else 0.0


def flow_lpm(graph: Graph, meter: Flowmeter) -> float:
    """Flow that leaves a flowmeter now, wherever it goes. [L/min]"""
    return _open_flow_lpm(graph, meter) * _supply_share(graph, graph.supply(meter.supply))


def shown_lpm(graph: Graph, meter: Flowmeter) -> float:
    """What the flowmeter shows: a float the flow that passes, a dial what was dialled. [L/min]

    A float that hangs in its tube shows where it hangs.
    """
    if meter.stuck_at_lpm is not None:
        return meter.stuck_at_lpm
    if meter.row.style == "dial":
        return meter.max_lpm if meter.flush else meter.set_lpm
    full_lpm = full_flow_lpm(graph, meter)
    if full_lpm <= 0.0:
        return 0.0
    marked_lpm = meter.max_lpm if meter.flush else meter.set_lpm
    return min(meter.max_lpm, marked_lpm * flow_lpm(graph, meter) / full_lpm)


def _blend(device: Device | None, supply: Supply | None, flow_lpm: float) -> tuple[float, float]:
    """Oxygen fraction behind a device's own blender, and the share of the flow it draws from the supply.

    A concentrator's purity is taken at the whole flow, though a blender draws less of it.
    """
    pure = oxygen_frac(supply, flow_lpm)
    if device is None or not device.row.blends_oxygen or supply is None or supply.gas != "oxygen":
        return pure, 1.0
    air = outlet_kinds()["wall_air"].value("oxygen_frac")
    if pure <= air:
        return pure, 1.0  # a spent sieve: there is nothing to blend with air
    share = min(1.0, max(0.0, (device.oxygen_share_frac - air) / (pure - air)))
    return air + share * (pure - air), share


def drawn_lpm(graph: Graph, meter: Flowmeter) -> float:
    """Flow that leaves the supply for a flowmeter: less than it gives where a blender adds air. [L/min]"""
    tube = graph.tube_from(meter.id)
    device = graph.device(tube.device) if tube else None
    passing_lpm = flow_lpm(graph, meter)
    return passing_lpm * _blend(device, graph.supply(meter.supply), passing_lpm)[1]


def delivery(graph: Graph, device: Device) -> Delivery:
    """What arrives at a device through its tubing."""
    tube = graph.tube_to(device.id)
    meter = graph.flowmeter(tube.source) if tube else None
    if tube is None or meter is None:
        return NOTHING
    supply = graph.supply(meter.supply)
    passing_lpm = flow_lpm(graph, meter)
    fraction = _blend(device, supply, passing_lpm)[0]
    return Delivery(passing_lpm * _passing_frac(meter, tube), fraction)


def arriving(graph: Graph, device: Device) -> Delivery:
    """What a device brings the patient: its own gas, and that of what is fitted into its tubing."""
    gases = [delivery(graph, each) for each in (device, *graph.joined_to(device.id))]
    flow_lpm = sum(gas.flow_lpm for gas in gases)
    if len(gases) == 1 or flow_lpm <= 0.0:
        return gases[0]
    return Delivery(flow_lpm, sum(gas.flow_lpm * gas.oxygen_frac for gas in gases) / flow_lpm)


def _passing_frac(meter: Flowmeter, tube: Tube) -> float:
    """Share of what leaves a flowmeter that comes out at the other end of its tube."""
    lid = 1.0 - meter.humidifier_leak_frac if meter.humidified else 1.0
    return 0.0 if tube.kinked else lid * (1.0 - tube.leak_frac)


# --- time ---------------------------------------------------------------------------------------


def _full_lps(graph: Graph, cylinder: Cylinder) -> float:
    """What leaves a cylinder while it has pressure: by flowmeter and leak, or from an open valve. [L/s]"""
    if cylinder.regulator is None:
        blown_lpm = regulator_kind().value("open_valve_lpm") if cylinder.valve_open else 0.0
        return blown_lpm / SECONDS_PER_MINUTE
    meter = graph.flowmeter_on(cylinder.id)
    wanted_lpm = _wanted_lpm(graph, cylinder, meter) if meter else 0.0
    return (wanted_lpm + cylinder.regulator.leak_lpm) / SECONDS_PER_MINUTE


def _wanted_lpm(graph: Graph, cylinder: Cylinder, meter: Flowmeter) -> float:
    """What a flowmeter draws from a cylinder while it has pressure. [L/min]"""
    tube = graph.tube_from(meter.id)
    device = graph.device(tube.device) if tube else None
    open_lpm = _open_flow_lpm(graph, meter)
    return open_lpm * _blend(device, cylinder, open_lpm)[1]


def next_change_s(graph: Graph) -> float:
    """Seconds until a supply changes by itself: a cylinder fades or ends, a concentrator warms. [s]"""
    ends = [step_ends_s(each, _full_lps(graph, each), graph.room_k) for each in graph.cylinders()]
    warmer = [concentrator.next_change_s(each) for each in graph.concentrators()]
    return min([*ends, *warmer], default=inf)


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
    for machine in graph.concentrators():
        later = later.put(concentrator.later(machine, dt_s))
    return later


def _meter_flows(later: G, graph: Graph, meter: Flowmeter, dt_s: float) -> G:
    supply = graph.supply(meter.supply)
    if isinstance(supply, Cylinder):
        full_lps = _full_lps(graph, supply)
        bottle, gone_l = drawn(supply, full_lps, dt_s, graph.room_k)
        if gone_l <= 0.0:
            return later
        left_l = gone_l * (_wanted_lpm(graph, supply, meter) / SECONDS_PER_MINUTE / full_lps)
        later = later.put(bottle).note(from_cylinders_l=left_l, vented_l=gone_l - left_l)
    else:
        left_l = drawn_lpm(graph, meter) * dt_s / SECONDS_PER_MINUTE
        if left_l <= 0.0:
            return later
        is_made = isinstance(supply, Concentrator)
        later = later.note(from_concentrators_l=left_l) if is_made else later.note(from_wall_l=left_l)
    given_l = left_l * _share_to_patient(graph, meter)
    return later.note(to_patient_l=given_l, to_room_l=left_l - given_l)


def _share_to_patient(graph: Graph, meter: Flowmeter) -> float:
    tube = graph.tube_from(meter.id)
    device = graph.device(tube.device) if tube else None
    return _passing_frac(meter, tube) if tube and device and graph.is_on(device) else 0.0


def with_valve(graph: G, cylinder: Cylinder, is_open: bool) -> G:
    """The graph with a cylinder's valve turned; opening it lets gas into the regulator."""
    turned = replace(cylinder, valve_open=is_open)
    if is_open and turned.regulator is not None:
        turned = with_vessel_gas(turned, vessel_gas_l(turned))
    return graph.put(turned)
