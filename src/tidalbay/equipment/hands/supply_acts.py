"""Acts on outlets, cylinders, regulators and flowmeters."""

from dataclasses import replace
from typing import TypeVar

from tidalbay.catalogue.cylinders import cylinder_size
from tidalbay.catalogue.supplies import flowmeter_kinds, outlet_kinds, regulator_kind
from tidalbay.equipment.act import Act, pressure_kpa
from tidalbay.equipment.flow import with_valve
from tidalbay.equipment.graph import (
    Graph,
    absent,
    cylinder_meant,
    flowmeter_meant,
    only,
    supply_words,
    with_article,
)
from tidalbay.equipment.parts import ActRefused, Concentrator, Cylinder, Flowmeter, Regulator, WallOutlet
from tidalbay.equipment.sources.bottle import filled
from tidalbay.units import psi_from_kpa

G = TypeVar("G", bound=Graph)

WATER = ("to_the_line", "low", "none")
HIGHEST_FILLING = 1.25  # times the nominal pressure: a warm, well-filled cylinder, and no more


def outlet_chosen(graph: G, act: Act) -> G:
    """Hands went to an outlet; one that was not drawn yet is there now."""
    outlet = graph.supply(act.on) or graph.supply(_meter_supply(graph, act.on))
    if outlet is not None:
        gas = act.choice("gas", ("oxygen", "air"), outlet.gas)
        if not isinstance(outlet, WallOutlet):
            raise ActRefused(f"'{outlet.id}' is a {supply_words(outlet)}, not an outlet in the wall.")
        if gas != outlet.gas:
            raise ActRefused(f"'{outlet.id}' is {with_article(outlet.row.words)}; it does not give {gas}.")
        return replace(graph, chosen_outlet=outlet.id)
    gas = act.choice("gas", ("oxygen", "air"))
    there = [each for each in graph.outlets() if each.gas == gas]
    if there and act.on is None:
        return replace(graph, chosen_outlet=there[0].id)
    kind = next(row.id for row in outlet_kinds().values() if row.gas == gas)
    new = WallOutlet(act.on or graph.free_id(kind), kind)
    return replace(graph.put(new), chosen_outlet=new.id)


def flowmeter_fitted(graph: G, act: Act) -> G:
    """A flowmeter was pushed into an outlet; one outlet takes one, and one that is in is seated afresh."""
    meter = graph.flowmeter(act.on)
    outlet = _outlet_meant(graph, act)
    seated = graph.flowmeter_on(outlet.id)
    if seated is not None and act.on in (None, outlet.id, seated.id):
        return graph.put(replace(seated, stuck_at_lpm=None))
    if seated is not None:
        raise ActRefused(f"'{outlet.id}' already carries the flowmeter '{seated.id}'; an outlet takes one.")
    if meter is not None:
        return graph.put(replace(meter, supply=outlet.id)) if _fits(graph, meter, outlet) else graph
    name = act.on if act.on and act.on != outlet.id else graph.free_id(f"{outlet.id}_flowmeter")
    row = flowmeter_kinds()["wall_float"]
    max_lpm = act.number("max_lpm", row.value("max_lpm"))
    return graph.put(Flowmeter(name, outlet.id, row.id, max_lpm))


def cylinder_chosen(graph: G, act: Act) -> G:
    """A cylinder was taken from the rack: closed, no regulator on it unless one is built in."""
    there = graph.supply(act.on)
    if there is not None:
        cylinder = cylinder_meant(graph, act.on)
        size = act.values.get("size", cylinder.size)
        if _size_id(str(size)) != cylinder.size:
            raise ActRefused(
                f"'{cylinder.id}' is a size {cylinder.size} cylinder; "
                f"to have a size {size} in its place, change it."
            )
        return graph
    bottle = _from_the_rack(graph, act, act.on or graph.free_id("cylinder"), "E")
    if bottle.regulator is not None:
        dial = flowmeter_kinds()[bottle.regulator.row.flowmeter]
        name = graph.free_id(f"{bottle.id}_flowmeter")
        graph = graph.put(Flowmeter(name, bottle.id, dial.id, dial.value("max_lpm")))
    return graph.put(bottle).note(brought_l=bottle.gas_l)


def cylinder_secured(graph: G, act: Act) -> G:
    """The cylinder stands in a holder or trolley."""
    return graph.put(replace(cylinder_meant(graph, act.on), secured=True))


def cylinder_cracked(graph: G, act: Act) -> G:
    """The valve was opened for a moment and shut; with a regulator on, that only puts it under pressure."""
    cylinder = cylinder_meant(graph, act.on)
    if cylinder.regulator is not None:
        opened = with_valve(graph, cylinder, True)
        return with_valve(opened, cylinder_meant(opened, cylinder.id), cylinder.valve_open)
    lost_l = min(cylinder.gas_l, regulator_kind().value("cracked_l"))
    return graph.put(replace(cylinder, gas_l=cylinder.gas_l - lost_l, valve_open=False)).note(vented_l=lost_l)


