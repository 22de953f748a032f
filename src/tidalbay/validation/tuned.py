"""Every constant that we chose so that the model meets data: its value, the data, what was left out."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fnmatch import fnmatch
from functools import cache
from importlib.resources import files
from typing import Any, Final

from ruamel.yaml import YAML

NOT_VALUES: Final = frozenset({"mark", "basis"})


@dataclass(frozen=True, slots=True)
class Constant:
    """One constant, or one table of them.

    Attributes
    ----------
    where : str
        File and row of the catalogue, or the module.
    name : str
        With its unit.
    value : str
    tuned_on : str
        The data it was chosen on.
    tested_on : tuple of str, or None
        Ids of rows that were left out and that this constant moves; empty where there are none, None
        where tuned.yaml says nothing.
    """

    where: str
    name: str
    value: str
    tuned_on: str
    tested_on: tuple[str, ...] | None


@cache
def constants() -> tuple[Constant, ...]:
    """Every tuned constant: first those of the equations, then the marked figures of the catalogue."""
    return (*_of_equations(), *_of_catalogue())


def _said() -> dict[str, Any]:
    text = files("tidalbay.validation").joinpath("tuned.yaml").read_text(encoding="utf-8")
    said: dict[str, Any] = YAML(typ="safe", pure=True).load(text)
    return said


def _of_equations() -> Iterator[Constant]:
    for row in _said()["equations"]:
        yield Constant(
            row["where"], row["name"], str(row["value"]), row["tuned_on"], tuple(row["tested_on"] or ())
        )


def _of_catalogue() -> Iterator[Constant]:
    tested: Mapping[str, Any] = _said()["catalogue"]
    for path in sorted(files("tidalbay.catalogue").iterdir(), key=lambda path: path.name):
        if path.name.endswith(".yaml"):
            content = YAML(typ="safe", pure=True).load(path.read_text(encoding="utf-8"))
            for place, name, figure in _marked(content, path.name.removesuffix(".yaml"), ""):
                key = f"{place}/{name}" if name else place
                pattern = next((pattern for pattern in tested if fnmatch(key, pattern)), None)
                rows = None if pattern is None else tuple(tested[pattern] or ())
                where, _, last = key.rpartition("/")
                yield Constant(where, last, _value(figure), figure["basis"], rows)


def _marked(said: Any, place: str, name: str) -> Iterator[tuple[str, str, Mapping[str, Any]]]:
    """Mappings marked as tuned, with the row they stand in and their own name."""
    if isinstance(said, Mapping):
        here = said.get("id") or said.get("device")
        inner = f"{place}/{here}" if here else place
        if said.get("mark") == "tuned":
            yield inner, "" if here else name, said
        for key, value in said.items():
            yield from _marked(value, inner, str(key))
    elif isinstance(said, list):
        for value in said:
            yield from _marked(value, place, name)


def _value(figure: Mapping[str, Any]) -> str:
    if "is" in figure:
        return f"{figure['is']:g}" if isinstance(figure["is"], int | float) else str(figure["is"])
    kept = {name: value for name, value in figure.items() if name not in NOT_VALUES | {"id", "unit"}}
    return "; ".join(
        f"{name} {', '.join(f'{each:g}' for each in value) if isinstance(value, list) else value}"
        for name, value in kept.items()
    )
