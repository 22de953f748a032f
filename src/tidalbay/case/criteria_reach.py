"""Criteria that are always met, or never, whatever anybody does: found in what they ask."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from tidalbay.case.criteria import ActWanted, Form
from tidalbay.case.yaml_tree import Path
from tidalbay.catalogue.acts import acts
from tidalbay.catalogue.devices import device_kinds
from tidalbay.catalogue.fault import Fault

Found = tuple[Path, Fault]
_FLOW_READINGS: Final = ("flow_shown_lpm",)


def reach_faults(
    form: Form, path: Path, most_lpm: float | None, kinds: Sequence[str] | None
) -> Iterator[Found]:
    """What is wrong with one form by itself, its parts apart; see the room's limits in `Room`."""
    yield from _opposites(form, path)
    yield from _before_itself(form, path)
    for place, wanted in _asked(form):
        if most_lpm is not None and "flow_set" in wanted.act and len(wanted.act) == 1:
            yield from _beyond_scale(wanted.values.get("flow_lpm"), (*path, *place, "flow_lpm"), most_lpm)
        if kinds is not None and wanted.act == ("entrainment_set",):
            yield from _no_such_valve(wanted.values.get("pct"), (*path, *place, "pct"), kinds)
    if most_lpm is not None:
        for name, reading in (("always", form.always), ("reading", form.reading)):
            if reading is not None and reading.name in _FLOW_READINGS:
                for bound in ("at_least", "above"):
                    value = getattr(reading, bound)
                    yield from _beyond_scale({bound: value}, (*path, name), most_lpm)


def _opposites(form: Form, path: Path) -> Iterator[Found]:
    """Something and its opposite: one of the two is always so, and never both."""
    done = {_key(part.happened.act, part.happened.on, part.happened.values)
            for part in form.parts if part.happened is not None and _is_bare(part)}  # fmt: skip
    for i, part in enumerate(form.parts):
        never = part.never
        if never is None or not never.act or len(never.act) != 1:
            continue
        if _key(never.act, never.on, never.values) not in done:
            continue
        act = never.act[0]
        if form.any_of:
            what = f"{act} either happened or never did, so any_of is always met"
            yield (*path, "any_of", i), Fault("", what, "", "take one of the two out")
        elif form.all_of:
            what = f"{act} cannot have happened and never have, so all_of can never be met"
            yield (*path, "all_of", i), Fault("", what, "", "take one of the two out")


def _is_bare(form: Form) -> bool:
    return (
        form.by_ms is None and form.before is None and form.happened is not None and not form.happened.device
    )


def _before_itself(form: Form, path: Path) -> Iterator[Found]:
    if form.before is None:
        return
    wanted = form.needs or ((form.happened,) if form.happened is not None else ())
    for i, each in enumerate(wanted):
        if each == form.before and len(each.act) == 1:
            place = (*path, "needs", i) if form.needs else (*path, "happened")
            what = f"the first {each.act[0]} cannot come before itself, so it can never be met"
            yield place, Fault("", what, "", "name the act that it comes before")


def _asked(form: Form) -> Iterator[tuple[Path, ActWanted]]:
    """Acts that have to be there for the form to be met, with their places."""
    if form.happened is not None:
        yield ("happened",), form.happened
    if form.expect is not None:
        yield ("expect",), form.expect
    for i, wanted in enumerate(form.needs or ()):
        yield ("needs", i), wanted


def _beyond_scale(asked: Any, path: Path, most_lpm: float) -> Iterator[Found]:
    least = _least(asked)
    reach_lpm = acts()["flow_set"].arguments["flow_lpm"].high  # beyond it the bound itself is refused
    if least is not None and most_lpm < least <= reach_lpm:
        what = f"no flowmeter here goes above {most_lpm:g} L/min, so {least:g} L/min can never be set"
        hint = "ask for less, or put a wider flowmeter into the set-up"
        yield path, Fault("", what, f"0 to {most_lpm:g} L/min", hint)


def _no_such_valve(asked: Any, path: Path, kinds: Sequence[str]) -> Iterator[Found]:
    valves = sorted({pct for kind in kinds for pct in device_kinds()[kind].entrainment_flow_lpm})
    if valves and isinstance(asked, int | float) and asked not in valves:
        what = f"there is no valve for {asked:g} %, so it can never be fitted"
        yield path, Fault("", what, ", ".join(f"{pct:g}" for pct in valves))


def _least(asked: Any) -> float | None:
    """The least that an argument must be; None where it is not asked for as a number."""
    if isinstance(asked, bool):
        return None
    if isinstance(asked, int | float):
        return float(asked)
    if not isinstance(asked, Mapping):
        return None
    bounds = [asked.get("at_least"), asked.get("above"), *tuple(asked.get("within") or ())[:1]]
    numbers = [float(bound) for bound in bounds if isinstance(bound, int | float)]
    return max(numbers, default=None)


def _key(acts: Sequence[str], on: str | None, values: Mapping[str, Any]) -> tuple[Any, ...]:
    return (tuple(acts), on, repr(sorted(values.items())))
