"""Exponential, logarithm, power and cosine made of + - * / alone.

The C library's own differ in the last digit between systems; these give the same digits
everywhere, compiled or not.  They never raise: beyond the range of a double the answer is the
nearest double, and not-a-number passes through.  The polynomials were fitted by us at Chebyshev
points with 60 digits; nothing here is taken from a library.
"""

from typing import Final

from tidalbay.science.jit import in_kernel

LN10: Final = 2.302585092994046
LARGEST: Final = 1.7976931348623157e308
SMALLEST_NORMAL: Final = 2.2250738585072014e-308

_PER_LN2: Final = 1.4426950408889634
_LN2_HIGH: Final = 0.6931471805598903  # 42 bits, so that a whole number times it is exact
_LN2_LOW: Final = 5.497923018708371e-14
_EXP_TOP: Final = 709.78
_EXP_BOTTOM: Final = -708.39
_LOG_BOTTOM: Final = -708.3964185322641  # log of the smallest normal double
_SQRT_HALF: Final = 0.7071067811865476
_TWO_32: Final = 4294967296.0
_PER_TWO_32: Final = 1.0 / 4294967296.0
_PER_TWO_31: Final = 1.0 / 2147483648.0


@in_kernel
def exp(x: float) -> float:
    """The exponential of x, within 1 unit in the last place. [1]

    Parameters
    ----------
    x : float
        Any number. [1]

    Notes
    -----
    0 below -708.39; the largest double above 709.78.

    Examples
    --------
    >>> exp(0.0), round(exp(1.0), 12)
    (1.0, 2.718281828459)
    """
    if not (_EXP_BOTTOM <= x <= _EXP_TOP):
        if x > _EXP_TOP:
            return LARGEST
        if x < _EXP_BOTTOM:
            return 0.0
        return x
    halves = x * _PER_LN2
    k = int(halves + 0.5) if halves >= 0.0 else int(halves - 0.5)
    r = (x - k * _LN2_HIGH) - k * _LN2_LOW
    r2 = r * r
    r4 = r2 * r2
    # (exp(r) - 1 - r) / r^2 for |r| <= ln(2)/2, within 3e-19; summed in pairs, which is faster
    q = (
        (0.5 + 0.1666666666666667 * r)
        + r2 * (0.04166666666666667 + 0.008333333333326136 * r)
        + r4
        * (
            (0.0013888888888883748 + 0.00019841269874820627 * r)
            + r2 * (2.4801587325547743e-05 + 2.7557255400206422e-06 * r)
            + r4 * ((2.75572736431103e-07 + 2.5105217004720745e-08 * r) + r2 * 2.0914686968086876e-09)
        )
    )
    y = 1.0 + (r + r2 * q)
    if -31 <= k <= 31:
        return y * _PER_TWO_31 * (1 << (k + 31))
    if k > 0:
        while k > 31:
            y *= 2147483648.0
            k -= 31
        return y * (1 << k)
    while k < -31:
        y *= _PER_TWO_31
        k += 31
    return y * (1 << (k + 31)) * _PER_TWO_31  # in this order nothing on the way falls below normal


@in_kernel
def exp_near_zero(x: float) -> float:
    """The exponential of a small number, faster. [1]

    Parameters
    ----------
    x : float
        Any number; beyond 0.1 it is left to `exp`. [1]

    Notes
    -----
    Seven terms of the series, within 2.2e-11 of itself: what is left out is at most |x|^7 / 7! below zero
    (the terms alternate and fall), 1.984e-11 at -0.1 over exp(-0.1) = 0.905, and less above zero; rounding
    adds some 1e-16.
    """
    if not (-0.1 <= x <= 0.1):
        return exp(x)
    x2 = x * x
    fourth = 0.041666666666666664 + 0.008333333333333333 * x + 0.001388888888888889 * x2
    return (1.0 + x) + x2 * ((0.5 + 0.16666666666666666 * x) + x2 * fourth)


