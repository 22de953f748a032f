"""Contract: results go to standard output, talk to standard error, and no end of either is a traceback."""

import json
import os
import signal
import subprocess
import sys
import time

import pytest

pytestmark = pytest.mark.skipif(os.name == "nt", reason="signals and devices of other systems")

TIDALBAY = [sys.executable, "-m", "tidalbay"]


def started(*words, **streams):
    return subprocess.Popen([*TIDALBAY, *words], stderr=subprocess.PIPE, text=True, **streams)


def test_ctrl_c_ends_with_a_word_and_130():
    process = started("run", "--minutes", "720", stdout=subprocess.DEVNULL)
    time.sleep(1.0)
    process.send_signal(signal.SIGINT)

    _, err = process.communicate(timeout=30)

    assert err.strip().splitlines()[-1] == "Stopped."
    # Stopped while a text is executed, as in the first second of imports, Python itself ends by the signal,
    # which shells count as 130 too.
    assert process.returncode in (130, -signal.SIGINT)
    assert "Traceback" not in err


def test_a_reader_who_leaves_ends_it_quietly():
    process = started("schema", stdout=subprocess.PIPE)
    first = process.stdout.readline()
    process.stdout.close()

    with process.stderr:
        err = process.stderr.read()

    assert (first, err, process.wait(timeout=30)) == ("{\n", "", 0)


def test_a_reader_who_leaves_does_not_turn_an_error_into_success(tmp_path):
    (tmp_path / "empty.yaml").write_text("", encoding="utf-8")
    ours, theirs = os.pipe()
    os.close(ours)

    process = started("check", str(tmp_path / "empty.yaml"), stdout=theirs)
    os.close(theirs)

    assert (process.communicate(timeout=30)[1], process.returncode) == ("", 1)


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no device that is always full")
def test_a_full_disk_is_told():
    with open("/dev/full", "w", encoding="utf-8") as full:
        process = started("schema", stdout=full)

        _, err = process.communicate(timeout=30)

    assert (process.returncode, err) == (
        1,
        "the disk is full, and not everything was written. Make room and try again.\n",
    )


def test_a_closed_standard_output_is_borne():
    shell = subprocess.run(
        ["/bin/sh", "-c", '"$0" -m tidalbay --version >&-', sys.executable],
        capture_output=True,
        text=True,
        check=False,
    )

    assert (shell.returncode, shell.stderr) == (0, "")


def test_a_terminal_without_our_letters_gets_others(tmp_path):
    done = subprocess.run(
        [*TIDALBAY, "run", "--minutes", "1", "--json"],
        capture_output=True,
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
        check=False,
    )

    assert done.returncode == 0
    assert json.loads(done.stdout.decode("ascii"))["case"] == "post-operative"
