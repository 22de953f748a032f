"""Contract: a criterion that can never be judged, is met by doing nothing, or cannot stand beside another is
found when the case is read, with its line and the mend."""

import textwrap

import pytest

from tidalbay.case import CaseErrors, read_case, resolve
from tidalbay.case.procedures import criterion_from_plain, plain_criterion, procedures, steps_of

CASE = """\
schema: 1
id: a-case
title: A case
teaches: Something.
patient: {name: Mr T. Oakley, preset: post_operative}
order: {text: Oxygen 2 L/min., flow_lpm: 2, target_spo2_pct: [94, 98]}
minutes: 10
setup:
  supplies:
    - {id: outlet, kind: wall_oxygen, flowmeter: {id: flowmeter}}
  devices:
    - {id: cannula, kind: nasal_cannula, connected_to: flowmeter, worn: false}
check_off:
  criteria:
"""
FIRST = CASE.count("\n") + 1  # line of the first criterion


def problems_of(*criteria):
    items = [textwrap.indent("- " + textwrap.indent(each, "  ").strip(), "    ") for each in criteria]
    with pytest.raises(CaseErrors) as refused:
        read_case(CASE + "\n".join(items) + "\n", "case.yaml")
    return refused.value.problems


def said(asks):
    return f"id: asked\nsay: As asked.\n{asks}"


@pytest.mark.parametrize(
    ("asks", "line", "what"),
    [
        ("happened: {act: flow_sat}", 2, "there is no act flow_sat"),
        ("must: true", 0, "it asks nothing"),
        ("happened: {act: flow_set}\nnever: {act: flow_set}", 0, "it asks happened and never at once"),
        ("happened: {act: flow_set}\ngrace: 10 s", 3, "grace says nothing beside happened"),
        ("needs: [{act: flow_set}]", 0, "needs lacks before"),
        ("happened: {act: flow_set, strength: 3}", 2, "flow_set has no strength"),
        (
            "happened: {act: flow_set, flow_lpm: {at_least: 200}}",
            2,
            "flow_lpm goes from 0 to 100, so at_least 200 can never be met",
        ),
        ("happened: {act: flow_set, flow_lpm: {more_than: 2}}", 2, "more_than is no bound"),
        ("happened: {act: strap_set, snugness: lose}", 2, "snugness is never lose"),
        ("happened: {act: flow_set, on: flowmetre}", 2, "there is no flowmetre here"),
        (
            "happened: {act: device_placed, device: simple_mask}",
            2,
            "this station has no simple_mask, so it can never be judged",
        ),
        (
            "while: {wearing: simple_mask}\nalways: {name: spo2_shown_pct, at_least: 90}",
            2,
            "this station has no simple_mask, so it can never be judged",
        ),
        ("always: {name: spo2_shown_pct}", 2, "spo2_shown_pct has no bound here, so it asks nothing"),
        (
            "always: {name: spo2_shown_pct, at_least: 0}",
            2,
            "spo2_shown_pct is always 0 to 100 %, so doing nothing meets it",
        ),
        (
            "always: {name: spo2_shown_pct, above: 120}",
            2,
            "spo2_shown_pct is never there: it goes from 0 to 100 %",
        ),
        (
            "always: {name: spo2_shown_pct, at_least: 96, at_most: 92}",
            2,
            "spo2_shown_pct cannot be both at least 96 and at most 92",
        ),
        (
            "never: {reading: spo2_shown_pct, above: 100}",
            2,
            "spo2_shown_pct goes from 0 to 100 %, so doing nothing meets it",
        ),
        ("never: {reading: spo2_shown_pct}", 2, "spo2_shown_pct has no bound here"),
        ("never: {act: flow_set, wearing: nasal_cannula}", 2, "never looks at one thing"),
        (
            "after_each: {act: flow_set}\nexpect: {act: observed}\nwithin: 20 min",
            4,
            "within is 20:00, and the case lasts 10:00, so it can never be judged",
        ),
        (
            "after_each: {act: flow_set}\nexpect: {act: observed}\nnot_before: 6 min\nwithin: 5 min",
            4,
            "not_before is 6:00 and within 5:00, so nothing can be in time",
        ),
        (
            "reading: {name: spo2_shown_pct, within: ordered_range}\nfor_at_least: 0 %",
            3,
            "0 % of the time is always so",
        ),
        (
            "reading: {name: spo2_shown_pct, within: [88]}\nfor_at_least: 70 %",
            2,
            "within is a list, not a range",
        ),
        (
            "reading: {name: spo2_shown_pct, within: [88, 92]}\nfor_at_least: 70",
            3,
            "for_at_least is 70, not a share of time",
        ),
        ("charted: {form: oxygen_entri}", 2, "there is no form oxygen_entri"),
        ("said: {what: spo3}", 2, "nobody looks at spo3"),
        (
            "truth: {of: handof}",
            2,
            "of is handof",
        ),
        (
            "truth: {of: oxygen_entry, fields: [spo2]}",
            2,
            "oxygen_entry has no field spo2",
        ),
        (
            "truth: {of: oxygen_entry, fields: [signed]}",
            2,
            "the record shows nothing of signed, so it can never be judged",
        ),
        (
            "charted: {form: oxygen_entry}\nagrees_with: {reading: spo2_shown_pct}",
            2,
            "agrees_with needs the field that is compared",
        ),
        ("all_of: []", 2, "all_of is empty, so it asks nothing"),
        (
            "at_least: {n: 3, of: [{happened: {act: flow_set}}]}",
            2,
            "n is 3 and only 1 are listed, so it can never be met",
        ),
        ("any_of: [{happened: {act: flow_set, strength: 2}}]", 2, "flow_set has no strength"),
    ],
)
def test_one_thing_that_is_wrong_is_said_on_its_line(asks, line, what):
    problems = problems_of(said(asks))

    assert [(p.line, p.what) for p in problems] == [(FIRST + line, what)]


