"""The value that a case gives a cause, read with a sentence where it is wrong."""

from tidalbay.catalogue.fault import is_number
from tidalbay.equipment.parts import ActRefused


def flag(value: object) -> bool:
    """A fault is there unless the case says false."""
    return value is not False


def share(value: object, usual: float) -> float:
    """How much of it, from 0 to 1; `usual` where the case says no more than that it is so."""
    if value is None or value is True:
        return usual
    if value is False:
        return 0.0
    if is_number(value) and 0.0 <= value <= 1.0:
        return float(value)
    raise ActRefused(f"How much of it is a number from 0 to 1; it says {value!r}.")


def amount(value: object, usual: float, least: float, most: float, unit: str) -> float:
    """A number with a unit; `usual` where the case says no more than that it is so, 0 where it is gone."""
    if value is None or value is True:
        return usual
    if value is False:
        return 0.0
    if is_number(value) and least <= value <= most:
        return float(value)
    raise ActRefused(f"How much of it is a number from {least:g} to {most:g} {unit}; it says {value!r}.")
