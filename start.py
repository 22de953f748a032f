#!/usr/bin/env python3
"""Sets Tidalbay up in this folder, once, and starts it.  Needs Python 3.11 or newer, nothing else.

  python3 start.py                    opens the lab, a demonstration going
  python3 start.py test [ARGS]        runs the tests (ARGS go to pytest)
  python3 start.py COMMAND [ARGS]     any command of tidalbay: serve, run, breath, check and so on
  python3 start.py COMMAND --help     what a command takes

Everything goes into the folder .venv beside this file; delete that folder to begin again.
On Windows write  py start.py  where these lines say  python3 start.py.
"""

# This file must be readable by old Pythons, so that they can say they are too old: no new syntax here.
# docs/decisions/0001-a-starter-of-our-own.md tells why it exists and what it promises.

import contextlib
import errno
import hashlib
import importlib.util
import json
import os
import queue
import re
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

PYTHON = f"{sys.version_info[0]}.{sys.version_info[1]}"

if sys.version_info < (3, 11):  # noqa: UP036, old Pythons do come here
    sys.exit(
        f"Tidalbay needs Python 3.11 or newer; this is Python {PYTHON} ({sys.executable}).\n"
        "Install a newer Python, or name one you have: for example  python3.12 start.py"
    )

HOME = Path(__file__).resolve().parent
MAIN_JOB = ["serve", "--demo"]

RUNTIME_LOCK = "requirements.lock"
TEST_LOCK = "requirements-test.lock"  # holds everything in the other one, at the same versions
DISK_MB = {RUNTIME_LOCK: 460, TEST_LOCK: 900}  # measured on Linux: what each leaves on the disk


class Stop(Exception):
    """Set-up cannot go on; the words are for the person at the keyboard."""


def say(words: str) -> None:
    """Tell what is going on, without mixing it into results on standard output."""
    print(words, file=sys.stderr, flush=True)


# ------------------------------------------------------------------------------- the environment's own notes


def environment(home: Path) -> Path:
    """The folder of the environment."""
    return home / ".venv"


def interpreter(home: Path) -> Path:
    """The environment's own Python."""
    return environment(home) / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def read_notes(home: Path) -> dict[str, Any]:
    """What earlier starts wrote down: {} where the environment is absent, half-made where they broke off."""
    path = environment(home) / "start.json"
    try:
        notes = json.loads(path.read_text(encoding="utf-8"))
        return notes if isinstance(notes, dict) else {"state": "half-made"}
    except (FileNotFoundError, NotADirectoryError):
        return {}
    except ValueError:  # a power cut in the middle of writing
        return {"state": "half-made"}


def write_notes(home: Path, **changes: object) -> None:
    """Change the notes in one move, so that a crash leaves the old ones or the new ones."""
    path = environment(home) / "start.json"
    text = json.dumps({**read_notes(home), **changes}, indent=1, sort_keys=True) + "\n"
    draft = path.with_suffix(".draft")
    draft.write_text(text, encoding="utf-8")
    os.replace(draft, path)


def fingerprint(home: Path, lock: str) -> str:
    """Digest of a lock file: what is installed carries it, so that nothing is done twice."""
    try:
        return hashlib.sha256((home / lock).read_bytes()).hexdigest()
    except FileNotFoundError:
        raise Stop(f"{lock} is missing from {home}: this copy is not complete. Get it again.") from None


def is_usable(home: Path) -> bool:
    """Whether the environment was finished and its Python still starts: upgrades take it away."""
    notes = read_notes(home)
    if notes.get("state") != "whole":
        return False
    question = "import sys; print('%d.%d' % sys.version_info[:2])"
    try:
        answer = subprocess.run(
            [str(interpreter(home)), "-I", "-S", "-c", question], capture_output=True, text=True, check=False
        )
    except OSError:
        return False
    return answer.stdout.strip() == notes.get("python")


def is_installed(home: Path, lock: str) -> bool:
    """Whether what this lock names is in the environment, at these very versions."""
    return bool(read_notes(home).get("installed", {}).get(lock) == fingerprint(home, lock))


# ---------------------------------------------------------------------------------- making the environment


def bring_up(home: Path, lock: str) -> None:
    """Do whatever is still missing before a command can run; usually nothing."""
    if is_ready(home, lock):
        return
    with one_at_a_time(home):
        if not is_usable(home):
            make_environment(home)
        if not is_installed(home, lock):
            install(home, lock)
        if not read_notes(home).get("prepared"):
            prepare(home)


