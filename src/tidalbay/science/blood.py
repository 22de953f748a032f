"""Oxygen and carbon dioxide in blood: from pressures to contents and back.

Pressures are at the temperature of the body; contents are in mL of dry gas at 0 °C and 760 mmHg
(STPD) per dL of blood.  "Saturation" here is the share of haemoglobin *able to carry oxygen* that
carries it: O2Hb / (O2Hb + HHb).
"""

from math import sqrt
from typing import Final, TypeAlias

from tidalbay.science.acid_base import (
    BICARBONATE_PER_MMHG_AT_7_4,
    CO2_SOLUBILITY_MMOL_L_MMHG,
    NORMAL_BICARBONATE_MMOL_L,
    NORMAL_PH,
    PK,
    buffer_mmol_l_per_ph,
    near_omega,
    plasma_share,
)
from tidalbay.science.arithmetic import LN10, exp, exp_near_zero, log
from tidalbay.science.jit import in_kernel

OXYGEN_CAPACITY_ML_G: Final = 1.34
OXYGEN_SOLUBILITY_ML_DL_MMHG: Final = 0.0031
BODY_DEGC: Final = 37.0

LOWEST_PO2_MMHG: Final = 0.1
HIGHEST_PO2_MMHG: Final = 2500.0
LOWEST_PCO2_MMHG: Final = 1.0
HIGHEST_PCO2_MMHG: Final = 300.0

_Four: TypeAlias = tuple[float, float, float, float]

_LN_26_6: Final = 3.2809112157876537  # log(26.6)
_LN_0_243_PER_100: Final = -6.01986402162968  # log(0.243 / 100)
_LOG10_PCO2_PER_DEGC: Final = 0.019
_LN_PCO2_PER_DEGC: Final = 0.019 * 2.302585092994046
_PH_PER_DEGC: Final = -0.0147
_HIGHEST_PH_IN_CELLS: Final = 7.8


@in_kernel
def standard_saturation_frac(po2_mmhg: float) -> float:
    """Saturation of haemoglobin at 37 °C and pH 7.40. [1]

    Parameters
    ----------
    po2_mmhg : float
        Oxygen pressure, 0 or more. [mmHg]

    Notes
    -----
    Within 0.0055 of the standard human curve (the author's figure). Not for fetal blood.

    Examples
    --------
    >>> round(standard_saturation_frac(60.0), 4)
    0.9058

    References
    ----------
    Severinghaus JW. J Appl Physiol 1979;46(3):599-602, eq. 1.
    """
    x = po2_mmhg * (po2_mmhg * po2_mmhg + 150.0)  # eq. 1 turned over, so that 0 needs no special case
    return x / (x + 23400.0)


@in_kernel
def _bohr_ln_po2_per_ph(ln_po2: float) -> float:
    return exp(0.184 * (ln_po2 - _LN_26_6)) - 2.2


@in_kernel
def _warmth_ln_po2_per_degc(ln_po2: float) -> float:
    return 0.058 / (exp(3.88 * (ln_po2 + _LN_0_243_PER_100)) + 1.0) + 0.013


@in_kernel
def bohr_ln_po2_per_ph(po2_mmhg: float) -> float:
    """By how much log(PO2) moves per unit of pH at one saturation. [1]

    Parameters
    ----------
    po2_mmhg : float
        Oxygen pressure, above 0. [mmHg]

    References
    ----------
    Severinghaus JW. J Appl Physiol 1979;46(3):599-602, eq. 4.
    """
    return _bohr_ln_po2_per_ph(log(po2_mmhg))


@in_kernel
def warmth_ln_po2_per_degc(po2_mmhg: float) -> float:
    """By how much log(PO2) moves per degree in a closed sample of blood. [1/°C]

    Parameters
    ----------
    po2_mmhg : float
        Oxygen pressure, above 0. [mmHg]

    Notes
    -----
    The pH of such a sample falls by 0.0147 per degree, and the Bohr shift that goes with it is in
    this figure: 0.071 where 0.055 would hold at one pH.

    References
    ----------
    Severinghaus JW. J Appl Physiol 1979;46(3):599-602, eq. 3. That it includes the fall of pH:
    Siggaard-Andersen O et al. Clin Chem 1984;30:1646-1651 give 0.073 and 0.055 for the two.
    """
    return _warmth_ln_po2_per_degc(log(po2_mmhg))


