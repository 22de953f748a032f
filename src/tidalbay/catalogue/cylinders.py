"""Cylinder sizes: what a letter means where, how much it holds, the factor taught for it."""

from dataclasses import dataclass
from functools import cache

from tidalbay.catalogue.yaml_rows import rows
from tidalbay.units import KPA_PER_BAR, kpa_from_psi


@dataclass(frozen=True, slots=True)
class CylinderSize:
    """One size of oxygen cylinder.

    Attributes
    ----------
    id : str
        The letter as the trade writes it, with its region where the letter is not unique.
    also : tuple of str
        Other names for the same size.
    water_capacity_l : float
        Volume inside, derived from content and pressure. [L]
    nominal_pressure_kpa : float
        Gauge pressure when full. [kPa]
    nominal_content_l : float
        Published content when full. [L at 21 °C, 101.325 kPa]
    factor_l_per_psi : float or None
        Factor taught for the bedside sum; None where the region multiplies by water capacity. [L/psi]
    """

    id: str
    also: tuple[str, ...]
    region: str
    water_capacity_l: float
    nominal_pressure_kpa: float
    nominal_content_l: float
    factor_l_per_psi: float | None
    source: str


@cache
def cylinder_sizes() -> tuple[CylinderSize, ...]:
    """Every size of the catalogue, in its order."""
    return tuple(
        CylinderSize(
            id=row["id"],
            also=tuple(row["also"]),
            region=row["region"],
            water_capacity_l=float(row["water_capacity_l"]),
            nominal_pressure_kpa=(
                kpa_from_psi(row["nominal_pressure_psi"])
                if "nominal_pressure_psi" in row
                else row["nominal_pressure_bar"] * KPA_PER_BAR
            ),
            nominal_content_l=float(row["nominal_content_l"]),
            factor_l_per_psi=row.get("factor_l_per_psi"),
            source=row["source"],
        )
        for row in rows("cylinders.yaml")
    )


def cylinder_size(name: str) -> CylinderSize:
    """The size with that name, large or small letters.

    Raises
    ------
    ValueError
        With a sentence that lists the sizes, if there is none of that name.
    """
    wanted = str(name).strip().upper()
    for size in cylinder_sizes():
        if wanted in (size.id.upper(), *(other.upper() for other in size.also)):
            return size
    listed = ", ".join(size.id for size in cylinder_sizes())
    raise ValueError(f"There is no cylinder size {name!r}; the sizes are {listed}.")
