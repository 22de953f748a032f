"""Published: the forms mean what metric temporal logic says they mean.

Past and future operators after Koymans 1990 (Real-Time Systems 2:255) and Maler and Nickovic 2004
(FORMATS/FTRTFT, LNCS 3253:152); how far a formula holds after Fainekos and Pappas 2009 (Theor Comput Sci
410:4262) and Donze and Maler 2010 (FORMATS, LNCS 6246:92). The reference is an independent monitor for such
formulas, rtamt 0.4.10 (BSD licence), run on random traces of one sample a second.
"""

import logging

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.judge.bench import act, record, verdict

rtamt = pytest.importorskip(
    "rtamt", reason="rtamt, the reference for temporal logic, has no ready-made build and is not installed"
)
logging.disable(logging.WARNING)  # the reference warns of every variable that it declares by itself

END_S = 40
MOMENTS = st.sets(st.integers(1, END_S - 1), max_size=6)
LEVELS = st.lists(st.floats(80, 100, allow_nan=False, width=32), min_size=END_S, max_size=END_S)


def reference(formula: str, **signals) -> float:
    """How far a formula holds from the first sample on; positive holds."""
    monitor = rtamt.StlDiscreteTimeSpecification()
    for name in signals:
        monitor.declare_var(name, "float")
    monitor.spec = f"out = {formula}"
    monitor.parse()
    samples = {"time": list(range(len(next(iter(signals.values())))))}
    return monitor.evaluate(
        {**samples, **{name: [float(v) for v in signal] for name, signal in signals.items()}}
    )[0][1]


def pulses(moments, length=END_S + 1):
    return [1.0 if i in moments else -1.0 for i in range(length)]


def acts_at(kind, moments, **values):
    return [act(t, kind, **values) for t in sorted(moments)]


@settings(max_examples=150, deadline=None)
@given(needed=MOMENTS, occasions=MOMENTS)
def test_needs_before_is_that_each_occasion_implies_once_what_was_needed(needed, occasions):
    # Two acts in one second keep the order of their numbers here; the needed one stands first, as in "once".
    made = record(
        acts_at("hands_cleaned", needed) + acts_at("order_read", occasions), end_s=END_S, has_ended=True
    )

    found = verdict(made, needs=[{"act": "hands_cleaned"}], before={"act": "order_read"}).finding

    holds = reference("always((b > 0) implies once(a > 0))", a=pulses(needed), b=pulses(occasions)) > 0
    if occasions:
        assert (found.verdict == "met") is holds
    else:
        assert found.verdict == "cannot_be_judged"


@settings(max_examples=150, deadline=None)
@given(triggers=MOMENTS, answers=MOMENTS, soonest_s=st.integers(1, 5), more_s=st.integers(1, 10))
def test_after_each_is_that_each_trigger_implies_eventually_its_answer(triggers, answers, soonest_s, more_s):
    latest_s = soonest_s + more_s
    inside = {t for t in triggers if t + latest_s <= END_S}  # a window cut off by the end is not judged
    made = record(acts_at("order_read", inside) + acts_at("hands_cleaned", answers), end_s=END_S)

    found = verdict(
        made,
        after_each={"act": "order_read"},
        not_before=f"{soonest_s} s",
        within=f"{latest_s} s",
        expect={"act": "hands_cleaned"},
    ).finding

    formula = f"always((a > 0) implies (eventually[{soonest_s}:{latest_s}] (b > 0)))"
    holds = reference(formula, a=pulses(inside), b=pulses(answers)) > 0
    if inside:
        assert (found.verdict == "met") is holds
    else:
        assert found.verdict == "cannot_be_judged"


@settings(max_examples=150, deadline=None)
@given(levels=LEVELS, worn=st.lists(st.booleans(), min_size=END_S, max_size=END_S), bound=st.floats(82, 98))
def test_while_always_is_worth_its_worst_distance_from_the_bound(levels, worn, bound):
    wearing = np.where(worn, "simple_mask", "none")
    made = record((), {"spo2_shown_pct": levels, "wearing": wearing}, end_s=END_S)

    found = verdict(
        made, while_={"wearing": "simple_mask"}, always={"name": "spo2_shown_pct", "at_least": bound}
    ).finding

    if not any(worn):
        assert found.verdict == "cannot_be_judged"
        return
    on = [1e6 if w else -1e6 for w in worn]  # so large that only the level decides how far it holds
    far = reference("always((w > 0) implies (level >= c))", w=on, level=levels, c=[bound] * END_S)
    assert found.margin == pytest.approx(far, abs=1e-4)
    assert (found.verdict == "met") is (far >= 0)


@settings(max_examples=150, deadline=None)
@given(levels=LEVELS, bound=st.floats(82, 98))
def test_never_above_is_worth_its_worst_distance_from_the_bound(levels, bound):
    made = record((), {"spo2_shown_pct": levels}, end_s=END_S)

    found = verdict(made, never={"reading": "spo2_shown_pct", "above": bound}).finding

    far = reference("always(not(level > c))", level=levels, c=[bound] * END_S)
    assert found.margin == pytest.approx(far, abs=1e-4)
    assert (found.verdict == "met") is (far >= 0)


@settings(max_examples=100, deadline=None)
@given(levels=LEVELS, forgiven_s=st.integers(1, 8))
def test_a_forgiven_break_is_that_the_level_comes_back_in_time(levels, forgiven_s):
    made = record((), {"spo2_shown_pct": levels}, end_s=END_S)

    found = verdict(
        made,
        always={"name": "spo2_shown_pct", "at_least": 88.0},
        for_longer_than=f"{forgiven_s} s",
    ).finding

    # Broken for longer than d: some stretch of d + 1 samples lies below as a whole.
    padded = [*levels, *[100.0] * (forgiven_s + 1)]  # after the end nothing is broken
    formula = f"always(eventually[0:{forgiven_s}] (level >= c))"
    holds = reference(formula, level=padded, c=[88.0] * len(padded)) >= 0
    assert (found.verdict == "met") is holds


@settings(max_examples=100, deadline=None)
@given(first=MOMENTS, second=MOMENTS, third=MOMENTS, n=st.integers(1, 3))
def test_n_of_several_is_the_nth_best(first, second, third, n):
    kinds = ("hands_cleaned", "order_read", "agreed")
    moments = (first, second, third)
    made = record([a for k, m in zip(kinds, moments, strict=True) for a in acts_at(k, m)], end_s=END_S)

    found = verdict(made, at_least={"n": n, "of": [{"happened": {"act": kind}} for kind in kinds]}).finding

    held = sorted((reference("eventually(a > 0)", a=pulses(m)) > 0 for m in moments), reverse=True)
    assert (found.verdict == "met") is held[n - 1]
