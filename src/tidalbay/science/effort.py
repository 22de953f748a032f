"""Work of breathing and what it costs: pressure-time index, fatigue, what is left of a breath."""

from tidalbay.science.arithmetic import exp
from tidalbay.science.jit import in_kernel

CRITICAL_INDEX = 0.15  # Bellemare & Grassino 1982, J Appl Physiol 53:1190: 0.15-0.18 (from memory)


@in_kernel
def trapped_ml(tidal_ml: float, expiratory_s: float, time_constant_s: float) -> float:
    """Gas that stays behind when the next breath in comes before the lungs have emptied. [mL]

    Parameters
    ----------
    tidal_ml : float. [mL]
    expiratory_s, time_constant_s : float, more than 0. [s]

    References
    ----------
    Geometric series of one-compartment emptying; no source needed.
    """
    left = exp(-expiratory_s / time_constant_s)
    return tidal_ml * left / (1.0 - left)


@in_kernel
def pressure_time_index(
    tidal_ml: float,
    inspiratory_s: float,
    length_s: float,
    elastance_cmh2o_l: float,
    resistance_cmh2o_s_l: float,
    threshold_cmh2o: float,
    strength_cmh2o: float,
) -> float:
    """Share of the muscles' strength that breathing takes, times the share of the time it takes.

    Parameters
    ----------
    tidal_ml : float. [mL]
    inspiratory_s, length_s : float, of the breath in and of the whole breath. [s]
    elastance_cmh2o_l, resistance_cmh2o_s_l : float. [cmH2O/L], [cmH2O s/L]
    threshold_cmh2o : float, pressure to overcome before gas moves in. [cmH2O]
    strength_cmh2o : float, greatest inspiratory pressure. [cmH2O]

    Returns
    -------
    float
        Rests near 0.02; above about 0.15 it cannot be borne for long. [1]

    References
    ----------
    Bellemare F, Grassino A. J Appl Physiol 1982;53:1190-5 (diaphragm; from memory).
    """
    if inspiratory_s <= 0.0 or length_s <= 0.0:
        return 0.0
    litres = 0.001 * tidal_ml
    mean_cmh2o = (
        threshold_cmh2o + 0.5 * elastance_cmh2o_l * litres + resistance_cmh2o_s_l * litres / inspiratory_s
    )
    return mean_cmh2o / max(5.0, strength_cmh2o) * inspiratory_s / length_s


@in_kernel
def fatigue_after(fatigue_frac: float, index: float, dt_s: float) -> float:
    """Fatigue after a breath at a pressure-time index, 0 fresh to 1 spent. [1]

    Parameters
    ----------
    fatigue_frac : float, 0 to 1. [1]
    index : float, see `pressure_time_index`. [1]
    dt_s : float. [s]

    Notes
    -----
    Grows by one every ten minutes at twice the critical index, recovers with a half hour's time
    constant below it.  Rates assumed; the bound is that of Bellemare & Grassino 1982.
    """
    if index > CRITICAL_INDEX:
        grown = fatigue_frac + dt_s * (index - CRITICAL_INDEX) / (CRITICAL_INDEX * 600.0)
        return min(1.0, grown)
    return fatigue_frac * exp(-dt_s / 1800.0)
