"""Law: before a changed act all is the same to the last digit, and with nothing changed all of it is."""

import numpy as np
import pytest

import tidalbay
from tidalbay.attempt import Change, forks_of, what_if
from tidalbay.trace import Entry


@pytest.fixture(scope="module")
def played(model):
    playing = tidalbay.play(tidalbay.load_case("post-operative"), "good")
    playing.run_to(600)
    return playing


def flow_entry(playing):
    return next(act for act in playing.log.acts if act.kind == "flow_set")


def before(trace, t_s):
    """Every number shown up to a moment; a column that is empty until then may come later or never."""
    rows = trace.seconds["t_s"] <= t_s
    known = {name: column[rows] for name, column in trace.seconds.items()}
    return {
        name: column.tobytes()
        for name, column in known.items()
        if column.dtype.kind != "f" or not np.isnan(column).all()
    }


def test_nothing_changed_gives_the_same_bytes(played):
    again = what_if(played.log, None, 600)

    assert again.attempt.trace().digest() == played.trace().digest()
    assert again.left_out == []


@pytest.mark.parametrize("way", ["changed", "moved", "removed", "added"])
def test_before_the_changed_act_the_bytes_are_the_same_and_after_it_they_differ(played, way):
    flow = flow_entry(played)
    change = {
        "changed": Change("changed", flow.n, values={"flow_lpm": 6.0}),
        "moved": Change("moved", flow.n, t_ms=400_000),
        "removed": Change("removed", flow.n),
        "added": Change("added", t_ms=300_000, kind="positioned", values={"position": "flat"}),
    }[way]

    other = what_if(played.log, change, 600)

    assert before(other.attempt.trace(), other.from_s) == before(played.trace(), other.from_s)
    assert other.attempt.trace().digest() != played.trace().digest()


def test_an_act_moved_behind_others_is_done_in_the_new_order(played):
    flow = flow_entry(played)

    other = what_if(played.log, Change("moved", flow.n, t_ms=400_000), 600)

    moments = [act.t_ms for act in other.attempt.log.acts]
    assert moments == sorted(moments)
    assert [act.n for act in other.attempt.log.acts] == list(range(1, len(moments) + 1))


def test_hands_that_can_no_longer_do_a_later_act_leave_it_out_and_it_is_told(model):
    playing = tidalbay.play(tidalbay.load_case("post-operative"), [])
    for t_ms, kind, values in (
        (10_000, "device_chosen", {"device": "simple_mask"}),
        (20_000, "device_placed", {}),
    ):
        entry = Entry(
            n=playing.log.next_n,
            t_ms=t_ms,
            kind=kind,
            by="script",
            hands="learner",
            on="simple_mask",
            values=values,
        )
        playing.attempt.act(entry)

    other = what_if(playing.log, Change("removed", 2), 60)

    assert [n for n, _ in other.left_out] == [3]
    assert "simple_mask" in other.left_out[0][1]


def test_taking_back_points_at_the_same_act_after_one_was_removed(model):
    playing = tidalbay.play(tidalbay.load_case("post-operative"), "good")
    playing.run_to(300)
    flow = flow_entry(playing)
    playing.attempt.act(
        Entry(
            n=playing.log.next_n,
            t_ms=310_000,
            kind="taken_back",
            by="checker",
            hands="learner",
            values={"entry": flow.n},
        )
    )

    other = what_if(playing.log, Change("removed", playing.log.acts[1].n), 400)

    back = other.attempt.log.acts[-1]
    assert back.values["entry"] == flow.n - 1
    assert np.isclose(other.attempt.trace().seconds["flowmeter_flow_lpm"][-1], 0.0)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (Change("forgotten", 3), "An act is changed, moved, added, removed; 'forgotten' is none of these."),
        (Change("removed", 99), "There is no act numbered 99 in this log."),
        (Change("added", t_ms=5_000), "An act that is added says when (t_ms) and which (kind)."),
    ],
)
def test_a_change_that_is_none_is_refused_in_words(played, change, sentence):
    with pytest.raises(ValueError) as refused:
        what_if(played.log, change, 60)

    assert str(refused.value) == sentence


@pytest.mark.parametrize("way", ["changed", "moved", "removed", "added"])
def test_going_on_from_a_fork_gives_the_same_bytes_as_going_all_the_way(played, way):
    flow = flow_entry(played)
    change = {
        "changed": Change("changed", flow.n, values={"flow_lpm": 6.0}),
        "moved": Change("moved", flow.n, t_ms=170_000),
        "removed": Change("removed", flow.n),
        "added": Change("added", t_ms=300_000, kind="positioned", values={"position": "flat"}),
    }[way]
    forks = forks_of(played.log)

    whole, forked = what_if(played.log, change, 600), what_if(played.log, change, 600, forks)

    assert len(forks) == len(played.log.acts) - 1
    assert forked.attempt.trace().digest() == whole.attempt.trace().digest()
    assert forked.attempt.log == whole.attempt.log
    assert forked.left_out == whole.left_out


def test_reading_gauges_seldom_changes_nothing_but_gauges(model):
    playing = tidalbay.play(tidalbay.load_case("transport"), "good")
    playing.run_to(900)

    often, seldom = playing.trace().seconds, playing.attempt.trace(gauges_every_s=60).seconds

    unlike = {name for name in often if often[name].tobytes() != seldom[name].tobytes()}
    assert list(often) == list(seldom)
    assert unlike
    assert all("_gauge_" in name for name in unlike)
