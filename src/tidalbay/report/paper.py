"""The report for print: two sheets, as a tagged PDF that says in words what its drawing shows."""

import json
import re
import tempfile
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

from tidalbay.judge.words import clock
from tidalbay.printed.look import ATTENTION, FALLBACK, HAIRLINE, INK, QUIET, TYPEFACE
from tidalbay.printed.typesetting import FORM, typeset
from tidalbay.report.debriefing import Debrief
from tidalbay.report.drawing import TITLE, alternative, svg
from tidalbay.report.telling import (
    STEPS,
    act_rows,
    facts,
    small_print,
    title,
    verdict_rows,
)
from tidalbay.trace import CAUTION

SHEETS: Final = 2
SIZES_PT: Final = (8.4, 7.8, 7.2)  # tried from the largest until it fits on two sheets; never smaller


def paper(debrief: Debrief) -> bytes:
    """The report as a PDF; the same bytes from the same attempt."""
    made = b""
    with tempfile.TemporaryDirectory() as folder:
        for size_pt in SIZES_PT:
            lay_out(Path(folder), debrief, size_pt)
            made = typeset(Path(folder))
            if sheets_of(made) <= SHEETS:
                break
    return made


def sheets_of(pdf: bytes) -> int:
    """How many sheets a PDF of ours has."""
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


def lay_out(folder: Path, debrief: Debrief, size_pt: float = SIZES_PT[0]) -> None:
    """Put what the typesetter reads into a folder: the report's form, its words, its drawing."""
    form = files("tidalbay.report").joinpath("paper.typ").read_text(encoding="utf-8")
    (folder / FORM).write_text(form, encoding="utf-8")
    (folder / "strips.svg").write_text(svg(debrief, "told beside it"), encoding="utf-8")
    (folder / "data.json").write_text(json.dumps(_said(debrief, size_pt)), encoding="utf-8")


def _said(debrief: Debrief, size_pt: float) -> dict[str, Any]:
    look = {"ink": INK, "quiet": QUIET, "hairline": HAIRLINE, "attention": ATTENTION}
    return {
        "title": title(debrief),
        "caution": CAUTION,
        "look": {**look, "fonts": [TYPEFACE, FALLBACK]},
        "size": size_pt,
        "facts": facts(debrief),
        "course": debrief.course_words,
        "strips": {"title": TITLE, "alt": f"{TITLE}. {alternative(debrief)}"},
        "acts": act_rows(debrief),
        "questions": debrief.questions,
        "prompts": [] if debrief.folded else [_prompt(each.as_plain()) for each in debrief.prompts],
        "folded": debrief.folded,
        "outcome": [] if debrief.folded else debrief.outcome_words,
        "verdicts": [] if debrief.folded else verdict_rows(debrief),
        "small": small_print(),
    }


def _prompt(told: dict[str, Any]) -> dict[str, Any]:
    return {"at": clock(told["at_s"]), "steps": [[words, told[step]] for step, words in STEPS]}
