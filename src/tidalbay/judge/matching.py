"""Which acts a criterion means: by kind, object, device and arguments."""

from collections.abc import Mapping, Sequence
from typing import Any

from tidalbay.case.criteria import ActWanted
from tidalbay.case.criteria_checks import AS_ORDERED
from tidalbay.catalogue.acts import acts
from tidalbay.judge.record import Done, Record


def matching(record: Record, wanted: ActWanted) -> list[Done]:
    """The acts that are meant, in the order in which they were seen."""
    found = [done for done in record.acts if _is_meant(record, done, wanted)]
    match wanted.which:
        case "first":
            return found[:1]
        case "last":
            return found[-1:]
    return found


def only_said(record: Record, wanted: ActWanted) -> list[Done]:
    """Acts that are meant and were only said."""
    return [done for done in record.said_only if _is_meant(record, done, wanted)]


def takes_eyes(wanted: ActWanted) -> bool:
    """Whether only eyes can tell that such an act was done: it moves nothing that the record follows."""
    return all(acts()[kind].changes == "nothing" for kind in wanted.act)


def still_stands(record: Record, done: Done, until: Done) -> bool:
    """Whether no act that undoes it came between an act and a later one."""
    undoing = acts()[done.kind].undone_by
    return not any(
        each.kind in undoing and (each.on is None or done.on is None or each.on == done.on)
        for each in record.acts
        if (done.t_s, done.n) < (each.t_s, each.n) < (until.t_s, until.n)
    )


def _is_meant(record: Record, done: Done, wanted: ActWanted) -> bool:
    if done.kind not in wanted.act:
        return False
    if wanted.on is not None and done.on not in (wanted.on, None):
        return False
    if wanted.device and done.device not in wanted.device:
        return False
    return arguments_are(record, done.values, wanted.values)


def arguments_are(record: Record, values: Mapping[str, Any], wanted: Mapping[str, Any]) -> bool:
    """Whether arguments are as a criterion asks."""
    return all(
        _is_so(_ordered(record, name) if asked == AS_ORDERED else asked, values.get(name))
        for name, asked in wanted.items()
    )


def _ordered(record: Record, name: str) -> Any:
    """What the order says of an argument; None, which anything agrees with, where it says nothing."""
    return record.case["order"].get(name)


def _is_so(asked: Any, value: Any) -> bool:
    if asked is None:
        return True
    if isinstance(asked, Mapping):
        return all(_holds(name, bound, value) for name, bound in asked.items())
    return bool(value == asked)


def _holds(name: str, bound: Any, value: Any) -> bool:
    if name == "one_of":
        return value in tuple(bound)
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    match name:
        case "at_least":
            return bool(value >= bound)
        case "at_most":
            return bool(value <= bound)
        case "above":
            return bool(value > bound)
        case "below":
            return bool(value < bound)
        case "within":
            low, high = _pair(bound)
            return low <= value <= high
    raise ValueError(f"There is no bound {name!r}; write at_least, at_most, above, below, within or one_of.")


def _pair(bound: Sequence[float]) -> tuple[float, float]:
    low, high = bound
    return float(low), float(high)
