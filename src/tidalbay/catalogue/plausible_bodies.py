"""Bodies between which a patient may as well be, for the band beside another way."""

from collections.abc import Mapping
from functools import cache

from tidalbay.catalogue.yaml_rows import mapping


@cache
def plausible_bodies() -> Mapping[str, Mapping[str, float]]:
    """Factors on a patient's numbers, by the name of each body."""
    rows = mapping("plausible_bodies.yaml")["bodies"]
    return {row["id"]: {name: float(times) for name, times in row["times"].items()} for row in rows}
