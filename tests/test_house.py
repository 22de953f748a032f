"""Contract: the rooms import each other only as the plan of the house in pyproject.toml allows.

The first test is the rule; the others plant a breach of each kind and see it found, so that the
rule cannot quietly stop working.
"""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).parent.parent
RUN_THE_CHECK = "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports(no_cache=True))"


def check(house: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", RUN_THE_CHECK],
        cwd=house,
        env={**os.environ, "PYTHONPATH": str(house / "src"), "PYTHONUTF8": "1", "COLUMNS": "200"},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


@pytest.fixture
def house(tmp_path):
    """A copy of the house in which a breach can be planted."""
    shutil.copytree(CHECKOUT / "src", tmp_path / "src", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(CHECKOUT / "pyproject.toml", tmp_path)
    return tmp_path


def test_every_room_keeps_to_the_plan():
    result = check(CHECKOUT)

    assert result.returncode == 0, result.stdout + result.stderr


@pytest.mark.parametrize(
    ("room", "line", "rule"),
    [
        ("science", "import tidalbay.engine", "Knowledge runs one way"),
        ("trace", "import tidalbay.cli", "Knowledge runs one way"),
        ("equipment", "import tidalbay.engine", "Knowledge runs one way"),
        ("case", "import tidalbay.trace", "A case knows the catalogue"),
        ("engine", "import tidalbay.catalogue", "The engine knows numbers"),
        ("equipment", "import tidalbay.trace", "The equipment knows acts"),
        ("attempt", "import tidalbay.science", "The loop asks the rooms below it"),
        ("bedside", "import tidalbay.engine", "What can be seen is read from a recording"),
        ("engine", "import tidalbay", "No room goes back in through the front door"),
        ("engine", "import random", "The model reads no clock and throws no die"),
        ("attempt", "from datetime import datetime", "The model reads no clock and throws no die"),
        ("case", "import rich", "Only the command line draws in the terminal"),
        ("records", "import tidalbay.cli", "Knowledge runs one way"),
        ("live", "import tidalbay.web", "Knowledge runs one way"),
        ("records", "import tidalbay.live", "Knowledge runs one way"),
        ("judge", "import tidalbay.engine", "An attempt is judged from its recording"),
        ("report", "import tidalbay.live", "Knowledge runs one way"),
        ("report", "import datetime", "The model reads no clock and throws no die"),
        ("judge", "import uuid", "The model reads no clock and throws no die"),
        ("live", "import starlette", "Only the two doors speak to a network"),
        ("web", "import sqlite3", "Only the records speak to a database"),
        ("bedside", "import tidalbay.records", "Knowledge runs one way"),
        ("records", "import tidalbay.bedside", "What is kept is entries"),
        ("records", "import tidalbay", "No room goes back in through the front door"),
        ("records", "import rich", "Only the command line draws in the terminal"),
        ("records", "import starlette", "Only the two doors speak to a network"),
        ("attempt", "import sqlite3", "Only the records speak to a database"),
        ("cli", "import sqlalchemy", "Only the records speak to a database"),
        ("trace", "import secrets", "The model reads no clock and throws no die"),
        ("engine", "import scipy", "Reference libraries stay in the tests"),
    ],
)
def test_a_breach_of_the_plan_is_found(house, room, line, rule):
    (house / "src/tidalbay" / room / "planted.py").write_text(line + "\n")

    result = check(house)

    broken = [row for row in result.stdout.splitlines() if row.rstrip().endswith("BROKEN")]
    assert any(row.startswith(rule) for row in broken), result.stdout + result.stderr


def test_two_files_of_a_room_that_import_each_other_are_found(house):
    (house / "src/tidalbay/trace/planted_one.py").write_text("import tidalbay.trace.planted_two\n")
    (house / "src/tidalbay/trace/planted_two.py").write_text("import tidalbay.trace.planted_one\n")

    result = check(house)

    assert "No circles, between rooms or within one BROKEN" in result.stdout
    assert ".planted_" in result.stdout


def test_a_new_room_without_a_floor_is_found(house):
    (house / "src/tidalbay/attic").mkdir()
    (house / "src/tidalbay/attic/__init__.py").write_text("")

    result = check(house)

    assert "Knowledge runs one way, and every room has its floor BROKEN" in result.stdout
    assert "attic" in result.stdout
