"""Blood flow: stirred pools in series, the lung's vasoconstriction, the heart's answer."""

from tidalbay.science.arithmetic import exp
from tidalbay.science.jit import in_kernel


@in_kernel
def stirred(content: float, volume_ml: float, inflow_ml: float, inflow_content: float) -> float:
    """Content of a stirred pool after an inflow, the same volume having left it.

    Parameters
    ----------
    content, inflow_content : float, amount per mL of blood. [mL/mL]
    volume_ml, inflow_ml : float. [mL]

    Returns
    -------
    float, between the two contents. [mL/mL]

    Notes
    -----
    Implicit in time: what leaves has the new content, so any step is stable and
    volume * change = inflow * (inflow_content - new content) closes to rounding.

    References
    ----------
    A stirred tank, one implicit step: Levenspiel O. Chemical Reaction Engineering, 3rd ed., 1999,
    ch. 11 (from memory).
    """
    return (volume_ml * content + inflow_ml * inflow_content) / (volume_ml + inflow_ml)


@in_kernel
def vasoconstriction_weight(po2_mmhg: float, strength: float) -> float:
    """Share of its blood flow that a lung unit keeps at the oxygen its vessels see.

    Parameters
    ----------
    po2_mmhg : float, 0.85 alveolar and 0.15 mixed venous. [mmHg]
    strength : float, 0 (none) to about 16; 2 in health. [1]

    Returns
    -------
    float, 1 at high oxygen. [1]

    Notes
    -----
    1 / (1 + m / (1 + (P/50)^3)).  Assumed form; it saturates near m = 8, and shares that it
    produces in oxygen-induced hypercapnia are checked against Robinson 2000.
    """
    x = po2_mmhg * (1.0 / 50.0)
    return 1.0 / (1.0 + strength / (1.0 + x * x * x))


@in_kernel
def heart_rate_per_min(
    resting_per_min: float,
    saturation_frac: float,
    paco2_excess_mmhg: float,
    temperature_degc: float,
    pain: float,
) -> float:
    """Heart rate answering to low oxygen, carbon dioxide, fever and pain.

    Parameters
    ----------
    resting_per_min : float, the patient's own, well and at rest. [1/min]
    saturation_frac : float, arterial. [1]
    paco2_excess_mmhg : float, above the patient's habit. [mmHg]
    temperature_degc : float. [°C]
    pain : float, 0 to 10 as the patient says. [1]

    Returns
    -------
    float. [1/min]

    References
    ----------
    About 1 beat for each point of saturation below 97 (Slutsky & Rebuck 1978, Am J Physiol
    234:H129, from memory); 8.5 beats per °C of fever (Karjalainen & Viitasalo 1986, Arch Intern
    Med 146:1169, from memory); carbon dioxide and pain terms: common practice, no source.
    """
    hypoxic = 100.0 * min(0.35, max(0.0, 0.97 - saturation_frac))
    hypercapnic = 0.35 * min(40.0, max(0.0, paco2_excess_mmhg))
    fever = 8.5 * max(0.0, temperature_degc - 37.0)
    return resting_per_min + 1.0 * hypoxic + hypercapnic + fever + 1.5 * pain


@in_kernel
def carboxyhaemoglobin_after(
    cohb_frac: float,
    oxyhaemoglobin_frac: float,
    capillary_po2_mmhg: float,
    alveolar_l_min: float,
    inspired_co_mmhg: float,
    haemoglobin_g_dl: float,
    blood_ml: float,
    dry_mmhg: float,
    dt_s: float,
) -> float:
    """Carboxyhaemoglobin after a stretch of breathing, washed out against oxygen. [1]

    Parameters
    ----------
    cohb_frac, oxyhaemoglobin_frac : float
        Shares of all haemoglobin. [1]
    capillary_po2_mmhg, inspired_co_mmhg : float
        Mean oxygen pressure of lung capillaries; carbon monoxide breathed in. [mmHg]
    alveolar_l_min : float
        Alveolar ventilation. [L/min BTPS]
    haemoglobin_g_dl, blood_ml, dry_mmhg, dt_s : float
        [g/dL], [mL], barometric less water [mmHg], [s]

    Notes
    -----
    Linear in COHb over the step (oxyhaemoglobin held), solved exactly.  Diffusing capacity 30
    mL/min/mmHg, affinity 218, endogenous production 0.007 mL/min; a fifth more than the blood
    holds carbon monoxide outside it (tuned between half-lives of 320 min on air and 74 (SD 25) on
    oxygen, Weaver 2000, Chest 117:801).

    References
    ----------
    Coburn RF, Forster RE, Kane PB. J Clin Invest 1965;44:1899-910; Peterson JE, Stewart RD. Arch
    Environ Health 1970;21:165-71 (constants from memory).
    """
    held_ml = 1.34 * 0.01 * haemoglobin_g_dl * blood_ml * 1.18
    barrier = 1.0 / 30.0 + dry_mmhg / max(100.0, 1000.0 * 0.826 * alveolar_l_min)
    rate_per_min = capillary_po2_mmhg / (218.0 * max(0.05, oxyhaemoglobin_frac) * barrier * held_ml)
    gained_per_min = (0.007 + inspired_co_mmhg / barrier) / held_ml
    settled = gained_per_min / rate_per_min
    return settled + (cohb_frac - settled) * exp(-rate_per_min * dt_s / 60.0)
