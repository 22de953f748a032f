"""The equipment in words: every path from source to face, and what a nurse would not leave as it is."""

from tidalbay.catalogue.devices import prong_placements
from tidalbay.catalogue.supplies import regulator_kind
from tidalbay.equipment.flow import arriving, delivery, flow_lpm, oxygen_frac, shown_lpm, whistles
from tidalbay.equipment.graph import Graph, with_article
from tidalbay.equipment.parts import Concentrator, Cylinder, Device, Flowmeter, Supply, Tube
from tidalbay.equipment.sources.bottle import shown_kpa
from tidalbay.equipment.sources.concentrator import alarms
from tidalbay.equipment.told.sounds import (
    cylinder_hisses,
    device_hisses,
    flowmeter_hisses,
    gurgles,
    tube_hisses,
)
from tidalbay.units import psi_from_kpa

_WORN = {
    "nose": "on the face",
    "face": "on the face",
    "mouth": "in the mouth",
    "neck": "over the tracheostomy",
    "tubing": "in wide tubing",
}

# A share of oxygen that is off by more than a blender's scale can be read to (assumed).
MARKED_SHIFT_PCT = 2.0


def describe(graph: Graph) -> list[str]:
    """One sentence a path, from where the gas comes from to where it goes."""
    told: list[str] = []
    shown: set[str] = set()
    for supply in graph.supplies:
        meter = graph.flowmeter_on(supply.id)
        tube = graph.tube_from(meter.id) if meter else None
        device = graph.device(tube.device) if tube else None
        words = _supply_words(graph, supply) + _flowmeter_words(graph, supply, meter)
        told.append(_sentence(words + _onward(graph, meter, tube, device)))
        if device:
            shown.add(device.id)
    for device in graph.devices:
        if device.id not in shown:
            told.append(_sentence(["no supply", *_device_words(graph, device)]))
    return told


def _sentence(parts: list[str]) -> str:
    text = ", ".join(parts)
    return f"{text[0].upper()}{text[1:]}."


def _supply_words(graph: Graph, supply: Supply) -> list[str]:
    alike = [each for each in graph.supplies if type(each) is type(supply) and each.gas == supply.gas]
    name = f" '{supply.id}'" if len(alike) > 1 else ""
    if isinstance(supply, Cylinder):
        valve = "open" if supply.valve_open else "shut"
        words = [f"oxygen cylinder{name} of size {supply.size}, valve {valve}"]
        gauge_kpa = shown_kpa(supply, graph.room_k)
        words.append("no regulator" if gauge_kpa is None else f"gauge at {psi_from_kpa(gauge_kpa):.0f} psi")
        if cylinder_hisses(supply):
            words.append("hissing where the regulator sits" if supply.regulator else "gas blowing off")
        return words
    if isinstance(supply, Concentrator):
        return [supply.row.words + name, *_concentrator_words(graph, supply)]
    return [supply.row.words + name + ("" if supply.pressurised else " without pressure")]


def _concentrator_words(graph: Graph, machine: Concentrator) -> list[str]:
    if not machine.switched_on:
        return ["switched off"]
    meter = graph.flowmeter_on(machine.id)
    flow = flow_lpm(graph, meter) if meter else 0.0
    alarm = ["its alarm on"] if alarms(machine, flow) else []
    if not machine.has_power:
        return ["silent without power", *alarm]
    still_warming = machine.running_s < machine.row.value("warm_up_s")
    warming = ["still warming up"] if still_warming else []
    return ["running", *warming, *alarm]


def _flowmeter_words(graph: Graph, supply: Supply, meter: Flowmeter | None) -> list[str]:
    if meter is None:
        return [] if isinstance(supply, Cylinder) else ["no flowmeter"]
    reading = f"{shown_lpm(graph, meter):.3g} L/min"
    if meter.flush and meter.stuck_at_lpm is None:
        reading = "full flush"
    words = [f"{meter.row.words} at {reading}"]
    if meter.humidified:
        loose = " with its lid loose" if meter.humidifier_leak_frac > 0.0 else ""
        words.append(f"humidifier{loose}{' and hissing' if loose and flowmeter_hisses(graph, meter) else ''}")
    return words


def _onward(graph: Graph, meter: Flowmeter | None, tube: Tube | None, device: Device | None) -> list[str]:
    if meter is None:
        return []
    hissing = " and hissing"
    if tube is None:
        return ["nothing connected" + (hissing if flowmeter_hisses(graph, meter) else "")]
    words = ["tubing"]
    if tube.kinked:
        words = ["kinked tubing"]
    elif tube.leak_frac > 0.0:
        words = ["leaking tubing"]
    if tube.water_frac > 0.0:
        words.append(f"water in it{', gurgling, the float dancing' if gurgles(graph, tube) else ''}")
    if device is None:
        return [*words, "its end free" + (hissing if tube_hisses(graph, tube) else "")]
    return words + _device_words(graph, device)


