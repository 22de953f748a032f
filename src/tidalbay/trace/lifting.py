"""Old entries lifted to today's version, one small function per step.

Each function takes the plain record of one version and returns that of the next; it is never
changed afterwards, and a record from any earlier day is lifted by calling them in turn.
"""

from collections.abc import Callable, Mapping
from typing import Any, Final, TypeAlias

Lift: TypeAlias = Callable[[dict[str, Any]], dict[str, Any]]

# (kind, version found) -> function to the next version. Every kind is still in its first version.
LIFTS: Final[Mapping[tuple[str, int], Lift]] = {}


def lifted(
    record: dict[str, Any], current_v: int, lifts: Mapping[tuple[str, int], Lift] = LIFTS
) -> dict[str, Any]:
    """Return a record in today's version of its kind.

    Raises `LookupError`, with a sentence, where a step is missing.
    """
    while record["v"] < current_v:
        kind, v = record["kind"], record["v"]
        step = lifts.get((kind, v))
        if step is None:
            raise LookupError(f"{kind} is in version {v} and nothing here lifts it to version {v + 1}.")
        record = {**step(record), "kind": kind, "v": v + 1}
    return record
