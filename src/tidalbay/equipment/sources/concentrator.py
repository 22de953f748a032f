"""Oxygen out of room air: how pure it is by flow and by how long the machine has run.

After a start the gas grows purer; here it does so in steps of half a minute, so that every
change has a moment, and cutting time in pieces changes nothing.
"""

from dataclasses import replace
from math import inf

from tidalbay.catalogue.supplies import outlet_kinds
from tidalbay.equipment.parts import Concentrator
from tidalbay.science.arithmetic import exp, power

WARMING_STEP_S = 30.0
_NOTHING_S = 1e-6  # less time than this is none: rounding, not time


def oxygen_frac(machine: Concentrator, flow_lpm: float) -> float:
    """Oxygen fraction of what a concentrator gives at a flow. [1]

    Parameters
    ----------
    flow_lpm : float
        What it gives now, 0 or more. [L/min]

    References
    ----------
    Shape: a sieve that holds a fixed amount of nitrogen a minute enriches a fixed amount of gas; the
    corner is rounded as four machines showed it (see the catalogue's row).
    """
    row = machine.row
    air = outlet_kinds()["wall_air"].value("oxygen_frac")
    capacity_lpm = row.value("capacity_lpm") * (1.0 - machine.worn_frac)
    if capacity_lpm <= 0.0:
        return air
    knee = row.value("knee")
    load = power(flow_lpm / capacity_lpm, knee)
    share = power(1.0 + load, -1.0 / knee)
    return air + (row.value("highest_oxygen_frac") - air) * share * _warmth(machine)


def alarms(machine: Concentrator, flow_lpm: float) -> bool:
    """Whether its lamp or sound for low oxygen or missing power is on."""
    if not machine.switched_on:
        return False
    low = oxygen_frac(machine, flow_lpm) < machine.row.value("alarm_oxygen_frac")
    return not machine.has_power or (low and machine.running_s >= machine.row.value("warm_up_s"))


def _warmth(machine: Concentrator) -> float:
    """How far the gas has risen from air to what it will be, 0 to 1."""
    if machine.running_s >= machine.row.value("warm_up_s"):
        return 1.0
    middle_s = (_step(machine) + 0.5) * WARMING_STEP_S
    return 1.0 - exp(-middle_s / machine.row.value("rise_s"))


def _step(machine: Concentrator) -> int:
    return int((machine.running_s + _NOTHING_S) / WARMING_STEP_S)


def started(machine: Concentrator) -> Concentrator:
    """The machine switched on; one that ran goes on running."""
    return machine if machine.switched_on else replace(machine, switched_on=True, running_s=0.0)


def stopped(machine: Concentrator) -> Concentrator:
    """The machine switched off."""
    return replace(machine, switched_on=False, running_s=0.0)


def with_power(machine: Concentrator, has_power: bool) -> Concentrator:
    """The machine with or without power; when power comes back it starts afresh."""
    return machine if machine.has_power == has_power else replace(machine, has_power=has_power, running_s=0.0)


def warm(machine: Concentrator) -> Concentrator:
    """The machine after running long enough to be at its purest."""
    return replace(machine, switched_on=True, running_s=machine.row.value("warm_up_s"))


def later(machine: Concentrator, dt_s: float) -> Concentrator:
    """The machine a stretch of time later."""
    warm_up_s = machine.row.value("warm_up_s")
    if not machine.runs or machine.running_s >= warm_up_s:
        return machine
    running_s = machine.running_s + dt_s
    return replace(machine, running_s=warm_up_s if running_s > warm_up_s - _NOTHING_S else running_s)


def next_change_s(machine: Concentrator) -> float:
    """Seconds until its gas is purer by a step; inf if it does not change by itself. [s]"""
    if not machine.runs or machine.running_s >= machine.row.value("warm_up_s"):
        return inf
    return (_step(machine) + 1) * WARMING_STEP_S - machine.running_s
