"""What an inhaled drug does once it has settled: airways, heart, hands, and the vessels of the lung.

Three chains of two stirred pools follow what settles: from airway to muscle, from blood to heart,
and the short stay at the vessels.  Inflow is held constant over a step and the pools are solved
exactly, so that steps may be cut anywhere.  One drug, one state; effects of several drugs are put
together here.
"""

from collections.abc import Mapping
from typing import Final, NamedTuple

from tidalbay.science.arithmetic import exp
from tidalbay.science.jit import in_kernel

LN2: Final = 0.6931471805599453  # arithmetic


class Action(NamedTuple):
    """What one drug does, as numbers; their sources stand in the rows of the catalogue."""

    half_effect_mg: float  # in the lung, for half of the widening it can give; 0: it widens nothing
    most_relief_frac: float  # of the narrowing that can be undone
    onset_s: float  # from airway to muscle
    airway_half_time_s: float  # stay in the airways
    most_heart_rate_per_min: float  # rise that no dose exceeds
    half_heart_rate_mg: float  # settled in the lung at once, for half of that rise
    heart_onset_s: float
    body_half_time_s: float
    swallowed_counts_frac: float  # of what was swallowed, as if settled in the lung
    most_release_frac: float  # of hypoxic vasoconstriction
    half_release_mg: float
    vessel_half_time_s: float


class Dosed(NamedTuple):
    """Where one drug is in the patient now. [mg]"""

    in_airways_mg: float = 0.0
    at_muscle_mg: float = 0.0
    in_blood_mg: float = 0.0
    at_heart_mg: float = 0.0
    at_vessels_mg: float = 0.0


def action_from(numbers: Mapping[str, float]) -> Action:
    """A drug's action from named numbers, as a row of the catalogue has them.

    Parameters
    ----------
    numbers : mapping of an `Action`'s fields to their values, units in the names. [mg, s, 1/min, 1]
        Other names may be among them.

    Notes
    -----
    By definition; each number's source stands in its row.
    """
    return Action(**{name: float(numbers[name]) for name in Action._fields})


@in_kernel
def passed_on(
    first_mg: float, second_mg: float, inflow_mg_s: float, stay_s: float, lag_s: float, dt_s: float
) -> tuple[float, float]:
    """Two pools in a row after a time: the first empties slowly, the second follows it. [mg]

    Parameters
    ----------
    first_mg, second_mg : float. [mg]
    inflow_mg_s : float, into the first, constant meanwhile. [mg/s]
    stay_s : float, time constant of the first. [s]
    lag_s : float, time constant with which the second follows. [s]
    dt_s : float, any length. [s]

    Notes
    -----
    The exact solution of x' = u - x / stay and y' = (x - y) / lag.  Equal time constants are moved
    apart by a millionth.  By definition of the two pools.
    """
    if lag_s == stay_s:
        lag_s *= 1.000001
    settled = inflow_mg_s * stay_s
    above = first_mg - settled
    slow = exp(-dt_s / stay_s)
    quick = exp(-dt_s / lag_s)
    along = above * stay_s / (stay_s - lag_s)
    second = settled + along * slow + (second_mg - settled - along) * quick
    return settled + above * slow, second


@in_kernel
def dosed_after(dosed: Dosed, action: Action, lung_mg: float, swallowed_mg: float, dt_s: float) -> Dosed:
    """Where the drug is after a time in which some more of it settled evenly. [mg]

    Parameters
    ----------
    dosed : Dosed
    action : Action
    lung_mg : float, settled in airways and alveoli during this time. [mg]
    swallowed_mg : float, settled in nose, mouth and throat during this time. [mg]
    dt_s : float, more than 0. [s]

    Notes
    -----
    Pools assumed; their time constants are the drug's.  What is swallowed reaches the blood at
    once, which is too early by some minutes.
    """
    lung_mg_s = lung_mg / dt_s
    airways, muscle = passed_on(
        dosed.in_airways_mg,
        dosed.at_muscle_mg,
        lung_mg_s,
        action.airway_half_time_s / LN2,
        action.onset_s,
        dt_s,
    )
    blood, heart = passed_on(
        dosed.in_blood_mg,
        dosed.at_heart_mg,
        lung_mg_s + action.swallowed_counts_frac * swallowed_mg / dt_s,
        action.body_half_time_s / LN2,
        action.heart_onset_s,
        dt_s,
    )
    stay_s = action.vessel_half_time_s / LN2
    settled = lung_mg_s * stay_s
    vessels = settled + (dosed.at_vessels_mg - settled) * exp(-dt_s / stay_s)
    return Dosed(airways, muscle, blood, heart, vessels)


