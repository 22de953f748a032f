"""Contract of an entry and of a mark: an envelope says nothing impossible, and nothing in it changes."""

import pickle

import pytest

from tidalbay.trace import Entry, EntryError, Key, Mark, Values, attempt_started, plain


def flow_set(**said):
    return Entry(
        **{
            "n": 4,
            "t_ms": 65_000,
            "kind": "flow_set",
            "by": "checker-1",
            "hands": "learner-2",
            "on": "wall_flowmeter",
            "values": {"flow_lpm": 4},
        }
        | said
    )


def test_what_the_hand_dialled_is_kept_unconverted():
    entry = flow_set(values={"flow_lpm": 4})

    assert entry.values["flow_lpm"] == 4
    assert isinstance(entry.values["flow_lpm"], int)


def test_an_entry_cannot_be_changed_at_any_depth():
    entry = flow_set(values={"tags": ["a", {"b": [1]}]})

    with pytest.raises(AttributeError):
        entry.n = 5
    with pytest.raises(TypeError):
        entry.values["tags"] = ()
    with pytest.raises(TypeError):
        entry.values["tags"][1]["b"] = ()


def test_a_list_changed_by_its_owner_afterwards_is_not_changed_in_the_entry():
    tags = ["a"]
    entry = flow_set(values={"tags": tags})

    tags.append("b")

    assert plain(entry.values) == {"tags": ["a"]}


def test_an_entry_travels_to_another_process_and_back_the_same():
    entry = flow_set(
        key=Key("tablet-1", 17), seen_at_ms=60_000, values={"deep": {"list": [1, 2.5, None, True]}}
    )

    back = pickle.loads(pickle.dumps(entry))

    assert back == entry
    assert hash(back) == hash(entry)


IMPOSSIBLE = [
    ({"n": 0}, "an entry's number is 0; numbers are whole and start at 1."),
    ({"n": True}, "an entry's number is True; numbers are whole and start at 1."),
    ({"t_ms": -1}, "entry 4: t_ms is -1; it is a whole number of milliseconds, 0 or more."),
    ({"t_ms": 1.5}, "entry 4: t_ms is 1.5; it is a whole number of milliseconds, 0 or more."),
    ({"v": 0}, "entry 4: v is 0; versions are whole and start at 1."),
    ({"kind": "Flow Set"}, "entry 4: kind is 'Flow Set'; it is a word such as flow_set."),
    ({"by": ""}, "entry 4: by is ''; it is a name of 1 to 100 printable characters."),
    ({"hands": "a\nb"}, "entry 4: hands is 'a\\nb'; it is a name of 1 to 100 printable characters."),
    ({"on": 3}, "entry 4: on is 3; it is a name of 1 to 100 printable characters."),
    ({"manner": "thought"}, "entry 4: manner is 'thought'; it is one of done, said, prompted."),
    (
        {"seen_at_ms": 65_001},
        "entry 4: seen_at_ms is 65001; it is a whole number of milliseconds from 0 to the entry's own"
        " time, 65000.",
    ),
    (
        {"key": ("tablet-1", "x")},
        "entry 4: key is ('tablet-1', 'x'); it is a screen's name and a count, such as ('tablet-1', 17).",
    ),
    ({"values": [1]}, "entry 4: values is [1]; it is a mapping from names to values."),
    ({"values": {"flow_lpm": float("nan")}}, "entry 4: flow_lpm is nan; a log holds finite numbers only."),
    ({"values": {1: 2}}, "entry 4: the values has the name 1; names in a log are text."),
    (
        {"values": {"who": b"x"}},
        "entry 4: who is a bytes; a log holds numbers, text, lists and mappings.",
    ),
    (
        {"values": {"who": "\ud800"}},
        "entry 4: who holds half a character (a lone surrogate); write whole characters.",
    ),
]


@pytest.mark.parametrize(("said", "sentence"), IMPOSSIBLE)
def test_an_impossible_envelope_is_refused_in_a_sentence(said, sentence):
    with pytest.raises(EntryError) as refused:
        flow_set(**said)

    assert str(refused.value) == sentence


def test_values_nested_without_end_are_refused_in_a_sentence():
    deep = [1]
    for _ in range(70):
        deep = [deep]

    with pytest.raises(EntryError) as refused:
        flow_set(values={"deep": deep})

    assert str(refused.value).endswith("is nested deeper than 60 levels; an entry holds plain values.")


def test_a_mark_has_a_rater_and_a_kind_from_the_table():
    mark = Mark(
        n=9, t_ms=0, kind="step_state", rater="checker-1", about="gas-proved", values={"state": "done"}
    )

    assert (mark.rater, mark.about, mark.values["state"]) == ("checker-1", "gas-proved", "done")


def test_a_mark_of_a_kind_nobody_knows_is_refused_in_a_sentence():
    with pytest.raises(EntryError) as refused:
        Mark(n=9, t_ms=0, kind="flow_set", rater="checker-1")

    assert str(refused.value) == (
        "entry 9: flow_set is not a kind of mark;"
        " marks are step_state, note, global_rating, overrule, which_first."
    )


START = {
    "mode": "practice",
    "seed": 7,
    "case": {"id": "post-operative"},
    "case_sha256": "0" * 64,
    "engine_digest": "engine-1",
    "by": "checker-1",
}


def test_the_first_entry_holds_all_that_a_replay_needs():
    first = attempt_started(**START)

    assert (first.n, first.t_ms, first.kind) == (1, 0, "attempt_started")
    assert plain(first.values) == {name: value for name, value in START.items() if name != "by"}


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        (
            {"mode": "exam"},
            "entry 1: mode is 'exam'; it is one of demonstration, practice, formative, summative.",
        ),
        ({"seed": -1}, "entry 1: seed is -1; it is a whole number from 0 to 18446744073709551615."),
        ({"seed": 2**64}, f"entry 1: seed is {2**64}; it is a whole number from 0 to 18446744073709551615."),
        ({"case": None}, "entry 1: case is missing; it holds the resolved case."),
        ({"case_sha256": "abc"}, "entry 1: case_sha256 is missing or is not 64 hexadecimal digits."),
        (
            {"engine_digest": ""},
            "entry 1: engine_digest is missing; it names the engine that computes the trace.",
        ),
    ],
)
def test_a_first_entry_that_a_replay_could_not_start_from_is_refused(said, sentence):
    with pytest.raises(EntryError) as refused:
        attempt_started(**(START | said))

    assert str(refused.value) == sentence


def test_values_are_equal_to_a_plain_mapping_of_the_same_content():
    assert Values({"flow_lpm": 4}) == {"flow_lpm": 4}
