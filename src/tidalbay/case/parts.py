"""The objects of a case by name: what stands there at first, and what acts bring."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from tidalbay.catalogue.cylinders import cylinder_size
from tidalbay.catalogue.devices import device_kinds
from tidalbay.catalogue.fault import is_number
from tidalbay.catalogue.supplies import (
    built_in_regulator,
    concentrator_kinds,
    flowmeter_kinds,
    outlet_kinds,
    regulator_kind,
)


@dataclass
class Parts:
    """Names of objects, and how far each flowmeter's scale goes.

    Attributes
    ----------
    supplies : dict of str to str or None
        Each supply, and the flowmeter on it.
    meters : dict of str to float
        Each flowmeter, and where its scale ends. [L/min]
    devices : dict of str to str
        Each device, and its kind.
    """

    supplies: dict[str, str | None] = field(default_factory=dict)
    meters: dict[str, float] = field(default_factory=dict)
    devices: dict[str, str] = field(default_factory=dict)

    def names(self) -> list[str]:
        """Every name, tubing included."""
        tubes = [f"{device}_tubing" for device in self.devices]
        return list(dict.fromkeys([*self.supplies, *self.meters, *self.devices, *tubes]))

    def has(self, name: str) -> bool:
        """Whether an object of that name is there; a second of its kind carries a number."""
        known = self.names()
        return name in known or re.sub(r"_[0-9]+$", "", name) in known

    def meter_meant(self, on: object) -> str | None:
        """Return the flowmeter that a flow is set on, where there is no doubt."""
        if on is None:
            return next(iter(self.meters)) if len(self.meters) == 1 else None
        if not isinstance(on, str):
            return None
        return on if on in self.meters else self.supplies.get(on)

    def after(self, act: Mapping[str, Any]) -> None:
        """Take in what an act brings."""
        said = {name: value for name, value in act.items() if isinstance(value, str)}
        on, max_lpm = said.get("on"), act.get("max_lpm")
        dial_lpm = flowmeter_kinds()[regulator_kind().flowmeter].value("max_lpm")
        match said.get("act"):
            case "device_chosen" if said.get("device") in device_kinds():
                self.devices.setdefault(on or said["device"], said["device"])
            case "outlet_chosen" if on is None or on not in self.meters:
                kinds = [kind.id for kind in outlet_kinds().values() if kind.gas == said.get("gas")]
                for name in [on] if on else kinds:
                    self.supplies.setdefault(name, None)
            case "cylinder_chosen":
                self.supplies.setdefault(on or "cylinder", None)
                if built_in_regulator(_size(said.get("size"))):
                    self._fitted(on or "cylinder", None, dial_lpm)
            case "concentrator_chosen":
                kind = said.get("machine", "concentrator")
                if kind in concentrator_kinds():
                    self.add_concentrator(on or kind, kind, f"{on or kind}_flowmeter")
            case "flowmeter_fitted":
                outlet = said.get("outlet") if said.get("outlet") in self.supplies else on
                self._fitted(outlet, on, max_lpm or flowmeter_kinds()["wall_float"].value("max_lpm"))
            case "regulator_fitted":
                self._fitted(on, said.get("flowmeter"), max_lpm or dial_lpm)

    def add_concentrator(self, supply: str, kind: str, meter: str) -> None:
        """A concentrator is there with its flowmeter."""
        if supply not in self.supplies:
            self.supplies[supply] = meter
            self.meters[meter] = concentrator_kinds()[kind].value("max_lpm")

    def _fitted(self, supply: str | None, name: str | None, max_lpm: object) -> None:
        """A flowmeter goes onto a supply; where none is meant for certain, onto every bare one."""
        bare = [each for each, meter in self.supplies.items() if meter is None]
        for onto in [supply] if supply in self.supplies else bare:
            meter = name if name and name not in self.supplies else f"{onto}_flowmeter"
            self.supplies[onto] = meter
            self.meters.setdefault(meter, float(max_lpm) if is_number(max_lpm) else float("inf"))


def _size(said: object) -> str:
    """The catalogue's name of a size of cylinder; nothing where there is no such size."""
    try:
        return cylinder_size(str(said)).id
    except ValueError:
        return ""


def parts_of(setup: object) -> Parts:
    """Return the objects of a set-up as far as it is well written."""
    parts = Parts()
    for _, supply in mappings(setup, "supplies"):
        supply_id, meter = supply.get("id"), supply.get("flowmeter")
        if not isinstance(supply_id, str):
            continue
        if supply.get("kind") in tuple(concentrator_kinds()):
            name = meter.get("id") if isinstance(meter, dict) else None
            parts.add_concentrator(supply_id, supply["kind"], str(name or f"{supply_id}_flowmeter"))
            continue
        is_built_in = supply.get("kind") == "cylinder" and built_in_regulator(_size(supply.get("size")))
        named = (is_built_in or supply.get("regulator") is True) and meter is None
        row = {} if named else meter
        parts.supplies[supply_id] = None
        if isinstance(row, dict):
            name, ends = row.get("id") or f"{supply_id}_flowmeter", row.get("max_lpm", 15.0)
            if isinstance(name, str):
                parts.supplies[supply_id] = name
                parts.meters[name] = float(ends) if is_number(ends) else float("inf")
    for _, device in mappings(setup, "devices"):
        name = device.get("id") or device.get("kind")
        if isinstance(name, str):
            parts.devices[name] = str(device.get("kind"))
    return parts


def mappings(part: object, name: str) -> Iterator[tuple[int, dict[str, Any]]]:
    """Iterate over the items of a list in a part that are mappings, with their places in the list."""
    items = part.get(name) if isinstance(part, dict) else None
    for i, item in enumerate(items if isinstance(items, list) else ()):
        if isinstance(item, dict):
            yield i, item
