"""Laws of an inhaled drug: pools are exact over any step, effects stay in their bounds and wear off."""

import struct

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.science.treatments import IPRATROPIUM, SALBUTAMOL, dosed_by_minute

from tidalbay.catalogue.drugs import drugs
from tidalbay.science.inhaled_drug import (
    Dosed,
    action_from,
    dosed_after,
    heart_rate_rise_per_min,
    joint_relief_frac,
    narrowed,
    narrowing_left_frac,
    passed_on,
    relief_frac,
    tremor_frac,
    vasoconstriction_release_frac,
)
from tidalbay.science.jit import compiled, in_kernel

AMOUNT = st.floats(0, 50)
SHARE = st.floats(0, 1)
LAG = st.floats(1, 10000)


@settings(max_examples=60)
@given(AMOUNT, AMOUNT, st.floats(0, 1), LAG, LAG, st.floats(0.1, 20000), SHARE)
def test_time_may_be_cut_anywhere(first, second, inflow, stay, lag, time, cut):
    whole = passed_on(first, second, inflow, stay, lag, time)

    half = passed_on(first, second, inflow, stay, lag, cut * time)
    rest = passed_on(*half, inflow, stay, lag, time - cut * time)

    assert rest == pytest.approx(whole, rel=1e-5, abs=1e-6)


@settings(max_examples=60)
@given(st.builds(Dosed, AMOUNT, AMOUNT, AMOUNT, AMOUNT, AMOUNT), st.floats(0, 5), st.floats(0.1, 36000))
def test_no_dose_is_too_much_for_the_equations(dosed, lung, time):
    for drug in drugs().values():
        action = action_from(drug.numbers)
        after = dosed_after(dosed, action, lung, lung, time)

        assert min(after) >= -1e-9
        assert 0.0 <= relief_frac(after, action) <= action.most_relief_frac
        assert 0.0 <= heart_rate_rise_per_min(after, action) <= action.most_heart_rate_per_min
        assert 0.0 <= tremor_frac(after, action) <= 1.0
        assert 0.0 <= vasoconstriction_release_frac(after, action) <= action.most_release_frac


def test_the_second_pool_never_holds_more_than_flowed_in():
    first, second = passed_on(1.0, 0.0, 0.0, 3600.0, 240.0, 600.0)

    assert first < 1.0
    assert 0.0 < second < 1.0


def test_equal_time_constants_are_no_trouble():
    near = passed_on(1.0, 0.0, 0.1, 300.0, 300.001, 100.0)

    assert passed_on(1.0, 0.0, 0.1, 300.0, 300.0, 100.0) == pytest.approx(near, rel=1e-4)


@pytest.mark.parametrize("action", [SALBUTAMOL, IPRATROPIUM])
def test_everything_wears_off(action):
    a_day_later = dosed_after(dosed_by_minute(action, 5.0, 20)[20], action, 0.0, 0.0, 2 * 86400.0)

    assert sum(a_day_later) < 1e-3


def test_a_larger_dose_does_more_and_lasts_longer():
    small, large = (dosed_by_minute(SALBUTAMOL, dose, 300) for dose in (2.5, 20.0))

    for minute in (10, 60, 300):
        assert relief_frac(large[minute], SALBUTAMOL) > relief_frac(small[minute], SALBUTAMOL)
        assert heart_rate_rise_per_min(large[minute], SALBUTAMOL) > 2 * heart_rate_rise_per_min(
            small[minute], SALBUTAMOL
        )


def test_an_overdose_passes_the_rise_at_which_treatment_is_stopped():
    # Stop rule as taught: pulse up by more than 20 a minute.
    usual, overdose = (
        max(heart_rate_rise_per_min(dosed, SALBUTAMOL) for dosed in dosed_by_minute(SALBUTAMOL, dose, 60))
        for dose in (5.0, 20.0)
    )

    assert usual < 20 < overdose


def test_a_steroid_changes_nothing_within_the_hour():
    steroid = action_from(drugs()["budesonide"].numbers)

    dosed = dosed_by_minute(steroid, 1.0, 60)[60]

    assert relief_frac(dosed, steroid) == 0.0
    assert heart_rate_rise_per_min(dosed, steroid) == 0.0
    assert vasoconstriction_release_frac(dosed, steroid) == 0.0


@given(SHARE, SHARE)
def test_two_drugs_do_as_much_in_either_order_and_never_less_than_one(one, other):
    both = joint_relief_frac(one, other)

    assert both == pytest.approx(joint_relief_frac(other, one))
    assert max(one, other) - 1e-12 <= both <= 1.0


@given(SHARE, SHARE, st.floats(0, 50), st.floats(0, 50))
def test_relieved_airways_lie_between_sick_and_healthy(relief, reversible, healthy, before):
    after = narrowed(healthy, before, narrowing_left_frac(relief, reversible))

    assert min(healthy, before) - 1e-9 <= after <= max(healthy, before) + 1e-9


def test_what_cannot_be_undone_stays():
    assert narrowing_left_frac(1.0, 0.3) == pytest.approx(0.7)
    assert narrowing_left_frac(0.0, 1.0) == 1.0


@in_kernel
def all_effects(dosed, action, lung, swallowed, time):
    after = dosed_after(dosed, action, lung, swallowed, time)
    relief = relief_frac(after, action)
    left = narrowing_left_frac(joint_relief_frac(relief, 0.2), 0.6)
    return (
        after.at_muscle_mg,
        after.at_heart_mg,
        narrowed(3.0, 12.0, left),
        heart_rate_rise_per_min(after, action),
        tremor_frac(after, action),
        vasoconstriction_release_frac(after, action),
    )


def test_compiled_and_plain_give_the_same_bits():
    twin = compiled(all_effects, None)

    for action in (SALBUTAMOL, IPRATROPIUM):
        for dosed in (Dosed(), Dosed(0.3, 0.1, 0.2, 0.05, 0.01)):
            for time in (1.0, 3600.0):
                arguments = (dosed, action, 0.01, 0.002, time)
                assert [struct.pack("<d", v) for v in twin(*arguments)] == [
                    struct.pack("<d", v) for v in all_effects(*arguments)
                ]
