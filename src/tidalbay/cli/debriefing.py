"""The command that writes the debrief of an attempt: a page for a browser and two sheets for print."""

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Final

from tidalbay.cli.files import refuse_same, to_write, write
from tidalbay.cli.log_file import ENDING, log_of
from tidalbay.cli.paper import CAUTION, called_as, labelled, result, width, wrapped
from tidalbay.cli.refusals import CalledWrongly, WrongInFile

if TYPE_CHECKING:
    from tidalbay.report import Debrief
    from tidalbay.trace import Log

LABEL: Final = 9


def debrief(attempt: str | None, data: str | None, html: str | None, pdf: str | None) -> None:
    """Lay an attempt out, write the reports that are wanted, and print how it went.

    Parameters
    ----------
    attempt : str or None
        A log file, or with `data` the id of an attempt.
    data : str or None
        The folder in which a lab keeps its attempts.
    html, pdf : str or None
        Files to write.
    """
    if not attempt:
        raise CalledWrongly(
            f"debrief needs an attempt: {called_as()} debrief attempt.jsonl --pdf debrief.pdf"
        )
    pages = [(option, name) for option, name in (("--html", html), ("--pdf", pdf)) if name is not None]
    refuse_same([("ATTEMPT", attempt), *pages] if data is None else pages)
    paths = {option: to_write(option, name, (f".{option[2:]}",)) for option, name in pages}
    made = _of_folder(attempt, Path(data).expanduser()) if data is not None else _of_file(attempt)
    _write_pages(made, paths)
    result(page(made, list(paths.values()), width()))


def page(made: "Debrief", written: list[Path], wide: int) -> str:
    """Return how it went in a few lines, without a verdict, and what was written."""
    lines = [made.case["title"], ""]
    lines += labelled("Attempt", made.how_it_ended, wide, LABEL)
    for n, sentence in enumerate(made.course_words):
        lines += labelled("" if n else "Course", sentence, wide, LABEL)
    for n, question in enumerate(made.questions):
        lines += labelled("" if n else "Ask", question, wide, LABEL)
    lines += labelled("Caution", CAUTION, wide, LABEL)
    if not written:
        lines += [
            "",
            wrapped("Verdicts and evidence stand in the report: name a file with --pdf or --html.", wide),
        ]
    return "\n".join([*lines, *([""] if written else []), *(f"Written: {path}" for path in written)])


def _of_file(name: str) -> "Debrief":
    if Path(name).suffix != ENDING:
        raise CalledWrongly(
            f"{name} is no log: a log's name ends in {ENDING}. An attempt of a lab is named by its id, "
            "with --data and the lab's folder."
        )
    return _laid_out(log_of(name))


def _of_folder(attempt: str, folder: Path) -> "Debrief":
    from tidalbay.judge import COSTS_NOTHING
    from tidalbay.records import ActStore, StoreError
    from tidalbay.records.acts.act_file import NAME

    if not (folder / NAME).exists():
        raise WrongInFile(f"{folder} is no folder of a lab. Name the one that serve keeps its lab in.")
    try:
        store = ActStore.open(folder)
    except StoreError as error:
        raise WrongInFile(str(error)) from None
    try:
        log, kept = store.log(attempt), store.shown_trace(attempt)
        number = store.turn_of(attempt, COSTS_NOTHING)
    except StoreError as error:
        raise WrongInFile(str(error)) from None
    finally:
        store.close()
    return _laid_out(log, kept, number)


def _laid_out(log: "Log", kept: bytes | None = None, number: int | None = None) -> "Debrief":
    from tidalbay.ask import replay
    from tidalbay.engine import compile_now, source_digest
    from tidalbay.report import debrief_of, skin_each_minute
    from tidalbay.trace import trace_from_json

    shown = None if kept is None else trace_from_json(kept.decode())
    if shown is not None and log.acts[0].values["engine_digest"] != source_digest():
        return debrief_of(log, shown, number=number)  # what was shown stands, whatever the program is now
    compile_now()
    attempt = replay(log)
    return debrief_of(log, shown or attempt.trace(), skin_each_minute(attempt), number)


def _write_pages(made: "Debrief", paths: Mapping[str, Path]) -> None:
    if "--html" in paths:
        from tidalbay.report.page import page as html_page

        text = html_page(made)
        write(paths["--html"], lambda path: path.write_text(text, encoding="utf-8"))
    if "--pdf" in paths:
        from tidalbay.report.paper import paper

        pdf = paper(made)
        write(paths["--pdf"], lambda path: path.write_bytes(pdf))