def test_two_criteria_of_one_name_are_refused():
    problems = problems_of(said("happened: {act: flow_set}"), said("happened: {act: order_read}"))

    assert [p.what for p in problems] == ["two criteria are called asked"]


def test_two_musts_that_ask_for_opposite_orders_are_refused():
    problems = problems_of(
        "id: one\nsay: One.\nmust: true\nneeds: [{act: order_read}]\nbefore: {act: hands_cleaned}",
        "id: two\nsay: Two.\nmust: true\nneeds: [{act: hands_cleaned}]\nbefore: {act: order_read}",
    )

    assert [p.what for p in problems] == [
        "two asks hands_cleaned before order_read, and another must asks the other way round"
    ]


def test_what_one_must_asks_for_no_other_may_forbid():
    problems = problems_of(
        "id: one\nsay: One.\nmust: true\nhappened: {act: order_read}",
        "id: two\nsay: Two.\nmust: true\nnever: {act: order_read}",
    )

    assert [p.what for p in problems] == [
        "one asks for order_read, which another must, two, says never happens"
    ]


@pytest.mark.parametrize(
    ("asks", "line", "what"),
    [
        (
            "any_of:\n  - happened: {act: order_read}\n  - never: {act: order_read}",
            4,
            "order_read either happened or never did, so any_of is always met",
        ),
        (
            "all_of:\n  - never: {act: flow_set, flow_lpm: 4}\n  - happened: {act: flow_set, flow_lpm: 4}",
            3,
            "flow_set cannot have happened and never have, so all_of can never be met",
        ),
        (
            "needs: [{act: order_read}]\nbefore: {act: order_read}",
            2,
            "the first order_read cannot come before itself, so it can never be met",
        ),
        (
            "during: {last: 40 min}\nreading: {name: spo2_shown_pct, within: [88, 92]}\nfor_at_least: 70 %",
            2,
            "last is 40:00, and the case lasts 10:00, so it can never be judged",
        ),
        (
            "always: {name: spo2_shown_pct, above: 90}\ngrace: 25 min",
            3,
            "grace is 25:00, and the case lasts 10:00, so it can never be judged",
        ),
        (
            "never: {reading: spo2_shown_pct, below: 90, for_longer_than: 21 min}",
            2,
            "for_longer_than is 21:00, and the case lasts 10:00, so it can never be judged",
        ),
        (
            "happened: {act: flow_set, flow_lpm: {at_least: 20}}",
            2,
            "no flowmeter here goes above 15 L/min, so 20 L/min can never be set",
        ),
        (
            "happened: {act: flow_set, flow_lpm: {within: [16, 30]}}",
            2,
            "no flowmeter here goes above 15 L/min, so 16 L/min can never be set",
        ),
        (
            "always: {name: flow_shown_lpm, at_least: 20}",
            2,
            "no flowmeter here goes above 15 L/min, so 20 L/min can never be set",
        ),
        (
            "happened: {act: device_placed, device: [high_flow_nasal_cannula, bag_valve_mask]}",
            2,
            "this station has no high_flow_nasal_cannula or bag_valve_mask, so it can never be judged",
        ),
    ],
)
def test_what_is_always_or_never_met_is_said_on_its_line(asks, line, what):
    problems = problems_of(said(asks))

    assert [(p.line, p.what) for p in problems] == [(FIRST + line, what)]
    assert problems[0].hint or problems[0].allowed


