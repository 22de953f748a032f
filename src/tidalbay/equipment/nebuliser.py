"""The nebuliser among the devices: what drives its cup, and how much of its mist reaches the lips."""

from collections.abc import Collection
from dataclasses import dataclass

from tidalbay.catalogue.drugs import loading_fault, preparations
from tidalbay.catalogue.nebulisers import nebuliser_kinds, reaches_lips_frac
from tidalbay.equipment.flow import delivery
from tidalbay.equipment.graph import Graph
from tidalbay.equipment.parts import ActRefused

CARRIES_A_CUP = ("nebuliser_mask", "nebuliser_mouthpiece")


@dataclass(frozen=True, slots=True)
class DrivenCup:
    """Gas through the cup, and where its mist goes.

    Attributes
    ----------
    flow_lpm : float
        Driving gas. [L/min]
    reaches_lips_frac : float
        Of the mist that could be inhaled; 0 if nobody wears it. [1]
    through_nose : bool
        Whether it may be breathed in through the nose (a mask) or not (a mouthpiece).
    """

    flow_lpm: float
    reaches_lips_frac: float
    through_nose: bool


def driven_cup(graph: Graph) -> DrivenCup | None:
    """The nebuliser in use, the worn one first; None if there is none."""
    cups = [device for device in graph.devices if device.kind in CARRIES_A_CUP]
    if not cups:
        return None
    device = next((cup for cup in cups if cup.worn), cups[0])
    reaches = reaches_lips_frac(device.kind, device.snugness_frac) if device.worn else 0.0
    return DrivenCup(delivery(graph, device).flow_lpm, reaches, device.kind == "nebuliser_mask")


def parts_poured(
    drug: str, dose_mg: float, volume_ml: float, in_cup: Collection[str], held_ml: float
) -> dict[str, float]:
    """Milligrams of each drug per milligram of the dose said.

    Raises
    ------
    ActRefused
        With a sentence, where this cannot be poured into that cup.
    """
    holds_ml = next(iter(nebuliser_kinds().values())).figures["holds_ml"].value
    fault = loading_fault(drug, dose_mg, volume_ml, in_cup, held_ml, holds_ml)
    if fault is not None:
        raise ActRefused(fault.sentence)
    return dict(preparations()[drug].parts)
