"""Values that an entry may carry: what JSON can say, frozen all the way down."""

import math
from collections.abc import Iterator, Mapping
from typing import Any, TypeAlias, Union

Value: TypeAlias = Union[bool, int, float, str, tuple["Value", ...], "Values", None]

_DEEPEST = 60  # a resolved case is about six deep; anything near this is a mistake or an attack


class ValueRefusedError(ValueError):
    """Something that JSON cannot say, or can say only inexactly; the sentence names it."""


class Values(Mapping[str, Value]):
    """A mapping that cannot be changed, and that two processes can hand to each other."""

    __slots__ = ("_held",)

    def __init__(self, held: Mapping[str, Any] | None = None) -> None:
        """Freeze a mapping from names to JSON values, and everything inside it."""
        self._held = {name: frozen(value, name) for name, value in _named(held or {}, "the values").items()}

    def __getitem__(self, name: str) -> Value:
        """Return one value by its name."""
        return self._held[name]

    def __iter__(self) -> Iterator[str]:
        """Iterate over the names, in the order in which they were given."""
        return iter(self._held)

    def __len__(self) -> int:
        """Count the names."""
        return len(self._held)

    def __hash__(self) -> int:
        """Hash by content, so that entries can be members of sets."""
        return hash(frozenset(self._held.items()))

    def __repr__(self) -> str:
        """Show the content as Python would write it."""
        return f"Values({self._held!r})"

    def __reduce__(self) -> tuple[type["Values"], tuple[dict[str, Any]]]:
        """Travel between processes as a plain dictionary."""
        return Values, (plain(self),)


def frozen(value: Any, name: str = "a value", depth: int = 0) -> Value:
    """Return the same value with every mapping and list inside it made unchangeable.

    Raises `ValueRefusedError`, naming what was found, for anything JSON has no exact word for.
    """
    if depth > _DEEPEST:
        raise ValueRefusedError(
            f"{name} is nested deeper than {_DEEPEST} levels; an entry holds plain values."
        )
    if isinstance(value, Values) or value is None or isinstance(value, bool | int):
        return value
    if isinstance(value, float):
        if not math.isfinite(value):
            raise ValueRefusedError(f"{name} is {value}; a log holds finite numbers only.")
        return float(value)
    if isinstance(value, str):
        return _text(value, name)
    if isinstance(value, Mapping):
        inside = _named(value, name)
        return _sealed({key: frozen(item, f"{name}.{key}", depth + 1) for key, item in inside.items()})
    if isinstance(value, list | tuple):
        return tuple(frozen(item, f"{name}[{i}]", depth + 1) for i, item in enumerate(value))
    raise ValueRefusedError(
        f"{name} is a {type(value).__name__}; a log holds numbers, text, lists and mappings."
    )


def plain(value: Any) -> Any:
    """Return the same value as dictionaries and lists, as the JSON module wants them."""
    if isinstance(value, Mapping):
        return {key: plain(item) for key, item in value.items()}
    if isinstance(value, tuple):
        return [plain(item) for item in value]
    return value


def _sealed(held: dict[str, Value]) -> Values:
    """Wrap values that are frozen already, without walking through them again."""
    values = Values()
    values._held = held
    return values


def _named(held: Mapping[Any, Any], name: str) -> Mapping[str, Any]:
    for key in held:
        if not isinstance(key, str):
            raise ValueRefusedError(f"{name} has the name {key!r}; names in a log are text.")
        _text(key, f"a name in {name}")
    return held


def _text(text: str, name: str) -> str:
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        raise ValueRefusedError(
            f"{name} holds half a character (a lone surrogate); write whole characters."
        ) from None
    return str(text)