@in_kernel
def log(x: float) -> float:
    """The natural logarithm of x, within 1 unit in the last place. [1]

    Parameters
    ----------
    x : float
        A positive number. [1]

    Notes
    -----
    -708.4 (the logarithm of the smallest normal double) for zero, negative and subnormal numbers.

    Examples
    --------
    >>> log(1.0), log(2.718281828459045)
    (0.0, 1.0)
    """
    if not (SMALLEST_NORMAL <= x <= LARGEST):
        if x < SMALLEST_NORMAL:
            return _LOG_BOTTOM
        if x > LARGEST:
            return _EXP_TOP
        return x
    k = 0
    while x < _PER_TWO_32:
        x *= _TWO_32
        k -= 32
    while x >= 3037000499.97605:
        x *= _PER_TWO_32
        k += 32
    if x < _SQRT_HALF:
        x *= _TWO_32
        k -= 32
    # Now from sqrt(1/2) up; halve the exponent's range five times to reach below sqrt(2).
    if x >= 46340.95001184158:
        x *= 1.0 / 65536.0
        k += 16
    if x >= 181.01933598375618:
        x *= 1.0 / 256.0
        k += 8
    if x >= 11.313708498984761:
        x *= 0.0625
        k += 4
    if x >= 2.8284271247461903:
        x *= 0.25
        k += 2
    if x >= 1.4142135623730951:
        x *= 0.5
        k += 1
    f = x - 1.0
    s = f / (2.0 + f)
    z = s * s
    z2 = z * z
    # log(1+f) = 2 atanh(s); 2 (atanh(s)/s - 1) for s^2 <= 0.0295, within 2e-19 of s
    low = (0.6666666666666666 + 0.4000000000000088 * z) + z2 * (0.28571428570803614 + 0.22222222391713917 * z)
    high = 0.18181795640132906 + 0.15386239702814658 * z
    high += z2 * (0.13268773138656886 + 0.13086626147840102 * z)
    tail = z * (low + z2 * z2 * high)
    half_square = 0.5 * f * f
    return k * _LN2_HIGH - ((half_square - (s * (half_square + tail) + k * _LN2_LOW)) - f)


@in_kernel
def power(base: float, exponent: float) -> float:
    """A positive base to any power. [1]

    Parameters
    ----------
    base : float
        A positive number; zero and below count as the smallest double. [1]
    exponent : float
        Any number. [1]

    Notes
    -----
    The relative error is about 1e-16 times |exponent * log(base)|, at least 2e-16.

    Examples
    --------
    >>> round(power(2.0, 0.5), 15)
    1.414213562373095
    """
    return exp(exponent * log(base))


@in_kernel
def cosine_of_half_turn(x: float) -> float:
    """cos(pi x) for x from 0 to 1: falls from 1 through 0 to -1. [1]

    Parameters
    ----------
    x : float
        Share of half a turn; outside 0 to 1 it counts as the nearer end. [1]

    Notes
    -----
    Within 3e-16; exact at 0, 1/2 and 1.

    Examples
    --------
    >>> cosine_of_half_turn(0.0), cosine_of_half_turn(0.5), cosine_of_half_turn(1.0)
    (1.0, 0.0, -1.0)
    """
    if x < 0.0:
        x = 0.0
    if x > 1.0:
        x = 1.0
    near = x if x <= 0.5 else 1.0 - x
    if near <= 0.25:
        u = near * near
        c = 0.0019295741241061913 + u * (-0.0001046345989636836 + u * 4.268505646755225e-06)
        c = -1.3352627688545888 + u * (0.23533063035880689 + u * (-0.025806891384587305 + u * c))
        y = 1.0 + u * (-4.934802200544679 + u * (4.0587121264167685 + u * c))
    else:
        v = 0.5 - near
        u = v * v
        c = -0.007370429884712669 + u * (0.00046628272951211076 + u * -2.1717401400090533e-05)
        c = 0.08214588658005621 + u * c
        c = 2.5501640398773415 + u * (-0.5992645293202978 + u * c)
        y = v * (3.141592653589793 + u * (-5.16771278004997 + u * c))
    return y if x <= 0.5 else -y
