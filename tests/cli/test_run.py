"""The command that plays a case: the same digits each time, files as asked, a page that can be read."""

import csv
import json
import re

import pytest

import tidalbay

pytestmark = pytest.mark.usefixtures("model")


@pytest.fixture(autouse=True)
def _in_an_empty_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("sys.argv", ["tidalbay"])


def played(say, *words):
    said = say("run", "--json", *words)
    assert said.code == 0, said.err
    return json.loads(said.out)


def test_the_same_question_has_the_same_digits(say):
    once, again = played(say, "--minutes", "5"), played(say, "--minutes", "5")

    assert once == again
    assert played(say, "--minutes", "5", "--seed", "1")["trace"]["digest"] != once["trace"]["digest"]


def test_the_command_and_the_library_agree(say):
    answer = played(say, "rising-shunt", "--acts", "tempting", "--minutes", "4", "--seed", "3")

    trace = tidalbay.simulate(tidalbay.load_case("rising-shunt"), "tempting", minutes=4, seed=3)

    assert answer["trace"]["digest"] == trace.digest()


def test_json_says_what_was_asked_what_happened_and_what_it_is_not_for(say):
    answer = played(say, "--minutes", "7", "--seed", "2")

    assert list(answer) == ["caution", "case", "form", "seed", "minutes", "acts", "events", "trace"]
    assert (answer["case"], answer["seed"], answer["minutes"]) == ("post-operative", 2, 7)
    assert next(act for act in answer["acts"] if act["act"] == "flow_set") == {
        "at": "2:40",
        "act": "flow_set",
        "on": "flowmeter",
        "manner": "done",
        "by": "learner",
        "flow_lpm": 2,
        "told": "set the flow to 2 L/min",
    }
    assert answer["events"] == [
        {"t_s": 360.0, "event": "pain-eases", "tells": "The pain has eased; he can take a deep breath."}
    ]


def test_a_log_plays_again_to_the_last_digit(say):
    first = played(say, "--minutes", "6", "--log", "attempt.jsonl")

    assert played(say, "--minutes", "6", "--acts", "attempt.jsonl") == first


def test_a_log_made_with_a_seed_or_of_another_case_says_so(say):
    played(say, "rising-shunt", "--minutes", "2", "--seed", "5", "--log", "attempt.jsonl")

    said = say("run", "--minutes", "2", "--acts", "attempt.jsonl")

    assert said.code == 0
    assert said.sentence == (
        "The log is of the case rising-shunt; its acts are played on post-operative. "
        "The log was made with the seed 5; add --seed 5 for the same digits."
    )


def test_nobody_doing_anything_leaves_the_patient_on_room_air(say):
    answer = played(say, "--minutes", "3", "--acts", "none")

    assert answer["acts"] == []
    assert max(answer["trace"]["seconds"]["fio2_frac"]) < 0.21


def test_a_file_of_acts_is_played(say, tmp_path):
    (tmp_path / "acts.yaml").write_text('- {at: "0:30", act: flow_set, flow_lpm: 3}\n', encoding="utf-8")

    answer = played(say, "--minutes", "1", "--acts", "acts.yaml")

    assert [(act["at"], act["told"]) for act in answer["acts"]] == [("0:30", "set the flow to 3 L/min")]


def test_a_table_is_written_that_holds_the_trace(say, tmp_path):
    said = say("run", "--minutes", "2", "--out", "trace.csv")

    rows = list(csv.DictReader((tmp_path / "trace.csv").read_text(encoding="utf-8").splitlines()))
    trace = tidalbay.simulate(tidalbay.load_case("post-operative"), minutes=2)
    assert said.sentence == "Written to trace.csv: 121 seconds."
    assert [float(row["sao2_pct"]) for row in rows] == trace.seconds["sao2_pct"].tolist()


def test_all_of_it_is_written_as_json(say, tmp_path):
    from tidalbay.trace import trace_from_json

    say("run", "--minutes", "2", "--out", "trace.json")

    written = trace_from_json((tmp_path / "trace.json").read_text(encoding="utf-8"))
    assert written == tidalbay.simulate(tidalbay.load_case("post-operative"), minutes=2)


def test_a_file_that_cannot_be_finished_leaves_the_old_one_whole(say, tmp_path, monkeypatch):
    from tidalbay.trace import Trace

    (tmp_path / "trace.csv").write_text("the old one", encoding="utf-8")

    def torn(self, path):
        path.write_text("half", encoding="utf-8")
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Trace, "to_csv", torn)
    said = say("run", "--minutes", "1", "--out", "trace.csv")

    assert (said.code, said.sentence) == (
        1,
        "trace.csv: the disk is full, and not everything was written. Make room and try again.",
    )
    assert [path.name for path in tmp_path.iterdir()] == ["trace.csv"]
    assert (tmp_path / "trace.csv").read_text(encoding="utf-8") == "the old one"


def test_what_hands_could_not_do_stops_the_run_with_its_moment(say, tmp_path):
    (tmp_path / "acts.yaml").write_text(
        '- {at: "0:20", act: tubing_disconnected, on: reservoir_mask}\n', encoding="utf-8"
    )

    said = say("run", "--minutes", "1", "--acts", "acts.yaml")

    assert said.code == 1
    assert said.sentence.startswith("At 00:20, hands could not do what the script says: ")
    assert said.sentence.endswith(" Nothing later was played.")


def test_the_page_tells_the_run_by_the_minute(say):
    said = say("run", "--minutes", "4")
    lines = said.out.splitlines()

    assert said.code == 0
    assert lines[0] == "The day after bowel surgery"
    assert "02:40    set the flow to 2 L/min" in lines
    assert "03:00    put the device on the patient: cannula" in lines
    minutes = [line for line in lines if line[:2].isdigit() and line[10:11].isdigit()]
    assert [line[:5] for line in minutes] == ["00:00", "01:00", "02:00", "03:00", "04:00"]
    assert minutes[-1].endswith("2  nasal cannula")
    assert "Try next   tidalbay run --acts tempting" in lines


@pytest.mark.parametrize("wide", [40, 60, 100])
def test_no_line_of_the_page_is_wider_than_the_terminal(say, monkeypatch, wide):
    monkeypatch.setenv("COLUMNS", str(wide))

    said = say("run", "--minutes", "3", "--acts", "tempting")
    prose = [line for line in said.out.splitlines() if not re.match(r"\d\d:|time |  +% ", line)]

    assert max(map(len, prose)) <= wide
