"""A refusal held to its promise: a ValueError, at once, whose text can be shown to a person as it is."""

import threading

from tidalbay.case import CaseErrors

LONGEST_S = 10.0


def answer_of(question, *said, **more):
    """What a call answers or raises; a call that does not come back fails the test and is left behind."""
    told = []

    def ask():
        try:
            told.append(question(*said, **more))
        except BaseException as error:
            told.append(error)

    thread = threading.Thread(target=ask, daemon=True)
    thread.start()
    thread.join(LONGEST_S)
    assert told, f"no answer within {LONGEST_S:g} s"
    return told[0]


def refusal_of(question, *said, **more):
    """The sentence with which a call is refused."""
    error = answer_of(question, *said, **more)
    assert isinstance(error, ValueError), f"answered with {error!r}"
    words = str(error)
    if isinstance(error, CaseErrors):  # a page with a place, what is allowed and a hint for every fault
        assert words.endswith("Nothing was loaded."), words
        assert_nothing_of_the_machine(words)
    else:
        assert_sentences(words)
    return words


def assert_sentences(words):
    for line in words.splitlines():
        assert line.strip().endswith((".", "?", ":")), words
        assert len(line.split()) > 3, words
    assert_nothing_of_the_machine(words)


def assert_nothing_of_the_machine(words):
    for sign in ("could not convert", "unsupported operand", "object is not", "dimension exceeded", "0x"):
        assert sign not in words, words


def named(value):
    return repr(value)[:60]
