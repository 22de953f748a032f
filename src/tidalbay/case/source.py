"""A file as text with lines: read if it can be, refused in a sentence if it cannot."""

from dataclasses import dataclass
from pathlib import Path
from typing import Final

from tidalbay.case.problem import CaseErrors, CaseProblem, problem_at, whole_file
from tidalbay.catalogue.fault import Fault

MOST_BYTES: Final = 1_000_000


@dataclass(frozen=True, slots=True)
class Source:
    """The text of a file, and what the file is called in sentences."""

    name: str
    text: str
    lines: tuple[str, ...]

    def problem(self, line: int, col: int, width: int, fault: Fault) -> CaseProblem:
        """Return a fault as a problem of this file."""
        return problem_at(self.name, self.lines, line, col, width, fault)


def source_from_file(path: Path | str) -> Source:
    """Read a file; raise `CaseErrors` for one that is missing, a folder, too large or not text."""
    name = str(path)
    try:
        if Path(path).is_dir():
            hint = "name the case file itself, or its files one by one"
            raise whole_file(name, "this is a folder, not a file", hint)
        if Path(path).stat().st_size > MOST_BYTES:
            raise _too_large(name)
        data = Path(path).read_bytes()
    except FileNotFoundError:
        raise whole_file(name, "there is no such file") from None
    except OSError as problem:
        raise whole_file(name, f"the file cannot be read: {problem.strerror or problem}") from None
    except ValueError as problem:  # a name the system cannot take, such as one that holds a zero byte
        if isinstance(problem, CaseErrors):
            raise
        raise whole_file(name, "this cannot be the name of a file") from None
    return source_from_bytes(data, name)


def source_from_bytes(data: bytes, name: str) -> Source:
    """Read bytes as text; raise `CaseErrors` for what is not UTF-8."""
    if len(data) > MOST_BYTES:
        raise _too_large(name)
    try:
        return source_from_text(data.decode("utf-8-sig"), name)
    except UnicodeDecodeError as problem:
        line = data[: problem.start].count(b"\n") + 1
        what = f"the file is not UTF-8 text: byte {problem.start + 1}, in line {line}, fits no letter"
        raise whole_file(name, what, "save it again as UTF-8") from None


def source_from_text(text: str, name: str) -> Source:
    """Take text; raise `CaseErrors` for what is too large, empty, or holds tabs or unprintable characters."""
    if len(text) > MOST_BYTES:
        raise _too_large(name)
    source = Source(name, text, tuple(text.split("\n")))
    if not text.strip():
        raise whole_file(name, "the file is empty", "a case begins with schema: 1")
    problems = [
        problem for n, line in enumerate(source.lines, start=1) if (problem := _unreadable(source, n, line))
    ]
    if problems:
        raise CaseErrors(problems)
    return source


def _unreadable(source: Source, n: int, line: str) -> CaseProblem | None:
    blank = line[: len(line) - len(line.lstrip(" \t"))]
    if "\t" in blank and line.strip():
        fault = Fault(
            "", "a tab stands at the start of this line", "", "indent with spaces, two for each step"
        )
        return source.problem(n, blank.index("\t") + 1, 1, fault)
    for i, letter in enumerate(line.rstrip("\r")):
        if not letter.isprintable() and letter != "\t":
            what = f"a character that cannot be printed stands here (U+{ord(letter):04X})"
            return source.problem(n, i + 1, 1, Fault("", what, "", "take it out"))
    return None


def _too_large(name: str) -> CaseErrors:
    return whole_file(name, "the file is larger than 1 MB", "a case is a few kilobytes of text")