@in_kernel
def _standard_po2_mmhg(po2_mmhg: float, ph: float, temperature_degc: float) -> float:
    """The PO2 that would give the same saturation at 37 °C and pH 7.40. [mmHg]"""
    if po2_mmhg <= 0.0:
        return 0.0
    ln_po2 = log(po2_mmhg)
    if temperature_degc == BODY_DEGC:
        return po2_mmhg * exp(-_bohr_ln_po2_per_ph(ln_po2) * (ph - NORMAL_PH))
    # Eq. 3 is for a closed sample, whose pH falls as it warms: that part of the Bohr shift is in it.
    warmer = temperature_degc - BODY_DEGC
    cool_ph = ph - _PH_PER_DEGC * warmer
    shift = _bohr_ln_po2_per_ph(ln_po2) * (cool_ph - NORMAL_PH) + _warmth_ln_po2_per_degc(ln_po2) * warmer
    return po2_mmhg * exp(-shift)


@in_kernel
def oxygen_saturation_frac(po2_mmhg: float, ph: float, temperature_degc: float) -> float:
    """Saturation of haemoglobin without carbon monoxide. [1]

    Parameters
    ----------
    po2_mmhg : float
        Oxygen pressure; 0 and below give 0. [mmHg]
    ph : float
        pH of plasma at the temperature of the blood, 6.8 to 7.8. [1]
    temperature_degc : float
        Temperature of the blood, 25 to 42. [°C]

    Notes
    -----
    The shifts are read at the given PO2.

    Examples
    --------
    >>> round(oxygen_saturation_frac(60.0, 7.40, 37.0), 4)
    0.9058

    References
    ----------
    Severinghaus JW. J Appl Physiol 1979;46(3):599-602, eqs 1, 3, 4.
    """
    return standard_saturation_frac(_standard_po2_mmhg(po2_mmhg, ph, temperature_degc))


@in_kernel
def _saturation_and_slope(standard_po2_mmhg: float, cohb_share: float) -> tuple[float, float]:
    """Saturation of the haemoglobin that carbon monoxide leaves, and its slope by log(PO2).

    Haldane's relation: both gases together fill haemoglobin as oxygen alone would at
    x = PO2 + M PCO, and share it as PO2 to M PCO.  With eq. 1 of Severinghaus the share c of
    carbon monoxide fixes x by a cubic,  (x - p) (x^2 + 150) = 23400 c / (1 - c)  with
    p = PO2 / (1 - c).  Without carbon monoxide x is PO2.
    """
    if cohb_share <= 0.0:
        square = standard_po2_mmhg * standard_po2_mmhg
        x = standard_po2_mmhg * (square + 150.0)
        per_all = 1.0 / (x + 23400.0)
        slope = standard_po2_mmhg * (3.0 * square + 150.0) * 23400.0 * (per_all * per_all)
        return x / (x + 23400.0), slope
    per_left = 1.0 / (1.0 - cohb_share)
    p = standard_po2_mmhg * per_left
    y = _co_pressure_mmhg(p, 23400.0 * cohb_share * per_left)
    x = p + y
    square = x * x + 150.0
    per_all = 1.0 / (x * square + 23400.0)
    saturation = p * square * per_all
    bend = 2.0 * x * p - p * (3.0 * x * x + 150.0) * square * per_all
    return saturation, saturation * (1.0 + bend / (square + 2.0 * x * y))


@in_kernel
def _co_pressure_mmhg(p: float, wanted: float) -> float:
    """The y that solves  y ((p + y)^2 + 150) = wanted. [mmHg]

    The left side rises and curves upward, so Newton's steps from a bound above the root come
    down to it: two for the little that healthy blood has, six for nearly all there can be.
    """
    slope = p * p + 150.0
    without_cube = 2.0 * wanted / (slope + sqrt(slope * slope + 8.0 * p * wanted))
    cube_alone = (wanted / 900.0 + 60.0) / 3.0  # a tangent to the cube root, which lies above it
    y = min(without_cube, cube_alone)
    for _ in range(6):
        square = (p + y) * (p + y) + 150.0
        step = (y * square - wanted) / (square + 2.0 * y * (p + y))
        y -= step
        if step <= 1e-7 * y:  # what is left is of the order of its square
            break
    return y


