"""Contract of outlets, regulators and flowmeters."""

import pytest

from tidalbay.catalogue.figure import figure_from_row, figures_from_rows
from tidalbay.catalogue.supplies import (
    concentrator_kinds,
    flowmeter_kinds,
    outlet_kinds,
    passages,
    regulator_kind,
)


def every_part():
    return [
        *outlet_kinds().values(),
        regulator_kind(),
        *concentrator_kinds().values(),
        *flowmeter_kinds().values(),
        *passages().values(),
    ]


@pytest.mark.parametrize("part", every_part(), ids=lambda part: part.id)
def test_every_figure_says_how_it_is_known(part):
    for figure in part.figures.values():
        assert figure.mark in ("source", "practice", "tuned", "assumed")
        assert len(figure.basis) > 5


def test_the_regulator_names_a_flowmeter_that_exists():
    assert regulator_kind().flowmeter in flowmeter_kinds()


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
