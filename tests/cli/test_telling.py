"""A run in words: what is seen at a moment, and what it came to."""

from math import nan
from types import SimpleNamespace

import numpy as np
import pytest

from tidalbay.cli.play.plot import COARSE
from tidalbay.cli.play.scene import Sheet, inspired_scale, saturation_scale, scene
from tidalbay.cli.play.telling import Told, clock, summary, worn_words
from tidalbay.trace import Trace

CASE = SimpleNamespace(order=SimpleNamespace(target_spo2_pct=(94.0, 98.0)))


def trace(spo2, fio2=None, **more):
    n = len(spo2)
    return Trace(
        {
            "t_s": np.arange(float(n)),
            "spo2_shown_pct": np.array(spo2, dtype=float),
            "fio2_frac": np.array(fio2 or [0.2] * n),
            "rate_per_min": np.full(n, 20.0),
            "heart_rate_per_min": np.full(n, 90.0),
            "wearing": ["nasal_cannula"] * n,
            "flowmeter_shown_lpm": np.full(n, 2.0),
            **more,
        },
        {},
    )


def test_the_summary_counts_the_time_in_range_and_dates_the_ends():
    assert summary(trace([90, 93, 94, 95], [0.2, 0.3, 0.31, 0.3]), CASE) == (
        "The saturation shown was inside the ordered range, 94 to 98 %, for 50 % of the time. "
        "It was lowest, 90 %, at 00:00 and highest, 95 %, at 00:03; at the end it was 95 %. "
        "Each breath held 20 % to 31 % oxygen."
    )


def test_time_without_a_reading_is_not_counted():
    assert "for all of the time" in summary(trace([nan, nan, 95, 95]), CASE)


def test_a_probe_that_was_never_on_is_told():
    assert summary(trace([nan, nan]), CASE) == (
        "The oximeter showed nothing in all that time. Each breath held 20 % to 20 % oxygen."
    )


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ({"wearing": "none", "m_shown_lpm": 0.0}, "nothing"),
        ({"wearing": "none", "m_shown_lpm": 4.0}, "nothing on the face, 4 L/min"),
        ({"wearing": "nasal_cannula", "m_shown_lpm": 0.0}, "nasal cannula, no flow"),
        ({"wearing": "nasal_cannula", "m_shown_lpm": 2.0}, "nasal cannula, 2 L/min"),
        (
            {"wearing": "nasal_cannula + nebuliser_mask", "oxygen_shown_lpm": 2.0, "air_shown_lpm": 8.0},
            "nasal cannula and nebuliser mask, oxygen 2 L/min, air 8 L/min",
        ),
    ],
)
def test_what_is_worn_is_said_with_the_flows_shown(row, words):
    assert worn_words(row) == words


def test_moments_are_minutes_and_seconds():
    assert [clock(0), clock(200.9), clock(6000)] == ["00:00", "03:20", "100:00"]


def test_the_scene_fits_its_paper_and_says_each_number_in_words():
    lines = scene(trace([90, 91, nan]), [Told(1.0, "read the order")], CASE, 60.0, 2.0, Sheet(60, 24, COARSE))

    assert lines[:5] == [
        "00:02 of 01:00   A on the line: an act or event",
        "worn       nasal cannula, 2 L/min",
        "SpO2       no reading shown; ordered 94 to 98 %",
        "breathing  20 a minute; 20 % oxygen in each breath",
        "pulse      90 a minute",
    ]
    assert max(map(len, lines)) <= 60
    assert len(lines) <= 20


def test_scales_hold_what_is_shown():
    assert (saturation_scale([89.0, 97.0], 94, 98).low, saturation_scale([62.0], 94, 98).low) == (85.0, 60.0)
    assert [inspired_scale([20.0, top]).high for top in (33, 41, 91)] == [40.0, 60.0, 100.0]
