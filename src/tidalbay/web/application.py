"""The application: which address leads to whom, and who stands guard before all of them."""

from typing import Any

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from tidalbay.web.shelf import Shelf
from tidalbay.web.templating import LIGHT_COOKIE, Pages
from tidalbay.web.visitor import Visitor

INSTRUCTOR = Visitor("instructor", "instructor")


def app(lab: Any = None) -> Starlette:
    """Make the application around a lab."""
    shelf = Shelf.read()
    pages = Pages(shelf)

    def plain(template: str) -> Any:
        async def show(request: Request) -> Response:
            return pages.page(request, template, INSTRUCTOR)

        return show

    def of_station(template: str, role: str) -> Any:
        async def show(request: Request) -> Response:
            id = request.path_params["id"]
            visitor = Visitor(role, role, id)
            return pages.page(
                request, template, visitor, station={"id": id, "title": f"Station {id[1:]}", "code": "heron 4127"}
            )

        return show

    async def room_light(request: Request) -> Response:
        form = await request.form()
        back = str(form.get("back", "/"))
        answer = RedirectResponse(back if back.startswith("/") and not back.startswith("//") else "/", 303)
        answer.set_cookie(LIGHT_COOKIE, "dim" if form.get("light") == "dim" else "full", samesite="lax", httponly=True)
        return answer

    return Starlette(
        routes=[
            Route("/static/{digest}/{path:path}", shelf.serve),
            Route("/room-light", room_light, methods=["POST"]),
            Route("/", plain("today.html")),
            Route("/breath", plain("breath.html")),
            Route("/specimen", plain("specimen.html")),
            Route("/reach", plain("reach.html")),
            Route("/codes", plain("codes.html")),
            Route("/welcome", plain("welcome.html")),
            Route("/station/{id}", of_station("station.html", "instructor")),
            Route("/bedside/{id}", of_station("bedside.html", "learner")),
            Route("/check-off/{id}", of_station("check-off.html", "checker")),
            Route("/practice/{id}", of_station("practice.html", "learner")),
            Route("/paper/{id}", of_station("paper.html", "instructor")),
        ]
    )
