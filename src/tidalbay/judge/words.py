"""Moments, spans, acts and readings in words, for the sentence beside a verdict."""

import re
from collections.abc import Mapping, Sequence
from string import Formatter
from typing import Any, Final

from tidalbay.case.criteria import ORDERED_RANGE, ActWanted, ReadingSaid
from tidalbay.case.criteria_checks import AS_ORDERED
from tidalbay.catalogue.acts import acts, as_written
from tidalbay.catalogue.judged_acts import bare_words
from tidalbay.catalogue.judged_readings import judged_readings
from tidalbay.judge.record import Done

OWN_TAP: Final = "the learner's own tap"
_BOUNDS: Final[Mapping[str, str]] = {
    "at_least": "at least {}",
    "at_most": "at most {}",
    "above": "above {}",
    "below": "below {}",
}

_DONE_BOUNDS: Final = {**_BOUNDS, "above": "more than {}", "below": "less than {}"}


def clock(t_s: float) -> str:
    """A moment as minutes and seconds: 02:40."""
    whole = int(t_s + 0.5)
    return f"{whole // 60:02d}:{whole % 60:02d}"


def span(seconds: float) -> str:
    """How long, in words: 40 s, 3 min, 3 min 20 s."""
    whole = int(abs(seconds) + 0.5)
    minutes, rest = divmod(whole, 60)
    if not minutes:
        return f"{rest} s"
    return f"{minutes} min" + (f" {rest} s" if rest else "")


def number(value: float) -> str:
    """A number without needless digits."""
    return f"{value:.3g}" if abs(value) < 100 else f"{value:.0f}"


def told(done: Done) -> str:
    """An act in words with its moment: set the flow to 2 L/min (02:40).

    What moves nothing and the learner tapped themself, says so: nobody else saw it.
    """
    own = f", {OWN_TAP}" if done.is_own_word else ""
    return f"{acts()[done.kind].told(done.values)} ({clock(done.t_s)}{own})"


def button(kind: str) -> str:
    """What an act's button says, in quotation marks."""
    return f"“{acts()[kind].button}”"


def wanted_words(wanted: ActWanted) -> str:
    """What was looked for: explained what would happen; set the flow to at least 10 L/min."""
    return either([_asked_words(kind, wanted.values) for kind in wanted.act])


def either(words: Sequence[str]) -> str:
    """Several of which one is meant: this, that, or the other."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])}, or {words[-1]}"


def bounds_words(said: ReadingSaid, ordered_pct: Sequence[float]) -> str:
    """Where a reading is asked to be, with its unit: at least 10 L/min; from 94 to 98 %."""
    unit = judged_readings()[said.name].unit
    of = "" if unit in ("", "1") else f" {unit}"
    words = [
        _BOUNDS[name].format(f"{number(value)}{of}")
        for name in ("above", "at_least", "below", "at_most")
        if (value := getattr(said, name)) is not None
    ]
    if said.within is not None:
        low, high = ordered_pct if said.within == ORDERED_RANGE else said.within
        words.append(f"from {number(low)} to {number(high)}{of}")
    return " and ".join(words)


def about(reading: str) -> str:
    """A reading in words, for the middle of a sentence."""
    kind = judged_readings().get(reading)
    return kind.about if kind else as_written(reading)


def upper(words: str) -> str:
    """The words as a sentence begins."""
    return words[:1].upper() + words[1:]


def _asked_words(kind: str, asked: Mapping[str, Any]) -> str:
    """An act with the arguments that are asked for, in its own sentence as far as they fill it."""
    row = acts()[kind]
    known = {
        name: _value_words(value)
        for name, value in asked.items()
        if name in row.arguments and value != AS_ORDERED
    }
    words, filled = _filled(row.sentence, known)
    words = words if filled else bare_words(row)
    others = [f"{argument_words(name)} {value}" for name, value in known.items() if name not in filled]
    ordered = " as ordered" if AS_ORDERED in asked.values() else ""
    return words + ordered + (f" ({', '.join(others)})" if others else "")


def _filled(sentence: str, known: Mapping[str, str]) -> tuple[str, tuple[str, ...]]:
    """A sentence up to the first place that nothing fills, and which names fill it."""
    said, filled = "", list[str]()
    for text, name, _, _ in Formatter().parse(sentence):
        said += text
        if name is None:
            continue
        if name not in known:
            return re.sub(r"( of| in| to| at)?[ :]*$", "", said), tuple(filled)
        said += known[name]
        filled.append(name)
    return said, tuple(filled)


def argument_words(name: str) -> str:
    """An argument's name without its unit: flow, volume, depth."""
    stem = name
    for unit in ("_lpm", "_pct", "_ml", "_mg", "_deg", "_per_min", "_s"):
        stem = stem.removesuffix(unit)
    return as_written(stem)


def _value_words(value: Any) -> str:
    if not isinstance(value, Mapping):
        return as_written(value)
    words = []
    for name, bound in value.items():
        if name == "one_of":
            words.append(either([as_written(each) for each in bound]))
        elif name == "within":
            words.append(f"{number(bound[0])} to {number(bound[1])}")
        else:
            words.append(_DONE_BOUNDS[name].format(as_written(bound)))
    return " and ".join(words)
