"""Laws of a nebulised treatment: drug and water are conserved, steps may be cut, orders make sense."""

import struct

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.science.treatments import BREATH_ENHANCED, JET, QUIET, run_cup, treated

from tidalbay.science.aerosol import (
    Breathing,
    caught_in_throat_frac,
    deposited_shares,
    droplet_spread,
    inhaled_frac,
    median_droplet_um,
    nebulised_second,
    share_below,
)
from tidalbay.science.jit import compiled
from tidalbay.science.nebuliser_cup import (
    MIST_ENDS,
    Cup,
    filled,
    jet_from,
    mist_frac,
    seconds_to_sputter,
    sprayed,
    tapped,
)

VOLUME = st.floats(0, 10)
CUPS = st.builds(Cup, VOLUME, st.floats(0, 0.5), st.floats(0, 20))
FLOW = st.floats(0, 15)
ANGLE = st.floats(0, 180)
TIME = st.floats(0, 3600)
BREATHS = st.builds(
    lambda time_in, time_out, pause, tidal, nose, talking, carrier, passes, neck: Breathing(
        time_in, time_out, pause * time_out, tidal, nose, talking, carrier, passes, neck
    ),
    st.floats(0.2, 4),
    st.floats(0.2, 8),
    st.floats(0, 1),
    st.floats(5, 2000),
    st.floats(0, 1),
    st.floats(0, 1),
    st.floats(0, 70),
    st.floats(0, 10),
    st.sampled_from([0.0, 1.0]),
)


@settings(max_examples=60)
@given(CUPS, BREATHS, st.floats(0, 1), FLOW, ANGLE, TIME)
def test_all_drug_is_somewhere(cup, breathing, reaches, flow, angle, time):
    mist = nebulised_second(cup, JET, breathing, reaches, flow, angle, time)

    assert mist.cup.drug_mg + sum(mist.deposit) + mist.lost_mg == pytest.approx(cup.drug_mg, abs=1e-12 * 20)
    assert min(mist.cup.drug_mg, *mist.deposit, mist.lost_mg) >= -1e-12


@settings(max_examples=60)
@given(CUPS, FLOW, ANGLE, TIME)
def test_all_water_is_somewhere(cup, flow, angle, time):
    spray = sprayed(cup, JET, flow, angle, time)

    after = spray.cup.volume_ml + spray.cup.on_walls_ml + spray.sprayed_ml + spray.vapour_ml
    assert after == pytest.approx(cup.volume_ml + cup.on_walls_ml, abs=1e-11)
    assert min(spray.cup.volume_ml, spray.cup.on_walls_ml, spray.sprayed_ml, spray.vapour_ml) >= 0.0


@settings(max_examples=60)
@given(CUPS, FLOW, st.floats(0, 59), TIME, st.floats(0, 1))
def test_time_may_be_cut_anywhere(cup, flow, angle, time, cut):
    whole = sprayed(cup, JET, flow, angle, time)

    first = sprayed(cup, JET, flow, angle, cut * time)
    second = sprayed(first.cup, JET, flow, angle, time - cut * time)

    assert second.cup == pytest.approx(whole.cup, abs=1e-10)
    assert first.sprayed_mg + second.sprayed_mg == pytest.approx(whole.sprayed_mg, abs=1e-10)


def test_a_treatment_by_seconds_is_a_treatment_in_one_step():
    cup, lung_mg = filled(Cup(), 4.0, 5.0), 0.0
    for _ in range(900):
        mist = nebulised_second(cup, JET, QUIET, 0.7, 8.0, 0.0, 1.0)
        cup, lung_mg = mist.cup, lung_mg + mist.deposit.airways + mist.deposit.alveoli

    whole = nebulised_second(filled(Cup(), 4.0, 5.0), JET, QUIET, 0.7, 8.0, 0.0, 900.0)

    assert cup == pytest.approx(whole.cup, abs=1e-10)
    assert lung_mg == pytest.approx(whole.deposit.airways + whole.deposit.alveoli, abs=1e-10)


