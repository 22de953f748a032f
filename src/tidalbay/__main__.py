"""Lets `python -m tidalbay` stand for the command `tidalbay`."""

import sys

from tidalbay.cli import main

if __name__ == "__main__":
    sys.exit(main())
