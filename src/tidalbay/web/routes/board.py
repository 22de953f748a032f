"""Today: one board of all stations, the line of learners, and what the room is told."""

import asyncio
from collections.abc import Awaitable, Callable
from typing import Any, Final

from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response

from tidalbay.records import GASES, StoreError
from tidalbay.trace import MODES
from tidalbay.web.door import Door, door_of, show
from tidalbay.web.guard import read_json
from tidalbay.web.people.afternoon import MOST_STATIONS, PUT_BACK, modes_that_ask
from tidalbay.web.people.code_words import spoken
from tidalbay.web.refusal import Refused
from tidalbay.web.routes.shelf import offered
from tidalbay.web.routes.signing import own_page, set_stations

MOST_NAMES: Final = 100


async def today(request: Request) -> Response:
    """GET /: the board for the instructor; everybody else goes to their own page."""
    door = door_of(request)
    visitor = await door.visitors.of(request)
    if visitor.role != "instructor":
        if door.visitors.has_password:
            return RedirectResponse(own_page(visitor), 303)
        return RedirectResponse("/sign-in" if visitor.role == "nobody" else own_page(visitor), 303)
    return show(
        request,
        "today.html",
        visitor,
        cases=await asyncio.to_thread(offered, door),
        modes=MODES,
        gases=GASES,
        put_back=PUT_BACK,
        most_stations=MOST_STATIONS,
        board=await asyncio.to_thread(_board, door),
    )


async def board(request: Request) -> Response:
    """GET /board.json: everything on Today that changes."""
    door = door_of(request)
    await door.need(request, "instructor")
    return JSONResponse(await asyncio.to_thread(_board, door), headers={"cache-control": "no-store"})


async def change(request: Request) -> Response:
    """POST /board/{what}: one change of the afternoon; the answer is the board after it."""
    door = door_of(request)
    await door.need(request, "instructor")
    said = await read_json(request)
    do = _CHANGES.get(request.path_params["what"])
    if do is None:
        raise Refused(404, f"There is nothing to change by that name; there is {', '.join(_CHANGES)}.")
    try:
        await do(door, said)
    except StoreError as problem:
        raise Refused(409, str(problem)) from None
    return JSONResponse(await asyncio.to_thread(_board, door))


# -- what can be changed --------------------------------------------------------------------


async def _add(door: Door, said: dict[str, Any]) -> None:
    names = said.get("names")
    if (
        not isinstance(names, list)
        or not 0 < len(names) <= MOST_NAMES
        or not all(isinstance(n, str) for n in names)
    ):
        raise Refused(400, f"names is a list of 1 to {MOST_NAMES} names.")
    await asyncio.to_thread(
        door.afternoon.add, [name for name in names if name.strip()], _station_or_none(door, said)
    )


async def _move(door: Door, said: dict[str, Any]) -> None:
    learner, state = _text(said, "learner"), _text(said, "state")
    if state not in ("waiting", "absent", "done"):
        raise Refused(400, "state is waiting, absent or done; who is at a station is there because it began.")
    await asyncio.to_thread(door.store.line.move, door.afternoon.row.id, learner, state)


async def _swap(door: Door, said: dict[str, Any]) -> None:
    await asyncio.to_thread(
        door.store.line.swap, door.afternoon.row.id, _text(said, "one"), _text(said, "other")
    )


async def _erase(door: Door, said: dict[str, Any]) -> None:
    await asyncio.to_thread(door.store.people.erase, _text(said, "learner"))


async def _gas(door: Door, said: dict[str, Any]) -> None:
    station, gas = _text(said, "station"), _text(said, "gas")
    if station not in door.lab.stations or gas not in GASES:
        raise Refused(400, f"Say a station of this lab, and its gas: {', '.join(GASES)}.")
    await asyncio.to_thread(door.afternoon.say_gas, station, gas)


async def _put_back(door: Door, said: dict[str, Any]) -> None:
    station, what = _text(said, "station"), _text(said, "what")
    if station not in door.lab.stations or what not in dict(PUT_BACK):
        raise Refused(400, f"Say a station of this lab, and what: {', '.join(dict(PUT_BACK))}.")
    ticked = door.put_back.setdefault(station, set())
    ticked.add(what) if said.get("is_done") is True else ticked.discard(what)


async def _stations(door: Door, said: dict[str, Any]) -> None:
    count = said.get("count")
    if isinstance(count, bool) or not isinstance(count, int) or not 1 <= count <= MOST_STATIONS:
        raise Refused(400, f"count is how many stations there are, 1 to {MOST_STATIONS}.")
    await set_stations(door, count)


async def _close(door: Door, said: dict[str, Any]) -> None:
    busy = [station.title for station in door.lab.stations.values() if station.life in ("running", "paused")]
    if busy:
        raise Refused(409, f"{', '.join(busy)}: an attempt has not ended. End it first, then close the lab.")
    await asyncio.to_thread(door.afternoon.close_and_open)
    door.visitors.forget()


async def _open_room(door: Door, said: dict[str, Any]) -> None:
    if not door.visitors.has_password:
        raise Refused(409, "Set a password on the first page; then the room can come in.")
    await door.room.open_room()


_CHANGES: Final[dict[str, Callable[[Door, dict[str, Any]], Awaitable[None]]]] = {
    "add": _add,
    "move": _move,
    "swap": _swap,
    "erase": _erase,
    "gas": _gas,
    "put-back": _put_back,
    "stations": _stations,
    "close": _close,
    "open-room": _open_room,
}


# -- what is on it --------------------------------------------------------------------------


def _board(door: Door) -> dict[str, Any]:
    line = door.afternoon.line()
    names = {each["learner"]: each["name"] for each in line}
    codes = {(each.station, each.role): each.code for each in door.afternoon.codes()}
    gas = door.afternoon.gas_here()
    came = {each["station"]: each["learner"] for each in line if each["state"] == "at_station"}
    stations = []
    for told in door.lab.board():
        id = told["id"]
        learner = told["learner"] or (came.get(id) if told["state"] != "empty" else None)
        stations.append(
            {
                **told,
                "learner": learner,
                "learner_name": names.get(learner) if learner else None,
                "code": spoken(codes.get((id, "learner"), "")),
                "next_form": door.afternoon.next_form(door.lab.stations[id]),
                "gas": gas.get(id),
                "asks_gas": [] if id in gas else modes_that_ask(door.room.is_open),
                "put_back": sorted(door.put_back.get(id, ())),
            }
        )
    return {
        "stations": stations,
        "line": line,
        "room": {
            "is_open": door.room.is_open,
            "addresses": [f"http://{address}:{door.room.port}" for address in door.room.addresses],
            "here": door.room.here,
            "has_password": door.visitors.has_password,
        },
        "notices": list(door.lab.notices),
    }


def _text(said: dict[str, Any], name: str) -> str:
    value = said.get(name)
    if not isinstance(value, str) or not value or len(value) > 200:
        raise Refused(400, f"{name} is missing; write it as text.")
    return value


def _station_or_none(door: Door, said: dict[str, Any]) -> str | None:
    station = said.get("station")
    if station is not None and station not in door.lab.stations:
        raise Refused(400, "station is one of this lab's, or left out for any.")
    return station
