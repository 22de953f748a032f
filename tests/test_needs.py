"""Contract: what a computer lacks is told on a user's machine and fails in CI."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

TESTS = Path(__file__).parent
PLANTED = """
import pytest
from tests.needs import needs

@needs("strace")
def test_planted():
    pass
"""


def run_without_programs(folder: Path, ci: str) -> subprocess.CompletedProcess[str]:
    (folder / "tests").mkdir()
    for name in ("conftest.py", "needs.py"):
        shutil.copy(TESTS / name, folder / "tests")
    (folder / "tests" / "test_planted.py").write_text(PLANTED)
    return subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "--rootdir=.", "tests"],
        cwd=folder,
        env={**os.environ, "PATH": str(folder), "CI": ci, "PYTHONPATH": str(folder), "TIDALBAY_STRACE": ""},
        capture_output=True,
        text=True,
        check=False,
    )


def test_a_users_run_says_what_it_left_out(tmp_path):
    run = run_without_programs(tmp_path, ci="")

    assert run.returncode == 0, run.stdout
    assert (
        "Left out here: 1 (strace is missing or may not run here: that entries are on the disk" in run.stdout
    )


@pytest.mark.parametrize("ci", ["true", "1"])
def test_ci_leaves_nothing_out(tmp_path, ci):
    run = run_without_programs(tmp_path, ci)

    assert run.returncode == 1
    assert "left out, which CI does not allow: strace is missing" in run.stdout
