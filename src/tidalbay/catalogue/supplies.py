"""Outlets, regulators, concentrators and flowmeters: what a supply is made of, with each part's figures."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from tidalbay.catalogue.figure import Figure, figures_from_rows
from tidalbay.catalogue.yaml_rows import mapping

_KNOWN = {
    "outlets": frozenset({"oxygen_frac", "pressure_kpa"}),
    "regulators": frozenset({"outlet_kpa", "chamber_l", "cracked_l", "open_valve_lpm", "reserve_psi"}),
    "concentrators": frozenset(
        {
            "max_lpm",
            "highest_oxygen_frac",
            "capacity_lpm",
            "knee",
            "warm_up_s",
            "rise_s",
            "alarm_oxygen_frac",
            "pressure_kpa",
        }
    ),
    "flowmeters": frozenset({"max_lpm", "flush_lpm", "flush_per_scale"}),
    "passages": frozenset({"jet_lpm", "jet_kpa", "holds_back_frac"}),
}


@dataclass(frozen=True, slots=True)
class SupplyPart:
    """One kind of outlet, regulator, concentrator, flowmeter or passage.

    Attributes
    ----------
    id, words : str
        Its name in files, and in a sentence.
    figures : mapping of str to Figure
    gas : str
        `oxygen` or `air` for an outlet or a concentrator, empty for other parts.
    style : str
        `float` or `dial` for a flowmeter, empty for other parts.
    flowmeter : str
        The flowmeter built into a regulator or a concentrator, empty for other parts.
    built_into : tuple of str
        Sizes of cylinder that a regulator is one piece with; empty for all others.
    """

    id: str
    words: str
    figures: Mapping[str, Figure]
    gas: str = ""
    style: str = ""
    flowmeter: str = ""
    built_into: tuple[str, ...] = ()

    def value(self, name: str) -> float:
        """The value of a figure this part has; its unit is in the name."""
        return self.figures[name].value


@cache
def _parts(section: str) -> dict[str, SupplyPart]:
    parts = {}
    for row in mapping("supplies.yaml")[section]:
        figures = figures_from_rows(row["figures"], _KNOWN[section], f"supplies.yaml, {row['id']}")
        texts = {name: row[name] for name in ("gas", "style", "flowmeter") if name in row}
        sizes = tuple(row.get("built_into", ()))
        parts[row["id"]] = SupplyPart(row["id"], row["words"], figures, **texts, built_into=sizes)
    return parts


def outlet_kinds() -> Mapping[str, SupplyPart]:
    """Wall outlets by id."""
    return _parts("outlets")


def regulator_kinds() -> Mapping[str, SupplyPart]:
    """Regulators by id: the one that is fitted to a cylinder, and the one built into its valve."""
    return _parts("regulators")


def regulator_kind() -> SupplyPart:
    """The regulator that is fitted to a cylinder."""
    return regulator_kinds()["cylinder_regulator"]


def built_in_regulator(size: str) -> SupplyPart | None:
    """The regulator that is one piece with the valve of a size of cylinder; None if it has none."""
    return next((kind for kind in regulator_kinds().values() if size in kind.built_into), None)


def concentrator_kinds() -> Mapping[str, SupplyPart]:
    """Concentrators by id."""
    return _parts("concentrators")


def flowmeter_kinds() -> Mapping[str, SupplyPart]:
    """Flowmeters by id: the float on the wall, the dial on a regulator, the float of a concentrator."""
    return _parts("flowmeters")


def passages() -> Mapping[str, SupplyPart]:
    """What narrows the way from flowmeter to patient, by id."""
    return _parts("passages")
