"""Contract: every number, the device and the score that were written or told are held against the record."""

import numpy as np
import pytest
from tests.judge.bench import act, criterion, record, verdict

from tidalbay.judge.told_numbers import told_in

HANDOFF, SCORE, ENTRY = ({"truth": {"of": of}} for of in ("handoff", "early_warning_score", "oxygen_entry"))
N = 600


def shown(**changed):
    """Ten minutes on a cannula at 2 L/min, saturation 92, breathing 24, pulse 105, 128/-."""
    columns = {
        "spo2_shown_pct": 92.0, "rate_per_min": 24.0, "heart_rate_per_min": 105.0, "systolic_mmhg": 128.0,
        "alertness_frac": 1.0, "confusion_frac": 0.0, "wall_shown_lpm": 2.0, "cannula_flow_lpm": 2.0,
        "cannula_supplied_o2_pct": 99.5,
    } | changed  # fmt: skip
    columns = {name: np.broadcast_to(np.asarray(value, dtype=float), (N,)) for name, value in columns.items()}
    return {"wearing": np.full(N, "nasal_cannula", dtype="U60"), **columns}


def told(text, at_s=300, **changed):
    return verdict(record([act(at_s, "handoff_given", situation=text)], shown(**changed)), **HANDOFF)


def charted(form, at_s=300, target=(94, 98), changed=None, **fields):
    made = record([act(at_s, "charted", form=form, fields=fields)], shown(**(changed or {})))
    made.case["order"]["target_spo2_pct"] = list(target)
    made.case["patient"] = {"numbers": {"age_years": 60.0, "temperature_degc": 37.2}}
    return verdict(made, **(SCORE if form == "early_warning_score" else ENTRY))


# -- what is picked out of words ------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("saturation 90 on a mask at 8 L/min", [("saturation", "90"), ("flow", "8"), ("device", "mask")]),
        ("sats 88, heart rate 110, rate 24", [("saturation", "88"), ("pulse", "110"), ("breaths", "24")]),
        ("he breathes 28 breaths a minute", [("breaths", "28")]),
        ("on a 28 % air-entrainment mask", [("device", "air-entrainment mask")]),
        ("aiming for a saturation of 94", []),
        ("target 88 to 92, sat 91", [("saturation", "91")]),
        ("please come now", []),
        ("bed 12, 67 years, day 2", []),
    ],
)
def test_what_the_record_could_know_is_picked_out_and_the_rest_passed_over(text, found):
    assert [(each.name, each.words) for each in told_in(text)] == found


@pytest.mark.parametrize(
    ("text", "past"),
    [
        ("saturation was 86, now 92", [True, False]),
        ("saturation fell from 98 to 90", [True, False]),
        ("86 % saturation on arrival", []),
        ("saturation 92", [False]),
    ],
)
def test_what_was_is_told_from_what_is(text, past):
    text = text.replace("now 92", "saturation now 92")

    assert [each.is_past for each in told_in(text)] == past


# -- handoff --------------------------------------------------------------------------------


def test_a_true_handoff_says_what_each_number_was():
    found = told("Saturation 93 on prongs at 2 L/min, rate 24")

    assert found.verdict == "met"
    assert found.finding.why == (
        "Said at 05:00: saturation 93; in the record then: 92. Said at 05:00: flow 2; in the record then: 2. "
        "Said at 05:00: device prongs; so it was. Said at 05:00: breaths 24; in the record then: 24."
    )
    assert ("spo2_shown_pct", 270.0, 92.0) in found.finding.evidence.readings


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (
            "saturation 96",
            "Said at 05:00: saturation 96; in the record then: 92, and no more than 2 apart is allowed.",
        ),
        (
            "flow of 4 litres a minute",
            "Said at 05:00: flow 4; in the record then: 2, and no more than 0.5 apart is allowed.",
        ),
        ("on a simple mask", "Said at 05:00: device simple mask; worn then: nasal cannula."),
        (
            "rate 30",
            "Said at 05:00: breaths 30; in the record then: 24, and no more than 2 apart is allowed.",
        ),
    ],
)
def test_what_was_not_so_is_not_met_with_both_numbers(text, why):
    found = told(text)

    assert (found.verdict, found.finding.why) == ("not_met", why)


