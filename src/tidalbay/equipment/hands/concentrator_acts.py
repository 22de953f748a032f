"""Acts on concentrators: brought in, switched on, switched off."""

from typing import TypeVar

from tidalbay.catalogue.supplies import concentrator_kinds
from tidalbay.equipment.act import Act
from tidalbay.equipment.graph import Graph, concentrator_meant
from tidalbay.equipment.parts import ActRefused, Concentrator, Flowmeter
from tidalbay.equipment.sources.concentrator import started, stopped

G = TypeVar("G", bound=Graph)


def concentrator_chosen(graph: G, act: Act) -> G:
    """A concentrator was wheeled in and plugged in: switched off, its own flowmeter at 0."""
    there = graph.supply(act.on)
    if isinstance(there, Concentrator):
        kind = act.choice("machine", tuple(concentrator_kinds()), there.kind)
        if kind != there.kind:
            raise ActRefused(f"'{there.id}' is another machine; give the new one a name of its own.")
        return graph
    kind = act.choice("machine", tuple(concentrator_kinds()), "concentrator")
    name = act.on or graph.free_id(kind)
    if name in graph.part_ids():
        raise ActRefused(f"'{name}' is the name of another part; give the concentrator its own.")
    meter = built_in_flowmeter(kind, name, graph.free_id(f"{name}_flowmeter"))
    return graph.put(Concentrator(name, kind)).put(meter)


def built_in_flowmeter(kind: str, concentrator_id: str, flowmeter_id: str) -> Flowmeter:
    """The flowmeter of a concentrator, at 0."""
    row = concentrator_kinds()[kind]
    return Flowmeter(flowmeter_id, concentrator_id, row.flowmeter, row.value("max_lpm"))


def concentrator_started(graph: G, act: Act) -> G:
    """The concentrator was switched on; without power nothing but its alarm answers."""
    return graph.put(started(concentrator_meant(graph, act.on)))


def concentrator_stopped(graph: G, act: Act) -> G:
    """The concentrator was switched off."""
    return graph.put(stopped(concentrator_meant(graph, act.on)))
