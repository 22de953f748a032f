"""The parts that hands join: supplies, flowmeters, tubing and devices, each with a name.

Parts are values: an act makes a new one.  Gas amounts are litres at 21 °C and 101.325 kPa, as
flowmeters are marked, and count only what can still come out: an empty cylinder holds 0.
"""

from dataclasses import dataclass

from tidalbay.catalogue.cylinders import CylinderSize, cylinder_size
from tidalbay.catalogue.devices import SNUGNESS, DeviceKind, device_kind
from tidalbay.catalogue.supplies import (
    SupplyPart,
    concentrator_kinds,
    flowmeter_kinds,
    outlet_kinds,
    regulator_kinds,
)


class EquipmentError(ValueError):
    """Equipment that cannot be: its text is a sentence for the person who can mend it."""


class ActRefused(EquipmentError):
    """An act that hands cannot do with the parts that are there; nothing has changed."""


@dataclass(frozen=True, slots=True)
class WallOutlet:
    """An outlet in the wall; it never runs low, but the pipeline behind it can fail."""

    id: str
    kind: str  # a row of the outlets in supplies.yaml
    pressurised: bool = True

    @property
    def row(self) -> SupplyPart:
        """Its row of the catalogue."""
        return outlet_kinds()[self.kind]

    @property
    def gas(self) -> str:
        """`oxygen` or `air`."""
        return self.row.gas


@dataclass(frozen=True, slots=True)
class Regulator:
    """A regulator with its gauge; its small chamber keeps pressure when the valve is shut."""

    kind: str = "cylinder_regulator"  # a row of the regulators in supplies.yaml
    gas_l: float = 0.0  # in the chamber
    leak_lpm: float = 0.0  # past a worn washer, while there is pressure
    needle_stuck_kpa: float | None = None  # where the gauge's needle hangs

    @property
    def row(self) -> SupplyPart:
        """Its row of the catalogue."""
        return regulator_kinds()[self.kind]

    @property
    def is_built_in(self) -> bool:
        """Whether it is one piece with the cylinder's valve, its gauge before the valve."""
        return bool(self.row.built_into)


@dataclass(frozen=True, slots=True)
class Cylinder:
    """A bottle of oxygen with its valve, and the regulator on it if there is one."""

    id: str
    size: str
    gas_l: float  # in the bottle, above what stays in it at room pressure
    valve_open: bool = False
    secured: bool = False
    regulator: Regulator | None = None

    @property
    def row(self) -> CylinderSize:
        """Its row of the catalogue."""
        return cylinder_size(self.size)

    @property
    def gas(self) -> str:
        """What is in it."""
        return "oxygen"


@dataclass(frozen=True, slots=True)
class Concentrator:
    """A machine that takes nitrogen out of room air; it gives gas while it runs and stores none."""

    id: str
    kind: str  # a row of the concentrators in supplies.yaml
    switched_on: bool = False
    has_power: bool = True
    running_s: float = 0.0  # since it last started, up to where it is warm
    worn_frac: float = 0.0  # share of its sieve that is spent

    @property
    def row(self) -> SupplyPart:
        """Its row of the catalogue."""
        return concentrator_kinds()[self.kind]

    @property
    def gas(self) -> str:
        """What it is for; how much oxygen is in it depends on the flow."""
        return self.row.gas

    @property
    def runs(self) -> bool:
        """Whether it gives gas now."""
        return self.switched_on and self.has_power


Supply = WallOutlet | Cylinder | Concentrator


@dataclass(frozen=True, slots=True)
class Flowmeter:
    """A flowmeter on a supply, and where its knob stands."""

    id: str
    supply: str  # the id of what it is fitted to
    kind: str = "wall_float"  # a row of the flowmeters in supplies.yaml
    max_lpm: float = 15.0
    set_lpm: float = 0.0
    flush: bool = False  # opened past the end of its scale
    scale_error_frac: float = 0.0  # true flow above the flow shown, as a share of it
    stuck_at_lpm: float | None = None  # where its float hangs in the tube
    humidified: bool = False
    humidifier_water: str = "to_the_line"  # or low, or none
    humidifier_leak_frac: float = 0.0  # share of the gas lost under a loose lid

    @property
    def row(self) -> SupplyPart:
        """Its row of the catalogue."""
        return flowmeter_kinds()[self.kind]


@dataclass(frozen=True, slots=True)
class Tube:
    """Tubing; an end that hangs free is None."""

    id: str
    source: str | None  # the id of a flowmeter
    device: str | None
    kinked: bool = False
    leak_frac: float = 0.0
    water_frac: float = 0.0  # how full of water its lowest loop is


@dataclass(frozen=True, slots=True)
class Device:
    """A device, in the hand or worn, and how it is worn."""

    id: str
    kind: str  # a row of devices.yaml
    worn: bool = False
    placing: int = 0  # which placing of a mask on this face it was; a refilled bag counts as one
    placed_ms: int = 0  # when it was last put on, by the attempt's clock
    snugness_frac: float = SNUGNESS["snug"]
    seal_ml_s_cmh2o: float | None = None  # measured gap, in place of the catalogue's
    nose_clip_pinched: bool = False
    prongs: str = "down"  # a row of the prongs in devices.yaml
    port_discs: int = 0
    bag_valve: bool = False
    bag_valve_stuck: bool = False  # it does not open
    bag_twisted: bool = False  # at its neck, and flat
    bag_filled: bool = False  # before it went on
    entrainment_pct: int = 0
    entrainment_open_frac: float = 1.0
    oxygen_share_frac: float = 1.0  # of a device that blends
    joined_to: str | None = None  # the device into whose tubing it is fitted

    @property
    def row(self) -> DeviceKind:
        """Its row of the catalogue."""
        return device_kind(self.kind)


def new_device(device_id: str, kind: str) -> Device:
    """A device as it comes out of its wrapper.

    Raises
    ------
    EquipmentError
        If the catalogue has no such kind.
    """
    try:
        row = device_kind(kind)
    except ValueError as error:
        raise EquipmentError(str(error)) from None
    return Device(
        id=device_id,
        kind=kind,
        port_discs=int(row.value("port_discs")),
        bag_valve=row.value("bag_valve") > 0.0,
        entrainment_pct=int(row.value("entrainment_pct")),
        oxygen_share_frac=row.value("oxygen_share_pct") / 100.0 if row.blends_oxygen else 1.0,
    )


Part = Supply | Flowmeter | Tube | Device
