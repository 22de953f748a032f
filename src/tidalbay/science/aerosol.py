"""A jet nebuliser from the filled cup to what stays where: mist, vapour, droplets, deposits.

The cup is one number of liquid that the jet can reach, one of liquid that hangs on the walls, and
the drug dissolved in both.  Everything that moves it is solved exactly, so that a second, ten
seconds or a whole treatment in one step give the same cup.  Several drugs in one solution keep
their proportions: the drug of a cup may count all of them together, and each has its share.
"""

from collections.abc import Mapping
from typing import Final, NamedTuple

from tidalbay.science.arithmetic import exp, log, power
from tidalbay.science.gas import water_vapour_mmhg
from tidalbay.science.jit import in_kernel

REFERENCE_FLOW_LPM: Final = 8.0  # the flow at which the rows of nebulisers state their output
LEVEL_DEG: Final = 30.0  # a cup held nearer to upright than this loses nothing (assumed)
OVER_DEG: Final = 60.0  # from here the feed hangs dry and no mist comes (assumed)
TILTED_DEG: Final = 45.0  # where tilted cups were measured
MIST_ENDS: Final = 0.1  # of the full output: what eyes take for no mist (assumed)
_WATER_MG_K_L_MMHG: Final = 288.8  # mass of a litre of vapour by pressure over temperature, ideal gas
_TALKING_LOSS: Final = 0.75  # breathing in takes 10 % of the time in speech, 40 % at rest
_NARROWEST: Final = 1e-12


class Jet(NamedTuple):
    """One kind of nebuliser as numbers; their sources stand in the rows of the catalogue."""

    sprayed_ml_min: float  # liquid that leaves as droplets at 8 L/min
    least_flow_lpm: float  # at and below it no mist
    droplet_um: float  # mass median diameter at 8 L/min
    cup_degc: float  # of the liquid while it runs
    walls_hold_ml: float  # film on walls and baffles
    wetting_s: float  # in which splashing fills most of that film
    out_of_reach_ml: float  # below the feed
    sputter_ml: float  # above that: the last liquid, which comes in spits
    tilt_strands_ml: float  # put out of reach at 45 degrees
    tapped_down_frac: float  # of the film, by one round of taps
    chamber_ml: float  # holds mist between breaths
    between_breaths_frac: float  # of the output that goes on while the patient breathes out


class Cup(NamedTuple):
    """What is in the cup now."""

    volume_ml: float = 0.0  # that the jet draws on
    on_walls_ml: float = 0.0
    drug_mg: float = 0.0  # in both


class Sprayed(NamedTuple):
    """A cup some time later and what left it meanwhile."""

    cup: Cup
    sprayed_mg: float
    sprayed_ml: float
    vapour_ml: float


class Breathing(NamedTuple):
    """How the patient breathes the mist."""

    inspiratory_s: float
    expiratory_s: float  # its pause included
    pause_s: float
    tidal_ml: float
    nose_frac: float  # of the breath in that comes through the nose
    talking_frac: float = 0.0  # of the time


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


def jet_from(numbers: Mapping[str, float]) -> Jet:
    """A nebuliser from named numbers, as a row of the catalogue has them.

    Parameters
    ----------
    numbers : mapping of a `Jet`'s fields to their values, units in the names. [mL, s, L/min, µm, °C, 1]
        Other names may be among them.
    """
    return Jet(**{name: float(numbers[name]) for name in Jet._fields})


# ------------------------------------------------------------------------------------------ the cup


@in_kernel
def filled(cup: Cup, volume_ml: float, drug_mg: float) -> Cup:
    """The cup after liquid was poured in. [mL, mg]

    Parameters
    ----------
    cup : Cup
    volume_ml, drug_mg : float, 0 or more. [mL, mg]

    Notes
    -----
    By definition; what the cup can hold is the catalogue's to refuse.
    """
    return Cup(cup.volume_ml + volume_ml, cup.on_walls_ml, cup.drug_mg + drug_mg)


@in_kernel
def tapped(cup: Cup, jet: Jet) -> Cup:
    """The cup after a round of taps: part of the film has run down. [mL, mg]

    Parameters
    ----------
    cup : Cup
    jet : Jet

    References
    ----------
    Share tuned by us to Everard, Evans & Milner 1994, Arch Dis Child 70:538: 38 % more drug from a
    2 mL fill when the chamber was tapped.
    """
    down_ml = jet.tapped_down_frac * cup.on_walls_ml
    return Cup(cup.volume_ml + down_ml, cup.on_walls_ml - down_ml, cup.drug_mg)


@in_kernel
def droplets_ml_s(jet: Jet, flow_lpm: float) -> float:
    """Liquid that leaves a well-filled cup as droplets. [mL/s]

    Parameters
    ----------
    jet : Jet
    flow_lpm : float, driving gas. [L/min]

    Notes
    -----
    Straight line from nothing at the least flow.  More flow never less output: Hess 1996, Chest
    110:498.  The straight line itself is assumed.
    """
    above_lpm = max(0.0, flow_lpm - jet.least_flow_lpm)
    return jet.sprayed_ml_min / 60.0 * above_lpm / (REFERENCE_FLOW_LPM - jet.least_flow_lpm)


