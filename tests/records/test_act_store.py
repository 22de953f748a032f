"""Contract of the act store: it keeps what a log keeps, on the disk, and gives it back the same."""

import threading
from concurrent.futures import Future
from pathlib import Path

import pytest
from tests.records.attempts import SOON_S, act, begun, ended, first, rating, tap

from tidalbay.records import ActStore, StoreError
from tidalbay.trace import Key, Log, LogRefusedError, Receipt


@pytest.fixture
def store(tmp_path):
    store = begun(tmp_path)
    yield store
    store.close()


def again(store: ActStore, folder: Path) -> ActStore:
    store.close()
    return ActStore.open(folder)


def refusal(future: Future, kind=LogRefusedError) -> str:
    with pytest.raises(kind) as problem:
        future.result(SOON_S)
    return str(problem.value)


def test_a_log_comes_back_the_same(tmp_path):
    store = begun(tmp_path)
    entries = [
        tap(2, 0),
        act(3, 2_000, "device_placed", values={"fit": "snug"}, manner="said", seen_at_ms=500),
        rating(4, 2_000),
    ]
    store.append("a-1", entries[:1])
    store.append("a-1", entries[1:]).result(SOON_S)

    store = again(store, tmp_path)

    assert store.log("a-1") == Log([first(), *entries])
    store.close()


def test_an_open_attempt_says_where_it_stands(tmp_path):
    store = ActStore.open(tmp_path, now_utc_ms=lambda: 1_900_000_000_000)
    store.begin("a-1", "s1", [first()]).result(SOON_S)
    store.begin("a-2", "s2", [first(), tap(2, 0, t_ms=9_000)], parent="a-1").result(SOON_S)

    one, two = store.open_attempts()

    assert (one.id, one.station, one.parent, one.t_ms, one.state) == ("a-1", "s1", None, 0, "paused")
    assert (one.case_id, one.mode, one.started_utc_ms) == ("post-operative", "formative", 1_900_000_000_000)
    assert (two.id, two.station, two.parent, two.t_ms) == ("a-2", "s2", "a-1", 9_000)
    store.close()


def test_a_repeated_key_gets_the_old_receipt_and_adds_nothing(store, tmp_path):
    store.append("a-1", [tap(2, 0), tap(3, 1)]).result(SOON_S)

    receipts = store.append("a-1", [tap(4, 0, t_ms=8_000)]).result(SOON_S)

    assert receipts == (Receipt(2, 1_000),)
    assert len(store.log("a-1")) == 3


def test_a_repeated_key_gets_the_old_receipt_after_a_restart_too(tmp_path):
    store = begun(tmp_path)
    store.append("a-1", [tap(2, 0)]).result(SOON_S)
    store = again(store, tmp_path)

    receipts = store.append("a-1", [tap(3, 0, t_ms=8_000), tap(3, 1, t_ms=8_000)]).result(SOON_S)

    assert receipts == (Receipt(2, 1_000), Receipt(3, 8_000))
    store.close()


def test_a_repeated_key_with_another_content_is_refused(store):
    store.append("a-1", [tap(2, 0, flow_lpm=4.0)]).result(SOON_S)

    sentence = refusal(store.append("a-1", [tap(3, 0, flow_lpm=10.0)]))

    assert sentence.startswith("the key tablet-1 0 was used for entry 2")


def test_the_same_key_in_two_attempts_is_two_taps(store):
    store.begin("a-2", "s2", [first()])
    store.append("a-1", [tap(2, 0)])

    assert store.append("a-2", [tap(2, 0)]).result(SOON_S) == (Receipt(2, 1_000),)


@pytest.mark.parametrize("n", [1, 2, 4])
def test_a_wrong_number_is_refused_and_nothing_is_kept(store, n):
    store.append("a-1", [tap(2, 0)]).result(SOON_S)

    sentence = refusal(store.append("a-1", [act(n)]))

    assert sentence == f"entry 3 comes next, and flow_set carries the number {n}."
    assert len(store.log("a-1")) == 2


def test_a_batch_is_kept_whole_or_not_at_all(store):
    refusal(store.append("a-1", [tap(2, 0), tap(4, 1)]))

    assert len(store.log("a-1")) == 1
    assert store.append("a-1", [tap(2, 0)]).result(SOON_S) == (Receipt(2, 1_000),)


