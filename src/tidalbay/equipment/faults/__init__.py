"""What goes wrong without anybody's hands: the causes that a case may throw at the equipment.

In come the graph, a cause, the part it strikes and how much of it.  Out comes the graph after it has struck,
or a refusal in a sentence where there is nothing for it to strike.

Public names: `CAUSES`, `with_fault`.
"""

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from tidalbay.equipment.faults import device_faults, supply_faults
from tidalbay.equipment.graph import Graph
from tidalbay.equipment.parts import ActRefused

G = TypeVar("G", bound=Graph)

CAUSES: Mapping[str, Callable[[Any, str | None, object], Any]] = {
    name: getattr(module, name)
    for module, names in (
        (
            supply_faults,
            (
                "tube_kinked",
                "tube_disconnected",
                "tube_leaking",
                "tube_wet",
                "tube_on_air",
                "flow_knocked",
                "float_stuck",
                "humidifier_loose",
                "valve_shut",
                "supply_empty",
                "regulator_leaking",
                "gauge_stuck",
                "power_failed",
                "sieve_worn",
            ),
        ),
        (
            device_faults,
            (
                "disc_missing",
                "bag_valve_missing",
                "bag_valve_stuck",
                "bag_emptied",
                "bag_twisted",
                "prongs_out",
                "prongs_upside_down",
                "one_nostril_blocked",
                "strap_loose",
                "nose_clip_lifted",
                "cup_tilted",
                "ports_covered",
                "valve_exchanged",
                "device_off",
                "probe_off",
            ),
        ),
    )
    for name in names
}


def with_fault(graph: G, cause: str, on: str | None, value: object) -> G:
    """The graph after a cause has struck, or has gone again where `value` is False.

    Raises
    ------
    ActRefused
        With a sentence, if there is no such cause or nothing here that it could strike.
    """
    strike = CAUSES.get(cause)
    if strike is None:
        raise ActRefused(f"There is no cause '{cause}'; the causes are {', '.join(CAUSES)}.")
    struck: G = strike(graph, on, value)
    return struck


__all__ = ["CAUSES", "with_fault"]
