"""Parallel forms at the command line: played when their case is checked, run and judged by letter."""

import json

import pytest

from tidalbay import demonstrations

CASE = demonstrations()["post-operative"].read_text(encoding="utf-8")
SHUNT = "      shunt_frac: 0.25\n"

pytestmark = pytest.mark.usefixtures("model")


@pytest.fixture
def changed(tmp_path, monkeypatch):
    """Write the demonstration with one thing changed, and return its file and the line of its form b."""
    monkeypatch.chdir(tmp_path)

    def write(old, new):
        assert CASE.count(old) == 1
        text = CASE.replace(old, new)
        (tmp_path / "case.yaml").write_text(text, encoding="utf-8")
        return "case.yaml", 1 + text.splitlines().index("  - id: b")

    return write


def problems(said):
    return json.loads(said.out)["problems"]


def test_a_form_whose_patient_cannot_meet_a_criterion_is_told_with_its_line_and_what_to_change(changed, say):
    # A wide spread of ventilation over perfusion stays when the bases have opened.
    name, line = changed(SHUNT, "      shunt_frac: 0.25\n      vq_log_sd: 1.7\n")

    said = say("check", "--json", name)

    assert said.code == 1
    lost = next(each for each in problems(said) if "criterion" in each["what"])
    assert lost["line"] == line
    assert lost["what"] == (
        "in form b the criterion kept-in-range is not met on the path good,"
        " and in the case as it is written it is"
    )
    assert "vq_log_sd" in lost["hint"]


def test_a_form_that_nobody_would_believe_is_told_with_its_line_and_what_to_change(changed, say):
    name, line = changed(SHUNT, "      shunt_frac: 0.5\n")

    said = say("check", "--json", name)

    assert said.code == 1
    first = problems(said)[0]
    assert (first["line"], first["allowed"]) == (line, "88 to 92")
    assert first["what"].startswith("in form b, spo2_shown_pct is ")
    assert first["what"].endswith(" at 1:00 on the path good")
    assert first["hint"] == (
        "bring age_years, height_cm, weight_kg, temperature_degc, shunt_frac and resting_heart_rate_per_min"
        " nearer to the case's own"
    )
    assert "Playing form B of post-operative: good and tempting." in said.sentence


def test_a_case_that_does_not_keep_to_what_it_says_is_believed_is_told_at_that_line(changed, say):
    row = "at: 1 min, reading: spo2_shown_pct, between: "
    name, _ = changed(f"{row}[88, 92]", f"{row}[70, 80]")

    said = say("check", "--json", name)

    told = [each["what"] for each in problems(said)]
    assert said.code == 1
    assert told[0].startswith("spo2_shown_pct is ")
    assert told[1].startswith("in form b, spo2_shown_pct is ")


@pytest.mark.slow
@pytest.mark.parametrize("name", sorted(demonstrations()))
def test_every_demonstration_and_every_form_of_it_passes_its_own_check(name, say):
    said = say("check", name)

    assert said.out == f"{name}  nothing is wrong\n\nNo errors; it can be played.\n"
    assert said.code == 0


def test_a_form_is_run_and_judged_by_its_letter(say):
    run = say("run", "--form", "b", "--minutes", "1")
    judged = say("judge", "--form", "b", "--minutes", "1")
    plain = json.loads(say("run", "--form", "B", "--minutes", "1", "--json").out)

    assert run.out.startswith("The day after bowel surgery, form B\n")
    assert "Mr H. Selwick, 63" in run.out
    assert "run --form b --acts tempting" in run.out
    assert judged.out.startswith("The day after bowel surgery, form B: judged to 01:00")
    assert (plain["case"], plain["form"]) == ("post-operative", "b")


def test_a_form_that_is_not_there_is_called_wrongly(say):
    for command in ("run", "judge", "take-home"):
        said = say(command, "--form", "e")

        assert said.code == 2
        assert said.sentence == "--form is e. The case post-operative has no form E; it has A, B."
