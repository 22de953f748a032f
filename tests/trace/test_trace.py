"""Contract of a trace: frozen, named with units, equal bit for bit, and never NaN in JSON."""

import csv
import json
import pickle

import numpy as np
import pytest

from tidalbay.trace import Trace, TraceError, trace_from_json, unit_of

SECONDS = {
    "t_s": [0.0, 1.0, 2.0],
    "spo2_shown_pct": [float("nan"), 96.0, 97.1],
    "probe_on": [False, True, True],
    "worn": ["none", "nasal_cannula", "nasal_cannula"],
}
BREATHS = {"n": [1, 2], "start_s": [0.25, 3.75], "tidal_ml_btps": [512.3, -0.0]}


def trace(seconds=SECONDS, breaths=BREATHS, **more):
    return Trace(seconds, breaths, **more)


def refusal(*tables, **more):
    with pytest.raises(TraceError) as refused:
        Trace(*tables, **more)
    return str(refused.value)


def test_the_tables_are_dictionaries_of_arrays_so_that_a_data_frame_takes_them_as_they_are():
    recorded = trace()

    assert isinstance(recorded.seconds, dict)
    assert {name: array.dtype.kind for name, array in recorded.seconds.items()} == {
        "t_s": "f",
        "spo2_shown_pct": "f",
        "probe_on": "b",
        "worn": "U",
    }


def test_a_column_says_its_unit_by_its_name():
    assert trace().units == {
        "t_s": "s",
        "spo2_shown_pct": "%",
        "probe_on": "",
        "worn": "",
        "n": "",
        "start_s": "s",
        "tidal_ml_btps": "mL BTPS",
    }


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("rate_per_min", "/min"),
        ("co2_output_ml_min", "mL/min"),
        ("flow_lpm", "L/min"),
        ("elastance_cmh2o_l", "cmH2O/L"),
        ("paco2_mmhg", "mmHg"),
        ("ph", "1"),
        ("worn", None),
        ("was_dim", None),
    ],
)
def test_the_longest_ending_names_the_unit(name, unit):
    assert unit_of(name) == unit


def test_nothing_in_a_trace_can_be_changed():
    recorded = trace()

    with pytest.raises(ValueError, match="read-only"):
        recorded.seconds["t_s"][0] = 5.0
    with pytest.raises(TypeError):
        recorded.seconds["t_s"] = np.zeros(3)
    with pytest.raises(TypeError):
        recorded.seconds.update(t_s=np.zeros(3))
    with pytest.raises(AttributeError):
        recorded.seconds = {}


def test_an_array_changed_by_its_owner_afterwards_is_not_changed_in_the_trace():
    clock = np.array([0.0, 1.0, 2.0])
    recorded = trace(SECONDS | {"t_s": clock})

    clock[0] = -9.0

    assert recorded.seconds["t_s"][0] == 0.0


def test_the_same_columns_are_the_same_trace_and_have_the_same_digest():
    assert trace() == trace()
    assert hash(trace()) == hash(trace())
    assert trace().digest() == trace().digest()


@pytest.mark.parametrize(
    "changed",
    [
        {"spo2_shown_pct": [float("nan"), 96.0, np.nextafter(97.1, 98)]},
        {"worn": ["none", "nasal_cannula", "simple_mask"]},
        {"probe_on": [0, 1, 1]},
    ],
)
def test_one_bit_makes_another_trace(changed):
    other = trace(SECONDS | changed)

    assert other != trace()
    assert other.digest() != trace().digest()


def test_words_are_the_same_however_wide_the_array_was_that_held_them():
    other = trace(SECONDS | {"worn": np.array(SECONDS["worn"], dtype="U120")})

    assert other == trace()
    assert trace_from_json(other.to_json()) == other


def test_zero_and_minus_zero_are_different_bits():
    other = trace(breaths=BREATHS | {"tidal_ml_btps": [512.3, 0.0]})

    assert other != trace()
    assert other.digest() != trace().digest()


def test_not_a_number_has_one_bit_pattern_whatever_machine_made_it():
    minus_nan = np.array([0xFFF8000000000001], dtype=np.uint64).view(np.float64)[0]

    other = trace(SECONDS | {"spo2_shown_pct": [minus_nan, 96.0, 97.1]})

    assert other == trace()


def test_a_reading_holds_until_the_next_one():
    recorded = trace()

    assert recorded.at(1.0)["spo2_shown_pct"] == 96.0
    assert recorded.at(1.999)["worn"] == "nasal_cannula"
    assert recorded.at(0.5)["probe_on"] is False


