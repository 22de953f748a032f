"""Criteria that cannot stand together, though each is well written by itself; shared steps as well."""

from collections.abc import Iterator, Mapping, Sequence

from tidalbay.case.criteria import ActWanted, Criterion, Form
from tidalbay.case.criteria_checks import interval
from tidalbay.catalogue.fault import Fault

Numbered = Sequence[tuple[int, Criterion]]
TAKE_OUT = "both cannot be met; take one of them out"


def together_faults(criteria: Sequence[Criterion]) -> Iterator[tuple[int, Fault]]:
    """Criteria that cannot stand together, each with the number of the later one: the one to mend."""
    seen: dict[str, int] = {}
    for i, each in enumerate(criteria):
        if each.id in seen:
            yield i, Fault("id", f"two criteria are called {each.id}", "", "give each its own id")
        seen.setdefault(each.id, i)
    musts = [(i, each) for i, each in enumerate(criteria) if each.must]
    yield from _orders_that_circle(musts)
    yield from _done_and_never(musts)
    yield from _worn_and_never(musts)
    yield from _levels_apart(musts)


def _all_asked(form: Form) -> Iterator[Form]:
    """A form and, where all of its parts are asked, those too."""
    yield form
    for part in form.all_of or ():
        yield from _all_asked(part)


def _orders_that_circle(musts: Numbered) -> Iterator[tuple[int, Fault]]:
    """Musts that ask A before B and B before A; acts with arguments or objects are passed over."""
    before: dict[str, set[str]] = {}
    for i, each in musts:
        for form in _all_asked(each):
            yield from ((i, fault) for fault in _circles(form, each.id, before))


def _circles(form: Form, name: str, before: dict[str, set[str]]) -> Iterator[Fault]:
    wanted = form.needs or ((form.happened,) if form.happened and form.before else ())
    if form.before is None or not _is_plain(form.before):
        return
    later = form.before.act[0]
    for need in wanted:
        if not _is_plain(need):
            continue
        first = need.act[0]
        if _reaches(before, later, first):
            what = f"{name} asks {first} before {later}, and another must asks the other way round"
            yield Fault("", what, "", TAKE_OUT)
        before.setdefault(first, set()).add(later)


def _reaches(before: Mapping[str, set[str]], start: str, goal: str) -> bool:
    seen, waiting = set(), [start]
    while waiting:
        here = waiting.pop()
        if here == goal:
            return True
        if here not in seen:
            seen.add(here)
            waiting.extend(before.get(here, ()))
    return False


def _is_plain(wanted: ActWanted) -> bool:
    return len(wanted.act) == 1 and not wanted.values and wanted.on is None and wanted.which != "last"


def _done_and_never(musts: Numbered) -> Iterator[tuple[int, Fault]]:
    """An act that one must asks for and another forbids."""
    never: dict[str, tuple[int, str]] = {}
    for i, each in musts:
        for form in _all_asked(each):
            if form.never and not form.never.values and form.never.on is None:
                never |= dict.fromkeys(form.never.act, (i, each.id))
    for i, each in musts:
        for form in _all_asked(each):
            for wanted in (form.happened, *(form.needs or ())):
                if wanted is not None and set(wanted.act) <= set(never):
                    other, name = never[wanted.act[0]]
                    acts = " or ".join(wanted.act)
                    what = f"{each.id} asks for {acts}, which another must, {name}, says never happens"
                    yield max(i, other), Fault("", what, "", TAKE_OUT)


def _worn_and_never(musts: Numbered) -> Iterator[tuple[int, Fault]]:
    """A device that one must asks to be put on and another says is never worn."""
    never: dict[str, tuple[int, str]] = {}
    for i, each in musts:
        for form in _all_asked(each):
            if form.never and form.never.wearing and form.never.reading is None and not form.never.act:
                never |= dict.fromkeys(form.never.wearing, (i, each.id))
    for i, each in musts:
        for form in _all_asked(each):
            for wanted in (form.happened, *(form.needs or ()), form.expect):
                is_placed = wanted is not None and wanted.act == ("device_placed",) and bool(wanted.device)
                if wanted is not None and is_placed and set(wanted.device) <= set(never):
                    other, name = never[wanted.device[0]]
                    kinds = " or ".join(wanted.device)
                    what = f"{each.id} asks for {kinds} to be put on, which another must, {name}, forbids"
                    yield max(i, other), Fault("", what, "", TAKE_OUT)


def _levels_apart(musts: Numbered) -> Iterator[tuple[int, Fault]]:
    ranges: dict[tuple[object, ...], tuple[float, float, str]] = {}
    for i, each in musts:
        if each.always is None:
            continue
        low, high = interval(each.always)
        worn = each.while_.wearing if each.while_ else ()
        key = (each.always.name, each.always.on, worn)
        if key in ranges:
            other_low, other_high, other = ranges[key]
            if max(low, other_low) > min(high, other_high):
                what = f"{each.id} and {other} ask {each.always.name} to be in two places at once"
                yield i, Fault("", what, "", TAKE_OUT)
        ranges[key] = (low, high, each.id)