def regulator_fitted(graph: G, act: Act) -> G:
    """A regulator with gauge and flow dial was put on; one with a fault gives way to a sound one."""
    cylinder = cylinder_meant(graph, act.on)
    if cylinder.regulator is not None:
        if cylinder.regulator.leak_lpm == 0.0 and cylinder.regulator.needle_stuck_kpa is None:
            return graph
        if cylinder.regulator.is_built_in:
            raise ActRefused(f"The regulator of '{cylinder.id}' is built in; change the cylinder.")
        _check_pressure_is_off(cylinder)
        return graph.put(replace(cylinder, regulator=Regulator())).note(vented_l=cylinder.regulator.gas_l)
    if cylinder.valve_open and cylinder.gas_l > 0.0:
        raise _blowing(cylinder, "fitting a regulator")
    row = flowmeter_kinds()[regulator_kind().flowmeter]
    name = act.part("flowmeter") or graph.free_id(f"{cylinder.id}_flowmeter")
    if name in graph.part_ids():
        raise ActRefused(f"'{name}' is the name of another part; give the regulator's flowmeter its own.")
    meter = Flowmeter(name, cylinder.id, row.id, act.number("max_lpm", row.value("max_lpm")))
    return graph.put(replace(cylinder, regulator=Regulator())).put(meter)


def regulator_bled(graph: G, act: Act) -> G:
    """The pressure trapped behind a shut valve was let out; with the valve open more would follow."""
    cylinder = cylinder_meant(graph, act.on)
    if cylinder.regulator is None:
        raise ActRefused(f"There is no regulator on '{cylinder.id}' to bleed.")
    if cylinder.valve_open or cylinder.regulator.gas_l == 0.0:
        return graph
    empty = replace(cylinder.regulator, gas_l=0.0)
    return graph.put(replace(cylinder, regulator=empty)).note(vented_l=cylinder.regulator.gas_l)


def valve_opened(graph: G, act: Act) -> G:
    """The cylinder's valve was opened; without a regulator the gas blows off."""
    return with_valve(graph, cylinder_meant(graph, act.on), True)


def valve_closed(graph: G, act: Act) -> G:
    """The cylinder's valve was shut; pressure stays in the regulator until it flows out or is bled."""
    return with_valve(graph, cylinder_meant(graph, act.on), False)


def cylinder_changed(graph: G, act: Act) -> G:
    """A full cylinder stands in the place of this one, or the spare that `to` names takes over.

    The regulator goes over to the new cylinder, whose valve is shut; where the spare carries a
    regulator of its own, the tubing goes over instead.
    """
    old = cylinder_meant(graph, act.on)
    if old.valve_open and old.gas_l > 0.0 and old.regulator is None:
        raise _blowing(old, "changing the cylinder")
    spare_id = act.part("to")
    if spare_id is None or spare_id == old.id:
        return _replaced(graph, act, old)
    spare = graph.supply(spare_id)
    if not isinstance(spare, Cylinder):
        raise absent(spare_id, "cylinder", graph.cylinders())
    if old.regulator is None:
        return graph
    if spare.regulator is not None:
        return _tubing_moved(graph, old, spare)
    if old.regulator.is_built_in:
        raise ActRefused(
            f"The regulator of '{old.id}' is built in and does not go over; fit one to '{spare.id}'."
        )
    return _regulator_moved(graph, old, spare)


def _replaced(graph: G, act: Act, old: Cylinder) -> G:
    new = _from_the_rack(graph, act, old.id, old.size)
    trapped_l = old.regulator.gas_l if old.regulator else 0.0
    is_built_in = old.regulator is not None and old.regulator.is_built_in
    if is_built_in != (new.regulator is not None):
        raise ActRefused(
            f"The regulator of a size {old.size if is_built_in else new.size} cylinder is built in, so that "
            f"none goes over to '{old.id}'; choose the new cylinder under a name of its own."
        )
    if old.regulator is not None and not is_built_in:
        _check_pressure_is_off(old)
        new = replace(new, regulator=replace(old.regulator, gas_l=0.0, leak_lpm=0.0))
    new = replace(new, secured=old.secured)
    return graph.put(new).note(brought_l=new.gas_l, taken_away_l=old.gas_l, vented_l=trapped_l)


def _tubing_moved(graph: G, old: Cylinder, spare: Cylinder) -> G:
    before, after = graph.flowmeter_on(old.id), graph.flowmeter_on(spare.id)
    tube = graph.tube_from(before.id) if before else None
    if tube is None or after is None:
        return graph
    pulled_off = graph.tube_from(after.id)
    if pulled_off is not None:
        graph = graph.put(replace(pulled_off, source=None))
    return graph.put(replace(tube, source=after.id))


def _regulator_moved(graph: G, old: Cylinder, spare: Cylinder) -> G:
    _check_pressure_is_off(old)
    if spare.valve_open and spare.gas_l > 0.0:
        raise _blowing(spare, "fitting a regulator")
    moved = old.regulator or Regulator()
    meter = graph.flowmeter_on(old.id)
    if meter is not None:
        graph = graph.put(replace(meter, supply=spare.id))
    graph = graph.put(replace(old, regulator=None, valve_open=False))
    graph = graph.put(replace(spare, regulator=replace(moved, gas_l=0.0, leak_lpm=0.0)))
    return graph.note(vented_l=moved.gas_l)