def test_a_moment_outside_the_recording_is_refused_in_a_sentence():
    with pytest.raises(LookupError) as outside:
        trace().at(2.5)

    assert outside.value.args == ("the trace runs from 0 to 2 s; 2.5 s is outside it.",)


def test_an_unknown_number_is_null_in_json():
    said = json.loads(trace().to_json(), parse_constant=pytest.fail)

    assert said["seconds"]["spo2_shown_pct"] == [None, 96.0, 97.1]
    assert said["columns"]["tidal_ml_btps"] == {"unit": "mL BTPS", "kind": "number", "about": ""}
    assert said["caution"].startswith("For teaching and assessment with simulated patients only")


def test_a_trace_read_from_its_json_is_the_same_bit_for_bit():
    recorded = trace(about={"worn": "What is on the face."})

    back = trace_from_json(recorded.to_json())

    assert back == recorded
    assert back.columns == recorded.columns
    assert np.signbit(back.breaths["tidal_ml_btps"][1])


def test_a_trace_changed_after_it_was_written_is_refused():
    with pytest.raises(TraceError) as changed:
        trace_from_json(trace().to_json().replace("96.0", "98.0"))

    assert str(changed.value) == "this trace was changed after it was written: its digest does not fit."


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"columns": 3}', "[" * 200_000])
def test_what_is_not_a_trace_is_refused_in_a_sentence(text):
    with pytest.raises(TraceError) as refused:
        trace_from_json(text)

    assert str(refused.value) == "this is not a trace: it lacks columns, seconds, breaths or a digest."


def test_the_table_in_csv_has_empty_cells_for_unknown_numbers(tmp_path):
    path = tmp_path / "seconds.csv"

    trace().to_csv(path)

    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    assert rows == [
        ["t_s", "spo2_shown_pct", "probe_on", "worn"],
        ["0.0", "", "false", "none"],
        ["1.0", "96.0", "true", "nasal_cannula"],
        ["2.0", "97.1", "true", "nasal_cannula"],
    ]


def test_breaths_go_to_csv_when_asked_for_and_no_third_table_exists(tmp_path):
    trace().to_csv(tmp_path / "breaths.csv", "breaths")

    with pytest.raises(TraceError) as refused:
        trace().to_csv(tmp_path / "hours.csv", "hours")

    assert (tmp_path / "breaths.csv").read_text().splitlines()[1] == "1,0.25,512.3"
    assert str(refused.value) == "a trace has no table hours; it has seconds and breaths."


def test_a_trace_travels_to_another_process_and_back_the_same():
    assert pickle.loads(pickle.dumps(trace())) == trace()


def test_columns_that_cannot_be_a_recording_are_refused_in_sentences():
    assert refusal(SECONDS | {"worn": ["none"]}, BREATHS) == (
        "columns of one table have one length; here they have: t_s 3, spo2_shown_pct 3, probe_on 3, worn 1."
    )
    assert refusal(SECONDS | {"minutes_left_min": [1.0, np.inf, 2.0]}, BREATHS) == (
        "column minutes_left_min is infinite in row 1; write NaN where a number is not known."
    )
    assert refusal({"spo2_pct": [1.0]}, BREATHS) == "the seconds have no column t_s; it is their clock."
    assert refusal({"t_s": [0.0, 0.0]}, BREATHS) == "the clock t_s does not rise from row to row."
    assert refusal({"t_s": [[0.0]]}, BREATHS) == "column t_s has 2 dimensions; a column has one."
    assert refusal(SECONDS | {"saturation": [1.0, 2.0, 3.0]}, BREATHS) == (
        "column saturation says no unit; end its name in one, as in spo2_shown_pct."
    )
    assert refusal(SECONDS | {"a b": [1, 2, 3]}, BREATHS) == (
        "'a b' is not a name for a column; names are like spo2_shown_pct."
    )
    assert refusal(SECONDS | {"worn": [None, b"", 3]}, BREATHS) == (
        "column worn holds object; a column holds numbers, yes or no, or words."
    )
    assert refusal(SECONDS, BREATHS, about={"x": "y"}) == "there is a sentence about x, and no such column."
    assert refusal(SECONDS, BREATHS | {"probe_on": [1, 2]}) == (
        "column probe_on holds yes_no a second and whole a breath."
    )


def test_a_trace_without_a_second_says_so_when_asked_for_a_moment():
    empty = Trace({"t_s": []}, {})

    with pytest.raises(LookupError) as nothing:
        empty.at(0.0)

    assert nothing.value.args == ("the trace holds no second, so nothing was recorded at any moment.",)
