"""Pages about a station, and pages about the lab."""

import asyncio
from typing import Any

import segno
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from tidalbay.web.door import Door, door_of, show
from tidalbay.web.people.afternoon import JOINING_ROLES
from tidalbay.web.people.code_words import spoken
from tidalbay.web.people.visitor import Visitor

ANYBODY = ("learner", "checker", "projector", "instructor")


def page_of_station(template: str, *roles: str, shown_as: str | None = None) -> Any:
    """Return a handler for a page about one station.

    `shown_as` is the role that the page is made for: an instructor who opens it sees what that role sees.
    """

    async def page(request: Request) -> Response:
        door = door_of(request)
        visitor, station = await door.at_station(request, *roles)
        code = await asyncio.to_thread(door.afternoon.code_of, station.id, "learner")
        settings = await asyncio.to_thread(door.store.settings.all)
        told = {
            "id": station.id,
            "title": station.title,
            "code": spoken(code),
            "gas_tension_unit": settings.get("gas_tension_unit", "mmHg"),
        }
        shown = visitor
        if shown_as and visitor.role == "instructor":
            shown = Visitor(shown_as, visitor.id, station.id, visitor.may_sign_out)
        return show(request, template, shown, station=told)

    return page


def page_for(template: str, *roles: str) -> Any:
    """Return a handler for a page that needs to be told nothing."""

    async def page(request: Request) -> Response:
        visitor = await door_of(request).need(request, *roles)
        return show(request, template, visitor)

    return page


async def reach(request: Request) -> Response:
    """GET /reach: can this tablet reach me? Open to whoever got so far."""
    door = door_of(request)
    visitor = await door.visitors.of(request)
    return show(request, "reach.html", visitor, room=_room(door))


async def reached(request: Request) -> Response:
    """GET /reach.json: as little as can be, for a page that measures the way."""
    return JSONResponse({"is_here": True}, headers={"cache-control": "no-store"})


async def codes(request: Request) -> Response:
    """GET /codes: a card for every station and role, to be printed."""
    door = door_of(request)
    visitor = await door.need(request, "instructor")
    kept = {(each.station, each.role): each.code for each in await asyncio.to_thread(door.afternoon.codes)}
    base = door.room.room or door.room.here
    cards = [
        {
            "title": station.title,
            "id": station.id,
            "roles": [
                {
                    "role": role,
                    "code": spoken(kept[station.id, role]),
                    "address": f"{base}/join/{kept[station.id, role]}",
                    "image": code_image(f"{base}/join/{kept[station.id, role]}"),
                }
                for role in JOINING_ROLES
                if (station.id, role) in kept
            ],
        }
        for station in door.lab.stations.values()
    ]
    return show(request, "codes.html", visitor, cards=cards, base=base, room=_room(door))


async def station_key(request: Request) -> Response:
    """POST /stations/{id}/key: a key for scripts and sensors at this station, shown once."""
    door = door_of(request)
    _, station = await door.at_station(request, "instructor")
    key = await door.visitors.new_token("checker", station.id, door.afternoon.row.id)
    return JSONResponse({"key": key})


async def welcome(request: Request) -> Response:
    """GET /welcome: the demonstration, a step at a time, at the first station."""
    door = door_of(request)
    visitor = await door.need(request, "instructor")
    station = next(iter(door.lab.stations.values()))
    told = {"id": station.id, "title": station.title}
    return show(request, "welcome.html", visitor, station=told, room=_room(door))


def code_image(address: str) -> dict[str, Any]:
    """Return an address as a code image: the path of its dark squares, and how many there are across."""
    code = segno.make(address, error="m", micro=False)
    path = "".join(
        f"M{x} {y}h1v1h-1z" for y, row in enumerate(code.matrix) for x, dark in enumerate(row) if dark
    )
    return {"path": path, "across": len(code.matrix)}


def _room(door: Door) -> dict[str, Any]:
    return {
        "is_open": door.room.is_open,
        "addresses": [f"http://{address}:{door.room.port}" for address in door.room.addresses],
        "here": door.room.here,
        "has_password": door.visitors.has_password,
    }
