"""How somebody becomes somebody: the first page, the instructor's password, a station's code."""

import asyncio
from typing import Final

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from tidalbay.records import StationRow
from tidalbay.web.door import Door, door_of, show
from tidalbay.web.guard import Rates
from tidalbay.web.paper.templating import LIGHT_COOKIE
from tidalbay.web.people.afternoon import MOST_STATIONS
from tidalbay.web.people.visitor import NOBODY, Visitor
from tidalbay.web.people.visitors import AT_THE_DESK, LONGEST_PASSWORD, SHORTEST_PASSWORD, is_here
from tidalbay.web.refusal import Refused

FIRST_PAGE_OF: Final = {"learner": "/bedside/", "projector": "/bedside/", "checker": "/check-off/"}
EVERYBODY: Final = "everybody"
UNITS: Final = {"supply_pressure_unit": ("psi", "bar"), "gas_tension_unit": ("mmHg", "kPa")}


async def first(request: Request) -> Response:
    """GET, POST /first: set the password and open the room; from this computer only, and once."""
    door = door_of(request)
    if not is_here(request):
        raise Refused(403, "The first page opens only on the computer that runs Tidalbay. Go to that one.")
    if door.visitors.has_password:
        visitor = await door.visitors.of(request)
        if visitor.role != "instructor":
            return RedirectResponse("/sign-in", 303)
    said = dict(await request.form()) if request.method == "POST" else {}
    faults: dict[str, str] = {}
    if request.method == "POST":
        faults = await _set_up(door, {name: str(value) for name, value in said.items()})
        if not faults:
            answer = RedirectResponse("/welcome", 303)
            await door.visitors.let_in(answer, "instructor")
            return answer
    told = {
        "faults": faults,
        "stations": str(said.get("stations") or len(door.lab.stations)),
        "units": {name: str(said.get(name) or _unit(door, name)) for name in UNITS},
        "is_new": not door.visitors.has_password,
        "shortest": SHORTEST_PASSWORD,
    }
    return show(request, "first.html", AT_THE_DESK, 400 if faults else 200, **told)


async def sign_in(request: Request) -> Response:
    """GET, POST /sign-in: the instructor's password."""
    door = door_of(request)
    if not door.visitors.has_password:
        if is_here(request):
            return RedirectResponse("/first", 303)
        raise Refused(403, "No password is set yet. Set one on the computer that runs Tidalbay.")
    if request.method == "GET":
        return show(request, "sign-in.html", Visitor(), fault="")
    _not_too_often(request, door.wrong_passwords, door.wrong_passwords_all)
    password = str((await request.form()).get("password", ""))
    if not await door.visitors.is_password(password):
        _count(request, door.wrong_passwords, door.wrong_passwords_all)
        fault = "That is not the password. Nothing else was changed; try again."
        return show(request, "sign-in.html", Visitor(), 403, fault=fault)
    answer = RedirectResponse("/", 303)
    await door.visitors.let_in(answer, "instructor")
    return answer


async def sign_out(request: Request) -> Response:
    """POST /sign-out."""
    visitor = await door_of(request).visitors.of(request)
    answer = RedirectResponse("/sign-in" if visitor.role == "instructor" else "/join", 303)
    await door_of(request).visitors.let_out(request, answer)
    return answer


async def join(request: Request) -> Response:
    """GET, POST /join and GET /join/{code}: a code gives a role at one station."""
    door = door_of(request)
    typed = request.path_params.get("code", "")
    if request.method == "POST":
        typed = str((await request.form()).get("code", ""))
    if not typed.strip():
        fault = "Type the code that stands on the station's card." if request.method == "POST" else ""
        return show(request, "join.html", Visitor(), 400 if fault else 200, fault=fault, typed="")
    _not_too_often(request, door.wrong_codes, door.wrong_codes_all)
    code = await asyncio.to_thread(door.store.labs.code, typed[:40])
    if code is None or code.station is None or code.station not in door.lab.stations:
        _count(request, door.wrong_codes, door.wrong_codes_all)
        fault = "No station has this code today. Codes change with every lab: look at the card again."
        return show(request, "join.html", Visitor(), 403, fault=fault, typed=typed[:40])
    answer = RedirectResponse(FIRST_PAGE_OF[code.role] + code.station, 303)
    before = await door.visitors.of(request)
    if before.role != "instructor" or not before.may_sign_out:  # who signed in by password stays who they are
        await door.visitors.let_in(answer, code.role, code.station, code.lab)
    return answer


