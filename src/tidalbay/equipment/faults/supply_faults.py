"""Causes that strike outlets, cylinders, concentrators, flowmeters, humidifiers and tubing."""

from dataclasses import replace
from typing import TypeVar

from tidalbay.equipment.faults.values import amount, flag, share
from tidalbay.equipment.flow import shown_lpm, with_valve
from tidalbay.equipment.graph import (
    Graph,
    concentrator_meant,
    cylinder_meant,
    flowmeter_meant,
    tube_meant,
)
from tidalbay.equipment.parts import ActRefused, Concentrator, Cylinder, Flowmeter, Tube, WallOutlet
from tidalbay.equipment.sources import concentrator
from tidalbay.equipment.sources.bottle import shown_kpa

G = TypeVar("G", bound=Graph)


# --- tubing ---------------------------------------------------------------------------------------


def tube_kinked(graph: G, on: str | None, value: object) -> G:
    """No gas passes."""
    return graph.put(replace(tube_meant(graph, on), kinked=flag(value)))


def tube_disconnected(graph: G, on: str | None, value: object) -> G:
    """It came off at the flowmeter, or at the device."""
    tube = tube_meant(graph, on)
    if value not in (None, True, "flowmeter", "device"):
        raise ActRefused(f"Tubing comes off at the flowmeter or the device; it says {value!r}.")
    if value == "device":
        return graph.put(replace(tube, device=None))
    return graph.put(replace(tube, source=None))


def tube_leaking(graph: G, on: str | None, value: object) -> G:
    """A share of the gas is lost on the way."""
    return graph.put(replace(tube_meant(graph, on), leak_frac=share(value, 0.5)))


def tube_wet(graph: G, on: str | None, value: object) -> G:
    """Water lies in its lowest loop, gurgles, and holds gas back."""
    return graph.put(replace(tube_meant(graph, on), water_frac=share(value, 0.7)))


def tube_on_air(graph: G, on: str | None, value: object) -> G:
    """The tube sits on the medical-air flowmeter, at the flow it had; or back on that for oxygen."""
    tube = tube_meant(graph, on)
    now = graph.flowmeter(tube.source)
    wanted = "air" if flag(value) else "oxygen"
    if now is not None and _gas(graph, now) == wanted:
        return graph
    meter = _flowmeter_for(graph, wanted, tube)
    other = graph.tube_from(meter.id)
    if other is not None:
        graph = graph.put(replace(other, source=None))
    if now is not None and not now.flush:
        meter = replace(meter, set_lpm=min(now.set_lpm, meter.max_lpm), flush=False)
    return graph.put(meter).put(replace(tube, source=meter.id))


def _flowmeter_for(graph: Graph, gas: str, tube: Tube) -> Flowmeter:
    """A flowmeter of that gas, a free one first."""
    fitting = [meter for meter in graph.flowmeters if _gas(graph, meter) == gas]
    if not fitting:
        raise ActRefused(f"There is no flowmeter for {gas} here that '{tube.id}' could sit on.")
    return next((meter for meter in fitting if graph.tube_from(meter.id) is None), fitting[0])


def _gas(graph: Graph, meter: Flowmeter) -> str | None:
    supply = graph.supply(meter.supply)
    return supply.gas if supply else None


# --- flowmeters and humidifiers -------------------------------------------------------------------


def flow_knocked(graph: G, on: str | None, value: object) -> G:
    """The knob was turned by nobody who meant to."""
    meter = flowmeter_meant(graph, on)
    flow_lpm = amount(value, 0.0, 0.0, meter.max_lpm, "L/min")
    return graph.put(replace(meter, set_lpm=flow_lpm, flush=False))


def float_stuck(graph: G, on: str | None, value: object) -> G:
    """The float hangs in its tube and shows what it showed; or it moves again."""
    meter = flowmeter_meant(graph, on)
    if meter.row.style != "float":
        raise ActRefused(f"'{meter.id}' is a dial and has no float that could hang.")
    return graph.put(replace(meter, stuck_at_lpm=shown_lpm(graph, meter) if flag(value) else None))


def humidifier_loose(graph: G, on: str | None, value: object) -> G:
    """Its lid is not tight: a share of the gas hisses out under it."""
    meter = flowmeter_meant(graph, on)
    if not meter.humidified:
        raise ActRefused(f"There is no humidifier on '{meter.id}'.")
    return graph.put(replace(meter, humidifier_leak_frac=share(value, 0.6)))


# --- sources --------------------------------------------------------------------------------------


def valve_shut(graph: G, on: str | None, value: object) -> G:
    """A cylinder's valve was shut."""
    return with_valve(graph, cylinder_meant(graph, on), not flag(value))


def supply_empty(graph: G, on: str | None, value: object) -> G:
    """A cylinder's gas is gone, or an outlet's pipeline has no pressure."""
    supply = graph.supply(on)
    if isinstance(supply, WallOutlet):
        return graph.put(replace(supply, pressurised=not flag(value)))
    if isinstance(supply, Concentrator):
        raise ActRefused(f"'{supply.id}' is a concentrator and stores no gas; power_failed stops it.")
    cylinder = cylinder_meant(graph, on)
    emptied = _emptied(cylinder)
    gone_l = cylinder.gas_l
    if emptied.regulator is not None and cylinder.regulator is not None:
        gone_l += cylinder.regulator.gas_l - emptied.regulator.gas_l
    return graph.put(emptied).note(vented_l=gone_l)


def _emptied(cylinder: Cylinder) -> Cylinder:
    regulator = cylinder.regulator
    if regulator is not None and cylinder.valve_open:
        regulator = replace(regulator, gas_l=0.0)
    return replace(cylinder, gas_l=0.0, regulator=regulator)


def regulator_leaking(graph: G, on: str | None, value: object) -> G:
    """Gas hisses out past its washer, whatever flow is set."""
    cylinder = cylinder_meant(graph, on)
    if cylinder.regulator is None:
        raise ActRefused(f"There is no regulator on '{cylinder.id}' that could leak.")
    leak_lpm = amount(value, 10.0, 0.0, 100.0, "L/min")
    return graph.put(replace(cylinder, regulator=replace(cylinder.regulator, leak_lpm=leak_lpm)))


def gauge_stuck(graph: G, on: str | None, value: object) -> G:
    """The needle hangs and shows what it showed; or it moves again."""
    cylinder = cylinder_meant(graph, on)
    if cylinder.regulator is None:
        raise ActRefused(f"There is no regulator on '{cylinder.id}', so no gauge.")
    stuck_kpa = shown_kpa(cylinder, graph.room_k) if flag(value) else None
    return graph.put(replace(cylinder, regulator=replace(cylinder.regulator, needle_stuck_kpa=stuck_kpa)))


def power_failed(graph: G, on: str | None, value: object) -> G:
    """A concentrator has no power; when it comes back the machine starts afresh."""
    return graph.put(concentrator.with_power(concentrator_meant(graph, on), not flag(value)))


def sieve_worn(graph: G, on: str | None, value: object) -> G:
    """A share of a concentrator's sieve is spent, so that less nitrogen stays behind."""
    return graph.put(replace(concentrator_meant(graph, on), worn_frac=share(value, 0.7)))
