"""Contract: no tap is no omission, tap error is asked and not clocked, nothing assumed decides a must."""

import numpy as np
import pytest
from tests.judge.bench import act, mark, record, verdict

FLOW_FIRST = {"needs": [{"act": "flow_set", "flow_lpm": {"at_least": 1}}], "before": {"act": "device_placed"}}


def test_what_only_eyes_can_see_and_nobody_tapped_is_not_recorded_and_no_omission():
    watched = record(is_whole_account=False)

    found = verdict(watched, happened={"act": "hands_cleaned"}).finding

    assert found.verdict == "cannot_be_judged"
    assert found.why == (
        "Not recorded: cleaned the hands. Nobody tapped it, which does not prove that it was not done."
    )


def test_what_moves_the_equipment_and_is_not_in_the_record_was_not_done():
    watched = record(is_whole_account=False)

    assert verdict(watched, happened={"act": "flow_set"}).verdict == "not_met"


@pytest.mark.parametrize(
    ("state", "expected"),
    [
        ("done", "met"),
        ("prompted", "met"),
        ("said_only", "not_met"),
        ("missed", "not_met"),
        ("not_seen", "cannot_be_judged"),
    ],
)
def test_a_checkers_word_decides_what_the_record_cannot(state, expected):
    watched = record([mark(30, "step_state", "asked", state=state)], is_whole_account=False)

    found = verdict(watched, happened={"act": "hands_cleaned"})

    assert (found.verdict, found.state) == (expected, state)


def test_a_checkers_word_does_not_change_what_the_record_knows():
    made = record([act(10, "flow_set", flow_lpm=2), mark(30, "step_state", "asked", state="missed")])

    found = verdict(made, happened={"act": "flow_set"})

    assert (found.verdict, found.state) == ("met", "missed")


def test_an_overrule_stands_beside_the_records_verdict_with_its_reason():
    made = record([mark(700, "overrule", "asked", verdict="met", reason="I saw it through the glass.")])

    found = verdict(made, happened={"act": "flow_set"})

    assert (found.verdict, found.finding.verdict) == ("met", "not_met")
    assert found.reason == "I saw it through the glass."


@pytest.mark.parametrize("by", ["checker", "checker-89937a947e", "instructor"])
@pytest.mark.parametrize("device_s", [92, 108])
def test_taps_of_a_watcher_close_together_are_asked_and_not_clocked(device_s, by):
    made = record(
        [
            act(100, "flow_set", by=by, flow_lpm=2),
            act(device_s, "device_placed", "cannula", by=by),
        ],
        is_whole_account=False,
    )

    found = verdict(made, **FLOW_FIRST).finding

    assert found.verdict == "cannot_be_judged"
    assert found.why == "“Set flow” and “Device on” were tapped 8 s apart, and nobody said which came first."


@pytest.mark.parametrize(("first", "second", "expected"), [(2, 3, "met"), (3, 2, "not_met")])
def test_whoever_watched_says_which_came_first(first, second, expected):
    made = record(
        [
            act(100, "flow_set", by="checker", flow_lpm=2),
            act(104, "device_placed", "cannula", by="checker"),
            mark(120, "which_first", first=first, second=second),
        ],
        is_whole_account=False,
    )

    assert verdict(made, **FLOW_FIRST).verdict == expected


def test_fifteen_seconds_apart_the_clock_decides():
    made = record(
        [
            act(100, "device_placed", "cannula", by="checker"),
            act(115, "flow_set", by="checker", flow_lpm=2),
        ],
        is_whole_account=False,
    )

    found = verdict(made, **FLOW_FIRST).finding

    assert (found.verdict, found.margin) == ("not_met", -15.0)


def test_the_learners_own_hands_on_the_drawn_equipment_are_clocked():
    made = record([act(100, "device_placed", "cannula"), act(103, "flow_set", flow_lpm=2)])

    assert verdict(made, **FLOW_FIRST).verdict == "not_met"


def test_a_late_tap_counts_at_the_moment_it_names():
    made = record(
        [
            act(100, "device_placed", "cannula", by="checker"),
            act(130, "flow_set", by="checker", flow_lpm=2, seen_at_ms=60_000),
        ],
        is_whole_account=False,
    )

    found = verdict(made, **FLOW_FIRST).finding

    assert (found.verdict, found.margin) == ("met", 40.0)


