"""Consciousness as far as breathing decides it: narcosis, lack of oxygen, sedation, exhaustion.

Thresholds here are assumed unless a source is named: signs differ between persons, and no verdict
rests on them alone.
"""

from tidalbay.science.jit import in_kernel


@in_kernel
def _between(value: float, low: float, high: float) -> float:
    """How far a value has come from low to high, 0 to 1."""
    return min(1.0, max(0.0, (value - low) / (high - low)))


@in_kernel
def alertness_target_frac(
    paco2_excess_mmhg: float, saturation_frac: float, sedation_frac: float, fatigue_frac: float
) -> float:
    """Alertness towards which a patient drifts: 1 awake, below 0.8 drowsy, below 0.25 unrousable.

    Parameters
    ----------
    paco2_excess_mmhg : float, above the patient's habit. [mmHg]
    saturation_frac : float, of blood that reaches the brain, carbon monoxide counted. [1]
    sedation_frac, fatigue_frac : float, 0 to 1. [1]

    Returns
    -------
    float, 0 to 1. [1]

    References
    ----------
    Narcosis sets in some 20-30 mmHg above habit and deepens to coma (textbooks, from memory);
    forms assumed.
    """
    narcosis = _between(paco2_excess_mmhg, 8.0, 50.0)
    anoxia = 1.0 - _between(saturation_frac, 0.45, 0.70)
    return (1.0 - narcosis) * (1.0 - anoxia) * (1.0 - sedation_frac) * (1.0 - 0.4 * fatigue_frac)


@in_kernel
def confusion_target_frac(
    paco2_excess_mmhg: float, saturation_frac: float, fatigue_frac: float, age_years: float
) -> float:
    """Confusion towards which a patient drifts: above 0.5 new confusion is found on asking.

    Parameters
    ----------
    paco2_excess_mmhg, saturation_frac, fatigue_frac : see `alertness_target_frac`.
    age_years : float
        The old are confused sooner. [years]

    Returns
    -------
    float, 0 to 1. [1]

    References
    ----------
    Restlessness and confusion come before drowsiness in hypoxia (common practice, no source).
    """
    frailty = 0.03 * _between(age_years, 60.0, 85.0)
    hypoxia = 1.0 - _between(saturation_frac, 0.72 + frailty, 0.86 + frailty)
    return min(1.0, hypoxia + 0.5 * _between(paco2_excess_mmhg, 8.0, 30.0) + 0.3 * fatigue_frac)


@in_kernel
def brain_saturation_frac(saturation_frac: float, cohb_frac: float) -> float:
    """Saturation that stands for the brain's oxygen when carbon monoxide holds part of the blood.

    Parameters
    ----------
    saturation_frac : float, of haemoglobin able to carry oxygen. [1]
    cohb_frac : float. [1]

    Notes
    -----
    Half of COHb counts: flow rises to make up for the rest (assumed).
    """
    return saturation_frac * (1.0 - 0.5 * cohb_frac)
