"""Handles: what can be done to each drawn thing, and what belongs to no drawn thing."""

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, Final

from tidalbay.catalogue.acts import acts, value_faults
from tidalbay.catalogue.first_acts import FAMILIES
from tidalbay.catalogue.yaml_rows import mapping

SORTS: Final = ("patient", "outlet", "cylinder", "concentrator", "flowmeter", "device", "tube")
WHEN: Final = ("held", "worn", "probe_off", "probe_on", "sampling_off", "sampling_on", "open", "shut")

_ABOUT: Final = frozenset({"act", "when", "family", "words"})


@cache
def handles_plain() -> Mapping[str, Any]:
    """Return `on_plate` and `beside` as plain data for a page.

    Raises
    ------
    ValueError
        For a row that names an act, a value, a sort, a moment or a family that does not exist.
    """
    content = mapping("handles.yaml")
    for fault in _faults(content):
        raise ValueError(f"handles.yaml: {fault}")
    return {"on_plate": content["on_plate"], "beside": content["beside"]}


def _faults(content: Mapping[str, Any]) -> Iterator[str]:
    for handle in content["on_plate"]:
        if handle["sort"] not in SORTS:
            yield f"{handle['id']} has the sort {handle['sort']}; sorts are {', '.join(SORTS)}."
        for row in handle["acts"]:
            yield from _row_faults(handle["id"], row)
    for group in content["beside"]:
        yield from (
            f"{group['words']} names no act of the catalogue: {act}."
            for act in group["acts"]
            if act not in acts()
        )


def _row_faults(handle: str, row: Mapping[str, Any]) -> Iterator[str]:
    kind = acts().get(row["act"])
    if kind is None:
        yield f"{handle} names no act of the catalogue: {row['act']}."
        return
    values = {name: value for name, value in row.items() if name not in _ABOUT}
    yield from (f"{handle}: {fault.sentence}" for fault in value_faults(kind, values) if fault.name in values)
    if row.get("when", "held") not in WHEN:
        yield f"{handle}: {row['act']} when {row['when']}; write one of {', '.join(WHEN)}."
    if row.get("family", "bag") not in FAMILIES:
        yield f"{handle}: {row['act']} for {row['family']}; families are {', '.join(FAMILIES)}."
