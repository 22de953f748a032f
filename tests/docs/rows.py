"""A copy of the catalogue with rows of a page added to it, in place of the real one for a while.

The first line of a block of YAML says where it goes: `# catalogue/devices.yaml, under devices`.
"""

import contextlib
import re
import shutil
import sys
import tempfile
import textwrap
from collections.abc import Iterable, Iterator
from pathlib import Path

import tidalbay
from tidalbay.catalogue import yaml_rows

CATALOGUE = Path(tidalbay.__file__).parent / "catalogue"
_PLACE = re.compile(r"# catalogue/(?P<file>\w+\.yaml)(?:, under (?P<section>\w+))?\n")


@contextlib.contextmanager
def catalogue_with(blocks: Iterable[str]) -> Iterator[None]:
    """While this lasts, everything reads a catalogue that holds these rows as well."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder)
        for path in CATALOGUE.glob("*.yaml"):
            shutil.copy(path, copy)
        for block in blocks:
            _add(copy, block)
        real, yaml_rows.files = yaml_rows.files, lambda _: copy
        _forget()
        try:
            yield
        finally:
            yaml_rows.files = real
            _forget()


def _add(copy: Path, block: str) -> None:
    place = _PLACE.match(block)
    if place is None:
        return
    path = copy / place["file"]
    text, rows = path.read_text(encoding="utf-8"), block[place.end() :]
    if place["section"] is None:
        path.write_text(f"{text}\n{rows}", encoding="utf-8")
        return
    before, heading, after = text.partition(f"\n{place['section']}:\n")
    if not heading:
        raise ValueError(f"{place['file']} has no section {place['section']}")
    path.write_text(f"{before}{heading}{textwrap.indent(rows, '  ')}{after}", encoding="utf-8")


def _forget() -> None:
    """What was read before is read again."""
    for name, module in sys.modules.items():
        if name.startswith("tidalbay.catalogue."):
            for thing in vars(module).values():
                if hasattr(thing, "cache_clear"):
                    thing.cache_clear()
