"""Contract of the one door for hands: what cannot be shown is not kept, and refusals are in words."""

import pytest

import tidalbay
from tidalbay.live import StationRefused, act_said, mark_said
from tidalbay.live.hands.in_words import in_words, part_words

CHART = {"act": "charted", "values": {"form": "oxygen_entry"}}


@pytest.fixture(scope="module")
def things():
    """What stands round the bed of somebody who is taken from ward to imaging, two cylinders among it."""
    return tidalbay.play(tidalbay.load_case("transport")).attempt.equipment.seen()


@pytest.mark.parametrize("sign", ["\0", "\x07", "\x1b", "\x7f", "\x85", "\u202e", "\ud800"])
def test_a_sign_that_cannot_be_shown_is_refused_wherever_it_stands(sign):
    said = [
        lambda: act_said(CHART | {"values": {"form": "oxygen_entry", "fields": {"flow_lpm": f"2{sign}"}}}),
        lambda: act_said(CHART | {"values": {"form": "oxygen_entry", "fields": {f"a{sign}": 2}}}),
        lambda: act_said({"act": "observed", "values": {"found": ["pale", {"deep": f"{sign}"}]}}),
        lambda: mark_said({"kind": "note", "values": {"text": f"kind{sign}"}}),
    ]
    for each in said:
        with pytest.raises(
            StationRefused, match=rf"cannot be shown \(U\+{ord(sign):04X}\); write it without\.$"
        ):
            each()


def test_lines_and_every_script_of_the_world_may_be_written():
    text = "Fünf Liter.\n\t二リットル، ٢ لتر 👍 <b>not bold</b>"

    assert mark_said({"kind": "note", "values": {"text": text}}).values["text"] == text


def test_parts_are_named_by_what_they_are_and_numbered_where_two_are_alike(things):
    words = part_words(things)

    assert words["cannula"] == "nasal cannula"
    assert words["flowmeter"] == "flowmeter of the oxygen outlet"
    assert {words["full"], words["part_used"]} == {"cylinder 1", "cylinder 2"}
    assert words["cannula_tubing"] == "tubing of the nasal cannula"


@pytest.mark.parametrize(
    ("sentence", "told"),
    [
        (
            "'cannula' is a nasal cannula and does not have an entrainment valve.",
            "The nasal cannula does not have an entrainment valve.",
        ),
        ("'mask' is a simple face mask; it is not squeezed.", "The simple face mask is not squeezed."),
        (
            "20 L/min cannot be set on 'flowmeter': its scale ends at 15 L/min.",
            "20 L/min cannot be set on the flowmeter of the oxygen outlet: its scale ends at 15 L/min.",
        ),
        ("'full' is a cylinder, not an outlet in the wall.", "Cylinder 1 is not an outlet in the wall."),
        ("There is no 'tent' here. 'mask' is.", "There is no 'tent' here. The simple face mask is."),
    ],
)
def test_a_refusal_says_what_the_thing_is_and_says_it_once(things, sentence, told):
    assert in_words(sentence, things) == told
