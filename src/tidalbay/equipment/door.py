"""The one door for acts: what an act says is checked here, whoever says it.

Scripts, the live server, a replayed "what if" and a program of one's own all pass through it, so that
nothing which the catalogue does not know reaches a patient.
"""

from collections.abc import Mapping
from typing import Any

from tidalbay.catalogue.acts import act_fault, acts, check_values
from tidalbay.equipment.graph import Graph, device_meant, with_article
from tidalbay.equipment.nebuliser import cups_of
from tidalbay.equipment.parts import ActRefused, Device

_NEEDS_A_CUP = ("drug_loaded", "cup_held", "cup_tapped", "cup_rinsed")


def check_said(graph: Graph, act: str, on: str | None, values: Mapping[str, Any]) -> None:
    """See that an act is one of the catalogue's, says all it must, and finds the thing it is done with.

    Raises
    ------
    ActRefused
        With a sentence for everything that is wrong.
    """
    fault = act_fault(act)
    if fault is not None:
        raise ActRefused(fault.sentence)
    sentences = check_values(acts()[act], values)
    if sentences:
        raise ActRefused(" ".join(sentences))
    if act in _NEEDS_A_CUP:
        _check_cup(graph, on)
    elif act == "bag_squeezed":
        _check_bag(graph, on)


def squeezed_bag(graph: Graph) -> Device | None:
    """The bag on the face that breathes for a patient when it is squeezed; None if there is none."""
    return next((device for device in graph.worn() if is_squeezed(device)), None)


def is_squeezed(device: Device) -> bool:
    """Whether a device is a bag that breathes for a patient: its valve sends what comes back to the room."""
    return device.row.has_bag and device.row.value("expires_to_room") > 0.0


def _check_cup(graph: Graph, on: str | None) -> None:
    cups = cups_of(graph)
    if on is None and not cups:
        raise ActRefused("There is no nebuliser here, and a medicine to breathe goes into its cup.")
    if on is not None:
        device = device_meant(graph, on)
        if device not in cups:
            raise ActRefused(f"'{device.id}' is {with_article(device.row.words)} and has no cup.")


def _check_bag(graph: Graph, on: str | None) -> None:
    bag = squeezed_bag(graph)
    if on is not None:
        device = device_meant(graph, on)
        if not is_squeezed(device):
            raise ActRefused(f"'{device.id}' is {with_article(device.row.words)}; it is not squeezed.")
    if bag is None or on not in (None, bag.id):
        raise ActRefused("The bag moves no breath while it is off the face; put it on first.")
