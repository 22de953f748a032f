"""The help and the page of commands say the same as the code."""

from pathlib import Path

import pytest
from typer.main import get_command

from tidalbay.cli.app import app
from tidalbay.cli.guide import commands_page
from tidalbay.cli.paper import CAUTION

COMMANDS = get_command(app).commands
PAGE = Path(__file__).parents[2] / "docs" / "commands.md"


def test_the_page_of_commands_is_fresh():
    # Stale?  PYTHONPATH=src python -m tidalbay.cli.docs_page > docs/commands.md
    assert PAGE.read_text(encoding="utf-8") == commands_page(COMMANDS)


@pytest.mark.parametrize("name", COMMANDS)
def test_help_names_every_option_and_the_exit_codes(say, name):
    said = say(name, "--help")

    assert (said.code, said.err) == (0, "")
    for param in COMMANDS[name].params:
        assert param.metavar in said.out if param.param_type_name == "argument" else param.opts[0] in said.out
    assert "Exit code: 0 done, 1 something in a file is wrong" in said.out


@pytest.mark.parametrize("words", [(), ("--help",), ("-h",)])
def test_the_overview_names_every_command_and_the_caution(say, words):
    said = say(*words)

    assert (said.code, said.err) == (0, "")
    assert all(f"\n  {name}" in said.out for name in COMMANDS)
    assert CAUTION in " ".join(said.out.split())


def test_the_caution_is_the_one_that_a_trace_carries():
    from tidalbay.trace import Trace

    empty = Trace({"t_s": []}, {})

    assert empty.as_plain()["caution"] == CAUTION


def test_the_version_is_said(say):
    import tidalbay

    assert say("--version").out == f"tidalbay {tidalbay.__version__}\n"


def test_help_and_refusals_come_without_the_heavy_libraries():
    import subprocess
    import sys

    asked = "import sys; from tidalbay.cli import main; main({words!r}); print(*sys.modules)"
    for words in (["--help"], ["run", "--minutes", "nan"], ["breath", "--device", "none", "--flow", "3"]):
        done = subprocess.run(
            [sys.executable, "-c", asked.format(words=words)], capture_output=True, text=True, check=True
        )
        loaded = set(done.stdout.splitlines()[-1].split())
        assert not {"numpy", "numba", "tidalbay.ask"} & loaded, words
