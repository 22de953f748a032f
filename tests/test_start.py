"""Contract: `python3 start.py` sets up once, in words, and stops with a sentence when it must.

Most tests run the real file in a small copy of the project, in a folder with a space in its name,
with one tiny package to install from a local folder: nothing here touches a network.
"""

import ast
import hashlib
import importlib.util
import json
import os
import re
import shutil
import subprocess
import sys
import zipfile
from collections import namedtuple
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).parent.parent
STARTER = CHECKOUT / "start.py"

A_COMMAND_LINE = """\
import sys
words = sys.argv[1:]
if words == ["prepare"]:
    import pebble
    sys.exit(pebble.fails_to_prepare)
print("tidalbay", *words)
sys.exit(7 if words == ["fail"] else 0)
"""


def load_starter():
    spec = importlib.util.spec_from_file_location("start", STARTER)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def write_wheel(folder: Path, version: str, fails_to_prepare: int = 0) -> str:
    """A package of one line, ready to install; returns its line for a lock file."""
    path = folder / f"pebble-{version}-py3-none-any.whl"
    with zipfile.ZipFile(path, "w") as wheel:
        wheel.writestr("pebble.py", f"version = {version!r}\nfails_to_prepare = {fails_to_prepare}\n")
        info = f"pebble-{version}.dist-info"
        wheel.writestr(f"{info}/METADATA", f"Metadata-Version: 2.1\nName: pebble\nVersion: {version}\n")
        wheel.writestr(f"{info}/WHEEL", "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n")
        wheel.writestr(f"{info}/RECORD", f"pebble.py,,\n{info}/METADATA,,\n{info}/WHEEL,,\n{info}/RECORD,,\n")
    return f"pebble=={version} --hash=sha256:{hashlib.sha256(path.read_bytes()).hexdigest()}\n"


class Lab:
    """A small copy of the project, and the wheels it can install."""

    def __init__(self, folder: Path, wheels: Path):
        self.folder, self.wheels = folder, wheels

    def lock(self, *lines: str) -> None:
        for name in ("requirements.lock", "requirements-test.lock"):
            (self.folder / name).write_text("".join(lines))

    def surroundings(self, **changes: str) -> dict[str, str]:
        kept = {name: value for name, value in os.environ.items() if not name.startswith(("PIP_", "PYTHON"))}
        kept.pop("CI", None)
        offline = {"PIP_NO_INDEX": "1", "PIP_FIND_LINKS": self.wheels.as_uri(), "PIP_CONFIG_FILE": os.devnull}
        return {**kept, **offline, "PYTHONUTF8": "1", **changes}

    def popen(self, *words: str, **changes: str) -> subprocess.Popen[str]:
        return subprocess.Popen(
            [sys.executable, str(self.folder / "start.py"), *words],
            env=self.surroundings(**changes),
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            stdin=subprocess.DEVNULL,
            text=True,
            encoding="utf-8",
        )

    def start(self, *words: str, **changes: str) -> tuple[int, str, str]:
        process = self.popen(*words, **changes)
        out, err = process.communicate(timeout=120)
        return process.returncode, out, err

    def notes(self) -> dict[str, object]:
        return json.loads((self.folder / ".venv/start.json").read_text())

    def installed_version(self) -> str:
        (path,) = (self.folder / ".venv").rglob("pebble.py")
        return re.search(r"version = '(.*)'", path.read_text())[1]


def new_lab(folder: Path) -> Lab:
    lab = Lab(folder / "skills lab", folder / "wheels")
    lab.wheels.mkdir(parents=True)
    (lab.folder / "src/tidalbay").mkdir(parents=True)
    (lab.folder / "src/tidalbay/__init__.py").write_text("")
    (lab.folder / "src/tidalbay/__main__.py").write_text(A_COMMAND_LINE)
    shutil.copy(STARTER, lab.folder)
    lab.lock(write_wheel(lab.wheels, "1.0"))
    return lab


@pytest.fixture
def fresh(tmp_path):
    """A lab that was never started."""
    return new_lab(tmp_path)


@pytest.fixture(scope="module")
def finished(tmp_path_factory):
    """A lab that was started once; what that start returned is kept beside it."""
    folder = tmp_path_factory.mktemp("finished")
    lab = new_lab(folder)
    return lab, lab.start()


@pytest.fixture
def lab(finished, tmp_path):
    """A copy of that lab, to be spoiled."""
    original, _ = finished
    shutil.copytree(original.folder, tmp_path / "moved lab", symlinks=True)
    shutil.copytree(original.wheels, tmp_path / "wheels")
    return Lab(tmp_path / "moved lab", tmp_path / "wheels")


