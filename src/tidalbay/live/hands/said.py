"""What a hand, an eye or a judge tells a station, as it comes in from a page or a script."""

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from tidalbay.catalogue import act_fault
from tidalbay.trace import MARK_VERSIONS

CLOCK_DOES: Final = ("go", "pause", "step", "pace", "skip", "back", "branch")
_LONGEST_ID = 100
# A role, with a number or a screen's mark behind it, or an opaque id of the line: nothing that is a name.
_WHOSE = re.compile(
    r"(?:learner|peer|checker|instructor|script|station)(?:-[0-9a-f]{1,16})?|p-[0-9a-z]{1,40}"
)
_LINE_ENDS = "\n\r\t"
_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_OF_AN_ACT = {"act", "on", "values", "manner", "hands", "seen_at_ms", "key", "attempt"}


def is_whose(said: str) -> bool:
    """Whether this says whose hands by role or by opaque id; names stay in their own table."""
    return _WHOSE.fullmatch(said) is not None


class StationRefused(ValueError):
    """What was asked cannot be done at this station now; nothing was kept, and the sentence says why."""


@dataclass(frozen=True, slots=True)
class Who:
    """Who speaks.

    Parameters
    ----------
    role : str
        learner, checker or instructor; a projector only looks.
    id : str
        Opaque, of the person or the screen; the log keeps it. The role where nobody said more.
    """

    role: str
    id: str = ""

    @property
    def name(self) -> str:
        """What the log calls them."""
        return self.id or self.role


@dataclass(frozen=True, kw_only=True)
class ActSaid:
    """One act as it was told: what was done, to what, by whose hands, and how.

    Parameters
    ----------
    act : str
        Of the catalogue.
    on : str or None
        The part it was done to.
    values : mapping
        Its arguments.
    manner : str
        done, said or prompted.
    hands : str
        Whose hands; opaque, empty for whoever speaks.
    seen_at_ms : int or None
        For a tap that comes late, when it was seen, on the attempt's clock. [ms]
    key : tuple of str and int, or None
        The screen and its own count: the same key again is the same tap.
    attempt : str or None
        The attempt that was seen when it was tapped: a tap that comes late, when another patient lies
        there, is refused.
    """

    act: str
    on: str | None = None
    values: Mapping[str, Any] = field(default_factory=dict)
    manner: str = "done"
    hands: str = ""
    seen_at_ms: int | None = None
    key: tuple[str, int] | None = None
    attempt: str | None = None


@dataclass(frozen=True, kw_only=True)
class MarkSaid:
    """One mark as it was told; fields as of `tidalbay.trace.Mark`, and `attempt` as of an act."""

    kind: str
    about: str | None = None
    values: Mapping[str, Any] = field(default_factory=dict)
    key: tuple[str, int] | None = None
    attempt: str | None = None


@dataclass(frozen=True, kw_only=True)
class ClockSaid:
    """What the clock shall do.

    Parameters
    ----------
    do : str
        One of `CLOCK_DOES`.
    times : int or None
        For pace, 1 to 60.
    minutes : float or None
        For skip. [min]
    to_ms : int or None
        For back, the moment to go on from; for branch, now if it is not said. [ms]
    key : tuple of str and int, or None
        As of an act.
    """

    do: str
    times: int | None = None
    minutes: float | None = None
    to_ms: int | None = None
    key: tuple[str, int] | None = None


def act_said(plain: object) -> ActSaid:
    """An act from plain JSON.

    Raises
    ------
    StationRefused
        With a sentence that names the field.
    """
    said = _fields(plain, "an act", _OF_AN_ACT, "act")
    fault = act_fault(said["act"])
    if fault is not None:
        raise StationRefused(fault.sentence)
    return ActSaid(
        act=said["act"],
        on=_id(said, "on"),
        values=_values(said),
        manner=said.get("manner") or "done",
        hands=_hands(said),
        seen_at_ms=_whole(said, "seen_at_ms"),
        key=_key(said),
        attempt=_id(said, "attempt"),
    )


def mark_said(plain: object) -> MarkSaid:
    """A mark from plain JSON; errors as of `act_said`."""
    said = _fields(plain, "a mark", {"kind", "about", "values", "key", "attempt"}, "kind")
    if said["kind"] not in MARK_VERSIONS:
        raise StationRefused(f"there is no mark {said['kind']!r}; marks are {', '.join(MARK_VERSIONS)}.")
    return MarkSaid(
        kind=said["kind"],
        about=_id(said, "about"),
        values=_values(said),
        key=_key(said),
        attempt=_id(said, "attempt"),
    )


