"""What hands, judges and clocks tell a station: POST /stations/{id}/acts, marks, clock, start, next, end."""

import asyncio
from collections.abc import Awaitable, Callable
from typing import Any, Final

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from tidalbay.case import Case, CaseErrors, in_form
from tidalbay.equipment import ActRefused
from tidalbay.live import Station, StationRefused, Who, act_said, clock_said, is_whose, mark_said
from tidalbay.records import StoreError
from tidalbay.trace import MODES, LogRefusedError, Receipt
from tidalbay.web.door import Door, door_of
from tidalbay.web.guard import STATION_KEY, read_json
from tidalbay.web.people.visitor import Visitor
from tidalbay.web.refusal import Refused

MOST_AT_ONCE: Final = 50
ENDS: Final = ("finished", "time_up", "stopped_kindly", "void_for_equipment")
HANDS: Final = ("learner", "checker", "instructor")
REFUSALS: Final = (StationRefused, ActRefused, LogRefusedError)


async def acts(request: Request) -> Response:
    """Log acts, each on its own: a receipt or a sentence for every one of them."""
    visitor, station, said = await _asked(request, "acts", *HANDS)
    who = Who(visitor.role, visitor.id)
    return await _receipts(said, lambda plain: station.act(act_said(plain), who))


async def marks(request: Request) -> Response:
    """Log marks of a checker or the instructor."""
    visitor, station, said = await _asked(request, "marks", "checker", "instructor")
    who = Who(visitor.role, visitor.id)
    return await _receipts(said, lambda plain: station.mark(mark_said(plain), who))


async def clock(request: Request) -> Response:
    """Let time go, pause, step, run faster, skip, go back or branch."""
    visitor, station = await door_of(request).at_station(request, *HANDS)
    _no_script(request)
    try:
        said = clock_said(await read_json(request))
    except StationRefused as refused:
        raise Refused(400, str(refused)) from None
    await _done(station.clock(said, Who(visitor.role, visitor.id)))
    return JSONResponse({"clock": station.board()["clock"]})


async def start(request: Request) -> Response:
    """Begin an attempt: `{"case", "mode", "learner"?, "form"?, "go"?}`; with `go` its clock goes at once."""
    visitor, station = await door_of(request).at_station(request, "instructor", "learner")
    said = await read_json(request)
    _known(said, "case", "mode", "learner", "form", "go")
    mode, learner = _text(said, "mode"), said.get("learner")
    if mode not in MODES:
        raise Refused(400, f"mode is {str(mode)[:40]!r}; write {', '.join(MODES)}.")
    if learner is not None and not (isinstance(learner, str) and is_whose(learner)):
        raise Refused(400, "learner is an opaque id, as the line has it (p- and its letters); never a name.")
    if visitor.role == "learner":
        _alone(station, mode)
        learner = visitor.id
    await _gas_said(door_of(request), station, str(mode))
    case = await _case(door_of(request), _text(said, "case"))
    if said.get("form") is None:
        case = await asyncio.to_thread(door_of(request).afternoon.in_turn, station, case, str(mode))
    else:
        case = _in_form(case, said)
    await _done(station.begin(case, mode, learner=learner))
    if learner is not None and visitor.role == "instructor":
        await door_of(request).afternoon.came(learner, station.id)
    await _go_if(said.get("go"), station, visitor)
    return JSONResponse({"station": station.board()})


async def next_learner(request: Request) -> Response:
    """Let the next learner come: a fresh patient of the same case, in its next form; `{"form"?, "go"?}`."""
    visitor, station = await door_of(request).at_station(request, "instructor", "learner")
    said = await read_json(request)
    _known(said, "form", "go")
    door = door_of(request)
    await _gas_said(door, station, station.mode or "")
    if visitor.role == "learner":
        _alone(station, "practice")
        await _done(station.next(visitor.id))
        coming = None
    else:
        form = _form(said) if said.get("form") is not None else None
        coming = await _done(door.afternoon.next(station.id, form))
    door.put_back.pop(station.id, None)
    await _go_if(said.get("go"), station, visitor)
    return JSONResponse({"station": station.board(), "learner": coming})


async def learner(request: Request) -> Response:
    """GET /stations/{id}/learner.json: whose attempt it is, whose hands may act; names, for those who judge.

    The log and every message know learners by opaque ids; names stand in the one table that can be erased.
    """
    door = door_of(request)
    _, station = await door.at_station(request, "checker", "instructor")
    id = await door.afternoon.at(station)
    names = await asyncio.to_thread(door.store.people.names)
    others = await asyncio.to_thread(door.afternoon.hands_at, station.id)
    told = {"name": names.get(id) if id else None, "id": id, "learners": others}
    return JSONResponse(told, headers={"cache-control": "no-store"})


