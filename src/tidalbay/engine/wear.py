"""Slow things: skin under what is worn, and linings under dry gas.

A value that follows time by `later`, exactly over any stretch in which nothing changes, so that a
shift of hours costs what a second does.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from tidalbay.science.mucosa import dryness_after, dryness_target
from tidalbay.science.skin import (
    felt_pressure_mmhg,
    skin_load_after,
    skin_stage,
    skin_tolerance_frac,
)

USUAL_DRYNESS = 1.5  # of the lining, on a scale from 0 to 10, before any gas


# A place, the site whose padding covers it, pressure [mmHg], shear [1], moisture [1].
Pressing = tuple[str, str, float, float, float]


@dataclass(frozen=True, slots=True)
class Wear:
    """What hours have done so far.

    Attributes
    ----------
    load : mapping
        Damage dose of every place ever touched; `stages` turns it into what a look finds.
    padded : frozenset of str
        Sites with padding.
    tolerance_frac : float
        What this patient's skin bears, against a healthy adult's. [1]
    dryness : float
        Of nose and throat, 0 to 10.
    """

    tolerance_frac: float
    load: Mapping[str, float] = field(default_factory=dict)
    padded: frozenset[str] = frozenset()
    dryness: float = USUAL_DRYNESS

    def with_padding(self, site: str) -> "Wear":
        """The same with padding at a site."""
        return replace(self, padded=self.padded | {site})

    def later(self, pressing: Iterable[Pressing], water_asked_mg_min: float, dt_s: float) -> "Wear":
        """What the next stretch does, in which nothing changes. [mg/min], [s]"""
        felt: dict[str, float] = dict.fromkeys(self.load, 0.0)
        for site, covered_by, pressure_mmhg, shear_frac, moisture_frac in pressing:
            padding = 1.0 if covered_by in self.padded else 0.0
            pressed = felt_pressure_mmhg(pressure_mmhg, shear_frac, moisture_frac, padding)
            felt[site] = max(felt.get(site, 0.0), pressed)
        return replace(
            self,
            load={
                site: skin_load_after(self.load.get(site, 0.0), mmhg, self.tolerance_frac, dt_s)
                for site, mmhg in felt.items()
            },
            dryness=dryness_after(self.dryness, dryness_target(water_asked_mg_min, 1.0, 0.0), dt_s),
        )

    @property
    def stages(self) -> dict[str, int]:
        """What a look finds: 0 as usual, 1 pink, 2 red that stays, 3 broken; by place."""
        return {site: skin_stage(load) for site, load in self.load.items()}


def skin_tolerance(age_years: float) -> float:
    """What skin of that age bears, against a healthy adult's, with normal blood flow. [years], [1]"""
    return skin_tolerance_frac(age_years, 1.0)
