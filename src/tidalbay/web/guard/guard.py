"""The guard: four looks at whatever comes in, and the headers of whatever goes out."""

from typing import Final
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from tidalbay.web.guard.hosts import Hosts
from tidalbay.web.refusal import Refused, as_json

MOST_BYTES: Final = 65536
SAFE_METHODS: Final = frozenset({"GET", "HEAD", "OPTIONS"})
STATION_KEY: Final = "x-station-key"

HEADERS: Final = {
    "content-security-policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self';"
        " font-src 'self'; manifest-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'self';"
        " frame-ancestors 'none'"
    ),
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}


class Guard:
    """Middleware around the whole application, requests and sockets alike."""

    def __init__(self, app: ASGIApp, hosts: Hosts) -> None:
        """Guard `app`, which may be called by these names."""
        self._app = app
        self._hosts = hosts

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer it here."""
        if scope["type"] not in ("http", "websocket"):
            await self._app(scope, receive, send)
            return
        try:
            self._check(scope)
        except Refused as refused:
            await _refuse(refused, scope, receive, send)
            return
        if scope["type"] == "websocket":
            await self._app(scope, receive, send)
        else:
            await self._app(scope, _counted(receive), _with_headers(send))

    def _check(self, scope: Scope) -> None:
        headers = Headers(scope=scope)
        hosts = headers.getlist("host")
        if len(hosts) != 1 or not self._hosts.has(hosts[0]):
            raise Refused(
                421,
                "This server does not go by that name. Use the address that the instructor's screen shows.",
            )
        if scope["type"] == "websocket" or scope["method"] not in SAFE_METHODS:
            check_same_origin(headers)
        length = headers.get("content-length", "0")
        if length.isascii() and length.isdigit() and int(length[:20]) > MOST_BYTES:
            raise _too_much()


def check_same_origin(headers: Headers) -> None:
    """Refuse what a page of somebody else's has sent.

    A script with a station key is no browser: a browser cannot add that header for another's page without
    asking this server first, and this server never agrees.
    """
    if STATION_KEY in headers:
        return
    fetched_from = headers.get("sec-fetch-site")
    if fetched_from is not None:
        same = fetched_from == "same-origin"
    else:  # plain HTTP in a lab: browsers leave that header out
        origin = urlsplit(headers.get("origin", ""))
        same = origin.scheme in ("http", "https") and origin.netloc.lower() == headers["host"].lower()
    if not same:
        raise Refused(
            403, "This was sent from a page that is not Tidalbay's. Open Tidalbay's own page and do it there."
        )


def _too_much() -> Refused:
    return Refused(413, f"This is more than {MOST_BYTES // 1024} kB at once. Send it in parts.")


def _counted(receive: Receive) -> Receive:
    """Stop a body that is longer than it said, or did not say how long it is."""
    received = 0

    async def counted() -> Message:
        nonlocal received
        message = await receive()
        received += len(message.get("body", b""))
        if received > MOST_BYTES:
            raise _too_much()
        return message

    return counted


def _with_headers(send: Send) -> Send:
    async def with_headers(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return with_headers


async def _refuse(refused: Refused, scope: Scope, receive: Receive, send: Send) -> None:
    if scope["type"] == "websocket":  # closed before it opened: the browser sees a plain refusal
        await receive()
        await send({"type": "websocket.close", "code": 1008, "reason": refused.sentence[:100]})
        return
    await as_json(refused)(Request(scope).scope, receive, _with_headers(send))
