"""Skin under a strap or an edge: what pressure does to it in time, and what relief gives back.

The load is a dose of damage: 1 is where redness no longer fades when pressed.  It grows in
proportion to pressure above what the capillaries bear, and faster where tissue is crushed; it
fades when the pressure is taken off, quickly while it is only flushed, slowly once it is damaged,
and not within a shift once the skin is broken.  Every step is solved exactly, of any length.
"""

from typing import Final

from tidalbay.science.arithmetic import exp, log
from tidalbay.science.jit import in_kernel

NOTHING_SEEN: Final = 0  # numbers of the stages, by definition
PINK_FADES: Final = 1  # fades when pressed
RED_STAYS: Final = 2  # does not
BROKEN: Final = 3  # by definition

PINK_LOAD: Final = 0.25  # assumed: pink within 1 to 2 h of a firm strap
RED_LOAD: Final = 1.0  # the unit of the load: redness that stays
BROKEN_LOAD: Final = 2.5  # assumed

BORNE_MMHG: Final = 10.0  # low end of capillary pressures, 10 to 30 mmHg; healthy adult
DOSE_MMHG_H: Final = 280.0  # above what is borne; with it 150 mmHg takes 2 h and 60 mmHg 5.6 h
CRUSHING_MMHG: Final = 200.0  # from here deformation itself kills cells
CRUSHING_PER_MMHG_H: Final = 0.03  # set by us, so that the two published curves join
FLUSH_FADES_PER_H: Final = 0.55  # assumed
DAMAGE_FADES_PER_H: Final = 0.03  # assumed
_SECONDS_PER_HOUR: Final = 3600.0


@in_kernel
def felt_pressure_mmhg(
    pressure_mmhg: float, shear_frac: float, moisture_frac: float, padding_frac: float
) -> float:
    """Pressure at a contact with what makes it worse or better put into the one number. [mmHg]

    Parameters
    ----------
    pressure_mmhg : float, between device and skin. [mmHg]
    shear_frac : float, 0 none to 1 much. [1]
    moisture_frac : float, 0 dry to 1 wet. [1]
    padding_frac : float, 0 bare to 1 well padded. [1]

    Returns
    -------
    float, 0 or more. [mmHg]

    Notes
    -----
    Much shear doubles the pressure: with enough of it half the pressure stops the blood (Bennett
    1979, Arch Phys Med Rehabil 60:309, from memory).  Wet skin adds up to half, by its friction (direction:
    Shaked & Gefen 2013, Front Bioeng Biotechnol 1:9; size assumed).  A pad halves what is left
    (assumed).
    """
    worse = (1.0 + shear_frac) * (1.0 + 0.5 * moisture_frac)
    return max(0.0, pressure_mmhg) * worse * (1.0 - 0.5 * padding_frac)


@in_kernel
def skin_tolerance_frac(age_years: float, perfusion_frac: float) -> float:
    """How much this skin bears, against that of a healthy adult. [1]

    Parameters
    ----------
    age_years : float. [years]
    perfusion_frac : float, 1 normal, less in shock, cold or swelling. [1]

    Returns
    -------
    float, 0.3 to 1. [1]

    Notes
    -----
    One per cent less for each year above 60, down to two thirds, and in proportion to half of what
    perfusion lacks; infants like the old.  Directions are common teaching; sizes assumed.
    """
    by_age = max(0.65, 1.0 - 0.01 * max(0.0, age_years - 60.0))
    if age_years < 1.0:
        by_age = 0.7
    return max(0.3, by_age * (1.0 - 0.5 * (1.0 - min(1.0, max(0.0, perfusion_frac)))))