@in_kernel
def saturation_with_carboxyhaemoglobin_frac(
    po2_mmhg: float, ph: float, temperature_degc: float, cohb_frac: float
) -> float:
    """Saturation of the haemoglobin that carbon monoxide leaves. [1]

    Parameters
    ----------
    po2_mmhg : float
        Oxygen pressure; 0 and below give 0. [mmHg]
    ph : float
        pH of plasma. [1]
    temperature_degc : float
        Temperature of the blood. [°C]
    cohb_frac : float
        Share of haemoglobin that carries carbon monoxide; above 0.95 it counts as 0.95. [1]

    Returns
    -------
    float
        O2Hb / (O2Hb + HHb). Carbon monoxide makes what is left hold its oxygen tighter: at one
        PO2 this is more, while the oxygen carried is less.

    References
    ----------
    Douglas CG, Haldane JS, Haldane JBS. J Physiol 1912;44:275-304 (the relation; from memory), on
    the curve of Severinghaus 1979; the cubic is ours.
    """
    share = max(0.0, min(cohb_frac, 0.95))
    return _saturation_and_slope(_standard_po2_mmhg(po2_mmhg, ph, temperature_degc), share)[0]


@in_kernel
def oxygen_content_ml_dl(
    po2_mmhg: float, saturation_frac: float, haemoglobin_g_dl: float, dyshaemoglobin_frac: float
) -> float:
    """Oxygen in blood, bound and dissolved. [mL STPD per dL]

    Parameters
    ----------
    po2_mmhg : float
        Oxygen pressure. [mmHg]
    saturation_frac : float
        Saturation of the haemoglobin able to carry oxygen. [1]
    haemoglobin_g_dl : float
        All haemoglobin. [g/dL]
    dyshaemoglobin_frac : float
        Share that cannot: carboxy- and methaemoglobin together. [1]

    Notes
    -----
    1.34 mL/g is the customary capacity (1.31 to 1.39 in use); 0.0031 mL/dL/mmHg is 0.0105
    mmol/L/kPa.

    Examples
    --------
    >>> round(oxygen_content_ml_dl(95.0, 0.97, 15.0, 0.0), 1)
    19.8

    References
    ----------
    Capacity: West JB, Respiratory Physiology (from memory). Solubility: Siggaard-Andersen O et al.
    Clin Chem 1984;30:1646-1651.
    """
    carriers_g_dl = haemoglobin_g_dl * (1.0 - dyshaemoglobin_frac)
    return OXYGEN_CAPACITY_ML_G * carriers_g_dl * saturation_frac + OXYGEN_SOLUBILITY_ML_DL_MMHG * po2_mmhg


@in_kernel
def co2_solubility_mmol_l_mmhg(temperature_degc: float) -> float:
    """Solubility of carbon dioxide in plasma. [mmol/L/mmHg]

    Parameters
    ----------
    temperature_degc : float
        Temperature of the blood. [°C]

    References
    ----------
    Kelman GR. Respir Physiol 1967;3:111-115 (coefficients from memory).
    """
    cooler = BODY_DEGC - temperature_degc
    return 0.0307 + 0.00057 * cooler + 0.00002 * cooler * cooler


@in_kernel
def apparent_pk(ph: float, temperature_degc: float) -> float:
    """Apparent pK of carbonic acid in plasma. [1]

    Parameters
    ----------
    ph : float
        pH of plasma. [1]
    temperature_degc : float
        Temperature of the blood. [°C]

    References
    ----------
    Kelman GR. Respir Physiol 1967;3:111-115 (coefficients from memory).
    """
    acid = 7.4 - ph
    return 6.086 + 0.042 * acid + (38.0 - temperature_degc) * (0.00472 + 0.00139 * acid)