@in_kernel
def vapour_ml_s(jet: Jet, flow_lpm: float) -> float:
    """Water that dry driving gas takes along from a running cup. [mL/s]

    Parameters
    ----------
    jet : Jet
    flow_lpm : float, dry driving gas. [L/min]

    Notes
    -----
    Gas leaves saturated at the temperature of the cup: 0.10 mL/min at 8 L/min and 15 °C.  Together
    with the droplets this makes them a little over half of the lost weight, as Dennis 1990
    (Thorax 45:728) measured: 54 %, range 45 to 61.

    References
    ----------
    Saturation at the cup's temperature: Phipps & Gonda 1990, Chest 97:1327.
    """
    if droplets_ml_s(jet, flow_lpm) <= 0.0:
        return 0.0
    water_mg_l = _WATER_MG_K_L_MMHG * water_vapour_mmhg(jet.cup_degc) / (jet.cup_degc + 273.15)
    return flow_lpm / 60.0 * water_mg_l * 0.001


@in_kernel
def unreached_ml(jet: Jet, angle_deg: float) -> float:
    """Liquid in the cup that the feed does not reach, by how far the cup is tilted. [mL]

    Parameters
    ----------
    jet : Jet
    angle_deg : float, 0 upright. [degree]

    Returns
    -------
    float
        Beyond any fill from 60 degrees on.

    References
    ----------
    Added at 45 degrees: tuned by us to Berlinski & Emre 2004, Chest 126:817S, mean of four cups
    filled with 3 mL.  Level up to 30 and dry from 60 degrees: assumed.
    """
    if angle_deg >= OVER_DEG:
        return 1000.0
    tilt = max(0.0, angle_deg - LEVEL_DEG) / (TILTED_DEG - LEVEL_DEG)
    return jet.out_of_reach_ml + jet.tilt_strands_ml * tilt * tilt


@in_kernel
def mist_frac(cup: Cup, jet: Jet, flow_lpm: float, angle_deg: float) -> float:
    """The mist that comes now, as a share of what comes from a well-filled cup at 8 L/min. [1]

    Parameters
    ----------
    cup : Cup
    jet : Jet
    flow_lpm : float. [L/min]
    angle_deg : float, 0 upright. [degree]

    Notes
    -----
    Falls from full to nothing over the last `sputter_ml`; assumed form.  Below `MIST_ENDS` an eye
    sees none.
    """
    reach_ml = cup.volume_ml - unreached_ml(jet, angle_deg)
    drawn = min(1.0, max(0.0, reach_ml / jet.sputter_ml))
    return drawn * droplets_ml_s(jet, flow_lpm) * 60.0 / jet.sprayed_ml_min


@in_kernel
def _seconds_to_sputter(spare_ml: float, dry_walls_ml: float, loss_ml_s: float, wetting_s: float) -> float:
    """When the jet has used `spare_ml`, with wall and air both taking their part.

    Solves loss t + dry (1 - e^(-t/wetting)) = spare.  The left side rises and bends down, so
    Newton's steps come from below and never pass the root.
    """
    t = 0.0
    for _ in range(60):
        left = exp(-t / wetting_s)
        missing_ml = spare_ml - loss_ml_s * t - dry_walls_ml * (1.0 - left)
        step = missing_ml / (loss_ml_s + dry_walls_ml / wetting_s * left)
        t += step
        if step < _NARROWEST * t + _NARROWEST:
            break
    return t


