"""Devices worn by a patient: their figures, how they fit, and where prongs can be."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from tidalbay.catalogue.figure import Figure, figure_from_row, figures_from_rows
from tidalbay.catalogue.yaml_rows import mapping

PLACES = ("nose", "face", "mouth", "neck", "tubing")
GAS_PATHS = ("prongs", "mask", "bag", "tubing")
SNUGNESS = {"loose": 0.0, "snug": 0.5, "tight": 1.0}

_FIGURES = frozenset(
    {
        "nostril_gap_ml_s_cmh2o",
        "oxygen_share_pct",
        "mask_volume_ml",
        "ports_ml_s_cmh2o",
        "port_places",
        "port_discs",
        "open_port_ml_s_cmh2o",
        "bag_volume_ml",
        "bag_valve",
        "bag_neck_ml_s_cmh2o",
        "bag_valve_opening_cmh2o",
        "draught_shield_ml_s",
        "draught_all_open_ml_s",
        "expires_to_room",
        "lost_share",
        "spills_to_room",
        "stall_cmh2o",
        "all_open_ml_s_cmh2o",
        "entrainment_pct",
        "holds_mouth_open",
        "shuts_nose",
        "least_flow_lpm",
        "most_flow_lpm",
    }
)


@dataclass(frozen=True, slots=True)
class FitFigure:
    """A figure that depends on how snug the strap is: three anchors with straight lines between."""

    loose: Figure
    snug: Figure
    tight: Figure

    def value(self, snugness_frac: float) -> float:
        """The figure at a snugness from 0 (loose) over 0.5 (snug) to 1 (tight)."""
        if snugness_frac <= SNUGNESS["snug"]:
            share = snugness_frac / SNUGNESS["snug"]
            return self.loose.value + share * (self.snug.value - self.loose.value)
        share = (snugness_frac - SNUGNESS["snug"]) / (SNUGNESS["tight"] - SNUGNESS["snug"])
        return self.snug.value + share * (self.tight.value - self.snug.value)


@dataclass(frozen=True, slots=True)
class DeviceKind:
    """One kind of device.

    Attributes
    ----------
    id, words : str
        Its name in files, and in a sentence.
    worn_on : str
        `nose`, `face`, `mouth`, `neck` or `tubing`; one device at each place.
    gas_to : str
        `prongs`, `mask`, `bag` or `tubing`.
    figures : mapping of str to Figure
        See `value`.
    seal_ml_s_cmh2o, draught_ml_s : FitFigure or None
        What the edge leaves open, and what a draught exchanges, by snugness.
    clip_open_ml_s_cmh2o : float
        What an unpinched nose clip adds to the edge; 0 without a clip. [mL/s/cmH2O]
    entrainment_flow_lpm : mapping of int to float
        Oxygen flow printed beside each setting in per cent; empty without entrainment. [L/min]
    blends_oxygen : bool
        Whether the device sets its own oxygen share from oxygen and room air.
    cup : str
        What a nebuliser's cup ends in; empty without a cup.
    joins : tuple of str
        Ids of the devices into whose wide tubing it is fitted; empty for all that touch the patient.
    needs_tracheostomy : bool
        Whether it fits a tracheostomy tube and nothing else.
    """

    id: str
    words: str
    worn_on: str
    gas_to: str
    flowmeter_max_lpm: float
    figures: Mapping[str, Figure]
    seal_ml_s_cmh2o: FitFigure | None = None
    draught_ml_s: FitFigure | None = None
    clip_open_ml_s_cmh2o: float = 0.0
    entrainment_flow_lpm: Mapping[int, float] = field(default_factory=dict)
    blends_oxygen: bool = False
    cup: str = ""
    joins: tuple[str, ...] = ()
    needs_tracheostomy: bool = False

    def value(self, name: str) -> float:
        """The value of a figure, unit in its name; 0 for a part this device does not have."""
        figure = self.figures.get(name)
        return 0.0 if figure is None else figure.value

    @property
    def has_bag(self) -> bool:
        """Whether a reservoir bag hangs from it."""
        return self.value("bag_volume_ml") > 0.0

    @property
    def is_mask(self) -> bool:
        """Whether it holds a space of gas in front of nose, mouth or stoma."""
        return self.value("mask_volume_ml") > 0.0

    @property
    def has_edge(self) -> bool:
        """Whether it lies against skin with an edge that a strap or a hand holds."""
        return self.seal_ml_s_cmh2o is not None


@dataclass(frozen=True, slots=True)
class ProngPlacement:
    """Where prongs are, and what becomes of their flow there.

    `inside_frac` of it enters the nostrils; the rest is a jet outside of which a strong breath
    catches at most `capture_frac`; `stirring` from 0 to 1 says how well it washes the nose.
    """

    id: str
    words: str
    inside_frac: float
    capture_frac: float
    stirring: float
    mark: str
    basis: str


def _fit_figure(row: Mapping[str, Any], where: str) -> FitFigure:
    standing = {name: row.get(name) for name in ("mark", "basis")}

    def anchor(name: str) -> Figure:
        return figure_from_row({"is": row.get(name), **standing}, where)

    return FitFigure(anchor("loose"), anchor("snug"), anchor("tight"))


def _device(row: Mapping[str, Any]) -> DeviceKind:
    where = f"devices.yaml, {row['id']}"
    for name, allowed in (("worn_on", PLACES), ("gas_to", GAS_PATHS)):
        if row.get(name) not in allowed:
            raise ValueError(f"{where}: {name} is {row.get(name)!r}; write one of {', '.join(allowed)}.")
    fit = row.get("fit", {})
    clip = fit.get("clip_open_ml_s_cmh2o")
    return DeviceKind(
        id=row["id"],
        words=row["words"],
        worn_on=row["worn_on"],
        gas_to=row["gas_to"],
        flowmeter_max_lpm=float(row["flowmeter_max_lpm"]),
        figures=figures_from_rows(row["figures"], _FIGURES, where),
        seal_ml_s_cmh2o=_fit_figure(fit["seal_ml_s_cmh2o"], where) if "seal_ml_s_cmh2o" in fit else None,
        draught_ml_s=_fit_figure(fit["draught_ml_s"], where) if "draught_ml_s" in fit else None,
        clip_open_ml_s_cmh2o=figure_from_row(clip, where).value if clip else 0.0,
        entrainment_flow_lpm={
            int(pct): float(flow) for pct, flow in row.get("entrainment", {}).get("settings", {}).items()
        },
        blends_oxygen=bool(row.get("blends_oxygen", False)),
        cup=row.get("cup", ""),
        joins=tuple(row.get("joins", ())),
        needs_tracheostomy=bool(row.get("needs_tracheostomy", False)),
    )


@cache
def device_kinds() -> Mapping[str, DeviceKind]:
    """Every device by id, in the catalogue's order."""
    kinds = {row["id"]: _device(row) for row in mapping("devices.yaml")["devices"]}
    for kind in kinds.values():
        unknown = [each for each in kind.joins if each not in kinds]
        if unknown or bool(kind.joins) != (kind.worn_on == "tubing"):
            raise ValueError(
                f"devices.yaml, {kind.id}: joins is {list(kind.joins)}; a device worn on tubing names "
                "devices of this file there, and no other does."
            )
    return kinds


