"""pH, bicarbonate and base excess of blood at 37 °C.

Blood is described by its base excess, which carbon dioxide does not change, so pH follows from
the carbon dioxide pressure in one step without a search.
"""

from typing import Final

from tidalbay.science.arithmetic import LN10, exp, log
from tidalbay.science.jit import in_kernel

CO2_SOLUBILITY_MMOL_L_MMHG: Final = 0.0304
PK: Final = 6.1
NORMAL_PH: Final = 7.4
NORMAL_BICARBONATE_MMOL_L: Final = 24.26
BICARBONATE_PER_MMHG_AT_7_4: Final = 0.0304 * 19.952623149688797  # 0.0304 * 10^(7.4 - 6.1)


@in_kernel
def bicarbonate_mmol_l(pco2_mmhg: float, ph: float) -> float:
    """Bicarbonate of plasma at 37 °C. [mmol/L]

    Parameters
    ----------
    pco2_mmhg : float
        Carbon dioxide pressure. [mmHg]
    ph : float
        pH of plasma. [1]

    Examples
    --------
    >>> round(bicarbonate_mmol_l(40.0, 7.40), 2)
    24.26

    References
    ----------
    Henderson-Hasselbalch with the constants of Lang W, Zander R. Clin Chem Lab Med 2002;40:404-410.
    """
    return CO2_SOLUBILITY_MMOL_L_MMHG * pco2_mmhg * exp(LN10 * (ph - PK))


@in_kernel
def buffer_mmol_l_per_ph(haemoglobin_g_dl: float) -> float:
    """Buffering of blood other than by bicarbonate. [mmol/L per unit of pH]

    Parameters
    ----------
    haemoglobin_g_dl : float
        Haemoglobin, 0 to 25. [g/dL]

    References
    ----------
    Lang W, Zander R. Clin Chem Lab Med 2002;40:404-410.
    """
    return 9.5 + 1.63 * haemoglobin_g_dl


@in_kernel
def plasma_share(haemoglobin_g_dl: float) -> float:
    """How much of the change in plasma counts for whole blood. [1]

    Parameters
    ----------
    haemoglobin_g_dl : float
        Haemoglobin, 0 to 25. [g/dL]

    References
    ----------
    Lang W, Zander R. Clin Chem Lab Med 2002;40:404-410.
    """
    return 1.0 - 0.0143 * haemoglobin_g_dl


@in_kernel
def base_excess_mmol_l(pco2_mmhg: float, ph: float, haemoglobin_g_dl: float, saturation_frac: float) -> float:
    """Base excess of whole blood at 37 °C. [mmol/L]

    Parameters
    ----------
    pco2_mmhg : float
        Carbon dioxide pressure. [mmHg]
    ph : float
        pH of plasma. [1]
    haemoglobin_g_dl : float
        Haemoglobin, 0 to 25. [g/dL]
    saturation_frac : float
        Share of haemoglobin that is not deoxygenated. [1]

    Notes
    -----
    The same blood keeps its base excess while it takes up or gives off either gas; the last term
    is the acid that haemoglobin binds as it gives off oxygen. Mean error 0.86 mmol/L over -30 to
    +30 mmol/L (the authors' figure).

    References
    ----------
    Lang W, Zander R. Clin Chem Lab Med 2002;40:404-410 (Zander's form of the Van Slyke equation).
    """
    change = bicarbonate_mmol_l(pco2_mmhg, ph) - NORMAL_BICARBONATE_MMOL_L
    change += buffer_mmol_l_per_ph(haemoglobin_g_dl) * (ph - NORMAL_PH)
    return plasma_share(haemoglobin_g_dl) * change - 0.2 * haemoglobin_g_dl * (1.0 - saturation_frac)


