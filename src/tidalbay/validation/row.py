"""Rows: one published value each, with its source, its tolerance and the question that the model is asked."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Final, Literal, TypeAlias, get_args

from ruamel.yaml import YAML

Published: TypeAlias = float | tuple[float, float]
Side = Literal["above", "below"]

# The order in which groups are printed; each is a file in rows/.
GROUPS: Final = (
    "blood",
    "gas_exchange",
    "cannula",
    "masks",
    "reservoir_masks",
    "air_entrainment",
    "high_flow",
    "stores_and_time",
    "control",
    "oximeter",
    "supply",
    "surroundings",
    "nebuliser",
    "slow_things",
    "warning_score",
    "persons",
    "children",
)

_STUDY_WORDS = frozenset(
    {
        "conditions",
        "tuned_on",
        "built_in",
        "tolerance",
        "why_tolerance",
        "pattern_ours",
        "unit",
        "ask",
    }
)
_ROW_WORDS = _STUDY_WORDS | {
    "id", "quantity", "published", "with", "less", "over", "misses", "why_missed",
}  # fmt: skip
_NEEDED = ("id", "quantity", "published", "unit", "tolerance", "why_tolerance", "conditions", "ask")


class RowError(ValueError):
    """A row that cannot be read; the text says which, and what to write instead."""


@dataclass(frozen=True, slots=True)
class Row:
    """One published value that the model is held against.

    Attributes
    ----------
    id, group, quantity, unit : str
    source_id, source : str
        The citation, and whether it was read or is from memory.
    published : float, or pair of floats
        A number, or the lowest and the highest of a range.
    tolerance : float
        How far outside of it the model may be; in the row's unit.
    why_tolerance : str
        Where that comes from: the author's own spread, a table's rounding.
    tuned_on : bool
        Whether the row took part in choosing a constant of the model.
    built_in : bool
        Whether the model uses this source's own equation or figure, so that the row shows only that
        it is carried through rightly.
    conditions : str
        In words.
    pattern_ours : bool
        Whether the source leaves out conditions that the model needs and we chose them.
    question : str
        Name of a function in `questions`.
    arguments : mapping
        What it is asked with.
    compared_with : mapping or None
        The same question with these words changed, taken away (`by` less) or divided by (`by` over).
    by : str or None
    misses : str or None
        The side, above or below, on which the model is known to miss this row.
    why_missed : str
        A sentence, for rows that miss.
    """

    id: str
    group: str
    quantity: str
    unit: str
    source_id: str
    source: str
    published: Published
    tolerance: float
    why_tolerance: str
    tuned_on: bool
    built_in: bool
    conditions: str
    pattern_ours: bool
    question: str
    arguments: Mapping[str, Any]
    compared_with: Mapping[str, Any] | None
    by: str | None
    misses: Side | None
    why_missed: str


@cache
def rows() -> tuple[Row, ...]:
    """Every row, by group.

    Raises
    ------
    RowError
        With a sentence for the first row that cannot be read.
    """
    found: dict[str, Row] = {}
    for group in GROUPS:
        for study in _content(f"{group}.yaml")["studies"]:
            for row in _of_study(group, study):
                if row.id in found:
                    raise RowError(f"{group}.yaml: two rows are called {row.id}; give one another id.")
                found[row.id] = row
    return tuple(found.values())


@cache
def group_titles() -> Mapping[str, str]:
    """What each group is called on the page."""
    return {group: _content(f"{group}.yaml")["title"] for group in GROUPS}


@cache
def sources() -> Mapping[str, str]:
    """Every source by id: its citation, and how it is known."""
    said: dict[str, str] = _content("sources.yaml")
    return said


@cache
def _content(name: str) -> Any:
    text = files("tidalbay.validation").joinpath("rows", name).read_text(encoding="utf-8")
    return YAML(typ="safe", pure=True).load(text)


def _of_study(group: str, study: Mapping[str, Any]) -> list[Row]:
    source_id = study.get("source", "")
    where = f"{group}.yaml, {source_id or 'a study without a source'}"
    if source_id not in sources():
        raise RowError(f"{where}: sources.yaml has no {source_id!r}; write its citation there.")
    shared = {name: value for name, value in study.items() if name not in ("source", "rows")}
    _only(shared, _STUDY_WORDS, where)
    return [_row(group, source_id, {**shared, **said}, where) for said in study["rows"]]


def _row(group: str, source_id: str, said: Mapping[str, Any], where: str) -> Row:
    where = f"{where}, {said.get('id', 'a row without an id')}"
    _only(said, _ROW_WORDS, where)
    missing = [name for name in _NEEDED if said.get(name) in (None, "")]
    if missing:
        raise RowError(f"{where}: says nothing in {', '.join(missing)}; write it in the row or its study.")
    by = next((word for word in ("less", "over") if word in said), None)
    misses = said.get("misses")
    if misses not in (None, *get_args(Side)):
        raise RowError(f"{where}: misses is {misses!r}; write above, below, or nothing.")
    if bool(misses) != bool(said.get("why_missed")):
        raise RowError(f"{where}: a row that misses says why in why_missed, and no other row does.")
    return Row(
        id=said["id"],
        group=group,
        quantity=said["quantity"],
        unit=str(said["unit"]),
        source_id=source_id,
        source=sources()[source_id],
        published=_published(said["published"], where),
        tolerance=float(said["tolerance"]),
        why_tolerance=said["why_tolerance"],
        tuned_on=bool(said.get("tuned_on", False)),
        built_in=bool(said.get("built_in", False)),
        conditions=said["conditions"],
        pattern_ours=bool(said.get("pattern_ours", False)),
        question=said["ask"],
        arguments=said.get("with") or {},
        compared_with=said[by] if by else None,
        by=by,
        misses=misses,
        why_missed=said.get("why_missed", ""),
    )


def _published(said: Any, where: str) -> Published:
    if isinstance(said, list):
        if len(said) != 2 or not said[0] < said[1]:
            raise RowError(f"{where}: published is {said}; a range is its lowest and highest value.")
        return float(said[0]), float(said[1])
    return float(said)


def _only(said: Mapping[str, Any], known: frozenset[str], where: str) -> None:
    unknown = sorted(set(said) - known)
    if unknown:
        raise RowError(
            f"{where}: {', '.join(unknown)} means nothing here; write any of {', '.join(sorted(known))}."
        )