@settings(max_examples=60)
@given(CUPS, FLOW, st.floats(0, 59))
def test_spitting_begins_when_it_was_foretold(cup, flow, angle):
    wait_s = seconds_to_sputter(cup, JET, flow, angle)
    if wait_s == 0.0:
        return

    before = sprayed(cup, JET, flow, angle, 0.99 * wait_s).cup
    after = sprayed(cup, JET, flow, angle, 1.01 * wait_s + 1.0).cup
    full = mist_frac(Cup(100.0), JET, flow, angle)

    assert mist_frac(before, JET, flow, angle) == full
    assert mist_frac(after, JET, flow, angle) < full


@given(CUPS)
def test_tapping_makes_and_loses_nothing(cup):
    after = tapped(cup, JET)

    assert after.volume_ml + after.on_walls_ml == pytest.approx(cup.volume_ml + cup.on_walls_ml, abs=1e-12)
    assert after.drug_mg == cup.drug_mg
    assert after.volume_ml >= cup.volume_ml


def test_tapping_brings_mist_back_to_a_cup_that_had_stopped():
    stopped = run_cup(4.0, 8.0).cup

    assert mist_frac(stopped, JET, 8.0, 0.0) < MIST_ENDS
    assert mist_frac(tapped(stopped, JET), JET, 8.0, 0.0) == 1.0


@pytest.mark.parametrize("angle", [60, 90, 180])
def test_no_mist_comes_from_a_cup_on_its_side(angle):
    cup = filled(Cup(), 5.0, 5.0)

    spray = sprayed(cup, JET, 8.0, angle, 600.0)

    assert mist_frac(cup, JET, 8.0, angle) == 0.0
    assert spray.cup == cup


def test_a_cup_set_upright_again_goes_on():
    tilted = sprayed(filled(Cup(), 3.0, 1.0), JET, 8.0, 45.0, 3600.0).cup

    assert mist_frac(tilted, JET, 8.0, 45.0) < MIST_ENDS
    assert mist_frac(tilted, JET, 8.0, 0.0) == 1.0


@pytest.mark.parametrize("flow", [0.0, 0.5, 1.0])
def test_a_trickle_of_gas_makes_no_mist(flow):
    cup = filled(Cup(), 4.0, 5.0)

    assert sprayed(cup, JET, flow, 0.0, 600.0).cup == cup


@settings(max_examples=40)
@given(st.floats(1.2, 8), FLOW, FLOW)
def test_more_flow_never_sprays_less_in_the_same_time(fill, one, other):
    low, high = sorted((one, other))
    cup = filled(Cup(), fill, 1.0)

    assert (
        sprayed(cup, JET, high, 0.0, 240.0).sprayed_ml >= sprayed(cup, JET, low, 0.0, 240.0).sprayed_ml - 0.02
    )


def test_what_stays_behind_grows_stronger():
    before = filled(Cup(), 4.0, 4.0)

    after = sprayed(before, JET, 8.0, 0.0, 600.0).cup

    assert after.drug_mg / (after.volume_ml + after.on_walls_ml) > 1.2


@settings(max_examples=40)
@given(st.floats(0.3, 20), st.floats(1.3, 3), st.floats(0.4, 4), st.floats(20, 1500), st.floats(0, 1))
def test_the_four_places_of_a_deposit_make_one(median, spread, time_in, tidal, nose):
    stays = deposited_shares(median, spread, time_in, tidal, nose)

    assert sum(stays) == pytest.approx(1.0, abs=1e-12)
    assert min(stays) >= 0.0


@settings(max_examples=40)
@given(st.floats(0.5, 15), st.floats(100, 1500), st.floats(100, 1500))
def test_the_nose_keeps_more_than_the_mouth(diameter, flow, tidal):
    by_nose = caught_in_throat_frac(diameter, flow, tidal, True)
    by_mouth = caught_in_throat_frac(diameter, flow, tidal, False)

    assert by_nose >= by_mouth


@settings(max_examples=40)
@given(BREATHS, st.floats(1, 15))
def test_no_more_is_inhaled_than_comes(breathing, flow):
    for jet in (JET, BREATH_ENHANCED):
        assert 0.0 <= inhaled_frac(jet, flow, breathing) <= 1.0