@in_kernel
def standard_base_excess_mmol_l(pco2_mmhg: float, ph: float) -> float:
    """Base excess of the extracellular fluid, as analysers print it. [mmol/L]

    Parameters
    ----------
    pco2_mmhg : float
        Carbon dioxide pressure. [mmHg]
    ph : float
        pH of plasma. [1]

    References
    ----------
    Siggaard-Andersen O. Scand J Clin Lab Invest 1977;37(suppl 146):15-20, constants from memory:
    0.93 (HCO3 - 24.4 + 14.8 (pH - 7.4)), with pK 6.10 and solubility 0.0307 mmol/L/mmHg.
    """
    bicarbonate = 0.0307 * pco2_mmhg * exp(LN10 * (ph - 6.10))
    return 0.93 * (bicarbonate - 24.4 + 14.8 * (ph - 7.4))


@in_kernel
def _refined_omega(v: float, excess: float) -> float:
    """A closer v with v + log(v) = x, where `excess` is what x exceeds the present sum by. [1]

    One step of fourth order: a relative error of 6e-4 becomes 4e-15. Fritsch FN, Shafer RE,
    Crowley WP. Commun ACM 1973;16:123-124 (from memory).
    """
    one_more = 1.0 + v
    both = one_more * (one_more + 0.6666666666666666 * excess)
    return v * (1.0 + excess * (both - 0.5 * excess) / (one_more * (both - excess)))


@in_kernel
def near_omega(x: float) -> float:
    """The v for which v + log(v) = x, within 0.07 %. [1]

    Parameters
    ----------
    x : float
        Any number from -700 up. [1]

    Notes
    -----
    A rational function fitted by us on -3 to 18, which holds all blood compatible with life.
    """
    t = x - 1.0
    if -4.0 <= t <= 17.0:
        top = 0.9998251484971754 + t * (0.7668328457438165 + t * 0.23963281697488237)
        top += t * t * t * (0.035633615127707345 + t * 0.0020989570414050637)
        under = 1.0 + t * (0.2677133003301175 + t * (0.04355709393931419 + t * 0.0020857434031834056))
        return top / under
    v = exp(x) if t < 0.0 else x - log(x)
    return v if v < 1e-300 else _refined_omega(v, x - v - log(v))


@in_kernel
def omega(x: float) -> float:
    """The v for which v + log(v) = x (Wright's omega function), within 1e-14. [1]

    Parameters
    ----------
    x : float
        Any number from -700 up. [1]

    Examples
    --------
    >>> round(omega(1.0), 12)
    1.0

    References
    ----------
    Corless RM, Jeffrey DJ. The Wright omega function. LNCS 2002;2385:76-89 (from memory).
    """
    v = near_omega(x)
    return v if v < 1e-300 else _refined_omega(v, x - v - log(v))


@in_kernel
def ph_from_base_excess(
    pco2_mmhg: float, base_excess_mmol_l: float, haemoglobin_g_dl: float, saturation_frac: float
) -> float:
    """The pH of blood whose base excess is known, at 37 °C. [1]

    Parameters
    ----------
    pco2_mmhg : float
        Carbon dioxide pressure, above 0. [mmHg]
    base_excess_mmol_l : float
        Base excess of whole blood. [mmol/L]
    haemoglobin_g_dl : float
        Haemoglobin, 0 to 25. [g/dL]
    saturation_frac : float
        Share of haemoglobin that is not deoxygenated. [1]

    Notes
    -----
    The Van Slyke form has the shape  H exp(z) + b z = q  in  z = ln(10) (pH - 7.4); with
    v = H exp(z) / b  it reads  v + log(v) = log(H / b) + q / b.

    Examples
    --------
    >>> round(ph_from_base_excess(40.0, 0.0, 15.0, 1.0), 3)
    7.4

    References
    ----------
    Lang W, Zander R. Clin Chem Lab Med 2002;40:404-410, turned round by us.
    """
    per_ln = buffer_mmol_l_per_ph(haemoglobin_g_dl) / LN10
    strong = base_excess_mmol_l + 0.2 * haemoglobin_g_dl * (1.0 - saturation_frac)
    relative = (strong / plasma_share(haemoglobin_g_dl) + NORMAL_BICARBONATE_MMOL_L) / per_ln
    v = omega(log(BICARBONATE_PER_MMHG_AT_7_4 * pco2_mmhg / per_ln) + relative)
    return NORMAL_PH + (relative - v) / LN10
