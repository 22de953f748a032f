"""The application: which address leads to whom, and who stands guard before all of them."""

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import ClientDisconnect, Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route, WebSocketRoute

from tidalbay.live import Lab
from tidalbay.records import LabStore, StoreError
from tidalbay.web.door import Door, Room, door_of, show
from tidalbay.web.guard import HEADERS, Guard
from tidalbay.web.paper.shelf import Shelf
from tidalbay.web.paper.templating import Pages
from tidalbay.web.people.afternoon import Afternoon
from tidalbay.web.people.visitor import NOBODY
from tidalbay.web.people.visitors import Visitors
from tidalbay.web.refusal import Refused, as_json, wants_page
from tidalbay.web.routes import board, breath, debrief, judging, life, places, shelf, signing, socket, words

HEADINGS = {
    401: "Not joined yet",
    403: "Not for this screen",
    404: "Not here",
    429: "Too often",
    503: "Not kept",
}


def app(lab: Lab, store: LabStore, room: Room, *, is_demonstration: bool = False) -> Starlette:
    """Make the application around a lab that has been started.

    Parameters
    ----------
    lab : Lab
    store : LabStore
        Settings, codes and who is signed in.
    room : Room
        The listeners: by which names the server may be called, and how the room is let in.
    is_demonstration : bool
        Whether whoever sits at this computer leads for as long as no password is set.

    Raises
    ------
    StoreError
        Where the disk refuses the afternoon's codes.
    """
    files = Shelf.read()
    made = Starlette(
        routes=_routes(files),
        middleware=[Middleware(Guard, hosts=room.hosts)],
        exception_handlers={
            Refused: _refused,
            StoreError: _not_kept,
            ClientDisconnect: _left,
            HTTPException: _http,
            Exception: _own_fault,
        },
    )
    made.state.door = Door(
        lab=lab,
        store=store,
        afternoon=Afternoon.open(lab, store),
        pages=Pages(files),
        visitors=Visitors(store, is_demonstration),
        room=room,
        is_demonstration=is_demonstration,
    )
    return made


def _routes(files: Shelf) -> list[Route | WebSocketRoute]:
    of = places.page_of_station
    both = ["GET", "POST"]
    return [
        Route("/static/{digest}/{path:path}", files.serve),
        Route("/", board.today),
        Route("/board.json", board.board),
        Route("/board/{what}", board.change, methods=["POST"]),
        Route("/first", signing.first, methods=both),
        Route("/sign-in", signing.sign_in, methods=both),
        Route("/sign-out", signing.sign_out, methods=["POST"]),
        Route("/join", signing.join, methods=both),
        Route("/join/{code}", signing.join),
        Route("/room-light", signing.room_light, methods=["POST"]),
        Route("/station/{id}", of("station.html", "instructor")),
        Route("/bedside/{id}", of("bedside.html", *places.ANYBODY, shown_as="projector")),
        Route("/check-off/{id}", of("check-off.html", "checker", "instructor", shown_as="checker")),
        Route("/practice/{id}", of("practice.html", "learner", "instructor", shown_as="learner")),
        Route("/paper/{id}", of("paper.html", "checker", "instructor")),
        Route("/debrief", debrief.debriefs),
        Route("/debrief/{attempt}", debrief.debrief),
        Route("/debrief/{attempt}/record.json", debrief.record),
        Route("/debrief/{attempt}/verdicts.json", debrief.verdicts),
        Route("/debrief/{attempt}/what-if", debrief.another_way, methods=["POST"]),
        Route("/debrief/{attempt}/what-if/band", debrief.band, methods=["POST"]),
        Route("/debrief/{attempt}/report.pdf", debrief.report_pdf),
        Route("/debrief/{attempt}/report.html", debrief.report_html),
        Route("/breath", breath.breath_page),
        Route("/breath/answer", breath.breath_answer),
        Route("/specimen", places.page_for("specimen.html", *places.ANYBODY)),
        Route("/reach", places.reach),
        Route("/reach.json", places.reached),
        Route("/codes", places.codes),
        Route("/welcome", places.welcome),
        Route("/cases.json", shelf.cases_json),
        Route("/acts.json", words.acts_json),
        Route("/devices.json", words.devices_json),
        Route("/causes.json", words.causes_json),
        Route("/stations/{id}/acts", life.acts, methods=["POST"]),
        Route("/stations/{id}/marks", life.marks, methods=["POST"]),
        Route("/stations/{id}/verdicts.json", judging.verdicts),
        Route("/stations/{id}/clock", life.clock, methods=["POST"]),
        Route("/stations/{id}/start", life.start, methods=["POST"]),
        Route("/stations/{id}/next", life.next_learner, methods=["POST"]),
        Route("/stations/{id}/end", life.end, methods=["POST"]),
        Route("/stations/{id}/learner.json", life.learner),
        Route("/stations/{id}/key", places.station_key, methods=["POST"]),
        WebSocketRoute("/live/{id}", socket.live),
    ]


async def _refused(request: Request, refused: Exception) -> Response:
    assert isinstance(refused, Refused)
    if not wants_page(request):
        return as_json(refused)
    visitor = await door_of(request).visitors.of(request)
    if refused.status == 401 and visitor.role == NOBODY and request.method == "GET":
        return RedirectResponse("/join", 303)
    heading = HEADINGS.get(refused.status, "Not done")
    answer = show(request, "error.html", visitor, refused.status, heading=heading, sentence=refused.sentence)
    answer.headers.update(refused.headers)
    return answer


async def _not_kept(request: Request, problem: Exception) -> Response:
    return await _refused(request, Refused(503, str(problem), {"retry-after": "2"}))


async def _http(request: Request, problem: Exception) -> Response:
    assert isinstance(problem, HTTPException)
    sentences = {
        404: "There is no such page. Tidalbay's pages begin at Today.",
        405: f"This address does not take {request.method}.",
    }
    sentence = sentences.get(
        problem.status_code, "This could not be read. Load the page again and repeat it."
    )
    return await _refused(request, Refused(problem.status_code, sentence, problem.headers))


async def _left(request: Request, problem: Exception) -> Response:
    """Nobody is there any more to hear it; it is no fault of the program's either."""
    return Response(status_code=400)


async def _own_fault(request: Request, problem: Exception) -> Response:
    """Own up to a fault of the program's; what happened is in the words of the server itself."""
    fault = Refused(
        500,
        "Tidalbay itself made a mistake with this. What was confirmed before is kept; load the page again.",
        HEADERS,
    )
    return as_json(fault)
