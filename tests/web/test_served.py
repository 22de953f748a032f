"""Contract: the server as a process. Killed, it has lost nothing and goes on with the same digits."""

import random
import signal
import socket
import subprocess

import httpx2
import pytest
from tests.web.killed import (
    Served,
    log_on_disk,
    lost,
    moments,
    replayed_breath,
    surroundings,
    tap_until_killed,
    told_now,
)

PARTS = ("breath", "things", "findings")


@pytest.fixture
def served(tmp_path):
    server = Served(tmp_path)
    yield server
    if server._process is not None and server._process.poll() is None:
        server.stop()


def run(served, *more):
    return subprocess.run(
        served.command(*more), env=surroundings(), capture_output=True, text=True, timeout=90, check=False
    )


@pytest.mark.slow
def test_killed_four_times_under_load_nothing_confirmed_is_lost_and_the_digits_are_the_same(served):
    confirmed = []
    for number, after_s in enumerate(moments(random.Random(), 4)):
        served.start("--demo")
        hello = told_now(served)
        if number:
            assert hello["clock"]["state"] == "paused"
            assert "The server stopped and has started again" in hello["notice"]
        httpx2.post(
            f"{served.base}/stations/s1/clock", json={"do": "go"}, headers={"origin": served.base}, timeout=30
        ).raise_for_status()
        confirmed.append((hello, tap_until_killed(served, 3, after_s, 1000 * number)))
    served.start("--demo")
    last = told_now(served)
    served.stop()

    log = log_on_disk(served, last["station"]["attempt"])
    assert sum(len(tapped.receipts) for _, tapped in confirmed) > 4
    for hello, tapped in confirmed:
        assert lost(tapped, log) == []
        for told in [hello["breath"], *tapped.breaths[-1:]]:
            t_ms = told["clock"]["t_ms"]
            known = [entry for entry in log.entries if entry.t_ms == t_ms]
            if told["clock"]["state"] == "running" and known:
                continue  # told before or after an entry of the same millisecond: a message does not say
            again = replayed_breath(log, t_ms)
            assert {name: again[name] for name in PARTS} == {name: told[name] for name in PARTS}
    again = replayed_breath(log, last["clock"]["t_ms"])
    assert {name: again[name] for name in PARTS} == {name: last["breath"][name] for name in PARTS}


def test_it_says_where_it_is_and_closes_in_order(served):
    served.start()
    answer = httpx2.get(f"{served.base}/")
    code = served.stop(signal.SIGINT)

    assert (answer.status_code, answer.headers["location"]) == (303, "/sign-in")
    assert code == 130
    assert f"The lab is open on this computer:  {served.base}/" in served.said
    assert "Join code of the first station:" in served.said
    assert "Only this computer can reach it until its first page has a password." in " ".join(
        served.said.split()
    )
    assert served.said.rstrip().endswith("Stopped.")
    assert "Traceback" not in served.said


def test_a_port_that_is_taken_is_a_sentence(served):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", served.port))
        taken.listen()
        done = run(served)

    assert done.returncode == 1
    said = " ".join(done.stderr.split())
    assert f"Port {served.port} on 127.0.0.1 cannot be used" in said
    assert f"--port {served.port + 1}" in said
    assert "Traceback" not in done.stderr


def test_a_second_server_on_one_folder_is_a_sentence(served):
    served.start()
    other = Served(served.folder)
    done = run(other)

    assert done.returncode == 1
    assert "another server works in this folder (process " in " ".join(done.stderr.split())
    assert httpx2.get(f"{served.base}/join").status_code == 200


def test_a_folder_that_is_a_file_is_a_sentence(served):
    (served.folder / "data").write_text("not a folder")

    done = run(served)

    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    assert str(served.folder / "data") in "".join(done.stderr.split())


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("--host", "lab.local"), "--host is 'lab.local'. Write a number address"),
        (("--port", "80"), "--port is 80"),
        (("--port", "x"), "--port is x"),
    ],
)
def test_words_that_cannot_be_meant_are_refused(served, words, sentence):
    command = [word for word in served.command() if word not in ("--port", str(served.port))]
    done = subprocess.run(
        [*command, *words], env=surroundings(), capture_output=True, text=True, timeout=60, check=False
    )

    assert done.returncode == 2
    assert sentence in " ".join(done.stderr.split()).replace("'80'", "80").replace("'x'", "x")
