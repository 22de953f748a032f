"""Law: the band beside another way tells nothing of the past, and is as wide as the bodies differ."""

import numpy as np
import pytest
from tests.report.bench import played

from tidalbay.attempt import Change, forks_of, played_with_forks, what_if
from tidalbay.catalogue.plausible_bodies import plausible_bodies
from tidalbay.report.effect_band import Bodies, effect_band
from tidalbay.trace import Trace

pytestmark = pytest.mark.usefixtures("model")
N = 400


def trace(value, after=None):
    """A saturation that stands, and from 100 s on stands elsewhere."""
    clock = np.arange(1.0, N + 1.0)
    shown = np.where(clock > 100, value if after is None else after, value)
    return Trace({"t_s": clock, "spo2_shown_pct": np.asarray(shown, dtype=float)}, {})


def band(this, *others):
    return effect_band(this, others, 100.0)["bands"]["saturation"]


def test_bodies_in_which_the_change_works_alike_make_no_band():
    found = band((trace(92), trace(92, 96)), (trace(88), trace(88, 92)), (trace(94), trace(94, 98)))

    assert found["low"] == found["high"] == [96.0 if t_s > 100 else 92.0 for t_s in found["t_s"]]


def test_its_edges_are_the_least_and_the_greatest_effect_laid_on_this_patient():
    found = band((trace(92), trace(92, 96)), (trace(88), trace(88, 89)), (trace(94), trace(94, 99)))

    assert (found["low"][-1], found["high"][-1]) == (93.0, 97.0)


def test_nothing_is_above_a_hundred_and_nothing_is_told_of_the_past():
    found = band((trace(92), trace(92, 99)), (trace(80), trace(80, 95)))

    assert found["high"][-1] == 100.0
    assert min(found["t_s"]) == 100.0


def test_where_nothing_was_shown_there_is_no_band():
    found = band((trace(92), trace(92, np.nan)), (trace(88), trace(88, 92)))

    assert max(found["t_s"]) <= 100.0


def entry(attempt, kind):
    return next(act.n for act in attempt.log.acts if act.kind == kind)


def test_other_bodies_live_through_the_same_acts_with_other_numbers():
    attempt, was = played()
    change = Change("removed", entry(attempt, "device_placed"))

    bodies = Bodies(attempt.log, attempt.t_s).both_ways(change)
    would = what_if(attempt.log, change, attempt.t_s, forks_of(attempt.log))
    told = effect_band((was, would.attempt.trace()), bodies, would.from_s)

    assert len(bodies) == len(plausible_bodies()) == 2
    easier, harder = (float(went.seconds["sao2_pct"][60]) for went, _ in bodies)
    assert easier > float(was.seconds["sao2_pct"][60]) > harder
    saturation = told["bands"]["saturation"]
    assert all(low <= high for low, high in zip(saturation["low"], saturation["high"], strict=True))
    assert max(np.subtract(saturation["high"], saturation["low"])) > 0.3
    assert told["lowest"].startswith("The lowest saturation shown after the change would have been about 8")


def test_the_log_s_own_body_played_with_forks_is_the_attempt_itself():
    attempt, was = played()

    again, forks = played_with_forks(attempt.log)

    assert again.trace().digest() == was.digest()
    assert len(forks) == len(attempt.log.acts) - 1


def test_an_event_strikes_another_body_in_proportion():
    """Where a case sets the shunt anew, bodies stay as far apart as they were."""
    attempt, was = played("rising-shunt")
    change = Change("removed", [act.n for act in attempt.log.acts if act.kind == "device_placed"][-1])

    bodies = Bodies(attempt.log, attempt.t_s).both_ways(change)
    would = what_if(attempt.log, change, attempt.t_s, forks_of(attempt.log))
    band = effect_band((was, would.attempt.trace()), bodies, would.from_s)["bands"]["saturation"]

    easier, harder = (float(went.seconds["sao2_pct"][-1]) for went, _ in bodies)
    assert easier - harder > 2.0
    assert max(np.subtract(band["high"], band["low"])) > 0.8
