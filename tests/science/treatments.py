"""Whole nebulised treatments for tests: run a cup until no more mist comes, or a patient for hours."""

from typing import NamedTuple

from tidalbay.catalogue.drugs import drugs
from tidalbay.catalogue.nebulisers import nebuliser_kind
from tidalbay.science.aerosol import Breathing, nebulised_second
from tidalbay.science.inhaled_drug import Dosed, action_from, dosed_after
from tidalbay.science.nebuliser_cup import (
    Cup,
    Jet,
    droplets_ml_s,
    filled,
    jet_from,
    mist_frac,
    sprayed,
    tapped,
)

JET = jet_from(nebuliser_kind("jet_cup").numbers)
BREATH_ENHANCED = jet_from(nebuliser_kind("breath_enhanced_cup").numbers)
SALBUTAMOL = action_from(drugs()["salbutamol"].numbers)
IPRATROPIUM = action_from(drugs()["ipratropium"].numbers)
QUIET = Breathing(inspiratory_s=1.6, expiratory_s=2.4, pause_s=0.4, tidal_ml=500, nose_frac=0.0)


class Finished(NamedTuple):
    minutes: float
    cup: Cup
    sprayed_ml: float
    vapour_ml: float
    emitted_frac: float  # of the drug loaded

    @property
    def left_ml(self) -> float:
        return self.cup.volume_ml + self.cup.on_walls_ml


def run_cup(
    fill_ml: float,
    flow_lpm: float,
    minutes: float | None = None,
    angle_deg: float = 0.0,
    jet: Jet = JET,
    tapped_every_s: float = 0.0,
    tapped_from_s: float = 0.0,
) -> Finished:
    """A cup of one milligram in `fill_ml`, for some minutes or until no mist is seen."""
    cup, t, droplets_ml, vapour_ml = filled(Cup(), fill_ml, 1.0), 0, 0.0, 0.0
    full = droplets_ml_s(jet, flow_lpm) * 60.0 / jet.sprayed_ml_min
    while t < 60.0 * (60.0 if minutes is None else minutes):
        if tapped_every_s and t >= tapped_from_s and (t - tapped_from_s) % tapped_every_s == 0:
            cup = tapped(cup, jet)
        spray = sprayed(cup, jet, flow_lpm, angle_deg, 1.0)
        cup, t = spray.cup, t + 1
        droplets_ml, vapour_ml = droplets_ml + spray.sprayed_ml, vapour_ml + spray.vapour_ml
        if minutes is None and mist_frac(cup, jet, flow_lpm, angle_deg) < 0.1 * full:
            break
    return Finished(t / 60.0, cup, droplets_ml, vapour_ml, 1.0 - cup.drug_mg)


class Placed(NamedTuple):
    """Shares of the drug loaded."""

    left: float
    lost: float  # in the room, breathed out again included
    throat: float
    airways: float
    alveoli: float


def treated(fill_ml: float, flow_lpm: float, breathing: Breathing = QUIET, jet: Jet = JET) -> Placed:
    """Where one milligram is when no more mist comes, through a mouthpiece with lips sealed."""
    seconds = round(60 * run_cup(fill_ml, flow_lpm, jet=jet).minutes)
    mist = nebulised_second(filled(Cup(), fill_ml, 1.0), jet, breathing, 1.0, flow_lpm, 0.0, float(seconds))
    stays = mist.deposit
    return Placed(
        mist.cup.drug_mg, mist.lost_mg + stays.breathed_out, stays.throat, stays.airways, stays.alveoli
    )


def dosed_by_minute(action, dose_mg, minutes, fill_ml=4.0, flow_lpm=8.0, breathing=QUIET):
    """The drug in a patient at every full minute, from the start of a treatment by mouthpiece."""
    cup, dosed, found = filled(Cup(), fill_ml, dose_mg), Dosed(), [Dosed()]
    for _ in range(minutes):
        mist = nebulised_second(cup, JET, breathing, 1.0, flow_lpm, 0.0, 60.0)
        stays, cup = mist.deposit, mist.cup
        dosed = dosed_after(dosed, action, stays.airways + stays.alveoli, stays.throat, 60.0)
        found.append(dosed)
    return found
