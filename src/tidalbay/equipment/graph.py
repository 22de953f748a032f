"""The graph of parts: what is there, what is joined to what, and how to find the part an act means."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Self, TypeVar

from tidalbay.catalogue.devices import device_kind
from tidalbay.equipment.parts import (
    ActRefused,
    Concentrator,
    Cylinder,
    Device,
    Flowmeter,
    Part,
    Supply,
    Tube,
    WallOutlet,
)
from tidalbay.units import METERED_K

P = TypeVar("P", bound=Part)


@dataclass(frozen=True, slots=True)
class Ledger:
    """Where gas has gone since the start, in litres at 21 °C and 101.325 kPa.

    What cylinders brought is what they and their regulators still hold, plus `from_cylinders_l`,
    `vented_l` and `taken_away_l`; what flowed from all supplies is `to_patient_l` plus `to_room_l`.
    """

    brought_l: float = 0.0
    from_cylinders_l: float = 0.0  # through flowmeters
    vented_l: float = 0.0  # cracked, bled, blown off, lost with a regulator or past its washer
    taken_away_l: float = 0.0  # left in cylinders that were changed
    from_wall_l: float = 0.0
    from_concentrators_l: float = 0.0
    to_patient_l: float = 0.0  # reached a device that was worn
    to_room_l: float = 0.0  # did not


@dataclass(frozen=True, slots=True)
class Graph:
    """Every part by kind, each kind in the order of its names; and the room they stand in."""

    supplies: tuple[Supply, ...] = ()
    flowmeters: tuple[Flowmeter, ...] = ()
    tubes: tuple[Tube, ...] = ()
    devices: tuple[Device, ...] = ()
    chosen_outlet: str | None = None
    placings: int = 0  # how often a mask has been put on, or its bag filled again on the face
    nostril_blocked: bool = False
    tracheostomy: bool = False
    probe_site: str | None = "finger"
    sampling_site: str | None = None  # of the carbon dioxide sampling line: nose, mask or circuit
    barometric_kpa: float = 101.325
    room_k: float = METERED_K
    ledger: Ledger = field(default_factory=Ledger)

    # --- reading ---------------------------------------------------------------------------

    def part_ids(self) -> list[str]:
        """The name of every part."""
        return [part.id for part in (*self.supplies, *self.flowmeters, *self.tubes, *self.devices)]

    def supply(self, part_id: str | None) -> Supply | None:
        """The supply of that name, if there is one."""
        return _find(self.supplies, part_id)

    def flowmeter(self, part_id: str | None) -> Flowmeter | None:
        """The flowmeter of that name, if there is one."""
        return _find(self.flowmeters, part_id)

    def tube(self, part_id: str | None) -> Tube | None:
        """The tube of that name, if there is one."""
        return _find(self.tubes, part_id)

    def device(self, part_id: str | None) -> Device | None:
        """The device of that name, if there is one."""
        return _find(self.devices, part_id)

    def cylinders(self) -> list[Cylinder]:
        """The supplies that are cylinders."""
        return [supply for supply in self.supplies if isinstance(supply, Cylinder)]

    def outlets(self) -> list[WallOutlet]:
        """The supplies that are outlets in the wall."""
        return [supply for supply in self.supplies if isinstance(supply, WallOutlet)]

    def concentrators(self) -> list[Concentrator]:
        """The supplies that are concentrators."""
        return [supply for supply in self.supplies if isinstance(supply, Concentrator)]

    def flowmeter_on(self, supply_id: str) -> Flowmeter | None:
        """The flowmeter fitted to a supply."""
        return next((meter for meter in self.flowmeters if meter.supply == supply_id), None)

    def tube_from(self, flowmeter_id: str) -> Tube | None:
        """The tube pushed onto a flowmeter."""
        return next((tube for tube in self.tubes if tube.source == flowmeter_id), None)

    def tube_to(self, device_id: str) -> Tube | None:
        """The tube that ends at a device."""
        return next((tube for tube in self.tubes if tube.device == device_id), None)

    def worn(self) -> list[Device]:
        """The devices on the patient; what is fitted into tubing is there with the device it feeds."""
        return [device for device in self.devices if self.is_on(device)]

    def is_on(self, device: Device) -> bool:
        """Whether a device is on the patient, or its gas goes to one that is."""
        host = self.device(device.joined_to)
        return device.worn and (host is None or host.worn)

    def joined_to(self, device_id: str) -> list[Device]:
        """The devices that are fitted into a device's tubing."""
        return [device for device in self.devices if device.worn and device.joined_to == device_id]

    # --- changing --------------------------------------------------------------------------

    def put(self, part: Part) -> Self:
        """This graph with a part added, or put in the place of the one of its name."""
        if isinstance(part, WallOutlet | Cylinder | Concentrator):
            return replace(self, supplies=_with(self.supplies, part))
        if isinstance(part, Flowmeter):
            return replace(self, flowmeters=_with(self.flowmeters, part))
        if isinstance(part, Tube):
            return replace(self, tubes=_with(self.tubes, part))
        return replace(self, devices=_with(self.devices, part))

    def note(self, **litres: float) -> Self:
        """This graph with litres added to entries of the ledger."""
        added = {name: getattr(self.ledger, name) + amount for name, amount in litres.items()}
        return replace(self, ledger=replace(self.ledger, **added))

    def free_id(self, wanted: str) -> str:
        """`wanted`, or with the first number behind it that no part carries yet."""
        taken = set(self.part_ids())
        number, name = 2, wanted
        while name in taken:
            name, number = f"{wanted}_{number}", number + 1
        return name


