"""Words typed on the command line, read as numbers and names, or refused with what is allowed."""

from collections.abc import Iterable
from math import inf
from typing import TYPE_CHECKING

from tidalbay.catalogue.fault import Fault, choice_fault, number_fault
from tidalbay.cli.refusals import CalledWrongly

if TYPE_CHECKING:
    from tidalbay.case import Case


def number(name: str, text: str, low: float, high: float, unit: str) -> float:
    """Read a number from `low` to `high`; `name` is the option without its dashes."""
    name = f"--{name}"
    value: float | str
    try:
        value = float(text)
    except ValueError:
        value = text
    fault = number_fault(name, value, low, high, unit)
    if fault:
        raise CalledWrongly(_mended(fault, text).sentence)
    return float(value)


def is_above(text: str, most: float) -> bool:
    """Whether this is a finite number above a bound."""
    try:
        return most < float(text) < inf
    except ValueError:
        return False


def whole(name: str, text: str, low: int, high: int, unit: str) -> int:
    """Read a whole number from `low` to `high`."""
    value = number(name, text, low, high, unit)
    if value != int(value):
        what = f"--{name} is {text}, not a whole number"
        fault = Fault(name, what, f"{low} to {high} {unit}".strip())
        raise CalledWrongly(fault.sentence)
    return int(value)


def word(name: str, text: str, choices: Iterable[str]) -> str:
    """Read one of a few words; dashes and spaces may stand for the underscores."""
    known, name = tuple(choices), f"--{name}"
    plain = text.strip().lower().replace("-", "_").replace(" ", "_")
    if plain in known:
        return plain
    fault = choice_fault(name, text, known)
    raise CalledWrongly(fault.sentence if fault else f"{name} is {text}.")


def case(name: str, form: str | None, procedures: str | None = None) -> "Case":
    """Read a case, in the form that `--form` names, by the procedures of a school's folder.

    Raises `CaseErrors` for a file with errors, of the case or of that folder.
    """
    from tidalbay.ask import load_case
    from tidalbay.case import in_form

    read = load_case(name, procedures=procedures)
    if form is None:
        return read
    try:
        return in_form(read, form)
    except ValueError as fault:
        raise CalledWrongly(f"--form is {form}. {fault}") from None


def _mended(fault: Fault, text: str) -> Fault:
    if "," in text and text.replace(",", ".", 1).replace(".", "", 1).strip().isdigit():
        return Fault(fault.name, fault.what, fault.allowed, f"write {text.replace(',', '.', 1)}")
    if fault.hint.startswith("leave the unit out"):
        return Fault(fault.name, fault.what, fault.allowed, "leave the unit out")
    return fault
