"""Forms of the chart: what a learner may write down, field by field."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from tidalbay.catalogue.yaml_rows import mapping

FIELD_TYPES: Final = ("number", "text", "device")


@dataclass(frozen=True, slots=True)
class ChartField:
    """One field of a form: its name with the unit last, its words, and for a number its unit and range.

    `reading` is what the record shows of it (empty where it shows nothing), `within` how far off it may be;
    `wearing` is the device worn, `early_warning` the score of the signs, `numbers` every number in a text.
    """

    name: str
    words: str
    type: str
    unit: str = ""
    low: float = 0.0
    high: float = 0.0
    reading: str = ""
    within: float = 0.0


@dataclass(frozen=True, slots=True)
class ChartForm:
    """One form; `id` is what the act `charted` names."""

    id: str
    title: str
    about: str
    fields: tuple[ChartField, ...]
    source: str


@cache
def chart_forms() -> Mapping[str, ChartForm]:
    """Every form by id."""
    return {
        row["id"]: ChartForm(
            row["id"],
            row["title"],
            row["about"],
            tuple(ChartField(**field) for field in row["fields"]),
            row["source"],
        )
        for row in mapping("chart_forms.yaml")["forms"]
    }


def chart_forms_plain() -> list[dict[str, Any]]:
    """Return every form as plain data for a page."""
    return list(mapping("chart_forms.yaml")["forms"])
