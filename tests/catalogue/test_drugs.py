"""Contract of the drugs: figures with their standing, and every odd loading answered in words."""

import pytest

from tidalbay.catalogue.acts import acts
from tidalbay.catalogue.drugs import drugs, loading_fault, loading_remarks, mixtures, preparations
from tidalbay.science.inhaled_drug import Action, action_from

EMPTY = ((), 0.0, 10.0)


@pytest.mark.parametrize("row", [*drugs().values(), *preparations().values()], ids=lambda row: row.id)
def test_every_figure_of_a_drug_says_how_it_is_known(row):
    assert all(figure.mark in ("source", "practice", "tuned", "assumed") for figure in row.figures.values())
    assert all(len(figure.basis) > 5 for figure in row.figures.values())


@pytest.mark.parametrize("drug", drugs().values(), ids=lambda drug: drug.id)
def test_a_row_is_enough_for_the_equations(drug):
    action = action_from(drug.numbers)

    assert set(drug.figures) == set(Action._fields)
    assert min(action.onset_s, action.airway_half_time_s, action.heart_onset_s, action.body_half_time_s) > 0.0


def test_whatever_an_act_can_load_has_a_row():
    choices = acts()["drug_loaded"].arguments["drug"].choices

    assert set(choices) == set(preparations())


def test_a_mixed_vial_holds_both_drugs():
    assert preparations()["salbutamol_and_ipratropium"].parts_mg(2.5) == {
        "salbutamol": 2.5,
        "ipratropium": 0.5,
    }
    assert preparations()["saline"].parts_mg(0.0) == {}


@pytest.mark.parametrize(
    ("drug", "dose", "volume"),
    [
        ("salbutamol", 2.5, 2.5),
        ("salbutamol", 5, 4),
        ("salbutamol", 20, 4),
        ("ipratropium", 0.5, 2.5),
        ("salbutamol_and_ipratropium", 2.5, 2.5),
        ("budesonide", 1, 2),
        ("saline", 0, 3),
    ],
)
def test_what_hands_can_pour_is_poured(drug, dose, volume):
    assert loading_fault(drug, dose, volume, *EMPTY) is None


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (
            ("oxygen", 1, 1, *EMPTY),
            "drug is oxygen. Allowed: salbutamol, ipratropium, salbutamol_and_ipratropium, budesonide, "
            "saline.",
        ),
        (
            ("salbutamol", 5, 0, *EMPTY),
            "5 mg of salbutamol in no liquid: volume_ml is 0. Allowed: more than 0 mL.",
        ),
        (("saline", 0, 0, *EMPTY), "Nothing was poured: volume_ml is 0. Allowed: more than 0 mL."),
        (("saline", 1, 3, *EMPTY), "There is no drug in saline. Allowed: 0 mg."),
        (
            ("salbutamol", 0, 3, *EMPTY),
            "0 mg of salbutamol is no dose. Allowed: more than 0 mg. For no drug, write saline.",
        ),
        (
            ("salbutamol", 10, 1, *EMPTY),
            "10 mg of salbutamol do not fit into 1 mL; its strongest solution has 5 mg/mL. "
            "Allowed: 2 mL or more.",
        ),
        (
            ("saline", 0, 4, ("salbutamol",), 8.0, 10.0),
            "The cup holds 10 mL and 8 mL are in it already. Allowed: 0 to 2 mL.",
        ),
        (
            ("salbutamol", 5, 12, *EMPTY),
            "volume_ml is 12. Allowed: 0 to 10 mL. 10 is nearest.",
        ),
        (
            ("salbutamol", -1, 3, *EMPTY),
            "dose_mg is -1. Allowed: 0 to 100 mg. 0 is nearest.",
        ),
        (
            ("salbutamol", "5 mg", 3, *EMPTY),
            "dose_mg is 5 mg, not a number. Allowed: 0 to 100 mg. Leave the unit out; the name says it.",
        ),
        (
            ("salbutamol", float("nan"), 3, *EMPTY),
            "dose_mg is nan, not a finite number. Allowed: 0 to 100 mg.",
        ),
        (
            ("salbutamol", 5, 2, ("ipratropium", "budesonide"), 3.0, 10.0),
            "Budesonide, ipratropium and salbutamol are not known to go together in one cup. "
            "Allowed: ipratropium with salbutamol; budesonide with salbutamol; budesonide with ipratropium. "
            "Give one after the other, and ask a pharmacist.",
        ),
    ],
)
def test_what_hands_cannot_pour_is_refused_in_words(arguments, sentence):
    assert loading_fault(*arguments).sentence == sentence


@pytest.mark.parametrize("pair", mixtures(), ids=lambda pair: "+".join(sorted(pair)))
def test_listed_mixtures_may_share_a_cup_in_either_order(pair):
    one, other = sorted(pair)

    assert loading_fault(one, 0.5, 3, (other,), 2.0, 10.0) is None
    assert loading_fault(other, 0.5, 3, (one,), 2.0, 10.0) is None


def test_the_same_drug_again_is_no_mixture():
    assert loading_fault("salbutamol", 5, 3, ("salbutamol",), 1.0, 10.0) is None
    assert loading_fault("salbutamol_and_ipratropium", 2.5, 2.5, ("salbutamol",), 1.0, 10.0) is None


def test_an_overdose_is_allowed_and_remarked_upon():
    assert loading_fault("salbutamol", 20, 4, *EMPTY) is None
    assert loading_remarks("salbutamol", 20, 4, 0.0, 2.0) == (
        "20 mg of salbutamol is more than the usual 2.5 to 5 mg for an adult.",
    )


def test_too_little_drug_and_too_little_liquid_are_remarked_upon():
    assert loading_remarks("salbutamol", 1, 1, 0.0, 2.0) == (
        "1 mg of salbutamol is less than the usual 2.5 to 5 mg for an adult.",
        "With 1 mL in the cup most of the drug stays in it; 2 mL or more leave less behind.",
    )


def test_a_usual_loading_needs_no_remark():
    assert loading_remarks("salbutamol", 5, 4, 0.0, 2.0) == ()
    assert loading_remarks("saline", 0, 2, 1.0, 2.0) == ()
