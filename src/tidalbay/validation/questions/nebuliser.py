"""Questions on nebulised medicine: the cup, the droplets, where they stay, what they do."""

from typing import NamedTuple

from tidalbay.catalogue.drugs import drugs
from tidalbay.catalogue.nebulisers import nebuliser_kind
from tidalbay.science.aerosol import (
    Breathing,
    caught_in_throat_frac,
    deposited_shares,
    droplet_spread,
    inhaled_frac,
    median_droplet_um,
    nebulised_second,
    share_below,
)
from tidalbay.science.inhaled_drug import (
    Dosed,
    action_from,
    dosed_after,
    heart_rate_rise_per_min,
    relief_frac,
)
from tidalbay.science.nebuliser_cup import (
    Cup,
    Jet,
    droplets_ml_s,
    filled,
    jet_from,
    mist_frac,
    sprayed,
    tapped,
    vapour_ml_s,
)

QUIET = Breathing(inspiratory_s=1.6, expiratory_s=2.4, pause_s=0.4, tidal_ml=500.0, nose_frac=0.0)
NO_MIST = 0.1  # of a well-filled cup's: what eyes take for none
LONGEST_MIN = 60


class Run(NamedTuple):
    """A cup that was run: how long, what is left, what came out."""

    minutes: float
    cup: Cup
    lost_ml: float
    emitted_frac: float  # of the drug


def run(
    fill_ml: float,
    flow_lpm: float,
    minutes: float | None = None,
    angle_deg: float = 0.0,
    kind: str = "jet_cup",
    tapped_from_s: float | None = None,
) -> Run:
    """A cup of one milligram, for some minutes or until no mist is seen; tapped every half minute or not."""
    driven = jet(kind)
    full = droplets_ml_s(driven, flow_lpm) * 60.0 / driven.sprayed_ml_min
    cup, t, lost_ml = filled(Cup(), fill_ml, 1.0), 0, 0.0
    while t < 60.0 * (LONGEST_MIN if minutes is None else minutes):
        if tapped_from_s is not None and t >= tapped_from_s and (t - tapped_from_s) % 30 == 0:
            cup = tapped(cup, driven)
        spray = sprayed(cup, driven, flow_lpm, angle_deg, 1.0)
        cup, t, lost_ml = spray.cup, t + 1, lost_ml + spray.sprayed_ml + spray.vapour_ml
        if minutes is None and mist_frac(cup, driven, flow_lpm, angle_deg) < NO_MIST * full:
            break
    return Run(t / 60.0, cup, lost_ml, 1.0 - cup.drug_mg)


def minutes_of_mist(fill_ml: float, flow_lpm: float) -> float:
    """Minutes until no more mist is seen. [min]"""
    return run(fill_ml, flow_lpm).minutes


def left_behind(fill_ml: float, flow_lpm: float) -> float:
    """Liquid left in the cup and on its walls. [mL]"""
    cup = run(fill_ml, flow_lpm).cup
    return cup.volume_ml + cup.on_walls_ml


def emitted_pct(fill_ml: float, flow_lpm: float, kind: str = "jet_cup") -> float:
    """Share of the drug that leaves the cup. [%]"""
    return 100.0 * run(fill_ml, flow_lpm, kind=kind).emitted_frac


def weight_lost(fill_ml: float, flow_lpm: float, minutes: float) -> float:
    """Liquid and vapour lost by an upright cup in a time. [mL]"""
    return run(fill_ml, flow_lpm, minutes).lost_ml


def tilted_over_upright(fill_ml: float, flow_lpm: float, minutes: float) -> float:
    """Weight lost at 45 degrees over that lost upright. [1]"""
    upright, tilted = (run(fill_ml, flow_lpm, minutes, angle).lost_ml for angle in (0.0, 45.0))
    return tilted / upright


def share_in_first(minutes: float, fill_ml: float, flow_lpm: float) -> float:
    """Share of all the drug that ever leaves which leaves in the first minutes. [1]"""
    return run(fill_ml, flow_lpm, minutes).emitted_frac / run(fill_ml, flow_lpm, 30.0).emitted_frac


def gained_by_tapping_pct(fill_ml: float, flow_lpm: float) -> float:
    """More drug when the cup is tapped for two minutes after the mist has ceased. [%]"""
    alone = run(fill_ml, flow_lpm)
    longer = run(fill_ml, flow_lpm, alone.minutes + 2.0, tapped_from_s=float(round(60.0 * alone.minutes)))
    return 100.0 * (longer.emitted_frac / alone.emitted_frac - 1.0)


def droplet_share_pct(flow_lpm: float) -> float:
    """Droplets' share of the weight that is lost, vapour being the rest. [%]"""
    droplets, vapour = droplets_ml_s(jet(), flow_lpm), vapour_ml_s(jet(), flow_lpm)
    return 100.0 * droplets / (droplets + vapour)


def droplet_size(flow_lpm: float) -> float:
    """Mass median diameter of the droplets. [µm]"""
    return median_droplet_um(jet(), flow_lpm)


def flow_for_droplets(largest_um: float) -> float:
    """Flow from which droplets are no larger. [L/min]"""
    return next(flow / 10.0 for flow in range(10, 200) if droplet_size(flow / 10.0) <= largest_um)


