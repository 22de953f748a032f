"""Flow through nose, mouth, mask and bag: the scalar pieces of the device network.

Pressures are in cmH2O below the room's, conductances in mL/s per cmH2O, flows in mL/s at body
conditions, positive into the patient.  All conductances are linear: quiet flow through a nose is
nearly so, and in distress the mouth takes over.
"""

from math import sqrt

from tidalbay.science.arithmetic import exp
from tidalbay.science.jit import in_kernel

NOSE_ML_S_CMH2O = 500.0  # assumed: both sides open, about 2 cmH2O s/L
# Tuned, at full opening: 600-700 fits the windpipe pressure under high flow, mouth shut 2 [1.2-3.3] and open
# 0.6 [0.3-1] cmH2O (Chanques 2013, Minerva Anestesiol 79:1344-55).
MOUTH_ML_S_CMH2O = 650.0


@in_kernel
def share_kept_by_mixing(turnover: float) -> float:
    """Mean share of its old gas in what a stirred space gives off while it is flushed.

    Parameters
    ----------
    turnover : float, 0 or more
        Volume that passes divided by the volume of the space. [1]

    Returns
    -------
    float
        (1 - exp(-x)) / x, from 1 (nothing passed) towards 0. [1]

    Notes
    -----
    The exact answer for a stirred tank at constant volume: any step is stable, nothing is
    created, and no concentration leaves the range of its sources.

    References
    ----------
    Levenspiel O. Chemical Reaction Engineering, 3rd ed., 1999, ch. 11 (from memory).
    """
    if turnover < 1e-3:
        return 1.0 - turnover * (0.5 - turnover * (1.0 / 6.0))
    return (1.0 - exp(-turnover)) / turnover


@in_kernel
def nasal_flow_ml_s(
    windpipe_flow_ml_s: float,
    prong_flow_ml_s: float,
    gap_ml_s_cmh2o: float,
    nose_ml_s_cmh2o: float,
    mouth_ml_s_cmh2o: float,
) -> float:
    """Flow from nose to throat when nose and mouth share the windpipe's flow.

    Parameters
    ----------
    windpipe_flow_ml_s : float, inward positive. [mL/s]
    prong_flow_ml_s : float
        Gas that prongs push into the nostrils. [mL/s]
    gap_ml_s_cmh2o : float
        Conductance of the nostril round the prongs; 0 means no prongs. [mL/s/cmH2O]
    nose_ml_s_cmh2o, mouth_ml_s_cmh2o : float
        Conductances from nostril to throat and from lips to throat. [mL/s/cmH2O]

    Returns
    -------
    float
        Inward flow through the nose; the mouth carries the rest. [mL/s]

    Notes
    -----
    Solves  U - Qp = g_gap (0 - p_n),  U = g_n (p_n - p_t),  W = g_m (0 - p_t),  U + W = V'.
    With both shut (0) everything is sent through the nose, so that volume is never lost.

    References
    ----------
    Kirchhoff's laws for three linear resistances; no source needed.
    """
    if nose_ml_s_cmh2o <= 0.0:
        if mouth_ml_s_cmh2o <= 0.0:
            return windpipe_flow_ml_s
        return 0.0
    if gap_ml_s_cmh2o <= 0.0:
        return windpipe_flow_ml_s * nose_ml_s_cmh2o / (nose_ml_s_cmh2o + mouth_ml_s_cmh2o)
    pushed = windpipe_flow_ml_s + mouth_ml_s_cmh2o * prong_flow_ml_s / gap_ml_s_cmh2o
    return pushed / (1.0 + mouth_ml_s_cmh2o * (1.0 / gap_ml_s_cmh2o + 1.0 / nose_ml_s_cmh2o))


@in_kernel
def nasal_pressure_cmh2o(
    nasal_flow_ml_s: float, prong_flow_ml_s: float, gap_ml_s_cmh2o: float, nose_ml_s_cmh2o: float
) -> float:
    """Pressure in the throat that prongs hold against the room. [cmH2O]

    Parameters
    ----------
    nasal_flow_ml_s, prong_flow_ml_s : float, inward positive. [mL/s]
    gap_ml_s_cmh2o, nose_ml_s_cmh2o : float, see `nasal_flow_ml_s`. [mL/s/cmH2O]

    Notes
    -----
    Rises in proportion to flow: 1.93 / 2.58 / 3.31 cmH2O at 30 / 40 / 50 L/min, mouth closed
    (Parke 2011, Respir Care 56:1151-5).
    """
    if gap_ml_s_cmh2o <= 0.0 or nose_ml_s_cmh2o <= 0.0:
        return 0.0
    return (prong_flow_ml_s - nasal_flow_ml_s) / gap_ml_s_cmh2o - nasal_flow_ml_s / nose_ml_s_cmh2o