def _device_words(graph: Graph, device: Device) -> list[str]:
    row = device.row
    words = [f"{row.words} {_WORN[row.worn_on] if device.worn else 'in the hand'}"]
    host = graph.device(device.joined_to)
    if host is not None:
        words = [f"{row.words} in the wide tubing of the {host.row.words}"]
    if row.gas_to == "prongs" and device.worn:
        words.append(prong_placements()[device.prongs].words)
    if row.entrainment_flow_lpm:
        words.append(f"valve for {device.entrainment_pct} %")
        if device.entrainment_open_frac < 1.0:
            words.append("entrainment ports covered")
    if row.blends_oxygen:
        words.append(f"oxygen share {100.0 * device.oxygen_share_frac:.0f} %")
    if row.has_bag and row.value("port_discs") > 0.0:
        words.append(f"{device.port_discs} of {int(row.value('port_discs'))} port discs")
    if row.value("bag_valve") > 0.0 and not device.bag_valve:
        words.append("valve at the bag missing")
    if row.has_bag:
        words.append(_bag_words(graph, device))
    if device.worn and row.has_edge:
        words.append(f"strap {_snugness_words(device.snugness_frac)}")
    return words


def _bag_words(graph: Graph, device: Device) -> str:
    if device.bag_twisted:
        return "bag twisted at its neck and flat"
    if device_hisses(graph, device):
        return "bag tight and still, gas hissing at its connector"
    return "bag filled first" if device.bag_filled else "bag not filled first"


def _snugness_words(snugness_frac: float) -> str:
    if snugness_frac < 0.25:
        return "loose"
    return "snug" if snugness_frac <= 0.75 else "tight"


# --- warnings -------------------------------------------------------------------------------------


def warnings(graph: Graph) -> list[str]:
    """Sentences on what can be done and should not be left so; the world answers all the same."""
    found: list[str] = []
    for supply in graph.supplies:
        found += _supply_warnings(graph, supply)
    for tube in graph.tubes:
        found += _tube_warnings(graph, tube)
    for device in graph.worn():
        found += _flow_warnings(graph, device) + _fit_warnings(graph, device)
    return found


def _supply_warnings(graph: Graph, supply: Supply) -> list[str]:
    meter = graph.flowmeter_on(supply.id)
    wanted = meter is not None and meter.set_lpm > 0.0
    found = _flowmeter_warnings(graph, meter) if meter else []
    if isinstance(supply, Concentrator):
        return _concentrator_warnings(graph, supply, meter) + found
    if isinstance(supply, Cylinder):
        return _cylinder_warnings(graph, supply, wanted) + found
    if wanted and not supply.pressurised:
        return [f"The outlet '{supply.id}' has no pressure.", *found]
    return found


def _flowmeter_warnings(graph: Graph, meter: Flowmeter) -> list[str]:
    found = []
    if meter.stuck_at_lpm is not None:
        found.append(f"The float of '{meter.id}' hangs in its tube: it does not follow the knob.")
    if meter.humidified and meter.humidifier_leak_frac > 0.0:
        found.append(
            f"The lid of the humidifier on '{meter.id}' is loose: "
            f"{100.0 * meter.humidifier_leak_frac:.0f} % of the gas escapes."
        )
    return found


def _concentrator_warnings(graph: Graph, machine: Concentrator, meter: Flowmeter | None) -> list[str]:
    flow = flow_lpm(graph, meter) if meter else 0.0
    if not machine.switched_on:
        wanted = meter is not None and meter.set_lpm > 0.0
        return [f"The concentrator '{machine.id}' is switched off, though a flow is set."] if wanted else []
    if not machine.has_power:
        return [f"The concentrator '{machine.id}' has no power."]
    percent = 100.0 * oxygen_frac(machine, flow)
    if machine.running_s < machine.row.value("warm_up_s"):
        return [f"The concentrator '{machine.id}' is still warming up: it gives {percent:.0f} % oxygen."]
    if alarms(machine, flow):
        given = f"{percent:.0f} % oxygen at {flow:.3g} L/min"
        return [f"The concentrator '{machine.id}' gives {given}: its alarm is on."]
    return []


def _cylinder_warnings(graph: Graph, supply: Cylinder, wanted: bool) -> list[str]:
    found = []
    if supply.valve_open and supply.regulator is None and supply.gas_l > 0.0:
        found.append(f"Gas is blowing from the open valve of '{supply.id}': no regulator is on it.")
    if wanted and not supply.valve_open:
        found.append(f"The valve of '{supply.id}' is shut, though a flow is dialled.")
    if supply.regulator is not None and cylinder_hisses(supply):
        found.append(f"Gas hisses out where the regulator sits on '{supply.id}'.")
    if supply.regulator is not None and supply.regulator.needle_stuck_kpa is not None:
        found.append(f"The gauge of '{supply.id}' hangs: it does not follow the pressure.")
    gauge_kpa = shown_kpa(supply, graph.room_k)
    if supply.valve_open and gauge_kpa is not None:
        reserve_psi = regulator_kind().value("reserve_psi")
        if gauge_kpa <= 0.0:
            found.append(f"The cylinder '{supply.id}' is empty.")
        elif psi_from_kpa(gauge_kpa) < reserve_psi:
            found.append(f"The cylinder '{supply.id}' is below its reserve of {reserve_psi:.0f} psi.")
    return found


