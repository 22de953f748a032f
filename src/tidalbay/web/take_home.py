"""One page that plays an attempt anywhere: recording, drawing, type and words in a single file."""

import base64
import json
import posixpath
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from markupsafe import Markup

from tidalbay.attempt import Change, what_if
from tidalbay.judge import course_of, gains_and_costs, record_of
from tidalbay.live.recording import recording
from tidalbay.report.effect_band import SPREAD, Bodies, effect_band
from tidalbay.trace import CAUTION, Log, plain
from tidalbay.web.paper.shelf import Shelf

ENTRY: Final = "pages/take-home.mjs"
SHEETS: Final = ("css/paper.css", "draw/plate.css", "css/rule.css", "css/bedside.css", "css/take-home.css")
PREFIX: Final = "tidalbay/"

_IMPORT = re.compile(r"""(\b(?:from|import)\s*)(["'])(\.{1,2}/[^"']+)\2""")
_FACE = re.compile(r"""url\("?([^")]+\.woff2)"?\)""")


@dataclass(frozen=True, slots=True)
class OtherWay:
    """A what-if that the instructor chose, in words and as a change of the log."""

    words: str
    change: Change


def take_home(
    log: Log, until_s: float, others: Sequence[OtherWay] = (), path: str | None = None, title: str = ""
) -> str:
    """The page.

    Parameters
    ----------
    log : Log
    until_s : float
        How far it plays. [s]
    others : sequence of OtherWay
        Runs with one act other than it was, computed now and played beside it.
    path : str or None
        Name of the script it was played from; captions of other paths are left out.
    title : str
        The case's own if not said.

    Raises
    ------
    ValueError
        With a sentence, for a change that is none.
    """
    case: Mapping[str, Any] = plain(log.entries[0].values["case"])
    shelf = Shelf.read()
    told = {
        "title": title or str(case["title"]),
        "teaches": str(case["teaches"]),
        "seconds": until_s,
        "captions": _captions(case, path),
        "runs": _runs(log, until_s, others),
    }
    templates = Environment(
        loader=PackageLoader("tidalbay.web"),
        autoescape=select_autoescape(default=True),
        undefined=StrictUndefined,
    )
    return templates.get_template("take-home.html").render(
        title=told["title"],
        setting=case.get("setting") or "",
        caution=CAUTION,
        css=Markup(_css(shelf)),
        modules=Markup(_import_map(shelf)),
        entry=PREFIX + ENTRY,
        recording=Markup(_json(told)),
    )


def _runs(log: Log, until_s: float, others: Sequence[OtherWay]) -> list[dict[str, Any]]:
    went = what_if(log, None, until_s).attempt.trace()
    was = course_of(record_of(log, went))
    bodies = Bodies(log, until_s)
    nothing = {"gains": [], "costs": [], "left_out": [], "band": ""}
    runs = [{"words": "As it went", **nothing, **recording(log, until_s)}]
    for other in others:
        would = what_if(log, other.change, until_s)
        trace = would.attempt.trace()
        gains, costs = gains_and_costs(was, course_of(record_of(would.attempt.log, trace)))
        band = effect_band((went, trace), bodies.both_ways(other.change), would.from_s)
        runs.append(
            {
                "words": other.words,
                "gains": list(gains),
                "costs": list(costs),
                "left_out": [why for _, why in would.left_out],
                "band": f"{band['lowest']} {SPREAD}" if band["lowest"] else "",
                **recording(would.attempt.log, until_s),
            }
        )
    return runs


def _captions(case: Mapping[str, Any], path: str | None) -> list[dict[str, Any]]:
    """Captions of the case for a path, in order. [s]"""
    from tidalbay.case.moments import ms_from_text

    said = (case.get("debrief") or {}).get("captions", ())
    mine = [each for each in said if each.get("path") in (None, path)]
    timed = [{"at_s": (ms_from_text(each["at"]) or 0) / 1000.0, "say": each["say"]} for each in mine]
    return sorted(timed, key=lambda each: each["at_s"])


def _import_map(shelf: Shelf) -> str:
    """Every module that the page needs, under a name of its own, as a map for the browser."""
    found: dict[str, str] = {}
    waiting = [ENTRY]
    while waiting:
        path = waiting.pop()
        if path in found:
            continue
        folder = posixpath.dirname(path)
        text = shelf.contents[path].decode()

        def named(match: re.Match[str], folder: str = folder) -> str:
            other = posixpath.normpath(posixpath.join(folder, match[3]))
            waiting.append(other)
            return f"{match[1]}{match[2]}{PREFIX}{other}{match[2]}"

        found[path] = _IMPORT.sub(named, text)
    imports = {PREFIX + path: _data("text/javascript", text.encode()) for path, text in sorted(found.items())}
    return _json({"imports": imports})


def _css(shelf: Shelf) -> str:
    """The sheets in one, with the faces in them."""
    parts = []
    for sheet in SHEETS:
        folder = posixpath.dirname(sheet)

        def face(match: re.Match[str], folder: str = folder) -> str:
            font = posixpath.normpath(posixpath.join(folder, match[1]))
            return f'url("{_data("font/woff2", shelf.contents[font])}")'

        parts.append(_FACE.sub(face, shelf.contents[sheet].decode()))
    return "\n".join(parts).replace("</", "<\\/")


def _data(kind: str, content: bytes) -> str:
    return f"data:{kind};base64,{base64.b64encode(content).decode()}"


def _json(said: Any) -> str:
    """JSON that cannot end the element it stands in."""
    return json.dumps(said, ensure_ascii=False, allow_nan=False, separators=(",", ":")).replace(
        "<", "\\u003c"
    )
