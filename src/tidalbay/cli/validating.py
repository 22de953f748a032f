"""The command that holds the model against published measurements and writes the page of it."""

import contextlib
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final

from tidalbay.cli.files import refuse_same, to_write, write
from tidalbay.cli.paper import CAUTION, labelled, result, result_json, talk, width, wrapped

if TYPE_CHECKING:
    from tidalbay.validation import Result

    Progress = Callable[[int, int, str], None]

HTML: Final = "validation.html"
PDF: Final = "validation.pdf"
LABEL: Final = 13


def validate(as_json: bool, html: str | None, pdf: str | None) -> None:
    """Ask the model every row, write the pages that are wanted, and print what came of it.

    Parameters
    ----------
    as_json : bool
        Print rows for a program; pages are then written only where they are named.
    html, pdf : str or None
        Files to write; with neither named and no JSON, both under their usual names here.
    """
    if not as_json and html is None and pdf is None:
        html, pdf = HTML, PDF
    pages = [(option, name) for option, name in (("--html", html), ("--pdf", pdf)) if name is not None]
    refuse_same(pages)
    paths = {option: to_write(option, name, (f".{option[2:]}",)) for option, name in pages}
    results = _asked()
    if paths:
        _write_pages(results, paths.get("--html"), paths.get("--pdf"))
    if as_json:
        _print_json(results)
    else:
        result(page(results, list(paths.values())))


def page(results: "Sequence[Result]", written: Sequence[Path]) -> str:
    """Return what came of it: counts, every miss, and what was written."""
    from tidalbay.validation.telling import counts, missed

    wide = width()
    lines = [*(wrapped(sentence, wide) for sentence in counts(results)), ""]
    for row in missed(results):
        said = f"{row.quantity}: published {row.published}, model {row.model} ({row.standing})"
        lines += labelled("missed", said, wide, LABEL)
    lines += ["", *labelled("Caution", CAUTION, wide, LABEL)]
    lines += ["", *(f"Written: {path}" for path in written)] if written else []
    return "\n".join(lines)


def _asked() -> "list[Result]":
    from tidalbay.engine import is_kept
    from tidalbay.validation import validate as ask_all

    if not is_kept():
        talk("Preparing the model first: about ten seconds more.")
    with _progress("rows") as told:
        return ask_all(told)


def _write_pages(results: "Sequence[Result]", html: Path | None, pdf: Path | None) -> None:
    from tidalbay.validation.figures import figures

    with _progress("plots") as told:
        drawn = figures(results, told)
    if html is not None:
        from tidalbay.validation.page import page as html_page

        text = html_page(results, drawn)
        write(html, lambda path: path.write_text(text, encoding="utf-8"))
    if pdf is not None:
        from tidalbay.validation.paper import paper

        made = paper(results, drawn)
        write(pdf, lambda path: path.write_bytes(made))


def _print_json(results: "Sequence[Result]") -> None:
    from tidalbay.validation import summary

    result_json(
        {
            "rows": [each.as_plain() for each in results],
            "summary": summary(results).as_plain(),
            "caution": CAUTION,
        },
        indent=2,
    )


@contextlib.contextmanager
def _progress(what: str) -> "Iterator[Progress]":
    """A bar on standard error while there is a terminal to draw it on; nothing otherwise."""
    if not sys.stderr.isatty():
        yield lambda done, of, coming: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

    columns = (
        TextColumn(f"{what:<6}"),
        BarColumn(bar_width=28),
        MofNCompleteColumn(),
        TextColumn("{task.description}"),
    )
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=None)
        yield lambda done, of, coming: bar.update(task, completed=done, total=of, description=coming[:60])
