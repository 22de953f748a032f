"""Contract: what a debrief shows follows from the recording, and its first page holds no verdict."""

import json

import numpy as np
import pytest
from tests.report.bench import CASES, PATHS, debrief, marked, played

from tidalbay.judge import judge_attempt
from tidalbay.report import debrief_of, skin_each_minute

pytestmark = pytest.mark.usefixtures("model")
WORDS_OF_VERDICTS = ("not_met", "cannot_be_judged", "verdict", "went_well", "criterion", "outcome")


def strip(of, id):
    return next(each for each in of.first_page()["strips"] if each["id"] == id)


def test_lines_are_rows_of_the_trace_at_their_moments():
    _, trace = played()
    shown = strip(debrief(), "saturation")["lines"][0]

    rows = np.searchsorted(trace.seconds["t_s"], shown["t_s"])
    assert shown["values"] == [
        None if v != v else round(float(v), 1) for v in trace.seconds["spo2_shown_pct"][rows]
    ]
    assert (shown["t_s"][0], shown["t_s"][-1]) == (0.0, 960.0)


def test_the_ordered_range_and_the_scale_hold_the_lines():
    found = strip(debrief("hypercapnic-risk", "tempting"), "saturation")

    assert found["band"] == [88.0, 92.0]
    values = [v for line in found["lines"] for v in line["values"] if v is not None]
    assert found["scale"]["low"] <= min(values)
    assert max(values) <= found["scale"]["high"] <= 100


def test_acts_stand_at_their_moments_with_what_was_done():
    acts = {act["n"]: act for act in debrief().first_page()["acts"]}
    flow = next(act for act in acts.values() if act["kind"] == "flow_set")

    assert (flow["t_s"], flow["label"], flow["sentence"]) == (
        160.0,
        "Set flow: 2",
        "Set the flow to 2 L/min.",
    )
    assert flow["is_changeable"]
    assert not next(act for act in acts.values() if act["kind"] == "order_read")["is_changeable"]
    assert "attempt_started" not in {act["kind"] for act in acts.values()}


def test_what_is_worn_begins_and_ends_with_the_acts():
    spans = strip(debrief("post-operative", "tempting"), "worn")["spans"]

    assert [(s["from_s"], s["to_s"], s["words"]) for s in spans] == [(100.0, 480.0, "non-rebreathing mask")]


def test_the_second_scale_is_for_the_range_of_hypercapnic_risk_only():
    assert strip(debrief("hypercapnic-risk"), "score")["about"] == "NEWS2, scale 2"
    assert strip(debrief(), "score")["about"] == "NEWS2, scale 1"
    assert "Royal College of Physicians" in strip(debrief(), "score")["said"]


def test_the_score_of_a_minute_is_the_published_sum_of_that_minutes_signs():
    # By hand from the published table: a rate of 22 gives 2, saturation 90 on air 3, a pulse of 97 1.
    _, trace = played()
    row = {
        name: float(trace.seconds[name][0])
        for name in ("rate_per_min", "spo2_shown_pct", "heart_rate_per_min")
    }
    assert 21 <= row["rate_per_min"] <= 24
    assert row["spo2_shown_pct"] <= 91
    assert 91 <= row["heart_rate_per_min"] <= 110

    assert strip(debrief(), "score")["lines"][0]["values"][0] == 6.0


def test_skin_is_told_by_the_minute_or_said_not_to_be_kept():
    attempt, trace = played()
    minutes = skin_each_minute(attempt)

    assert [t_s for t_s, _ in minutes] == [60.0 * n for n in range(17)]
    assert minutes[-1][1] == attempt.skin(960.0)
    without = strip(debrief_of(attempt.log, trace), "skin")
    assert without["lines"] == []
    assert "not kept" in without["said"]


def test_medicine_that_was_not_given_is_said_and_not_drawn():
    assert strip(debrief(), "medicine")["said"] == "No nebulised medicine was given."
    assert strip(debrief("asthma-attack"), "medicine")["lines"][0]["values"][-1] > 0.0


@pytest.mark.parametrize("path", PATHS)
@pytest.mark.parametrize("case", CASES)
def test_every_verdicts_evidence_has_its_moment_on_the_axis(case, path):
    of = debrief(case, path)
    told = of.verdicts_page()["verdicts"]

    assert len(told) == len(of.judged.verdicts)
    for verdict in told:
        evidence = verdict["evidence"]
        has_evidence = any(evidence[kind] for kind in ("acts", "spans_s", "readings"))
        assert bool(verdict["moments"]) == has_evidence, verdict["id"]
        assert all(0.0 <= moment["at_s"] <= of.end_s for moment in verdict["moments"])
        acts = {act.n: act.t_s for act in of.acts}
        at = {moment["at_s"] for moment in verdict["moments"]}
        assert {acts[n] for n in evidence["acts"] if n in acts} <= at


@pytest.mark.parametrize("path", PATHS)
@pytest.mark.parametrize("case", CASES)
def test_the_first_page_holds_no_verdict(case, path):
    text = json.dumps(debrief(case, path).first_page())

    assert not [word for word in WORDS_OF_VERDICTS if word in text]
    assert "What did you see?" in text


def test_the_structure_is_plain_json_of_a_moderate_size():
    text = json.dumps(debrief("asthma-attack").first_page(), allow_nan=False)

    assert len(text) < 200_000  # our own measure: a page over a lab's wireless


def test_a_long_attempt_keeps_its_peaks_and_few_points():
    clock = np.arange(0.0, 36_000.0)
    values = np.full(len(clock), 95.0)
    values[12_345], values[777] = 60.0, np.nan
    from tidalbay.report.strips import step_of, thinned

    points = dict(thinned(clock, values, step_of(36_000.0)))

    assert points[12_345.0] == 60.0
    assert None in points.values()
    assert len(points) < 2000
    assert all(points[t] == values[int(t)] or values[int(t)] != values[int(t)] for t in points)


def test_half_an_attempt_says_so(model):
    import tidalbay

    playing = tidalbay.play(tidalbay.load_case("post-operative"), "good")
    playing.run_to(300)
    half = debrief_of(playing.log, playing.trace())

    assert half.how_it_ended == "The attempt had not ended: this is how it stood at 05:00."
    assert not half.first_page()["has_ended"]


def test_an_assessment_is_folded_until_marks_and_rating_are_in():
    attempt, trace = played(mode="summative")
    personal = [c.id for c in judge_attempt(attempt.log, trace).criteria if c.form == "judged_by"]
    marks = [("step_state", id, {"state": "done"}) for id in personal]
    rating = ("global_rating", None, {"rating": 3})

    nothing, only_marks, only_rating = (
        debrief_of(marked(attempt.log, *some), trace) for some in ((), marks, (rating,))
    )
    both = debrief_of(marked(attempt.log, *marks, rating), trace)

    for each in (nothing, only_marks, only_rating):
        assert each.folded.startswith("Verdicts stay folded in an assessment")
        assert each.verdicts_page() == {"folded": each.folded, "verdicts": [], "outcome": None}
        assert each.first_page()["prompts"] == []
    assert personal
    assert both.folded == ""
    assert both.verdicts_page()["verdicts"]


def test_other_modes_are_never_folded():
    assert debrief().folded == ""