@in_kernel
def captured_jet_ml_s(jet_flow_ml_s: float, capture_frac: float, nostril_draw_ml_s: float) -> float:
    """Part of a jet outside the nostrils that a breath still catches. [mL/s]

    Parameters
    ----------
    jet_flow_ml_s : float. [mL/s]
    capture_frac : float, 0 (on the cheek) to 1 (at the nostril). [1]
    nostril_draw_ml_s : float, room air drawn past the nostril. [mL/s]

    Notes
    -----
    Half of it is caught once the nostrils draw 400 mL/s.  Form and figure are assumed: no
    published measurement of prongs below or beside the nose was found, so nothing that depends
    on this decides a verdict.
    """
    if nostril_draw_ml_s <= 0.0:
        return 0.0
    caught = capture_frac * jet_flow_ml_s * nostril_draw_ml_s / (nostril_draw_ml_s + 400.0)
    return min(caught, nostril_draw_ml_s)


@in_kernel
def bag_share_ml_s(
    demand_ml_s: float, valve_ml_s_cmh2o: float, opening_cmh2o: float, open_ml_s_cmh2o: float
) -> float:
    """Flow that a reservoir bag gives when a mask is drawn on, ports and leaks giving the rest.

    Parameters
    ----------
    demand_ml_s : float
        Flow that the breath draws from the mask. [mL/s]
    valve_ml_s_cmh2o : float
        Conductance of the bag's valve once open. [mL/s/cmH2O]
    opening_cmh2o : float
        Suction at which that valve lifts. [cmH2O]
    open_ml_s_cmh2o : float
        Conductance of everything that lets room air in: ports without a disc, gap at the edge.

    Returns
    -------
    float
        0 to the demand. [mL/s]

    Notes
    -----
    Suction x solves  demand = g_bag max(0, x - p) + g_open x.

    References
    ----------
    Structure only; the direction (a closed third port and a tight fit give more oxygen) is that
    of Boumphrey 2003, Resuscitation 57:69-72.
    """
    if demand_ml_s <= 0.0 or valve_ml_s_cmh2o <= 0.0:
        return 0.0
    if open_ml_s_cmh2o <= 0.0:
        return demand_ml_s
    if demand_ml_s <= open_ml_s_cmh2o * opening_cmh2o:
        return 0.0
    suction = (demand_ml_s + valve_ml_s_cmh2o * opening_cmh2o) / (valve_ml_s_cmh2o + open_ml_s_cmh2o)
    return valve_ml_s_cmh2o * (suction - opening_cmh2o)


@in_kernel
def draught_ml_s(still_draught_ml_s: float, shield_ml_s: float, outflow_ml_s: float) -> float:
    """Exchange between the space of a mask and the moving air of the room. [mL/s]

    Parameters
    ----------
    still_draught_ml_s : float, exchange with no gas leaving the mask. [mL/s]
    shield_ml_s : float, outflow that halves it. [mL/s]
    outflow_ml_s : float, gas that leaves the mask and so keeps the room out. [mL/s]

    Notes
    -----
    Room air currents lower inspired oxygen under masks, less at high flow: Wexler 1975, Can
    Anaesth Soc J 22:417-31; Goldstein 1982, Lancet 2:1188-90.  Form assumed.
    """
    if still_draught_ml_s <= 0.0:
        return 0.0
    return still_draught_ml_s * shield_ml_s / (shield_ml_s + max(0.0, outflow_ml_s))


@in_kernel
def entrained_ratio(nominal_ratio: float, open_frac: float, share_of_stall: float) -> float:
    """Room air that a jet draws in, per volume of driving gas.

    Parameters
    ----------
    nominal_ratio : float
        Air to driving gas with the ports open: (100 - F) / (F - 20.9) for a printed F. [1]
    open_frac : float, 0 (ports covered) to 1. [1]
    share_of_stall : float
        Pressure against the jet, as a share of that which stops it drawing anything in. [1]

    Returns
    -------
    float, 0 to the nominal ratio. [1]

    Notes
    -----
    Momentum of the jet against the pressure that air needs to pass the ports: with total flow R
    per driving flow,  R^2 + (R - 1)^2 / s^2 = R0^2 + (R0 - 1)^2.

    References
    ----------
    Ratios: 24 % 24.5, 28 % 10.1, 40 % 3.14, 60 % 1.02, arithmetic on 20.9 % room oxygen.
    """
    if open_frac <= 0.0 or nominal_ratio <= 0.0:
        return 0.0
    nominal = nominal_ratio + 1.0
    against = min(1.0, max(0.0, share_of_stall))
    momentum = (nominal * nominal + nominal_ratio * nominal_ratio) * (1.0 - against) + against
    k = 1.0 / (open_frac * open_frac)
    # (1 + k) R^2 - 2 k R + k - momentum = 0, larger root
    root = sqrt(k * k - (1.0 + k) * (k - momentum))
    return max(0.0, (k + root) / (1.0 + k) - 1.0)
