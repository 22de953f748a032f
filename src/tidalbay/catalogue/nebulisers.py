"""Nebulisers: the figures of each kind of cup, and what brings its mist to the patient."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import sqrt

from tidalbay.catalogue.devices import FitFigure
from tidalbay.catalogue.figure import Figure, figures_from_rows
from tidalbay.catalogue.yaml_rows import mapping

_CUP = frozenset(
    {
        "sprayed_ml_min",
        "least_flow_lpm",
        "droplet_um",
        "cup_degc",
        "walls_hold_ml",
        "wetting_s",
        "out_of_reach_ml",
        "sputter_ml",
        "tilt_strands_ml",
        "tapped_down_frac",
        "chamber_ml",
        "between_breaths_frac",
        "holds_ml",
        "least_fill_ml",
        "usual_fill_ml",
    }
)
_LIPS = frozenset({"sealed", "open", "tight", "snug", "loose", "held_away", "joined", "passes_um_30_lpm"})


@dataclass(frozen=True, slots=True)
class NebuliserKind:
    """One kind of nebuliser cup.

    Attributes
    ----------
    id, words : str
        Its name in files, and in a sentence.
    figures : mapping of str to Figure
        All that a cup has; units in the names.
    """

    id: str
    words: str
    figures: Mapping[str, Figure]

    def value(self, name: str) -> float:
        """The value of one figure; its unit is in the name."""
        return self.figures[name].value

    @property
    def numbers(self) -> dict[str, float]:
        """Every figure's value by name, as the equations read them."""
        return {name: figure.value for name, figure in self.figures.items()}


@cache
def nebuliser_kinds() -> Mapping[str, NebuliserKind]:
    """Every kind of cup by id, the usual one first."""
    kinds = {}
    for row in mapping("nebulisers.yaml")["nebulisers"]:
        where = f"nebulisers.yaml, {row['id']}"
        figures = figures_from_rows(row["figures"], _CUP, where)
        missing = sorted(_CUP - set(figures))
        if missing:
            raise ValueError(f"{where}: lacks {', '.join(missing)}; a cup needs all its figures.")
        kinds[row["id"]] = NebuliserKind(row["id"], row["words"], figures)
    return kinds


def nebuliser_kind(name: str) -> NebuliserKind:
    """The cup with that id.

    Raises
    ------
    ValueError
        With a sentence that lists the cups, if there is none of that name.
    """
    kind = nebuliser_kinds().get(name)
    if kind is None:
        raise ValueError(f"There is no nebuliser {name!r}; there are {', '.join(nebuliser_kinds())}.")
    return kind


@cache
def _at_lips(device: str) -> Mapping[str, Figure]:
    row = mapping("nebulisers.yaml")["lips"].get(device)
    return {} if row is None else figures_from_rows(row, _LIPS, f"nebulisers.yaml, lips, {device}")


def reaches_lips_frac(
    device: str, snugness_frac: float = 0.5, lips_sealed: bool = True, held_away: bool = False
) -> float:
    """Of the mist that could be inhaled, the share that the device brings to the patient.

    Parameters
    ----------
    device : str
        Id of a worn device; one to which no mist comes brings none.
    snugness_frac : float
        Of a mask, from 0 (loose) over 0.5 (snug) to 1 (tight). [1]
    lips_sealed : bool
        Of a mouthpiece.
    held_away : bool
        The mask is held before the face instead of being worn.

    Returns
    -------
    float, 0 to 1. [1]
    """
    figures = _at_lips(device)
    if not figures:
        return 0.0
    if "joined" in figures:
        return figures["joined"].value
    if "sealed" in figures:
        return figures["sealed" if lips_sealed else "open"].value
    if held_away:
        return figures["held_away"].value
    return FitFigure(figures["loose"], figures["snug"], figures["tight"]).value(snugness_frac)


def passes_um(device: str, carrier_lpm: float) -> float:
    """Size of droplets of which half come through the tubing on their way. [µm]

    Parameters
    ----------
    device : str
        Id of a device; 0 for one whose mist has no tubing to pass.
    carrier_lpm : float
        All the gas in that tubing. [L/min]

    Notes
    -----
    What meets the walls does so by impaction, which depends on size squared times flow.
    """
    figures = _at_lips(device)
    if "passes_um_30_lpm" not in figures:
        return 0.0
    return figures["passes_um_30_lpm"].value * sqrt(30.0 / max(1.0, carrier_lpm))
