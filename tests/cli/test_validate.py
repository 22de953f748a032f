"""What `validate` writes, prints and refuses."""

import json

import pytest

KEYS = ["id", "quantity", "source", "published", "model", "difference", "tolerance", "within", "tuned_on"]


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["--html", "page.htm"], "--html is page.htm. Its name ends in .html, which says the form."),
        (["--pdf", "page.html"], "--pdf is page.html. Its name ends in .pdf, which says the form."),
        (["--pdf", "none/page.pdf"], "--pdf is none/page.pdf, but there is no folder none. Make it first."),
    ],
)
def test_a_file_that_could_not_be_written_is_refused_before_the_work(
    say, tmp_path, monkeypatch, words, sentence
):
    monkeypatch.chdir(tmp_path)

    said = say("validate", *words)

    assert (said.code, said.out) == (2, "")
    assert said.sentence == sentence


@pytest.mark.slow
def test_json_has_every_row_and_writes_only_the_pages_that_are_named(say, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)

    said = say("validate", "--json", "--pdf", "evidence.pdf")

    told = json.loads(said.out)
    assert said.code == 0
    assert len(told["rows"]) == told["summary"]["rows"] >= 150
    assert all(list(row)[:9] == KEYS for row in told["rows"])
    assert "not for the care of any person" in told["caution"]
    assert [path.name for path in tmp_path.iterdir()] == ["evidence.pdf"]


@pytest.mark.slow
def test_without_options_both_pages_are_written_here_and_the_misses_are_told(say, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)

    said = say("validate")

    assert said.code == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["validation.html", "validation.pdf"]
    assert said.out.endswith("Written: validation.html\nWritten: validation.pdf\n")
    assert "published values from" in said.out
    assert "\nmissed " in said.out
    assert "not for the care" in " ".join(said.out.split())
