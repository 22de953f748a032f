"""Contract of the log as lines of JSON: the log read is the log written, and damage is said."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tidalbay.trace import (
    Entry,
    Key,
    Log,
    LogUnreadableError,
    Mark,
    attempt_started,
    lifted,
    log_bytes,
    log_from_bytes,
    read_log,
    write_log,
)

KINDS = {"attempt_started": 1, "flow_set": 1, "attempt_ended": 1}

FIRST = attempt_started(
    mode="practice", seed=7, case={"id": "c"}, case_sha256="0" * 64, engine_digest="e", by="checker-1"
)


def flow_set(n, t_ms, flow_lpm, **said):
    return Entry(
        n=n, t_ms=t_ms, kind="flow_set", by="a", hands="b", on="wall", values={"flow_lpm": flow_lpm}, **said
    )


LOG = Log(
    [
        FIRST,
        flow_set(2, 1_000, 4),
        flow_set(3, 1_000, 4.5, key=Key("tablet-1", 3), seen_at_ms=200, manner="said"),
        Mark(n=4, t_ms=2_000, kind="note", rater="checker-1", about="c-1", values={"text": "ruhig, 37 °C"}),
    ]
)


def read(data, kinds=KINDS, **more):
    return log_from_bytes(data, "attempt.jsonl", kinds, **more)


def sentence_of(data, kinds=KINDS, **more):
    with pytest.raises(LogUnreadableError) as unreadable:
        read(data, kinds, **more)
    return str(unreadable.value)


def lines_with(number, record):
    lines = log_bytes(LOG).splitlines()
    lines[number - 1] = record if isinstance(record, bytes) else json.dumps(record).encode()
    return b"\n".join(lines) + b"\n"


def test_the_log_read_is_the_log_written(tmp_path):
    path = tmp_path / "attempt.jsonl"

    write_log(path, LOG)

    assert read_log(path, KINDS).log == LOG
    assert read_log(path, KINDS).torn is None
    assert log_bytes(read_log(path, KINDS).log) == path.read_bytes()


json_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(st.characters(exclude_categories=["Cs"])),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text("abc_", max_size=5), inner, max_size=3)
    ),
    max_leaves=8,
)


@settings(max_examples=100)
@given(st.dictionaries(st.text("abcdef_", min_size=1, max_size=8), json_values, max_size=4))
def test_any_values_come_back_the_same_to_the_last_digit(values):
    entry = Entry(n=2, t_ms=5, kind="flow_set", by="a", hands="b", values=values)

    back = read(log_bytes(Log([FIRST, entry]))).log.acts[1]

    assert back == entry
    assert repr(back.values) == repr(entry.values)


@pytest.mark.parametrize("cut", range(1, 40, 7))
def test_a_torn_tail_costs_the_unfinished_entry_and_is_said(cut):
    data = log_bytes(LOG)[:-cut]
    whole_without_newline = cut == 1

    got = read(data)

    if whole_without_newline:
        assert (got.log, got.torn) == (LOG, None)
    else:
        assert got.log == Log(LOG.entries[:3])
        assert (
            got.torn == "attempt.jsonl:4  the last line is cut short and was left out; 3 entries were read."
        )


def test_a_tail_torn_inside_a_letter_is_a_torn_tail_too():
    data = log_bytes(LOG)

    got = read(data[: data.index("°".encode()) + 1])

    assert got.torn == "attempt.jsonl:4  the last line is cut short and was left out; 3 entries were read."


def test_an_unknown_kind_stops_the_reading_and_is_named_with_its_line():
    sentence = sentence_of(lines_with(2, {"n": 2, "t_ms": 5, "kind": "teleported", "v": 1}))

    assert sentence == (
        "attempt.jsonl:2  the kind teleported is not known here: the log was written by a newer version or by"
        " hand. Nothing was replayed."
    )


def test_a_newer_version_stops_the_reading_and_is_named_with_its_line():
    sentence = sentence_of(lines_with(3, {"n": 3, "t_ms": 5, "kind": "flow_set", "v": 3}))

    assert sentence == (
        "attempt.jsonl:3  flow_set is in version 3 and this program reads up to version 1: the log was"
        " written by a newer version. Nothing was replayed."
    )


def to_litres(record):
    values = record["values"]
    return record | {"values": {"flow_lpm": values["flow_ml_min"] / 1000}}


def to_named(record):
    return record | {"on": record.get("on", "wall_flowmeter")}


def test_an_old_version_is_lifted_step_by_step():
    old = {
        "n": 2,
        "t_ms": 5,
        "kind": "flow_set",
        "v": 1,
        "by": "a",
        "hands": "b",
        "values": {"flow_ml_min": 500},
    }
    lifts = {("flow_set", 1): to_litres, ("flow_set", 2): to_named}
    data = log_bytes(Log([FIRST])) + json.dumps(old).encode() + b"\n"

    act = read(data, KINDS | {"flow_set": 3}, lifts=lifts).log.acts[1]

    assert (act.v, act.on, act.values) == (3, "wall_flowmeter", {"flow_lpm": 0.5})


def test_a_step_that_nobody_wrote_is_named():
    with pytest.raises(LookupError) as missing:
        lifted({"kind": "flow_set", "v": 2}, 4, {("flow_set", 3): to_named})

    assert missing.value.args == ("flow_set is in version 2 and nothing here lifts it to version 3.",)


ENVELOPE = {"n": 2, "t_ms": 5, "kind": "flow_set", "v": 1, "by": "a", "hands": "b"}

DAMAGED = [
    (b"{broken", "this line cannot be read: it is not JSON at column 2."),
    (b"\xff\xfe", "this line cannot be read: it is not UTF-8."),
    (b"[1]", "this line cannot be read: it is not an object in braces."),
    (b"", "this line cannot be read: it is not JSON at column 1."),
    (b'{"n":NaN}', "this line cannot be read: it holds NaN, which is not a number."),
    (b'{"n":1,"n":2}', "this line cannot be read: it says n twice."),
    (b"[" * 200_000, "this line cannot be read: it is nested too deeply."),
    (b'{"kind":"flow_set"}', "the line has no kind and version, so it is not an entry of a log."),
    ({**ENVELOPE, "n": 7}, "flow_set: entry 2 comes next, and flow_set carries the number 7."),
    ({**ENVELOPE, "colour": 1}, "flow_set: the line holds colour, which no envelope has."),
    (
        {name: ENVELOPE[name] for name in ("n", "t_ms", "kind", "v")},
        "flow_set: the line lacks by, hands.",
    ),
    (
        {**ENVELOPE, "key": [1, 2, 3]},
        "flow_set: entry 2: key is [1, 2, 3]; it is a screen's name and a count, such as ('tablet-1', 17).",
    ),
    ({**ENVELOPE, "values": 3}, "flow_set: entry 2: values is 3; it is a mapping from names to values."),
]


@pytest.mark.parametrize(("record", "sentence"), DAMAGED)
def test_a_damaged_line_stops_the_reading_in_a_sentence_that_names_it(record, sentence):
    assert sentence_of(lines_with(2, record)) == f"attempt.jsonl:2  {sentence}"


def test_an_empty_log_and_one_torn_in_its_first_line_hold_nothing():
    for data in (b"", log_bytes(LOG)[:30]):
        assert sentence_of(data) == "attempt.jsonl  the log is empty; its first line is attempt_started."


def test_a_missing_file_and_a_folder_are_said(tmp_path):
    missing, folder = tmp_path / "none.jsonl", tmp_path

    with pytest.raises(LogUnreadableError) as no_file:
        read_log(missing, KINDS)
    with pytest.raises(LogUnreadableError) as a_folder:
        read_log(folder, KINDS)

    assert str(no_file.value) == f"{missing}  there is no such file."
    assert str(a_folder.value) == f"{folder}  this is a folder; give the log file itself."
