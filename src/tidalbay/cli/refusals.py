"""What a command may not do, as exceptions that carry the sentence and the exit code."""

import errno


class Refusal(Exception):
    """A command that stops with a sentence for the person at the keyboard."""

    exit_code = 1


class WrongInFile(Refusal):
    """Something in a file of the user's is wrong, or the file cannot be had."""

    exit_code = 1


class CalledWrongly(Refusal):
    """The command was called with words that it cannot take."""

    exit_code = 2


def in_words(error: OSError) -> str:
    """Return one sentence for what the system refused."""
    where = f"{error.filename}: " if error.filename else ""
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return f"{where}the disk is full, and not everything was written. Make room and try again."
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return f"{where}this place may not be written to or read. Name another one."
    why = error.strerror or str(error)
    return f"{where}{why[:1].lower()}{why[1:]}."
