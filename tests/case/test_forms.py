"""Contract of parallel forms: the same trouble, another person, and every slip told with its line."""

import pytest
from tests.case.small_case import CASE, problems_of

from tidalbay.case import case_sha256, case_title, in_form, read_case, resolve

FORMS = """\
forms:
  - id: b
    patient: {name: Ms V. Rowan, identity_number: R 3, bed: bay 9, says: No., age_years: 41, shunt_frac: 0.04}
    flows_lpm: {meter: 3}
  - id: c
    patient: {name: Mr B. Hazel}
believed:
  - {path: good, at: 9 min, reading: spo2_shown_pct, between: [90, 100]}
"""
TEXT = CASE + FORMS
PATIENT_B = 23  # line


def said_of(old, new):
    assert TEXT.count(old) == 1
    problems = problems_of(TEXT.replace(old, new)).problems
    return [(one.line, one.what, one.allowed, one.hint) for one in problems]


def test_a_form_is_the_case_with_another_patient():
    case = read_case(TEXT, "case.yaml")

    assert case.form_ids == ("a", "b", "c")
    a, b, c = (resolve(in_form(case, id)) for id in case.form_ids)
    assert a == resolve(case)
    assert (b["patient"]["name"], b["patient"]["identity_number"], b["patient"]["bed"]) == (
        "Ms V. Rowan", "R 3", "bay 9",
    )  # fmt: skip
    assert (b["patient"]["numbers"]["age_years"], b["patient"]["numbers"]["shunt_frac"]) == (41, 0.04)
    assert b["setup"]["supplies"][0]["flowmeter"]["flow_lpm"] == 3
    assert "flow_lpm" not in a["setup"]["supplies"][0]["flowmeter"]
    assert [each["form"] for each in (a, b, c)] == ["a", "b", "c"]
    differs = {name for name in a if a[name] != b[name]}
    assert differs == {"title", "form", "patient", "setup"}
    assert {name for name in a if a[name] != c[name]} == {"title", "form", "patient"}


def test_a_form_is_named_wherever_the_title_stands_and_the_text_is_the_same():
    case = read_case(TEXT, "case.yaml")

    assert case_title(case) == "A small case"
    assert resolve(in_form(case, "B"))["title"] == "A small case, form B"
    assert case_sha256(in_form(case, "b")) == case_sha256(case)


def test_a_form_that_the_case_has_not_is_a_sentence():
    with pytest.raises(ValueError, match=r"^The case small has no form D; it has A, B, C\.$"):
        in_form(read_case(TEXT, "case.yaml"), "d")


ONE_CHANGE = [
    ("- id: c", "- id: b", (25, "two forms are called b", "", "c is free")),
    ("- id: c", "- id: a", (25, "id is a", "b, c, d, e, f, g, h", "")),
    (
        "Mr B. Hazel",
        "Ms V. Rowan",
        (26, "name is Ms V. Rowan, as in form b", "", "give each form its own name"),
    ),
    (
        "Mr B. Hazel",
        "Mr N. Alder",
        (26, "name is Mr N. Alder, as in form a, the case itself", "", "give each form its own name"),
    ),
    (
        "age_years: 41",
        "sex: female",
        (23, "a form keeps the sex of the case", "", "its words say he or she; write a case of its own"),
    ),
    ("shunt_frac: 0.04", "shunt_frac: 4", (23, "shunt_frac is 4", "0 to 0.6", "0.6 is nearest")),
    (
        "{meter: 3}",
        "{metre: 3}",
        (24, "the set-up has no flowmeter metre", "meter", "did you mean meter?"),
    ),
    ("{meter: 3}", "{meter: 30}", (24, "meter is 30", "0 to 15 L/min", "15 is nearest")),
    ("path: good", "path: god", (28, "there is no path god", "good", "did you mean good?")),
    ("[90, 100]", "[100, 90]", (28, "between goes from 100 to 90", "the lower end first", "")),
    (
        "at: 9 min",
        "at: 11 min",
        (28, "at is 11 min, and the case ends at 10:00", "0:00 to 10:00", "or raise minutes"),
    ),
]


@pytest.mark.parametrize(("old", "new", "said"), ONE_CHANGE, ids=[new for _, new, _ in ONE_CHANGE])
def test_a_form_that_cannot_be_is_told_with_its_line_and_a_way_out(old, new, said):
    assert said_of(old, new) == [said]


def test_numbers_that_no_body_has_together_are_told_at_the_form():
    (found,) = said_of("age_years: 41", "weight_kg: 20")

    assert found[0] == PATIENT_B
    assert "body mass index" in found[1]


def test_a_preset_is_the_cases_own():
    (found,) = said_of("age_years: 41", "preset: asthma")

    assert found[0] == PATIENT_B
    assert found[1] == "the form's patient has no preset"
