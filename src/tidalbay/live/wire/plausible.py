"""What makes sense next, from the equipment as it stands; never from what is going to be judged."""

from collections.abc import Mapping
from functools import cache

from tidalbay.attempt import Attempt
from tidalbay.catalogue import acts
from tidalbay.equipment import Equipment
from tidalbay.live.hands.rules import may_log

ACTING: tuple[str, ...] = ("learner", "checker", "instructor")


def plausible_states(
    equipment: Equipment,
    readings: Mapping[str, float | None],
    events_wait: bool = False,
    runs: bool = True,
) -> set[str]:
    """The states of the catalogue's `plausible` that hold now.

    Parameters
    ----------
    equipment : Equipment
    readings : mapping
        What instruments and eyes read off it, as it gives them.
    events_wait : bool
        Whether an event of the case has not happened yet.
    runs : bool
        Whether the attempt has begun and not ended.
    """
    devices, worn = equipment.devices, equipment.worn()
    cylinders = equipment.cylinders()
    is_fed = any(tube.source is not None for tube in equipment.tubes)
    holds = {
        "always": True,
        "at_start": not worn,
        "gas_choice": equipment.chosen_outlet is None and not is_fed,
        "cylinder": bool(cylinders),
        "regulator": any(cylinder.regulator is not None for cylinder in cylinders),
        "concentrator": bool(equipment.concentrators()),
        "flowmeter": bool(equipment.flowmeters),
        "flowing": any((readings[f"{meter.id}.flow_lpm"] or 0.0) > 0.0 for meter in equipment.flowmeters),
        "no_device": not is_fed and not worn,
        "device": any(not device.worn for device in devices),
        "worn": bool(worn),
        "prongs": any(device.row.gas_to == "prongs" for device in devices),
        "mask": any(device.row.is_mask for device in devices),
        "reservoir": any(device.row.has_bag for device in devices),
        "high_flow": any(device.row.blends_oxygen for device in devices),
        "bag_mask": any(device.kind.startswith("bag_valve_mask") for device in devices),
        "nebuliser": any(device.row.cup for device in devices),
        "probe_off": equipment.probe_site is None,
        "probe_on": equipment.probe_site is not None,
        "sampling_off": equipment.sampling_site is None,
        "sampling_on": equipment.sampling_site is not None,
        "running": runs,
        "event_waiting": events_wait,
    }
    return {name for name, is_so in holds.items() if is_so}


def plausible_acts(attempt: Attempt, readings: Mapping[str, float | None]) -> dict[str, list[str]]:
    """Acts that make sense now, for each role that may log them, in the catalogue's order."""
    if attempt.log.has_ended:
        return {role: [] for role in ACTING}
    pending = attempt.pending
    events_wait = any(event.id not in pending.happened_s for event in pending.events)
    states = plausible_states(attempt.equipment, readings, events_wait)
    return {
        role: [id for id, plausible in _loggable(role, attempt.plan.mode) if plausible in states]
        for role in ACTING
    }


@cache
def _loggable(role: str, mode: str) -> tuple[tuple[str, str], ...]:
    """Acts that a role may log in a mode, and when each is offered first."""
    return tuple((kind.id, kind.plausible) for kind in acts().values() if may_log(kind, role, mode))