async def room_light(request: Request) -> Response:
    """POST /room-light: the page for a bright or a darkened room."""
    form = await request.form()
    back = str(form.get("back", "/"))
    is_ours = back.startswith("/") and not back.startswith("//") and "\\" not in back and back.isprintable()
    answer = RedirectResponse(back if is_ours else "/", 303)
    light = "dim" if form.get("light") == "dim" else "full"
    answer.set_cookie(LIGHT_COOKIE, light, max_age=30 * 24 * 3600, httponly=True, samesite="lax")
    return answer


def own_page(visitor: Visitor) -> str:
    """Return where a visitor belongs."""
    if visitor.role == NOBODY:
        return "/join"
    return "/" if visitor.role == "instructor" else FIRST_PAGE_OF[visitor.role] + str(visitor.station)


async def _set_up(door: Door, said: dict[str, str]) -> dict[str, str]:
    """Set what the first page says, all or nothing; return what is wrong, by field."""
    faults = {}
    password = said.get("password", "")
    if not SHORTEST_PASSWORD <= len(password) <= LONGEST_PASSWORD:
        faults["password"] = (
            f"A password has {SHORTEST_PASSWORD} to {LONGEST_PASSWORD} characters; three words do well."
        )
    elif password != said.get("again", ""):
        faults["again"] = "The two are not the same. Type the password again in both."
    stations = said.get("stations", "")
    if not (stations.isascii() and stations.isdigit() and 1 <= int(stations[:4]) <= MOST_STATIONS):
        faults["stations"] = f"Write how many stations there are, 1 to {MOST_STATIONS}."
    for name, allowed in UNITS.items():
        if said.get(name) not in allowed:
            faults[name] = f"Choose {' or '.join(allowed)}."
    if faults:
        return faults
    await set_stations(door, int(stations))
    for name in UNITS:
        await asyncio.to_thread(door.store.settings.set, name, said[name])
    await door.visitors.set_password(password)
    await door.room.open_room()
    return {}


async def set_stations(door: Door, count: int) -> None:
    """Set up so many stations; one that holds an attempt stays."""
    lab = door.lab
    for number in range(1, count + 1):
        if f"s{number}" not in lab.stations:
            lab.add_station(f"s{number}", f"Station {number}")
    for id in [id for place, id in enumerate(lab.stations) if place >= count]:
        if lab.stations[id].life in ("empty", "ended"):
            await lab.stations.pop(id).close()
    rows = [StationRow(station.id, station.title) for station in lab.stations.values()]
    await asyncio.to_thread(door.store.labs.set_stations, rows)
    await asyncio.to_thread(door.afternoon.make_codes)


def _unit(door: Door, name: str) -> str:
    return str(door.store.settings.all().get(name, UNITS[name][0]))


def _not_too_often(request: Request, one: Rates, everybody: Rates) -> None:
    wait_s = max(one.wait_s(_from(request)), everybody.wait_s(EVERYBODY))
    if wait_s:
        raise Refused(
            429,
            f"Too many tries that were wrong. Wait {wait_s} s, then try again.",
            {"retry-after": str(wait_s)},
        )


def _count(request: Request, one: Rates, everybody: Rates) -> None:
    one.count(_from(request))
    everybody.count(EVERYBODY)


def _from(request: Request) -> str:
    return request.client.host if request.client else "nowhere"