@in_kernel
def _share(amount_mg: float, half_mg: float) -> float:
    return amount_mg / (amount_mg + half_mg) if half_mg > 0.0 and amount_mg > 0.0 else 0.0


@in_kernel
def relief_frac(dosed: Dosed, action: Action) -> float:
    """Share of the narrowing that can be undone and that this drug has undone now. [1]

    Parameters
    ----------
    dosed : Dosed
    action : Action

    References
    ----------
    Rises with dose and levels off: Barnes & Pride 1983, Br J Clin Pharmacol 15:677; no plateau yet
    at 4 mg by inhaler in Lipworth 1988, Br J Clin Pharmacol 26:527.
    """
    return action.most_relief_frac * _share(dosed.at_muscle_mg, action.half_effect_mg)


@in_kernel
def joint_relief_frac(one_frac: float, other_frac: float) -> float:
    """Relief by two drugs that act in different ways. [1]

    Parameters
    ----------
    one_frac, other_frac : float, 0 to 1, of each alone. [1]

    Notes
    -----
    Each acts on what the other has left (assumed).  That both together widen more, and for longer,
    than either alone was found in 20 patients with chronic bronchitis: "Bronchodilator responses to
    nebulised ipratropium and salbutamol singly and in combination in chronic bronchitis", abstract
    read, year and journal not shown.
    """
    return 1.0 - (1.0 - one_frac) * (1.0 - other_frac)


@in_kernel
def narrowing_left_frac(relief: float, reversible_frac: float) -> float:
    """Narrowing that is left, as a share of what there was before treatment. [1]

    Parameters
    ----------
    relief : float, of all drugs together. [1]
    reversible_frac : float, share of this patient's narrowing that any bronchodilator could undo. [1]

    Notes
    -----
    By definition.  Multiply with it what the patient's airway resistance, emptying time and
    spread of ventilation over perfusion have above health.
    """
    return 1.0 - reversible_frac * min(1.0, max(0.0, relief))


@in_kernel
def narrowed(healthy: float, before: float, left_frac: float) -> float:
    """A number of the airways between what it was before treatment and what it is in health. [1]

    Parameters
    ----------
    healthy, before : float, in any one unit. [any]
    left_frac : float, from `narrowing_left_frac`. [1]

    Notes
    -----
    A straight line; assumed.
    """
    return healthy + (before - healthy) * left_frac


@in_kernel
def heart_rate_rise_per_min(dosed: Dosed, action: Action) -> float:
    """What this drug adds to the heart rate. [1/min]

    Parameters
    ----------
    dosed : Dosed
    action : Action

    References
    ----------
    Grows with dose: twelve patients with asthma on 1.5, 3 and 7.5 mg nebulised (abstract PMC471656,
    Thorax 1981); 14 (SE 5) a minute at 4 mg by inhaler in asthma, Lipworth 1988, Br J Clin Pharmacol 26:527.
    """
    return action.most_heart_rate_per_min * _share(dosed.at_heart_mg, action.half_heart_rate_mg)


@in_kernel
def tremor_frac(dosed: Dosed, action: Action) -> float:
    """How much the hands shake, from 0 to the most that any dose does. [1]

    Parameters
    ----------
    dosed : Dosed
    action : Action

    Notes
    -----
    Goes with the heart's answer (assumed): both rose with dose, and tremor power doubled at 2 mg by
    inhaler, in Lipworth 1988, Br J Clin Pharmacol 26:527.  A drug without the one has not the other.
    """
    if action.most_heart_rate_per_min <= 0.0:
        return 0.0
    return _share(dosed.at_heart_mg, action.half_heart_rate_mg)


@in_kernel
def vasoconstriction_release_frac(dosed: Dosed, action: Action) -> float:
    """Share of the lung's hypoxic vasoconstriction that the drug has undone for now. [1]

    Parameters
    ----------
    dosed : Dosed
    action : Action

    Notes
    -----
    Multiply the patient's vasoconstriction by one less this.  It is what lets saturation dip after
    the drug although the airways widen.  Studies disagree: a fall at 5 and 15 and none at 30
    minutes in 18 children (Chest 1984;86:868), 2 to 6 points in 7 of 27 attacks on air (Gleeson
    1988, Arch Dis Child 63:900), none in 28 adults (Douglas 1985, Thorax 40:180).  The mechanism is
    the usual explanation; size and time course are assumed, on the small side.
    """
    return action.most_release_frac * _share(dosed.at_vessels_mg, action.half_release_mg)
