"""First acts: the twelve places of a checker's page, the steps, and what to ask when taps crowd."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from tidalbay.catalogue.acts import acts, value_faults
from tidalbay.catalogue.devices import DeviceKind, device_kinds
from tidalbay.catalogue.yaml_rows import mapping

SHAPES: Final = ("once", "supply", "flow", "proof", "device", "fit", "numbers", "who")
FAMILIES: Final = ("bag", "cup", "valve", "blender", "prongs", "mask", "squeezed", "skin")
STATES: Final = ("done", "said_only", "prompted", "missed", "not_seen")

_FILE = "first_acts.yaml"


@dataclass(frozen=True, slots=True)
class FirstAct:
    """One act of a tap: its word and the values that are known before the tap."""

    act: str
    values: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class FirstPlace:
    """One of the places that never move.

    Attributes
    ----------
    place : int
        From 1, in reading order.
    id, shape, button, about : str
        `shape`, one of `SHAPES`, says how the page finds the object and the values.
    acts : tuple of FirstAct
        What one tap records, in this order.
    row : mapping
        The whole row as it is written, for the page.
    """

    place: int
    id: str
    shape: str
    button: str
    about: str
    acts: tuple[FirstAct, ...]
    row: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class OrderPair:
    """Two acts whose order matters: `first` should come before each of `then`.

    `only_first` where only the earliest of `then` in an attempt is asked about.
    """

    first: str
    then: tuple[str, ...]
    only_first: bool


@dataclass(frozen=True, slots=True)
class Step:
    """One step that a checker speaks about.

    Attributes
    ----------
    item : int
        Its number on page and paper, from 1.
    id, say, hint, source : str
    taps : tuple of str
        Acts that, all tapped, would show it; their time is printed beside it and decides nothing.
    done_by : tuple of str
        Acts one of which would show it; read by hints alone.
    """

    item: int
    id: str
    say: str
    hint: str
    taps: tuple[str, ...]
    done_by: tuple[str, ...]
    source: str


@cache
def first_places() -> tuple[FirstPlace, ...]:
    """Return the twelve places in their order."""
    return tuple(_place(row) for row in mapping(_FILE)["places"])


@cache
def order_pairs() -> tuple[OrderPair, ...]:
    """Return the pairs of acts whose order matters."""
    pairs = mapping(_FILE)["which_first"]["pairs"]
    return tuple(OrderPair(row["first"], tuple(row["then"]), row.get("only_first", False)) for row in pairs)


@cache
def order_window_s() -> float:
    """Return how close together two taps are not put in order by the clock. [s]"""
    return float(mapping(_FILE)["which_first"]["within_s"])


@cache
def steps() -> tuple[Step, ...]:
    """Return the steps every device shares, in the order of their numbers."""
    return tuple(
        Step(
            row["item"],
            row["id"],
            row["say"],
            row["hint"],
            tuple(row["taps"]),
            tuple(row.get("done_by", ())),
            row["source"],
        )
        for row in mapping(_FILE)["steps"]
    )


def states() -> tuple[Mapping[str, str], ...]:
    """Return the five states of a step, each with `id`, `words` and `about`."""
    return tuple(mapping(_FILE)["states"])


def ratings() -> tuple[Mapping[str, Any], ...]:
    """Return the steps of the global rating, each with `rating` and `words`."""
    return tuple(mapping(_FILE)["ratings"])


def families(kind: DeviceKind) -> tuple[str, ...]:
    """Say to which of `FAMILIES` a device belongs, as the places ask.

    A bag-valve-mask is squeezed: its reservoir is not filled by holding a flap, so that it is no `bag`.
    """
    squeezed = kind.id.startswith("bag_valve_mask")
    claims = {
        "bag": kind.has_bag and not squeezed,
        "cup": bool(kind.cup),
        "valve": bool(kind.entrainment_flow_lpm),
        "blender": kind.blends_oxygen,
        "prongs": kind.gas_to == "prongs",
        "mask": kind.is_mask and kind.worn_on == "face",
        "squeezed": squeezed,
        "skin": not kind.joins,
    }
    return tuple(family for family in FAMILIES if claims[family])


def first_acts_plain() -> dict[str, Any]:
    """Return everything of this file as plain data for a page: places, sits, which_first, steps, states,
    ratings, and the devices by kind with their words, families and printed settings.
    """
    content = mapping(_FILE)
    devices = {
        kind.id: {
            "words": kind.words,
            "families": list(families(kind)),
            "worn_on": kind.worn_on,
            "settings_pct": list(kind.entrainment_flow_lpm),
        }
        for kind in device_kinds().values()
    }
    return {name: content[name] for name in _SECTIONS} | {"devices": devices}


_SECTIONS: Final = ("places", "sits", "which_first", "steps", "states", "ratings")


def _place(row: Mapping[str, Any]) -> FirstPlace:
    return FirstPlace(
        row["place"],
        row["id"],
        row["shape"],
        row["button"],
        row["about"],
        tuple(_act(written, row["id"]) for written in row["acts"]),
        row,
    )


def _act(written: Mapping[str, Any], place: str) -> FirstAct:
    values = {name: value for name, value in written.items() if name != "act"}
    kind = acts().get(written["act"])
    if kind is None:
        raise ValueError(f"{_FILE}, place {place}: there is no act {written['act']!r}; see acts.yaml.")
    # What the tap itself will say is still missing here; what stands here already must be right.
    faults = [fault for fault in value_faults(kind, values) if fault.name in values]
    if faults:
        raise ValueError(f"{_FILE}, place {place}: {' '.join(fault.sentence for fault in faults)}")
    return FirstAct(kind.id, values)