def _find(parts: tuple[P, ...], part_id: str | None) -> P | None:
    return next((part for part in parts if part.id == part_id), None)


def _with(parts: tuple[P, ...], part: P) -> tuple[P, ...]:
    others = [other for other in parts if other.id != part.id]
    return tuple(sorted([*others, part], key=lambda each: each.id))


# --- which part an act means ------------------------------------------------------------------


def named(parts: Iterable[Part]) -> str:
    """The names of parts as they stand in a sentence."""
    return ", ".join(f"'{part.id}'" for part in parts)


def with_article(words: str) -> str:
    """Words as a sentence needs them: a mask, an outlet."""
    return f"an {words}" if words[0] in "aeiou" else f"a {words}"


def only(parts: list[P], what: str) -> P:
    """The one part there is, where an act names none."""
    if not parts:
        raise ActRefused(f"There is no {what} here yet.")
    if len(parts) > 1:
        raise ActRefused(f"There are several: {named(parts)}. Say which {what} is meant.")
    return parts[0]


def absent(part_id: str, what: str, parts: Iterable[Part]) -> ActRefused:
    """The refusal of an act on a part that is not there."""
    listed = named(parts)
    return ActRefused(
        f"There is no {what} '{part_id}' here; there {'are' if ',' in listed else 'is'} {listed or 'none'}."
    )


def flowmeter_meant(graph: Graph, on: str | None) -> Flowmeter:
    """The flowmeter an act means by the name of it, its supply, its tube or the device it feeds."""
    if on is None:
        return only(_likely_flowmeters(graph), "flowmeter")
    if (meter := graph.flowmeter(on)) or (meter := graph.flowmeter_on(on)):
        return meter
    if graph.supply(on):
        raise ActRefused(f"There is no flowmeter on '{on}' yet.")
    tube = graph.tube(on) or graph.tube_to(on)
    if tube and (meter := graph.flowmeter(tube.source)):
        return meter
    if graph.device(on) or tube:
        raise ActRefused(f"'{on}' is not connected to a flowmeter.")
    raise absent(on, "flowmeter", graph.flowmeters)


def _likely_flowmeters(graph: Graph) -> list[Flowmeter]:
    """All of them, or only those that feed something where there is exactly one such."""
    feeding = [meter for meter in graph.flowmeters if (tube := graph.tube_from(meter.id)) and tube.device]
    return feeding if len(feeding) == 1 else list(graph.flowmeters)


