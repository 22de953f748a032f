"""A log file as a command reads it: what is torn off is told, what cannot be read is refused in words."""

from typing import TYPE_CHECKING, Final

from tidalbay.cli.paper import talk
from tidalbay.cli.refusals import WrongInFile

if TYPE_CHECKING:
    from tidalbay.trace import Log

ENDING: Final = ".jsonl"


def log_of(path: str) -> "Log":
    """Read the log of an attempt.

    Raises
    ------
    WrongInFile
        For a log that cannot be read.
    """
    from tidalbay.catalogue.acts import act_versions
    from tidalbay.trace import LogUnreadableError, read_log

    try:
        read = read_log(path, act_versions())
    except LogUnreadableError as error:
        raise WrongInFile(str(error)) from None
    if read.torn:
        talk(read.torn)
    return read.log
