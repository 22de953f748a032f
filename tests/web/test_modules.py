"""Modules that know no catalogue are tested by node: clock, taps, layout, what bedside and station say."""

import subprocess
from pathlib import Path

import pytest
from tests.needs import needs, path_of

HERE = Path(__file__).parent
RUN_ELSEWHERE = {"draw", "pages"}  # by test_drawing.py and test_pages.py
ROOMS = sorted({path.parent.name for path in HERE.rglob("*.test.mjs")} - RUN_ELSEWHERE)


@needs("node")
@pytest.mark.parametrize("room", ROOMS)
def test_the_modules_of_a_room_keep_their_promises(room):
    files = sorted(str(path) for path in (HERE / room).glob("*.test.mjs"))

    run = subprocess.run([path_of("node"), "--test", *files], capture_output=True, text=True, check=False)

    assert run.returncode == 0, run.stdout[-6000:]
    assert "# pass 0" not in run.stdout


def test_every_room_of_modules_is_looked_into():
    assert {"lib", "el", "bedside", "station"} <= set(ROOMS)