def test_an_attempt_begins_once(store):
    sentence = refusal(store.begin("a-1", "s2", [first()]), StoreError)

    assert sentence == "attempt a-1: has begun already; a new attempt needs a new id."


def test_an_attempt_that_has_not_begun_takes_nothing(store):
    sentence = refusal(store.append("a-9", [tap(2, 0)]), StoreError)

    assert sentence == "attempt a-9: there is no such attempt in this folder."


def test_what_could_not_be_read_again_is_not_taken(store):
    sentence = refusal(store.append("a-1", [act(2, kind="flow_imagined")]), StoreError)

    assert "flow_imagined in version 1 is not in the catalogue of acts" in sentence
    assert len(store.log("a-1")) == 1


def test_a_refused_batch_takes_no_other_with_it(store):
    held = threading.Event()
    busy = store._writer.submit(lambda pen: held.wait(SOON_S))  # so that what follows shares one commit
    good, bad, next_good = (store.append("a-1", [act(n)]) for n in (2, 7, 3))
    held.set()

    busy.result(SOON_S)
    assert good.result(SOON_S) == (Receipt(2, 1_000),)
    refusal(bad)
    assert next_good.result(SOON_S) == (Receipt(3, 1_000),)
    assert len(store.log("a-1")) == 3


def test_after_the_end_no_act_is_taken_and_a_mark_is(store):
    store.append("a-1", [ended(2)]).result(SOON_S)

    assert "comes after attempt_ended" in refusal(store.append("a-1", [act(3)]))
    assert store.append("a-1", [rating(3)]).result(SOON_S) == (Receipt(3, 1_000),)
    assert store.open_attempts() == []


def test_a_caller_who_goes_away_disturbs_nobody(store):
    held = threading.Event()
    store._writer.submit(lambda pen: held.wait(SOON_S))
    gone = store.append("a-1", [tap(2, 0)])
    assert gone.cancel()
    held.set()

    assert store.append("a-1", [tap(2, 1)]).result(SOON_S) == (Receipt(2, 1_000),)
    assert [entry.key for entry in store.log("a-1")][1:] == [Key("tablet-1", 1)]


def test_the_shown_trace_is_kept_at_the_end_and_never_changed(tmp_path):
    store = begun(tmp_path)
    trace_json = b'{"seconds": [' + b"97.0, " * 10_000 + b"96.0]}"

    assert "no attempt_ended yet" in refusal(store.finish("a-1", trace_json), StoreError)
    store.append("a-1", [ended(2)]).result(SOON_S)
    assert [stored.id for stored in store.ended_without_trace()] == ["a-1"]
    store.finish("a-1", trace_json).result(SOON_S)
    store.finish("a-1", trace_json).result(SOON_S)
    assert "never changes" in refusal(store.finish("a-1", b"{}"), StoreError)

    store = again(store, tmp_path)
    assert store.shown_trace("a-1") == trace_json
    assert store.ended_without_trace() == []
    store.close()


def test_a_clock_is_marked_and_never_goes_back(tmp_path):
    store = begun(tmp_path)
    store.mark_clock("a-1", 62_000, "running")
    store = again(store, tmp_path)
    store.mark_clock("a-1", 60_000, "paused")
    store = again(store, tmp_path)

    (stored,) = store.open_attempts()

    assert (stored.t_ms, stored.state) == (62_000, "paused")
    store.close()


def test_an_ended_attempt_is_not_revived_by_a_late_clock(tmp_path):
    store = begun(tmp_path)
    store.append("a-1", [ended(2)]).result(SOON_S)
    store.mark_clock("a-1", 2_000, "running")
    store = again(store, tmp_path)

    assert store.open_attempts() == []
    store.close()


def test_a_closed_store_says_so(tmp_path):
    store = begun(tmp_path)
    store.close()

    assert "is closed; this was not kept" in refusal(store.append("a-1", [tap(2, 0)]), StoreError)
    assert "is closed; this was not kept" in refusal(store.finish("a-1", b"{}"), StoreError)
    store.close()