async def end(request: Request) -> Response:
    """End the attempt: `{"why"}`."""
    visitor, station = await door_of(request).at_station(request, *HANDS)
    _no_script(request)
    said = await read_json(request)
    _known(said, "why")
    why = _text(said, "why")
    if why not in ENDS:
        raise Refused(400, f"why is {str(why)[:40]!r}; write {', '.join(ENDS)}.")
    learner = await door_of(request).afternoon.at(station)
    await _done(station.end(why, Who(visitor.role, visitor.id)))
    if learner is not None:
        await door_of(request).afternoon.ended(learner, why)
    return JSONResponse({"station": station.board()})


async def _asked(request: Request, name: str, *roles: str) -> tuple[Visitor, Station, list[Any]]:
    """Return who asks, at which station, and the list under a name, if it is not too much."""
    door = door_of(request)
    visitor, station = await door.at_station(request, *roles)
    if name == "marks":
        _no_script(request)
    said = await read_json(request)
    _known(said, name)
    listed = said.get(name)
    if not isinstance(listed, list) or not 0 < len(listed) <= MOST_AT_ONCE:
        raise Refused(400, f'{name} is a list of 1 to {MOST_AT_ONCE}: {{"{name}": [...]}}.')
    wait_s = door.acts.take(visitor.id, len(listed))
    if wait_s:
        raise Refused(
            429, f"That is more than hands can do. Nothing was lost; send it again in {wait_s} s.",
            {"retry-after": str(wait_s)},
        )  # fmt: skip
    return visitor, station, listed


async def _receipts(said: list[Any], keep: Callable[[object], Awaitable[Receipt]]) -> Response:
    receipts: list[dict[str, Any]] = []
    for plain in said:
        try:
            receipt = await keep(plain)
            receipts.append({"n": receipt.n, "t_ms": receipt.t_ms})
        except REFUSALS as refused:
            receipts.append({"refused": str(refused)})
        except StoreError as problem:  # the disk may take it later, under the same key
            raise Refused(503, str(problem), {"retry-after": "2"}) from None
    return JSONResponse({"receipts": receipts})


async def _done(asked: Awaitable[Any]) -> Any:
    try:
        return await asked
    except StoreError as problem:
        raise Refused(503, str(problem), {"retry-after": "2"}) from None
    except ValueError as refused:  # StationRefused, ActRefused, a patient who cannot be
        raise Refused(409, str(refused)) from None


async def _case(door: Door, id: str) -> Case:
    try:
        return door.lab.case(id)
    except StationRefused as problem:
        raise Refused(400, str(problem)) from None
    except CaseErrors as problem:
        raise Refused(
            409, f"The case {id} has errors; say  tidalbay check {id}  to see them. {problem}"[:400]
        ) from None


async def _go_if(go: object, station: Station, visitor: Visitor) -> None:
    if go is True:
        await _done(station.clock(clock_said({"do": "go"}), Who(visitor.role, visitor.id)))


async def _gas_said(door: Door, station: Station, mode: str) -> None:
    """Refuse to begin while nobody has said which gas comes out of this station's wall."""
    why_not = await asyncio.to_thread(door.afternoon.asks_gas, station, mode, door.room.is_open)
    if why_not:
        raise Refused(409, why_not)


def _form(said: dict[str, Any]) -> str:
    form = _text(said, "form")
    if len(form) != 1:
        raise Refused(400, "form is the letter of one of the case's forms, such as b.")
    return form


def _in_form(case: Case, said: dict[str, Any]) -> Case:
    try:
        return in_form(case, _form(said))
    except ValueError as problem:
        raise Refused(400, str(problem)) from None


def _alone(station: Station, mode: str) -> None:
    """Refuse a learner who would begin anything but practice, or take a station from its use."""
    if mode != "practice":
        raise Refused(403, "A learner begins practice; everything else is begun by the instructor.")
    if station.life != "empty" and station.board()["mode"] != "practice":
        raise Refused(403, f"{station.title} is in use for something else; the instructor begins here.")


def _no_script(request: Request) -> None:
    if STATION_KEY in request.headers:
        raise Refused(403, "A station key is for acts only: POST /stations/{id}/acts.")


def _known(said: dict[str, Any], *names: str) -> None:
    unknown = sorted(set(said) - set(names))
    if unknown:
        raise Refused(400, f"There is no {', '.join(unknown)[:100]} here; write {', '.join(names)}.")


def _text(said: dict[str, Any], name: str) -> str:
    value = said.get(name)
    if not isinstance(value, str) or not value:
        raise Refused(400, f"{name} is missing; write it as text.")
    return value
