"""Laws of the loop: the past is never recomputed, and the same log tells the same story."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tidalbay
from tidalbay.attempt import plan_from, replay
from tidalbay.case import read_case
from tidalbay.catalogue.acts import act_versions
from tidalbay.equipment import ActRefused
from tidalbay.trace import Entry, Log, log_bytes, log_from_bytes

pytestmark = pytest.mark.usefixtures("model")

CASE = """
schema: 1
id: laws
title: A case for laws
teaches: nothing
patient: {name: Nobody, preset: post_operative}
order: {text: "Oxygen 2 L/min", target_spo2_pct: [94, 98]}
minutes: 20
setup:
  supplies:
    - {id: outlet, kind: wall_oxygen, flowmeter: {id: flowmeter, max_lpm: 15}}
    - {id: bottle, kind: cylinder, size: D, gauge_psi: 300, valve_open: true,
       flowmeter: {id: dial, max_lpm: 15}}
  devices:
    - {id: cannula, kind: nasal_cannula, connected_to: flowmeter, worn: false}
    - {id: mask, kind: non_rebreathing_mask, connected_to: dial, worn: false}
events:
  - {id: kink, at: "3:00", on: cannula, sets: {tube_kinked: true}}
  - {id: shunt, at: "1:00", sets: {shunt_frac: 0.35}}
  - {id: low, when: {reading: spo2_shown_pct, below: 88, for: "0:20"}, sets: {pain: 8}}
  - {id: after-low, after: {event: low, wait: "0:30"}, sets: {posture: upright}}