@in_kernel
def sprayed(cup: Cup, jet: Jet, flow_lpm: float, angle_deg: float, dt_s: float) -> Sprayed:
    """The cup after running for a time, and the droplets and the vapour that left it. [mL, mg]

    Parameters
    ----------
    cup : Cup
    jet : Jet
    flow_lpm : float, dry driving gas. [L/min]
    angle_deg : float, 0 upright. [degree]
    dt_s : float, any length. [s]

    Returns
    -------
    Sprayed
        Liquid before = liquid after + sprayed + vapour, drug before = drug after + sprayed.

    Notes
    -----
    While the feed is covered the loss is constant and the film on the walls fills exponentially;
    in the last `sputter_ml` the loss falls with what is left.  Both are solved exactly.  As
    droplets take the drug along and vapour does not, the drug left is that before times
    (liquid left / liquid before)^(droplets' share of the loss).  Exact while all the liquid is
    stirred by the jet (assumed).

    References
    ----------
    Two streams, droplets and vapour, and drug growing stronger in the cup: Dennis 1990, Thorax
    45:728; Coates 1998, J Aerosol Med 11:101.  Output halved within 20 s of the first spitting:
    Malone 1993, Chest 104:1114.
    """
    droplets = droplets_ml_s(jet, flow_lpm)
    loss_ml_s = droplets + vapour_ml_s(jet, flow_lpm)
    dry_ml = unreached_ml(jet, angle_deg)
    if loss_ml_s <= 0.0 or dt_s <= 0.0 or cup.volume_ml <= dry_ml:
        return Sprayed(cup, 0.0, 0.0, 0.0)
    pool_ml, walls_ml, left_s, lost_ml = cup.volume_ml, cup.on_walls_ml, dt_s, 0.0
    spare_ml = pool_ml - dry_ml - jet.sputter_ml
    if spare_ml > 0.0:
        bare_ml = max(0.0, jet.walls_hold_ml - walls_ml)
        steady_s = min(left_s, _seconds_to_sputter(spare_ml, bare_ml, loss_ml_s, jet.wetting_s))
        lost_ml = loss_ml_s * steady_s
        wetted_ml = bare_ml * (1.0 - exp(-steady_s / jet.wetting_s))
        pool_ml -= lost_ml + wetted_ml
        walls_ml += wetted_ml
        left_s -= steady_s
    reach_ml = max(0.0, pool_ml - dry_ml)
    spat_ml = reach_ml * (1.0 - exp(-loss_ml_s * left_s / jet.sputter_ml))
    lost_ml += spat_ml
    before_ml = cup.volume_ml + cup.on_walls_ml
    share = droplets / loss_ml_s
    drug_mg = cup.drug_mg * power((before_ml - lost_ml) / before_ml, share)
    after = Cup(pool_ml - spat_ml, walls_ml, drug_mg)
    return Sprayed(after, cup.drug_mg - drug_mg, lost_ml * share, lost_ml * (1.0 - share))


@in_kernel
def seconds_to_sputter(cup: Cup, jet: Jet, flow_lpm: float, angle_deg: float) -> float:
    """How long until the cup begins to spit; 0 if it does, or if there is no mist at all. [s]

    Parameters
    ----------
    cup : Cup
    jet : Jet
    flow_lpm : float. [L/min]
    angle_deg : float, 0 upright. [degree]

    Notes
    -----
    By definition, from the same solution as `sprayed`.
    """
    loss_ml_s = droplets_ml_s(jet, flow_lpm) + vapour_ml_s(jet, flow_lpm)
    spare_ml = cup.volume_ml - unreached_ml(jet, angle_deg) - jet.sputter_ml
    if loss_ml_s <= 0.0 or spare_ml <= 0.0:
        return 0.0
    bare_ml = max(0.0, jet.walls_hold_ml - cup.on_walls_ml)
    return _seconds_to_sputter(spare_ml, bare_ml, loss_ml_s, jet.wetting_s)


# --------------------------------------------------------------------------------------- the droplets


@in_kernel
def droplet_um(jet: Jet, flow_lpm: float) -> float:
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
    median_um: float, spread: float, inspiratory_s: float, tidal_ml: float, nose_frac: float
) -> Deposit:
    """Where inhaled droplets stay. [1]

    Parameters
    ----------
    median_um : float, mass median diameter. [µm]
    spread : float, geometric standard deviation. [1]
    inspiratory_s : float, more than 0. [s]
    tidal_ml : float, more than 0. [mL]
    nose_frac : float, share breathed in through the nose. [1]

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
        caught = by_mouth + nose_frac * (by_nose - by_mouth)
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
    What comes during the breath in is inhaled, and so is what gathered in the chamber during a pause
    before it; the rest blows away.  Somebody whose breath is smaller than the gas of that time
    inhales their breath's worth: Collis, Cole & LeSouef 1990, Lancet 336:341.  About half is lost
    with constant output: Dampage 2021, J Pharm Innov.  Talking: breathing in takes a tenth of the
    time of speech and two fifths at rest (from memory).
    """
    if breathing.inspiratory_s <= 0.0 or breathing.tidal_ml <= 0.0 or flow_lpm <= 0.0:
        return 0.0
    flow_ml_s = flow_lpm * (1000.0 / 60.0)
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
        Of the mist that could be inhaled, what mask or mouthpiece brings to the lips as it is worn;
        0 when nobody wears it. [1]
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
    inhaled_mg = spray.sprayed_mg * inhaled_frac(jet, flow_lpm, breathing) * reaches_lips_frac
    if inhaled_mg <= 0.0:
        nothing = Deposit(0.0, 0.0, 0.0, 0.0)
        return Mist(spray.cup, nothing, spray.sprayed_mg, spray.sprayed_ml, spray.vapour_ml)
    median_um = droplet_um(jet, flow_lpm)
    stays = deposited_shares(
        median_um,
        droplet_spread(median_um),
        breathing.inspiratory_s,
        breathing.tidal_ml,
        breathing.nose_frac,
    )
    deposit = Deposit(
        inhaled_mg * stays.throat,
        inhaled_mg * stays.airways,
        inhaled_mg * stays.alveoli,
        inhaled_mg * stays.breathed_out,
    )
    return Mist(spray.cup, deposit, spray.sprayed_mg - inhaled_mg, spray.sprayed_ml, spray.vapour_ml)
