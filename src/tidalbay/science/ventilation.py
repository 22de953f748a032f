"""The shape of a breath, and the drive that sets its rate and depth."""

from math import sqrt

from tidalbay.science.arithmetic import exp
from tidalbay.science.jit import in_kernel

HYPOXIC_HYPERBOLA_MMHG = 30.0  # A of Lloyd, Jukes & Cunningham 1958 (20-30; from memory)
HYPOXIC_ASYMPTOTE_MMHG = 28.0  # C of the same (25-32; from memory)
BRAIN_CO2_PER_O2 = 0.0020  # worked out from the blood's equations; see `brain_pco2_mmhg`
PERIPHERAL_THRESHOLD_LEAD_MMHG = 12.0  # assumed: carotid bodies answer CO2 below the central threshold


@in_kernel
def expired_share_left(time_s: float, active_s: float, time_constant_s: float) -> float:
    """Share of the tidal volume still in the chest at a moment of breathing out.

    Parameters
    ----------
    time_s : float, since breathing out began. [s]
    active_s : float, time in which the chest empties; a pause may follow. [s]
    time_constant_s : float, of the emptying. [s]

    Returns
    -------
    float
        1 at the start, 0 from `active_s` on. [1]

    Notes
    -----
    A critically damped decay, (1 + t/tau) e^(-t/tau): flow starts at zero and has its peak after
    one time constant, as an expiration braked by the muscles of breathing in has.  Its remainder
    at `active_s` is taken off and the rest rescaled.

    References
    ----------
    Shape assumed; braking in early expiration: Shee, Ploy-Song-Sang & Milic-Emili 1985, J Appl
    Physiol 58:1859 (from memory).
    """
    if time_s >= active_s:
        return 0.0
    x = time_s / time_constant_s
    end = active_s / time_constant_s
    remainder = (1.0 + end) * exp(-end)
    return ((1.0 + x) * exp(-x) - remainder) / (1.0 - remainder)


@in_kernel
def hypoxic_factor(po2_mmhg: float) -> float:
    """How much low oxygen multiplies the carotid bodies' answer to carbon dioxide.

    Parameters
    ----------
    po2_mmhg : float
        Arterial oxygen pressure as the carotid bodies see it. [mmHg]

    Returns
    -------
    float
        A / (PO2 - C): 0.42 at 100 mmHg, 0.94 at 60, 2.5 at 40; held from 33 mmHg down. [1]

    References
    ----------
    Lloyd, Jukes & Cunningham 1958; Lloyd & Cunningham 1963: rectangular hyperbola with A 20-30
    and C 25-32 mmHg (values from memory).
    """
    return HYPOXIC_HYPERBOLA_MMHG / (max(po2_mmhg, 33.0) - HYPOXIC_ASYMPTOTE_MMHG)


@in_kernel
def brain_pco2_mmhg(arterial_pco2_mmhg: float, arterial_po2_mmhg: float) -> float:
    """Carbon dioxide that the brain's receptors settle at, less what is always the same. [mmHg]

    Parameters
    ----------
    arterial_pco2_mmhg, arterial_po2_mmhg : float. [mmHg]

    Notes
    -----
    Oxygen that comes dissolved leaves the haemoglobin in the brain's veins that much fuller, and
    fuller haemoglobin carries less carbon dioxide: 0.0020 mmHg for each mmHg of arterial oxygen, one
    mmHg on pure oxygen.  Worked through our own blood: 6.5 mL/dL of oxygen given off (textbooks, from
    memory) leave 48.8 mmHg at an arterial 93 and 49.8 at 600.  Blood flow of the brain, which oxygen
    lowers too, is left out.

    References
    ----------
    Becker 1996, J Appl Physiol 81:1683-90 (abstract read): three quarters oxygen for half an hour made
    healthy people breathe more and lowered end-tidal carbon dioxide by 3.6 mmHg; in the main by
    Haldane's effect.
    """
    return arterial_pco2_mmhg + BRAIN_CO2_PER_O2 * arterial_po2_mmhg


