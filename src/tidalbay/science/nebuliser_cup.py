"""The cup of a jet nebuliser: liquid and drug in it, and the mist and vapour that leave.

The cup is one number of liquid that the jet can reach, one of liquid that hangs on the walls, and
the drug dissolved in both.  Everything that moves it is solved exactly, so that a second, ten
seconds or a whole treatment in one step give the same cup.  Several drugs in one solution keep
their proportions: the drug of a cup may count all of them together, and each has its share.
"""

from collections.abc import Mapping
from typing import Final, NamedTuple

from tidalbay.science.arithmetic import exp, power
from tidalbay.science.gas import water_vapour_mmhg
from tidalbay.science.jit import in_kernel

REFERENCE_FLOW_LPM: Final = 8.0  # the flow at which the rows of nebulisers state their output
LEVEL_DEG: Final = 30.0  # a cup held nearer to upright than this loses nothing (assumed)
TILTED_DEG: Final = 45.0  # where tilted cups were measured
OVER_DEG: Final = 60.0  # from here the feed hangs dry and no mist comes (assumed)
MIST_ENDS: Final = 0.1  # of the full output: what eyes take for no mist (assumed)
_WATER_MG_K_L_MMHG: Final = 288.8  # mass of a litre of vapour by pressure over temperature, ideal gas
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


def jet_from(numbers: Mapping[str, float]) -> Jet:
    """A nebuliser from named numbers, as a row of the catalogue has them.

    Parameters
    ----------
    numbers : mapping of a `Jet`'s fields to their values, units in the names. [mL, s, L/min, µm, °C, 1]
        Other names may be among them.

    Notes
    -----
    By definition; each number's source stands in its row.
    """
    return Jet(**{name: float(numbers[name]) for name in Jet._fields})


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