@in_kernel
def plasma_co2_content_ml_dl(pco2_mmhg: float, ph: float, temperature_degc: float) -> float:
    """Carbon dioxide in plasma. [mL STPD per dL]

    Parameters
    ----------
    pco2_mmhg : float
        Carbon dioxide pressure. [mmHg]
    ph : float
        pH of plasma. [1]
    temperature_degc : float
        Temperature of the blood. [°C]

    References
    ----------
    Douglas AR, Jones NL, Reed JW. J Appl Physiol 1988;65:473-477.
    """
    solubility = co2_solubility_mmol_l_mmhg(temperature_degc)
    return 2.226 * solubility * pco2_mmhg * (1.0 + exp(LN10 * (ph - apparent_pk(ph, temperature_degc))))


@in_kernel
def _co2_missing_from_cells_frac(ph: float, saturation_frac: float, haemoglobin_g_dl: float) -> float:
    """How much less carbon dioxide whole blood holds than its plasma. [1]

    The fit was made at rest and in exercise; it runs away near pH 8.14 and is held above 7.8.  Near
    that end it is steeper in pH than in saturation, so that at a PCO2 of 5 mmHg more oxygen, which
    lowers pH, adds a few hundredths of a mL/dL where Haldane's effect takes them away: the fit's
    fault, below any PCO2 of a patient.
    """
    room = 8.142 - min(ph, _HIGHEST_PH_IN_CELLS)
    return 0.0289 * haemoglobin_g_dl / ((3.352 - 0.456 * saturation_frac) * room)


@in_kernel
def co2_content_ml_dl(
    pco2_mmhg: float, ph: float, saturation_frac: float, haemoglobin_g_dl: float, temperature_degc: float
) -> float:
    """Carbon dioxide in whole blood. [mL STPD per dL]

    Parameters
    ----------
    pco2_mmhg : float
        Carbon dioxide pressure. [mmHg]
    ph : float
        pH of plasma. [1]
    saturation_frac : float
        Share of haemoglobin that is not deoxygenated. [1]
    haemoglobin_g_dl : float
        Haemoglobin, 0 to 25. [g/dL]
    temperature_degc : float
        Temperature of the blood. [°C]

    Notes
    -----
    Mean difference from measurement 0.02, SD 1.19 mL/dL in nine men at rest and in exercise (the
    authors' figure). The last term runs away near pH 8.14; above 7.8 it is held.

    Examples
    --------
    >>> round(co2_content_ml_dl(40.0, 7.40, 0.975, 15.0, 37.0), 1)
    46.7

    References
    ----------
    Douglas AR, Jones NL, Reed JW. J Appl Physiol 1988;65:473-477, eq. 6 (coefficients as several
    public transcriptions give them; the page itself was not seen).
    """
    missing = _co2_missing_from_cells_frac(ph, saturation_frac, haemoglobin_g_dl)
    return plasma_co2_content_ml_dl(pco2_mmhg, ph, temperature_degc) * (1.0 - missing)


@in_kernel
def _equilibrium(
    po2_mmhg: float,
    pco2_mmhg: float,
    haemoglobin_g_dl: float,
    base_excess_mmol_l: float,
    warmer_degc: float,
    active_frac: float,
    cohb_share: float,
) -> tuple[float, float, float, float, float, float, float]:
    """Saturation and acid-base state that agree with each other.

    pH moves the saturation (Bohr) and the saturation moves pH (Haldane).  Both are met in
    z = ln(10) (pH - 7.4) at 37 °C by two of Newton's steps from a close guess, which leave an
    error below 4e-7:  strong + given_off (1 - saturation) = z + v, v the bicarbonate over the
    buffering by z.

    Returns saturation, its slope by log(PO2) and by z, z, v, buffering by z, given_off.
    """
    per_z = buffer_mmol_l_per_ph(haemoglobin_g_dl) / LN10
    whole = plasma_share(haemoglobin_g_dl) * per_z
    given_off = 0.2 * haemoglobin_g_dl * active_frac / whole
    strong = base_excess_mmol_l / whole + NORMAL_BICARBONATE_MMOL_L / per_z

    ln_po2 = log(po2_mmhg)
    bohr = _bohr_ln_po2_per_ph(ln_po2)
    bohr_by_z = -bohr / LN10
    bohr_by_ln_po2 = 0.184 * (bohr + 2.2)
    standard = po2_mmhg
    stretch = 1.0
    if warmer_degc != 0.0:
        warmth = _warmth_ln_po2_per_degc(ln_po2)
        standard = po2_mmhg * exp(-warmth * warmer_degc)
        stretch = 1.0 + 3.88 * (warmth - 0.013) * (1.0 - (warmth - 0.013) / 0.058) * warmer_degc

    saturation = _saturation_and_slope(standard, cohb_share)[0]
    strength = strong + given_off * (1.0 - saturation)
    carbonic = log(BICARBONATE_PER_MMHG_AT_7_4 * pco2_mmhg / per_z) - _LN_PCO2_PER_DEGC * warmer_degc
    z = strength - near_omega(carbonic + strength)
    v = exp(z + carbonic)
    standard *= exp(bohr_by_z * z)
    for _ in range(2):
        saturation, slope = _saturation_and_slope(standard, cohb_share)
        lack = strong + given_off * (1.0 - saturation) - z - v
        step = lack / (1.0 + v + given_off * slope * bohr_by_z)
        z += step
        v *= exp_near_zero(step)
        standard *= exp_near_zero(bohr_by_z * step)

    saturation, slope = _saturation_and_slope(standard, cohb_share)
    by_po2 = slope * (stretch - bohr_by_ln_po2 * z / LN10)
    return saturation, by_po2, slope * bohr_by_z, z, v, per_z, given_off


