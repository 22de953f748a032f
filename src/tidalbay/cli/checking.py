"""The command that reads case files and says everything that is wrong with them."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tidalbay.cli.paper import result, result_json
from tidalbay.cli.playing_forms import faults_of_forms

if TYPE_CHECKING:
    from tidalbay.case import CaseProblem


def check(names: Sequence[str], as_json: bool, procedures: str | None = None) -> int:
    """Check files, put what is wrong on standard output, and return the exit code.

    Parameters
    ----------
    names : sequence of str
        Files, or ids of demonstration cases.
    as_json : bool
    procedures : str or None
        The folder of a school's own procedures.
    """
    found = {name: problems_of(name, procedures) for name in names}
    if as_json:
        result_json(
            {
                "checked": list(found),
                "problems": [problem.as_json() for problems in found.values() for problem in problems],
            },
            indent=2,
        )
    else:
        result(page(found))
    return 1 if any(found.values()) else 0


def problems_of(name: str, procedures: str | None = None) -> "tuple[CaseProblem, ...]":
    """Return everything that is wrong with one file; nothing if it is a case."""
    from tidalbay.ask import demonstrations, load_case
    from tidalbay.case import CaseErrors, said_at

    try:
        case = load_case(name, procedures=procedures)
    except CaseErrors as errors:
        return errors.problems
    found = list(faults_of_forms(case))
    return said_at(demonstrations().get(name, Path(name)), found) if found else ()


def page(found: "dict[str, tuple[CaseProblem, ...]]") -> str:
    """Return every error of every file, ending with a count."""
    parts = [str(problem) for problems in found.values() for problem in problems]
    errors = len(parts)
    wrong = sum(1 for problems in found.values() if problems)
    parts += ["\n".join(f"{name}  nothing is wrong" for name, problems in found.items() if not problems)]
    if len(found) == 1:
        parts.append(_count(errors) + ("." if errors else "; it can be played."))
    elif errors:
        parts.append(f"{_count(errors)} in {wrong} of {len(found)} files.")
    else:
        parts.append(f"No errors; all {len(found)} can be played.")
    return "\n\n".join(part for part in parts if part)


def _count(errors: int) -> str:
    return "1 error" if errors == 1 else f"{errors or 'no'} errors".capitalize()
