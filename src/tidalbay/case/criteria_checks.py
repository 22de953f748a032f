"""What must agree within a criterion, and between criteria, though each is well written by itself."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from tidalbay.case.criteria import (
    FORMS,
    ORDERED_RANGE,
    ActWanted,
    Criterion,
    Form,
    Never,
    ReadingSaid,
    Truth,
)
from tidalbay.case.criteria_reach import reach_faults
from tidalbay.case.moments import text_from_ms
from tidalbay.case.yaml_tree import Path
from tidalbay.catalogue.acts import Argument, acts
from tidalbay.catalogue.chart_forms import chart_forms
from tidalbay.catalogue.fault import Fault, did_you_mean, said
from tidalbay.catalogue.judged_readings import JudgedReading, judged_readings

Found = tuple[Path, Fault]

BOUNDS: Final = ("at_least", "at_most", "above", "below", "within", "one_of")
AS_ORDERED: Final = "as_ordered"
# What may stand beside each form; id, say and the like stand beside every one.
BESIDE: Final[Mapping[str, tuple[str, ...]]] = {
    "happened": ("by", "before"),
    "needs": ("before",),
    "after_each": ("not_before", "within", "expect"),
    "always": ("while", "grace", "for_longer_than"),
    "for_at_least": ("reading", "during"),
    "charted": ("agrees_with",),
    "said": ("agrees_with",),
}
_NEEDED: Final[Mapping[str, tuple[str, ...]]] = {
    "needs": ("before",),
    "after_each": ("within", "expect"),
    "for_at_least": ("reading",),
}
_ENVELOPE: Final = ("id", "say", "must", "weight", "if_never", "source", "typical_error")


@dataclass(frozen=True, slots=True)
class Room:
    """What a station has: devices by kind, names of its objects, and how long the case lasts.

    Attributes
    ----------
    kinds, objects : sequence of str or None
        None where a procedure is checked that no case has taken up yet.
    last_ms : int or None
        When the case ends. [ms]
    most_lpm : float or None
        How far the widest flowmeter goes. [L/min]
    """

    kinds: Sequence[str] | None = None
    objects: Sequence[str] | None = None
    last_ms: int | None = None
    most_lpm: float | None = None


def criterion_faults(criterion: Criterion, written: Mapping[str, Any], room: Room) -> Iterator[Found]:
    """Everything that is wrong with one criterion, each with its place below it."""
    yield from _form_faults(criterion, written, (), room)


# --- one criterion ----------------------------------------------------------------------------------------


def _form_faults(form: Form, written: Mapping[str, Any], path: Path, room: Room) -> Iterator[Found]:
    given = [name for name in FORMS if name in written]
    if len(given) != 1:
        what = "it asks nothing" if not given else f"it asks {' and '.join(given)} at once"
        yield path, Fault("", what, f"one of {', '.join(FORMS)}", "use all_of to ask several things")
        return
    own = BESIDE.get(form.form, ())
    for name in written:
        if name not in (*own, *given, *_ENVELOPE):
            hint = f"beside {given[0]} stand {', '.join(own)}" if own else f"{given[0]} stands alone"
            yield (*path, name), Fault(name, f"{name} says nothing beside {given[0]}", "", hint)
    for name in _NEEDED.get(form.form, ()):
        if name not in written:
            yield path, Fault(name, f"{form.form} lacks {name}", "", f"write {name} beside it")
    yield from _parts(form, written, path, room)
    yield from _times(form, path, room)
    for place, wanted in _acts_with_names(form):
        yield from _act_faults(wanted, (*path, *place), room)
    for place, reading in _readings_with_names(form):
        yield from _reading_faults(reading, (*path, *place), room)
    if form.while_ is not None:
        yield from _kinds(form.while_.wearing, (*path, "while", "wearing"), room)
    if form.never is not None:
        yield from _never_faults(form.never, (*path, "never"), room)
    yield from _paper(form, path)
    yield from reach_faults(form, path, room.most_lpm, room.kinds)


def _parts(form: Form, written: Mapping[str, Any], path: Path, room: Room) -> Iterator[Found]:
    name = form.form
    place: Path = (*path, "at_least", "of") if name == "at_least" else (*path, name)
    inside = written[name].get("of", ()) if name == "at_least" else written.get(name, ())
    for i, part in enumerate(form.parts):
        yield from _form_faults(part, inside[i], (*place, i), room)
    if name in ("all_of", "any_of") and not form.parts:
        yield (*path, name), Fault(name, f"{name} is empty, so it asks nothing")
    if form.at_least is not None and form.at_least.n > len(form.at_least.of):
        what = f"n is {form.at_least.n} and only {len(form.at_least.of)} are listed, so it can never be met"
        yield (*path, "at_least", "n"), Fault("n", what, f"1 to {len(form.at_least.of)}")


def _times(form: Form, path: Path, room: Room) -> Iterator[Found]:
    if form.within_ms is not None and form.not_before_ms >= form.within_ms:
        what = f"not_before is {text_from_ms(form.not_before_ms)} and within {text_from_ms(form.within_ms)}"
        yield (
            (*path, "not_before"),
            Fault("not_before", f"{what}, so nothing can be in time", "less than within"),
        )
    for place, ms in _spans(form):
        if room.last_ms is not None and ms > room.last_ms:
            name = str(place[-1])
            what = f"{name} is {text_from_ms(ms)}, and the case lasts {text_from_ms(room.last_ms)}"
            yield (
                (*path, *place),
                Fault(name, f"{what}, so it can never be judged", "", "shorten it, or raise minutes"),
            )
    if form.for_at_least == 0.0:
        yield (*path, "for_at_least"), Fault("for_at_least", "0 % of the time is always so", "more than 0 %")


def _spans(form: Form) -> Iterator[tuple[Path, int]]:
    """Every stretch of time that has to fit into the case, with its place. [ms]"""
    for name, ms in (
        ("within", form.within_ms),
        ("by", form.by_ms),
        ("grace", form.grace_ms),
        ("for_longer_than", form.longer_than_ms),
    ):
        if ms is not None:
            yield (name,), ms
    if form.never is not None:
        yield ("never", "for_longer_than"), form.never.longer_than_ms
    if form.during is not None:
        for name, ms in (("first", form.during.first_ms), ("last", form.during.last_ms)):
            if ms is not None:
                yield ("during", name), ms


def _acts_with_names(form: Form) -> Iterator[tuple[Path, ActWanted]]:
    for name in ("happened", "before", "after_each", "expect"):
        wanted = getattr(form, name)
        if wanted is not None:
            yield (name,), wanted
    for i, wanted in enumerate(form.needs or ()):
        yield ("needs", i), wanted
    for name, span in (("while", form.while_), ("during", form.during)):
        for edge in ("after", "until"):
            wanted = getattr(span, edge, None)
            if wanted is not None:
                yield (name, edge), wanted


def _act_faults(wanted: ActWanted, path: Path, room: Room) -> Iterator[Found]:
    yield from _kinds(wanted.device, (*path, "device"), room)
    yield from _object(wanted.on, (*path, "on"), room)
    yield from _argument_faults(wanted.act, wanted.values, path)


def _argument_faults(kinds: Sequence[str], values: Mapping[str, Any], path: Path) -> Iterator[Found]:
    known: dict[str, Argument] = {}
    for kind in kinds:
        known |= acts()[kind].arguments
    for name, asked in values.items():
        if name not in known:
            what = f"{' and '.join(kinds)} {'has' if len(kinds) == 1 else 'have'} no {said(name)}"
            yield (*path, name), Fault(name, what, ", ".join(known), did_you_mean(name, known))
        elif isinstance(asked, Mapping):
            yield from _bound_faults(known[name], asked, (*path, name))
        elif known[name].type == "choice" and asked != AS_ORDERED and asked not in known[name].choices:
            choices = known[name].choices
            fault = Fault(
                name, f"{name} is never {said(asked)}", ", ".join(choices), did_you_mean(asked, choices)
            )
            yield (*path, name), fault


def _bound_faults(argument: Argument, asked: Mapping[str, Any], path: Path) -> Iterator[Found]:
    for bound, value in asked.items():
        if bound not in BOUNDS:
            fault = Fault(bound, f"{said(bound)} is no bound", ", ".join(BOUNDS), did_you_mean(bound, BOUNDS))
            yield (*path, bound), fault
        elif argument.type in ("number", "whole") and isinstance(value, int | float):
            low, high = argument.low, argument.high
            if (bound in ("at_least", "above") and value > high) or (
                bound in ("at_most", "below") and value < low
            ):
                what = f"{argument.name} goes from {low:g} to {high:g}, so {bound} {value:g} can never be met"
                yield (*path, bound), Fault(bound, what)


def _readings_with_names(form: Form) -> Iterator[tuple[Path, ReadingSaid]]:
    if form.always is not None:
        yield ("always",), form.always
    if form.reading is not None:
        yield ("reading",), form.reading
    if form.while_ is not None and form.while_.reading is not None:
        yield ("while", "reading"), form.while_.reading


def _reading_faults(reading: ReadingSaid, path: Path, room: Room) -> Iterator[Found]:
    yield from _object(reading.on, (*path, "on"), room)
    kind = judged_readings()[reading.name]
    low, high = interval(reading)
    is_bare = (low, high) == (float("-inf"), float("inf"))
    if is_bare and reading.within == ORDERED_RANGE:
        return
    if is_bare:
        yield (
            path,
            Fault(
                "",
                f"{reading.name} has no bound here, so it asks nothing",
                "above, below, at_least, at_most or within",
            ),
        )
    elif low > high:
        yield path, Fault("", f"{reading.name} cannot be both at least {low:g} and at most {high:g}")
    elif _never_binds(reading, low, high, kind):
        what = (
            f"{reading.name} is always {kind.low:g} to {kind.high:g} {kind.unit}, so doing nothing meets it"
        )
        yield path, Fault("", what, "", "draw the bound tighter")
    elif low > kind.high or high < kind.low:
        what = f"{reading.name} is never there: it goes from {kind.low:g} to {kind.high:g} {kind.unit}"
        yield path, Fault("", what, "", "it can never be met")


def _never_binds(reading: ReadingSaid, low: float, high: float, kind: JudgedReading) -> bool:
    """Whether every value that the reading can have is within its bounds; above 0 is more than 0."""
    below = low < kind.low or (low == kind.low and reading.above != low)
    return below and (high > kind.high or (high == kind.high and reading.below != high))


def interval(reading: ReadingSaid) -> tuple[float, float]:
    """The range that a reading must be in, as far as it is numbers. [its unit]"""
    low = max((b for b in (reading.above, reading.at_least) if b is not None), default=float("-inf"))
    high = min((b for b in (reading.below, reading.at_most) if b is not None), default=float("inf"))
    if isinstance(reading.within, tuple):
        low, high = max(low, reading.within[0]), min(high, reading.within[1])
    return low, high


def _never_faults(never: Never, path: Path, room: Room) -> Iterator[Found]:
    if bool(never.act) and (never.reading is not None or never.wearing):
        yield path, Fault("", "never looks at one thing", "an act, or a reading or what is worn")
    elif not never.act and never.reading is None and not never.wearing:
        yield path, Fault("", "never says nothing that could happen", "act, reading or wearing")
    elif never.reading is not None and never.above is None and never.below is None:
        yield path, Fault("", f"{never.reading} has no bound here", "above or below")
    yield from _kinds(never.wearing, (*path, "wearing"), room)
    yield from _object(never.on, (*path, "on"), room)
    if never.act:
        yield from _argument_faults(never.act, never.values, path)
    if never.reading is not None:
        kind = judged_readings()[never.reading]
        beyond = (never.above is not None and never.above >= kind.high) or (
            never.below is not None and never.below <= kind.low
        )
        if beyond:
            reach = f"{kind.low:g} to {kind.high:g} {kind.unit}"
            what = f"{never.reading} goes from {reach}, so doing nothing meets it"
            yield path, Fault("", what, "", "draw the bound tighter")


def _paper(form: Form, path: Path) -> Iterator[Found]:
    forms, looks = acts()["charted"].arguments["form"].choices, acts()["observed"].arguments["what"].choices
    if form.charted is not None and form.charted.form not in forms:
        fault = Fault(
            "form",
            f"there is no form {said(form.charted.form)}",
            ", ".join(forms),
            did_you_mean(form.charted.form, forms),
        )
        yield (*path, "charted", "form"), fault
    if form.said is not None and form.said.what not in looks:
        fault = Fault(
            "what",
            f"nobody looks at {said(form.said.what)}",
            ", ".join(looks),
            did_you_mean(form.said.what, looks),
        )
        yield (*path, "said", "what"), fault
    if form.truth is not None:
        yield from _truth(form.truth, (*path, "truth"))
    if form.charted is not None and form.agrees_with is not None and form.charted.field is None:
        yield (
            (*path, "charted"),
            Fault("field", "agrees_with needs the field that is compared", "", "write field"),
        )


def _truth(said_of: Truth, path: Path) -> Iterator[Found]:
    """Fields that a form does not have, or of which the record shows nothing."""
    known = {field.name: field for field in chart_forms()[said_of.of].fields}
    held = [name for name, field in known.items() if field.reading]
    for i, name in enumerate(said_of.fields):
        if name not in known:
            fault = Fault(
                "", f"{said_of.of} has no field {said(name)}", ", ".join(held), did_you_mean(name, held)
            )
            yield (*path, "fields", i), fault
        elif name not in held:
            fault = Fault(
                "", f"the record shows nothing of {name}, so it can never be judged", ", ".join(held)
            )
            yield (*path, "fields", i), fault
    if not held:
        fault = Fault("of", f"the record shows nothing of what {said_of.of} holds, so it can never be judged")
        yield (*path, "of"), fault


def _kinds(kinds: Sequence[str], path: Path, room: Room) -> Iterator[Found]:
    if room.kinds is None or not kinds or set(kinds) & set(room.kinds):
        return
    listed = ", ".join(dict.fromkeys(room.kinds)) or "no devices"
    named = kinds[0] if len(kinds) == 1 else f"{', '.join(kinds[:-1])} or {kinds[-1]}"
    what = f"this station has no {named}, so it can never be judged"
    yield path, Fault("", what, listed, "put it into the set-up, or take the step out with without")


def _object(name: str | None, path: Path, room: Room) -> Iterator[Found]:
    if name is not None and room.objects is not None and name not in room.objects:
        yield (
            path,
            Fault(
                "on",
                f"there is no {said(name)} here",
                ", ".join(room.objects),
                did_you_mean(name, room.objects),
            ),
        )
