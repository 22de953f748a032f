"""What ears hear at the equipment: gas that escapes, water that gurgles."""

from tidalbay.equipment.flow import delivery, flow_lpm
from tidalbay.equipment.graph import Graph
from tidalbay.equipment.parts import Cylinder, Device, Flowmeter, Tube
from tidalbay.equipment.sources.bottle import vessel_gas_l


def hisses(graph: Graph) -> list[str]:
    """The parts from which gas escapes into the room where it should not, in the graph's order."""
    found = [each.id for each in graph.cylinders() if cylinder_hisses(each)]
    found += [meter.id for meter in graph.flowmeters if flowmeter_hisses(graph, meter)]
    found += [tube.id for tube in graph.tubes if tube_hisses(graph, tube)]
    return found + [device.id for device in graph.devices if device_hisses(graph, device)]


def cylinder_hisses(cylinder: Cylinder) -> bool:
    """At an open valve without regulator, or past a regulator's washer."""
    if vessel_gas_l(cylinder) <= 0.0:
        return False
    return cylinder.valve_open if cylinder.regulator is None else cylinder.regulator.leak_lpm > 0.0


def flowmeter_hisses(graph: Graph, meter: Flowmeter) -> bool:
    """Because no tubing is on it, or under the loose lid of its humidifier."""
    is_open = graph.tube_from(meter.id) is None
    is_loose = meter.humidified and meter.humidifier_leak_frac > 0.0
    return (is_open or is_loose) and flow_lpm(graph, meter) > 0.0


def tube_hisses(graph: Graph, tube: Tube) -> bool:
    """At its free end, or through a leak."""
    meter = graph.flowmeter(tube.source)
    if meter is None or tube.kinked or (tube.device is not None and tube.leak_frac <= 0.0):
        return False
    return flow_lpm(graph, meter) > 0.0


def device_hisses(graph: Graph, device: Device) -> bool:
    """At the connector of a bag that is full and whose flap does not open."""
    is_shut = device.bag_valve and device.bag_valve_stuck and not device.bag_twisted
    return is_shut and delivery(graph, device).flow_lpm > 0.0


def gurgles(graph: Graph, tube: Tube) -> bool:
    """Whether gas pushes through water that lies in a tube."""
    meter = graph.flowmeter(tube.source)
    return tube.water_frac > 0.0 and meter is not None and flow_lpm(graph, meter) > 0.0
