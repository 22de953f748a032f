"""Contract of the table of findings: every threshold has its standing, every word its place."""

import pytest

from tidalbay.catalogue import findings as table
from tidalbay.catalogue.acts import acts
from tidalbay.catalogue.figure import MARKS
from tidalbay.catalogue.findings import UNSAID, Bound, OneOf, finding_ladders, finding_readings, skin_tones
from tidalbay.science.warning import CONSCIOUSNESS

RUNGS = [
    pytest.param(ladder, rung, id=f"{ladder.what}-{rung.id}")
    for ladder in finding_ladders().values()
    for rung in ladder.rungs
]


@pytest.mark.parametrize(("ladder", "rung"), RUNGS)
def test_every_rung_says_its_words_its_standing_and_its_source(ladder, rung):
    assert rung.mark in MARKS
    assert rung.basis
    assert all(words and not words.endswith(".") for words in rung.words.values())
    assert not any(character in words for words in rung.words.values() for character in "!")


@pytest.mark.parametrize(("ladder", "rung"), RUNGS)
def test_words_for_one_skin_tone_are_there_for_all(ladder, rung):
    assert set(rung.words) in ({UNSAID}, {UNSAID, *skin_tones()})


@pytest.mark.parametrize(("ladder", "rung"), RUNGS)
def test_a_published_threshold_names_a_year_or_says_that_it_is_remembered(ladder, rung):
    if rung.mark == "source":
        assert any(character.isdigit() for character in rung.basis) or "from memory" in rung.basis


@pytest.mark.parametrize("ladder", finding_ladders().values(), ids=lambda ladder: ladder.what)
def test_the_rungs_of_a_ladder_have_names_of_their_own_and_the_last_holds_always(ladder):
    ids = [rung.id for rung in ladder.rungs]

    assert len(ids) == len(set(ids))
    assert [bool(rung.when) for rung in ladder.rungs] == [True] * (len(ids) - 1) + [False]
    assert ladder.title
    assert ladder.look


def test_no_number_of_a_hidden_reading_stands_in_the_words():
    for ladder in finding_ladders().values():
        for rung in ladder.rungs:
            for words in rung.words.values():
                assert not any(character.isdigit() for character in words), words


def test_everything_of_the_body_that_an_act_can_read_out_by_eye_or_ear_has_a_ladder():
    what = acts()["observed"].arguments["what"]
    counted_or_measured = {"rate", "pulse", "blood_pressure", "temperature", "spo2", "peak_flow"}
    of_equipment_or_skin = {"skin", "bag", "gauge", "mist", "flow"}

    assert set(what.choices) - counted_or_measured - of_equipment_or_skin <= set(finding_ladders())


def test_alertness_has_the_five_levels_that_the_early_warning_score_asks_for():
    assert {rung.id for rung in finding_ladders()["alertness"].rungs} == set(CONSCIOUSNESS)


def test_every_reading_is_asked_for_somewhere():
    asked = {
        condition.reading
        for ladder in finding_ladders().values()
        for rung in ladder.rungs
        for alternative in rung.when
        for condition in alternative
        if isinstance(condition, Bound)
    }

    assert asked == set(finding_readings())


def test_colour_is_written_for_every_tone_wherever_it_tells_of_something():
    rungs = {rung.id: rung for rung in finding_ladders()["colour"].rungs}

    assert all(set(rungs[id_].words) == {UNSAID, *skin_tones()} for id_ in ("blue", "tinge", "pale"))


def test_no_grey_lips_above_86_per_cent_and_their_absence_never_reassures():
    # 87 % less the margin by which a finding outlasts its bound.
    rungs = {rung.id: rung for rung in finding_ladders()["colour"].rungs}
    margin = finding_readings()["sao2_pct"].margin

    for id_ in ("blue", "tinge"):
        for alternative in rungs[id_].when:
            (bound,) = [each for each in alternative if each.reading == "sao2_pct"]
            assert bound.high + margin <= 87
    assert "does not show that oxygen is enough" in rungs["usual"].words[UNSAID]


GOOD = {"id": "one", "words": "w", "mark": "assumed", "basis": "ours"}


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        ({**GOOD, "mark": "guess"}, "here: mark is 'guess'; write one of source, practice, tuned, assumed."),
        ({**GOOD, "basis": ""}, "here: says nothing in basis; write where the threshold comes from."),
        (
            {**GOOD, "when": [{"mood": {"from": 1}}]},
            "here: asks for mood, which is neither a reading nor an earlier finding.",
        ),
        ({**GOOD, "when": [{"pain": {"at": 1}}]}, "here: pain needs 'from', 'below' or both."),
        ({**GOOD, "when": [{"alertness": ["asleep"]}]}, "here: alertness is never asleep."),
        (
            {**GOOD, "words": {"light": "w"}},
            "here: words for several tones are unsaid, light, medium, dark.",
        ),
    ],
)
def test_a_row_that_cannot_be_read_is_refused_in_a_sentence(row, sentence):
    with pytest.raises(ValueError) as refused:
        table._rung(row, "here", finding_ladders())

    assert str(refused.value) == sentence


def test_a_bound_holds_from_its_low_end_up_to_and_without_its_high_end():
    bound = Bound("pain", 4.0, 7.0)

    assert [bound.holds(value) for value in (3.9, 4.0, 6.9, 7.0)] == [False, True, True, False]
    assert [bound.holds(value, slack=0.5) for value in (3.4, 3.5, 7.4, 7.5)] == [False, True, True, False]


def test_a_ladder_asks_only_ladders_that_were_judged_before():
    seen = set()
    for ladder in finding_ladders().values():
        for rung in ladder.rungs:
            for alternative in rung.when:
                assert all(each.finding in seen for each in alternative if isinstance(each, OneOf))
        seen.add(ladder.what)
