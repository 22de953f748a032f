"""A new password for whoever sits at the lab's own computer: the way back when the old one is forgotten."""

import getpass
import sys
from pathlib import Path
from typing import Final

from tidalbay.cli.paper import result, talk
from tidalbay.cli.refusals import CalledWrongly, Refusal
from tidalbay.cli.serving import data_folder

DATABASE: Final = "lab.db"


class NoPassword(Refusal):
    """The password cannot be set here; the sentence says why."""


def password(data: Path | None) -> None:
    """Ask for a new password, twice, and sign out everybody who was let in by the old one or by a code.

    Parameters
    ----------
    data : Path or None
        The data folder; None for the user's own.
    """
    from tidalbay.records import LabStore, StoreError, alone_in

    folder = data or data_folder()
    if not (folder / DATABASE).is_file():
        raise NoPassword(
            f"No lab has been opened in {folder} yet; its first page sets the password. A lab that keeps its"
            " data elsewhere is named with --data."
        )
    if not sys.stdin.isatty():
        raise CalledWrongly("A password is asked for at the keyboard; say this in a terminal of its own.")
    try:
        with alone_in(folder):
            store = LabStore.open(folder)
            try:
                store.settings.set_password_hash(_hashed(_asked()), everybody=True)
            finally:
                store.close()
    except StoreError as problem:
        raise NoPassword(f"{problem} A running lab keeps its password: stop it first with Ctrl-C.") from None
    result("The new password holds from the next start. Everybody is signed out; codes are as they were.")


def _asked() -> str:
    from tidalbay.web.people.visitors import LONGEST_PASSWORD, SHORTEST_PASSWORD

    while True:
        first = getpass.getpass("New password of the instructor (nothing is shown): ")
        if not SHORTEST_PASSWORD <= len(first) <= LONGEST_PASSWORD:
            talk(f"A password has {SHORTEST_PASSWORD} to {LONGEST_PASSWORD} characters; three words do well.")
        elif getpass.getpass("The same once more: ") != first:
            talk("The two are not the same. Nothing was changed; type it again.")
        else:
            return first


def _hashed(said: str) -> str:
    from argon2 import PasswordHasher

    return PasswordHasher().hash(said)
