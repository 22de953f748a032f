"""The capnogram's line: dead space first, a plateau that ends at the end-tidal value, flat without breath."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.bedside.recordings import IN_SHARE, PATIENT, regular, stopping, until

from tidalbay.bedside import capnogram
from tidalbay.trace import Trace


def with_breaths(trace, **columns):
    rows = trace.breaths.rows
    breaths = {**trace.breaths, **{name: np.full(rows, value) for name, value in columns.items()}}
    return Trace(dict(trace.seconds), breaths, {"ph": "pH of arterial blood."})


@given(
    rate=st.floats(6, 45),
    tidal=st.floats(60, 1500),
    end_tidal=st.floats(10, 110),
    emptying=st.floats(0.15, 3.0),
    dead=st.floats(40, 300),
    rebreathed=st.floats(0, 5),
)
@settings(max_examples=80, deadline=None)
def test_the_line_rises_while_breathing_out_and_ends_at_its_top(
    rate, tidal, end_tidal, emptying, dead, rebreathed
):
    trace = with_breaths(
        regular(rate, seconds=60),
        tidal_ml=tidal,
        inspired_ml=tidal,
        end_tidal_co2_mmhg=end_tidal,
        inspired_co2_ml=rebreathed,
    )
    patient = {**PATIENT, "expiratory_time_constant_s": emptying, "anatomical_dead_space_ml": dead}

    line = capnogram(trace, 55, 1, patient)

    co2, time = np.array(line.co2_mmhg), np.array(line.time_s)
    out = co2[time >= IN_SHARE * 60.0 / rate + 1e-3]
    assert np.all(np.diff(out) >= -0.011)
    assert co2.max() <= line.end_tidal_mmhg + 0.51
    assert co2[-1] == pytest.approx(line.end_tidal_mmhg, abs=0.51)
    assert co2.min() >= 0.0
    assert time[0] == 0.0
    assert time[-1] == pytest.approx(60.0 / rate, abs=1e-3)


def test_the_number_beside_the_line_is_near_the_breath_s_end_tidal_value():
    shown = [capnogram(regular(15.0), at_s, 1, PATIENT).end_tidal_mmhg for at_s in range(20, 240, 4)]

    assert np.mean(shown) == pytest.approx(38, abs=0.3)
    assert max(abs(value - 38) for value in shown) <= 2


def test_the_first_gas_out_is_dead_space_without_carbon_dioxide():
    line = capnogram(regular(12.0), 100, 1, PATIENT)
    just_after_turning = np.searchsorted(line.time_s, IN_SHARE * 5.0 + 0.05)

    assert line.co2_mmhg[just_after_turning] < 1.0


def rise_of_the_plateau(emptying_s):
    line = capnogram(regular(12.0), 100, 1, {**PATIENT, "expiratory_time_constant_s": emptying_s})
    half_way = line.co2_mmhg[int(0.75 * len(line.co2_mmhg))]
    return line.co2_mmhg[-1] - half_way


def test_narrow_airways_slant_the_plateau_the_more_the_worse():
    # Krauss B et al. Anesth Analg 2005;100:884-888, 262 subjects: the plateau's elevation grew with the
    # severity of obstruction. The direction is published; the sizes are ours.
    healthy, moderate, severe = (rise_of_the_plateau(emptying) for emptying in (0.35, 0.7, 1.1))

    assert healthy < moderate < severe
    assert "flat top" in capnogram(regular(12.0), 100, 1, PATIENT).words
    assert (
        "slanting top"
        in capnogram(regular(12.0), 100, 1, {**PATIENT, "expiratory_time_constant_s": 1.1}).words
    )


def test_gas_breathed_in_again_lifts_the_base():
    fresh = capnogram(regular(12.0), 100, 1, PATIENT)
    again = capnogram(with_breaths(regular(12.0), inspired_co2_ml=7.0), 100, 1, PATIENT)

    # 7 of 500 mL at 713 mmHg dry.
    assert min(again.co2_mmhg) == pytest.approx(7 / 500 * 713, abs=0.5)
    assert min(fresh.co2_mmhg) < 0.5
    assert again.words == "a flat top; the line does not come back to zero"


def test_without_breath_the_line_goes_flat():
    trace = stopping(15.0, stop_s=60)

    soon, later = capnogram(trace, 75, 1, PATIENT), capnogram(trace, 90, 1, PATIENT)

    assert soon.end_tidal_mmhg == pytest.approx(38, abs=2)
    assert later.end_tidal_mmhg is None
    assert set(later.co2_mmhg) == {0.0}
    assert later.words == "a flat line: no breath for 30 s"


def test_before_the_first_whole_breath_there_is_none_to_draw():
    line = capnogram(regular(6.0), 5, 1, PATIENT)

    assert (line.end_tidal_mmhg, line.words) == (None, "a flat line: no whole breath yet")


def test_what_happens_later_never_changes_the_line():
    whole = regular(17.0)

    for at_s in (12, 60, 121, 200):
        assert capnogram(until(whole, at_s), at_s, 3, PATIENT) == capnogram(whole, at_s, 3, PATIENT)
