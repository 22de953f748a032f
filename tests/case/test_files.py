"""Contract of files that cannot be read as a case at all: a sentence each, never a traceback."""

import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.case.small_case import CASE

from tidalbay.case import CaseErrors, load_case, read_case


def page_of_file(path):
    with pytest.raises(CaseErrors) as refused:
        load_case(path)
    return str(refused.value).replace(str(path), "case.yaml")


def page_of(text):
    with pytest.raises(CaseErrors) as refused:
        read_case(text, "case.yaml")
    return str(refused.value)


def whole(*lines):
    return "\n".join([*lines, "", "1 error. Nothing was loaded."])


def test_a_file_that_is_not_there(tmp_path):
    assert page_of_file(tmp_path / "none.yaml") == whole("case.yaml  there is no such file")


def test_a_folder_instead_of_a_file(tmp_path):
    assert page_of_file(tmp_path) == whole(
        "case.yaml  this is a folder, not a file",
        "  hint:    name the case file itself, or its files one by one",
    )


def test_a_name_that_no_file_can_have():
    assert page_of_file("a\0b").endswith("this cannot be the name of a file\n\n1 error. Nothing was loaded.")


def test_a_file_that_may_not_be_read(tmp_path, monkeypatch):
    path = tmp_path / "secret.yaml"
    path.write_text(CASE, encoding="utf-8")

    def refuse(_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", refuse)

    assert page_of_file(path) == whole("case.yaml  the file cannot be read: Permission denied")


@pytest.mark.parametrize("content", ["", "\n\n  \n", "# only a remark\n"])
def test_an_empty_file(tmp_path, content):
    path = tmp_path / "empty.yaml"
    path.write_text(content, encoding="utf-8")

    assert page_of_file(path) == whole(
        "case.yaml  the file is empty", "  hint:    a case begins with schema: 1"
    )


@pytest.mark.parametrize(
    ("data", "byte", "line"),
    [(b"\xff\xfes\x00", 1, 1), (b"id: x\ntitle: caf\xe9\n", 17, 2), (b"a\n\x80", 3, 2)],
)
def test_a_file_that_is_not_utf_8(tmp_path, data, byte, line):
    path = tmp_path / "latin.yaml"
    path.write_bytes(data)

    assert page_of_file(path) == whole(
        f"case.yaml  the file is not UTF-8 text: byte {byte}, in line {line}, fits no letter",
        "  hint:    save it again as UTF-8",
    )


def test_ten_megabytes_are_refused_before_they_are_read(tmp_path):
    path = tmp_path / "large.yaml"
    path.write_bytes(b"a: 1\n" * 2_000_000)

    before = time.perf_counter()
    page = page_of_file(path)

    assert time.perf_counter() - before < 0.5
    assert page == whole(
        "case.yaml  the file is larger than 1 MB", "  hint:    a case is a few kilobytes of text"
    )


def test_nesting_without_end_is_stopped_at_once():
    page = page_of("a: " + "[" * 900_000)

    assert page.startswith("case.yaml:1:43  the file is nested deeper than 40 levels\n")
    assert page.endswith("  hint:    a case needs about six\n\n1 error. Nothing was loaded.")


def test_references_that_would_grow_without_end_are_refused_and_not_followed():
    bomb = "a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\n" + CASE

    with pytest.raises(CaseErrors) as refused:
        read_case(bomb, "case.yaml")

    said = [problem for problem in refused.value.problems if "refers to" in problem.what]
    assert [problem.what for problem in said] == [
        "&a refers to another part of the file",
        "&b refers to another part of the file",
        "*a refers to another part of the file",
        "*a refers to another part of the file",
        "&c refers to another part of the file",
        "*b refers to another part of the file",
        "*b refers to another part of the file",
    ]
    assert {problem.hint for problem in said} == {"a case says everything where it stands; write it out"}


def test_a_name_said_twice_is_said_with_both_its_lines():
    page = page_of(CASE.replace("minutes: 10", "minutes: 10\ntitle: Another"))

    assert page == whole(
        "case.yaml:15:1  title is said twice; the first time in line 3",
        "    14 | minutes: 10",
        "    15 | title: Another",
        "       | ^^^^^",
        "  hint:    keep one",
    )


def test_every_tab_at_the_start_of_a_line_is_said():
    page = page_of("schema: 1\npatient:\n\tname: x\n  \tbed: y\n")

    assert page == (
        "case.yaml:3:1  a tab stands at the start of this line\n"
        "    2 | patient:\n"
        "    3 | \tname: x\n"
        "      | ^\n"
        "  hint:    indent with spaces, two for each step\n"
        "\n"
        "case.yaml:4:3  a tab stands at the start of this line\n"
        "    3 | \tname: x\n"
        "    4 |   \tbed: y\n"
        "      |   ^\n"
        "  hint:    indent with spaces, two for each step\n"
        "\n"
        "2 errors. Nothing was loaded."
    )


def test_a_tag_that_would_build_an_object_builds_none():
    page = page_of(CASE.replace("title: A small case", "title: !!python/object:os.system x"))

    assert page == whole(
        "case.yaml:3:8  the tag tag:yaml.org,2002:python/object:os.system has no meaning in a case",
        "    2 | id: small",
        "    3 | title: !!python/object:os.system x",
        "      |        ^^^^^^^^^^^^^^^^^^^^^^^^^^^",
        "  hint:    take it out",
    )


NOT_YAML = [
    (
        "title: a: b",
        "1:9",
        "a colon stands where no value can begin",
        "put text that holds a colon in quotes, or indent the line like its neighbours",
    ),
    ("title: 'half", "1:8", "a quote that opens is never closed", "close it, or take it out"),
    (
        "a: [1, 2\nb: 3",
        "1:4",
        "a bracket or brace that opens is not closed",
        "close it, and put commas between its items",
    ),
    (
        "a: {x: 1\nb: 3",
        "1:4",
        "a bracket or brace that opens is not closed",
        "close it, and put commas between its items",
    ),
    (
        "a:\n  b: 1\n c: 2",
        "3:2",
        "this line is indented unlike its neighbours",
        "names of one block begin in one column",
    ),
    ("a: @x", "1:4", "a value cannot begin with this character", "put the value in quotes"),
    ("a: }", "1:4", "a value is expected here", "put the value in quotes"),
    (
        "? [a]\n: 3",
        "1:3",
        "a name is one word, not a list or a mapping",
        "put text that holds { or [ in quotes",
    ),
    ("a: x\u0007", "1:5", "a character that cannot be printed stands here (U+0007)", "take it out"),
    ("a: 1\u2028b: 2", "1:5", "a character that cannot be printed stands here (U+2028)", "take it out"),
    (
        "- a\n- b",
        "1:1",
        "a case is names and values, and this file holds a list",
        "a case begins with schema: 1",
    ),
    (
        "hello",
        "1:1",
        "a case is names and values, and this file holds one value",
        "a case begins with schema: 1",
    ),
]


@pytest.mark.parametrize(("text", "place", "what", "hint"), NOT_YAML)
def test_text_that_is_not_a_case_is_answered_with_its_place_and_a_way_out(text, place, what, hint):
    with pytest.raises(CaseErrors) as refused:
        read_case(text, "case.yaml")

    (problem,) = refused.value.problems
    assert (f"{problem.line}:{problem.col}", problem.what, problem.hint) == (place, what, hint)


def test_names_that_are_not_text_are_said():
    page = page_of(CASE + "1: x\n")

    assert "case.yaml:21:1  the name 1 is not text\n" in page


def test_a_second_case_in_one_file_is_said():
    page = page_of(CASE + "---\nschema: 1\n")

    assert page == whole(
        "case.yaml:21:1  a second document begins here",
        "    20 |   - {id: later, after: {event: worse}, sets: {pain: 3}}",
        "    21 | ---",
        "       | ^^^",
        "  hint:    a file holds one case",
    )


def test_a_page_that_nobody_could_read_to_its_end_says_how_much_more_there_is():
    page = page_of(CASE + "".join(f"x{i}: 1\n" for i in range(300)))

    assert page.endswith("\n\n... and 100 more.\n\n300 errors. Nothing was loaded.")


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.text(st.sampled_from("ab:1-[]{}'\"#&*!|>%@`,?~ \n\t.\u00e9\0"), max_size=60))
def test_no_text_at_all_gets_a_traceback(text):
    with pytest.raises(CaseErrors) as refused:
        read_case(text, "case.yaml")

    assert str(refused.value).endswith("Nothing was loaded.")


def ends_in_words(text):
    """Whether a text is read, or else refused in sentences that say something."""
    try:
        read_case(text, "case.yaml")
    except CaseErrors as refused:
        return str(refused).endswith("Nothing was loaded.") and "cannot be read here" not in str(refused)
    return True


LINES = CASE.splitlines()
MISCHIEF = [
    "",
    "null",
    "3",
    "-1",
    "[]",
    "{}",
    "true",
    "'x'",
    "1e999",
    "[[1]]",
    "{a: {b: c}}",
    "2:30",
    "- x",
    "\u00e9",
]


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.integers(0, len(LINES) - 1),
    st.integers(0, 90),
    st.integers(0, 30),
    st.sampled_from(MISCHIEF),
)
def test_a_case_with_any_piece_of_a_line_put_wrong_is_read_or_refused_in_sentences(
    line, start, length, piece
):
    lines = list(LINES)
    lines[line] = lines[line][:start] + piece + lines[line][start + length :]

    assert ends_in_words("\n".join(lines))
