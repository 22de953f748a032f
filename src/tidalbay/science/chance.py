"""Chance that can be had again: every draw is a function of seed, stream, step and substep.

Nothing is kept between draws, so two replays that differ in one act share all their luck.  A
*stream* is one kind of luck and has a number in the table below; it is never used again for
anything else.  *Step* counts what the luck belongs to (the breath, the second, the patient), and
*substep* tells draws within one step apart.
"""

from math import sqrt
from typing import Final

from tidalbay.science.arithmetic import log
from tidalbay.science.jit import in_kernel

# The table of streams.
BREATH_DEPTH_STREAM: Final = 1  # by breath
BREATH_RATE_STREAM: Final = 2  # by breath
SIGH_STREAM: Final = 3  # by breath
OXIMETER_STREAM: Final = 4  # by second
MOTION_STREAM: Final = 5  # by second
COUNTED_RATE_STREAM: Final = 6  # by second at which somebody counts
BLOOD_GAS_STREAM: Final = 7  # by second at which blood was drawn
EXPIRED_GAS_STREAM: Final = 8  # by second
FLOWMETER_STREAM: Final = 9  # by the number of the flowmeter
PATIENT_STREAM: Final = 10  # by the number of the patient drawn
LEARNER_STREAM: Final = 11  # by the number of the learner played

_WORD: Final = 0xFFFFFFFF
_PARITY: Final = 0x1BD11BDA  # from the Skein hash, by way of the paper


@in_kernel
def _four_rounds(x_0: int, x_1: int, turn_0: int, turn_1: int, turn_2: int, turn_3: int) -> tuple[int, int]:
    """Four rounds of add, turn left, exclusive or."""
    x_0 = (x_0 + x_1) & _WORD
    x_1 = (((x_1 << turn_0) | (x_1 >> (32 - turn_0))) & _WORD) ^ x_0
    x_0 = (x_0 + x_1) & _WORD
    x_1 = (((x_1 << turn_1) | (x_1 >> (32 - turn_1))) & _WORD) ^ x_0
    x_0 = (x_0 + x_1) & _WORD
    x_1 = (((x_1 << turn_2) | (x_1 >> (32 - turn_2))) & _WORD) ^ x_0
    x_0 = (x_0 + x_1) & _WORD
    x_1 = (((x_1 << turn_3) | (x_1 >> (32 - turn_3))) & _WORD) ^ x_0
    return x_0, x_1


@in_kernel
def threefry(key_0: int, key_1: int, counter_0: int, counter_1: int) -> tuple[int, int]:
    """Two random 32-bit words for a key and a counter: Threefry-2x32 with 20 rounds. [1]

    Parameters
    ----------
    key_0, key_1, counter_0, counter_1 : int
        Whole numbers; their lower 32 bits are used. [1]

    Examples
    --------
    >>> ["%08x" % word for word in threefry(0, 0, 0, 0)]
    ['6b200159', '99ba4efe']

    References
    ----------
    Salmon JK, Moraes MA, Dror RO, Shaw DE. Parallel random numbers: as easy as 1, 2, 3. Proc SC11,
    2011. doi:10.1145/2063384.2063405
    """
    k_0 = int(key_0) & _WORD
    k_1 = int(key_1) & _WORD
    k_2 = k_0 ^ k_1 ^ _PARITY
    x_0 = (int(counter_0) + k_0) & _WORD
    x_1 = (int(counter_1) + k_1) & _WORD
    x_0, x_1 = _four_rounds(x_0, x_1, 13, 15, 26, 6)
    x_0 = (x_0 + k_1) & _WORD
    x_1 = (x_1 + k_2 + 1) & _WORD
    x_0, x_1 = _four_rounds(x_0, x_1, 17, 29, 16, 24)
    x_0 = (x_0 + k_2) & _WORD
    x_1 = (x_1 + k_0 + 2) & _WORD
    x_0, x_1 = _four_rounds(x_0, x_1, 13, 15, 26, 6)
    x_0 = (x_0 + k_0) & _WORD
    x_1 = (x_1 + k_1 + 3) & _WORD
    x_0, x_1 = _four_rounds(x_0, x_1, 17, 29, 16, 24)
    x_0 = (x_0 + k_1) & _WORD
    x_1 = (x_1 + k_2 + 4) & _WORD
    x_0, x_1 = _four_rounds(x_0, x_1, 13, 15, 26, 6)
    return (x_0 + k_2) & _WORD, (x_1 + k_0 + 5) & _WORD


