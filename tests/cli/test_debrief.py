"""Contract: debrief lays a log out, writes what is named, and refuses in sentences."""

import pytest

import tidalbay
from tidalbay.trace import log_bytes

pytestmark = pytest.mark.usefixtures("model")


@pytest.fixture
def attempt(tmp_path):
    playing = tidalbay.play(tidalbay.load_case("post-operative"), "tempting", mode="formative")
    playing.run_to(960.0)
    playing.end()
    path = tmp_path / "attempt.jsonl"
    path.write_bytes(log_bytes(playing.log))
    return path


def test_both_reports_are_written_and_the_course_is_said(say, attempt, tmp_path):
    said = say("debrief", str(attempt), "--pdf", str(tmp_path / "d.pdf"), "--html", str(tmp_path / "d.html"))

    assert said.code == 0
    assert (tmp_path / "d.pdf").read_bytes().startswith(b"%PDF")
    assert "Not met" in (tmp_path / "d.html").read_text(encoding="utf-8")
    assert "ordered range, 94 to 98 %" in " ".join(said.out.split())
    assert "not met" not in said.out.lower()  # in the talk the verdicts come later


def test_an_attempt_of_a_lab_is_found_by_its_id(say, attempt, tmp_path):
    from tidalbay.catalogue.acts import act_versions
    from tidalbay.records import ActStore
    from tidalbay.trace import read_log

    entries = read_log(attempt, act_versions()).log.entries
    folder = tmp_path / "lab"
    store = ActStore.open(folder)
    store.begin("a-1", "s1", entries[:1]).result()
    store.append("a-1", entries[1:]).result()
    store.close()

    said = say("debrief", "a-1", "--data", str(folder), "--html", str(tmp_path / "d.html"))

    assert said.code == 0
    assert (tmp_path / "d.html").exists()


@pytest.mark.parametrize(
    ("words", "code", "sentence"),
    [
        ((), 2, "debrief needs an attempt"),
        (("attempt.txt",), 2, "a log's name ends in .jsonl"),
        (("missing.jsonl",), 1, "missing.jsonl"),
        (("a-1", "--data", "nowhere"), 1, "nowhere is no folder of a lab"),
        (("a.jsonl", "--pdf", "d.txt"), 2, "Its name ends in .pdf"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(say, tmp_path, monkeypatch, words, code, sentence):
    monkeypatch.chdir(tmp_path)

    said = say("debrief", *words)

    assert said.code == code
    assert sentence in said.sentence
    assert list(tmp_path.iterdir()) == []
