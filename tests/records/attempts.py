"""Entries to keep: a first one, acts and marks, and a store in a folder."""

from tidalbay.records import ActStore
from tidalbay.trace import Entry, Key, Mark, attempt_started

SOON_S = 10  # a future that is not settled by then never will be


def first(**said):
    return attempt_started(
        **{
            "mode": "formative",
            "seed": 7,
            "case": {"id": "post-operative", "title": "The day after"},
            "case_sha256": "0" * 64,
            "engine_digest": "e",
            "by": "instructor",
            **said,
        }
    )


def act(n, t_ms=1_000, kind="flow_set", key=None, **said):
    return Entry(n=n, t_ms=t_ms, kind=kind, by="checker", hands="learner", key=key, **said)


def ended(n, t_ms=1_000):
    return act(n, t_ms, "attempt_ended", values={"why": "finished"})


def rating(n, t_ms=1_000):
    return Mark(n=n, t_ms=t_ms, kind="global_rating", rater="checker", values={"rating": 3})


def tap(n, counter, t_ms=1_000, flow_lpm=4.0):
    return act(n, t_ms, key=Key("tablet-1", counter), on="flowmeter", values={"flow_lpm": flow_lpm})


def begun(folder, attempt="a-1", station="s1", **said):
    store = ActStore.open(folder)
    store.begin(attempt, station, [first(**said)]).result(SOON_S)
    return store
