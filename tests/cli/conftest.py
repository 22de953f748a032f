"""Runs a command in this process, and says what it printed and how it ended."""

from dataclasses import dataclass

import pytest

from tidalbay.cli import main


@dataclass(frozen=True)
class Said:
    code: int
    out: str
    err: str

    @property
    def sentence(self) -> str:
        """What went to standard error as one line, since terminals differ in width."""
        return " ".join(self.err.split())


@pytest.fixture
def say(capfd, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")

    def _say(*words: str) -> Said:
        capfd.readouterr()
        code = main(words)
        return Said(code, *capfd.readouterr())

    return _say