@in_kernel
def contents_and_slopes(
    po2_mmhg: float,
    pco2_mmhg: float,
    haemoglobin_g_dl: float,
    base_excess_mmol_l: float,
    temperature_degc: float,
    cohb_frac: float,
    methb_frac: float,
) -> tuple[_Four, _Four, _Four]:
    """`blood_contents`, and the slopes of its four answers by log(PO2) and by log(PCO2).

    Parameters as for `blood_contents`. [mmHg, g/dL, mmol/L, °C, 1]

    Returns
    -------
    three tuples of four
        Oxygen content, carbon dioxide content [mL/dL], saturation [1] and pH [1]; then what each
        gains per unit of log(PO2), and per unit of log(PCO2).

    References
    ----------
    As for `blood_contents`; the slopes are its derivatives, with saturation and pH free to follow.
    """
    warmer = temperature_degc - BODY_DEGC
    active = max(1.0 - cohb_frac - methb_frac, 0.05)
    cohb_share = max(0.0, min(cohb_frac / max(1.0 - methb_frac, 0.05), 0.95))
    saturation, by_po2, by_z, z, v, per_z, given_off = _equilibrium(
        po2_mmhg, pco2_mmhg, haemoglobin_g_dl, base_excess_mmol_l, warmer, active, cohb_share
    )
    ph = NORMAL_PH + z / LN10 + _PH_PER_DEGC * warmer
    carriers = OXYGEN_CAPACITY_ML_G * haemoglobin_g_dl * active
    dissolved_o2 = OXYGEN_SOLUBILITY_ML_DL_MMHG * po2_mmhg

    # PCO2 10^(pH - pK), from the bicarbonate at 37 °C instead of from pH once more
    solubility = 2.226 * co2_solubility_mmol_l_mmhg(temperature_degc)
    moved = (_LOG10_PCO2_PER_DEGC + _PH_PER_DEGC) * warmer + PK - apparent_pk(ph, temperature_degc)
    combined = solubility / CO2_SOLUBILITY_MMOL_L_MMHG * (per_z * v) * exp_near_zero(LN10 * moved)
    oxygenated = 1.0 - active * (1.0 - saturation)
    missing = _co2_missing_from_cells_frac(ph, oxygenated, haemoglobin_g_dl)
    plasma = solubility * pco2_mmhg + combined
    co2 = plasma * (1.0 - missing)

    # Slopes: of z with the saturation free to follow, of the saturation, of the two contents
    give = 1.0 / (1.0 + v + given_off * by_z)
    z_by_po2 = -given_off * by_po2 * give
    z_by_pco2 = -v * give
    saturation_by_po2 = by_po2 + by_z * z_by_po2
    saturation_by_pco2 = by_z * z_by_pco2
    pk_by_z = 0.042 + 0.00139 * (38.0 - temperature_degc)
    co2_by_z = combined * (1.0 + pk_by_z) * (1.0 - missing)
    if ph < _HIGHEST_PH_IN_CELLS:
        co2_by_z -= plasma * missing / ((8.142 - ph) * LN10)
    co2_by_saturation = -plasma * missing * 0.456 * active / (3.352 - 0.456 * oxygenated)
    return (
        (carriers * saturation + dissolved_o2, co2, saturation, ph),
        (
            carriers * saturation_by_po2 + dissolved_o2,
            co2_by_z * z_by_po2 + co2_by_saturation * saturation_by_po2,
            saturation_by_po2,
            z_by_po2 / LN10,
        ),
        (
            carriers * saturation_by_pco2,
            co2 + co2_by_z * z_by_pco2 + co2_by_saturation * saturation_by_pco2,
            saturation_by_pco2,
            z_by_pco2 / LN10,
        ),
    )