def is_ready(home: Path, lock: str) -> bool:
    """Whether nothing is left to do; asks without writing, so a read-only copy can be started too."""
    return is_usable(home) and is_installed(home, lock) and bool(read_notes(home).get("prepared"))


@contextlib.contextmanager
def one_at_a_time(home: Path) -> Iterator[None]:
    """Hold the set-up lock; a second start waits here.  The system lets go of it if this process dies."""
    path = home / ".start.lock"
    handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o666)
    try:
        if not try_lock(handle):
            say("Another start is setting this folder up; waiting for it to finish.")
            while not try_lock(handle):
                time.sleep(0.2)
        yield
    finally:
        os.close(handle)


def try_lock(handle: int) -> bool:
    """Take the lock if nobody holds it."""
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        return True
    except OSError as error:
        if error.errno in (errno.EACCES, errno.EAGAIN, errno.EDEADLK):
            return False
        say("This disk cannot tell two starts apart: please start only one at a time.")
        return True


def make_environment(home: Path) -> None:
    """Make .venv from nothing, clearing away what an interrupted start left."""
    for module in ("venv", "ensurepip"):
        if importlib.util.find_spec(module) is None:
            raise Stop(WITHOUT_VENV)
    folder = environment(home)
    if folder.is_symlink() or folder.exists():
        clear_away(home)
    say("Making an environment in .venv, once.")
    folder.mkdir()
    write_notes(home, state="half-made")
    base = getattr(sys, "_base_executable", None) or sys.executable
    run_quietly(home, [base, "-I", "-m", "venv", str(folder)])
    question = "import sysconfig; print(sysconfig.get_path('purelib'))"
    packages = run_quietly(home, in_environment(home, "-c", question))
    point_at_source(home, Path(packages.strip()))
    write_notes(home, state="whole", python=PYTHON, installed={}, prepared=False)


def clear_away(home: Path) -> None:
    """Remove an environment of ours that cannot be used; one of somebody else's is left alone."""
    folder = environment(home)
    notes = read_notes(home)
    if not notes:
        raise Stop(
            f"{folder} is there already, and start.py did not make it.\n"
            "Move it away or delete it, then start again."
        )
    if notes.get("state") == "whole":
        say("The Python that .venv was made with has gone or changed; making it anew.")
    else:
        say("An earlier set-up was interrupted; beginning that part again.")
    try:
        shutil.rmtree(folder)
    except OSError as error:
        raise Stop(
            f"{folder} cannot be removed ({error.strerror}).\n"
            "Close the programs that still use it, then start again."
        ) from None


def point_at_source(home: Path, packages: Path) -> None:
    """Let the environment import src/ as it stands.  A relative path survives moving the whole folder."""
    relative = os.path.relpath(home / "src", packages)
    (packages / "tidalbay-source.pth").write_text(relative + "\n", encoding="utf-8")


def in_environment(home: Path, *words: str) -> list[str]:
    """A command for the environment's Python, deaf to the user's own Python settings."""
    return [str(interpreter(home)), "-I", *words]


# ---------------------------------------------------------------------------------------------- installing


def install(home: Path, lock: str) -> None:
    """Fetch and install exactly what the lock names; every file is checked against its digest."""
    check_room(home, DISK_MB[lock])
    pinned = sum("==" in line for line in (home / lock).read_text(encoding="utf-8").splitlines())
    purpose = "what Tidalbay needs" if lock == RUNTIME_LOCK else "what Tidalbay and its tests need"
    say(f"Fetching {purpose}, once: about {DISK_MB[lock]} MB on disk.")
    command = in_environment(home, "-m", "pip", "install", "--require-hashes", "--only-binary", ":all:")
    command += ["--no-input", "--no-color", "--progress-bar", "off", "--disable-pip-version-check"]
    command += ["--retries", "3", "-r", lock]
    progress = Progress(pinned)
    output = []
    code = None
    for line in lines_as_they_come(home, command):
        if isinstance(line, int):
            code = line
        elif line is None:
            progress.tick()
        else:
            output.append(line)
            if line.startswith("Installing collected packages"):  # from here on a break leaves a mess
                write_notes(home, state="half-made")
            progress.see(line)
    progress.close()
    if code != 0:
        raise Stop(why_it_failed(home, "".join(output)))
    notes = read_notes(home)
    locks = [RUNTIME_LOCK, TEST_LOCK] if lock == TEST_LOCK else [lock]
    installed = {each: fingerprint(home, each) for each in locks}
    same = notes["installed"].get(RUNTIME_LOCK) == installed[RUNTIME_LOCK]
    write_notes(home, state="whole", installed=installed, prepared=same and notes["prepared"])