def _tube_warnings(graph: Graph, tube: Tube) -> list[str]:
    device = graph.device(tube.device)
    meter = graph.flowmeter(tube.source)
    found = []
    if meter and device is None and flow_lpm(graph, meter) > 0.0:
        found.append(f"The tubing '{tube.id}' ends in the room: gas is lost.")
    if device and device.worn and meter is None:
        found.append(f"The tubing of '{device.id}' is on no flowmeter.")
    if tube.kinked:
        relief = " The humidifier's relief valve whistles." if meter and whistles(graph, meter) else ""
        found.append(f"The tubing '{tube.id}' is kinked: no gas passes.{relief}")
    if tube.leak_frac > 0.0:
        found.append(f"The tubing '{tube.id}' leaks {100.0 * tube.leak_frac:.0f} % of its flow.")
    if tube.water_frac > 0.0:
        found.append(f"Water lies in the tubing '{tube.id}'.")
    return found


def _flow_warnings(graph: Graph, device: Device) -> list[str]:
    row = device.row
    gas = delivery(graph, device)
    found = []
    if graph.tube_to(device.id) is None:
        found.append(f"The {row.words} is connected to nothing.")
    source = _source(graph, device)
    if source is not None and source.gas == "air" and not row.cup:
        found.append(f"The {row.words} is on the medical-air outlet: it brings no more oxygen than the room.")
    least, most = _usual_flow(device)
    usual = f"usual for {with_article(row.words)}."
    if gas.flow_lpm <= 0.0:
        found.append(f"No gas reaches the {row.words}.")
    elif gas.flow_lpm < least - 0.05:
        found.append(f"{gas.flow_lpm:.3g} L/min is less than the {least:g} L/min {usual}")
    elif most > 0.0 and gas.flow_lpm > most + 0.05:
        found.append(f"{gas.flow_lpm:.3g} L/min is more than the {most:g} L/min {usual}")
    return found


def _usual_flow(device: Device) -> tuple[float, float]:
    """Least and most usual flow; an entrainment valve has its least printed on it. [L/min]"""
    row = device.row
    if row.entrainment_flow_lpm:
        return row.entrainment_flow_lpm.get(device.entrainment_pct, 0.0), 0.0
    return row.value("least_flow_lpm"), row.value("most_flow_lpm")


def _source(graph: Graph, device: Device) -> Supply | None:
    tube = graph.tube_to(device.id)
    meter = graph.flowmeter(tube.source) if tube else None
    return graph.supply(meter.supply) if meter else None


def _fit_warnings(graph: Graph, device: Device) -> list[str]:
    row = device.row
    found = []
    if row.gas_to == "prongs" and device.prongs != "down":
        found.append(f"The {row.words} is worn with {prong_placements()[device.prongs].words}.")
    if device.bag_twisted:
        found.append(f"The bag of the {row.words} is twisted at its neck: gas passes it by.")
    elif row.has_bag and not device.bag_filled:
        found.append(f"The bag of the {row.words} was not filled before it went on.")
    if row.value("port_discs") > device.port_discs:
        missing = int(row.value("port_discs")) - device.port_discs
        found.append(f"{missing} of the discs of the {row.words} {'is' if missing == 1 else 'are'} missing.")
    if row.value("bag_valve") > 0.0 and not device.bag_valve:
        found.append(f"The valve at the bag of the {row.words} is missing.")
    elif device.bag_valve_stuck:
        found.append(f"The valve at the bag of the {row.words} does not open: no gas comes from the bag.")
    if device.entrainment_open_frac < 1.0:
        found.append(f"The entrainment ports of the {row.words} are covered.")
    if row.has_edge and device.snugness_frac < 0.25:
        found.append(f"The strap of the {row.words} is loose.")
    found += _in_line_warnings(graph, device)
    if row.worn_on == "neck" and not graph.tracheostomy:
        found.append(f"The {row.words} is worn, though the patient is not said to have a tracheostomy.")
    if row.worn_on in ("face", "mouth") and graph.tracheostomy:
        found.append(f"The {row.words} is over a face that breathes through a tracheostomy.")
    return found


def _in_line_warnings(graph: Graph, device: Device) -> list[str]:
    """What a cup in a device's tubing does to the oxygen that was set there."""
    own, brings = delivery(graph, device), arriving(graph, device)
    shift_pct = 100.0 * (brings.oxygen_frac - own.oxygen_frac)
    if own.flow_lpm <= 0.0 or abs(shift_pct) < MARKED_SHIFT_PCT:
        return []
    added_lpm = brings.flow_lpm - own.flow_lpm
    now, was = 100.0 * brings.oxygen_frac, 100.0 * own.oxygen_frac
    return [
        f"The cup in the tubing of the {device.row.words} adds {added_lpm:.3g} L/min of other gas: "
        f"{now:.0f} % oxygen reaches the patient and not {was:.0f} %."
    ]
