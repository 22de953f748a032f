"""What is in this breath? The page, and its answers."""

import asyncio
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from tidalbay.web.door import door_of, show
from tidalbay.web.explorer import AskedWronglyError, answer, asked, choices
from tidalbay.web.refusal import Refused
from tidalbay.web.routes.places import ANYBODY


async def breath_page(request: Request) -> Response:
    """GET /breath."""
    visitor = await door_of(request).need(request, *ANYBODY)
    return show(request, "breath.html", visitor, choices=choices())


async def breath_answer(request: Request) -> Response:
    """GET /breath/answer: one breath, and with `curve=yes` the same over the flows of the device."""
    door = door_of(request)
    visitor = await door.need(request, *ANYBODY)
    wait_s = door.asking.take(visitor.id)
    if wait_s:
        raise Refused(429, f"That is more than can be worked out. Ask again in {wait_s} s.", _later(wait_s))
    said: dict[str, Any] = dict(request.query_params)
    with_curve = said.pop("curve", "yes") == "yes"
    try:
        return JSONResponse(await asyncio.to_thread(answer, asked(said), with_curve))
    except AskedWronglyError as problem:
        raise Refused(400, str(problem)) from None


def _later(wait_s: int) -> dict[str, str]:
    return {"retry-after": str(wait_s)}
