"""The shelf as people choose from it: on Today, and by a learner who practises alone."""

import asyncio
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from tidalbay.case import Case, CaseErrors
from tidalbay.web.demonstration import CASE
from tidalbay.web.door import Door, door_of


async def cases_json(request: Request) -> Response:
    """GET /cases.json: what can be practised, each by title and in a line."""
    door = door_of(request)
    await door.need(request, "learner", "instructor")
    return JSONResponse(
        {"cases": await asyncio.to_thread(offered, door)}, headers={"cache-control": "no-store"}
    )


def offered(door: Door) -> list[dict[str, Any]]:
    """Return the cases that can be played; one with errors is left out, and its check says why."""
    found = []
    for id in sorted(door.lab.cases, key=lambda id: id != CASE):  # the one that everybody knows comes first
        try:
            case: Case = door.lab.cases[id]
        except CaseErrors:
            words = f"The case {id} has errors and is left out; tidalbay check {id} names them."
            if words not in door.lab.notices:
                door.lab.notices.append(words)
            continue
        found.append(
            {
                "id": case.id,
                "title": case.title,
                "line": _line(case),
                "minutes": case.minutes,
                "forms": list(case.form_ids),
            }
        )
    return found


def _line(case: Case) -> str:
    """Who lies there, and the first thing that is heard of them; nothing of what the case teaches."""
    who, says = case.patient.name, case.patient.says
    if not says:
        return f"{who}. {case.setting or ''}".strip()
    return f"{who} {says}" if says.startswith("(") else f"{who}: “{says}”"  # what is done instead of speaking