@in_kernel
def blood_contents(
    po2_mmhg: float,
    pco2_mmhg: float,
    haemoglobin_g_dl: float,
    base_excess_mmol_l: float,
    temperature_degc: float,
    cohb_frac: float,
    methb_frac: float,
) -> tuple[float, float, float, float]:
    """Oxygen and carbon dioxide that blood holds in balance with two pressures.

    Parameters
    ----------
    po2_mmhg, pco2_mmhg : float
        Pressures at the temperature of the blood; below 0 they count as 0. [mmHg]
    haemoglobin_g_dl : float
        All haemoglobin, 0 to 25. [g/dL]
    base_excess_mmol_l : float
        Base excess of whole blood, -30 to 30. [mmol/L]
    temperature_degc : float
        Temperature of the blood, 25 to 42. [°C]
    cohb_frac, methb_frac : float
        Shares of haemoglobin bound by carbon monoxide, and oxidised. [1]

    Returns
    -------
    (o2_ml_dl, co2_ml_dl, saturation_frac, ph)
        Contents [mL STPD per dL]; O2Hb / (O2Hb + HHb) [1]; pH at the temperature of the blood [1].

    Notes
    -----
    Saturation and pH agree with each other within 4e-7. Away from 37 °C blood is cooled or warmed
    in thought without loss of gas: log10(PCO2) moves by 0.019 and pH by -0.0147 per degree. The
    left shift by methaemoglobin is left out.

    Examples
    --------
    >>> [round(x, 3) for x in blood_contents(95.0, 40.0, 15.0, 0.0, 37.0, 0.0, 0.0)]
    [19.871, 46.807, 0.974, 7.401]

    References
    ----------
    Severinghaus 1979, Lang and Zander 2002, Douglas 1988 as in the functions above. Temperature:
    Rosenthal TB. J Biol Chem 1948;173:25-30 (pH, from memory); Nunn JF et al. J Appl Physiol
    1965;20:23-26 (PCO2, abstract).
    """
    contents, _, _ = contents_and_slopes(
        max(po2_mmhg, 0.0),
        max(pco2_mmhg, 0.0),
        haemoglobin_g_dl,
        base_excess_mmol_l,
        temperature_degc,
        cohb_frac,
        methb_frac,
    )
    return contents


