"""Pages from templates: escaped, complete, and told who looks at them."""

from typing import Any, Final

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from starlette.requests import Request
from starlette.responses import HTMLResponse

from tidalbay.catalogue.chart_forms import chart_forms
from tidalbay.catalogue.first_acts import first_acts_plain
from tidalbay.catalogue.handles import handles_plain
from tidalbay.catalogue.prebrief import prebrief
from tidalbay.live import BY_LEARNER_ASSESSED
from tidalbay.trace import CAUTION
from tidalbay.web.paper.shelf import Shelf
from tidalbay.web.people.visitor import Visitor

# The instructor's way through the house, in the order of an afternoon.
PLACES: Final = (
    ("/", "Today"),
    ("/debrief", "Debriefs"),
    ("/codes", "Codes"),
    ("/reach", "Reach"),
    ("/breath", "What is in this breath?"),
    ("/welcome", "Welcome"),
)
LIGHT_COOKIE: Final = "room_light"


class Pages:
    """The templates of `web/templates`, and what every page is told."""

    def __init__(self, shelf: Shelf) -> None:
        """Prepare the templates; each is read when it is first asked for."""
        self.shelf = shelf
        self._templates = Environment(
            loader=PackageLoader("tidalbay.web"),
            autoescape=select_autoescape(default=True),
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        self._templates.globals.update(static=shelf.address, caution=CAUTION, places=PLACES)
        self._templates.globals.update(
            first_acts=first_acts_plain,
            handles=handles_plain,
            prebrief=prebrief,
            chart_forms=chart_forms,
            by_learner_assessed=BY_LEARNER_ASSESSED,
        )

    def page(
        self, request: Request, template: str, visitor: Visitor, status: int = 200, **told: Any
    ) -> HTMLResponse:
        """Return a page.

        Every template knows `role`, `station` (what the page is about, or None), `here` (its address),
        `is_dark`, `may_sign_out`, `places`, `caution` and `static(path)`; `told` adds what is the page's own.
        """
        context = {
            "role": visitor.role,
            "station": None,
            "here": request.url.path,
            "is_dark": request.cookies.get(LIGHT_COOKIE) == "dim",
            "may_sign_out": visitor.may_sign_out,
        }
        text = self._templates.get_template(template).render({**context, **told})
        return HTMLResponse(text, status, headers={"cache-control": "no-store"})
