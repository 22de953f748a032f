"""What an attempt needs of a case: read from the log's first entry, which keeps the resolved case."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tidalbay.attempt.events import Awaited, Cause, Condition, Event
from tidalbay.engine import Treatment, treatment_from
from tidalbay.equipment import Equipment, equipment_from_setup
from tidalbay.trace import Entry, plain
from tidalbay.units import mmhg_from_kpa

SEEDS = 2**32  # the kernel's chance is keyed by 32 bits


@dataclass(frozen=True, slots=True)
class Plan:
    """A patient, a set-up, events and a seed: an attempt at time 0."""

    patient: Mapping[str, float]
    posture: str
    equipment: Equipment
    barometric_mmhg: float
    room_oxygen_frac: float
    events: tuple[Event, ...]
    treatment: Treatment
    seed: int
    mode: str


def plan_from(first: Entry) -> Plan:
    """The plan in a log's first entry.

    Raises
    ------
    ValueError
        With a sentence, where the set-up cannot be.
    """
    case: dict[str, Any] = plain(first.values["case"])
    equipment = equipment_from_setup(case["setup"])
    numbers = case["patient"]["numbers"]
    return Plan(
        patient={name: float(value) for name, value in numbers.items() if not isinstance(value, str)},
        posture=case["posture"],
        equipment=equipment,
        barometric_mmhg=mmhg_from_kpa(equipment.barometric_kpa),
        room_oxygen_frac=0.2095,
        treatment=treatment_from(case["medicine"]["cup"], case["medicine"]["drugs"]),
        events=tuple(_event(said) for said in case["events"]),
        seed=int(first.values["seed"]) % SEEDS,
        mode=str(first.values["mode"]),
    )


def _event(said: Mapping[str, Any]) -> Event:
    when, after = said.get("when", {}), said.get("after")
    waits_ms = when.get("wait_ms", 0) + (after or {}).get("wait_ms", 0)
    return Event(
        id=said["id"],
        causes=tuple(_cause(cause, said["on"]) for cause in said["sets"]),
        at_s=said.get("at_ms", 0) / 1000.0,
        acts=tuple(Awaited(act["act"], act["on"], act["values"]) for act in when.get("acts", ())),
        after=after["event"] if after else None,
        condition=_condition(when) if "reading" in when else None,
        delay_s=waits_ms / 1000.0,
        thrown_only=said.get("by_hand", False),
    )


def _cause(said: Mapping[str, Any], on: str | None) -> Cause:
    return Cause(said["cause"], said["value"], said["strikes"], on, said["time_constant_s"])


def _condition(said: Mapping[str, Any]) -> Condition:
    reading = f"{said['on']}.{said['reading']}" if said.get("on") else said["reading"]
    return Condition(reading, said.get("below"), said.get("above"), said["for_ms"] / 1000.0)