def clock_said(plain: object) -> ClockSaid:
    """A word to the clock from plain JSON; errors as of `act_said`."""
    said = _fields(plain, "a word to the clock", {"do", "times", "minutes", "to_ms", "key"}, "do")
    if said["do"] not in CLOCK_DOES:
        raise StationRefused(f"the clock cannot {said['do']!r}; write {', '.join(CLOCK_DOES)}.")
    minutes = said.get("minutes")
    if minutes is not None and (isinstance(minutes, bool) or not isinstance(minutes, int | float)):
        raise StationRefused(f"minutes is {minutes!r}; write a number.")
    return ClockSaid(
        do=said["do"],
        times=_whole(said, "times"),
        minutes=minutes,
        to_ms=_whole(said, "to_ms"),
        key=_key(said),
    )


def _fields(plain: object, what: str, known: set[str], needed: str) -> dict[str, Any]:
    if not isinstance(plain, Mapping):
        raise StationRefused(f"{what} is an object in braces with {', '.join(sorted(known))}.")
    unknown = sorted(str(name) for name in plain if name not in known)
    if unknown:
        raise StationRefused(f"{what} has no {', '.join(unknown)}; it has {', '.join(sorted(known))}.")
    if not isinstance(plain.get(needed), str):
        raise StationRefused(f"{what} lacks {needed}; write it as text.")
    manner = plain.get("manner")
    if manner is not None and not isinstance(manner, str):
        raise StationRefused(f"manner is {manner!r}; write done, said or prompted.")
    return dict(plain)


def _id(said: Mapping[str, Any], name: str) -> str | None:
    value = said.get(name)
    if value is None or value == "":
        return None
    if not isinstance(value, str) or len(value) > _LONGEST_ID or not value.isprintable():
        raise StationRefused(f"{name} is not a name of 1 to {_LONGEST_ID} printable characters.")
    return value


def _hands(said: Mapping[str, Any]) -> str:
    hands = _id(said, "hands") or ""
    if hands and not is_whose(hands):
        raise StationRefused(
            "hands says whose hands by role (learner, peer, checker, instructor) or by the opaque id that the"
            " line has; a name never enters the log."
        )
    return hands


def _values(said: Mapping[str, Any]) -> Mapping[str, Any]:
    values = said.get("values")
    if values is None:
        return {}
    if not isinstance(values, Mapping) or not all(isinstance(name, str) for name in values):
        raise StationRefused("values is an object in braces, from names to values.")
    _check_letters(values)
    return values


def _check_letters(values: Mapping[str, Any]) -> None:
    """Refuse text, at whatever depth, with letters that no page can show and no file should hold."""
    waiting: list[Any] = [values]
    while waiting:
        value = waiting.pop()
        if isinstance(value, Mapping):
            waiting += [*value, *value.values()]
        elif isinstance(value, list | tuple):
            waiting += value
        elif isinstance(value, str):
            found = next((letter for letter in value if not _can_stand(letter)), None)
            if found is not None:
                raise StationRefused(
                    f"The text holds a sign that cannot be shown (U+{ord(found):04X}); write it without."
                )


def _can_stand(letter: str) -> bool:
    """Letters, marks, spaces, line ends; no control signs, none that turn the way in which text runs."""
    return letter in _LINE_ENDS or not (unicodedata.category(letter) in ("Cc", "Cs") or letter in _TURNING)


def _whole(said: Mapping[str, Any], name: str) -> int | None:
    value = said.get(name)
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value < 2**53:
        raise StationRefused(f"{name} is {str(value)[:40]}; write a whole number of 0 or more.")
    return value


def _key(said: Mapping[str, Any]) -> tuple[str, int] | None:
    match said.get("key"):
        case None:
            return None
        case [str() as screen, int() as counter] if (
            0 < len(screen) <= _LONGEST_ID
            and screen.isprintable()
            and not isinstance(counter, bool)
            and 0 <= counter < 2**53
        ):
            return screen, counter
    raise StationRefused('a key is the screen and its own count, such as ["tablet-1", 17].')
