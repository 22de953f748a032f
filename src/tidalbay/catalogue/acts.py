"""Acts: the words for what hands, eyes and voices do, and what each of them must say."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from tidalbay.catalogue.causes import causes
from tidalbay.catalogue.cylinders import cylinder_size, cylinder_sizes
from tidalbay.catalogue.devices import device_kinds
from tidalbay.catalogue.fault import Fault, choice_fault, did_you_mean, is_number, number_fault, said
from tidalbay.catalogue.yaml_rows import mapping

LOGGERS: Final = ("learner", "checker", "instructor", "case")
CHANGES: Final = ("equipment", "patient", "nothing")
RESERVED: Final = frozenset(
    {"n", "t_ms", "kind", "by", "hands", "manner", "on", "seen_at", "key", "v", "at", "act", "values"}
)
ARGUMENT_TYPES: Final = (
    "number",
    "whole",
    "yes_no",
    "choice",
    "text",
    "id",
    "finding",
    "fields",
    "cylinder_size",
)

_LONGEST_TEXT = 500
# Than the id with spaces in it.
_WRITTEN_OTHERWISE: Final[Mapping[str, str]] = {
    "spo2": "SpO2",
    "t_piece": "T-piece",
    "in_line": "in-line tee",
}


@dataclass(frozen=True, slots=True)
class Argument:
    """One thing an act must say.

    Attributes
    ----------
    name : str
        Unit last, where it has one.
    type : str
        One of `ARGUMENT_TYPES`; `finding` is a number or a word, `fields` a mapping.
    unit : str
        As a person writes it.
    low, high : float
        The range of a number.
    step : float
        The step of its buttons, 0 without; a value between two steps is still a fact.
    usual : tuple
        Values to offer first.
    choices : tuple of str
        The words allowed, for a choice.
    optional : bool
        Whether it may be left out.
    """

    name: str
    type: str
    unit: str = ""
    low: float = 0.0
    high: float = 0.0
    step: float = 0.0
    usual: tuple[float | str, ...] = ()
    choices: tuple[str, ...] = ()
    optional: bool = False
    about: str = ""


@dataclass(frozen=True, slots=True)
class ActKind:
    """One kind of act.

    Attributes
    ----------
    id : str
        Past tense, never renamed; the `kind` of log entries.
    group, button, sentence : str
        Where it stands, what a button says, and how a report tells it.
    sentence_with : mapping of str to str
        How a report tells it instead where that argument is given.
    arguments : mapping of str to Argument
    one_of, not_both : tuple of str
        Arguments of which exactly one, or at most one, is given.
    on : tuple of str
        Sorts of object it is done to; empty where it is done to none.
    brings : bool
        Whether the act brings its object into play.
    by : tuple of str
        Who may log it.
    changes : str
        `equipment`, `patient` or `nothing`.
    plausible : str
        When it is offered first; see `plausible_when`.
    undone_by : tuple of str
        Acts after which it no longer holds.
    words : tuple of str
        Words to find it by.
    seen, source : str
        How a checker would see it; where the row comes from.
    version : int
        Version of its arguments.
    """

    id: str
    group: str
    button: str
    sentence: str
    sentence_with: Mapping[str, str]
    arguments: Mapping[str, Argument]
    one_of: tuple[str, ...]
    not_both: tuple[str, ...]
    on: tuple[str, ...]
    brings: bool
    by: tuple[str, ...]
    changes: str
    plausible: str
    undone_by: tuple[str, ...]
    words: tuple[str, ...]
    seen: str
    source: str
    version: int = 1

    def told(self, values: Mapping[str, Any]) -> str:
        """Tell the act in words, for a report: "set the flow to 4 L/min"."""
        words = {name: as_written(value) for name, value in values.items()}
        if self.id == "cause_thrown" and (cause := causes().get(values["cause"])):
            words["cause"] = cause.sentence
        sentence = next((self.sentence_with[name] for name in values if name in self.sentence_with), "")
        return (sentence or self.sentence).format_map(dict.fromkeys(self.arguments, "…") | words)


def as_written(value: object) -> str:
    """A value as people write it: "slow deep breaths", "SpO2", "bag-valve-mask"."""
    word = said(value)
    if word in device_kinds():
        return device_kinds()[word].words
    return _WRITTEN_OTHERWISE.get(word) or word.replace("_", " ")


@cache
def acts() -> Mapping[str, ActKind]:
    """Every act by id, in the catalogue's order."""
    return {row["id"]: _act(row) for row in mapping("acts.yaml")["acts"]}


@cache
def plausible_when() -> Mapping[str, str]:
    """Say, by id, when an act is offered first."""
    return dict(mapping("acts.yaml")["plausible"])


def act_versions() -> Mapping[str, int]:
    """Return the version in which each act is written today, as a reader of logs needs it."""
    return {kind.id: kind.version for kind in acts().values()}


def act_fault(name: object) -> Fault | None:
    """Return what is wrong with an act's name, or None."""
    if isinstance(name, str) and name in acts():
        return None
    hint = did_you_mean(name, acts()) or "the catalogue of acts lists every one"
    return Fault("act", f"there is no act {said(name)}", "", hint)


