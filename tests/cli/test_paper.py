"""What people are told to type is what starts the program where they are."""

import sys

import pytest

from tidalbay.cli.paper import called_as, joined, labelled, wrapped


@pytest.mark.parametrize(
    ("program", "words"), [("/usr/bin/tidalbay", "tidalbay"), ("x/__main__.py", "python -m tidalbay")]
)
def test_the_program_is_named_as_it_was_started(monkeypatch, tmp_path, program, words):
    monkeypatch.setattr(sys, "argv", [program])
    monkeypatch.setattr(sys, "prefix", str(tmp_path))

    assert called_as() == words


def test_whoever_came_through_the_starter_is_sent_back_to_it(monkeypatch, tmp_path):
    (tmp_path / ".venv").mkdir()
    (tmp_path / ".venv" / "start.json").write_text("{}", encoding="utf-8")
    monkeypatch.setattr(sys, "argv", ["x/__main__.py"])
    monkeypatch.setattr(sys, "prefix", str(tmp_path / ".venv"))

    assert called_as() in ("python3 start.py", "py start.py")


def test_long_lines_are_broken_and_short_ones_left_as_they_are():
    assert wrapped("one two three\n  four", 8) == "one two\nthree\n  four"


def test_text_stands_beside_its_label():
    assert labelled("Order", "one two three", 14, 6) == ["Order one two", "      three"]


@pytest.mark.parametrize(("words", "said"), [([], ""), (["a"], "a"), (["a", "b", "c"], "a, b and c")])
def test_words_are_joined_as_in_a_sentence(words, said):
    assert joined(words) == said