@in_kernel
def chemical_drive_l_min(
    brain_pco2_mmhg: float,
    arterial_pco2_mmhg: float,
    arterial_po2_mmhg: float,
    threshold_mmhg: float,
    central_l_min_mmhg: float,
    peripheral_l_min_mmhg: float,
    hypoxic_decline_frac: float,
) -> float:
    """Ventilation asked for by the central and peripheral chemoreceptors together.

    Parameters
    ----------
    brain_pco2_mmhg, arterial_pco2_mmhg, arterial_po2_mmhg : float
        Pressures as each receptor sees them, lags already applied. [mmHg]
    threshold_mmhg : float
        PCO2 below which the central receptors ask for nothing. [mmHg]
    central_l_min_mmhg, peripheral_l_min_mmhg : float
        Gains; the peripheral one is multiplied by `hypoxic_factor`. [L/min/mmHg]
    hypoxic_decline_frac : float
        Slow loss of the peripheral answer in lasting hypoxia, 0 to 1. [1]

    Returns
    -------
    float, 0 or more. [L/min BTPS]

    References
    ----------
    Sum of the two loops: Duffin 2005, J Appl Physiol 99:2255.  Decline: six subjects of the Oxford
    physiology group, whose answer to hypoxia peaked after 2 minutes and then fell; the sensitivity
    had recovered by a third after 5 minutes of normal oxygen (Respir Physiol, pages 299-311, volume
    and year not seen).
    """
    central = central_l_min_mmhg * max(0.0, brain_pco2_mmhg - threshold_mmhg)
    above = max(0.0, arterial_pco2_mmhg - (threshold_mmhg - PERIPHERAL_THRESHOLD_LEAD_MMHG))
    peripheral = peripheral_l_min_mmhg * above * hypoxic_factor(arterial_po2_mmhg)
    return central + peripheral * (1.0 - hypoxic_decline_frac)


@in_kernel
def least_work_rate_per_min(
    alveolar_l_min: float, dead_space_ml: float, elastance_cmh2o_l: float, resistance_cmh2o_s_l: float
) -> float:
    """Rate at which a given alveolar ventilation costs the least work.

    Parameters
    ----------
    alveolar_l_min : float, more than 0. [L/min BTPS]
    dead_space_ml : float, more than 0. [mL BTPS]
    elastance_cmh2o_l : float, of lungs and chest. [cmH2O/L]
    resistance_cmh2o_s_l : float, of the airways. [cmH2O s/L]

    Returns
    -------
    float. [1/min]

    Notes
    -----
    f = (sqrt(1 + 4 pi^2 RC V_A / V_D) - 1) / (2 pi^2 RC), with RC the time constant.  Stiff
    lungs breathe fast and shallow, narrow airways slow and deep.

    References
    ----------
    Otis, Fenn & Rahn 1950, J Appl Physiol 2:592 (from memory).
    """
    time_constant_s = max(0.02, resistance_cmh2o_s_l / elastance_cmh2o_l)
    turnover_per_s = alveolar_l_min * (1000.0 / 60.0) / dead_space_ml
    root = sqrt(1.0 + 39.478417604357434 * time_constant_s * turnover_per_s)
    return 60.0 * (root - 1.0) / (19.739208802178716 * time_constant_s)


@in_kernel
def largest_breath_ml(inspiratory_capacity_ml: float, expiratory_s: float, time_constant_s: float) -> float:
    """Largest breath that still empties in the time left for breathing out. [mL BTPS]

    Parameters
    ----------
    inspiratory_capacity_ml : float. [mL]
    expiratory_s, time_constant_s : float, time to empty and its constant. [s]

    Notes
    -----
    IC (1 - exp(-TE/tau)): why narrowed airways cannot answer distress with depth.  Assumed form.
    """
    return inspiratory_capacity_ml * (1.0 - exp(-expiratory_s / time_constant_s))


@in_kernel
def strongest_breath_ml(
    strength_cmh2o: float, elastance_cmh2o_l: float, resistance_cmh2o_s_l: float, inspiratory_s: float
) -> float:
    """Largest breath that the muscles can draw in the time there is. [mL BTPS]

    Parameters
    ----------
    strength_cmh2o : float, greatest inspiratory pressure. [cmH2O]
    elastance_cmh2o_l, resistance_cmh2o_s_l : float
        Of lungs and chest; of the airways and of whatever is breathed through. [cmH2O/L], [cmH2O s/L]
    inspiratory_s : float, more than 0. [s]

    Notes
    -----
    P = E V + R V / TI at mean flow: one compartment, no source needed.
    """
    return 1000.0 * strength_cmh2o / (elastance_cmh2o_l + resistance_cmh2o_s_l / inspiratory_s)


@in_kernel
def fastest_rate_per_min(age_years: float) -> float:
    """Fastest breathing that a body keeps up. [1/min]

    Parameters
    ----------
    age_years : float. [years]

    Notes
    -----
    60 in adults and 120 at birth, straight between until 5 years.  Newborns in distress breathe 60 to 120
    times a minute (textbooks on transient tachypnoea, from memory); the rest is assumed.
    """
    return 60.0 + 60.0 * max(0.0, 1.0 - age_years / 5.0)
