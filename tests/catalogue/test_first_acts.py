"""Contract of the checker's twelve places: words the catalogue knows, fixed places, fair questions."""

import pytest

from tidalbay.catalogue import first_acts as module
from tidalbay.catalogue.acts import acts, check_values
from tidalbay.catalogue.chart_forms import FIELD_TYPES, chart_forms
from tidalbay.catalogue.devices import device_kinds
from tidalbay.catalogue.first_acts import (
    SHAPES,
    STATES,
    families,
    first_acts_plain,
    first_places,
    order_pairs,
    order_window_s,
    ratings,
    states,
    steps,
)
from tidalbay.catalogue.prebrief import prebrief
from tidalbay.catalogue.yaml_rows import mapping


def every_act_word():
    """Every word that the file uses for an act, wherever it stands."""
    found = []

    def walk(node):
        if isinstance(node, dict):
            found.extend(node[name] for name in ("act",) if name in node)
            found.extend(word for name in ("taps", "done_by") for word in node.get(name, ()))
            for value in node.values():
                walk(value)
        elif isinstance(node, list):
            for value in node:
                walk(value)

    walk({name: value for name, value in first_acts_plain().items() if name != "devices"})
    return found


def test_there_are_twelve_places_and_each_has_its_number():
    assert [place.place for place in first_places()] == list(range(1, 13))
    assert len({place.id for place in first_places()}) == 12
    assert {place.shape for place in first_places()} <= set(SHAPES)


def test_every_act_named_in_the_file_is_one_that_a_checker_may_log():
    for word in every_act_word():
        assert "checker" in acts()[word].by, word
    for pair in order_pairs():
        assert {pair.first, *pair.then} <= set(acts())


def test_a_place_that_asks_nothing_says_everything_its_acts_must_say():
    for place in first_places():
        if place.shape == "once":
            for act in place.acts:
                assert check_values(acts()[act.act], act.values) == [], place.id


@pytest.mark.parametrize(
    ("written", "sentence"),
    [
        (
            {"act": "hands_washed"},
            "place hands: there is no act 'hands_washed'; see acts.yaml.",
        ),
        ({"act": "positioned", "position": "tall"}, "place hands: "),
        ({"act": "hands_cleaned", "soap": True}, "place hands: hands_cleaned has no soap"),
    ],
)
def test_a_place_that_says_what_no_act_knows_is_refused(written, sentence):
    with pytest.raises(ValueError, match=r"first_acts\.yaml") as refused:
        module._act(written, "hands")

    assert sentence in str(refused.value)


def test_flows_to_tap_are_flows_that_hands_can_set():
    chips = next(place for place in first_places() if place.id == "flow").row["chips_lpm"]

    assert chips == sorted(set(chips))
    assert len(chips) <= 10
    for flow_lpm in chips:
        assert check_values(acts()["flow_set"], {"flow_lpm": flow_lpm}) == []


def test_every_device_that_gives_gas_has_one_way_to_prove_it():
    """The first family that fits decides, so that a device never offers two proofs at once."""
    proof = next(place for place in first_places() if place.id == "proof").row["by_device"]
    expected = {
        "nasal_cannula": "Gas proved",
        "simple_mask": "Gas proved",
        "air_entrainment_mask": "Per cent read",
        "partial_rebreathing_mask": "Bag filled",
        "non_rebreathing_mask": "Bag filled",
        "high_flow_nasal_cannula": "Per cent read",
        "bag_valve_mask": "Gas proved",
        "nebuliser_mask": "Mist seen",
        "nebuliser_mouthpiece": "Mist seen",
        "nebuliser_t_piece": "Mist seen",
        "nebuliser_in_line": "Mist seen",
    }
    for kind, button in expected.items():
        mine = families(device_kinds()[kind])
        offered = next((row["button"] for row in proof if row["family"] in mine), "Gas proved")
        assert offered == button, kind


def test_a_step_has_its_number_on_page_and_paper_and_a_source():
    assert [step.item for step in steps()] == list(range(1, len(steps()) + 1))
    assert len({step.id for step in steps()}) == len(steps())
    for step in steps():
        assert step.source
        assert step.hint.endswith((".", "?")) or "?" in step.hint
        assert len(step.say) <= 130, step.id


def test_there_are_five_states_and_not_recorded_is_none_of_them():
    assert tuple(state["id"] for state in states()) == STATES
    assert "not_recorded" not in STATES
    assert [row["rating"] for row in ratings()] == [1, 2, 3, 4]


def test_the_clock_is_mistrusted_over_fifteen_seconds():
    """Two taps closer than this are not put in order by the clock, here as where they are judged."""
    assert order_window_s() == 15.0


def test_a_chart_keeps_fields_whose_names_carry_their_units():
    form = chart_forms()["oxygen_entry"]
    charted = acts()["charted"].arguments["form"].choices

    assert form.id in charted
    for field in form.fields:
        assert field.type in FIELD_TYPES
        assert field.type != "number" or (field.low < field.high and field.unit)
    assert {"spo2_pct", "flow_lpm", "rate_per_min"} <= {field.name for field in form.fields}


def test_the_prebrief_says_how_to_stop_and_where_to_look_instead():
    words = prebrief()

    assert any('"stop"' in line for line in words.script)
    assert all(what and instead for what, instead in words.cannot_show)
    assert any("Real person first" in line for line in words.emergency)


def test_steps_carry_the_ids_of_the_shared_core():
    """What a checker says of a step counts for the procedure that has it; the record judges truth."""
    core = mapping("procedures/core.yaml")["steps"]
    mine = {step.id for step in steps()}
    by_record = {"read-truly", "charted-truly", "spoke-kindly"}

    assert {step["id"] for step in core} - by_record <= mine
