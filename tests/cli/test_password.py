"""The way back for a forgotten password: at the lab's own keyboard, twice, and everybody is signed out."""

import sys

import pytest
from argon2 import PasswordHasher

from tidalbay.records import LabStore, alone_in

HOUR_MS = 3_600_000


@pytest.fixture
def folder(tmp_path):
    """A lab with a password, where an instructor and a tablet are signed in."""
    store = LabStore.open(tmp_path)
    store.settings.set_password_hash(PasswordHasher().hash("the old words"))
    store.signing_in.sign_in("of the instructor", "instructor", HOUR_MS)
    store.signing_in.sign_in("of a tablet", "learner", HOUR_MS, "s1")
    store.close()
    return tmp_path


@pytest.fixture
def typed(monkeypatch):
    """Type these at the terminal, one after the other."""

    def sit_down(*words, at_terminal=True):
        waiting = list(words)
        monkeypatch.setattr("getpass.getpass", lambda prompt: waiting.pop(0))
        monkeypatch.setattr(sys.stdin, "isatty", lambda: at_terminal, raising=False)
        return waiting

    return sit_down


def kept(folder):
    store = LabStore.open(folder)
    try:
        signed_in = [store.signing_in.who(token) for token in ("of the instructor", "of a tablet")]
        return store.settings.password_hash(), signed_in
    finally:
        store.close()


def test_a_new_password_is_asked_for_twice_and_signs_everybody_out(folder, typed, say):
    typed("short", "three small words", "three smal words", "three small words", "three small words")

    said = say("password", "--data", str(folder))

    assert (said.code, said.out) == (
        0,
        "The new password holds from the next start. Everybody is signed out; codes are as they were.\n",
    )
    assert said.sentence == (
        "A password has 8 to 200 characters; three words do well."
        " The two are not the same. Nothing was changed; type it again."
    )
    password_hash, signed_in = kept(folder)
    assert PasswordHasher().verify(password_hash, "three small words")
    assert signed_in == [None, None]


def test_a_running_lab_keeps_its_password(folder, typed, say):
    waiting = typed("three small words", "three small words")
    before = kept(folder)

    with alone_in(folder):
        said = say("password", "--data", str(folder))

    assert said.code == 1
    assert "another server works in this folder (process " in said.sentence
    assert said.sentence.endswith("A running lab keeps its password: stop it first with Ctrl-C.")
    assert (len(waiting), kept(folder)) == (2, before)


def test_nobody_is_asked_who_does_not_sit_at_the_keyboard(folder, typed, say):
    typed(at_terminal=False)

    said = say("password", "--data", str(folder))

    assert said.code == 2
    assert said.sentence == "A password is asked for at the keyboard; say this in a terminal of its own."


def test_a_folder_without_a_lab_is_a_sentence_and_stays_empty(tmp_path, typed, say):
    typed()

    said = say("password", "--data", str(tmp_path))

    assert said.code == 1
    assert "its first page sets the password" in said.sentence
    assert list(tmp_path.iterdir()) == []
