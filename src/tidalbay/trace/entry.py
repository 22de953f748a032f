"""One entry of the log: a fact about the world, in the past tense, with its envelope."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final, NamedTuple, TypeGuard

from tidalbay.trace.values import ValueRefusedError, Values

MANNERS: Final = ("done", "said", "prompted")
MODES: Final = ("demonstration", "practice", "formative", "summative")

_KIND = re.compile(r"[a-z][a-z0-9]*(_[a-z0-9]+)*")
_SHA256 = re.compile(r"[0-9a-f]{64}")


class EntryError(ValueError):
    """An envelope that says something impossible; the sentence says which field and what it may hold."""


class Key(NamedTuple):
    """What makes a repeated tap the same tap: the screen it came from and that screen's own count."""

    screen: str
    counter: int


@dataclass(frozen=True, kw_only=True)
class Entry:
    """What hands, eyes or voices did, or what the case made of the clock.

    Parameters
    ----------
    n : int
        Number in the log, from 1. It decides order; two entries may share a time.
    t_ms : int
        The attempt's clock when the entry was received. [ms]
    kind : str
        Word of the act catalogue, past tense, never renamed.
    by, hands : str
        Who tapped, and whose hands did it; opaque ids.
    manner : str
        `done`, `said` (moves nothing) or `prompted`.
    on : str or None
        Which flowmeter, cylinder, tube or device was handled.
    seen_at_ms : int or None
        For a late tap, when it was seen; the judge alone reads it. [ms]
    key : Key or None
        Idempotency key: the same key twice is the same tap.
    v : int
        Version of the kind's arguments.
    values : mapping
        The act's own arguments, by unit-bearing names, as the hand dialled them.

    Raises
    ------
    EntryError
        With a sentence that names the field.
    """

    n: int
    t_ms: int
    kind: str
    by: str
    hands: str
    manner: str = "done"
    on: str | None = None
    seen_at_ms: int | None = None
    key: Key | None = None
    v: int = 1
    values: Mapping[str, Any] = field(default_factory=Values)

    def __post_init__(self) -> None:
        """Refuse an impossible envelope, and freeze the values."""
        check_number_and_time(self.n, self.t_ms, self.v, self.kind)
        check_id("by", self.by, self.n)
        check_id("hands", self.hands, self.n)
        if self.manner not in MANNERS:
            raise EntryError(f"entry {self.n}: manner is {self.manner!r}; it is one of {', '.join(MANNERS)}.")
        if self.on is not None:
            check_id("on", self.on, self.n)
        if self.seen_at_ms is not None and not (
            _is_whole(self.seen_at_ms) and 0 <= self.seen_at_ms <= self.t_ms
        ):
            raise EntryError(
                f"entry {self.n}: seen_at_ms is {self.seen_at_ms!r}; it is a whole number of milliseconds"
                f" from 0 to the entry's own time, {self.t_ms}."
            )
        if self.key is not None:
            object.__setattr__(self, "key", as_key(self.key, self.n))
        object.__setattr__(self, "values", frozen_values(self.values, self.n))


def attempt_started(
    *, mode: str, seed: int, case: Mapping[str, Any], case_sha256: str, engine_digest: str, by: str
) -> Entry:
    """Return the first entry of every log: all that a replay needs.

    Parameters
    ----------
    mode : str
        One of `MODES`; it cannot change afterwards.
    seed : int
        Key of the counter-based chance, from 0 to 2**64 - 1.
    case : mapping
        The resolved case, plain values only.
    case_sha256 : str
        SHA-256 of the case file's text, 64 hexadecimal digits.
    engine_digest : str
        What identifies the engine that will compute the trace.
    by : str
        Who started the attempt.
    """
    values = {
        "mode": mode,
        "seed": seed,
        "case": case,
        "case_sha256": case_sha256,
        "engine_digest": engine_digest,
    }
    entry = Entry(n=1, t_ms=0, kind="attempt_started", by=by, hands=by, values=values)
    check_first(entry)
    return entry


def check_first(entry: Entry) -> None:
    """Refuse, in a sentence, a first entry that a replay could not start from."""
    said = entry.values
    if entry.kind != "attempt_started" or entry.n != 1 or entry.t_ms != 0:
        raise EntryError(
            f"entry {entry.n}: {entry.kind} cannot open a log; the first entry is attempt_started,"
            " number 1, at 0 ms."
        )
    if said.get("mode") not in MODES:
        raise EntryError(f"entry 1: mode is {said.get('mode')!r}; it is one of {', '.join(MODES)}.")
    seed = said.get("seed")
    if not (_is_whole(seed) and 0 <= seed < 2**64):
        raise EntryError(f"entry 1: seed is {seed!r}; it is a whole number from 0 to {2**64 - 1}.")
    if not isinstance(said.get("case"), Values):
        raise EntryError("entry 1: case is missing; it holds the resolved case.")
    if not _SHA256.fullmatch(str(said.get("case_sha256"))):
        raise EntryError("entry 1: case_sha256 is missing or is not 64 hexadecimal digits.")
    digest = said.get("engine_digest")
    if not (isinstance(digest, str) and digest):
        raise EntryError("entry 1: engine_digest is missing; it names the engine that computes the trace.")


def check_number_and_time(n: object, t_ms: object, v: object, kind: object) -> None:
    """Refuse an envelope whose number, time, version or kind is impossible."""
    if not (_is_whole(n) and n >= 1):
        raise EntryError(f"an entry's number is {n!r}; numbers are whole and start at 1.")
    if not (_is_whole(t_ms) and t_ms >= 0):
        raise EntryError(f"entry {n}: t_ms is {t_ms!r}; it is a whole number of milliseconds, 0 or more.")
    if not (_is_whole(v) and v >= 1):
        raise EntryError(f"entry {n}: v is {v!r}; versions are whole and start at 1.")
    if not (isinstance(kind, str) and _KIND.fullmatch(kind)):
        raise EntryError(f"entry {n}: kind is {kind!r}; it is a word such as flow_set.")


def check_id(name: str, said: object, n: int) -> None:
    """Refuse an id that is empty, too long, or not printable text."""
    if not (isinstance(said, str) and 0 < len(said) <= 100 and said.isprintable()):
        raise EntryError(f"entry {n}: {name} is {said!r}; it is a name of 1 to 100 printable characters.")


def frozen_values(values: object, n: int) -> Values:
    """Freeze an entry's values, naming the entry if one of them cannot be kept."""
    if isinstance(values, Values):
        return values
    if not isinstance(values, Mapping):
        raise EntryError(f"entry {n}: values is {values!r}; it is a mapping from names to values.")
    try:
        return Values(values)
    except ValueRefusedError as problem:
        raise EntryError(f"entry {n}: {problem}") from None


def as_key(key: object, n: int) -> Key:
    """Read an idempotency key, or refuse it in a sentence."""
    match key:
        case (str() as screen, int() as counter) if screen and not isinstance(counter, bool) and counter >= 0:
            return Key(screen, counter)
    raise EntryError(
        f"entry {n}: key is {key!r}; it is a screen's name and a count, such as ('tablet-1', 17)."
    )


def _is_whole(number: object) -> TypeGuard[int]:
    return isinstance(number, int) and not isinstance(number, bool)
