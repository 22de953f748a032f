"""Which attempt of how many this is, and what follows from the last one, in sentences."""

from typing import Final

from tidalbay.case.check_off import Decision as Policy

# Ends that cost a learner nothing: what comes next is the same attempt again.
COSTS_NOTHING: Final = ("stopped_kindly", "void_for_equipment", "gone_back")
_ORDINALS: Final = (
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth",
)  # fmt: skip
_LAST_TH: Final = 20
_CARDINALS: Final = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def turn_words(number: int, policy: Policy) -> str:
    """Which attempt it is, in a few words: second of three."""
    if policy.attempts == 1 and number == 1:
        return "the only attempt"
    if number > policy.attempts:
        return f"{_ordinal(number)}, where {_cardinal(policy.attempts)} {_be(policy.attempts)} given"
    return f"{_ordinal(number)} of {_cardinal(policy.attempts)}"


def turn_sentences(number: int, policy: Policy, is_not_yet: bool, is_void: bool) -> tuple[str, ...]:
    """Which attempt it is, whether it counts, and after one that was not enough, what comes next."""
    which = turn_words(number, policy)
    is_only = policy.attempts == 1 and number == 1
    if is_void:
        return (f"It is not counted: the next one is {'still ' if is_only else 'again the '}{which}.",)
    said = [f"This is {which}." if is_only else f"This is the {which} attempts."]
    if number > policy.attempts:
        given = f"{_cardinal(policy.attempts)} {_be(policy.attempts)} given"
        said = [f"This is the {_ordinal(number)} attempt, and {given}."]
    if is_not_yet:
        left = policy.attempts - number
        if left > 0:
            said.append(f"{_cardinal(left).capitalize()} {'is' if left == 1 else 'are'} left.")
        else:
            said.append(f"None is left. {policy.after_last}")
    return tuple(said)


def _ordinal(number: int) -> str:
    if number <= len(_ORDINALS):
        return _ORDINALS[number - 1]
    return f"{number}th" if number <= _LAST_TH else f"number {number}"


def _cardinal(number: int) -> str:
    return _CARDINALS[number - 1] if number <= len(_CARDINALS) else str(number)


def _be(number: int) -> str:
    return "is" if number == 1 else "are"