@pytest.fixture
def starter(tmp_path, monkeypatch):
    """The starter as a module, at home in an empty folder."""
    module = load_starter()
    monkeypatch.setattr(module, "HOME", tmp_path)
    monkeypatch.delenv("CI", raising=False)
    return module


# ---------------------------------------------------------------------------------------- what goes well


def test_the_first_start_tells_what_it_does_and_then_runs_the_main_job(finished):
    _, (code, out, err) = finished

    assert code == 0
    assert out.split()[0] == "tidalbay"
    assert err.splitlines() == [
        "Making an environment in .venv, once.",
        "Fetching what Tidalbay needs, once: about 460 MB on disk.",
        "  1 of 1: pebble",
        "  unpacking and installing 1 packages",
        "Preparing the model, once.",
    ]


def test_the_second_start_does_nothing_twice_and_says_nothing(lab):
    code, out, err = lab.start("breath", "--device", "nasal_cannula")

    assert (code, out, err) == (0, "tidalbay breath --device nasal_cannula\n", "")


def test_the_exit_code_of_the_command_is_the_exit_code_of_the_start(lab):
    code, _, _ = lab.start("fail")

    assert code == 7


def test_the_folder_may_be_moved_after_it_was_set_up(lab):
    elsewhere = Lab(lab.folder.rename(lab.folder.with_name("another place")), lab.wheels)

    code, out, err = elsewhere.start("check")

    assert (code, out, err) == (0, "tidalbay check\n", "")


def test_a_changed_lock_file_is_installed_and_the_old_versions_go(lab):
    lab.lock(write_wheel(lab.wheels, "2.0"))

    code, out, err = lab.start("check")

    assert (code, out) == (0, "tidalbay check\n")
    assert "Making an environment" not in err
    assert lab.installed_version() == "2.0"


def test_the_test_command_installs_its_own_lock_file_once_and_runs_pytest(lab):
    (lab.folder / "requirements-test.lock").write_text(write_wheel(lab.wheels, "1.0") + "\n")
    (lab.folder / "src/pytest.py").write_text(
        "import os, sys; print('pytest', *sys.argv[1:], 'in', os.getcwd())"
    )

    first = lab.start("test", "-k", "curve")
    second = lab.start("test", "-k", "curve")

    assert first[:2] == (0, f"pytest -k curve in {lab.folder}\n")
    assert (
        first[2].splitlines()[0] == "Fetching what Tidalbay and its tests need, once: about 900 MB on disk."
    )
    assert second == (0, first[1], "")


def test_help_is_printed_without_setting_anything_up(fresh):
    code, out, err = fresh.start("--help")

    assert (code, err) == (0, "")
    assert "python3 start.py test" in out
    assert not (fresh.folder / ".venv").exists()


@pytest.mark.parametrize(
    ("words", "runs"),
    [
        (["check", "a case.yaml"], ["-P", "-m", "tidalbay", "check", "a case.yaml"]),
        (["test"], ["-m", "pytest"]),
        (["test", "-n", "2"], ["-m", "pytest", "-n", "2"]),
    ],
)
def test_words_are_passed_on_as_they_were_typed(starter, words, runs):
    command = starter.command_for(starter.HOME, words)

    assert command == [str(starter.interpreter(starter.HOME)), *runs]


def test_without_a_word_the_main_job_runs(starter):
    command = starter.command_for(starter.HOME, [])

    assert command[1:4] == ["-P", "-m", "tidalbay"]
    assert command[4:] == ["serve", "--demo"]


# ---------------------------------------------------------------------------- what was left behind by others


def test_a_half_made_environment_is_made_again(lab):
    (lab.folder / ".venv/start.json").write_text('{"state": "half-made"}')
    shutil.rmtree(next((lab.folder / ".venv").rglob("pebble-1.0.dist-info")))

    code, out, err = lab.start("check")

    assert (code, out) == (0, "tidalbay check\n")
    assert err.splitlines()[:2] == [
        "An earlier set-up was interrupted; beginning that part again.",
        "Making an environment in .venv, once.",
    ]
    assert lab.notes()["state"] == "whole"


def test_notes_cut_off_by_a_power_cut_count_as_half_made(starter):
    (starter.HOME / ".venv").mkdir()
    (starter.HOME / ".venv/start.json").write_text('{"state": "who')

    notes = starter.read_notes(starter.HOME)

    assert notes == {"state": "half-made"}


def test_an_environment_whose_python_was_upgraded_away_is_made_again(lab):
    notes = json.loads((lab.folder / ".venv/start.json").read_text())
    (lab.folder / ".venv/start.json").write_text(json.dumps({**notes, "python": "3.10"}))

    code, out, err = lab.start("check")

    assert (code, out) == (0, "tidalbay check\n")
    assert err.splitlines()[0] == "The Python that .venv was made with has gone or changed; making it anew."


