"""The live page: drawn on a real terminal, in the digits of the run that nobody watches."""

import json
import os
import subprocess
import sys

import pytest

pytestmark = pytest.mark.skipif(os.name == "nt", reason="no pseudo-terminals here")


def on_a_terminal(*words, columns=80, rows=24, **environment):
    """What a run writes to a terminal of that size."""
    import fcntl
    import pty
    import struct
    import termios

    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
    settings = {**os.environ, "TERM": "xterm-256color", "PYTHONIOENCODING": "utf-8", **environment}
    settings.pop("COLUMNS", None)
    process = subprocess.Popen(
        [sys.executable, "-m", "tidalbay", *words], stdout=theirs, stderr=theirs, env=settings
    )
    os.close(theirs)
    written = b""
    while True:
        try:
            more = os.read(ours, 65536)
        except OSError:
            break
        if not more:
            break
        written += more
    os.close(ours)
    return process.wait(timeout=60), written.decode("utf-8")


@pytest.mark.slow
@pytest.mark.usefixtures("model")
def test_the_live_page_moves_ends_and_keeps_the_digits(tmp_path):
    out = tmp_path / "live.json"

    code, written = on_a_terminal("run", "--minutes", "4", "--pace", "200", "--out", str(out))
    quiet = subprocess.run(
        [sys.executable, "-m", "tidalbay", "run", "--minutes", "4", "--json"],
        capture_output=True, check=True,
    )  # fmt: skip

    assert code == 0
    assert written.count(" of 04:00") >= 10
    assert "02:40  set the flow to 2 L/min" in written
    assert "In words" in written
    assert (
        json.loads(out.read_text(encoding="utf-8"))["digest"] == json.loads(quiet.stdout)["trace"]["digest"]
    )


@pytest.mark.slow
@pytest.mark.usefixtures("model")
def test_without_colour_only_weight_and_place_are_left():
    import re

    code, written = on_a_terminal("run", "--minutes", "1", "--pace", "600", NO_COLOR="1")
    styles = set(re.findall(r"\x1b\[([0-9;]*)m", written))

    assert code == 0
    assert styles <= {"", "0", "1"}


def test_a_terminal_that_cannot_be_drawn_over_gets_the_page_by_the_minute():
    code, written = on_a_terminal("run", "--minutes", "1", TERM="dumb")

    assert code == 0
    assert "01:00 " in written
    assert "\x1b[" not in written
