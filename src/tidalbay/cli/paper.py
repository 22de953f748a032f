"""Where words go: results to standard output, talk to standard error, no wider than the terminal."""

import json
import os
import sys
import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final, TextIO

NARROWEST: Final = 40
WIDEST_TEXT: Final = 88  # longer lines are hard to read
WITHOUT_TERMINAL: Final = 80

# The same words that a trace carries; a test holds them together.
CAUTION: Final = (
    "For teaching and assessment with simulated patients only; not for the care of any person. "
    "The order, local policy, the device's own instructions and licensed practice come first."
)


def result(text: str) -> None:
    """Put a result on standard output.  A reader who has left wants no more of it."""
    _put(sys.stdout, text)


def talk(text: str) -> None:
    """Say something beside the result, on standard error."""
    _put(sys.stderr, wrapped(text))


def talk_page(text: str) -> None:
    """Say what is set in lines already, with carets that must stay under their words."""
    _put(sys.stderr, text)


def result_json(said: Any, indent: int | None = None) -> None:
    """Put a result on standard output for a program to read."""
    plain_letters = not takes_all_letters()
    result(json.dumps(said, ensure_ascii=plain_letters, allow_nan=False, indent=indent))


def _put(stream: TextIO, text: str) -> None:
    try:
        stream.write(text + "\n")
        stream.flush()
    except BrokenPipeError:
        leave_quietly(stream)


def leave_quietly(stream: TextIO) -> None:
    """Send what still comes nowhere, so that nobody complains about a closed pipe at the end."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, stream.fileno())
    os.close(nowhere)


def width() -> int:
    """Return how many columns a page may take."""
    asked = os.environ.get("COLUMNS", "")
    if asked.isascii() and asked.isdigit() and int(asked) > 0:
        return max(NARROWEST, min(int(asked), 200))
    try:
        return max(NARROWEST, os.get_terminal_size(sys.stdout.fileno()).columns)
    except (OSError, ValueError, AttributeError):
        return WITHOUT_TERMINAL


def takes_all_letters() -> bool:
    """Whether standard output can carry every letter."""
    return (getattr(sys.stdout, "encoding", None) or "").lower().replace("-", "") in ("utf8", "utf16")


def draws_finely() -> bool:
    """Whether dotted characters can be drawn: not in old code pages, nor in the old console of Windows."""
    return takes_all_letters() and (os.name != "nt" or bool(os.environ.get("WT_SESSION")))


def is_animated() -> bool:
    """Whether standard output is a terminal on which lines can be drawn over."""
    return sys.stdout.isatty() and os.environ.get("TERM", "") not in ("dumb", "unknown")


def wrapped(text: str, wide: int | None = None) -> str:
    """Break the lines of a text that are too long, and leave the others as they are."""
    limit = min(wide or width(), WIDEST_TEXT)
    return "\n".join(
        line if len(line) <= limit else "\n".join(textwrap.wrap(line, limit, break_on_hyphens=False))
        for line in text.split("\n")
    )


def labelled(label: str, text: str, wide: int, indent: int = 11) -> list[str]:
    """Return text beside a label, as many lines as it needs."""
    lines = textwrap.wrap(text, min(wide, WIDEST_TEXT) - indent, break_on_hyphens=False) or [""]
    return [f"{label:<{indent}}{lines[0]}", *(" " * indent + line for line in lines[1:])]


def joined(words: Sequence[str]) -> str:
    """Join words as a sentence does: a, b and c."""
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def called_as() -> str:
    """Return the words that start this program here, for sentences that tell what to type."""
    if Path(sys.argv[0]).name != "__main__.py":
        return "tidalbay"
    if Path(sys.prefix).name == ".venv" and (Path(sys.prefix) / "start.json").is_file():
        return "py start.py" if os.name == "nt" else "python3 start.py"
    return "python -m tidalbay"