def test_an_environment_that_somebody_else_made_is_left_alone(fresh):
    theirs = fresh.folder / ".venv/precious.txt"
    theirs.parent.mkdir()
    theirs.write_text("mine")

    code, out, err = fresh.start()

    assert (code, out) == (1, "")
    assert err == (
        f"\n{fresh.folder / '.venv'} is there already, and start.py did not make it.\n"
        "Move it away or delete it, then start again.\n"
    )
    assert theirs.read_text() == "mine"


def test_two_starts_at_once_set_up_once(fresh):
    one, two = fresh.popen("check", "one"), fresh.popen("check", "two")

    (out_one, err_one), (out_two, err_two) = one.communicate(timeout=120), two.communicate(timeout=120)

    assert (out_one, out_two) == ("tidalbay check one\n", "tidalbay check two\n")
    waiting = "Another start is setting this folder up; waiting for it to finish.\n"
    assert sorted([err_one.startswith("Making"), err_two.startswith("Making")]) == [False, True]
    assert waiting in (err_one, err_two)


# --------------------------------------------------------------------------------------- what stops set-up


def test_an_old_python_is_told_which_one_is_needed():
    pretend = (
        "import runpy, sys; sys.version_info = (3, 9, 2, 'final', 0); "
        f"runpy.run_path({str(STARTER)!r}, run_name='__main__')"
    )

    result = subprocess.run([sys.executable, "-c", pretend], capture_output=True, text=True, check=False)

    assert result.returncode == 1
    assert result.stderr == (
        f"Tidalbay needs Python 3.11 or newer; this is Python 3.9 ({sys.executable}).\n"
        "Install a newer Python, or name one you have: for example  python3.12 start.py\n"
    )


def test_an_old_python_can_read_the_file_that_tells_it_so():
    text = STARTER.read_text(encoding="utf-8")

    tree = ast.parse(text, feature_version=(3, 6))

    annotated_values = [node for node in tree.body if isinstance(node, ast.AnnAssign)]
    assert not annotated_values  # evaluated before the check could speak


@pytest.mark.parametrize("missing", ["venv", "ensurepip"])
def test_a_python_without_venv_is_told_what_to_install(starter, monkeypatch, capsys, missing):
    found = importlib.util.find_spec
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None if name == missing else found(name))

    code = starter.main([])

    assert code == 1
    assert capsys.readouterr().err == (
        "\nThis Python cannot make an environment: its venv part is missing.\n"
        "On Debian or Ubuntu, say  sudo apt install python3-venv  and start again.\n"
    )
    assert not (starter.HOME / ".venv").exists()


def test_a_folder_that_cannot_be_written_to_is_named(starter, monkeypatch, capsys):
    def refuse(path, *_):
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(os, "open", refuse)

    code = starter.main([])

    assert code == 1
    assert capsys.readouterr().err == (
        f"\nThis folder cannot be written to: {starter.HOME}\n"
        "Copy it to a place of your own (your home folder, say) and start there.\n"
    )


def test_a_nearly_full_disk_stops_set_up_before_it_begins(starter, monkeypatch):
    usage = namedtuple("usage", "total used free")
    monkeypatch.setattr(shutil, "disk_usage", lambda folder: usage(10**9, 10**9 - 21_500_000, 21_500_000))

    with pytest.raises(starter.Stop) as stop:
        starter.check_room(starter.HOME, 350)

    assert str(stop.value) == (
        f"The disk that holds {starter.HOME} is nearly full: 350 MB are needed, 21 MB are free.\n"
        "Make room and start again; what was finished is kept."
    )


def test_a_disk_that_fills_up_during_set_up_is_named(starter, monkeypatch, capsys):
    def refuse(path, *_):
        raise OSError(28, "No space left on device", str(path))

    monkeypatch.setattr(os, "open", refuse)

    code = starter.main([])

    assert code == 1
    assert capsys.readouterr().err == "\nThe disk is full. Make room and start again.\n"


def test_without_a_network_set_up_says_so_and_keeps_what_it_has(lab):
    lab.lock(write_wheel(lab.wheels, "2.0"))
    nobody_answers = {"PIP_NO_INDEX": "0", "PIP_FIND_LINKS": "", "PIP_INDEX_URL": "http://127.0.0.1:9/simple"}

    code, out, err = lab.start("check", **nobody_answers)

    assert (code, out) == (1, "")
    assert err == (
        "Fetching what Tidalbay needs, once: about 460 MB on disk.\n"
        "\nThe packages could not be fetched: no answer from the network.\n"
        "Connect this computer (only this once) and start again; what was finished is kept.\n"
        f"(The installer's own words: {lab.folder / '.venv/set-up.log'})\n"
    )
    assert lab.notes()["state"] == "whole"
    assert lab.installed_version() == "1.0"


