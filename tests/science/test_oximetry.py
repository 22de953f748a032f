"""Laws of the oximeter's reading."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tidalbay.science.oximetry import displayed_pct, functional_reading_frac

SHARE = st.floats(0.001, 1)


@given(SHARE, SHARE)
def test_plain_blood_reads_its_saturation(o2hb, hhb):
    reading = functional_reading_frac(o2hb, 0.0, 0.0, hhb)

    assert reading == pytest.approx(o2hb / (o2hb + hhb), abs=1e-12)


@given(SHARE, SHARE, SHARE, SHARE, st.floats(0, 1))
def test_carbon_monoxide_in_the_place_of_oxygen_changes_nothing(o2hb, cohb, methb, hhb, moved):
    before = functional_reading_frac(o2hb, cohb, methb, hhb)
    after = functional_reading_frac(o2hb * (1 - moved), cohb + o2hb * moved, methb, hhb)

    assert after == pytest.approx(before, abs=1e-12)


@given(SHARE, SHARE, SHARE, SHARE)
def test_methaemoglobin_draws_the_reading_toward_85_and_never_past_it(o2hb, cohb, methb, hhb):
    before = functional_reading_frac(o2hb, cohb, methb, hhb)
    after = functional_reading_frac(o2hb, cohb, methb * 1.5, hhb)

    assert abs(after - 0.85) <= abs(before - 0.85) + 1e-12
    assert (after - 0.85) * (before - 0.85) >= -1e-12


@given(SHARE, SHARE, SHARE, SHARE, st.floats(0.1, 10))
def test_only_shares_count(o2hb, cohb, methb, hhb, scale):
    reading = functional_reading_frac(o2hb, cohb, methb, hhb)

    scaled = functional_reading_frac(o2hb * scale, cohb * scale, methb * scale, hhb * scale)
    assert scaled == pytest.approx(reading, abs=1e-12)


def test_no_haemoglobin_reads_nothing():
    assert functional_reading_frac(0.0, 0.0, 0.0, 0.0) == 0.0


@pytest.mark.parametrize(
    ("reading", "shown"), [(0.9749, 97), (0.9751, 98), (0.8849999, 88), (1.0, 100), (1.3, 100), (-0.1, 0)]
)
def test_display_shows_the_nearest_whole_number_between_0_and_100(reading, shown):
    assert displayed_pct(reading) == shown
