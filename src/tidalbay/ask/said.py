"""What was said of a question, refused in a sentence where it cannot be meant."""

from collections.abc import Iterable

from tidalbay.catalogue.fault import choice_fault
from tidalbay.catalogue.fault import said as said_value


def expect(value: object, kinds: type | tuple[type, ...], must: str) -> None:
    """Refuse a thing of another kind in a sentence."""
    if not isinstance(value, kinds):
        raise ValueError(f"{must}; this is {said_value(value)}.")


def one_of(name: str, value: object, words: Iterable[str]) -> str:
    """Return a word that is one of those allowed; refuse any other in a sentence."""
    fault = choice_fault(name, value, words)
    if fault is not None:
        raise ValueError(fault.sentence)
    return str(value)
