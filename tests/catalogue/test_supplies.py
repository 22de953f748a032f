"""Contract of outlets, regulators and flowmeters."""

import pytest

from tidalbay.catalogue.cylinders import cylinder_sizes
from tidalbay.catalogue.figure import figure_from_row, figures_from_rows
from tidalbay.catalogue.supplies import (
    concentrator_kinds,
    flowmeter_kinds,
    outlet_kinds,
    passages,
    regulator_kind,
    regulator_kinds,
)


def every_part():
    return [
        *outlet_kinds().values(),
        *regulator_kinds().values(),
        *concentrator_kinds().values(),
        *flowmeter_kinds().values(),
        *passages().values(),
    ]


@pytest.mark.parametrize("part", every_part(), ids=lambda part: part.id)
def test_every_figure_says_how_it_is_known(part):
    for figure in part.figures.values():
        assert figure.mark in ("source", "practice", "tuned", "assumed")
        assert len(figure.basis) > 5


@pytest.mark.parametrize("regulator", regulator_kinds().values(), ids=lambda regulator: regulator.id)
def test_a_regulator_names_a_flowmeter_and_sizes_of_cylinder_that_exist(regulator):
    assert regulator.flowmeter in flowmeter_kinds()
    assert set(regulator.built_into) <= {size.id for size in cylinder_sizes()}


def test_the_regulator_that_is_fitted_is_built_into_nothing():
    assert not regulator_kind().built_into


@pytest.mark.parametrize("machine", concentrator_kinds().values(), ids=lambda machine: machine.id)
def test_a_concentrator_names_a_flowmeter_that_exists_and_its_row_is_whole(machine):
    assert machine.flowmeter in flowmeter_kinds()
    assert machine.gas == "oxygen"
    assert machine.value("capacity_lpm") > machine.value("max_lpm")
    assert set(machine.figures) == set(concentrator_kinds()["concentrator"].figures)


def test_each_gas_has_one_outlet():
    assert sorted(outlet.gas for outlet in outlet_kinds().values()) == ["air", "oxygen"]


def test_a_figure_without_its_standing_is_refused():
    with pytest.raises(ValueError) as refusal:
        figure_from_row({"is": 3, "basis": "a guess"}, "supplies.yaml, tap.flow")

    assert str(refusal.value) == (
        "supplies.yaml, tap.flow: mark is None; write one of source, practice, tuned, assumed."
    )


def test_a_figure_without_a_basis_is_refused():
    with pytest.raises(ValueError) as refusal:
        figure_from_row({"is": 3, "mark": "assumed"}, "supplies.yaml, tap.flow")

    assert str(refusal.value) == (
        "supplies.yaml, tap.flow: says nothing in basis; write where the figure comes from."
    )


@pytest.mark.parametrize("value", [None, "3", True])
def test_a_figure_that_is_no_number_is_refused(value):
    with pytest.raises(ValueError) as refusal:
        figure_from_row({"is": value, "mark": "assumed", "basis": "a guess"}, "supplies.yaml, tap.flow")

    assert str(refusal.value) == f"supplies.yaml, tap.flow: is {value!r}; write a number after 'is:'."


def test_a_figure_that_nothing_reads_is_refused():
    with pytest.raises(ValueError) as refusal:
        figures_from_rows({"colour": {}}, frozenset({"max_lpm"}), "supplies.yaml, tap")

    assert str(refusal.value) == (
        "supplies.yaml, tap: has a figure colour, which nothing reads; write one of max_lpm."
    )
