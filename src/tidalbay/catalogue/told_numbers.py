"""Words by which a number or a device in what somebody says is known, for handoffs."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from tidalbay.catalogue.yaml_rows import mapping

_FILE: Final = "told_numbers.yaml"


@dataclass(frozen=True, slots=True)
class ToldNumber:
    """A reading as people say it: words before it, units after it, its range, and how far off it may be."""

    reading: str
    name: str
    words: tuple[str, ...]
    units: tuple[str, ...]
    low: float
    high: float
    within: float


@cache
def told_numbers() -> tuple[ToldNumber, ...]:
    """Every reading that may be told as a number, in the order in which its words are looked for."""
    return tuple(
        ToldNumber(**{name: _fixed(value) for name, value in row.items()}) for row in _rows("numbers")
    )


@cache
def told_devices() -> Mapping[str, tuple[str, ...]]:
    """Kinds of device by each of the words for them, the longest first."""
    return {words: tuple(row["kinds"]) for row in _rows("devices") for words in row["words"]}


@cache
def past_words() -> frozenset[str]:
    """Words beside a number of an earlier moment."""
    return frozenset(mapping(_FILE)["past"])


@cache
def wanted_words() -> frozenset[str]:
    """Words beside a number that says what should be."""
    return frozenset(mapping(_FILE)["wanted"])


def _rows(name: str) -> list[dict[str, Any]]:
    return list(mapping(_FILE)[name])


def _fixed(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value
