"""The debrief: what happened, the verdicts on request, another way, the report. Private by default."""

import asyncio
import time
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from tidalbay.attempt import Change
from tidalbay.records import StoredAttempt, StoreError
from tidalbay.report.page import page as report_page
from tidalbay.report.paper import paper as report_paper
from tidalbay.trace import Entry, Log
from tidalbay.web.debriefs import Laid, change_said
from tidalbay.web.door import Door, door_of, show
from tidalbay.web.guard import read_json
from tidalbay.web.people.visitor import Visitor
from tidalbay.web.refusal import Refused

PRIVATE = "A record is private: it is for the learner whose attempt it was, and for the instructor."
NO_STORE = {"cache-control": "no-store"}
MOST_LISTED = 60


async def debriefs(request: Request) -> Response:
    """GET /debrief: every attempt that is kept, the newest first."""
    door = door_of(request)
    visitor = await door.need(request, "instructor")
    return show(request, "debriefs.html", visitor, attempts=await asyncio.to_thread(_listed, door))


async def debrief(request: Request) -> Response:
    """GET /debrief/{attempt}: the page; what stands on it comes as record.json."""
    door = door_of(request)
    visitor, stored, log = await _allowed(request)
    who = await asyncio.to_thread(_who, door, log, visitor)
    case = log.acts[0].values["case"]
    told = {"id": stored.id, "title": str(case["title"]), "who": who, "ended": log.has_ended}
    return show(request, "debrief.html", visitor, attempt=told)


async def record(request: Request) -> Response:
    """GET /debrief/{attempt}/record.json: trace, acts and questions; no verdict."""
    _, laid = await _laid(request)
    return JSONResponse(laid.page(), headers=NO_STORE)


async def verdicts(request: Request) -> Response:
    """GET /debrief/{attempt}/verdicts.json: what the record says, or why that stays folded."""
    _, laid = await _laid(request)
    return JSONResponse(laid.debrief.verdicts_page(), headers=NO_STORE)


async def band(request: Request) -> Response:
    """POST /debrief/{attempt}/what-if/band: how far that change might have worked otherwise."""
    door, laid, change = await _change(request)
    if change is None:
        raise Refused(400, "A band needs a change: way, and what belongs to it.")
    return JSONResponse(await door.debriefs.band(laid, change), headers=NO_STORE)


async def another_way(request: Request) -> Response:
    """POST /debrief/{attempt}/what-if: both curves, gains and costs; `{}` changes nothing."""
    door, laid, change = await _change(request)
    return JSONResponse(await door.debriefs.other_way(laid, change), headers=NO_STORE)


async def _change(request: Request) -> tuple[Door, Laid, Change | None]:
    """Return the attempt and the change that is asked for, if it may be asked."""
    door = door_of(request)
    visitor, laid = await _laid(request)
    wait_s = door.asking.take(visitor.id)
    if wait_s:
        raise Refused(
            429,
            f"That is more than can be worked out. Ask again in {wait_s} s.",
            {"retry-after": str(wait_s)},
        )
    return door, laid, change_said(await read_json(request), laid)


async def report_pdf(request: Request) -> Response:
    """GET /debrief/{attempt}/report.pdf: two sheets for print."""
    _, laid = await _laid(request)
    return _file(await asyncio.to_thread(report_paper, laid.debrief), "application/pdf", laid, "pdf")


async def report_html(request: Request) -> Response:
    """GET /debrief/{attempt}/report.html: one page, whole in itself, to keep."""
    _, laid = await _laid(request)
    return _file((await asyncio.to_thread(report_page, laid.debrief)).encode(), "text/html", laid, "html")


def _file(content: bytes, kind: str, laid: Laid, ending: str) -> Response:
    name = f'attachment; filename="debrief-{laid.stored.id}.{ending}"'
    return Response(content, media_type=kind, headers={**NO_STORE, "content-disposition": name})


async def _laid(request: Request) -> tuple[Visitor, Laid]:
    door = door_of(request)
    visitor, stored, log = await _allowed(request)
    return visitor, await door.debriefs.of(door.lab, stored, log)


async def _allowed(request: Request) -> tuple[Visitor, StoredAttempt, Log]:
    """Return who asks and the attempt, if it is theirs to see.

    Raises
    ------
    Refused
        401 and 403 as everywhere; 403 for a learner whose attempt it was not or who is still at it.
    """
    door = door_of(request)
    visitor = await door.need(request, "instructor", "learner")
    found = await asyncio.to_thread(_stored, door, request.path_params["attempt"])
    if visitor.role == "learner":
        if found is None or not _is_own(door, visitor, *found):
            raise Refused(403, PRIVATE)  # whether it exists is nobody else's business
        if not found[1].has_ended:
            raise Refused(403, "The record is opened when the attempt has ended.")
    if found is None:
        raise Refused(
            404, "There is no such attempt in this lab. The list of debriefs leads to those there are."
        )
    return visitor, *found


def _stored(door: Door, attempt: str) -> tuple[StoredAttempt, Log] | None:
    stored = next((each for each in door.lab.store.attempts() if each.id == attempt), None)
    if stored is None:
        return None
    try:
        return stored, door.lab.store.log(attempt)
    except StoreError as problem:
        raise Refused(409, str(problem)) from None


def _first(door: Door, attempt: str) -> Entry | None:
    try:
        return door.lab.store.log(attempt).acts[0]
    except StoreError:
        return None  # it is listed all the same; its own page says what is wrong


def _is_own(door: Door, visitor: Visitor, stored: StoredAttempt, log: Log) -> bool:
    """Whether a learner's screen may look: it began the attempt, or acted in the one its station holds.

    A tablet that stays at the station is handed on with the next attempt, and what was before closes to it.
    """
    if visitor.station != stored.station:
        return False
    if log.acts[0].by == visitor.id:
        return True
    station = door.lab.stations.get(stored.station)
    is_here = station is not None and station.attempt == stored.id
    return is_here and any(act.by == visitor.id for act in log.acts[1:])


def _who(door: Door, log: Log, visitor: Visitor) -> str:
    """Whose attempt it is, in words; the name is the instructor's to see."""
    if visitor.role != "instructor":
        return "Your attempt"
    name = door.store.people.names().get(log.acts[0].by)
    return name or ""


def _listed(door: Door) -> list[dict[str, Any]]:
    names = door.store.people.names()
    titles = {id: station.title for id, station in door.lab.stations.items()}
    listed = []
    for stored in reversed(door.lab.store.attempts()):
        first = _first(door, stored.id)
        listed.append(
            {
                "id": stored.id,
                "case": str(first.values["case"]["title"]) if first else stored.case_id,
                "who": names.get(first.by if first else "", ""),
                "mode": stored.mode,
                "station": titles.get(stored.station, stored.station),
                "state": stored.state,
                "minutes": round(stored.t_ms / 60_000),
                "at": time.strftime("%d %B, %H:%M", time.localtime(stored.started_utc_ms / 1000)),
            }
        )
        if len(listed) == MOST_LISTED:
            break
    return listed
