"""One breath at the command line: numbers under their agreed names, and millilitres that add up."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tidalbay.attempt import whole_ml
from tidalbay.cli.breath_page import ledger_bars

AGREED = [
    "fio2_frac",
    "fio2_low_frac",
    "fio2_high_frac",
    "throat_peak_o2_frac",
    "throat_mean_o2_frac",
    "end_tidal_o2_frac",
    "inspired_ml",
    "ledger_ml",
    "inspired_co2_ml",
    "peak_inspiratory_flow_lpm",
    "bag_min_ml",
]


@pytest.mark.usefixtures("model")
def test_json_has_the_agreed_names_and_a_ledger_that_closes(say):
    said = say("breath", "--device", "nasal_cannula", "--flow", "2", "--json")
    answer = json.loads(said.out)

    assert said.code == 0
    assert list(answer)[: len(AGREED)] == AGREED
    assert sum(answer["ledger_ml"].values()) == pytest.approx(answer["inspired_ml"], rel=1e-9)
    assert answer["bag_min_ml"] is None
    assert answer["fio2_low_frac"] < answer["fio2_frac"] < answer["fio2_high_frac"]
    assert answer["caution"].startswith("For teaching and assessment with simulated patients only")


@pytest.mark.usefixtures("model")
def test_the_command_and_the_library_agree(say):
    import tidalbay

    said = say(
        "breath", "--device", "non-rebreathing-mask", "--flow", "10", "--rate", "28", "--fit", "0",
        "--valves", "1", "--patient", "pneumonia", "--json",
    )  # fmt: skip
    answer = json.loads(said.out)

    breath = tidalbay.breath(
        "non_rebreathing_mask", 10.0, rate_per_min=28.0, fit=0.0, valves=1, patient="pneumonia"
    ).as_plain()
    assert {name: answer[name] for name in breath} == breath


@pytest.mark.usefixtures("model")
@pytest.mark.parametrize(("gas", "pct"), [("air", 44), ("oxygen", 60)])
def test_a_cup_in_line_moves_the_share_that_was_set_and_the_page_says_so(say, gas, pct):
    words = ("breath", "--device", "nebuliser_in_line", "--flow", "8", "--gas", gas)
    said = say(*words, "--fio2", "0.5", "--set-flow", "32", "--json")
    answer = json.loads(said.out)

    # 32 L/min at 50 % and 8 L/min of the driving gas (Dalton's law): more than a breath draws.
    assert list(answer)[: len(AGREED)] == AGREED
    assert round(100 * answer["fio2_frac"]) == pct
    assert answer["warnings"] == [
        f"The cup in the tubing of the high-flow nasal cannula adds 8 L/min of other gas: "
        f"{pct} % oxygen reaches the patient and not 50 %."
    ]
    assert "in a set at 40 L/min" in say(*words).out


@pytest.mark.usefixtures("model")
def test_a_t_piece_answers_with_the_same_names_and_has_no_fit_to_span(say):
    said = say("breath", "--device", "nebuliser_t_piece", "--flow", "8", "--json")
    answer = json.loads(said.out)

    assert list(answer)[: len(AGREED)] == AGREED
    assert answer["warnings"] == []
    assert 0.45 < answer["fio2_frac"] < 0.75
    assert "loose or tight" not in say("breath", "--device", "nebuliser_t_piece", "--flow", "8").out


@pytest.mark.usefixtures("model")
def test_fifteen_litres_on_a_cannula_is_answered_and_warned_of(say):
    said = say("breath", "--device", "nasal_cannula", "--flow", "15")

    assert said.code == 0
    assert said.sentence == "15 L/min is more than the 6 L/min usual for a nasal cannula."
    assert said.out.startswith("One settled breath through a nasal cannula at 15 L/min\n")


@pytest.mark.usefixtures("model")
def test_the_band_reaches_over_what_was_not_said_and_the_page_says_so(say):
    mask = ("breath", "--device", "simple_mask", "--flow", "6")
    unsaid, snug = (json.loads(say(*mask, *more, "--json").out) for more in ((), ("--fit", "0.5")))

    assert unsaid["fio2_frac"] == snug["fio2_frac"]
    assert unsaid["fio2_low_frac"] < snug["fio2_low_frac"] < snug["fio2_high_frac"] < unsaid["fio2_high_frac"]
    assert "the mask loose or tight" in " ".join(say(*mask).out.split())
    assert "loose or tight" not in " ".join(say(*mask, "--fit", "0.5").out.split())


@pytest.mark.usefixtures("model")
def test_an_infant_is_asked_about_in_its_own_size(say):
    infant = ("breath", "--device", "infant_nasal_cannula", "--flow", "1", "--patient", "healthy_infant")
    small = json.loads(say(*infant, "--tidal", "20", "--rate", "80", "--json").out)
    large = say(*infant, "--tidal", "500")

    assert (small["tidal_ml"], small["rate_per_min"]) == (20.0, 80.0)
    assert (large.code, large.sentence[:15]) == (2, "--tidal is 500,")
    assert "40 breaths a minute of 55" in say(*infant).out


@pytest.mark.usefixtures("model")
def test_the_page_shows_where_each_millilitre_came_from(say):
    said = say("breath", "--device", "none")
    lines = said.out.splitlines()

    amounts = [int(line.split()[-2]) for line in lines if line.endswith(" mL")]
    assert amounts[-1] == sum(amounts[:-1])
    assert any(line.startswith("room air ") and "/////" in line for line in lines)
    assert any(line.startswith("own breath, again ") and "ooo" in line for line in lines)
    assert "Caution" in said.out


def test_bars_begin_where_the_one_above_ends():
    assert ledger_bars({"supplied": 100.0, "mask": 0.0, "room": 300.0, "expired": 100.0}, 59) == [
        "supply, as it flowed     :::::                       100 mL",
        "room air                      ///////////////        300 mL",
        "own breath, again                            ooooo   100 mL",
        "together                                             500 mL",
    ]


@given(st.lists(st.floats(0, 3000), min_size=1, max_size=8))
def test_whole_millilitres_add_up_and_none_is_off_by_one(amounts):
    rounded = whole_ml(amounts)

    assert sum(rounded) == round(sum(amounts))
    assert all(abs(whole - exact) <= 1.0 for whole, exact in zip(rounded, amounts, strict=True))
