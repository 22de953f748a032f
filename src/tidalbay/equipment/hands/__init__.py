"""What hands can do to the parts: one function an act, of the act's own name.

In come the graph and an act.  Out comes a new graph, or a refusal in a sentence where hands cannot do it.

Public names: `ACTS`.
"""

from collections.abc import Callable, Mapping
from typing import Any

from tidalbay.equipment.hands import concentrator_acts, device_acts, sampling_acts, supply_acts

ACTS: Mapping[str, Callable[..., Any]] = {
    name: getattr(module, name)
    for module, names in (
        (
            supply_acts,
            (
                "outlet_chosen",
                "flowmeter_fitted",
                "cylinder_chosen",
                "cylinder_secured",
                "cylinder_cracked",
                "regulator_fitted",
                "regulator_bled",
                "valve_opened",
                "valve_closed",
                "cylinder_changed",
                "flow_set",
                "humidifier_fitted",
                "humidifier_removed",
            ),
        ),
        (sampling_acts, ("sampling_line_placed", "sampling_line_removed")),
        (concentrator_acts, ("concentrator_chosen", "concentrator_started", "concentrator_stopped")),
        (
            device_acts,
            (
                "device_chosen",
                "tubing_connected",
                "tubing_disconnected",
                "tubing_freed",
                "tubing_drained",
                "device_placed",
                "device_removed",
                "bag_filled",
                "prongs_turned",
                "strap_set",
                "nose_clip_pinched",
                "disc_refitted",
                "entrainment_set",
                "oxygen_share_set",
                "interface_fitted",
                "probe_placed",
                "probe_removed",
            ),
        ),
    )
    for name in names
}

__all__ = ["ACTS"]
