"""Contract: what equipment did is a fact whoever tapped it; what only eyes can see is the learner's word."""

import pytest
from tests.judge.bench import act, mark, record, verdict

HANDS = {"happened": {"act": "hands_cleaned"}}
FLOW = {"happened": {"act": "flow_set"}}
OWN = act(20, "hands_cleaned", by="learner-4f2a")
WATCHER = act(50, "explained", by="checker-1")
UNDECIDED = (
    "Cleaned the hands (00:20, the learner's own tap). Nobody who watched has said so, and a must does not "
    "rest on that alone."
)


def test_what_moves_nothing_says_that_only_the_learner_tapped_it():
    found = verdict(record([OWN], is_whole_account=False), **HANDS)

    assert (found.verdict, found.finding.why) == ("met", "Cleaned the hands (00:20, the learner's own tap).")


def test_what_the_equipment_did_is_a_fact_whoever_tapped_it():
    made = record([act(20, "flow_set", by="learner-4f2a", flow_lpm=2), WATCHER], is_whole_account=False)

    found = verdict(made, must=True, **FLOW)

    assert (found.verdict, found.finding.why) == ("met", "Set the flow to 2 L/min (00:20).")


@pytest.mark.parametrize(
    ("kind", "values"),
    [
        ("observed", {"what": "spo2", "found": 92}),
        ("charted", {"form": "oxygen_entry", "fields": {}}),
        ("minutes_worked_out", {"minutes": 35}),
        ("help_called", {"who": "nurse_in_charge"}),
        ("handoff_given", {}),
    ],
)
def test_where_saying_is_doing_the_learners_tap_is_the_act_itself(kind, values):
    made = record([act(20, kind, by="learner", **values), WATCHER], is_whole_account=False)

    found = verdict(made, must=True, happened={"act": kind})

    assert found.verdict == "met"
    assert "own tap" not in found.finding.why


@pytest.mark.parametrize("watching", [[WATCHER], [mark(500, "step_state", "other", state="done")]])
def test_while_somebody_watches_it_decides_no_must(watching):
    made = record([OWN, *watching], is_whole_account=False)

    found, other = verdict(made, must=True, **HANDS), verdict(made, **HANDS)

    assert (found.verdict, found.finding.why) == ("cannot_be_judged", UNDECIDED)
    assert found.finding.evidence.acts == (2,)
    assert other.verdict == "met"


def test_nor_does_it_prove_that_a_must_came_too_late():
    happenings = [act(20, "device_placed", "cannula", by="learner"), act(60, "hands_cleaned"), WATCHER]
    made = record(happenings, is_whole_account=False)

    found = verdict(made, must=True, needs=[{"act": "hands_cleaned"}], before={"act": "device_placed"})

    assert found.verdict == "cannot_be_judged"


@pytest.mark.parametrize(("state", "expected"), [("done", "met"), ("missed", "not_met")])
def test_whoever_watched_settles_it_with_a_state(state, expected):
    made = record([OWN, mark(500, "step_state", "asked", state=state)], is_whole_account=False)

    assert verdict(made, must=True, **HANDS).verdict == expected


def test_a_watchers_tap_of_the_same_decides():
    made = record([act(20, "hands_cleaned", by="checker-1")], is_whole_account=False)

    found = verdict(made, must=True, **HANDS)

    assert (found.verdict, found.finding.why) == ("met", "Cleaned the hands (00:20).")


@pytest.mark.parametrize("happenings", [[OWN], [OWN, mark(700, "global_rating", rating=3)]])
def test_a_learner_alone_decides_by_their_own_tap_whoever_rates_it_later(happenings):
    found = verdict(record(happenings, is_whole_account=True), must=True, **HANDS)

    assert found.verdict == "met"
    assert "the learner's own tap" in found.finding.why


def test_a_script_is_nobodys_word():
    found = verdict(record([act(20, "hands_cleaned", by="script")]), must=True, **HANDS)

    assert found.finding.why == "Cleaned the hands (00:20)."
