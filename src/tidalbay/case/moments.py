"""Times as a teacher writes them: 2:30, 90 s, 2 min."""

import re
from typing import Final

from tidalbay.catalogue.fault import Fault, said

ALLOWED: Final = "minutes and seconds such as 2:30, or 90 s, or 2 min"
PATTERN: Final = r"^([0-9]{1,3}:[0-5][0-9](\.[0-9]{1,3})?|[0-9]+(\.[0-9]+)? ?(s|min|h))$"

_CLOCK = re.compile(r"([0-9]{1,3}):([0-5][0-9])(?:\.([0-9]{1,3}))?")
_SPAN = re.compile(r"([0-9]+(?:\.[0-9]+)?) ?(s|min|h)")
_MS: Final = {"s": 1_000, "min": 60_000, "h": 3_600_000}


def ms_from_text(text: object) -> int | None:
    """Return a time in milliseconds, or None if it is not written as one."""
    if not isinstance(text, str) or len(text) > 20:
        return None
    if clock := _CLOCK.fullmatch(text.strip()):
        minutes, seconds, fraction = clock.groups()
        return int(minutes) * 60_000 + int(seconds) * 1_000 + int((fraction or "0").ljust(3, "0"))
    if span := _SPAN.fullmatch(text.strip()):
        return round(float(span[1]) * _MS[span[2]])
    return None


def text_from_ms(t_ms: int) -> str:
    """Return a time as minutes and seconds: 2:30."""
    minutes, ms = divmod(t_ms, 60_000)
    fraction = f".{ms % 1000:03d}".rstrip("0") if ms % 1000 else ""
    return f"{minutes}:{ms // 1000:02d}{fraction}"


def moment_fault(name: str, value: object) -> Fault:
    """Say what is wrong with something that is not written as a time."""
    hint = ""
    if isinstance(value, int | float) and not isinstance(value, bool):
        hint = f"write {value:g} min for minutes or {value:g} s for seconds"
    elif isinstance(value, str) and re.fullmatch(r"[0-9]+:[0-9]+", value):
        hint = "two digits stand after the colon, from 00 to 59"
    return Fault(name, f"{name} is {said(value)}, not a time", ALLOWED, hint)
