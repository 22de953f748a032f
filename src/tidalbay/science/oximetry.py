"""What a two-wavelength pulse oximeter makes of the blood under it.

Delay, averaging and loss of signal belong to time and are not here.
"""

from typing import Final

from tidalbay.science.jit import in_kernel

# Red over infrared absorption R and the reading keep to the usual calibration line 1.10 - 0.25 R
# (common practice, no source), which R = 1 puts at 85 %.
_READING_AT_NO_RED: Final = 1.10
_READING_PER_RATIO: Final = 0.25
_RED_OF_OXYHAEMOGLOBIN: Final = 0.4
_RED_OF_DEOXYHAEMOGLOBIN: Final = 4.4
_METHAEMOGLOBIN_ABSORPTION: Final = 8.0  # in both colours; ours, see functional_reading_frac


@in_kernel
def functional_reading_frac(o2hb_frac: float, cohb_frac: float, methb_frac: float, hhb_frac: float) -> float:
    """The saturation a pulse oximeter with two colours shows, before delay and rounding. [1]

    Parameters
    ----------
    o2hb_frac, cohb_frac, methb_frac, hhb_frac : float
        Oxy-, carboxy-, met- and deoxyhaemoglobin as shares of all haemoglobin; any common scale
        will do. [1]

    Returns
    -------
    float
        From 0 to 1. Without methaemoglobin (O2Hb + COHb) / (O2Hb + COHb + HHb): carbon
        monoxide is read as oxygen. Methaemoglobin drags the reading toward 0.85 from either side.

    Notes
    -----
    Carboxyhaemoglobin absorbs like oxyhaemoglobin here; measured readings exceed the truth by
    about COHb, or somewhat less. How strongly methaemoglobin counts is set by us so that 10, 20 and
    35 % of it read about 93, 90 and 88 %; the plateau at 85 % is the published part. No haemoglobin
    reads 0.

    Examples
    --------
    >>> round(functional_reading_frac(0.68, 0.30, 0.0, 0.02), 3)
    0.98

    References
    ----------
    Carbon monoxide: Bozeman WP et al. Ann Emerg Med 1997;30:608-611; Vegfors M, Lennmarken C. Br J
    Anaesth 1991;66:625-626. Methaemoglobin: Barker SJ et al. Anesthesiology 1989;70:112-117 (from
    memory).
    """
    bright = o2hb_frac + cohb_frac
    grey = _METHAEMOGLOBIN_ABSORPTION * methb_frac
    infrared = bright + hhb_frac + grey
    if infrared <= 0.0:
        return 0.0
    red = _RED_OF_OXYHAEMOGLOBIN * bright + _RED_OF_DEOXYHAEMOGLOBIN * hhb_frac + grey
    return min(1.0, max(0.0, _READING_AT_NO_RED - _READING_PER_RATIO * (red / infrared)))


@in_kernel
def displayed_pct(reading_frac: float) -> float:
    """The whole number an oximeter shows. [%]

    Parameters
    ----------
    reading_frac : float
        Reading, as a share; beyond 0 to 1 it counts as the nearer end. [1]

    Notes
    -----
    Halves go up. No display shows more than 100 (common practice, no source).

    Examples
    --------
    >>> displayed_pct(0.955), displayed_pct(1.02)
    (96.0, 100.0)
    """
    return float(int(100.0 * min(1.0, max(0.0, reading_frac)) + 0.5))
