"""Places where devices touch skin: how hard by strap, how wet, and what a look there finds."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from tidalbay.catalogue.devices import FitFigure, device_kinds
from tidalbay.catalogue.figure import Figure, figure_from_row
from tidalbay.catalogue.yaml_rows import mapping


@dataclass(frozen=True, slots=True)
class SkinSite:
    """One place that can get sore.

    Attributes
    ----------
    id, words : str
        Its name in files, and in a sentence.
    seen_with : str
        The site that an act of looking or padding names to cover this place.
    lain_on_mmhg : Figure
        Pressure that the head's weight adds when the patient lies on it. [mmHg]
    """

    id: str
    words: str
    seen_with: str
    lain_on_mmhg: Figure


@dataclass(frozen=True, slots=True)
class SkinContact:
    """How one device touches one place.

    Attributes
    ----------
    device, site : str
    pressure_mmhg : FitFigure
        By snugness of the strap. [mmHg]
    shear_frac, moisture_frac : float
        From 0 to 1; marked as the contact's pressures are. [1]
    """

    device: str
    site: str
    pressure_mmhg: FitFigure
    shear_frac: float
    moisture_frac: float


@cache
def skin_sites() -> Mapping[str, SkinSite]:
    """Every place by id."""
    return {
        row["id"]: SkinSite(
            row["id"],
            row["words"],
            row["seen_with"],
            figure_from_row(row["lain_on_mmhg"], f"skin_sites.yaml, {row['id']}.lain_on_mmhg"),
        )
        for row in mapping("skin_sites.yaml")["sites"]
    }


@cache
def skin_contacts() -> Mapping[str, tuple[SkinContact, ...]]:
    """For every device the places it touches; none for what is held by hand."""
    found: dict[str, tuple[SkinContact, ...]] = {}
    for row in mapping("skin_sites.yaml")["contacts"]:
        for device in row["devices"]:
            if device not in device_kinds():
                known = ", ".join(device_kinds())
                raise ValueError(f"skin_sites.yaml, contacts: {device} is no device; write one of {known}.")
            found[device] = tuple(
                _contact(device, site, place, row) for place in row["places"] for site in place["sites"]
            )
    return found


def _contact(device: str, site: str, place: Mapping[str, Any], row: Mapping[str, Any]) -> SkinContact:
    where = f"skin_sites.yaml, contacts, {device}, {site}"
    if site not in skin_sites():
        raise ValueError(f"{where}: is no place; write one of {', '.join(skin_sites())}.")
    standing = {name: row.get(name) for name in ("mark", "basis")}
    pressures = place["pressure_mmhg"]

    def anchor(snugness: str) -> Figure:
        return figure_from_row({"is": pressures.get(snugness), **standing}, f"{where}, {snugness}")

    fit = FitFigure(anchor("loose"), anchor("snug"), anchor("tight"))
    for name in ("shear_frac", "moisture_frac"):
        if not 0.0 <= place.get(name, -1.0) <= 1.0:
            raise ValueError(f"{where}: {name} is {place.get(name)!r}; write a number from 0 to 1.")
    return SkinContact(device, site, fit, float(place["shear_frac"]), float(place["moisture_frac"]))


@cache
def _stages() -> Mapping[int, tuple[str, str]]:
    return {row["stage"]: (row["words"], row["on_dark_skin"]) for row in mapping("skin_sites.yaml")["stages"]}


def stage_words(stage: int, dark_skin: bool = False) -> str:
    """What a look finds at a stage of the skin.

    Parameters
    ----------
    stage : int, 0 to 3
    dark_skin : bool
        Where redness may not show, what does.
    """
    return _stages()[stage][dark_skin]