@in_kernel
def damage_per_hour(felt_mmhg: float, tolerance_frac: float) -> float:
    """Load gained per hour of a constant pressure. [1/h]

    Parameters
    ----------
    felt_mmhg : float, from `felt_pressure_mmhg`. [mmHg]
    tolerance_frac : float, more than 0, from `skin_tolerance_frac`. [1]

    Returns
    -------
    float, 0 up to the pressure that capillaries bear. [1/h]

    References
    ----------
    Inverse of pressure and time, about 300 mmHg h: Reswick & Rogers 1976, 980 subjects, as reviewed
    by Gefen 2009 (product from memory).  Capillaries 10 to 30 mmHg: Landis 1930 as cited.  Above about
    32 kPa minutes suffice: Linder-Ganz 2006, J Biomech 39:2725 (muscle of rats).  Where between them
    the curves are joined, at 200 mmHg, and how steeply, was set by us.
    """
    above = max(0.0, felt_mmhg - BORNE_MMHG * tolerance_frac) / (DOSE_MMHG_H * tolerance_frac)
    return above + CRUSHING_PER_MMHG_H * max(0.0, felt_mmhg - CRUSHING_MMHG)


@in_kernel
def skin_load_after(load: float, felt_mmhg: float, tolerance_frac: float, dt_s: float) -> float:
    """Load of one site after a time under constant pressure, or after relief. [1]

    Parameters
    ----------
    load : float, 0 or more. [1]
    felt_mmhg : float, from `felt_pressure_mmhg`; 0 when nothing touches. [mmHg]
    tolerance_frac : float, more than 0. [1]
    dt_s : float, any length. [s]

    Returns
    -------
    float
        Two steps give what one of both lengths gives.

    Notes
    -----
    Grows on a straight line above what is borne.  Below it a flush fades with a time constant of
    1.8 h, slower the nearer to what is borne: redness after a time of pressure fades within about
    three quarters of that time (common teaching).  Redness that stays takes a day or so, broken
    skin does not mend within a shift; both assumed.
    """
    hours = dt_s / _SECONDS_PER_HOUR
    grows = damage_per_hour(felt_mmhg, tolerance_frac)
    if grows > 0.0:
        return load + grows * hours
    if load >= BROKEN_LOAD:
        return load
    relief = 1.0 - max(0.0, felt_mmhg) / (BORNE_MMHG * tolerance_frac)
    if load > RED_LOAD:
        slow = DAMAGE_FADES_PER_H * relief
        if slow <= 0.0 or log(load / RED_LOAD) >= slow * hours:
            return load * exp(-slow * hours)
        hours -= log(load / RED_LOAD) / slow
        load = RED_LOAD
    return load * exp(-FLUSH_FADES_PER_H * relief * hours)


@in_kernel
def skin_stage(load: float) -> int:
    """What an eye and a fingertip find there. [1]

    Parameters
    ----------
    load : float. [1]

    Returns
    -------
    int
        `NOTHING_SEEN`, `PINK_FADES`, `RED_STAYS` or `BROKEN`; the words are the catalogue's.

    Notes
    -----
    Thresholds of the load; that of redness is 1 by definition, the others are assumed.
    """
    if load >= BROKEN_LOAD:
        return BROKEN
    if load >= RED_LOAD:
        return RED_STAYS
    return PINK_FADES if load >= PINK_LOAD else NOTHING_SEEN


@in_kernel
def hours_until(load: float, wanted_load: float, felt_mmhg: float, tolerance_frac: float) -> float:
    """Hours of this pressure until a load is reached; -1 if it never is. [h]

    Parameters
    ----------
    load, wanted_load : float. [1]
    felt_mmhg : float. [mmHg]
    tolerance_frac : float, more than 0. [1]

    Notes
    -----
    By definition, from `damage_per_hour`.
    """
    if load >= wanted_load:
        return 0.0
    grows = damage_per_hour(felt_mmhg, tolerance_frac)
    return (wanted_load - load) / grows if grows > 0.0 else -1.0


@in_kernel
def soreness(load: float, felt_mmhg: float) -> float:
    """How sore the place is, from 0 to 10, as an awake patient would say. [1]

    Parameters
    ----------
    load : float. [1]
    felt_mmhg : float, now. [mmHg]

    Notes
    -----
    Damage hurts, and a strap that digs in hurts at once; assumed.
    """
    return min(10.0, 3.0 * load + 0.03 * max(0.0, felt_mmhg - 30.0))
