"""Mist from the cup to what stays where: droplet size, the breath that takes it in, the deposit.

What comes while nobody breathes in is lost to the room.  What is breathed in is sorted by size:
nose and throat catch the large droplets, the lung keeps most of the middle ones, and many of the
smallest come out again.  Drug is conserved to rounding from the cup to each of these places.  In wide
tubing other gas takes the mist along, and the walls catch large droplets before the patient does; through a
tracheostomy nose, mouth and throat are not on the way.
"""

from math import sqrt
from typing import Final, NamedTuple

from tidalbay.science.arithmetic import exp, log, power
from tidalbay.science.jit import in_kernel
from tidalbay.science.nebuliser_cup import REFERENCE_FLOW_LPM, Cup, Jet, sprayed

_TALKING_LOSS: Final = 0.75  # breathing in takes 10 % of the time in speech, 40 % at rest


class Breathing(NamedTuple):
    """How the patient breathes the mist."""

    inspiratory_s: float
    expiratory_s: float  # its pause included
    pause_s: float
    tidal_ml: float
    nose_frac: float  # of the breath in that comes through the nose
    talking_frac: float = 0.0  # of the time
    carrier_lpm: float = 0.0  # other gas that takes the mist along, in wide tubing
    passes_um: float = 0.0  # half of the droplets of this size come through that tubing; 0 without tubing
    past_throat: float = 0.0  # 1 through a tracheostomy


class Deposit(NamedTuple):
    """Where inhaled drug stays: shares of one, or milligrams."""

    throat: float  # nose, mouth and throat: swallowed
    airways: float
    alveoli: float
    breathed_out: float


class Mist(NamedTuple):
    """A second (or any time) of treatment: the cup after it and where the drug went."""

    cup: Cup
    deposit: Deposit  # milligrams
    lost_mg: float  # to the room and to the mask
    sprayed_ml: float
    vapour_ml: float


# --------------------------------------------------------------------------------------- the droplets


@in_kernel
def median_droplet_um(jet: Jet, flow_lpm: float) -> float:
    """Mass median diameter of the droplets. [µm]

    Parameters
    ----------
    jet : Jet
    flow_lpm : float, driving gas; below 1 it counts as 1. [L/min]

    References
    ----------
    Clay 1983, Thorax 38:755: halves from 4 to 8 L/min, and hardly changes during a run; taken as
    inverse to the flow.
    """
    return jet.droplet_um * REFERENCE_FLOW_LPM / max(1.0, flow_lpm)


@in_kernel
def droplet_spread(diameter_um: float) -> float:
    """Geometric standard deviation of droplets with that median. [1]

    Parameters
    ----------
    diameter_um : float, mass median. [µm]

    Returns
    -------
    float, 1.6 to 2.6.

    Notes
    -----
    Smaller medians go with wider spreads (Clay 1983, Thorax 38:755); 2.5 at 6 µm was measured by
    Wolfsdorf 1969.  The line itself is assumed.
    """
    return min(2.6, max(1.6, 2.5 - 0.08 * (diameter_um - 4.0)))


@in_kernel
def share_below(diameter_um: float, median_um: float, spread: float) -> float:
    """Share of a log-normal spray's mass in droplets below a diameter. [1]

    Parameters
    ----------
    diameter_um, median_um : float, more than 0. [µm]
    spread : float, geometric standard deviation, more than 1. [1]

    Notes
    -----
    The normal distribution by Abramowitz & Stegun 1964, 26.2.17, within 8e-8.
    """
    z = log(diameter_um / median_um) / log(spread)
    t = 1.0 / (1.0 + 0.2316419 * abs(z))
    tail = t * (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))))
    tail *= 0.3989422804014327 * exp(-0.5 * z * z)
    return 1.0 - tail if z > 0.0 else tail


class Passed(NamedTuple):
    """What comes through tubing: its share of the mist, and the droplets it is made of."""

    passes_frac: float
    median_um: float
    spread: float  # geometric standard deviation


