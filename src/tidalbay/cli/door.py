"""The door itself: every command goes through it, and whatever happens comes out as a sentence."""

import contextlib
import io
import os
import sys
from collections.abc import Sequence
from typing import Final, TextIO

from tidalbay.cli.paper import called_as, leave_quietly, talk, talk_page
from tidalbay.cli.refusals import CalledWrongly, Refusal, in_words

STOPPED: Final = 130  # as shells count it: 128 and the number of the signal
SHOW_FAULTS: Final = "TIDALBAY_TRACEBACK"  # set to 1: an error of the program's own is shown in full


def main(words: Sequence[str] | None = None) -> int:
    """Do what the words say and return the exit code: 0, 1, 2 or 130.

    Parameters
    ----------
    words : sequence of str or None
        What was typed after the program's name; None reads it from the system.
    """
    _take_every_letter()
    try:
        code = _answer(sys.argv[1:] if words is None else list(words))
        sys.stdout.flush()
    except KeyboardInterrupt:
        code = STOPPED
    except Refusal as refusal:
        talk(str(refusal))
        return refusal.exit_code
    except ValueError as error:
        if not hasattr(error, "problems"):
            return _own_fault(error)
        talk_page(str(error))  # a page of what is wrong in a file, with its lines
        return 1
    except BrokenPipeError:
        leave_quietly(sys.stdout)
        return 0
    except OSError as error:
        _leave_unwritten()
        talk(in_words(error))
        return 1
    except MemoryError:
        talk("There is not enough memory for this. Ask for fewer minutes, or close other programs.")
        return 1
    except Exception as error:
        return _own_fault(error)
    if code == STOPPED:
        talk("\nStopped.")
    return code


def _answer(words: list[str]) -> int:
    from tidalbay.cli.app import CALLED_WRONGLY, STOPPED_BY_HAND, app

    try:
        code = app(args=words, prog_name=called_as(), standalone_mode=False)
    except CALLED_WRONGLY as error:
        raise _wrong_call(error) from None
    except STOPPED_BY_HAND:
        return STOPPED
    except SystemExit as leaving:  # a reader of the help who has left
        code = leaving.code
    return code if isinstance(code, int) else 0


def _wrong_call(error: Exception) -> Refusal:
    said = str(getattr(error, "message", error)).strip()
    near = getattr(error, "possibilities", None)
    if near:
        said = f"{said.rstrip('.')}. Did you mean {' or '.join(near)}?"
    context = getattr(error, "ctx", None)
    command = context.command_path if context is not None else called_as()
    return CalledWrongly(f"{said}\nWhat it takes: {command} --help")


def _own_fault(error: Exception) -> int:
    """Own up to an error of the program's; nobody else can mend it."""
    if os.environ.get(SHOW_FAULTS) == "1":
        raise error
    about = " ".join(str(error).split())[:300]
    talk(
        f"Tidalbay itself made a mistake ({type(error).__name__}: {about}).\n"
        f"It is none of yours. Please report it; with {SHOW_FAULTS}=1 set, the whole of it is shown."
    )
    return 1


def _take_every_letter() -> None:
    """Let a terminal or file that lacks a letter show a question mark instead of failing."""
    sys.stdout = sys.stdout or _nowhere()  # closed before we began
    sys.stderr = sys.stderr or _nowhere()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def _nowhere() -> TextIO:
    return open(os.devnull, "w", encoding="utf-8")


def _leave_unwritten() -> None:
    """Drop what a full or closed standard output did not take, so that the end stays quiet."""
    try:
        sys.stdout.flush()
    except OSError:
        with contextlib.suppress(OSError, ValueError):
            leave_quietly(sys.stdout)