def check_values(kind: ActKind, values: Mapping[str, Any]) -> list[str]:
    """Return a sentence for everything that is wrong with an act's arguments; none if all is well."""
    return [fault.sentence for fault in value_faults(kind, values)]


def value_faults(kind: ActKind, values: Mapping[str, Any]) -> list[Fault]:
    """Return everything that is wrong with an act's arguments, one fault each."""
    faults = [_unknown_fault(kind, name) for name in values if name not in kind.arguments]
    for argument in kind.arguments.values():
        if argument.name in values:
            fault = _value_fault(argument, values[argument.name])
            faults += [fault] if fault else []
        elif not argument.optional:
            faults.append(Fault("", f"{kind.id} lacks {argument.name}", _allowed(argument)))
    return faults + _together_faults(kind, values)


def _unknown_fault(kind: ActKind, name: str) -> Fault:
    if not kind.arguments:
        return Fault(name, f"{kind.id} has no {said(name)}", "", "it has no arguments")
    return Fault(
        name, f"{kind.id} has no {said(name)}", ", ".join(kind.arguments), did_you_mean(name, kind.arguments)
    )


def _together_faults(kind: ActKind, values: Mapping[str, Any]) -> list[Fault]:
    faults = []
    for names in (kind.one_of, kind.not_both):
        given = [name for name in names if name in values]
        if len(given) > 1:
            what = f"{kind.id} says {' and '.join(given)} at once"
            faults.append(Fault(given[-1], what, f"one of {', '.join(names)}"))
        if names is kind.one_of and names and not given:
            faults.append(Fault("", f"{kind.id} lacks {' or '.join(names)}", f"one of {', '.join(names)}"))
    return faults


def _value_fault(argument: Argument, value: object) -> Fault | None:
    match argument.type:
        case "number":
            return number_fault(argument.name, value, argument.low, argument.high, argument.unit)
        case "whole":
            return _whole_fault(argument, value)
        case "choice":
            return choice_fault(argument.name, value, argument.choices)
        case "cylinder_size":
            return _size_fault(argument.name, value)
        case "yes_no":
            well = isinstance(value, bool)
            return None if well else Fault(argument.name, f"{argument.name} is {said(value)}", "true, false")
        case "finding" if is_number(value):
            return None
        case "fields":
            well = isinstance(value, Mapping)
            return None if well else Fault(argument.name, f"{argument.name} is {said(value)}", "a mapping")
    return _text_fault(argument.name, value)


def _whole_fault(argument: Argument, value: object) -> Fault | None:
    fault = number_fault(argument.name, value, argument.low, argument.high, argument.unit)
    if fault is None and not isinstance(value, int):
        return Fault(argument.name, f"{argument.name} is {said(value)}", "a whole number")
    return fault


def _text_fault(name: str, value: object) -> Fault | None:
    if not isinstance(value, str):
        return Fault(name, f"{name} is {said(value)}, not text", "text", "put it in quotes")
    if not value.strip() or len(value) > _LONGEST_TEXT or not value.isprintable():
        return Fault(name, f"{name} is empty, too long or not printable", f"1 to {_LONGEST_TEXT} characters")
    return None


def _allowed(argument: Argument) -> str:
    match argument.type:
        case "number" | "whole":
            return f"{said(argument.low)} to {said(argument.high)} {argument.unit}".strip()
        case "choice":
            return ", ".join(argument.choices)
        case "cylinder_size":
            return ", ".join(size.id for size in cylinder_sizes())
        case "yes_no":
            return "true, false"
        case "fields":
            return "a mapping"
        case "finding":
            return "a number or text"
    return "text"


def _size_fault(name: str, value: object) -> Fault | None:
    try:
        cylinder_size(value if isinstance(value, str) else "")
    except ValueError:
        listed = [size.id for size in cylinder_sizes()]
        return Fault(name, f"{name} is {said(value)}", ", ".join(listed), did_you_mean(value, listed))
    return None


def _act(row: Mapping[str, Any]) -> ActKind:
    return ActKind(
        id=row["id"],
        group=row["group"],
        button=row["button"],
        sentence=row["sentence"],
        sentence_with=dict(row.get("sentence_with", {})),
        arguments={argument["name"]: _argument(argument) for argument in row.get("arguments", ())},
        one_of=tuple(row.get("one_of", ())),
        not_both=tuple(row.get("not_both", ())),
        on=tuple(row.get("on", ())),
        brings=bool(row.get("brings", False)),
        by=tuple(row.get("by", ("learner", "checker", "instructor"))),
        changes=row["changes"],
        plausible=row["plausible"],
        undone_by=tuple(row.get("undone_by", ())),
        words=tuple(row["words"]),
        seen=row["seen"],
        source=row["source"],
        version=int(row.get("version", 1)),
    )


def _argument(row: Mapping[str, Any]) -> Argument:
    choices = tuple(row.get("choices", ()))
    return Argument(
        name=row["name"],
        type=row.get("type", "choice" if choices else "number"),
        unit=row.get("unit", ""),
        low=row.get("min", 0),
        high=row.get("max", 0),
        step=row.get("step", 0),
        usual=tuple(row.get("usual", ())),
        choices=choices,
        optional=bool(row.get("optional", False)),
        about=row.get("about", ""),
    )
