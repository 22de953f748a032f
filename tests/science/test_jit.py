"""The compiled twin of a kernel function gives the same bits, on thousands of points.

A few functions that call everything are compiled, because compiling is what takes the time; one
test makes sure that nothing marked in these modules is left out of them.
"""

import math
import random
import struct
from types import FunctionType

import pytest

from tidalbay.science import acid_base, arithmetic, blood, chance, gas, jit, oximetry
from tidalbay.science.acid_base import (
    base_excess_mmol_l,
    omega,
    ph_from_base_excess,
    standard_base_excess_mmol_l,
)
from tidalbay.science.arithmetic import cosine_of_half_turn, exp, exp_near_zero, log, power
from tidalbay.science.blood import (
    bohr_ln_po2_per_ph,
    co2_content_ml_dl,
    oxygen_content_ml_dl,
    oxygen_saturation_frac,
    pressures_from_contents,
    saturation_with_carboxyhaemoglobin_frac,
    warmth_ln_po2_per_degc,
)
from tidalbay.science.chance import normal, uniform
from tidalbay.science.gas import (
    alveolar_co2_mmhg,
    alveolar_oxygen_mmhg,
    mountain_pressure_mmhg,
    shunt_frac,
    standard_atmosphere_mmhg,
    water_vapour_mmhg,
)
from tidalbay.science.jit import compiled, in_kernel
from tidalbay.science.oximetry import displayed_pct, functional_reading_frac


@in_kernel
def all_arithmetic(x, y, share):
    return exp(x), exp_near_zero(share - 0.5), log(y), power(y, share), cosine_of_half_turn(share)


@in_kernel
def all_chance(seed, stream, step, substep):
    return uniform(seed, stream, step, substep), normal(seed, stream, step, substep)


@in_kernel
def all_gas_and_oximetry(fraction, pressure, paco2, height):
    seen = functional_reading_frac(fraction, 0.1, 0.01, 1.0 - fraction)
    return (
        alveolar_oxygen_mmhg(fraction, pressure, paco2, 0.8),
        alveolar_co2_mmhg(pressure, paco2),
        shunt_frac(20.0 + fraction, 19.0, 14.0),
        standard_atmosphere_mmhg(height),
        mountain_pressure_mmhg(height),
        water_vapour_mmhg(paco2),
        seen,
        displayed_pct(seen),
    )


@in_kernel
def all_acid_base_and_blood(po2, pco2, ph, haemoglobin, temperature, cohb):
    saturation = oxygen_saturation_frac(po2, ph, temperature)
    base_excess = base_excess_mmol_l(pco2, ph, haemoglobin, saturation)
    return (
        saturation,
        base_excess,
        standard_base_excess_mmol_l(pco2, ph),
        ph_from_base_excess(pco2, base_excess, haemoglobin, saturation),
        omega(pco2 - 50.0),
        bohr_ln_po2_per_ph(po2),
        warmth_ln_po2_per_degc(po2),
        saturation_with_carboxyhaemoglobin_frac(po2, ph, temperature, cohb),
        oxygen_content_ml_dl(po2, saturation, haemoglobin, cohb),
        co2_content_ml_dl(pco2, ph, saturation, haemoglobin, temperature),
    )


LUCK = random.Random(20)


def numbers(*ranges):
    return tuple(LUCK.uniform(low, high) for low, high in ranges)


def arithmetic_point():
    return LUCK.uniform(-800, 800), math.exp(LUCK.uniform(-720, 700)), LUCK.uniform(-0.1, 1.1)


def chance_point():
    return LUCK.getrandbits(32), LUCK.getrandbits(8), LUCK.getrandbits(32), LUCK.getrandbits(3)


def gas_point():
    return numbers((0.1, 1.0), (300, 800), (0, 100), (0, 9000))


def temperature():
    return LUCK.choice((37.0, LUCK.uniform(28, 42)))


def carbon_monoxide():
    return LUCK.choice((0.0, LUCK.uniform(0, 0.9)))


def blood_point():
    po2, pco2, ph, haemoglobin = numbers((-10, 700), (0, 250), (6.6, 8.0), (0, 25))
    return po2, pco2, ph, haemoglobin, temperature(), carbon_monoxide()


def contents_point():
    o2, co2, haemoglobin, base_excess = numbers((-1, 30), (-1, 120), (2, 24), (-25, 25))
    guesses = numbers((0, 2600), (0, 320))
    return o2, co2, haemoglobin, base_excess, temperature(), carbon_monoxide() * 0.7, 0.02, *guesses


def bits(values):
    return [struct.pack("<d", float(value)) for value in values]


ENTRANCES = [
    (all_arithmetic, arithmetic_point, 5000),
    (all_chance, chance_point, 3000),
    (all_gas_and_oximetry, gas_point, 3000),
    (all_acid_base_and_blood, blood_point, 3000),
    (pressures_from_contents, contents_point, 3000),
]


@pytest.mark.parametrize(("plain", "point", "count"), ENTRANCES, ids=[row[0].__name__ for row in ENTRANCES])
def test_compiled_and_plain_give_the_same_bits(plain, point, count):
    twin = compiled(plain, None)

    points = [point() for _ in range(count)]

    for arguments in points:
        assert bits(twin(*arguments)) == bits(plain(*arguments)), arguments


def called_by(function, seen):
    """The function and every marked function below it, by the rule the compiler's copy uses."""
    if function not in seen:
        seen.add(function)
        for name in function.__code__.co_names:
            called = function.__globals__.get(name)
            if isinstance(called, FunctionType) and called in jit._marked:
                called_by(called, seen)
    return seen


def test_no_marked_function_of_these_modules_is_left_out_above():
    modules = [module.__name__ for module in (acid_base, arithmetic, blood, chance, gas, oximetry)]
    marked = {function for function in jit._marked if function.__module__ in modules}

    reached = set()
    for plain, _, _ in ENTRANCES:
        called_by(plain, reached)

    assert {function.__qualname__ for function in marked - reached} == set()


def test_compiling_leaves_the_plain_function_as_it_was():
    before = (exp.__code__, exp.__globals__["log"])

    compiled(exp, None)

    assert (exp.__code__, exp.__globals__["log"]) == before
    assert isinstance(exp, FunctionType)