@in_kernel
def through_tubing(median_um: float, spread: float, passes_um: float) -> Passed:
    """The spray that comes through wide tubing, its large droplets left on the walls. [1], [µm]

    Parameters
    ----------
    median_um : float, mass median diameter. [µm]
    spread : float, geometric standard deviation. [1]
    passes_um : float
        Half of the droplets of this size come through; 0 or less without tubing. [µm]

    Notes
    -----
    1 / (1 + (d / `passes_um`)^2) of each size comes through: impaction grows with the square of the size. The
    form is assumed; that sprays leave a high-flow set finer than they enter it is published (Longest & Hindle
    and others, from memory).  What comes through is again taken as log-normal, with its own mean and spread;
    that cuts a few per cent off its large end.
    """
    if passes_um <= 0.0:
        return Passed(1.0, median_um, spread)
    wide = log(spread)
    total = passing = first = second = 0.0
    for k in range(13):
        z = 0.5 * (k - 6)
        weight = exp(-0.5 * z * z)
        d = median_um * exp(z * wide) / passes_um
        comes = weight / (1.0 + d * d)
        total += weight
        passing += comes
        first += comes * z
        second += comes * z * z
    if passing <= 0.0:
        return Passed(0.0, median_um, spread)
    mean = first / passing
    narrower = sqrt(max(0.0, second / passing - mean * mean))
    return Passed(passing / total, median_um * exp(mean * wide), exp(narrower * wide))


@in_kernel
def caught_in_throat_frac(diameter_um: float, inspiratory_ml_s: float, tidal_ml: float, nose: bool) -> float:
    """Share of inhaled droplets of one size that nose, mouth and throat keep. [1]

    Parameters
    ----------
    diameter_um : float, aerodynamic. [µm]
    inspiratory_ml_s : float, mean flow while breathing in. [mL/s]
    tidal_ml : float, more than 0. [mL]
    nose : bool, breathed in through the nose.

    Notes
    -----
    For particles from about 0.5 to 15 µm, breathing at rest, adults.

    References
    ----------
    ICRP Publication 66, 1994, impaction in the extrathoracic airways (from memory).
    """
    d2 = diameter_um * diameter_um
    if nose:
        front = 3.0e-4 * d2 * inspiratory_ml_s
        back = 5.5e-5 * power(d2 * inspiratory_ml_s, 1.17)
        return 1.0 - (1.0 - 0.5 * front / (1.0 + front)) / (1.0 + back)
    x = 1.1e-4 * power(d2 * power(inspiratory_ml_s, 0.6) * power(tidal_ml, -0.2), 1.4)
    return x / (1.0 + x)


@in_kernel
def deposited_shares(
    median_um: float,
    spread: float,
    inspiratory_s: float,
    tidal_ml: float,
    nose_frac: float,
    past_throat: float = 0.0,
) -> Deposit:
    """Where inhaled droplets stay. [1]

    Parameters
    ----------
    median_um : float, mass median diameter. [µm]
    spread : float, geometric standard deviation. [1]
    inspiratory_s : float, more than 0. [s]
    tidal_ml : float, more than 0. [mL]
    nose_frac : float, share breathed in through the nose. [1]
    past_throat : float, 1 through a tracheostomy: nose, mouth and throat catch nothing. [1]

    Returns
    -------
    Deposit, its four shares adding up to 1.

    Notes
    -----
    Thirteen sizes of equal steps stand for the spray.  Of what passes the throat, x / (1 + x) stays,
    x = (d / 1.5 µm)^1.8 times the time of the breath over 4 s; of that the airways keep
    y / (1 + y), y = (d / 3.5 µm)^2, the alveoli the rest.  Both are assumed forms, held against
    Finlay 1998 (J Aerosol Med 11:65); that droplets above 10 µm stop in the throat, those below
    5 µm reach the lung and those below 0.5 µm may come out again is ICRP 1966.  Droplets do not
    shrink or grow on their way.
    """
    flow_ml_s = tidal_ml / inspiratory_s
    wide = log(spread)
    total = throat = airways = alveoli = 0.0
    for k in range(13):
        z = 0.5 * (k - 6)
        weight = exp(-0.5 * z * z)
        d = median_um * exp(z * wide)
        by_mouth = caught_in_throat_frac(d, flow_ml_s, tidal_ml, False)
        by_nose = caught_in_throat_frac(d, flow_ml_s, tidal_ml, True) if nose_frac > 0.0 else by_mouth
        caught = (by_mouth + nose_frac * (by_nose - by_mouth)) * (1.0 - past_throat)
        x = power(d / 1.5, 1.8) * min(2.0, 2.5 * inspiratory_s / 4.0)
        stays = (1.0 - caught) * x / (1.0 + x)
        y = d * d / (3.5 * 3.5)
        total += weight
        throat += weight * caught
        airways += weight * stays * y / (1.0 + y)
        alveoli += weight * stays / (1.0 + y)
    throat, airways, alveoli = throat / total, airways / total, alveoli / total
    return Deposit(throat, airways, alveoli, 1.0 - throat - airways - alveoli)


