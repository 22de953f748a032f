"""What the record says of a station's attempt so far, for those who judge it."""

import asyncio

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from tidalbay.judge import COSTS_NOTHING
from tidalbay.live import StationRefused
from tidalbay.live.wire import verdicts_told
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
    number = await asyncio.to_thread(door.lab.store.turn_of, station.attempt or "", COSTS_NOTHING)
    told = await asyncio.to_thread(verdicts_told, log, trace, number)
    return JSONResponse(told, headers={"cache-control": "no-store"})
