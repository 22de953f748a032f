"""Contract: the explorer answers what `tidalbay.breath` answers, in whole millilitres that add up."""

import pytest

import tidalbay
from tidalbay.web.explorer import AskedWronglyError, answer, asked, choices


def test_the_answer_is_that_of_the_public_question(model):
    said = {"device": "nasal_cannula", "flow_lpm": "4", "rate_per_min": "20", "tidal_ml": "450"}

    found = answer(asked(said), with_curve=False)

    same = tidalbay.breath("nasal_cannula", 4.0, rate_per_min=20.0, tidal_ml=450.0)
    assert found["fio2_pct"] == 100.0 * same.fio2_frac
    assert (found["low_pct"], found["high_pct"]) == (100.0 * same.fio2_low_frac, 100.0 * same.fio2_high_frac)


@pytest.mark.parametrize("device", [row["id"] for row in choices()["devices"]])
def test_millilitres_add_up_and_the_curve_holds_the_point_asked_for(model, device):
    found = answer(asked({"device": device, "flow_lpm": "2"}))

    assert sum(row["ml"] for row in found["ledger"]) == pytest.approx(found["inspired_ml"], abs=1)
    at = next(point for point in found["curve"] if point["flow_lpm"] == found["flow_lpm"])
    assert at["pct"] == found["fio2_pct"]
    assert all(p["low_pct"] <= p["pct"] + 1e-9 and p["pct"] <= p["high_pct"] + 1e-9 for p in found["curve"])


def test_shares_of_gas_in_every_place_are_whole(model):
    found = answer(asked({"device": "simple_mask", "flow_lpm": "6"}), with_curve=False)

    for place, shares in found["gas"].items():
        assert sum(shares.values()) == pytest.approx(1.0, abs=1e-9), place


def test_what_another_device_had_is_passed_over(model):
    said = {"device": "nasal_cannula", "flow_lpm": "2", "setting_pct": "28", "valves": "1", "fio2_pct": "50"}

    assert asked(said).of_device == {}


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"device": "trumpet"}, "There is no device 'trumpet'. Choose one from the page."),
        ({"flow_lpm": "99"}, "flow_lpm is 99. Write 0 to 15."),
        ({"flow_lpm": "four"}, "flow_lpm is 'four', not a number. Write 0 to 15."),
        ({"flow_lpm": "nan"}, "flow_lpm is nan. Write 0 to 15."),
        ({"tidal_ml": "-3"}, "tidal_ml is -3. Write 200 to 1000."),
        ({"patient": "nobody"}, "There is no patient 'nobody'. Choose one from the page."),
    ],
)
def test_nonsense_is_refused_in_words(said, sentence):
    with pytest.raises(AskedWronglyError) as refused:
        asked(said)

    assert str(refused.value) == sentence
