"""What is wrong with one named value, what would be right, and a way out: the parts of a sentence."""

import difflib
import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeGuard


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong.

    Attributes
    ----------
    name : str
        The argument or field it is about; empty where it is about none alone.
    what : str
        What is wrong, without a full stop.
    allowed : str
        What would be right; empty where `what` says it.
    hint : str
        A way out; empty where there is none to offer.
    """

    name: str
    what: str
    allowed: str = ""
    hint: str = ""

    @property
    def sentence(self) -> str:
        """The whole of it, for a person."""
        parts = [f"{self.what}."]
        if self.allowed:
            parts.append(f"Allowed: {self.allowed}.")
        if self.hint:
            parts.append(self.hint[0].upper() + self.hint[1:] + ("" if self.hint.endswith("?") else "."))
        return " ".join(parts)


def said(value: object) -> str:
    """Say a value as a file would hold it: numbers short, text without quotes."""
    if value is None:
        return "empty"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return f"{value:.15g}"
    if isinstance(value, list | tuple):
        return "a list"
    if isinstance(value, str | int):
        text = str(value)
        return text if len(text) <= 60 else text[:57] + "..."
    return "a mapping"


def did_you_mean(word: object, known: Iterable[str]) -> str:
    """Return a hint with the known word nearest to what was written, or nothing."""
    wanted = str(word).strip().lower().replace("-", "_").replace(" ", "_")
    near = difflib.get_close_matches(wanted, list(known), n=1, cutoff=0.6)
    return f"did you mean {near[0]}?" if near else ""


def is_number(value: object) -> TypeGuard[int | float]:
    """Whether a value is a finite number and not true or false."""
    return isinstance(value, int | float) and not isinstance(value, bool) and _is_finite(value)


def _is_finite(value: int | float) -> bool:
    try:
        return math.isfinite(value)
    except OverflowError:  # a whole number too long for the machine's own
        return False


def number_fault(name: str, value: object, low: float, high: float, unit: str) -> Fault | None:
    """Return what is wrong with a number that goes from `low` to `high`, or None."""
    allowed = f"{said(low)} to {said(high)}{f' {unit}' if unit and unit != '1' else ''}"
    if not isinstance(value, int | float) or isinstance(value, bool):
        hint = "leave the unit out; the name says it" if unit and _starts_with_number(value) else ""
        return Fault(name, f"{name} is {said(value)}, not a number", allowed, hint)
    if not _is_finite(value):
        return Fault(name, f"{name} is {said(value)}, not a finite number", allowed)
    if low <= value <= high:
        return None
    return Fault(
        name, f"{name} is {said(value)}", allowed, f"{said(low if value < low else high)} is nearest"
    )


def choice_fault(name: str, value: object, choices: Iterable[str]) -> Fault | None:
    """Return what is wrong with a word that must be one of `choices`, or None."""
    choices = tuple(choices)
    if isinstance(value, str) and value in choices:
        return None
    return Fault(name, f"{name} is {said(value)}", ", ".join(choices), did_you_mean(value, choices))


def _starts_with_number(value: object) -> bool:
    return isinstance(value, str) and value.lstrip("+-").strip()[:1].isdigit()
