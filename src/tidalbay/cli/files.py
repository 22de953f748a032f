"""Files that a command is asked to write: looked at before the work, and written whole or not at all."""

import contextlib
import os
from collections.abc import Callable, Sequence
from pathlib import Path

from tidalbay.cli.refusals import CalledWrongly, WrongInFile, in_words


def to_write(option: str, name: str, endings: Sequence[str] = ()) -> Path:
    """Return the path to write, or refuse at once what could not be written at the end.

    Parameters
    ----------
    option : str
        The option that named it, for the sentence.
    endings : sequence of str
        What the name must end in; anything will do if empty.
    """
    path = Path(name)
    if "\0" in name:
        raise CalledWrongly(f"{option} is no name that a file can have.")
    _check(option, name, path, endings)
    if not os.access(path if path.exists() else path.absolute().parent, os.W_OK):
        raise WrongInFile(f"{name}: this place may not be written to. Name another one.")
    return path


def _check(option: str, name: str, path: Path, endings: Sequence[str]) -> None:
    if endings and path.suffix.lower() not in endings:
        wanted = " or ".join(endings)
        raise CalledWrongly(f"{option} is {name}. Its name ends in {wanted}, which says the form.")
    if path.is_dir():
        raise CalledWrongly(f"{option} is {name}, which is a folder. Name a file in it.")
    if not path.absolute().parent.is_dir():
        raise CalledWrongly(f"{option} is {name}, but there is no folder {path.parent}. Make it first.")


def write(path: Path, writer: Callable[[Path], object]) -> None:
    """Write a file in one move: a draft beside it first, so that a full disk leaves the old one whole."""
    if path.exists() and not path.is_file():  # a pipe or a device takes it as it comes
        _written(path, path, writer)
        return
    draft = path.with_name(f".{path.name}.draft")
    try:
        _written(path, draft, writer)
        os.replace(draft, path)
    except BaseException:
        with contextlib.suppress(OSError):
            draft.unlink()
        raise


def _written(path: Path, draft: Path, writer: Callable[[Path], object]) -> None:
    try:
        writer(draft)
    except OSError as error:
        error.filename = str(path)
        raise WrongInFile(in_words(error)) from None


def refuse_same(named: Sequence[tuple[str, str]]) -> None:
    """Refuse to write over a file that the same command reads or writes elsewhere."""
    seen: dict[Path, str] = {}
    for what, name in named:
        try:
            place = Path(name).resolve()
        except (OSError, ValueError, RuntimeError):
            continue
        if place in seen:
            raise CalledWrongly(f"{seen[place]} and {what} are the same file, {name}. Name two.")
        seen[place] = what
