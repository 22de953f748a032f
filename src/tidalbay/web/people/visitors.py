"""Who is who: cookies and station keys in, visitors out. Passwords are looked at here and nowhere else."""

import asyncio
import hashlib
import secrets
import time
from typing import Final

from argon2 import PasswordHasher
from argon2.exceptions import Argon2Error, InvalidHashError
from starlette.requests import HTTPConnection
from starlette.responses import Response

from tidalbay.records import LabStore, SignedIn
from tidalbay.web.guard import STATION_KEY
from tidalbay.web.network import is_loopback
from tidalbay.web.people.visitor import Visitor

COOKIE: Final = "tidalbay"
AFTERNOON_MS: Final = 12 * 3600 * 1000
MOST_KNOWN: Final = 2000
SHORTEST_PASSWORD: Final = 8
LONGEST_PASSWORD: Final = 200

NOBODY: Final = Visitor()
AT_THE_DESK: Final = Visitor("instructor", "instructor")


class Visitors:
    """Browsers that have signed in or joined, and scripts with a station key.

    Parameters
    ----------
    store : LabStore
    is_demonstration : bool
        Whether whoever sits at this computer is the instructor for as long as no password is set.
    """

    def __init__(self, store: LabStore, is_demonstration: bool) -> None:
        """Begin knowing nobody."""
        self._store = store
        self._is_demonstration = is_demonstration
        self._known: dict[str, SignedIn] = {}
        self._hasher = PasswordHasher()
        self._one_at_a_time = asyncio.Lock()  # each look takes 64 MB and a tenth of a second
        self.has_password = store.settings.password_hash() is not None

    async def of(self, connection: HTTPConnection) -> Visitor:
        """Return who has sent a request or opened a socket."""
        if STATION_KEY in connection.headers:  # a script says who it is and nothing else counts
            token = connection.headers[STATION_KEY]
            signed_in = await self._signed_in(token)
            if signed_in is None or signed_in.role != "checker":
                return NOBODY
            return Visitor("checker", f"script-{_short(token)}", signed_in.station)
        token = connection.cookies.get(COOKIE, "")
        signed_in = await self._signed_in(token)
        if signed_in is not None:
            name = "instructor" if signed_in.role == "instructor" else f"{signed_in.role}-{_short(token)}"
            return Visitor(signed_in.role, name, signed_in.station, may_sign_out=True)
        if self._is_demonstration and not self.has_password and is_here(connection):
            return AT_THE_DESK
        return NOBODY

    async def let_in(
        self, answer: Response, role: str, station: str | None = None, lab: int | None = None
    ) -> None:
        """Sign a browser in and give it its cookie."""
        token = await self.new_token(role, station, lab)
        answer.set_cookie(COOKIE, token, max_age=AFTERNOON_MS // 1000, httponly=True, samesite="lax")

    async def new_token(self, role: str, station: str | None, lab: int | None) -> str:
        """Make a secret that lets its holder in for an afternoon."""
        token = secrets.token_urlsafe(24)
        signing_in = self._store.signing_in
        await asyncio.to_thread(signing_in.sign_in, token, role, AFTERNOON_MS, station, lab)
        return token

    async def let_out(self, connection: HTTPConnection, answer: Response) -> None:
        """Sign a browser out."""
        token = connection.cookies.get(COOKIE, "")
        self._known.pop(token, None)
        if token:
            await asyncio.to_thread(self._store.signing_in.sign_out, token)
        answer.delete_cookie(COOKIE, httponly=True, samesite="lax")

    def forget(self) -> None:
        """Look everybody up again: a lab was closed, a password changed."""
        self._known.clear()

    async def set_password(self, password: str) -> None:
        """Keep a password; whoever was let in by an old one is out."""
        async with self._one_at_a_time:
            hashed = await asyncio.to_thread(self._hasher.hash, password)
        await asyncio.to_thread(self._store.settings.set_password_hash, hashed)
        self.has_password = True
        self.forget()

    async def is_password(self, password: str) -> bool:
        """Whether this is the instructor's password."""
        hashed = await asyncio.to_thread(self._store.settings.password_hash)
        if hashed is None or len(password) > LONGEST_PASSWORD:
            return False
        async with self._one_at_a_time:
            try:
                return await asyncio.to_thread(self._hasher.verify, hashed, password)
            except (Argon2Error, InvalidHashError):
                return False

    async def _signed_in(self, token: str) -> SignedIn | None:
        if not token or len(token) > 100:
            return None
        signed_in = self._known.get(token)
        if signed_in is None:
            signed_in = await asyncio.to_thread(self._store.signing_in.who, token)
            if signed_in is None:
                return None
            if len(self._known) >= MOST_KNOWN:
                self._known.clear()
            self._known[token] = signed_in
        if signed_in.expires_utc_ms <= time.time_ns() // 1_000_000:
            self._known.pop(token, None)
            return None
        return signed_in


def is_here(connection: HTTPConnection) -> bool:
    """Whether a request comes from this very computer."""
    return connection.client is not None and is_loopback(connection.client.host)


def _short(token: str) -> str:
    """An opaque name for whoever holds a token, from which the token cannot be found."""
    return hashlib.sha256(f"who {token}".encode()).hexdigest()[:10]
