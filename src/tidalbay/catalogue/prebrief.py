"""Prebrief: what every learner hears in the same words, what a mannequin cannot show, and how to stop."""

from dataclasses import dataclass
from functools import cache

from tidalbay.catalogue.yaml_rows import mapping


@dataclass(frozen=True, slots=True)
class Prebrief:
    """What is said before the clock starts.

    Attributes
    ----------
    script : tuple of str
        Lines to be said, one box each.
    cannot_show : tuple of (str, str)
        What the mannequin cannot show, and where to look instead.
    emergency_title : str
    emergency : tuple of str
        What to do when somebody is truly unwell.
    """

    script: tuple[str, ...]
    cannot_show: tuple[tuple[str, str], ...]
    emergency_title: str
    emergency: tuple[str, ...]


@cache
def prebrief() -> Prebrief:
    """Return the one script there is."""
    content = mapping("prebrief.yaml")
    return Prebrief(
        tuple(content["script"]),
        tuple((row["what"], row["instead"]) for row in content["cannot_show"]),
        content["emergency"]["title"],
        tuple(content["emergency"]["lines"]),
    )