def test_two_points_are_forgiven_and_a_third_is_not():
    assert [told(f"saturation {pct}").verdict for pct in (90, 94, 89, 95)] == [
        "met",
        "met",
        "not_met",
        "not_met",
    ]


def test_what_is_told_of_earlier_may_be_of_any_moment_before_and_of_none_after():
    falls = np.where(np.arange(N) < 200, 98.0, 92.0)

    assert told("saturation was 98", spo2_shown_pct=falls).verdict == "met"
    assert told("saturation 98", spo2_shown_pct=falls).verdict == "not_met"
    assert told("saturation was 92", at_s=100, spo2_shown_pct=falls).verdict == "not_met"


def test_words_without_a_number_cannot_be_held_against_anything():
    assert told("she is worse, please come").verdict == "cannot_be_judged"
    assert verdict(record([], shown()), **HANDOFF).verdict == "cannot_be_judged"
    assert verdict(record([], shown()), **HANDOFF, if_never="missed").verdict == "not_met"


def test_a_handoff_on_paper_is_held_to_the_same():
    fields = {"situation": "saturation 92", "assessment": "rate 40"}
    made = record([act(300, "charted", form="handoff", fields=fields)], shown())

    assert verdict(made, **HANDOFF).verdict == "not_met"


# -- entries --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({"device": "nasal cannula", "flow_lpm": 2, "spo2_pct": 92, "rate_per_min": 24}, "met"),
        ({"device": "simple mask", "spo2_pct": 92}, "not_met"),
        ({"flow_lpm": 3}, "not_met"),
        ({"effort": "quiet"}, "cannot_be_judged"),
    ],
)
def test_an_oxygen_entry_is_held_field_by_field(fields, expected):
    assert charted("oxygen_entry", **fields).verdict == expected


def test_only_the_fields_that_are_asked_for_are_held():
    entry = act(300, "charted", form="oxygen_entry", fields={"spo2_pct": 92, "flow_lpm": 9})
    asked = {"truth": {"of": "oxygen_entry", "fields": ["spo2_pct"]}}

    assert verdict(record([entry], shown()), **asked).verdict == "met"


# -- the early-warning score ----------------------------------------------------------------

# By hand from RCP 2017, both scales: breaths 24 gives 2, saturation 92 on oxygen gives 2 by scale 1 and 0 by
# scale 2, oxygen 2, systolic 128 gives 0, pulse 105 gives 1, alert 0, 37.2 °C 0: 7 by scale 1, 5 by scale 2.


@pytest.mark.parametrize(
    ("target", "fields", "expected"),
    [
        ((94, 98), {"score": 7}, "met"),
        ((94, 98), {"score": 7, "scale": 1}, "met"),
        ((94, 98), {"score": 5}, "not_met"),
        ((88, 92), {"score": 5, "scale": 2}, "met"),
        ((88, 92), {"score": 7, "scale": 1}, "not_met"),
        ((88, 92), {"score": 5, "scale": 1}, "not_met"),
        ((88, 92), {"score": 6, "scale": 2}, "not_met"),
    ],
)
def test_the_score_is_that_of_the_signs_by_the_scale_of_the_order(target, fields, expected):
    assert charted("early_warning_score", target=target, **fields).verdict == expected


def test_a_wrong_scale_is_told_with_both_sums():
    found = charted("early_warning_score", target=(88, 92), score=7, scale=1)

    assert found.finding.why == (
        "Said at 05:00: early-warning score 7 by scale 1; a target of 88 to 92 % asks for scale 2, and by it "
        "the signs make 5, by the other 7."
    )
    assert found.finding.margin == -2.0


def test_signs_within_two_points_are_counted_as_they_were_written():
    # 25 breaths counted where 24 were: true as a count, and worth 3 points instead of 2.
    assert charted("early_warning_score", score=8, rate_per_min=25).verdict == "met"
    assert charted("early_warning_score", score=8, rate_per_min=29).verdict == "not_met"


def test_a_sign_that_was_not_shown_makes_no_score():
    dark = {"spo2_shown_pct": np.nan}

    assert charted("early_warning_score", changed=dark, score=7).verdict == "cannot_be_judged"


# -- the language ---------------------------------------------------------------------------


def test_the_form_is_written_in_a_case_by_its_name():
    asked = criterion(truth={"of": "handoff"})

    assert (asked.form, asked.truth.of, asked.truth.lately_ms) == ("truth", "handoff", 30_000)
