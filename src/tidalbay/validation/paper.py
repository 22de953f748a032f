"""The same page for print, as a tagged PDF that says in words what its plots show."""

import json
import tempfile
from collections.abc import Sequence
from dataclasses import asdict
from importlib.resources import files
from pathlib import Path
from typing import Any

from tidalbay.printed.look import ATTENTION, FALLBACK, HAIRLINE, INK, PAPER, QUIET, TYPEFACE
from tidalbay.printed.typesetting import FORM, typeset
from tidalbay.validation.drawing import alternative, key, svg
from tidalbay.validation.figure import Figure
from tidalbay.validation.result import Result
from tidalbay.validation.telling import (
    ABOUT_CONSTANTS,
    ABOUT_MISSED,
    ABOUT_PLOTS,
    CAUTION,
    HOW_TO_READ,
    KEY,
    TITLE,
    Told,
    counts,
    grouped,
    letters,
    missed,
    sentence,
)
from tidalbay.validation.tuned import constants


def paper(results: Sequence[Result], figures: Sequence[Figure]) -> bytes:
    """The whole page as a PDF; the same bytes from the same rows and model."""
    with tempfile.TemporaryDirectory() as folder:
        lay_out(Path(folder), results, figures)
        return typeset(Path(folder))


def lay_out(folder: Path, results: Sequence[Result], figures: Sequence[Figure]) -> None:
    """Put what the typesetter reads into a folder: the page's form, its words, its plots."""
    form = files("tidalbay.validation").joinpath("paper.typ").read_text(encoding="utf-8")
    (folder / FORM).write_text(form, encoding="utf-8")
    (folder / "key.svg").write_text(key(), encoding="utf-8")
    for figure in figures:
        (folder / f"{figure.id}.svg").write_text(svg(figure, "told beside it"), encoding="utf-8")
    (folder / "data.json").write_text(json.dumps(_said(results, figures)), encoding="utf-8")


def _said(results: Sequence[Result], figures: Sequence[Figure]) -> dict[str, Any]:
    look = {"paper": PAPER, "ink": INK, "quiet": QUIET, "hairline": HAIRLINE, "attention": ATTENTION}
    return {
        "title": TITLE,
        "caution": CAUTION,
        "look": {**look, "fonts": [TYPEFACE, FALLBACK]},
        "counts": counts(results),
        "how": HOW_TO_READ,
        "about_missed": ABOUT_MISSED,
        "about_plots": ABOUT_PLOTS,
        "about_constants": ABOUT_CONSTANTS,
        "key": KEY,
        "missed": [asdict(row) for row in missed(results)],
        "figures": [
            {
                "file": f"{figure.id}.svg",
                "title": figure.title,
                "caption": figure.caption,
                "alt": f"{figure.title}. {alternative(figure)}",
                "letters": letters(figure),
            }
            for figure in figures
        ],
        "groups": [
            {
                "title": title,
                "studies": [
                    {"source": source, "rows": [{**asdict(row), "about": _about(row)} for row in rows]}
                    for source, rows in studies
                ],
            }
            for title, studies in grouped(results)
        ],
        "constants": [{**asdict(each), "tested_on": each.tested_on or ()} for each in constants()],
    }


def _about(row: Told) -> str:
    ours = " Pattern ours." if row.is_pattern_ours else ""
    return f"{sentence(row.conditions)}{ours} Tolerance: {row.why_tolerance}."
