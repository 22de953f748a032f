"""The command that checks cases: every error of every file, a count, and the exit code."""

import json

GOOD = """\
schema: 1
id: small
title: A small case
teaches: One thing.
patient: {name: Mr N. Alder, preset: healthy_adult}
order: {text: Air., target_spo2_pct: [94, 98]}
minutes: 10
"""


def test_a_good_file_ends_with_0(say, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "good.yaml").write_text(GOOD, encoding="utf-8")

    said = say("check", "good.yaml")

    assert (said.code, said.out, said.err) == (
        0,
        "good.yaml  nothing is wrong\n\nNo errors; it can be played.\n",
        "",
    )


def test_every_error_of_every_file_is_told_and_counted(say, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "good.yaml").write_text(GOOD, encoding="utf-8")
    (tmp_path / "bad.yaml").write_text(GOOD.replace("10", "1000").replace("One thing.", ""), encoding="utf-8")

    said = say("check", "good.yaml", "bad.yaml", "missing.yaml")

    assert (said.code, said.err) == (1, "")
    assert said.out == (
        "bad.yaml:4:1  teaches is empty\n"
        "    3 | title: A small case\n"
        "    4 | teaches:\n"
        "      | ^^^^^^^\n"
        "  allowed: text\n\n"
        "bad.yaml:7:10  minutes is 1000\n"
        "    6 | order: {text: Air., target_spo2_pct: [94, 98]}\n"
        "    7 | minutes: 1000\n"
        "      |          ^^^^\n"
        "  allowed: 0.5 to 720 min\n"
        "  hint:    720 is nearest\n\n"
        "missing.yaml  there is no such file\n\n"
        "good.yaml  nothing is wrong\n\n"
        "3 errors in 2 of 3 files.\n"
    )


def test_an_editor_gets_the_same_facts(say, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "bad.yaml").write_text(GOOD.replace("10", "1000"), encoding="utf-8")

    said = say("check", "--json", "bad.yaml")

    assert said.code == 1
    assert json.loads(said.out) == {
        "checked": ["bad.yaml"],
        "problems": [
            {
                "file": "bad.yaml",
                "line": 7,
                "col": 10,
                "what": "minutes is 1000",
                "allowed": "0.5 to 720 min",
                "hint": "720 is nearest",
            }
        ],
    }


def test_the_demonstrations_are_cases(say):
    said = say("check", "post-operative", "rising-shunt")

    assert (said.code, said.out.splitlines()[-1]) == (0, "No errors; all 2 can be played.")


def test_the_schema_is_printed_for_editors(say):
    from tidalbay.case import case_schema

    said = say("schema")

    assert (said.code, json.loads(said.out)) == (0, case_schema())