@in_kernel
def uniform(seed: int, stream: int, step: int, substep: int) -> float:
    """A number from 0 up to, but not including, 1, each of 2^53 equally likely. [1]

    Parameters
    ----------
    seed, stream, step, substep : int
        Whole numbers from 0 to 4294967295; the stream is one of the table above. [1]

    References
    ----------
    Words by `threefry` (Salmon et al. 2011); 53 bits of them, as is common practice, no source.
    """
    high, low = threefry(seed, stream, step, substep)
    return ((high >> 5) * 67108864 + (low >> 6)) * (1.0 / 9007199254740992.0)


@in_kernel
def normal(seed: int, stream: int, step: int, substep: int) -> float:
    """A number from the normal distribution of mean 0 and standard deviation 1. [1]

    Parameters
    ----------
    seed, stream, step, substep : int
        Whole numbers from 0 to 4294967295; the stream is one of the table above. [1]

    Notes
    -----
    One uniform number put through the inverse of the distribution, so nothing is drawn twice or
    thrown away. It never passes 8.3.

    References
    ----------
    Words by `threefry` (Salmon et al. 2011), the inverse by `normal_quantile` (Wichura 1988).
    """
    high, low = threefry(seed, stream, step, substep)
    middle = (high >> 6) * 67108864 + (low >> 6) + 0.5  # never 0, never 2^52
    return normal_quantile(middle * (1.0 / 4503599627370496.0))


@in_kernel
def normal_quantile(share: float) -> float:
    """What a share of normally distributed numbers lies below. [1]

    Parameters
    ----------
    share : float
        Between 0 and 1, neither included. [1]

    Notes
    -----
    Relative error about 1e-15 (the author's figure: about 1 part in 10^16).

    Examples
    --------
    >>> round(normal_quantile(0.975), 6)
    1.959964

    References
    ----------
    Wichura MJ. Algorithm AS 241. Appl Stat 1988;37:477-484 (PPND16).
    """
    q = share - 0.5
    if -0.425 <= q <= 0.425:
        r = 0.180625 - q * q
        top = 33430.575583588128105 + r * 2509.0809287301226727
        top = 13731.693765509461125 + r * (45921.953931549871457 + r * (67265.770927008700853 + r * top))
        top = 3.3871328727963666080 + r * (133.14166789178437745 + r * (1971.5909503065514427 + r * top))
        under = 28729.085735721942674 + r * 5226.4952788528545610
        under = 5394.1960214247511077 + r * (21213.794301586595867 + r * (39307.895800092710610 + r * under))
        under = 1.0 + r * (42.313330701600911252 + r * (687.18700749205790830 + r * under))
        return q * top / under
    tail = min(share, 1.0 - share)
    r = sqrt(-log(tail))
    if r <= 5.0:
        r -= 1.6
        top = 0.0227238449892691845833 + r * 0.000774545014278341407640
        top = 1.27045825245236838258 + r * (0.241780725177450611770 + r * top)
        top = 5.76949722146069140550 + r * (3.64784832476320460504 + r * top)
        top = 1.42343711074968357734 + r * (4.63033784615654529590 + r * top)
        under = 0.000547593808499534494600 + r * 0.00000000105075007164441684324
        under = 0.148103976427480074590 + r * (0.0151986665636164571966 + r * under)
        under = 1.67638483018380384940 + r * (0.689767334985100004550 + r * under)
        under = 1.0 + r * (2.05319162663775882187 + r * under)
    else:
        r -= 5.0
        top = 0.0000271155556874348757815 + r * 0.000000201033439929228813265
        top = 0.0265321895265761230930 + r * (0.00124266094738807843860 + r * top)
        top = 1.78482653991729133580 + r * (0.296560571828504891230 + r * top)
        top = 6.65790464350110377720 + r * (5.46378491116411436990 + r * top)
        under = 0.000000142151175831644588870 + r * 0.00000000000000204426310338993978564
        under = 0.000786869131145613259100 + r * (0.0000184631831751005468180 + r * under)
        under = 0.136929880922735805310 + r * (0.0148753612908506148525 + r * under)
        under = 1.0 + r * (0.599832206555887937690 + r * under)
    return top / under if q >= 0.0 else -(top / under)