def test_a_package_that_is_not_the_tested_one_is_not_installed(lab):
    line = write_wheel(lab.wheels, "2.0")
    lab.lock(line[:-9] + "00000000\n")

    code, out, err = lab.start("check")

    assert (code, out) == (1, "")
    assert "A package that arrived is not the one that was tested, so nothing was installed.\n" in err
    assert lab.installed_version() == "1.0"


def test_a_package_without_a_build_for_this_computer_is_named_as_such(lab):
    lab.lock("pebble==9.0 --hash=sha256:" + 64 * "0" + "\n")

    code, _, err = lab.start("check")

    python = f"{sys.version_info[0]}.{sys.version_info[1]}"
    assert code == 1
    assert f"A package has no ready-made build for Python {python} on this computer.\n" in err


@pytest.mark.parametrize(
    ("printed", "said"),
    [
        ("ERROR: [Errno 28] No space left on device", "The disk is full. Make room and start again."),
        (
            "[Errno -3] Temporary failure in name resolution\nERROR: No matching distribution found",
            "The packages could not be fetched: no answer from the network.\n"
            "Connect this computer (only this once) and start again; what was finished is kept.",
        ),
        (
            "SSLError(SSLCertVerificationError(1, '[SSL: CERTIFICATE_VERIFY_FAILED]",
            "This network looks into secure connections, and Python does not know its certificate.\n"
            "Ask those who run the network how to give it to pip (its setting is called cert),\n"
            "then start again.",
        ),
        (
            "The virtual environment was not created successfully because ensurepip is not available.",
            "This Python cannot make an environment: its venv part is missing.\n"
            "On Debian or Ubuntu, say  sudo apt install python3-venv  and start again.",
        ),
        ("something odd\nERROR: the moon is in the way\n", "Set-up stopped: ERROR: the moon is in the way"),
        ("", "Set-up stopped: the installer said nothing."),
    ],
)
def test_what_the_installer_printed_becomes_a_sentence(starter, printed, said):
    assert starter.why_it_failed(starter.HOME, printed) == said


def test_a_lock_file_that_is_missing_is_named(lab):
    (lab.folder / "requirements.lock").unlink()

    code, out, err = lab.start("check")

    assert (code, out) == (1, "")
    assert (
        err == f"\nrequirements.lock is missing from {lab.folder}: this copy is not complete. Get it again.\n"
    )


def test_a_model_that_cannot_be_prepared_is_said_and_tried_again(lab):
    lab.lock(write_wheel(lab.wheels, "3.0", fails_to_prepare=1))
    sentence = (
        "The model could not be prepared; its own words stand above. Going on with the slower,\n"
        "unprepared model, which gives the same numbers; the next start tries again.\n"
    )

    first = lab.start("check")
    second = lab.start("check")

    assert first[:2] == second[:2] == (0, "tidalbay check\n")
    assert first[2].endswith(sentence)
    assert second[2] == "Preparing the model, once.\n" + sentence


def test_a_model_that_cannot_be_prepared_stops_a_run_that_may_leave_nothing_out(lab):
    lab.lock(write_wheel(lab.wheels, "3.0", fails_to_prepare=1))

    code, out, err = lab.start("check", CI="true")

    assert (code, out) == (1, "")
    assert err.endswith("\nThe model could not be prepared; its own words stand above.\n")


# ------------------------------------------------------------------------------------------------- progress


def test_progress_counts_packages_and_leaves_out_those_of_other_computers(starter, capsys):
    progress = starter.Progress(4)
    for line in [
        "Looking in links: somewhere",
        "Ignoring colorama: markers 'sys_platform == \"win32\"' don't match your environment",
        "Collecting ruamel-yaml==0.19.1 (from -r requirements.lock (line 9))",
        "  Downloading ruamel_yaml-0.19.1-py3-none-any.whl (118 kB)",
        "Processing ./my-folder/numpy-2.3.5-cp311-cp311-linux_x86_64.whl (from -r lock (line 3))",
        "Requirement already satisfied: typer==0.29.2 in ./lib (from -r requirements.lock (line 8))",
        "Installing collected packages: ruamel-yaml, numpy",
    ]:
        progress.see(line)
    progress.close()

    assert capsys.readouterr().err.splitlines() == [
        "  1 of 3: ruamel-yaml",
        "  2 of 3: numpy",
        "  3 of 3: typer",
        "  unpacking and installing 3 packages",
    ]