def test_what_can_be_met_one_way_or_another_is_no_contradiction():
    read_case(
        CASE
        + """\
    - id: one
      say: One.
      any_of:
        - happened: {act: order_read}
        - never: {act: order_queried}
    - id: two
      say: Two.
      happened: {act: flow_set, flow_lpm: {at_least: 15}}
""",
        "case.yaml",
    )


def test_two_orders_that_circle_are_found_inside_all_of_as_well():
    problems = problems_of(
        "id: one\nsay: One.\nmust: true\nall_of:\n"
        "  - needs: [{act: order_read}]\n    before: {act: hands_cleaned}",
        "id: two\nsay: Two.\nmust: true\nneeds: [{act: hands_cleaned}]\nbefore: {act: order_read}",
    )

    assert [p.what for p in problems] == [
        "two asks hands_cleaned before order_read, and another must asks the other way round"
    ]


def test_a_device_that_one_must_puts_on_no_other_may_forbid():
    problems = problems_of(
        "id: one\nsay: One.\nmust: true\nhappened: {act: device_placed, device: nasal_cannula}",
        "id: two\nsay: Two.\nmust: true\nnever: {wearing: nasal_cannula}",
    )

    assert [p.what for p in problems] == [
        "one asks for nasal_cannula to be put on, which another must, two, forbids"
    ]


def test_what_a_step_of_the_procedure_asks_for_the_case_may_not_forbid():
    text = CASE.replace("  criteria:\n", "  procedure: nasal-cannula\n  criteria:\n")
    asks = "id: quiet\nsay: Nobody read the order.\nmust: true\nnever: {act: [order_read, order_queried]}"
    text += (
        "\n".join(f"    {'- ' if i == 0 else '  '}{row}" for i, row in enumerate(asks.splitlines())) + "\n"
    )

    with pytest.raises(CaseErrors) as errors:
        read_case(text, "case.yaml")

    (problem,) = errors.value.problems
    assert problem.what.startswith(
        "order-before-flow asks for order_read or order_queried, which another must"
    )
    assert problem.line > text[: text.index("- id: quiet")].count("\n")


def test_a_reading_cannot_be_in_two_places_at_once():
    problems = problems_of(
        "id: one\nsay: One.\nmust: true\nalways: {name: spo2_shown_pct, at_least: 94}",
        "id: two\nsay: Two.\nmust: true\nalways: {name: spo2_shown_pct, at_most: 92}",
    )

    assert [p.what for p in problems] == ["two and one ask spo2_shown_pct to be in two places at once"]


def test_a_procedure_that_is_not_there_and_a_step_that_it_lacks_are_refused():
    text = CASE.replace("  criteria:\n", "  procedure: nasal-canula\n")
    with pytest.raises(CaseErrors) as no_procedure:
        read_case(text, "case.yaml")
    text = CASE.replace("  criteria:\n", "  procedure: nasal-cannula\n  without: [sits-down]\n")
    with pytest.raises(CaseErrors) as no_step:
        read_case(text, "case.yaml")

    assert no_procedure.value.problems[0].what == "there is no procedure nasal-canula"
    assert no_procedure.value.problems[0].hint == "did you mean nasal-cannula?"
    assert no_step.value.problems[0].what == "nasal-cannula has no step sits-down"


def test_a_case_may_put_its_own_criterion_in_a_steps_place():
    own = (
        "  procedure: nasal-cannula\n  criteria:\n"
        "    - {id: sat-up, say: He sat up., happened: {act: positioned, position: sitting_out}}\n"
    )
    case = read_case(CASE.replace("  criteria:\n", own), "case.yaml")

    kept = resolve(case)["check_off"]["criteria"]

    assert [c["say"] for c in kept if c["id"] == "sat-up"] == ["He sat up."]
    assert len(kept) == len(steps_of("nasal-cannula"))


@pytest.mark.parametrize("name", procedures())
@pytest.mark.parametrize("urgent", [False, True])
def test_what_a_record_keeps_of_a_step_is_read_back_the_same(name, urgent):
    for step in steps_of(name, urgent=urgent):
        assert criterion_from_plain(plain_criterion(step)) == step


@pytest.mark.parametrize("name", procedures())
def test_every_step_names_where_it_comes_from(name):
    assert [step.id for step in steps_of(name) if not step.source] == []
