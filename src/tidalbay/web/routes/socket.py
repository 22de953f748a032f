"""The socket of a station: messages out, nothing in."""

import asyncio
import contextlib
from collections.abc import AsyncGenerator
from typing import Any, Final, cast

from starlette.websockets import WebSocket, WebSocketDisconnect

from tidalbay.live import Station
from tidalbay.web.door import Door, door_of
from tidalbay.web.people.visitor import NOBODY, Visitor

NOT_JOINED: Final = 4401
NOT_YOURS: Final = 4403
NO_STATION: Final = 4404
NOTHING_IN: Final = 4400
TOO_MANY: Final = 4429
MOST_SCREENS: Final = 40  # of one role at one station; a class with a tablet each
MOST_REASON_BYTES: Final = 123  # what a closing frame holds

LOOKED_DOWN: Final = ("learner", "checker", "projector")


async def live(socket: WebSocket) -> None:
    """Serve /live/{station}?after=SEQ&screen=ID, and `as=ROLE` for an instructor who shows a role's page."""
    door = door_of(socket)
    visitor = await door.visitors.of(socket)
    await socket.accept()
    id = socket.path_params["id"]
    refused = _why_not(door, visitor, id)
    if refused is not None:
        await _close(socket, *refused)
        return
    station = door.lab.stations[id]
    role = visitor.role
    if role == "instructor" and socket.query_params.get("as") in LOOKED_DOWN:
        role = socket.query_params["as"]
    screen = socket.query_params.get("screen", "")[:100]
    telling = asyncio.create_task(
        _tell(socket, door, station, role, _after(socket), screen if screen.isprintable() else "")
    )
    hearing = asyncio.create_task(_hear(socket))
    try:
        await asyncio.wait((telling, hearing), return_when=asyncio.FIRST_COMPLETED)
    finally:
        telling.cancel()
        hearing.cancel()
        await asyncio.gather(telling, hearing, return_exceptions=True)


async def _tell(socket: WebSocket, door: Door, station: Station, role: str, after: int, screen: str) -> None:
    visitor = await door.visitors.of(socket)
    followed = cast(AsyncGenerator[dict[str, Any]], station.follow(role, after, screen, visitor.id))
    with contextlib.suppress(WebSocketDisconnect, RuntimeError):
        async with contextlib.aclosing(followed) as messages:
            async for message in messages:
                if await door.visitors.of(socket) != visitor:
                    await _close(
                        socket, NOT_JOINED, "This lab has closed. Join again with the station's code."
                    )
                    return
                await socket.send_text(door.texts.text(station.id, role, message))
        await _close(socket, 1001, "The lab has closed.")


async def _hear(socket: WebSocket) -> None:
    """Pages only listen; whatever comes ends the line, and nothing else."""
    with contextlib.suppress(WebSocketDisconnect, RuntimeError):
        message = await socket.receive()
        if message["type"] == "websocket.receive":
            await _close(
                socket, NOTHING_IN, "Nothing is taken here; hands speak through POST /stations/{id}/acts."
            )


async def _close(socket: WebSocket, code: int, reason: str) -> None:
    short = reason.encode()[:MOST_REASON_BYTES].decode(errors="ignore")
    with contextlib.suppress(WebSocketDisconnect, RuntimeError):
        await socket.close(code, short)


def _why_not(door: Door, visitor: Visitor, id: str) -> tuple[int, str] | None:
    """Why this visitor may not listen to a station, as a closing code and a sentence."""
    if visitor.role == NOBODY:
        return NOT_JOINED, "This screen has not joined. Join with the station's code."
    if not visitor.may_see(id):
        return NOT_YOURS, "This screen has joined another station. Join this one with its own code."
    station = door.lab.stations.get(id)
    if station is None:
        return NO_STATION, "There is no such station in this lab."
    if station.board()["screens"].count(visitor.role) >= MOST_SCREENS:
        return TOO_MANY, f"{MOST_SCREENS} screens of this kind listen to this station already; close one."
    return None


def _after(socket: WebSocket) -> int:
    said = socket.query_params.get("after", "0")
    return int(said) if said.isascii() and said.isdigit() and len(said) <= 15 else 0
