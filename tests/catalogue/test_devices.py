"""Contract of the devices: every kind of the trade has a row, and every figure its standing."""

import pytest

from tidalbay.catalogue.acts import acts
from tidalbay.catalogue.devices import (
    SNUGNESS,
    blocked_nostril,
    cup_endings,
    device_kind,
    device_kinds,
    probe_delays_s,
    prong_placements,
)

TRADE_NAMES = {
    "nasal_cannula",
    "child_nasal_cannula",
    "infant_nasal_cannula",
    "simple_mask",
    "child_simple_mask",
    "air_entrainment_mask",
    "partial_rebreathing_mask",
    "non_rebreathing_mask",
    "child_non_rebreathing_mask",
    "high_flow_nasal_cannula",
    "bag_valve_mask",
    "bag_valve_mask_without_reservoir",
    "tracheostomy_mask",
    "nebuliser_mask",
    "nebuliser_mouthpiece",
    "nebuliser_t_piece",
    "nebuliser_in_line",
}


def test_every_device_of_the_trade_has_a_row():
    assert set(device_kinds()) == TRADE_NAMES


@pytest.mark.parametrize("kind", device_kinds().values(), ids=lambda kind: kind.id)
def test_every_figure_of_a_device_says_how_it_is_known(kind):
    figures = list(kind.figures.values())
    for fit in (kind.seal_ml_s_cmh2o, kind.draught_ml_s):
        figures += [fit.loose, fit.snug, fit.tight] if fit else []

    assert figures
    assert all(figure.mark in ("source", "practice", "tuned", "assumed") for figure in figures)
    assert all(len(figure.basis) > 5 for figure in figures)


@pytest.mark.parametrize("kind", device_kinds().values(), ids=lambda kind: kind.id)
def test_a_device_has_the_parts_that_its_gas_goes_to(kind):
    assert kind.has_bag == (kind.gas_to == "bag")
    assert kind.is_mask == (kind.gas_to in ("mask", "bag"))
    assert bool(kind.joins) == (kind.gas_to == "tubing")
    assert (kind.value("nostril_gap_ml_s_cmh2o") > 0) == (kind.gas_to == "prongs")


MASKS = [kind for kind in device_kinds().values() if kind.has_edge]


@pytest.mark.parametrize("kind", MASKS, ids=lambda kind: kind.id)
def test_a_tighter_strap_never_leaves_more_open(kind):
    seals = [kind.seal_ml_s_cmh2o.value(step / 10) for step in range(11)]

    assert seals == sorted(seals, reverse=True)
    # A cushion held with two hands seals better than an elastic.
    expected = [300, 60, 5] if kind.id.startswith("bag_valve_mask") else [300, 100, 20]
    assert [kind.seal_ml_s_cmh2o.value(share) for share in SNUGNESS.values()] == expected


def test_a_part_that_a_device_lacks_has_the_figure_nought():
    assert device_kind("nasal_cannula").value("bag_volume_ml") == 0.0


def test_an_unknown_device_is_answered_with_the_list():
    with pytest.raises(ValueError) as refusal:
        device_kind("tent")

    assert str(refusal.value) == (
        "There is no device 'tent'; the devices are nasal_cannula, child_nasal_cannula, "
        "infant_nasal_cannula, high_flow_nasal_cannula, simple_mask, child_simple_mask, "
        "air_entrainment_mask, partial_rebreathing_mask, non_rebreathing_mask, "
        "child_non_rebreathing_mask, bag_valve_mask, "
        "bag_valve_mask_without_reservoir, "
        "tracheostomy_mask, nebuliser_mask, nebuliser_mouthpiece, nebuliser_t_piece, nebuliser_in_line."
    )


def test_a_cup_ends_in_one_device_for_each_word_of_the_act_that_fits_it():
    words = acts()["interface_fitted"].arguments["part"].choices

    assert list(cup_endings()) == list(words)
    assert all(kind.cup == word for word, kind in cup_endings().items())


def test_what_is_fitted_into_tubing_names_devices_that_have_some():
    assert device_kind("nebuliser_in_line").joins == ("high_flow_nasal_cannula", "tracheostomy_mask")
    assert not device_kind("nebuliser_t_piece").has_edge


def test_only_prongs_as_they_should_be_bring_all_their_gas_inside():
    inside = {where.id: where.inside_frac for where in prong_placements().values()}

    assert inside["down"] == 1.0
    assert all(share < 1.0 for name, share in inside.items() if name != "down")


def test_misplaced_prongs_are_marked_as_assumed_so_that_they_decide_nothing():
    marks = {where.mark for where in prong_placements().values() if where.id != "down"}

    assert marks | {blocked_nostril().mark} == {"assumed"}


def test_a_probe_on_the_ear_answers_before_one_on_the_finger_and_that_before_the_toe():
    # Direction: Young 1992, Anesth Analg 74:189-95; figures from memory.
    delays = probe_delays_s()

    assert delays["ear"] < delays["finger"] < delays["toe"]