"""


def playing(acts=(), seed=3):
    return tidalbay.play(read_case(CASE), list(acts), seed=seed)


ON = [
    {"at": "0:20", "act": "flow_set", "on": "flowmeter", "flow_lpm": 4},
    {"at": "0:30", "act": "device_placed", "on": "cannula"},
]


def entry(attempt, kind, t_s, on=None, **values):
    return Entry(
        n=attempt.log.next_n, t_ms=round(1000 * t_s), kind=kind, by="x", hands="x", on=on, values=values
    )


def test_a_log_replayed_is_the_attempt_to_the_last_digit():
    played = playing(ON)
    played.run_to(400.0)

    log = log_from_bytes(log_bytes(played.log), "the log", act_versions()).log
    again = replay(plan_from(log.entries[0]), log)
    again.run_to(400.0)

    assert again.trace().digest() == played.trace().digest()
    assert again.happened == played.happened


@settings(max_examples=10, deadline=None)
@given(moments=st.lists(st.floats(0.01, 239.9), min_size=1, max_size=12))
def test_time_may_be_let_pass_in_any_pieces(moments):
    whole, pieces = playing(ON), playing(ON)
    whole.run_to(240.0)

    for moment in sorted(moments):
        pieces.run_to(moment)
    pieces.run_to(240.0)

    assert pieces.trace().digest() == whole.trace().digest()


@settings(max_examples=12, deadline=None)
@given(
    t_s=st.floats(61, 200),
    kind=st.sampled_from(
        [
            ("flow_set", "flowmeter", {"flow_lpm": 6}),
            ("device_removed", "cannula", {}),
            ("device_placed", "mask", {}),
            ("valve_closed", "bottle", {}),
            ("positioned", None, {"position": "upright"}),
        ]
    ),
)
def test_appending_an_act_never_changes_an_earlier_row(t_s, kind):
    act, on, values = kind
    without, with_act = playing(ON), playing(ON)
    without.run_to(260.0)

    with_act.run_to(t_s)
    with_act.attempt.act(entry(with_act.attempt, act, t_s, on, **values))
    with_act.run_to(260.0)
    before, after = without.trace(), with_act.trace()
    rows = int(t_s) + 1

    for name, column in before.seconds.items():
        assert np.array_equal(column[:rows], after.seconds[name][:rows], equal_nan=name != "wearing"), name
    ended = before.breaths["start_s"] + before.breaths["duration_s"] <= t_s
    for name, column in before.breaths.items():
        assert column[ended].tobytes() == after.breaths[name][: ended.sum()].tobytes(), name


def test_a_branch_goes_its_own_way_and_leaves_the_attempt_alone():
    played, untouched = playing(ON), playing(ON)
    played.run_to(120.0)
    branch = played.attempt.branch()

    branch.act(entry(branch, "device_removed", 121.0, "cannula"))
    branch.run_to(200.0)
    played.run_to(200.0)
    untouched.run_to(200.0)

    assert played.trace().digest() == untouched.trace().digest()
    assert branch.trace().digest() != played.trace().digest()
    assert len(branch.log) == len(played.log) + 1


def test_a_branch_with_nothing_changed_has_the_same_bytes():
    played = playing(ON)
    played.run_to(120.0)
    branch = played.attempt.branch()

    branch.run_to(200.0)
    played.run_to(200.0)

    assert branch.trace().digest() == played.trace().digest()


def test_taking_back_restores_the_equipment_and_rewrites_nothing():
    played = playing(ON)
    played.run_to(100.0)
    mistaken = entry(played.attempt, "flow_set", 100.0, "flowmeter", flow_lpm=15)
    played.attempt.act(mistaken)
    played.run_to(130.0)
    seen = played.trace()

    played.attempt.act(entry(played.attempt, "taken_back", 130.0, entry=mistaken.n))
    played.run_to(160.0)
    flow = played.trace().seconds["flowmeter_flow_lpm"]

    assert (flow[99], flow[120], flow[150]) == (4.0, 15.0, 4.0)
    shown = played.trace().seconds["spo2_shown_pct"]
    assert shown[:131].tobytes() == seen.seconds["spo2_shown_pct"].tobytes()


def test_taking_back_keeps_what_events_did_meanwhile():
    played = playing(ON)
    played.run_to(170.0)
    mistaken = entry(played.attempt, "flow_set", 170.0, "flowmeter", flow_lpm=15)
    played.attempt.act(mistaken)
    played.run_to(200.0)  # the tube kinks at 180 s

    played.attempt.act(entry(played.attempt, "taken_back", 200.0, entry=mistaken.n))

    assert played.attempt.equipment.readings()["flowmeter.set_lpm"] == 4.0
    assert played.attempt.equipment.readings()["cannula_tubing.kinked"] == 1.0


def test_said_moves_nothing():
    done, said = playing(), playing()
    for run, manner in ((done, "done"), (said, "said")):
        act = entry(run.attempt, "positioned", 5.0, position="upright")
        run.attempt.act(Entry(**{**vars(act), "manner": manner}))
        run.run_to(200.0)

    assert said.trace().digest() == playing_to(200.0).digest()
    assert done.trace().digest() != said.trace().digest()


def playing_to(t_s):
    run = playing()
    run.run_to(t_s)
    return run.trace()


def test_conditional_events_come_from_what_is_shown_and_are_not_logged():
    played = playing()
    played.run_to(600.0)
    when = {name: t_s for t_s, name in played.happened}
    shown = played.trace().seconds["spo2_shown_pct"]

    assert when["shunt"] == 60.0
    assert (shown[int(when["low"]) - 19 : int(when["low"]) + 1] < 88).all()
    assert when["after-low"] == when["low"] + 30.0
    assert [e.kind for e in played.log.acts] == ["attempt_started"]


def test_an_empty_cylinder_ends_the_flow_by_itself():
    acts = [
        {"at": "0:05", "act": "flow_set", "on": "dial", "flow_lpm": 15},
        {"at": "0:10", "act": "bag_filled", "on": "mask"},
        {"at": "0:15", "act": "device_placed", "on": "mask"},
    ]
    played = playing(acts)
    played.run_to(600.0)
    trace = played.trace().seconds
    flow, gauge = trace["dial_flow_lpm"], trace["bottle_gauge_psi"]

    assert flow[60] == pytest.approx(15.0)
    assert flow[-1] == 0.0
    assert gauge[-1] == pytest.approx(0.0, abs=2.0)
    assert (np.diff(gauge[20:]) <= 1e-9).all()
    # 300 psi of a D cylinder (0.16 L/psi) is 48 L: about three minutes at 15 L/min
    assert 150 < np.flatnonzero(flow > 14.0)[-1] < 260
    assert trace["sao2_pct"][-1] < trace["sao2_pct"][120] - 3


def test_what_hands_cannot_do_is_refused_and_leaves_no_entry():
    played = playing()
    act = entry(played.attempt, "flow_set", 10.0, "flowmeter", flow_lpm=40)

    with pytest.raises(ActRefused) as refusal:
        played.attempt.act(act)

    assert str(refusal.value) == "40 L/min cannot be set on 'flowmeter': its scale ends at 15 L/min."
    assert len(played.log) == 1


def test_an_event_may_be_thrown_by_hand():
    played = playing(ON)
    played.run_to(40.0)

    played.attempt.act(entry(played.attempt, "event_thrown", 40.0, event="kink"))
    played.run_to(60.0)

    assert played.trace().seconds["flowmeter_flow_lpm"][50] == 0.0
    assert (40.0, "kink") in played.happened


def test_skipped_time_is_lived_through():
    skipped, waited = playing(ON), playing(ON)
    skipped.run_to(60.0)
    skipped.attempt.act(entry(skipped.attempt, "time_skipped", 60.0, minutes=5))
    waited.run_to(360.0)

    assert skipped.t_s == 360.0
    assert skipped.trace().digest() == waited.trace().digest()


def test_logs_are_equal_when_their_entries_are():
    log = Log(playing(ON).log.entries)

    assert log == playing(ON).log


def test_a_prompted_act_moves_the_world_as_a_done_one_does():
    prompted = playing([{**act, "manner": "prompted"} for act in ON])
    done = playing(ON)
    for run in (prompted, done):
        run.run_to(120.0)

    assert prompted.trace().digest() == done.trace().digest()


def test_two_takings_back_replay_as_they_were_lived():
    played = playing()
    for t_s, flow in ((10.0, 2), (20.0, 4), (60.0, 6)):
        played.attempt.act(entry(played.attempt, "flow_set", t_s, "flowmeter", flow_lpm=flow))
    played.attempt.act(entry(played.attempt, "taken_back", 90.0, entry=4))
    played.run_to(120.0)
    played.attempt.act(entry(played.attempt, "taken_back", 130.0, entry=3))
    played.run_to(170.0)

    again = replay(plan_from(played.log.entries[0]), Log(played.log.entries))
    again.run_to(170.0)
    set_lpm = played.trace().seconds["flowmeter_shown_lpm"]

    assert (set_lpm[80], set_lpm[110], set_lpm[160]) == (6.0, 4.0, 2.0)
    assert again.trace().digest() == played.trace().digest()