def _check_pressure_is_off(old: Cylinder) -> None:
    if old.regulator is not None and old.valve_open and old.gas_l > 0.0:
        raise ActRefused(
            f"The regulator on '{old.id}' is under pressure and does not come off; shut the valve first."
        )


def flow_set(graph: G, act: Act) -> G:
    """The knob of a flowmeter was turned; beyond the end of its scale it can only be opened wide."""
    meter = flowmeter_meant(graph, act.on)
    if act.values.get("flush") is True:
        return graph.put(replace(meter, set_lpm=meter.max_lpm, flush=True))
    flow_lpm = act.number("flow_lpm")
    if flow_lpm < 0.0:
        raise ActRefused(f"{flow_lpm:g} L/min cannot be set on '{meter.id}': a flow is 0 or more.")
    if flow_lpm > meter.max_lpm:
        raise ActRefused(
            f"{flow_lpm:g} L/min cannot be set on '{meter.id}': its scale ends at {meter.max_lpm:g} L/min."
        )
    return graph.put(replace(meter, set_lpm=flow_lpm, flush=False))


def humidifier_fitted(graph: G, act: Act) -> G:
    """A bubble humidifier sits between flowmeter and tubing, its lid tight."""
    meter = flowmeter_meant(graph, act.on)
    water = act.choice("water", WATER, "to_the_line" if not meter.humidified else meter.humidifier_water)
    return graph.put(replace(meter, humidified=True, humidifier_water=water, humidifier_leak_frac=0.0))


def humidifier_removed(graph: G, act: Act) -> G:
    """The tubing sits straight on the flowmeter again."""
    meter = flowmeter_meant(graph, act.on)
    return graph.put(replace(meter, humidified=False, humidifier_leak_frac=0.0))


# --- what the acts above need ------------------------------------------------------------------------


def _blowing(cylinder: Cylinder, before: str) -> ActRefused:
    return ActRefused(f"Gas is blowing from the open valve of '{cylinder.id}'; shut it before {before}.")


def _meter_supply(graph: Graph, on: str | None) -> str | None:
    meter = graph.flowmeter(on)
    return meter.supply if meter else None


def _outlet_meant(graph: Graph, act: Act) -> WallOutlet:
    name = act.part("to")
    if name is None and isinstance(graph.supply(act.on), WallOutlet):
        name = act.on
    if name is None:
        name = graph.chosen_outlet
    if name is None:
        return only(graph.outlets(), "outlet")
    outlet = graph.supply(name)
    if outlet is None:
        raise absent(name, "outlet", graph.outlets())
    if isinstance(outlet, Cylinder):
        raise ActRefused(f"'{name}' is a cylinder; its flowmeter comes with the regulator.")
    if isinstance(outlet, Concentrator):
        raise ActRefused(f"'{name}' is a concentrator; its flowmeter is built in.")
    return outlet


def _fits(graph: Graph, meter: Flowmeter, outlet: WallOutlet) -> bool:
    """Whether a flowmeter goes from where it is into an outlet; False where it is there already."""
    supply = graph.supply(meter.supply)
    if isinstance(supply, Cylinder):
        raise ActRefused(f"'{meter.id}' is part of the regulator on '{supply.id}' and does not come off.")
    if isinstance(supply, Concentrator):
        raise ActRefused(f"'{meter.id}' is built into '{supply.id}' and does not come off.")
    if supply is not None and supply.gas != outlet.gas:
        raise ActRefused(
            f"'{meter.id}' is made for {supply.gas} and does not go into '{outlet.id}', "
            f"{with_article(outlet.row.words)}."
        )
    return supply is None or supply.id != outlet.id


def _size_id(name: str) -> str:
    try:
        return cylinder_size(name).id
    except ValueError as error:
        raise ActRefused(str(error)) from None


def _from_the_rack(graph: Graph, act: Act, name: str, usual_size: str) -> Cylinder:
    if name in graph.part_ids() and not isinstance(graph.supply(name), Cylinder):
        raise ActRefused(f"'{name}' is the name of another part; give the cylinder its own.")
    size = cylinder_size(_size_id(str(act.values.get("size", usual_size))))
    wanted_kpa = pressure_kpa(act.values)
    full_kpa = size.nominal_pressure_kpa
    if wanted_kpa is not None and wanted_kpa > HIGHEST_FILLING * full_kpa:
        raise ActRefused(
            f"A size {size.id} cylinder is filled to about {psi_from_kpa(full_kpa):.0f} psi "
            f"({full_kpa / 100.0:.0f} bar); {psi_from_kpa(wanted_kpa):.0f} psi is more than it can hold."
        )
    return filled(name, size.id, full_kpa if wanted_kpa is None else wanted_kpa, graph.room_k)
