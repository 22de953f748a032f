"""What is wrong with a file, for the person who can mend it: all of it at once, each with its line."""

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from tidalbay.catalogue.fault import Fault

MOST_SHOWN: Final = 200
_WIDEST_LINE: Final = 110


@dataclass(frozen=True, slots=True)
class CaseProblem:
    """One thing that is wrong in one place.

    Attributes
    ----------
    file : str
        The file, as it was named to us.
    line, col : int
        From 1; 0 where the file as a whole is meant.
    what : str
        What is wrong, without a full stop.
    allowed, hint : str
        What would be right, and a way out; empty where there is nothing to add.
    shown : tuple of (int, str)
        The lines around it, with their numbers.
    width : int
        How many columns are meant.
    """

    file: str
    line: int
    col: int
    what: str
    allowed: str = ""
    hint: str = ""
    shown: tuple[tuple[int, str], ...] = ()
    width: int = 1

    def __str__(self) -> str:
        """Say it with its lines, a caret under the place, what is allowed, and a hint."""
        where = f"{self.file}:{self.line}:{self.col}" if self.line else self.file
        parts = [f"{where}  {self.what}", *_excerpt(self)]
        if self.allowed:
            parts.append(_wrapped("  allowed: ", self.allowed))
        if self.hint:
            parts.append(_wrapped("  hint:    ", self.hint))
        return "\n".join(parts)

    def as_json(self) -> dict[str, Any]:
        """Say the same facts for an editor."""
        return {
            "file": self.file,
            "line": self.line,
            "col": self.col,
            "what": self.what,
            "allowed": self.allowed,
            "hint": self.hint,
        }


class CaseErrors(ValueError):
    """Everything that is wrong with a file; its text is the whole page. Nothing was loaded."""

    def __init__(self, problems: Iterable[CaseProblem]) -> None:
        """Sort the problems by their place; the same thing said twice is said once."""
        once = {(problem.line, problem.col, problem.what): problem for problem in problems}
        self.problems = tuple(once[place] for place in sorted(once))
        super().__init__(problem_page(self.problems))

    def as_json(self) -> list[dict[str, Any]]:
        """Say the same facts for an editor."""
        return [problem.as_json() for problem in self.problems]


def problem_page(problems: Sequence[CaseProblem]) -> str:
    """Return the page of all problems, of one file or of several."""
    shown = [str(problem) for problem in problems[:MOST_SHOWN]]
    more = len(problems) - len(shown)
    if more:
        shown.append(f"... and {more} more.")
    count = "1 error" if len(problems) == 1 else f"{len(problems)} errors"
    return "\n\n".join([*shown, f"{count}. Nothing was loaded."])


def whole_file(file: str, what: str, hint: str = "") -> CaseErrors:
    """Return the refusal of a file that cannot be read at all."""
    return CaseErrors([CaseProblem(file, 0, 0, what, hint=hint)])


def problem_at(file: str, lines: Sequence[str], line: int, col: int, width: int, fault: Fault) -> CaseProblem:
    """Return a fault as the problem it is at one place of a file, with the lines around it."""
    shown = tuple((n, lines[n - 1].rstrip("\r")) for n in (line - 1, line) if 1 <= n <= len(lines))
    return CaseProblem(file, line, col, fault.what, fault.allowed, fault.hint, shown, max(1, width))


def _wrapped(label: str, text: str) -> str:
    return textwrap.fill(
        text,
        _WIDEST_LINE,
        initial_indent=label,
        subsequent_indent=" " * len(label),
        break_long_words=False,
        break_on_hyphens=False,
    )


def _excerpt(problem: CaseProblem) -> list[str]:
    gutter = len(str(problem.line))
    start = max(0, problem.col - _WIDEST_LINE // 2) if problem.col > _WIDEST_LINE - 20 else 0
    lines = []
    for number, text in problem.shown:
        if number != problem.line and not text.strip():
            continue
        lines.append(f"  {number:>{gutter + 2}} | {text[start : start + _WIDEST_LINE]}".rstrip())
    if problem.shown:
        caret = "^" * min(problem.width, _WIDEST_LINE - (problem.col - start))
        lines.append(f"  {'':>{gutter + 2}} | {' ' * (problem.col - 1 - start)}{caret}")
    return lines
