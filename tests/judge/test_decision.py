"""Contract: every must, the points and the global rating decide, by a policy; undecided counts for none."""

import pytest
from tests.judge.bench import act, criterion, mark, record

from tidalbay.case.check_off import Decision
from tidalbay.judge import judge, outcome

ORDER = {"id": "order", "must": True, "happened": {"act": "order_read"}}
FLOW = {"id": "flow", "happened": {"act": "flow_set"}}
HANDS = {"id": "hands", "happened": {"act": "hands_cleaned"}}
KIND = {"id": "kind", "judged_by": "checker"}


def decided(happenings, asked=(ORDER, FLOW, HANDS, KIND), policy=None, **how):
    made = record(happenings, **how)
    verdicts = judge(made, [criterion(**each) for each in asked])
    return outcome(made, verdicts, policy or Decision())


GOOD = [
    act(10, "order_read"),
    act(20, "flow_set", flow_lpm=2),
    act(30, "hands_cleaned"),
    mark(700, "global_rating", rating=3),
]


def test_everything_met_is_competent_and_what_nobody_judged_is_in_neither_number():
    found = decided(GOOD)

    assert (found.result, found.points, found.out_of) == ("competent", 3.0, 3.0)


def test_a_must_missed_decides_alone_and_a_second_person_looks():
    below = decided(GOOD[1:], policy=Decision(near=0.01))
    enough = decided(GOOD[1:], policy=Decision(cut=0.5, near=0.01))

    assert below.result == enough.result == "not_yet_competent"
    assert below.musts_missed == ("order",)
    assert (below.is_near, enough.is_near) == (False, True)  # in the second one only the must decides


def test_points_below_the_cut_are_not_yet_enough_and_close_to_it_a_second_person_looks():
    found = decided([GOOD[0], GOOD[3]], policy=Decision(cut=0.35, near=0.05))

    assert (found.result, round(found.share_frac, 3), found.is_near) == ("not_yet_competent", 0.333, True)


def test_a_low_global_rating_is_not_yet_enough():
    found = decided([*GOOD[:3], mark(700, "global_rating", rating=1)])

    assert found.result == "not_yet_competent"
    assert found.why == ("The global rating is unsafe; at least borderline is asked.",)


def test_without_a_rating_it_stays_undecided():
    assert decided(GOOD[:3]).result == "undecided"


def test_an_undecided_must_keeps_it_undecided():
    found = decided(
        [act(20, "flow_set", by="checker", flow_lpm=2), mark(700, "global_rating", rating=4)],
        is_whole_account=False,
    )

    assert (found.result, found.musts_undecided) == ("undecided", ("order",))


@pytest.mark.parametrize(
    ("prompted", "points"), [("counts", 1.0), ("counts_half", 0.5), ("does_not_count", 0.0)]
)
def test_a_prompted_step_is_worth_what_the_policy_says(prompted, points):
    happenings = [act(20, "flow_set", manner="prompted", flow_lpm=2)]

    found = decided(happenings, asked=(FLOW,), policy=Decision(prompted=prompted))

    assert found.points == points


def test_a_prompted_must_is_missed_where_prompts_do_not_count():
    happenings = [act(10, "order_read", manner="prompted"), mark(700, "global_rating", rating=4)]

    strict = decided(happenings, asked=(ORDER,), policy=Decision(prompted="does_not_count"))
    usual = decided(happenings, asked=(ORDER,), policy=Decision(cut=0.5))

    assert (strict.musts_missed, usual.musts_missed) == (("order",), ())


@pytest.mark.parametrize("why", ["void_for_equipment", "stopped_kindly"])
def test_an_attempt_that_is_void_or_was_stopped_kindly_is_no_attempt(why):
    made = [*GOOD[:3], act(600, "attempt_ended", why=why), GOOD[3]]

    assert decided(made, has_ended=False).result == "void"


def test_one_who_errs_in_a_step_done_right_is_why_musts_are_few():
    # Practice reference 5.1: wrongly missing a done step with chance e fails a perfect learner with
    # 1 - (1 - e)^k; the musts of a skill are few enough that 2 % of slips fail fewer than a quarter.
    from tidalbay.case.procedures import procedures, steps_of

    for name in procedures():
        musts = sum(step.must for step in steps_of(name))
        assert 1 - (1 - 0.02) ** musts < 0.25, name
