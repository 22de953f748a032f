"""The cylinder at the command line, beside the sums that are taught."""

import json

import pytest


# Factor 0.28 L/psi for size E: state emergency-services guidance sheet on oxygen cylinders, 2010.
# The sums: (2000 - 200) x 0.28 / 4 = 126 minutes, (700 - 200) x 0.28 / 4 = 35 minutes.
@pytest.mark.parametrize(("pressure", "minutes"), [("2000psi", 126), ("700 psi", 35)])
def test_the_sum_taught_at_the_bedside_stands_beside_the_answer(say, pressure, minutes):
    said = say("cylinder", "--size", "E", "--pressure", pressure, "--flow", "4")
    psi = pressure.removesuffix("psi").strip()

    page = " ".join(said.out.split())
    assert said.code == 0
    assert f"({psi} - 200) psi x 0.28 L/psi / 4 L/min = {minutes} minutes, as it is taught" in page
    assert "not for the care of any person" in page


def test_json_says_both_answers_and_the_caution(say):
    said = say("cylinder", "--size", "e", "--pressure", "13790kPa", "--flow", "4", "--json")
    answer = json.loads(said.out)

    assert answer["size"] == "E"
    assert answer["minutes_by_factor"] == pytest.approx(126, abs=0.1)
    assert answer["minutes"] > answer["minutes_by_factor"]
    assert answer["caution"].startswith("For teaching and assessment with simulated patients only")


def test_a_region_without_factors_is_told_its_own_sum(say):
    said = say("cylinder", "--size", "UK-E", "--pressure", "137bar", "--flow", "4", "--reserve", "10bar")

    assert "(137 - 10) bar x 4.69 L / 4 L/min = 148 minutes" in " ".join(said.out.split())


def test_a_cylinder_below_its_reserve_is_warned_of(say):
    said = say("cylinder", "--size", "E", "--pressure", "150psi", "--flow", "4")

    assert said.code == 0
    assert said.sentence == "The gauge is at or below the reserve: change the cylinder."
    assert "Minutes left  0, until" in said.out


def test_the_sum_that_promises_more_than_the_gas_holds_is_named(say):
    # Size H: factor 3.14 L/psi (the same sheet) against a real content that falls below it at low pressure.
    said = say("cylinder", "--size", "H", "--pressure", "500psi", "--flow", "10")

    assert "here gives more. Plan with the fewer." in " ".join(said.out.split())
