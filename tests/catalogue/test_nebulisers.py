"""Contract of the nebulisers: every cup has all its figures, every figure its standing."""

import pytest

from tidalbay.catalogue.devices import SNUGNESS, device_kinds
from tidalbay.catalogue.nebulisers import nebuliser_kind, nebuliser_kinds, passes_um, reaches_lips_frac
from tidalbay.catalogue.yaml_rows import mapping
from tidalbay.science.nebuliser_cup import Jet, jet_from


@pytest.mark.parametrize("kind", nebuliser_kinds().values(), ids=lambda kind: kind.id)
def test_every_figure_of_a_cup_says_how_it_is_known(kind):
    assert all(figure.mark in ("source", "practice", "tuned", "assumed") for figure in kind.figures.values())
    assert all(len(figure.basis) > 5 for figure in kind.figures.values())


@pytest.mark.parametrize("kind", nebuliser_kinds().values(), ids=lambda kind: kind.id)
def test_a_row_is_enough_for_the_equations(kind):
    jet = jet_from(kind.numbers)

    assert set(Jet._fields) <= set(kind.figures)
    assert min(jet) > 0.0


@pytest.mark.parametrize("kind", nebuliser_kinds().values(), ids=lambda kind: kind.id)
def test_a_usual_fill_is_more_than_stays_behind_and_less_than_the_cup_holds(kind):
    stays_ml = kind.value("walls_hold_ml") + kind.value("out_of_reach_ml")

    assert stays_ml < kind.value("least_fill_ml") <= kind.value("usual_fill_ml") < kind.value("holds_ml")


def test_an_unknown_cup_is_answered_with_the_list():
    with pytest.raises(ValueError) as refusal:
        nebuliser_kind("kettle")

    assert str(refusal.value) == "There is no nebuliser 'kettle'; there are jet_cup, breath_enhanced_cup."


def test_every_device_that_brings_mist_is_a_device():
    assert set(mapping("nebulisers.yaml")["lips"]) <= set(device_kinds())


def test_a_mask_brings_more_the_better_it_fits():
    shares = [reaches_lips_frac("nebuliser_mask", snugness) for snugness in SNUGNESS.values()]

    assert shares == sorted(shares)
    assert reaches_lips_frac("nebuliser_mask", held_away=True) < shares[0]


def test_a_mouthpiece_brings_all_to_closed_lips_and_half_to_open_ones():
    assert reaches_lips_frac("nebuliser_mouthpiece") == 1.0
    assert reaches_lips_frac("nebuliser_mouthpiece", lips_sealed=False) == 0.5


def test_other_devices_bring_no_mist():
    assert reaches_lips_frac("nasal_cannula") == 0.0
    assert reaches_lips_frac("high_flow_nasal_cannula") == 0.0
    assert reaches_lips_frac("none") == 0.0


def test_a_mask_off_the_face_brings_what_was_measured():
    # Lin 2007, Respir Care 52:1021, infant model, share of dose at 0, 1 and 2 cm: 2.18, 1.45, 0.92 %.
    snug, loose = (reaches_lips_frac("nebuliser_mask", SNUGNESS[fit]) for fit in ("snug", "loose"))

    assert loose / snug == pytest.approx(1.45 / 2.18, abs=0.02)
    assert reaches_lips_frac("nebuliser_mask", held_away=True) / snug == pytest.approx(0.92 / 2.18, abs=0.02)


def test_quicker_gas_leaves_more_of_the_large_droplets_in_the_tubing():
    # Impaction goes with size squared times flow: four times the flow stops droplets of half the size.
    assert passes_um("nebuliser_in_line", 15.0) == pytest.approx(2.0 * passes_um("nebuliser_in_line", 60.0))
    assert passes_um("nebuliser_in_line", 30.0) == pytest.approx(2.1)
    assert passes_um("nebuliser_mouthpiece", 30.0) == 0.0


def test_a_t_piece_brings_more_than_a_tracheostomy_mask_does():
    # Piccuito & Hess 2005, Respir Care 50:1071-1076 (abstract read): direction.
    assert reaches_lips_frac("nebuliser_t_piece") > reaches_lips_frac("tracheostomy_mask", SNUGNESS["tight"])