def respirable_mg(dose_mg: float, fill_ml: float, flow_lpm: float) -> float:
    """Drug that comes to the lips in droplets of 1 to 5 µm. [mg]"""
    size = droplet_size(flow_lpm)
    spread = droplet_spread(size)
    between = share_below(5.0, size, spread) - share_below(1.0, size, spread)
    emitted = run(fill_ml, flow_lpm).emitted_frac
    return dose_mg * emitted * inhaled_frac(jet(), flow_lpm, QUIET) * between


def at_the_lips_pct(fill_ml: float, flow_lpm: float, kind: str) -> float:
    """Share of the drug that is inhaled through a mouthpiece. [%]"""
    return emitted_pct(fill_ml, flow_lpm, kind) * inhaled_frac(jet(kind), flow_lpm, QUIET)


def lost_while_breathing_out_pct(flow_lpm: float) -> float:
    """Share of the mist that comes while nobody breathes in. [%]"""
    return 100.0 * (1.0 - inhaled_frac(jet(), flow_lpm, QUIET))


def placed_pct(
    where: str,
    fill_ml: float,
    flow_lpm: float,
    nose_frac: float = 0.0,
    inspiratory_s: float = 1.6,
    expiratory_s: float = 2.4,
    pause_s: float = 0.4,
    tidal_ml: float = 500.0,
) -> float:
    """Share of the drug that ends in one place when the cup has run, by the names of the places below. [%]"""
    breathing = Breathing(inspiratory_s, expiratory_s, pause_s, tidal_ml, nose_frac)
    seconds = 60.0 * run(fill_ml, flow_lpm).minutes
    mist = nebulised_second(filled(Cup(), fill_ml, 1.0), jet(), breathing, 1.0, flow_lpm, 0.0, seconds)
    stays = mist.deposit
    shares = {
        "left": mist.cup.drug_mg,
        "lost": mist.lost_mg + stays.breathed_out,
        "throat": stays.throat,
        "airways": stays.airways,
        "alveoli": stays.alveoli,
        "lung": stays.airways + stays.alveoli,
    }
    return 100.0 * shares[where]


def kept_in_throat_pct(diameter_um: float, spread: float, nose_frac: float) -> float:
    """Nose, mouth and throat's share of what stays of a spray. [%]"""
    stays = deposited_shares(diameter_um, spread, 1.5, 600.0, nose_frac)
    return 100.0 * stays.throat / (1.0 - stays.breathed_out)


def caught_in_throat_pct(diameter_um: float) -> float:
    """Share of inhaled droplets of one size that mouth and throat keep. [%]"""
    return 100.0 * caught_in_throat_frac(diameter_um, 500.0 / 1.6, 500.0, False)


def breathed_out_pct(diameter_um: float) -> float:
    """Share of inhaled droplets of one size that come out again. [%]"""
    return 100.0 * deposited_shares(diameter_um, 1.05, 1.6, 500.0, 0.0).breathed_out


def most_heart_rate_rise(drug: str, dose_mg: float, minutes: int = 60) -> float:
    """Largest rise of the heart rate within a time. [1/min]"""
    action = action_from(drugs()[drug].numbers)
    return max(heart_rate_rise_per_min(dosed, action) for dosed in _by_minute(drug, dose_mg, minutes))


def hours_of_effect(drug: str, dose_mg: float) -> float:
    """Hours until relief has fallen to half of its most. [h]"""
    reliefs = _reliefs(drug, dose_mg)
    return max(minute for minute, relief in enumerate(reliefs) if relief >= 0.5 * max(reliefs)) / 60.0


def minutes_to_onset(drug: str, dose_mg: float) -> float:
    """Minutes until relief has reached a quarter of its most. [min]"""
    reliefs = _reliefs(drug, dose_mg)
    return float(next(minute for minute, relief in enumerate(reliefs) if relief >= 0.25 * max(reliefs)))


def minutes_to_peak(drug: str, dose_mg: float) -> float:
    """Minutes until relief is greatest. [min]"""
    reliefs = _reliefs(drug, dose_mg)
    return float(reliefs.index(max(reliefs)))


def _reliefs(drug: str, dose_mg: float) -> list[float]:
    action = action_from(drugs()[drug].numbers)
    return [relief_frac(dosed, action) for dosed in _by_minute(drug, dose_mg, 600)]


def _by_minute(drug: str, dose_mg: float, minutes: int) -> list[Dosed]:
    action = action_from(drugs()[drug].numbers)
    cup, dosed = filled(Cup(), 4.0, dose_mg), Dosed()
    found = [dosed]
    for _ in range(minutes):
        mist = nebulised_second(cup, jet(), QUIET, 1.0, 8.0, 0.0, 60.0)
        stays, cup = mist.deposit, mist.cup
        dosed = dosed_after(dosed, action, stays.airways + stays.alveoli, stays.throat, 60.0)
        found.append(dosed)
    return found


def jet(kind: str = "jet_cup") -> Jet:
    """One kind of cup, by its figures of the catalogue."""
    return jet_from(nebuliser_kind(kind).numbers)
