"""Contract: what the whole tree promises its readers, whoever adds to it.

These rules are about files, not about behaviour: nothing in the tree points at one machine, every
room introduces itself, every equation says its unit and its source, and the first page can be
followed by somebody who has only Python.
"""

import ast
import os
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).parent.parent
SOURCE = CHECKOUT / "src" / "tidalbay"
LOCKS = ["requirements.lock", "requirements-test.lock"]

NOT_OURS = {".git", ".venv", "__pycache__", "build", "dist", "out", "node_modules"}
TEXT = {".py", ".md", ".toml", ".yaml", ".yml", ".json", ".jsonl", ".csv", ".lock", ".txt", ".sh", ".cfg", ""}


def files_of_the_tree() -> Iterator[Path]:
    for folder, folders, names in os.walk(CHECKOUT):
        folders[:] = [
            name for name in folders if name not in NOT_OURS and not name.endswith(("_cache", ".egg-info"))
        ]
        folders[:] = [name for name in folders if not name.startswith(".") or name == ".ci"]
        yield from (Path(folder) / name for name in names)


def texts_of_the_tree() -> Iterator[tuple[str, str]]:
    for path in files_of_the_tree():
        if path.suffix in TEXT and not path.name.startswith("."):
            yield path.relative_to(CHECKOUT).as_posix(), path.read_text(encoding="utf-8")


def rooms() -> list[str]:
    return sorted(path.parent.name for path in SOURCE.glob("*/__init__.py"))


def science_functions() -> list[tuple[str, ast.FunctionDef, str]]:
    found = []
    for path in sorted((SOURCE / "science").glob("*.py")):
        if path.name == "jit.py":  # marks and compiles functions; computes nothing
            continue
        around = words_outside_functions(path)
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                found.append((f"{path.stem}.{node.name}", node, around))
    return found


def words_outside_functions(path: Path) -> str:
    """A module's docstring, constants and their comments: what is said there holds for all its functions."""
    text = path.read_text(encoding="utf-8")
    inside = {
        number
        for node in ast.parse(text).body
        if isinstance(node, ast.FunctionDef)
        for number in range(node.lineno, (node.end_lineno or node.lineno) + 1)
    }
    return "\n".join(line for number, line in enumerate(text.splitlines(), 1) if number not in inside)


# ------------------------------------------------------------------------------------------------ lock files


@pytest.mark.parametrize("lock", LOCKS)
def test_lock_files_name_no_host(lock):
    text = (CHECKOUT / lock).read_text(encoding="utf-8")

    assert not re.findall(r"\S*(?:://|@|--index|--find-links|-i )\S*", text)
    assert not re.findall(r"\b[\w-]+\.(?:org|com|net|io)\b", text)


@pytest.mark.parametrize("lock", LOCKS)
def test_everything_in_a_lock_file_is_pinned_and_has_its_digests(lock):
    entries = (CHECKOUT / lock).read_text(encoding="utf-8").replace("\\\n", " ").splitlines()

    assert len(entries) > 10
    for entry in entries:
        assert re.match(r"[a-z0-9-]+==[\w.]+ (?:; [^#]+?)? *(?:--hash=sha256:[0-9a-f]{64} *)+$", entry), entry


def test_the_tests_run_on_the_very_versions_that_users_get():
    runtime, with_tests = (
        set(re.findall(r"^([a-z0-9-]+==\S+)", (CHECKOUT / lock).read_text(encoding="utf-8"), re.M))
        for lock in LOCKS
    )

    assert runtime < with_tests


def test_every_declared_dependency_is_in_the_lock_that_installs_it():
    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))
    groups = project["dependency-groups"]
    wanted = {
        "requirements.lock": project["project"]["dependencies"],
        "requirements-test.lock": [each for group in groups.values() for each in group],
    }

    for lock, requirements in wanted.items():
        pinned = set(re.findall(r"^([a-z0-9-]+)==", (CHECKOUT / lock).read_text(encoding="utf-8"), re.M))
        for requirement in requirements:
            name = re.split(r"[<>=\[ ;]", requirement)[0].lower().replace(".", "-").replace("_", "-")
            assert name in pinned, f"{requirement} is not in {lock}; CONTRIBUTING.md says how to renew it"


# ------------------------------------------------------------------------------------------------- the tree


