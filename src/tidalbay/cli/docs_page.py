"""Prints docs/commands.md: python -m tidalbay.cli.docs_page > docs/commands.md."""

import sys

from typer.main import get_command

from tidalbay.cli.app import app
from tidalbay.cli.guide import commands_page


def main() -> None:
    """Print the page."""
    sys.stdout.write(commands_page(get_command(app).commands))  # type: ignore[attr-defined]


if __name__ == "__main__":
    main()
