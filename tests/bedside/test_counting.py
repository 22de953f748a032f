"""Counts by eye and by hand: near the truth, by luck that can be had again, and never ahead of their time."""

from collections import Counter

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.bedside.recordings import irregular, regular, stopping, until

from tidalbay.bedside import NothingToReadError, counted_rate, felt_pulse

MOMENTS = range(65, 240, 3)


def errors(rate_per_min, seconds):
    trace = regular(rate_per_min, phase_s=0.37)
    return np.array(
        [
            counted_rate(trace, at_s, seed, seconds).rate_per_min - rate_per_min
            for at_s in MOMENTS
            for seed in (1, 2, 3)
        ]
    )


@pytest.mark.parametrize("seconds", [30, 60])
@pytest.mark.parametrize("rate_per_min", [8, 11.3, 14.9, 20, 23.7, 28.1, 31.9, 36.1, 40.3])
def test_a_count_of_regular_breathing_is_within_two_of_the_truth_19_times_in_20(rate_per_min, seconds):
    found = errors(rate_per_min, seconds)

    assert np.mean(np.abs(found) <= 2.0 + 1e-9) >= 0.95
    assert abs(np.mean(found)) < 0.5


def test_a_whole_minute_is_counted_more_closely_than_half_of_one():
    half, whole = (np.concatenate([errors(rate, s) for rate in (13.1, 21.7, 33.3)]) for s in (30, 60))

    assert np.std(whole) < 0.75 * np.std(half)


def test_a_count_is_whole_breaths_brought_to_a_minute():
    count = counted_rate(regular(17.0), 100, seed=4, seconds=30)

    assert count.rate_per_min == 2 * count.counted
    assert isinstance(count.counted, int)


def test_people_do_slip_now_and_then():
    # Exactly 15 breaths in every half minute; whoever never slips always says 30.
    trace = regular(30.0, phase_s=1.0)

    said = {counted_rate(trace, at_s, seed).counted for at_s in MOMENTS for seed in range(8)}

    assert {14, 15, 16} <= said <= {13, 14, 15, 16, 17}


@given(seed=st.integers(0, 2**32 - 1), at_s=st.integers(65, 240), seconds=st.sampled_from([15, 30, 60]))
@settings(max_examples=50, deadline=None)
def test_the_same_second_and_seed_always_give_the_same_count(seed, at_s, seconds):
    trace = irregular(22.0, seconds=240)

    assert counted_rate(trace, at_s, seed, seconds) == counted_rate(trace, at_s, seed, seconds)
    assert felt_pulse(trace, at_s, seed, seconds) == felt_pulse(trace, at_s, seed, seconds)


@given(
    rate=st.floats(4.0, 55.0),
    at_s=st.integers(60, 200),
    breaths_seed=st.integers(0, 50),
    seconds=st.sampled_from([30, 60]),
)
@settings(max_examples=60, deadline=None)
def test_what_happens_later_never_changes_a_count(rate, at_s, breaths_seed, seconds):
    whole = irregular(rate, seconds=240, seed=breaths_seed)

    then = until(whole, at_s)

    assert counted_rate(then, at_s, 9, seconds) == counted_rate(whole, at_s, 9, seconds)
    assert felt_pulse(then, at_s, 9, seconds) == felt_pulse(whole, at_s, 9, seconds)


def test_the_breath_under_way_is_counted_once_the_chest_has_risen():
    # Twelve a minute from 0 s: at 62 s a thirteenth breath has begun and is not in the table yet.
    trace = until(regular(12.0), 62)

    counts = Counter(counted_rate(trace, 62, seed, 60).counted for seed in range(40))

    assert trace.breaths["start_s"][-1] == 55
    assert counts.most_common(1)[0][0] == 12


def test_who_does_not_breathe_is_counted_as_not_breathing():
    trace = stopping(15.0, stop_s=60)

    assert counted_rate(trace, 100, seed=1, seconds=30).rate_per_min == 0
    assert counted_rate(trace, 80, seed=1, seconds=60).rate_per_min == pytest.approx(10, abs=1)


def test_two_who_count_side_by_side_differ_no_more_than_nurses_did():
    # Lim WS et al. Respir Med 2002;96:31-33: simultaneous observers, 50 patients, mean difference near 0,
    # 95 % limits of agreement -4.2 to 4.4 breaths a minute. Ours are careful and stay well inside.
    trace = irregular(24.0)

    differences = np.array(
        [
            counted_rate(trace, at_s, 5).rate_per_min - counted_rate(trace, at_s, 5, who=1).rate_per_min
            for at_s in range(60, 600)
        ]
    )

    assert abs(differences.mean()) < 0.3
    assert 0.5 < 1.96 * differences.std() < 4.3


@pytest.mark.parametrize(
    ("at_s", "seconds", "sentence"),
    [
        (20, 30, "A count of 30 s that ends at 20 s begins before the recording; end it at 30 s or later."),
        (500, 30, "The recording runs from 1 to 240 s and says nothing of 500 s."),
    ],
)
def test_a_count_that_the_recording_does_not_hold_is_refused_in_a_sentence(at_s, seconds, sentence):
    with pytest.raises(NothingToReadError) as refused:
        counted_rate(regular(15.0), at_s, 1, seconds)

    assert str(refused.value) == sentence


@pytest.mark.parametrize("seconds", [0, -30, 9, 301, float("nan")])
def test_a_time_nobody_counts_for_is_refused_in_a_sentence(seconds):
    with pytest.raises(ValueError) as refused:
        felt_pulse(regular(15.0), 200, 1, seconds)

    assert str(refused.value) == f"beats are counted for 10 to 300 s, not for {seconds:g} s."


# ------------------------------------------------------------------------------------------------- pulse


def pulse_errors(heart_rate, seconds):
    trace = regular(15.0, heart_rate_per_min=heart_rate)
    return np.array(
        [
            felt_pulse(trace, at_s, seed, seconds).pulse_per_min - heart_rate
            for at_s in MOMENTS
            for seed in (1, 2)
        ]
    )


@pytest.mark.parametrize("seconds", [30, 60])
@pytest.mark.parametrize("heart_rate", [48.0, 72.5, 98.0, 124.0])
def test_a_felt_pulse_is_on_average_the_heart_rate(heart_rate, seconds):
    # Hwu YJ et al. J Clin Nurs 2000;9:146-152, 206 students: rates counted from one for 15, 30 or 60 s did
    # not differ from the electrocardiogram on average; 1 a minute is our allowance.
    assert abs(pulse_errors(heart_rate, seconds).mean()) < 1.0


def test_fast_pulses_are_counted_less_accurately_than_slow_ones():
    # Hollerbach AD, Sneed NV. Heart Lung 1990;19:258-264, 103 nurses: rates of 100 and more were
    # significantly less accurate, and 15 s the worst of the intervals.
    slow, fast = (np.abs(pulse_errors(rate, 30)).mean() for rate in (72.0, 132.0))
    short = np.abs(pulse_errors(132.0, 15)).mean()

    assert slow < fast < short


def test_a_count_says_how_old_it_is():
    count = counted_rate(regular(15.0), 100, 1)
    pulse = felt_pulse(regular(15.0), 100, 1)

    assert count.as_plain(160)["counted_rate_age_s"] == 60
    assert pulse.as_plain(112)["felt_pulse_age_s"] == 12