# ------------------------------------------------------------------------------------------ the breath


@in_kernel
def inhaled_frac(jet: Jet, flow_lpm: float, breathing: Breathing) -> float:
    """Share of the mist that comes while it can be breathed in. [1]

    Parameters
    ----------
    jet : Jet
    flow_lpm : float. [L/min]
    breathing : Breathing

    Notes
    -----
    Gas that carries the mist along counts as the cup's own: a breath takes in its share of all of it.
    What comes during the breath in is inhaled, and so is what gathered in the chamber during a pause
    before it; the rest blows away.  Somebody whose breath is smaller than the gas of that time
    inhales their breath's worth: Collis, Cole & LeSouef 1990, Lancet 336:341.  About half is lost
    with constant output: Dampage 2021, J Pharm Innov.  Talking: breathing in takes a tenth of the
    time of speech and two fifths at rest (from memory).
    """
    if breathing.inspiratory_s <= 0.0 or breathing.tidal_ml <= 0.0 or flow_lpm <= 0.0:
        return 0.0
    flow_ml_s = (flow_lpm + breathing.carrier_lpm) * (1000.0 / 60.0)
    between = jet.between_breaths_frac
    stored_s = between * min(breathing.pause_s, jet.chamber_ml / flow_ml_s)
    caught_s = min(breathing.inspiratory_s + stored_s, breathing.tidal_ml / flow_ml_s)
    silent = caught_s / (breathing.inspiratory_s + between * breathing.expiratory_s)
    return silent * (1.0 - _TALKING_LOSS * breathing.talking_frac)


@in_kernel
def nebulised_second(
    cup: Cup,
    jet: Jet,
    breathing: Breathing,
    reaches_lips_frac: float,
    flow_lpm: float,
    angle_deg: float,
    dt_s: float,
) -> Mist:
    """One second of treatment, or any time in which nothing else changes. [mg, mL]

    Parameters
    ----------
    cup : Cup
    jet : Jet
    breathing : Breathing
    reaches_lips_frac : float
        Of the mist that could be inhaled, what mask, mouthpiece or tee brings to the patient as it is worn,
        what tubing catches left out; 0 when nobody wears it. [1]
    flow_lpm : float, dry driving gas. [L/min]
    angle_deg : float, 0 upright. [degree]
    dt_s : float. [s]

    Returns
    -------
    Mist
        drug before = drug in its cup + its deposit's four parts + `lost_mg`, to rounding.

    Notes
    -----
    Conservation of drug; each part has its source at the function that computes it.
    """
    spray = sprayed(cup, jet, flow_lpm, angle_deg, dt_s)
    if spray.sprayed_mg <= 0.0:
        return Mist(spray.cup, Deposit(0.0, 0.0, 0.0, 0.0), 0.0, spray.sprayed_ml, spray.vapour_ml)
    median_um = median_droplet_um(jet, flow_lpm)
    mist = through_tubing(median_um, droplet_spread(median_um), breathing.passes_um)
    reaches_frac = reaches_lips_frac * mist.passes_frac
    inhaled_mg = spray.sprayed_mg * inhaled_frac(jet, flow_lpm, breathing) * reaches_frac
    if inhaled_mg <= 0.0:
        nothing = Deposit(0.0, 0.0, 0.0, 0.0)
        return Mist(spray.cup, nothing, spray.sprayed_mg, spray.sprayed_ml, spray.vapour_ml)
    stays = deposited_shares(
        mist.median_um,
        mist.spread,
        breathing.inspiratory_s,
        breathing.tidal_ml,
        breathing.nose_frac,
        breathing.past_throat,
    )
    deposit = Deposit(
        inhaled_mg * stays.throat,
        inhaled_mg * stays.airways,
        inhaled_mg * stays.alveoli,
        inhaled_mg * stays.breathed_out,
    )
    return Mist(spray.cup, deposit, spray.sprayed_mg - inhaled_mg, spray.sprayed_ml, spray.vapour_ml)
