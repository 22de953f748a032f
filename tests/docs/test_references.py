"""Contract: what comments and pages refer to is there, for a reader who has this repository and no other."""

import importlib
import re
from pathlib import Path

import pytest
from tests.docs.pages import DOCS

from tidalbay.trace import Trace

CHECKOUT = DOCS.parent
OF_OURS = re.compile(r"`((?:units|science|catalogue|equipment|trace|engine|case|attempt)(?:\.\w+)+)`")
ROW_CODE = re.compile(r"\b[A-Z]{3}-\d{2}\b")


def sources():
    return sorted(path for folder in ("src", "tests") for path in (CHECKOUT / folder).rglob("*.py"))


def test_no_comment_sends_its_reader_to_a_row_of_a_list_that_is_not_here():
    found = [
        f"{path.relative_to(CHECKOUT).as_posix()}: {code}"
        for path in sources()
        for code in ROW_CODE.findall(path.read_text(encoding="utf-8"))
    ]

    assert not found, "write the publication that the code stands for"


def test_such_a_code_would_be_found():
    assert ROW_CODE.findall("fits the pressures of " + "DEV" + "-38; see 2020-10-12, ISO 80601-2-61") == [
        "DEV" + "-38"
    ]


@pytest.mark.parametrize("path", sorted(DOCS.rglob("*.md")), ids=lambda path: path.name)
def test_every_name_of_ours_on_a_page_is_there(path):
    missing = [name for name in OF_OURS.findall(path.read_text(encoding="utf-8")) if not is_there(name)]

    assert not missing


def is_there(name: str) -> bool:
    """Whether `room.module.thing` or `room.thing` can be found under tidalbay."""
    parts = ["tidalbay", *name.split(".")]
    if parts[1] == "trace" and hasattr(Trace, parts[2]):  # a recording in somebody's hand
        return True
    if parts[-1] in ("py", "yaml"):
        return Path(CHECKOUT, "src", *parts[:-1]).with_suffix(f".{parts[-1]}").exists()
    for cut in range(len(parts), 1, -1):
        try:
            thing = importlib.import_module(".".join(parts[:cut]))
        except ModuleNotFoundError:
            continue
        return _has(thing, parts[cut:])
    return False


def _has(thing: object, names: list[str]) -> bool:
    for name in names:
        if not hasattr(thing, name):
            return False
        thing = getattr(thing, name)
    return True
