"""The command line: one of the two doors to the whole, and nothing imports it.

In come words typed at a terminal.  Out go pages on standard output, talk on standard error, and an
exit code: 0 done, 1 something in a file is wrong, 2 called wrongly, 130 stopped by hand.

Public names: `main`.
"""

from tidalbay.cli.door import main

__all__ = ["main"]
