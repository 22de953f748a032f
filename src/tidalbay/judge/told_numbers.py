"""Numbers and devices picked out of what somebody said, each with what it is said to be."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from tidalbay.catalogue.told_numbers import (
    ToldNumber,
    past_words,
    told_devices,
    told_numbers,
    wanted_words,
)

_CLAUSE: Final = re.compile(r"[;:,]|\.(?!\d)|\band\b|\bbut\b|\bthen\b")
_NUMBER: Final = re.compile(r"(?<![\w.])\d+(?:\.\d+)?(?!\w)")
_RANGE: Final = re.compile(r"(?<!from )\b\d+(?:\.\d+)?\s*(?:to|-|–)\s*\d+(?:\.\d+)?")


@dataclass(frozen=True, slots=True)
class Told:
    """Something that was said of the patient or the oxygen.

    Attributes
    ----------
    reading, name : str
        What it is of, and that in words; `wearing` for a device.
    value : float
        The number; 0 for a device.
    kinds : tuple of str
        Of a device, any of which may be meant.
    words : str
        As it was said.
    within : float
        How far off it may be.
    is_past : bool
        Whether it is said of an earlier moment.
    """

    reading: str
    name: str
    value: float
    kinds: tuple[str, ...]
    words: str
    within: float
    is_past: bool


def told_in(text: str) -> tuple[Told, ...]:
    """Everything in a text that the record could know; what it cannot is passed over."""
    found: list[Told] = []
    for clause in _CLAUSE.split(text.lower()):
        found += _numbers(_RANGE.sub(" ", clause))
        found += _devices(clause)
    return tuple(found)


def _numbers(clause: str) -> Iterator[Told]:
    for match in _NUMBER.finditer(clause):
        before, after = clause[: match.start()], clause[match.end() :].lstrip()
        if wanted_words() & set(before.split()[-5:]):
            continue
        value = float(match[0])
        kind = _by_unit(after) or _by_words(before, after)
        if kind is None or not kind.low <= value <= kind.high:
            continue
        yield Told(kind.reading, kind.name, value, (), match[0], kind.within, _is_past(before))


def _by_unit(after: str) -> ToldNumber | None:
    return next((kind for kind in told_numbers() if any(_begins(after, unit) for unit in kind.units)), None)


def _by_words(before: str, after: str) -> ToldNumber | None:
    """The reading whose words stand nearest before the number; that of a bare per cent is a device's."""
    places = [(before.rfind(word), len(word), kind) for kind in told_numbers() for word in kind.words]
    places = [each for each in places if each[0] >= 0 and _is_word(before, each[0], each[1])]
    return max(places, key=lambda each: (each[0] + each[1], each[1]))[2] if places else None


def _devices(clause: str) -> Iterator[Told]:
    for words, kinds in told_devices().items():
        place = clause.find(words)
        if place < 0:
            continue
        if wanted_words() & set(clause[:place].split()[-4:]):
            return
        yield Told("wearing", "device", 0.0, kinds, words, 0.0, _is_past(clause[:place]))
        return


def _is_past(before: str) -> bool:
    since = re.split(r"\b(?:to|now)\b", before)[-1]  # from 98 to 90: the first was, the second is
    return any(re.search(rf"\b{re.escape(word)}\b", since) for word in past_words())


def _begins(after: str, unit: str) -> bool:
    return re.match(rf"{re.escape(unit)}(?!\w)", after) is not None


def _is_word(text: str, at: int, length: int) -> bool:
    ends = at + length
    return (at == 0 or not text[at - 1].isalnum()) and (ends >= len(text) or not text[ends].isalnum())
