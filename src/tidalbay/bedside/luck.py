"""The luck of whoever measures at the bedside, the same whenever the same second is asked again."""

from typing import Final

from tidalbay.science.chance import COUNTED_RATE_STREAM, normal, uniform

# Substeps of the stream that is keyed by the second at which somebody measures. Never used twice.
BREATHS_WATCH: Final = 0
BREATHS_SLIP: Final = 1
PULSE_WATCH: Final = 2
PULSE_SLIP: Final = 3
CUFF_SYSTOLIC: Final = 4
CUFF_DIASTOLIC: Final = 5
THERMOMETER: Final = 6
_PER_PERSON: Final = 16


def spread(seed: int, at_s: float, substep: int, who: int = 0) -> float:
    """A normal draw, kept within 2.5 either way. [1]

    Parameters
    ----------
    seed : int
        Key of the attempt's chance.
    at_s : float
        The moment; its whole second counts. [s]
    substep, who : int
        Which draw, and whose: 0 for one person, 1 for a second beside them.
    """
    drawn = normal(seed, COUNTED_RATE_STREAM, int(at_s), substep + _PER_PERSON * who)
    return max(-2.5, min(2.5, drawn))


def slip(seed: int, at_s: float, substep: int, chance_frac: float, who: int = 0) -> int:
    """One less, none or one more: each way with this chance. [1]"""
    drawn = uniform(seed, COUNTED_RATE_STREAM, int(at_s), substep + _PER_PERSON * who)
    if drawn < chance_frac:
        return -1
    return 1 if drawn >= 1.0 - chance_frac else 0
