"""Contract: every sentence beside a verdict is plain: past tense, words for people, a full stop."""

import re

import pytest
from tests.judge.bench import act, record, verdict

from tidalbay.case.procedures import procedures, steps_of
from tidalbay.catalogue.acts import acts
from tidalbay.catalogue.chart_forms import chart_forms
from tidalbay.catalogue.judged_acts import bare_words
from tidalbay.catalogue.judged_readings import judged_readings
from tidalbay.judge import judge

STEPS = {
    repr(step): step for name in procedures() for urgent in (False, True) for step in steps_of(name, urgent)
}
IDS = {
    name
    for name in (
        *acts(),
        *judged_readings(),
        *(f.name for form in chart_forms().values() for f in form.fields),
    )
    if "_" in name
}
PLACED = {"act": "device_placed"}
SOON = {"not_before": "2 min", "within": "7 min", "expect": {"act": "observed", "what": "spo2"}}


def why(happenings, **asked):
    return verdict(record(happenings), **asked).finding.why


def doings(step):
    """Acts that the step looks for, done one after another, and each alone."""
    wanted = [each for form in (step, *step.parts) for each in form.acts_wanted()]
    made = []
    for n, each in enumerate(wanted):
        kind = acts()[each.act[0]]
        said = {
            name: arg.choices[0] if arg.choices else max(arg.low, min(arg.high, 5.0))
            for name, arg in kind.arguments.items()
            if not arg.optional and arg.type in ("choice", "number")
        }
        said |= {name: value for name, value in each.values.items() if not hasattr(value, "items")}
        said |= {"flow_lpm": 5.0} if kind.id == "flow_set" else {}
        said |= {"found": 95} if kind.id == "observed" else {}
        if "as_ordered" not in said.values():
            made.append(act(30.0 + 40.0 * n, kind.id, by="script", **said))
    return made


@pytest.mark.parametrize("step", STEPS.values(), ids=lambda step: step.id)
def test_what_the_judge_says_of_a_step_of_the_library_reads_as_a_sentence(step):
    done = doings(step)
    for whole in (True, False):
        for has_ended in (True, False):
            for happenings in ([], done, done[::-1], *([each] for each in done)):
                made = record(happenings, is_whole_account=whole, has_ended=has_ended)
                said = judge(made, [step])[0].finding.why
                assert re.match(r"[A-Z0-9“]", said), said
                assert said.endswith("."), said
                assert not IDS & set(re.findall(r"[a-z0-9_]+", said)), said
                assert not re.search(r"…|  |\.\.|\{|\}|as_ordered|None\b(?! of)|[a-z]_[a-z]", said), said


@pytest.mark.parametrize("kind", acts().values(), ids=lambda kind: kind.id)
def test_an_act_without_its_arguments_ends_on_a_word_that_can_end(kind):
    words = bare_words(kind)

    assert words
    assert words.split()[-1] not in ("of", "to", "in", "at", "the", "a", "and", "put", "worked")


@pytest.mark.parametrize(
    ("happenings", "asked", "expected"),
    [
        (
            [act(20, "order_read", by="script"), act(60, "flow_set", by="script", flow_lpm=2)],
            {"needs": [{"act": "order_read"}], "before": {"act": "flow_set"}},
            "Read the order (00:20), and 40 s later set the flow to 2 L/min (01:00).",
        ),
        (
            [act(20, "flow_set", by="script", flow_lpm=2), act(60, "order_read", by="script")],
            {"needs": [{"act": "order_read"}], "before": {"act": "flow_set"}},
            "Set the flow to 2 L/min (00:20), and only 40 s later read the order (01:00).",
        ),
        (
            [act(100, "flow_set", flow_lpm=2)],
            {"after_each": {"act": "flow_set"}, **SOON},
            "Set the flow to 2 L/min (01:40). Not in the record from 03:40 to 08:40: read out SpO2.",
        ),
        (
            [act(100, "flow_set", flow_lpm=2), act(580, "observed", what="spo2", found=95)],
            {"after_each": {"act": "flow_set"}, **SOON},
            "Set the flow to 2 L/min (01:40), and 8 min later read out SpO2: 95 (09:40), which is 1 min "
            "late.",
        ),
        (
            [],
            {"happened": {"act": "drug_loaded", "volume_ml": {"within": [4, 5]}}},
            "Not in the record: put the drug into the cup (volume 4 to 5).",
        ),
        (
            [],
            {"happened": {"act": "flow_set", "flow_lpm": {"at_least": 10}}},
            "Not in the record: set the flow to at least 10 L/min.",
        ),
        (
            [],
            {"happened": {"act": "flow_set", "flow_lpm": {"above": 0}}},
            "Not in the record: set the flow to more than 0 L/min.",
        ),
        (
            [],
            {"happened": {"act": "flow_set", "flow_lpm": "as_ordered"}},
            "Not in the record: set the flow as ordered.",
        ),
        (
            [act(200, "help_called", who="nurse_in_charge")],
            {"happened": {"act": "help_called"}, "by": "3 min"},
            "Called for help: nurse in charge (03:20), 20 s after 03:00.",
        ),
        (
            [],
            {"any_of": [{"happened": {"act": "seal_checked"}}, {"happened": {"act": "nose_clip_pinched"}}]},
            "None of 2 is met, and one is needed. Not in the record: checked the seal of the mask.",
        ),
    ],
)
def test_a_sentence_in_full(happenings, asked, expected):
    assert why(happenings, **asked) == expected