@cache
def cup_endings() -> Mapping[str, DeviceKind]:
    """What a nebuliser's cup can end in, and the device that makes it."""
    return {kind.cup: kind for kind in device_kinds().values() if kind.cup}


def device_kind(name: str) -> DeviceKind:
    """The device with that id.

    Raises
    ------
    ValueError
        With a sentence that lists the devices, if there is none of that name.
    """
    kind = device_kinds().get(name)
    if kind is None:
        raise ValueError(f"There is no device {name!r}; the devices are {', '.join(device_kinds())}.")
    return kind


def at_the_patient(kind: DeviceKind) -> DeviceKind:
    """What brings a device's gas to the patient where nobody says: itself, or the first it can join."""
    return device_kinds()[kind.joins[0]] if kind.joins else kind


@cache
def prong_placements() -> Mapping[str, ProngPlacement]:
    """Where prongs can be, by id."""
    return {row["id"]: ProngPlacement(**row) for row in mapping("devices.yaml")["prongs"]}


@cache
def blocked_nostril() -> ProngPlacement:
    """What one blocked nostril does to the flow of prongs."""
    row = mapping("devices.yaml")["blocked_nostril"]
    return ProngPlacement(id="blocked", words="one nostril blocked", stirring=1.0, **row)


@cache
def probe_delays_s() -> Mapping[str, float]:
    """Seconds from a change in the lungs to a change at a probe, by site."""
    return {row["id"]: float(row["delay_s"]) for row in mapping("devices.yaml")["probe_sites"]}


@dataclass(frozen=True, slots=True)
class SamplingSite:
    """Where a carbon dioxide sampling line can be put.

    Attributes
    ----------
    id, words : str
    port_ml : float
        Gas that stands before the line's opening. [mL]
    stirred_ml_s : float
        Its exchange with what surrounds the face while nothing flows. [mL/s]
    mark, basis : str
        How the figures are known.
    """

    id: str
    words: str
    port_ml: float
    stirred_ml_s: float
    mark: str
    basis: str


@cache
def sampling_sites() -> Mapping[str, SamplingSite]:
    """Where a sampling line can be put, by id."""
    return {row["id"]: SamplingSite(**row) for row in mapping("devices.yaml")["sampling_sites"]}
