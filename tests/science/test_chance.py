"""Chance that can be had again."""

import math

import pytest

from tidalbay.science import chance
from tidalbay.science.chance import (
    BREATH_DEPTH_STREAM,
    BREATH_RATE_STREAM,
    normal,
    normal_quantile,
    threefry,
    uniform,
)

# Known answers of Threefry-2x32, 20 rounds (key, counter, words), published with the authors' own
# implementation of Salmon, Moraes, Dror and Shaw, SC11, 2011; read in several public copies.
KNOWN_ANSWERS = [
    ((0x00000000, 0x00000000), (0x00000000, 0x00000000), (0x6B200159, 0x99BA4EFE)),
    ((0xFFFFFFFF, 0xFFFFFFFF), (0xFFFFFFFF, 0xFFFFFFFF), (0x1CB996FC, 0xBB002BE7)),
    ((0x13198A2E, 0x03707344), (0x243F6A88, 0x85A308D3), (0xC4923A9C, 0x483DF7A0)),
]


@pytest.mark.parametrize(("key", "counter", "words"), KNOWN_ANSWERS)
def test_generator_gives_the_published_known_answers(key, counter, words):
    assert threefry(*key, *counter) == words


def test_the_same_question_has_the_same_answer_and_any_other_has_another():
    here = (7, BREATH_DEPTH_STREAM, 12, 0)
    elsewhere = [
        (8, BREATH_DEPTH_STREAM, 12, 0),
        (7, BREATH_RATE_STREAM, 12, 0),
        (7, BREATH_DEPTH_STREAM, 13, 0),
        (7, BREATH_DEPTH_STREAM, 12, 1),
    ]

    again = uniform(*here)
    others = [uniform(*question) for question in elsewhere]

    assert uniform(*here) == again
    assert len({again, *others}) == 5


def test_every_stream_has_its_own_number():
    numbers = [value for name, value in vars(chance).items() if name.endswith("_STREAM")]

    assert len(numbers) == len(set(numbers))
    assert len(numbers) >= 2


def largest_gap_from_even(shares: list[float]) -> float:
    """Kolmogorov's distance of shares from the even distribution."""
    ordered = sorted(shares)
    n = len(ordered)
    return max(max((i + 1) / n - x, x - i / n) for i, x in enumerate(ordered))


# 1.95 / sqrt(n) is passed once in a thousand samples: Kolmogorov's limit law, textbook value.
def test_uniform_draws_are_even():
    draws = [uniform(3, 1, step, 0) for step in range(10_000)]

    assert largest_gap_from_even(draws) < 1.95 / math.sqrt(len(draws))
    assert min(draws) >= 0.0
    assert max(draws) < 1.0


def test_normal_draws_follow_the_normal_distribution():
    draws = [normal(3, 1, step, 0) for step in range(10_000)]

    shares = [0.5 * math.erfc(-x / math.sqrt(2)) for x in draws]

    assert largest_gap_from_even(shares) < 1.95 / math.sqrt(len(draws))


def test_neighbouring_steps_and_substeps_are_not_related():
    n = 10_000
    by_step = sum(normal(5, 1, i, 0) * normal(5, 1, i + 1, 0) for i in range(n)) / n
    by_substep = sum(normal(5, 1, i, 0) * normal(5, 1, i, 1) for i in range(n)) / n
    by_stream = sum(normal(5, 1, i, 0) * normal(5, 2, i, 0) for i in range(n)) / n

    assert max(abs(by_step), abs(by_substep), abs(by_stream)) < 3.3 / math.sqrt(n)


# Percentage points of the normal distribution: any statistical table.
@pytest.mark.parametrize(
    ("share", "point"),
    [(0.5, 0.0), (0.975, 1.959964), (0.995, 2.575829), (0.9995, 3.290527), (0.025, -1.959964)],
)
def test_normal_quantile_gives_the_tabulated_points(share, point):
    assert normal_quantile(share) == pytest.approx(point, abs=5e-7)


def test_normal_quantile_agrees_with_an_independent_implementation():
    special = pytest.importorskip("scipy.special")
    shares = [10.0**-k for k in range(1, 17)] + [i / 1000 for i in range(1, 1000)]

    worst = max(abs(normal_quantile(x) - special.ndtri(x)) for x in shares)

    assert worst < 1e-14


def test_normal_never_strays_beyond_what_one_draw_can_hold():
    smallest_share = 0.5 / 2**52

    assert -8.3 < normal_quantile(smallest_share) < -8.0
    assert normal_quantile(1.0 - 2.0**-53) < 8.3
