"""Contract: a school's folder takes the library's place, its faults have lines, old attempts stay."""

import json
import re
from pathlib import Path

import pytest

import tidalbay
from tidalbay.case import CaseErrors
from tidalbay.case.procedures import procedures
from tidalbay.web import CaseShelf

PAGE = (Path(__file__).parents[2] / "docs/check-off.md").read_text(encoding="utf-8")
NAME, OURS = re.search(r"```yaml\n# our-procedures/([\w-]+\.yaml)\n(.*?)```", PAGE, re.DOTALL).groups()


@pytest.fixture
def folder(tmp_path):
    """The folder of the page's example; it is read anew in each test."""
    ours = tmp_path / "our-procedures"
    ours.mkdir()
    (ours / NAME).write_text(OURS, encoding="utf-8")
    procedures.cache_clear()
    yield ours
    procedures.cache_clear()


def changed(folder, was, now):
    text = (folder / NAME).read_text(encoding="utf-8")
    assert was in text
    (folder / NAME).write_text(text.replace(was, now), encoding="utf-8")
    procedures.cache_clear()


def judged(say, *options):
    said = say("judge", "post-operative", *options, "--json")
    assert said.code == 0, said.err
    return {each["id"]: each for each in json.loads(said.out)["criteria"]}


@pytest.mark.usefixtures("model")
def test_the_example_of_the_page_judges_by_the_schools_own_steps(say, folder):
    usual, ours = judged(say), judged(say, "--procedures", str(folder))

    assert set(ours) - set(usual) == {"told-not-to-smoke"}
    assert {"fire-before-gas", "slide-snug"} <= set(usual) - set(ours)
    assert ours["told-not-to-smoke"]["verdict"] == "not_met"


def test_check_takes_it_and_a_case_that_needs_a_step_it_lacks_is_told(say, folder):
    assert say("check", "post-operative", "--procedures", str(folder)).code == 0
    changed(folder, "act: taught", "act: taugt")

    said = say("check", "post-operative", "--procedures", str(folder))

    assert said.code == 1
    assert f"{NAME}:" in said.out
    assert "there is no act taugt" in said.out
    assert "did you mean taught?" in said.out


@pytest.mark.parametrize(
    ("was", "now", "line", "what", "mend"),
    [
        ("version: 2\n", "", 1, "the procedure lacks version", "write version"),
        ("includes: [core]", "includes: [cor]", 4, "there is no procedure cor", "did you mean core?"),
        ("without: [fire-before-gas]", "without: [fire]", 5, "none of what it includes has a step fire", ""),
        ("title: Oxygen", "titel: Oxygen", 2, "the procedure has no titel", "did you mean title?"),
        ("must: true", "must: yes please", 9, "must is yes please", ""),
        ("flow_lpm: as_ordered", "flow: as_ordered", 10, "flow_set has no flow", "did you mean flow_lpm?"),
    ],
)
def test_a_fault_in_the_folder_is_found_with_its_file_its_line_and_the_mend(
    folder, was, now, line, what, mend
):
    changed(folder, was, now)

    with pytest.raises(CaseErrors) as refused:
        tidalbay.load_case("post-operative", procedures=folder)

    found = [each for each in refused.value.problems if each.what.startswith(what)]
    assert found, refused.value
    assert (Path(found[0].file).name, found[0].line) == (NAME, line)
    assert mend in found[0].hint + found[0].allowed


@pytest.mark.parametrize("name", ["not-there", "empty"])
def test_a_folder_that_is_not_there_or_holds_none_is_told_before_a_lab_opens(say, tmp_path, name):
    (tmp_path / "empty").mkdir()

    said = say("serve", "--procedures", str(tmp_path / name), "--data", str(tmp_path / "data"))

    assert said.code == 1
    assert "no such folder" in said.out + said.err or "no procedure is in this folder" in said.out + said.err
    assert not (tmp_path / "data").exists()


def test_a_circle_of_includes_is_told(folder):
    changed(folder, "includes: [core]", "includes: [other]")
    other = "id: other\ntitle: Another\nversion: 1\nincludes: [nasal-cannula]\n"
    (folder / "other.yaml").write_text(other, encoding="utf-8")

    with pytest.raises(CaseErrors) as refused:
        procedures(folder)

    assert any("includes nasal-cannula in its turn" in each.what for each in refused.value.problems)


def test_the_lab_and_python_read_the_same_folder(folder):
    ours = tidalbay.load_case("post-operative", procedures=folder)

    assert ours.check_off.school == folder
    assert CaseShelf(school=folder)["post-operative"].check_off.school == folder
    assert tidalbay.load_case("post-operative").check_off.school is None


@pytest.mark.usefixtures("model")
def test_an_attempt_keeps_the_text_it_was_judged_by_whatever_the_folder_says_later(say, folder, tmp_path):
    log = tmp_path / "attempt.jsonl"
    ran = say("run", "post-operative", "--procedures", str(folder), "--log", str(log))
    assert ran.code == 0, ran.err
    before = say("judge", "post-operative", "--acts", str(log), "--json").out
    kept = log.read_bytes()

    changed(folder, "version: 2", "version: 3")
    changed(folder, "told not to smoke near the oxygen", "told nothing")
    changed(folder, "must: true", "must: false")
    after = say("judge", "post-operative", "--acts", str(log), "--json", "--procedures", str(folder)).out

    assert before == after
    assert log.read_bytes() == kept
    anew = judged(say, "--procedures", str(folder))
    assert anew["told-not-to-smoke"]["say"] == "The patient was told nothing."
    assert not anew["flow-as-ordered"]["must"]
