"""Help: one text for each command, shown by `--help` and printed into docs/commands.md.

`python -m tidalbay.cli.docs_page` prints that page; a test compares the two.
"""

from collections.abc import Iterable, Mapping
from typing import Any, Final

from typer.core import TyperCommand, TyperGroup

from tidalbay.cli.paper import CAUTION, called_as, labelled, width, wrapped

JOB: Final = "A patient who answers: what hands do to oxygen equipment, and what becomes of the patient."
NAME: Final = "tidalbay"

# What follows each command's options: an example to type, and what else a person should know.
EXAMPLES: Final[Mapping[str, tuple[str, ...]]] = {
    "run": (
        "run",
        "run --acts tempting",
        "run --form b",
        "run my-case.yaml --minutes 10 --out trace.csv",
        "run --log attempt.jsonl",
        "run --acts attempt.jsonl --json",
    ),
    "breath": (
        "breath --device nasal_cannula --flow 2",
        "breath --device non_rebreathing_mask --flow 10 --rate 30 --fit 0",
        "breath --device air_entrainment_mask --setting 28 --flow 4 --json",
    ),
    "cylinder": (
        "cylinder --size E --pressure 2000psi --flow 4",
        "cylinder --size UK-E --pressure 60bar --flow 10",
    ),
    "judge": (
        "judge",
        "judge rising-shunt --acts tempting",
        "judge my-case.yaml --acts what-they-did.yaml --json",
        "judge post-operative --acts attempt.jsonl",
    ),
    "take-home": (
        "take-home",
        "take-home rising-shunt --acts tempting --html for-the-class.html",
        'take-home --what-if "11 with flow_lpm=6" --what-if "without 10"',
    ),
    "debrief": (
        "debrief attempt.jsonl --pdf debrief.pdf --html debrief.html",
        "debrief a-5f0c2b9e1d7a4468 --data lab-of-monday --pdf debrief.pdf",
    ),
    "check": ("check my-case.yaml other-case.yaml",),
    "schema": ("schema > case.schema.json",),
    "prepare": ("prepare",),
    "serve": ("serve --demo", "serve", "serve --port 8751 --data lab-of-monday"),
    "password": ("password", "password --data lab-of-monday"),
    "validate": ("validate", "validate --json > rows.json", "validate --pdf evidence.pdf"),
}

CODES: Final = "Exit code: 0 done, 1 something in a file is wrong, 2 called wrongly, 130 stopped by hand."

_EDGE: Final = 16


class Page(TyperCommand):
    """A command whose help is a page of ours."""

    def format_help(self, ctx: Any, formatter: Any) -> None:
        """Write the page."""
        formatter.write(command_page(str(self.name), self, called_as(), width()) + "\n")


class Overview(TyperGroup):
    """All the commands on a page."""

    def format_help(self, ctx: Any, formatter: Any) -> None:
        """Write the page."""
        formatter.write(overview_page(self.commands, called_as(), width()) + "\n")


def overview_page(commands: Mapping[str, Any], program: str, wide: int) -> str:
    """Return what there is, a command a paragraph."""
    lines = [wrapped(JOB, wide), ""]
    for name, command in commands.items():
        lines += _beside(name, str(command.help), wide, 10)
    lines += ["", *_beside("To begin", f"{program} run", wide, 10)]
    lines += _beside("More", f"{program} COMMAND --help, or {program} --version", wide, 10)
    return "\n".join([*lines, "", wrapped(CAUTION, wide)])


def command_page(name: str, command: Any, program: str, wide: int) -> str:
    """Return what one command does and takes, and examples of it."""
    lines = [wrapped(str(command.help), wide), "", f"{program} {call(name, command)}", ""]
    for told, about in _parameters(command):
        lines += _beside(told, about, wide, _EDGE)
    lines += ["", "For example"]
    lines += [f"  {program} {example}" for example in EXAMPLES[name]]
    return "\n".join([*lines, "", wrapped(CODES, wide)])


def call(name: str, command: Any) -> str:
    """Return how a command is called, in one line."""
    arguments = [param.metavar for param in command.params if param.param_type_name == "argument"]
    has_options = any(param.param_type_name == "option" for param in command.params)
    return " ".join(
        [
            name,
            *(f"[{each}]" if name == "run" else each for each in arguments),
            *(["[OPTIONS]"] * has_options),
        ]
    )


def commands_page(commands: Mapping[str, Any]) -> str:
    """Return docs/commands.md, the same on every machine."""
    parts = [
        "# Commands",
        "<!-- Printed from the code: python -m tidalbay.cli.docs_page > docs/commands.md -->",
        f"{JOB} Results go to standard output, talk to standard error. {CODES}",
        f"> {CAUTION}",
    ]
    for name, command in commands.items():
        parts.append(f"## {name}")
        parts.append(str(command.help))
        parts.append(f"```\n{NAME} {call(name, command)}\n```")
        rows = [f"| `{_in_cell(told)}` | {_in_cell(about)} |" for told, about in _parameters(command)]
        if rows:
            parts.append("\n".join(["| | |", "|---|---|", *rows]))
        parts.append(
            "For example:\n\n```\n" + "\n".join(f"{NAME} {example}" for example in EXAMPLES[name]) + "\n```"
        )
    return "\n\n".join(parts) + "\n"


def _parameters(command: Any) -> Iterable[tuple[str, str]]:
    """Return every argument and option as it is typed, and what it is."""
    for param in command.params:
        if param.param_type_name == "argument":
            yield str(param.metavar), str(param.help)
        elif "--help" not in param.opts:
            yield " ".join([param.opts[0], *([param.metavar] if param.metavar else [])]), str(param.help)


def _beside(told: str, about: str, wide: int, edge: int) -> list[str]:
    if len(told) < edge - 3:
        return ["  " + line for line in labelled(told, about, wide - 2, edge - 2)]
    first, *rest = labelled("", about, wide, edge)
    return [f"  {told}", first, *rest]


def _in_cell(text: str) -> str:
    return text.replace("|", "\\|")
