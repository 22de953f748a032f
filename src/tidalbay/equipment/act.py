"""An act as it reaches the equipment, and its arguments read with a sentence where they are wrong."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from tidalbay.catalogue.fault import is_number as is_number  # also for those above the catalogue
from tidalbay.equipment.parts import ActRefused
from tidalbay.units import KPA_PER_BAR, KPA_PER_PSI

_KPA_PER = {"psi": KPA_PER_PSI, "bar": KPA_PER_BAR, "kpa": 1.0}


class Act(NamedTuple):
    """What hands did: which act, on which part, with which arguments, when on the attempt's clock."""

    id: str
    on: str | None
    values: Mapping[str, Any]
    t_ms: int

    def number(self, name: str, default: float | None = None) -> float:
        """An argument that is a number."""
        value = self.values.get(name, default)
        if not is_number(value):
            raise ActRefused(f"{self.id} needs {name} as a number; it says {value!r}.")
        return float(value)

    def choice(self, name: str, allowed: tuple[str, ...], default: str | None = None) -> str:
        """An argument that is one of a few words."""
        value = self.values.get(name, default)
        if value not in allowed:
            raise ActRefused(f"{self.id} needs {name} as one of {', '.join(allowed)}; it says {value!r}.")
        return str(value)

    def part(self, name: str) -> str | None:
        """An argument that is the name of a part, or nothing."""
        value = self.values.get(name)
        return None if value is None else str(value)


def pressure_kpa(values: Mapping[str, Any]) -> float | None:
    """The pressure named by one of pressure_psi, gauge_bar and the like; None if none is. [kPa]

    Raises
    ------
    ActRefused
        If it is not a number, is below zero, or two are given.
    """
    found = [
        (f"{word}_{unit}", factor)
        for word in ("pressure", "gauge")
        for unit, factor in _KPA_PER.items()
        if f"{word}_{unit}" in values
    ]
    if not found:
        return None
    if len(found) > 1:
        raise ActRefused(f"The pressure is given twice, as {' and '.join(name for name, _ in found)}.")
    name, factor = found[0]
    value = values[name]
    if not is_number(value) or value < 0:
        raise ActRefused(f"{name} is {value!r}; a pressure is a number of 0 or more.")
    return float(value) * factor
