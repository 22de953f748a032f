"""Join codes: a word of sea or shore and four digits, to be called across a room and typed once."""

import secrets
from importlib.resources import files
from typing import Final

# Short, spelled as they sound. 116 words and 10 000 numbers: more than a million codes.
WORDS: Final = tuple((files("tidalbay.web.people") / "code_words.txt").read_text("utf-8").split())


def new_code() -> str:
    """Return a code such as `heron 4127`, not to be guessed."""
    return f"{secrets.choice(WORDS)} {secrets.randbelow(10_000):04d}"


def spoken(code: str) -> str:
    """Return a kept code (`HERON4127`) as people read it."""
    letters = code.rstrip("0123456789")
    return f"{letters.lower()} {code[len(letters) :]}"
