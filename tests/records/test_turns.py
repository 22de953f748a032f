"""Contract: a learner's assessments on one case are counted; what cost nothing is not."""

import pytest
from tests.records.attempts import SOON_S, act, first, rating

from tidalbay.records import ActStore

FREE = ("stopped_kindly", "void_for_equipment")


@pytest.fixture
def store(tmp_path):
    store = ActStore.open(tmp_path)
    yield store
    store.close()


def keep(
    store, attempt, by="person-1", why="finished", mode="summative", case="post-operative", touched=True
):
    """An attempt that was begun, touched, perhaps ended, and rated afterwards."""
    said = first(by=by, mode=mode, case={"id": case, "title": "A case"})
    store.begin(attempt, "s1", [said]).result(SOON_S)
    entries = [act(2, on="flowmeter", values={"flow_lpm": 2})] if touched else []
    if why is not None:
        entries.append(act(len(entries) + 2, kind="attempt_ended", values={"why": why}))
    if touched:
        entries.append(rating(len(entries) + 2))
    if entries:
        store.append(attempt, entries).result(SOON_S)
    return store.turn_of(attempt, FREE)


def test_each_ended_assessment_of_a_learner_counts_on(store):
    assert [keep(store, f"a-{n}") for n in range(4)] == [1, 2, 3, 4]


def test_a_number_never_changes_by_what_comes_later(store):
    keep(store, "a-1")
    keep(store, "a-2")
    keep(store, "a-3")

    assert store.turn_of("a-2", FREE) == 2


@pytest.mark.parametrize("why", FREE)
def test_an_end_that_costs_nothing_is_not_counted(store, why):
    assert [keep(store, "a-1", why=why), keep(store, "a-2"), keep(store, "a-3")] == [1, 1, 2]


@pytest.mark.parametrize(
    "other",
    [
        {"by": "person-2"},
        {"case": "transport"},
        {"mode": "formative"},
        {"mode": "practice"},
        {"why": None},
        {"touched": False},
    ],
)
def test_what_is_not_this_learners_assessment_on_this_case_is_not_counted(store, other):
    keep(store, "a-0", **other)

    assert keep(store, "a-1") == 1


@pytest.mark.parametrize("who", [{"mode": "formative"}, {"by": "station"}])
def test_nobody_counts_what_is_no_assessment_and_what_is_nobodys(store, who):
    assert keep(store, "a-1", **who) is None
    assert store.turn_of("a-unknown", FREE) is None


def test_the_count_is_the_same_after_a_restart(store, tmp_path):
    keep(store, "a-1")
    keep(store, "a-2")
    store.close()
    again = ActStore.open(tmp_path)

    assert again.turn_of("a-2", FREE) == 2
    again.close()
