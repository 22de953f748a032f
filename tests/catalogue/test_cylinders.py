"""Contract of the cylinder sizes: names that cannot be mistaken, figures that hang together."""

import pytest

from tidalbay.catalogue.cylinders import cylinder_size, cylinder_sizes
from tidalbay.units import psi_from_kpa


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("E", "E"),
        ("e", "E"),
        ("US-E", "E"),
        ("uk-e", "UK-E"),
        ("H/K", "H"),
        ("K", "H"),
        ("CD", "CD"),
        ("J", "UK-J"),
    ],
)
def test_a_size_answers_to_the_names_people_use(name, expected):
    assert cylinder_size(name).id == expected


def test_no_name_means_two_sizes():
    names = [name.upper() for size in cylinder_sizes() for name in (size.id, *size.also)]

    assert len(names) == len(set(names))


def test_an_unknown_size_is_answered_with_the_list():
    with pytest.raises(ValueError) as refusal:
        cylinder_size("Q")

    assert str(refusal.value) == (
        "There is no cylinder size 'Q'; the sizes are "
        "D, E, G, H, M, UK-C, UK-D, UK-E, UK-F, UK-G, UK-J, CD, HX, ZX."
    )


@pytest.mark.parametrize("size", cylinder_sizes(), ids=lambda size: size.id)
def test_every_size_says_where_its_figures_come_from(size):
    assert len(size.source) > 20
    assert size.region in ("US", "UK")


WITH_FACTOR = [size for size in cylinder_sizes() if size.factor_l_per_psi]


@pytest.mark.parametrize("size", WITH_FACTOR, ids=lambda size: size.id)
def test_a_taught_factor_never_promises_more_than_a_full_cylinder_holds(size):
    by_factor_l = size.factor_l_per_psi * psi_from_kpa(size.nominal_pressure_kpa)

    assert by_factor_l <= 1.01 * size.nominal_content_l