def cylinder_meant(graph: Graph, on: str | None) -> Cylinder:
    """The cylinder an act means by its own name or that of the flowmeter on it."""
    if on is None:
        return only(graph.cylinders(), "cylinder")
    meter = graph.flowmeter(on)
    supply = graph.supply(meter.supply if meter else on)
    if isinstance(supply, Cylinder):
        return supply
    if supply:
        raise ActRefused(f"'{supply.id}' is {with_article(supply_words(supply))}, not a cylinder.")
    raise absent(on, "cylinder", graph.cylinders())


def concentrator_meant(graph: Graph, on: str | None) -> Concentrator:
    """The concentrator an act means by its own name or that of the flowmeter on it."""
    if on is None:
        return only(graph.concentrators(), "concentrator")
    meter = graph.flowmeter(on)
    supply = graph.supply(meter.supply if meter else on)
    if isinstance(supply, Concentrator):
        return supply
    if supply:
        raise ActRefused(f"'{supply.id}' is {with_article(supply_words(supply))}, not a concentrator.")
    raise absent(on, "concentrator", graph.concentrators())


def supply_words(supply: Supply) -> str:
    """What a supply is, as it stands in a sentence after an article."""
    if isinstance(supply, Cylinder):
        return "cylinder"
    return "outlet in the wall" if isinstance(supply, WallOutlet) else "concentrator"


def device_meant(graph: Graph, on: str | None, among: list[Device] | None = None) -> Device:
    """The device an act means by its name; without a name the only one, or the only one worn."""
    devices = list(graph.devices) if among is None else among
    if on is None:
        worn = [device for device in devices if device.worn]
        return only(worn if len(worn) == 1 else devices, "device")
    tube = graph.tube(on)
    device = graph.device(tube.device if tube else on)
    if device is None:
        raise absent(on, "device", graph.devices)
    return device


def host_meant(graph: Graph, device: Device, to: str | None) -> Device:
    """The device into whose tubing another is fitted: the one named, the one it is in, or the only one."""
    words = " or ".join(device_kind(kind).words for kind in device.row.joins)
    to = to or device.joined_to
    if to is None:
        hosts = [each for each in graph.devices if each.kind in device.row.joins]
        if not hosts:
            raise ActRefused(
                f"'{device.id}' goes into the wide tubing of a {words}, and none is here."
                f"{_no_bag(graph.devices)}"
            )
        worn = [each for each in hosts if each.worn]
        return only(worn if len(worn) == 1 else hosts, f"{words} for '{device.id}'")
    host = graph.device(to)
    if host is None:
        raise absent(to, "device", graph.devices)
    if host.kind not in device.row.joins:
        raise ActRefused(
            f"'{device.id}' goes into the wide tubing of a {words}; '{host.id}' is "
            f"{with_article(host.row.words)}.{_no_bag([host])}"
        )
    return host


def _no_bag(devices: Iterable[Device]) -> str:
    """What to say beside a refusal where somebody may have meant the neck of a squeezed bag."""
    if not any(device.row.has_bag and device.row.value("expires_to_room") > 0.0 for device in devices):
        return ""
    return " Between a bag and its patient valve no nebuliser is worked here: squeeze on without it."


def tube_meant(graph: Graph, on: str | None) -> Tube:
    """The tube an act means by the name of it, of its device or of its flowmeter."""
    if on is None:
        joined = [tube for tube in graph.tubes if tube.source and tube.device]
        return only(joined if len(joined) == 1 else list(graph.tubes), "tubing")
    tube = graph.tube(on) or graph.tube_to(on) or graph.tube_from(on)
    if tube is None and (meter := graph.flowmeter_on(on)):
        tube = graph.tube_from(meter.id)
    if tube is None and on in graph.part_ids():
        raise ActRefused(f"There is no tubing on '{on}'.")
    if tube is None:
        raise absent(on, "tubing", graph.tubes)
    return tube
