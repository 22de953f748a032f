"""Pages of docs/ whose examples are run and whose tables are printed from the code.

A page is fresh when what it shows is what the code says.  Tests compare; to write stale pages anew:

    python -m tests.docs.pages
"""

import contextlib
import io
import re
import sys
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

DOCS = Path(__file__).parents[2] / "docs"
WRITE_ANEW = "the page is stale; `python -m tests.docs.pages` writes it anew"

_BLOCK = re.compile(r"^```(?P<language>\w+)\n(?P<body>.*?)^```$", re.M | re.S)
_FILE = re.compile(r"# (?P<name>[\w-]+\.yaml)\n")  # a whole file, there for the page's examples to read
_PRINTED = re.compile(r"(<!-- printed: (?P<name>[\w ]+) -->\n).*?(<!-- end of what is printed -->)", re.S)


def page(name: str) -> str:
    return (DOCS / name).read_text(encoding="utf-8")


def blocks(text: str, language: str) -> list[str]:
    """The fenced blocks of one language, in order."""
    return [found["body"] for found in _BLOCK.finditer(text) if found["language"] == language]


def fresh(text: str, tables: Mapping[str, Callable[[], str]] | None = None) -> str:
    """The page as it should be: tables printed from the code, examples with what they really print."""
    tables = tables or {}
    text = _PRINTED.sub(lambda found: f"{found[1]}\n{tables[found['name']]()}\n{found[3]}", text)
    names: dict[str, Any] = {"__name__": "page"}
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        for block in blocks(text, "yaml"):
            if file := _FILE.match(block):
                Path(file["name"]).write_text(block[file.end() :], encoding="utf-8")
        return _BLOCK.sub(lambda found: _run_block(found, names), text)


def _run_block(found: re.Match[str], names: dict[str, Any]) -> str:
    if found["language"] != "python":
        return found[0]
    shown = [
        _separator(before) + said + _printed_by(said, names) for before, said in _examples(found["body"])
    ]
    return f"```python\n{''.join(shown)}```"


def _examples(body: str) -> list[tuple[str, str]]:
    """Each statement with its prompts, and the line before it; what was printed last time is left out."""
    examples: list[tuple[str, str]] = []
    before = "```"
    for line in body.splitlines():
        if line.startswith(">>> "):
            examples.append((before, f"{line}\n"))
        elif line == "..." or line.startswith("... "):
            examples[-1] = (examples[-1][0], f"{examples[-1][1]}{line}\n")
        before = line
    if not examples:
        raise ValueError(f"a block of python without >>> is never run: {body[:60]!r}")
    return examples


def _separator(before: str) -> str:
    return "" if before else "\n"


def _printed_by(said: str, names: dict[str, Any]) -> str:
    source = "\n".join(line[4:] for line in said.splitlines()) + "\n"
    out = io.StringIO()
    with contextlib.redirect_stdout(out), _plain_echo():
        try:
            exec(compile(source, "<page>", "single"), names)
        except Exception as error:
            out.write(f"{type(error).__name__}: {error}\n")
    return out.getvalue()


@contextlib.contextmanager
def _plain_echo():
    echo, sys.displayhook = sys.displayhook, sys.__displayhook__
    try:
        yield
    finally:
        sys.displayhook = echo


def main() -> None:
    from tests.docs.printed import TABLES
    from tests.docs.rows import catalogue_with

    from tidalbay.engine import compile_now

    compile_now()
    for path in sorted(DOCS.glob("*.md")):
        old = path.read_text(encoding="utf-8")
        if not any(">>> " in block for block in blocks(old, "python")) and not _PRINTED.search(old):
            continue  # nothing on it is printed; a script that needs a lab is run by a test of its own
        with catalogue_with(blocks(old, "yaml")) if path.name == "extending.md" else contextlib.nullcontext():
            new = fresh(old, TABLES)
        if new != old:
            path.write_text(new, encoding="utf-8")
            print(f"{path.name} is written anew.")


if __name__ == "__main__":
    main()