@pytest.mark.parametrize(
    ("better", "worse"),
    [
        (QUIET, QUIET._replace(nose_frac=1.0)),
        (QUIET, QUIET._replace(talking_frac=0.5)),
        (QUIET._replace(inspiratory_s=2.5, tidal_ml=900), QUIET._replace(inspiratory_s=1.0, tidal_ml=400)),
    ],
    ids=["mouth before nose", "silent before talking", "slow and deep before quick and shallow"],
)
def test_what_is_coached_brings_more_to_the_lung(better, worse):
    good, bad = treated(4.0, 8.0, better), treated(4.0, 8.0, worse)

    assert good.airways + good.alveoli > 1.2 * (bad.airways + bad.alveoli)


def test_nobody_under_the_mask_inhales_nothing():
    mist = nebulised_second(filled(Cup(), 4.0, 5.0), JET, QUIET, 0.0, 8.0, 0.0, 300.0)

    assert sum(mist.deposit) == 0.0
    assert mist.lost_mg == pytest.approx(5.0 - mist.cup.drug_mg)


def test_who_does_not_breathe_inhales_nothing():
    still = QUIET._replace(tidal_ml=0.0)

    mist = nebulised_second(filled(Cup(), 4.0, 5.0), JET, still, 1.0, 8.0, 0.0, 300.0)

    assert sum(mist.deposit) == 0.0


def test_half_of_a_spray_is_below_its_median():
    assert share_below(3.7, 3.7, 2.1) == pytest.approx(0.5, abs=1e-7)
    assert share_below(3.7 * 2.1, 3.7, 2.1) == pytest.approx(0.841344746, abs=1e-7)


def test_an_empty_cup_stays_empty():
    assert sprayed(Cup(), JET, 8.0, 0.0, 60.0) == (Cup(), 0.0, 0.0, 0.0)


def test_a_jet_needs_every_number():
    with pytest.raises(KeyError):
        jet_from({"sprayed_ml_min": 0.1})


def bits(values):
    return [
        part
        for value in values
        for part in (bits(value) if isinstance(value, tuple) else [struct.pack("<d", value)])
    ]


@pytest.mark.slow
def test_compiled_and_plain_give_the_same_bits():
    twin = compiled(nebulised_second, None)
    cups = [Cup(), Cup(4.0, 0.0, 5.0), Cup(0.52, 0.3, 1.0), Cup(0.46, 0.5, 1.0)]
    breaths = [
        QUIET,
        QUIET._replace(nose_frac=0.6, talking_frac=0.2),
        QUIET._replace(tidal_ml=20.0),
        QUIET._replace(nose_frac=1.0, carrier_lpm=40.0, passes_um=2.0),
        QUIET._replace(past_throat=1.0),
    ]

    for cup in cups:
        for breathing in breaths:
            for flow, angle, time in ((8.0, 0.0, 1.0), (6.0, 40.0, 60.0), (10.0, 0.0, 900.0)):
                arguments = (cup, JET, breathing, 0.6, flow, angle, time)
                assert bits(twin(*arguments)) == bits(nebulised_second(*arguments)), arguments


def test_droplets_shrink_and_spread_as_the_flow_grows():
    flows = [4.0, 6.0, 8.0, 10.0]

    sizes = [median_droplet_um(JET, flow) for flow in flows]
    spreads = [droplet_spread(size) for size in sizes]

    assert sizes == sorted(sizes, reverse=True)
    assert spreads == sorted(spreads)


def test_a_tap_in_the_middle_of_a_run_wins_nothing_and_one_at_the_end_does():
    def emitted(taps_s):
        cup = filled(Cup(), 4.0, 1.0)
        for second in range(1200):
            cup = tapped(cup, JET) if second in taps_s else cup
            cup = sprayed(cup, JET, 8.0, 0.0, 1.0).cup
        return 1.0 - cup.drug_mg

    untouched = emitted(())

    assert emitted((300,)) - untouched < 0.002
    assert emitted((840,)) - untouched > 0.02