def check_room(home: Path, needed_mb: int) -> None:
    """Refuse to begin what the disk cannot hold."""
    packed_mb = needed_mb // 3  # what is fetched passes through the folder for temporary files
    for folder, share_mb in ((home, needed_mb), (Path(tempfile.gettempdir()), packed_mb)):
        free_mb = shutil.disk_usage(folder).free // 1_000_000
        if free_mb < share_mb:
            raise Stop(
                f"The disk that holds {folder} is nearly full: "
                f"{share_mb} MB are needed, {free_mb} MB are free.\n"
                "Make room and start again; what was finished is kept."
            )


def settings_for_pip() -> dict[str, str]:
    """The user's surroundings, less what would send packages somewhere else than into .venv."""
    astray = {"PIP_USER", "PIP_TARGET", "PIP_PREFIX", "PIP_ROOT", "PIP_PYTHON", "PIP_NO_BINARY"}
    return {name: value for name, value in os.environ.items() if name not in astray}


def lines_as_they_come(home: Path, command: list[str]) -> Iterator[str | int | None]:
    """Run a command and yield its lines, None for every second without one, and at last its exit code."""
    lines: queue.Queue[str | int] = queue.Queue()
    with open(environment(home) / "set-up.log", "a", encoding="utf-8") as log:
        process = subprocess.Popen(
            command, cwd=home, env=settings_for_pip(), stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, encoding="utf-8", errors="replace",
        )  # fmt: skip

        def read() -> None:
            for line in process.stdout or ():
                lines.put(line)
            lines.put(process.wait())

        reader = threading.Thread(target=read, daemon=True)
        reader.start()
        try:
            while True:
                line: str | int | None = None
                with contextlib.suppress(queue.Empty):
                    line = lines.get(timeout=1)
                if isinstance(line, str):
                    log.write(line)
                    log.flush()
                yield line
                if isinstance(line, int):
                    return
        finally:  # after Ctrl-C: the child got it too, let it tidy up before we go
            process.wait()


class Progress:
    """Turns what the installer prints into one line that moves, or into plain lines where none can move."""

    ANNOUNCED = re.compile(  # by name, or by a file that is on this computer already
        r"(?:Collecting|Requirement already satisfied:) ([\w.-]+)==|Processing .*?([\w.]+)-[^/\\]*\.whl"
    )

    def __init__(self, pinned: int) -> None:
        self.total, self.number, self.words = pinned, 0, ""
        self.moves = sys.stderr.isatty()
        self.began = time.monotonic()

    def see(self, line: str) -> None:
        """Take one line of the installer's."""
        if line.startswith("Ignoring "):  # pinned for another kind of computer
            self.total -= 1
        elif line.startswith("Installing collected packages"):
            self.show(f"  unpacking and installing {self.total} packages")
        else:
            package = self.ANNOUNCED.match(line)
            if package:
                self.number += 1
                name = (package[1] or package[2]).replace("_", "-")
                self.show(f"  {self.number} of {self.total}: {name}")

    def show(self, words: str) -> None:
        """Show what is being done now."""
        self.words = words
        if self.moves:
            self.tick()
        else:
            say(words)

    def tick(self) -> None:
        """Let the seconds run, so that a long wait is seen to be one."""
        if self.moves and self.words:
            seconds = time.monotonic() - self.began
            print(f"\r{self.words:<48} {seconds:4.0f} s ", end="", file=sys.stderr, flush=True)

    def close(self) -> None:
        """Leave the line."""
        if self.moves and self.words:
            self.tick()
            say("")


def run_quietly(home: Path, command: list[str]) -> str:
    """Run a short set-up step; its output is wanted only if it fails."""
    done = subprocess.run(command, capture_output=True, text=True, check=False, stdin=subprocess.DEVNULL)
    if done.returncode != 0:
        raise Stop(why_it_failed(home, done.stdout + done.stderr))
    return done.stdout


def prepare(home: Path) -> None:
    """Compile the model, so that the first patient need not wait for it."""
    say("Preparing the model, once.")
    command = [str(interpreter(home)), "-P", "-m", "tidalbay", "prepare"]
    done = subprocess.run(command, check=False, stdout=sys.stderr)
    if done.returncode == 0:
        write_notes(home, prepared=True)
    elif os.environ.get("CI"):
        raise Stop("The model could not be prepared; its own words stand above.")
    else:
        say(
            "The model could not be prepared; its own words stand above. Going on with the slower,\n"
            "unprepared model, which gives the same numbers; the next start tries again."
        )


