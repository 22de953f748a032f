"""What every address behind the door needs, in one place."""

from dataclasses import dataclass, field
from typing import Final, Protocol

from starlette.requests import HTTPConnection, Request
from starlette.responses import HTMLResponse

from tidalbay.live import Lab, Station, StationRefused
from tidalbay.records import LabStore
from tidalbay.web.debriefs import Debriefs
from tidalbay.web.guard import Bucket, Hosts, Rates
from tidalbay.web.paper.templating import Pages
from tidalbay.web.people.afternoon import Afternoon
from tidalbay.web.people.visitor import NOBODY, Visitor
from tidalbay.web.people.visitors import Visitors
from tidalbay.web.refusal import Refused
from tidalbay.web.texts import Texts

# Wrong codes and passwords, by address and by all together; a right one is not counted.
WRONG_CODES: Final = Bucket(holds=10, a_second=10 / 60)
WRONG_CODES_ALL: Final = Bucket(holds=60, a_second=2)
WRONG_PASSWORDS: Final = Bucket(holds=5, a_second=5 / 60)
WRONG_PASSWORDS_ALL: Final = Bucket(holds=20, a_second=0.5)
ACTS: Final = Bucket(holds=150, a_second=10)  # a tablet that was away for minutes sends what it kept
ASKING: Final = Bucket(holds=60, a_second=5)  # what makes the model work: the explorer's answers


class Room(Protocol):
    """The listeners, as pages speak of them."""

    hosts: Hosts
    port: int

    @property
    def addresses(self) -> list[str]:
        """Addresses in the room, the likeliest first."""

    @property
    def here(self) -> str:
        """How a browser on this computer calls the lab."""

    @property
    def room(self) -> str | None:
        """How a tablet in the room calls the lab; None while it cannot."""

    @property
    def is_open(self) -> bool:
        """Whether the room may come in."""

    async def open_room(self) -> None:
        """Let the room come in."""


@dataclass
class Door:
    """The lab and everything that stands between it and a browser."""

    lab: Lab
    store: LabStore
    afternoon: Afternoon
    pages: Pages
    visitors: Visitors
    room: Room
    is_demonstration: bool = False
    put_back: dict[str, set[str]] = field(default_factory=dict)
    texts: Texts = field(default_factory=Texts)
    debriefs: Debriefs = field(default_factory=Debriefs)
    wrong_codes: Rates = field(default_factory=lambda: Rates(WRONG_CODES))
    wrong_codes_all: Rates = field(default_factory=lambda: Rates(WRONG_CODES_ALL))
    wrong_passwords: Rates = field(default_factory=lambda: Rates(WRONG_PASSWORDS))
    wrong_passwords_all: Rates = field(default_factory=lambda: Rates(WRONG_PASSWORDS_ALL))
    acts: Rates = field(default_factory=lambda: Rates(ACTS))
    asking: Rates = field(default_factory=lambda: Rates(ASKING))

    async def need(self, request: Request, *roles: str) -> Visitor:
        """Return the visitor, if it has one of these roles.

        Raises
        ------
        Refused
            401 where nobody is signed in, 403 where the role may not.
        """
        visitor = await self.visitors.of(request)
        if visitor.role in roles:
            return visitor
        if visitor.role == NOBODY:
            raise Refused(
                401, "This screen has not joined. Join with the station's code, or sign in as the instructor."
            )
        raise Refused(
            403, f"This is for the {' or the '.join(roles)}; this screen has joined as {visitor.role}."
        )

    def station(self, id: str) -> Station:
        """Return a station, or refuse with 404."""
        try:
            return self.lab.station(id)
        except StationRefused as problem:
            raise Refused(404, str(problem)) from None

    async def at_station(self, request: Request, *roles: str) -> tuple[Visitor, Station]:
        """Return the visitor and the station that its request is about, if it may be there."""
        visitor = await self.need(request, *roles)
        id = request.path_params["id"]
        if not visitor.may_see(id):
            raise Refused(
                403, f"This screen has joined another station. Join {id} with that station's own code."
            )
        return visitor, self.station(id)


def door_of(connection: HTTPConnection) -> Door:
    """Return the door that a request came in by."""
    door = connection.app.state.door
    assert isinstance(door, Door)
    return door


def show(
    request: Request, template: str, visitor: Visitor, status: int = 200, **told: object
) -> HTMLResponse:
    """Return a page of this door's."""
    return door_of(request).pages.page(request, template, visitor, status, **told)