def test_what_was_taken_back_did_not_happen():
    made = record([act(50, "flow_set", flow_lpm=2), act(60, "taken_back", entry=2)])

    assert verdict(made, happened={"act": "flow_set"}).verdict == "not_met"


def test_what_was_only_said_moved_nothing_but_a_look_is_what_was_said():
    made = record(
        [
            act(50, "flow_set", flow_lpm=2, manner="said"),
            act(60, "observed", what="rate", found=20, manner="said"),
        ]
    )

    flow, look = verdict(made, happened={"act": "flow_set"}), verdict(made, happened={"act": "observed"})

    assert (flow.verdict, flow.finding.why) == ("not_met", "Only said: set the flow to 2 L/min (00:50).")
    assert look.verdict == "met"


def test_an_act_that_was_undone_no_longer_counts_for_what_came_after():
    made = record(
        [
            act(10, "tubing_connected", "cannula", **{"from": "flowmeter", "to": "cannula"}),
            act(40, "tubing_disconnected", "cannula"),
            act(90, "device_placed", "cannula"),
        ]
    )

    found = verdict(made, needs=[{"act": "tubing_connected"}], before={"act": "device_placed"}).finding

    assert found.verdict == "not_met"
    assert "but that was undone again before this: put the device on the patient (01:30)." in found.why


def levels(value, n=600):
    return np.full(n, float(value))


def test_nothing_assumed_decides_a_must():
    # What prongs turned upward cost was never measured (the catalogue marks it assumed).
    happenings = [act(10, "device_placed", "cannula", way="up")]
    asks = {"always": {"name": "spo2_shown_pct", "at_least": 94}}
    low = record(happenings, {"spo2_shown_pct": np.where(np.arange(600) < 30, 96.0, 90.0)})

    must, may = verdict(low, must=True, **asks), verdict(low, **asks)

    assert must.verdict == "cannot_be_judged"
    assert must.finding.why.startswith("Not measured: ")
    assert may.verdict == "not_met"


def test_above_the_range_on_room_air_is_no_fault():
    on_air = record((), {"spo2_shown_pct": levels(99), "cannula_flow_lpm": levels(0)})
    on_oxygen = record(
        (),
        {
            "spo2_shown_pct": levels(99),
            "cannula_flow_lpm": levels(4),
            "wearing": np.full(600, "nasal_cannula"),
        },
    )
    asks = {"always": {"name": "spo2_shown_pct", "within": "ordered_range"}}

    assert verdict(on_air, **asks).verdict == "met"
    assert verdict(on_oxygen, **asks).verdict == "not_met"


def test_a_reading_that_was_not_available_is_not_in_range():
    half = record((), {"spo2_shown_pct": np.where(np.arange(600) < 300, 96.0, np.nan)})

    found = verdict(half, reading={"name": "spo2_shown_pct", "within": [94, 98]}, for_at_least="60 %").finding

    assert found.verdict == "not_met"
    assert found.margin == pytest.approx(-10.0)


def test_an_attempt_that_ended_inside_the_window_is_not_judged():
    made = record([act(580, "flow_set", flow_lpm=2)], end_s=600)

    found = verdict(
        made,
        after_each={"act": "flow_set"},
        within="5 min",
        expect={"act": "observed", "what": "spo2"},
    ).finding

    assert (found.verdict, found.is_open) == ("cannot_be_judged", False)
    assert found.why.endswith("for this: read out SpO2. The attempt ended at 10:00.")


def test_a_half_finished_attempt_says_what_may_still_come():
    going_on = record([act(100, "order_read")], has_ended=False)

    found = verdict(going_on, happened={"act": "flow_set"}).finding

    assert (found.verdict, found.is_open) == ("cannot_be_judged", True)
    assert found.why == "Not in the record so far: set the flow."


def test_while_an_attempt_goes_on_no_share_and_no_missing_occasion_is_held_against_anybody():
    low = {"spo2_shown_pct": levels(88)}
    asks = {"reading": {"name": "spo2_shown_pct", "within": [94, 98]}, "for_at_least": "60 %"}
    occasion = {
        "needs": [{"act": "order_read"}],
        "before": {"act": "device_placed"},
        "if_never": "missed",
    }

    for said in (asks, occasion):
        going_on, over = record((), low, has_ended=False), record((), low)
        assert verdict(going_on, **said).finding.is_open
        assert verdict(going_on, **said).verdict == "cannot_be_judged"
        assert verdict(over, **said).verdict == "not_met"
