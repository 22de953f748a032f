"""The oximeter shows what the recording shows, and says how far to trust it."""

import numpy as np
import pytest
from tests.bedside.recordings import regular, until

from tidalbay.bedside import oximeter
from tidalbay.bedside.oximeter import GOOD, OFF, POOR, SETTLING, SIGNALS


def off_from(first_s, last_s, value=95.0):
    return lambda clock: np.where((clock >= first_s) & (clock <= last_s), np.nan, value)


def test_a_probe_that_stays_on_shows_the_number_of_this_second():
    reading = oximeter(regular(15.0, spo2_shown_pct=lambda clock: np.where(clock < 100, 95.0, 91.0)), 100, 1)

    assert (reading.spo2_pct, reading.signal, reading.age_s) == (91, GOOD, 0)


def test_a_probe_that_is_off_shows_nothing_and_says_how_old_the_last_number_is():
    reading = oximeter(regular(15.0, spo2_shown_pct=off_from(100, 150, value=92.0)), 130, 1)

    assert (reading.spo2_pct, reading.pulse_per_min, reading.signal) == (None, None, OFF)
    assert (reading.last_pct, reading.age_s) == (92, 31)
    assert reading.words == "probe off, last 92 % 31 s ago"


def test_a_probe_that_was_never_on_has_no_last_number():
    reading = oximeter(regular(15.0, spo2_shown_pct=np.nan), 130, 1)

    assert (reading.last_pct, reading.age_s) == (None, None)
    assert reading.words == "probe off, nothing shown yet"


@pytest.mark.parametrize(("at_s", "signal"), [(150, OFF), (151, SETTLING), (164, SETTLING), (165, GOOD)])
def test_a_probe_just_put_on_is_settling_for_15_seconds(at_s, signal):
    assert oximeter(regular(15.0, spo2_shown_pct=off_from(100, 150)), at_s, 1).signal == signal


@pytest.mark.parametrize(
    ("columns", "signal"),
    [
        ({"perfusion_index_pct": 0.29}, POOR),
        ({"perfusion_index_pct": 0.3}, GOOD),
        ({"motion_frac": 0.6}, POOR),
        ({"motion_frac": 0.1}, GOOD),
    ],
)
def test_a_weak_or_shaken_pulse_is_a_poor_signal(columns, signal):
    # Accuracy is stated from 0.3 % modulation on: manuals of an oximeter and a monitor. Motion is ours.
    reading = oximeter(regular(15.0, **columns), 100, 1)

    assert reading.signal == signal
    assert reading.spo2_pct == 95
    assert ("poor signal" in reading.words) == (signal == POOR)


def test_the_pulse_shown_follows_the_heart_closely_and_not_perfectly():
    trace = regular(15.0, heart_rate_per_min=104.0)

    shown = np.array([oximeter(trace, at_s, 3).pulse_per_min for at_s in range(20, 240)])

    assert abs(shown.mean() - 104) < 0.5
    assert set(shown) > {104}
    # Monitors state 3 beats a minute (from memory).
    assert np.abs(shown - 104).max() <= 3


def test_a_display_that_counts_another_pulse_shows_that_one():
    reading = oximeter(regular(15.0, oximeter_pulse_per_min=52.0), 100, 1)

    assert reading.pulse_per_min == 52


def test_no_signal_is_ever_called_regular():
    assert not any("regular" in signal for signal in SIGNALS)


def test_what_happens_later_never_changes_the_display():
    whole = regular(15.0, spo2_shown_pct=off_from(100, 150))

    for at_s in range(5, 235, 5):
        assert oximeter(until(whole, at_s), at_s, 2) == oximeter(whole, at_s, 2)


def test_dashes_on_a_cold_finger_are_a_poor_signal_and_not_a_probe_that_is_off():
    cold = regular(15.0, spo2_shown_pct=np.nan, perfusion_index_pct=0.1)

    assert oximeter(cold, 50.0, 0).signal == POOR
