"""Programs that some tests need and a computer may lack: left out with a sentence, never in CI.

`needs("strace")` marks a test.  Without the program the test skips itself and the run tells it in its
last lines; under CI=true `conftest.py` makes a failure of every skip.
"""

import os
import shutil
import subprocess

import pytest

# What each is for, so that the sentence says what was not looked at.
PROGRAMS = {
    "strace": "that entries are on the disk before they are confirmed is seen in system calls",
    "node": "the pages' own modules are tested by it",
    "chromium": "pages are tried in a real browser",
}


def path_of(program: str) -> str | None:
    """Where a program is, or None; an environment variable such as TIDALBAY_CHROMIUM may say it."""
    return os.environ.get(f"TIDALBAY_{program.upper()}") or shutil.which(program)


def needs(program: str) -> pytest.MarkDecorator:
    """Mark a test that cannot run without a program."""
    missing = not _works(program)
    return pytest.mark.skipif(
        missing, reason=f"{program} is missing or may not run here: {PROGRAMS[program]}"
    )


def _works(program: str) -> bool:
    path = path_of(program)
    if path is None or program != "strace":
        return path is not None
    # Some containers have it and forbid it.
    return subprocess.run([path, "-o", os.devnull, "true"], capture_output=True, check=False).returncode == 0