@in_kernel
def pressures_from_contents(
    o2_ml_dl: float,
    co2_ml_dl: float,
    haemoglobin_g_dl: float,
    base_excess_mmol_l: float,
    temperature_degc: float,
    cohb_frac: float,
    methb_frac: float,
    po2_guess_mmhg: float,
    pco2_guess_mmhg: float,
) -> tuple[float, float, float, float]:
    """The pressures at which blood holds two given contents: `blood_contents` turned round.

    Parameters
    ----------
    o2_ml_dl, co2_ml_dl : float
        Contents. [mL STPD per dL]
    haemoglobin_g_dl, base_excess_mmol_l, temperature_degc, cohb_frac, methb_frac : float
        As in `blood_contents`.
    po2_guess_mmhg, pco2_guess_mmhg : float
        Where to start: the last known pressures, or anything. [mmHg]

    Returns
    -------
    (po2_mmhg, pco2_mmhg, saturation_frac, ph)
        PO2 from 0.1 to 2500 and PCO2 from 1 to 300 mmHg. A content out of reach gives the nearer
        end of that range.

    Notes
    -----
    Newton's method in both pressures at once with bounded steps; contents are met within 1e-8
    mL/dL, from a near guess in two rounds. If twenty rounds do not suffice, each pressure
    is halved in on in turn.
    """
    po2 = min(max(po2_guess_mmhg, LOWEST_PO2_MMHG), HIGHEST_PO2_MMHG)
    pco2 = min(max(pco2_guess_mmhg, LOWEST_PCO2_MMHG), HIGHEST_PCO2_MMHG)
    for _ in range(20):
        now, by_po2, by_pco2 = contents_and_slopes(
            po2, pco2, haemoglobin_g_dl, base_excess_mmol_l, temperature_degc, cohb_frac, methb_frac
        )
        o2_lack, o2_by_po2, o2_by_pco2 = o2_ml_dl - now[0], by_po2[0], by_pco2[0]
        co2_lack, co2_by_po2, co2_by_pco2 = co2_ml_dl - now[1], by_po2[1], by_pco2[1]
        if (po2 <= LOWEST_PO2_MMHG and o2_lack < 0.0) or (po2 >= HIGHEST_PO2_MMHG and o2_lack > 0.0):
            o2_lack = 0.0
            o2_by_pco2 = 0.0
        if (pco2 <= LOWEST_PCO2_MMHG and co2_lack < 0.0) or (pco2 >= HIGHEST_PCO2_MMHG and co2_lack > 0.0):
            co2_lack = 0.0
            co2_by_po2 = 0.0
        per_all = 1.0 / (o2_by_po2 * co2_by_pco2 - o2_by_pco2 * co2_by_po2)
        o2_step = (o2_lack * co2_by_pco2 - co2_lack * o2_by_pco2) * per_all
        co2_step = (co2_lack * o2_by_po2 - o2_lack * co2_by_po2) * per_all
        near = -2e-5 <= o2_step <= 2e-5 and -2e-5 <= co2_step <= 2e-5
        o2_step = min(max(o2_step, -0.67), 2.0)
        co2_step = min(max(co2_step, -0.7), 0.7)
        po2 *= 1.0 + o2_step
        pco2 *= 1.0 + co2_step * (1.0 + 0.5 * co2_step)
        po2 = min(max(po2, LOWEST_PO2_MMHG), HIGHEST_PO2_MMHG)
        pco2 = min(max(pco2, LOWEST_PCO2_MMHG), HIGHEST_PCO2_MMHG)
        if near:  # what is left after this step is of the order of its square
            saturation = now[2] + o2_step * by_po2[2] + co2_step * by_pco2[2]
            return po2, pco2, saturation, now[3] + o2_step * by_po2[3] + co2_step * by_pco2[3]
    return _pressures_by_halving(
        o2_ml_dl,
        co2_ml_dl,
        haemoglobin_g_dl,
        base_excess_mmol_l,
        temperature_degc,
        cohb_frac,
        methb_frac,
        pco2,
    )


@in_kernel
def _pressures_by_halving(
    o2_ml_dl: float,
    co2_ml_dl: float,
    haemoglobin_g_dl: float,
    base_excess_mmol_l: float,
    temperature_degc: float,
    cohb_frac: float,
    methb_frac: float,
    pco2_mmhg: float,
) -> tuple[float, float, float, float]:
    """Each pressure in turn, the other held; each turn leaves a fifteenth of the error."""
    po2 = LOWEST_PO2_MMHG
    pco2 = pco2_mmhg
    saturation = 0.0
    ph = NORMAL_PH
    for _ in range(10):
        low = LOWEST_PO2_MMHG
        high = HIGHEST_PO2_MMHG
        for _ in range(48):
            po2 = 0.5 * (low + high)
            o2, co2, saturation, ph = blood_contents(
                po2, pco2, haemoglobin_g_dl, base_excess_mmol_l, temperature_degc, cohb_frac, methb_frac
            )
            if o2 < o2_ml_dl:
                low = po2
            else:
                high = po2
        low = LOWEST_PCO2_MMHG
        high = HIGHEST_PCO2_MMHG
        for _ in range(48):
            pco2 = 0.5 * (low + high)
            o2, co2, saturation, ph = blood_contents(
                po2, pco2, haemoglobin_g_dl, base_excess_mmol_l, temperature_degc, cohb_frac, methb_frac
            )
            if co2 < co2_ml_dl:
                low = pco2
            else:
                high = pco2
    return po2, pco2, saturation, ph