def test_nothing_in_the_tree_points_at_a_place_on_one_machine():
    # Absolute paths that every system of a kind has, and those of a mouse-eaten C:\ in an example.
    everywhere = ("/usr/", "/bin/", "/etc/", "/dev/", "/proc/", "/sys/")
    # And addresses of the lab's own server, which are no places on a disk.
    served = ("/stations/", "/station/", "/bedside/", "/check-off/", "/practice/", "/paper/", "/debrief/")
    served += ("/breath/", "/board/", "/join/", "/live/", "/static/")
    absolute = re.compile(r"(?<![\w.,:;/\\)\]}>%°²³*+-])(/[A-Za-z_][\w.-]*/)(?=[\w.])")
    personal = re.compile(r"[A-Z]:\\Users\\\w+")

    found = []
    for name, text in texts_of_the_tree():
        if name == "LICENSE":
            continue
        places = [match[1] for match in absolute.finditer(text)] + personal.findall(text)
        found += [f"{name}: {place}" for place in places if not place.startswith(everywhere + served)]

    assert not found


def test_no_file_is_named_for_having_no_subject():
    shapeless = {"utils", "util", "helpers", "helper", "common", "manager", "managers", "misc", "shared"}

    found = [path.relative_to(CHECKOUT).as_posix() for path in files_of_the_tree() if path.stem in shapeless]
    found += [room for room in rooms() if room in shapeless]

    assert not found


def test_no_work_is_left_open_in_the_code():
    # Spelled in two halves, so that this very line is not one.
    open_work = re.compile("|".join(["TO" + "DO", "FIX" + "ME", "X" + "XX"]))

    found = [name for name, text in texts_of_the_tree() if name.endswith(".py") and open_work.search(text)]

    assert not found


# -------------------------------------------------------------------------------------------------- the rooms


@pytest.mark.parametrize("room", rooms())
def test_every_room_introduces_itself_in_sentences_and_lists_what_it_offers(room):
    module = ast.parse((SOURCE / room / "__init__.py").read_text(encoding="utf-8"))
    words = ast.get_docstring(module) or ""
    names = [ast.unparse(node.targets[0]) for node in module.body if isinstance(node, ast.Assign)]

    sentences = re.findall(r"[^.!?]{15,}?[.!?](?=\s|$)", " ".join(words.split()))

    assert len(sentences) >= 3, f"{room}/__init__.py: what is it for, what comes in, what goes out?"
    assert words[0].isupper()
    assert words.rstrip().endswith((".", "!", "?"))
    assert "__all__" in names, f"{room}/__init__.py lists no public names"


# A publication by its year or number, or plain words that there is none and why.
SOURCES = re.compile(
    r"doi|\b(?:18|19|20)\d\d\b|\bISO \d|^References$|[Bb]y definition|[Cc]onservation of|turned round"
    r"|common practice, no source|from memory|[Aa]ssumed|by us\b",
    re.M,
)


@pytest.mark.parametrize(
    ("name", "function", "around"), [pytest.param(*row, id=row[0]) for row in science_functions()]
)
def test_every_science_function_says_its_unit_and_its_source(name, function, around):
    own_words = ast.get_docstring(function) or ""

    assert own_words, f"{name} has no docstring"
    assert re.search(r"\[[^\]]+\]", own_words), f"{name} states no unit, such as [mmHg] or [1]"
    assert SOURCES.search(own_words) or SOURCES.search(around), (
        f"{name} names no source. Name the publication with its year under References, or write one of: "
        "by definition; conservation of ...; common practice, no source; from memory; assumed; fitted by us"
    )


def test_there_are_science_functions_to_hold_to_that():
    names = [name for name, _, _ in science_functions()]

    assert len(names) > 20


# --------------------------------------------------------------------------------------------- the first page


def test_the_first_page_opens_with_the_job_then_the_caution_then_two_commands():
    page = (CHECKOUT / "README.md").read_text(encoding="utf-8")
    title, job, caution = page.split("\n\n")[:3]
    commands = re.findall(r"^ *(?:\$ )?(python3 start\.py.*)$", page, re.M)

    assert re.fullmatch(r"# Tidalbay", title)
    assert len(job) > 300
    assert "instructor" in job
    assert not job.startswith(("#", "-", "*", ">", "`"))
    assert "not for the care of a patient" in caution
    assert commands[:2] == ["python3 start.py", "python3 start.py test"]


def test_every_link_between_pages_leads_somewhere():
    broken = []
    for name, text in texts_of_the_tree():
        if name.endswith(".md"):
            for target in re.findall(r"\]\(([^)#\s]+)(?:#[^)]*)?\)", text):
                if "://" not in target and not (CHECKOUT / name).parent.joinpath(target).exists():
                    broken.append(f"{name}: {target}")

    assert not broken


def test_the_page_of_words_names_every_room():
    page = (CHECKOUT / "docs/glossary.md").read_text(encoding="utf-8")

    missing = [room for room in rooms() if f"`{room}`" not in page]

    assert not missing
