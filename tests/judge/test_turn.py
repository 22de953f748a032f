"""Contract: which attempt this is, in words; what costs nothing, and what follows after the last."""

import pytest
from tests.judge.bench import act, criterion, mark, record

from tidalbay.case.check_off import Decision
from tidalbay.judge import judge, outcome, turn_words

ORDER = {"id": "order", "must": True, "happened": {"act": "order_read"}}
RATED = mark(700, "global_rating", rating=3)
ENOUGH, NOT_ENOUGH = [act(10, "order_read"), RATED], [RATED]


def decided(happenings, number, policy=None, **how):
    made = record(happenings, **how)
    return outcome(made, judge(made, [criterion(**ORDER)]), policy or Decision(), number)


@pytest.mark.parametrize(
    ("number", "attempts", "words"),
    [
        (1, 1, "the only attempt"),
        (1, 3, "first of three"),
        (2, 3, "second of three"),
        (3, 3, "third of three"),
        (4, 3, "fourth, where three are given"),
        (2, 1, "second, where one is given"),
        (12, 20, "12th of 20"),
    ],
)
def test_the_turn_in_words(number, attempts, words):
    assert turn_words(number, Decision(attempts=attempts)) == words


def test_an_attempt_that_is_enough_says_which_it_is_and_no_more():
    assert decided(ENOUGH, 2).turn == ("This is the second of three attempts.",)


@pytest.mark.parametrize(
    ("number", "sentences"),
    [
        (1, ("This is the first of three attempts.", "Two are left.")),
        (2, ("This is the second of three attempts.", "One is left.")),
        (3, ("This is the third of three attempts.", "None is left. Come on another day.")),
        (4, ("This is the fourth attempt, and three are given.", "None is left. Come on another day.")),
    ],
)
def test_one_that_is_not_enough_says_what_is_left_and_after_the_last_what_the_policy_says(number, sentences):
    found = decided(NOT_ENOUGH, number, Decision(after_last="Come on another day."))

    assert (found.result, found.turn) == ("not_yet_competent", sentences)


def test_the_usual_policy_asks_for_an_hour_and_another_day():
    assert decided(NOT_ENOUGH, 3).turn[-1] == (
        "None is left. Practise what was missed for an hour at least, and come again on another day."
    )


@pytest.mark.parametrize("why", ["void_for_equipment", "stopped_kindly"])
def test_a_void_one_and_one_stopped_kindly_is_not_counted(why):
    found = decided([act(600, "attempt_ended", why=why), RATED], 2, has_ended=False)

    assert (found.result, found.turn) == (
        "void",
        ("It is not counted: the next one is again the second of three.",),
    )


def test_while_it_is_undecided_nothing_is_said_of_what_follows():
    assert decided(ENOUGH[:1], 3).turn == ("This is the third of three attempts.",)


def test_where_nobody_counts_nothing_is_said():
    found = decided(NOT_ENOUGH, None)

    assert (found.attempt, found.turn) == (None, ())
    assert found.as_plain()["attempt"] is None
