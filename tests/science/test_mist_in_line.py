"""Laws of mist that comes through tubing, with other gas, or past a tracheostomy."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.science.treatments import JET, QUIET

from tidalbay.science.aerosol import deposited_shares, inhaled_frac, nebulised_second, through_tubing
from tidalbay.science.nebuliser_cup import Cup, filled

MEDIAN, SPREAD, PASSES = st.floats(0.5, 12), st.floats(1.2, 2.6), st.floats(0.3, 12)


def placed(**way):
    return nebulised_second(filled(Cup(), 4.0, 5.0), JET, QUIET._replace(**way), 1.0, 8.0, 0.0, 300.0)


@settings(max_examples=60)
@given(MEDIAN, SPREAD, PASSES)
def test_what_comes_through_tubing_is_less_finer_and_more_alike(median, spread, passes):
    out = through_tubing(median, spread, passes)

    assert 0.0 < out.passes_frac < 1.0
    assert out.median_um < median
    assert 1.0 < out.spread < spread


@settings(max_examples=60)
@given(MEDIAN, SPREAD, PASSES)
def test_a_wider_gate_lets_more_and_larger_droplets_through(median, spread, passes):
    narrow, wide = through_tubing(median, spread, passes), through_tubing(median, spread, 1.5 * passes)

    assert wide.passes_frac > narrow.passes_frac
    assert wide.median_um > narrow.median_um


@settings(max_examples=30)
@given(st.floats(0.5, 12), PASSES)
def test_droplets_of_one_size_come_through_by_the_printed_form(size, passes):
    assert through_tubing(size, 1.0001, passes).passes_frac == pytest.approx(
        1.0 / (1.0 + (size / passes) ** 2), rel=1e-3
    )


def test_without_tubing_the_spray_is_as_it_was():
    assert through_tubing(3.75, 2.5, 0.0) == (1.0, 3.75, 2.5)


def test_through_a_tracheostomy_nothing_stays_in_nose_mouth_or_throat():
    by_neck, by_mouth = placed(past_throat=1.0).deposit, placed().deposit

    assert by_neck.throat == 0.0
    assert by_neck.airways + by_neck.alveoli > by_mouth.airways + by_mouth.alveoli
    assert sum(by_neck) == pytest.approx(sum(by_mouth))


def test_the_shares_of_a_neck_still_make_one():
    assert sum(deposited_shares(6.0, 2.5, 1.6, 500.0, 0.0, 1.0)) == pytest.approx(1.0, abs=1e-12)


def test_the_more_gas_carries_the_mist_the_less_of_it_a_breath_takes_in():
    shares = [inhaled_frac(JET, 8.0, QUIET._replace(carrier_lpm=flow)) for flow in (0, 10, 20, 30, 50, 60)]

    assert shares == sorted(shares, reverse=True)
    # A breath of 500 mL of 58 L/min, every 4.4 s: 500 / 967 s of mist.
    assert inhaled_frac(JET, 8.0, QUIET._replace(carrier_lpm=50.0, pause_s=0.0)) == pytest.approx(
        500 / (58e3 / 60) / 4.0, rel=1e-9
    )


def test_through_prongs_the_lungs_get_a_small_share_that_falls_with_the_flow():
    def lung_mg(flow):
        stays = placed(nose_frac=1.0, carrier_lpm=flow, passes_um=2.1 * (30 / (flow + 8)) ** 0.5).deposit
        return stays.airways + stays.alveoli

    doses = [lung_mg(flow) for flow in (10, 20, 40, 60)]

    assert doses == sorted(doses, reverse=True)
    assert doses[-1] < 0.3 * doses[0]
