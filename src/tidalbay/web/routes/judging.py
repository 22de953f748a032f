"""What the record says of a station's attempt so far, for those who judge it."""

import asyncio
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from tidalbay.judge import COSTS_NOTHING, judge_attempt
from tidalbay.live import StationRefused
from tidalbay.records import ActStore
from tidalbay.report import why_folded
from tidalbay.trace import Log, Trace
from tidalbay.web.door import door_of
from tidalbay.web.refusal import Refused


async def verdicts(request: Request) -> Response:
    """GET /stations/{id}/verdicts.json: each criterion with its verdict and why, or why they stay folded."""
    door = door_of(request)
    visitor, station = await door.at_station(request, "checker", "instructor")
    wait_s = door.asking.take(visitor.id)
    if wait_s:
        raise Refused(
            429, f"That is more than can be judged. Ask again in {wait_s} s.", {"retry-after": str(wait_s)}
        )
    try:
        log, trace = await station.recorded()
    except StationRefused as refused:
        raise Refused(409, str(refused)) from None
    told = await asyncio.to_thread(_judged, log, trace, door_of(request).lab.store, station.attempt or "")
    return JSONResponse(told, headers={"cache-control": "no-store"})


def _judged(log: Log, trace: Trace, store: ActStore, attempt: str) -> dict[str, Any]:
    judged = judge_attempt(log, trace, store.turn_of(attempt, COSTS_NOTHING))
    folded = why_folded(judged.record, judged.criteria)
    turn = list(judged.outcome.turn[:1])  # what follows from it would tell how it went
    if folded:
        return {"folded": folded, "turn": turn, "criteria": [], "outcome": None}
    plain = judged.as_plain()
    turn = list(judged.outcome.turn)
    return {"folded": "", "turn": turn, "criteria": plain["criteria"], "outcome": plain["outcome"]}
