"""Contract of every store of a log: order, numbers, keys, batches, and an end."""

import pytest

from tidalbay.trace import Entry, Key, Log, LogRefusedError, Mark, Receipt, attempt_started

FIRST = attempt_started(
    mode="practice", seed=7, case={"id": "c"}, case_sha256="0" * 64, engine_digest="e", by="checker-1"
)


def act(n, t_ms, kind="flow_set", **said):
    return Entry(n=n, t_ms=t_ms, kind=kind, by="checker-1", hands="learner-2", **said)


def rating(n, t_ms):
    return Mark(n=n, t_ms=t_ms, kind="global_rating", rater="checker-1", values={"rating": 3})


def refused(log, entry):
    with pytest.raises(LogRefusedError) as problem:
        log.append(entry)
    return str(problem.value)


def test_order_is_kept_and_acts_and_marks_share_their_numbers():
    log = Log([FIRST, act(2, 500), rating(3, 500), act(4, 500, "device_placed")])

    assert [entry.n for entry in log] == [1, 2, 3, 4]
    assert [entry.kind for entry in log.acts] == ["attempt_started", "flow_set", "device_placed"]
    assert [mark.kind for mark in log.marks] == ["global_rating"]


def test_the_receipt_says_number_and_time():
    log = Log([FIRST])

    receipt = log.append(act(2, 1_200))

    assert receipt == Receipt(n=2, t_ms=1_200)


@pytest.mark.parametrize("n", [1, 2, 4])
def test_a_number_that_does_not_rise_by_one_is_refused(n):
    log = Log([FIRST, act(2, 0)])

    sentence = refused(log, act(n, 10))

    assert sentence == f"entry 3 comes next, and flow_set carries the number {n}."
    assert len(log) == 2


def test_time_never_runs_backwards():
    log = Log([FIRST, act(2, 5_000)])

    sentence = refused(log, act(3, 4_999))

    assert sentence == (
        "entry 3 is at 4999 ms, before entry 2 at 5000 ms; time in a log never runs backwards."
        " A late tap keeps its own time in seen_at_ms."
    )


def test_the_same_tap_sent_twice_gets_its_old_receipt_and_adds_nothing():
    log = Log([FIRST, act(2, 100, key=Key("tablet-1", 1)), act(3, 200)])

    receipt = log.append(act(4, 900, key=Key("tablet-1", 1)))

    assert receipt == Receipt(n=2, t_ms=100)
    assert len(log) == 3


def test_the_same_tap_gets_its_old_receipt_even_after_the_end():
    log = Log([FIRST, act(2, 100, key=Key("tablet-1", 1)), act(3, 200, "attempt_ended")])

    assert log.append(act(4, 900, key=Key("tablet-1", 1))) == Receipt(n=2, t_ms=100)


def test_a_key_that_comes_back_with_another_act_is_refused_not_swallowed():
    log = Log([FIRST, act(2, 100, key=Key("tablet-1", 1))])

    sentence = refused(log, act(3, 200, "device_placed", key=Key("tablet-1", 1)))

    assert sentence == (
        "the key tablet-1 1 was used for entry 2, flow_set; it cannot also stand for another device_placed."
    )


def test_nothing_is_done_after_the_end_but_judging_may_go_on():
    log = Log([FIRST, act(2, 100, "attempt_ended")])

    sentence = refused(log, act(3, 200))
    receipt = log.append(rating(3, 200))

    assert sentence == "entry 3, flow_set, comes after attempt_ended; nothing more can be done."
    assert log.has_ended
    assert receipt == Receipt(n=3, t_ms=200)


def test_a_log_opens_with_attempt_started_alone():
    assert refused(Log(), act(1, 0)) == (
        "entry 1: flow_set cannot open a log; the first entry is attempt_started, number 1, at 0 ms."
    )
    assert refused(Log(), rating(1, 0)) == (
        "global_rating cannot open a log; the first entry is attempt_started."
    )


def test_an_attempt_is_started_once():
    again = act(2, 0, "attempt_started")

    assert refused(Log([FIRST]), again) == "entry 2 starts the attempt again; a new attempt is a new log."


def test_a_batch_is_kept_whole_or_not_at_all():
    log = Log([FIRST])

    with pytest.raises(LogRefusedError):
        log.append_batch([act(2, 10, key=Key("a", 1)), act(3, 20, "attempt_ended"), act(4, 30)])

    assert len(log) == 1
    assert not log.has_ended
    assert log.append_batch([act(2, 10, key=Key("a", 1)), act(3, 20)]) == (Receipt(2, 10), Receipt(3, 20))