# -------------------------------------------------------------------------------------- failures, in words

WITHOUT_VENV = (
    "This Python cannot make an environment: its venv part is missing.\n"
    "On Debian or Ubuntu, say  sudo apt install python3-venv  and start again."
)
DISK_FULL = "The disk is full. Make room and start again."
NO_NETWORK = (
    "The packages could not be fetched: no answer from the network.\n"
    "Connect this computer (only this once) and start again; what was finished is kept."
)

# The first row whose words appear in the installer's output tells what happened.
FAILURES = [
    (("ensurepip is not available", "No module named ensurepip", "No module named venv"), WITHOUT_VENV),
    (("No space left on device", "Errno 28", "WinError 112", "Disk quota exceeded"), DISK_FULL),
    (
        ("DO NOT MATCH THE HASHES",),
        "A package that arrived is not the one that was tested, so nothing was installed.\n"
        "Try once more on another network; if it happens again, please report it.",
    ),
    (
        ("CERTIFICATE_VERIFY_FAILED", "SSLCertVerificationError", "certificate verify failed"),
        "This network looks into secure connections, and Python does not know its certificate.\n"
        "Ask those who run the network how to give it to pip (its setting is called cert),\n"
        "then start again.",
    ),
    (
        ("Name or service not known", "name resolution", "NewConnectionError", "Connection refused",
         "ConnectTimeout", "ReadTimeout", "Read timed out", "Network is unreachable", "getaddrinfo failed",
         "nodename nor servname", "ProxyError", "Connection aborted", "Connection reset", "IncompleteRead"),
        NO_NETWORK,
    ),
    (
        ("No matching distribution found",),
        f"A package has no ready-made build for Python {PYTHON} on this computer.\n"
        "Tidalbay runs on 64-bit Python 3.11 to 3.14 under Linux (not Alpine), macOS (with an Intel chip\n"
        "up to 3.13) and Windows (on ARM from 3.12).",
    ),
    (
        ("enable long paths", "Long Path", "long path"),
        "Windows does not take paths as long as these.\n"
        "Move this folder somewhere shorter, such as C:\\tidalbay, and start again.",
    ),
    (
        ("Permission denied", "Access is denied", "Errno 13", "WinError 5"),
        "A file in .venv could not be written. Close the programs that still use it, then start again.",
    ),
]  # fmt: skip


def why_it_failed(home: Path, output: str) -> str:
    """One sentence for a failed set-up step, from what it printed."""
    words = next((words for marks, words in FAILURES if any(mark in output for mark in marks)), None)
    log = environment(home) / "set-up.log"
    if words is None:
        last = [line.strip() for line in output.splitlines() if line.strip()][-1:]
        words = "Set-up stopped: " + (last[0] if last else "the installer said nothing.")
    return f"{words}\n(The installer's own words: {log})" if log.exists() else words


def in_words(home: Path, error: OSError) -> str:
    """One sentence for what the system refused."""
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return DISK_FULL
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return (
            f"This folder cannot be written to: {home}\n"
            "Copy it to a place of your own (your home folder, say) and start there."
        )
    return f"Set-up stopped at {error.filename}: {error.strerror}."


# ------------------------------------------------------------------------------------------------- starting


def command_for(home: Path, words: list[str]) -> list[str]:
    """What runs once everything is in place."""
    if words[:1] == ["test"]:
        return [str(interpreter(home)), "-m", "pytest", *words[1:]]
    return [str(interpreter(home)), "-P", "-m", "tidalbay", *(words or MAIN_JOB)]


def hand_over(command: list[str]) -> int:
    """Become the command where the system can; elsewhere wait for it."""
    if os.name != "nt":
        sys.stdout.flush()
        os.execv(command[0], command)
    child = subprocess.Popen(command)
    while True:
        try:
            return child.wait()
        except KeyboardInterrupt:  # the child got it too and answers for itself
            continue


def main(words: list[str]) -> int:
    """Set up what is missing, then do what was asked."""
    if words[:1] in (["-h"], ["--help"], ["help"]):
        print(__doc__)
        return 0
    try:
        bring_up(HOME, TEST_LOCK if words[:1] == ["test"] else RUNTIME_LOCK)
        if words[:1] == ["test"]:
            os.chdir(HOME)
        return hand_over(command_for(HOME, words))
    except Stop as stop:
        say(f"\n{stop}")
        return 1
    except OSError as error:
        say(f"\n{in_words(HOME, error)}")
        return 1
    except KeyboardInterrupt:
        say("\nStopped. Start again to go on from here.")
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
