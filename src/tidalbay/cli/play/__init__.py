"""A case played at the command line: live on a terminal, by the minute on paper, or for a program.

In come what was asked of one run and a case.  Out go a page that tells acts, events, readings and two
curves, a summary in words, and the files that were asked for.

Public names: `Wishes`, `play`.
"""

from tidalbay.cli.play.command import Wishes, play

__all__ = ["Wishes", "play"]
