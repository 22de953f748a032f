"""The nebuliser among the devices: what drives its cup, and the way its mist goes into the patient."""

from collections.abc import Collection
from dataclasses import dataclass

from tidalbay.catalogue.devices import blocked_nostril, prong_placements
from tidalbay.catalogue.drugs import loading_fault, preparations
from tidalbay.catalogue.nebulisers import nebuliser_kinds, passes_um, reaches_lips_frac
from tidalbay.equipment.controls import breathes_through_neck
from tidalbay.equipment.flow import delivery
from tidalbay.equipment.graph import Graph
from tidalbay.equipment.parts import ActRefused, Device


@dataclass(frozen=True, slots=True)
class DrivenCup:
    """Gas through the cup, and where its mist goes.

    Attributes
    ----------
    flow_lpm : float
        Driving gas. [L/min]
    carrier_lpm : float
        Other gas that takes the mist along in wide tubing; 0 where there is none. [L/min]
    passes_um : float
        Half of the droplets of this size come through that tubing; 0 without tubing. [µm]
    reaches_frac : float
        Of the mist that could be inhaled, what comes to lips, nose or windpipe; 0 if it goes to nobody. [1]
    by : str
        The place it is breathed in at: `face`, `mouth`, `nose` or `neck`.
    """

    flow_lpm: float
    carrier_lpm: float
    passes_um: float
    reaches_frac: float
    by: str

    def nose_frac(self, mouth_share: float) -> float:
        """Share of the mist that is breathed in through the nose, with the mouth open so far. [1]"""
        if self.by == "face":
            return 1.0 - mouth_share
        return 1.0 if self.by == "nose" else 0.0


def driven_cup(graph: Graph) -> DrivenCup | None:
    """The nebuliser in use, the worn one first; None if there is none."""
    device = cup_in_use(graph)
    if device is None:
        return None
    flow_lpm = delivery(graph, device).flow_lpm
    host = graph.device(device.joined_to) if device.worn else None
    carrier_lpm = delivery(graph, host).flow_lpm if host else 0.0
    ends_at = host or device
    return DrivenCup(
        flow_lpm,
        carrier_lpm,
        passes_um(device.kind, flow_lpm + carrier_lpm) if host else 0.0,
        _reaches_frac(graph, device, ends_at) if graph.is_on(device) else 0.0,
        ends_at.row.worn_on,
    )


def cup_in_use(graph: Graph) -> Device | None:
    """The device whose cup holds the medicine: the one on the patient, else the first there is."""
    cups = cups_of(graph)
    return next((cup for cup in cups if graph.is_on(cup)), cups[0] if cups else None)


def cups_of(graph: Graph) -> list[Device]:
    """The devices that carry a nebuliser's cup."""
    return [device for device in graph.devices if device.row.cup]


def _reaches_frac(graph: Graph, device: Device, ends_at: Device) -> float:
    """By how it leaves: beside a nostril, under a loose edge, before a face that does not breathe."""
    if breathes_through_neck(graph) != (ends_at.row.worn_on == "neck"):
        return 0.0
    reaches = reaches_lips_frac(device.kind, device.snugness_frac)
    if ends_at is device:
        return reaches
    if ends_at.row.gas_to != "prongs":
        return reaches * reaches_lips_frac(ends_at.kind, ends_at.snugness_frac)
    inside = prong_placements()[ends_at.prongs].inside_frac
    return reaches * inside * (blocked_nostril().inside_frac if graph.nostril_blocked else 1.0)


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
