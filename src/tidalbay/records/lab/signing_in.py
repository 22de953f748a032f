"""Who is signed in: browsers known by a token of which only the hash is kept."""

import hashlib
from dataclasses import dataclass
from typing import Final

from sqlalchemy import delete, insert, select

from tidalbay.records.lab.database import Database
from tidalbay.records.lab.tables import SIGNED_IN
from tidalbay.records.problem import StoreError

ROLES: Final = ("learner", "checker", "instructor", "projector")


@dataclass(frozen=True)
class SignedIn:
    """What a browser may be: a role, at one station or (instructor) at all, for a time.

    Parameters
    ----------
    role : str
        One of `ROLES`.
    station : str or None
        None is every station.
    lab : int or None
        The lab whose code let it in; None where a password did.
    created_utc_ms, expires_utc_ms : int
        From when until when. [ms]
    """

    role: str
    station: str | None
    lab: int | None
    created_utc_ms: int
    expires_utc_ms: int


class SigningIn:
    """Browsers that are signed in."""

    def __init__(self, database: Database) -> None:
        """Use `LabStore`."""
        self._database = database

    def sign_in(
        self, token: str, role: str, lasts_ms: int, station: str | None = None, lab: int | None = None
    ) -> SignedIn:
        """Let a browser in for some milliseconds. The token is the caller's secret, made for this browser."""
        check_role(role)
        now_ms = self._database.now_utc_ms()
        signed_in = SignedIn(role, station, lab, now_ms, now_ms + lasts_ms)
        with self._database.writing() as connection:
            connection.execute(delete(SIGNED_IN).where(SIGNED_IN.c.expires_utc_ms <= now_ms))
            connection.execute(insert(SIGNED_IN).values(token_sha256=_hash(token), **vars(signed_in)))
        return signed_in

    def who(self, token: str) -> SignedIn | None:
        """Return what a browser may be, or None: never let in, signed out, or its time is over."""
        columns = [column for column in SIGNED_IN.c if column.name != "token_sha256"]
        with self._database.reading() as connection:
            row = connection.execute(
                select(*columns).where(
                    SIGNED_IN.c.token_sha256 == _hash(token),
                    SIGNED_IN.c.expires_utc_ms > self._database.now_utc_ms(),
                )
            ).first()
        return None if row is None else SignedIn(**row._mapping)

    def sign_out(self, token: str) -> None:
        """Forget a browser."""
        with self._database.writing() as connection:
            connection.execute(delete(SIGNED_IN).where(SIGNED_IN.c.token_sha256 == _hash(token)))


def check_role(role: str) -> None:
    """Refuse a role that there is not."""
    if role not in ROLES:
        raise StoreError(f"{role!r} is not a role; roles are {', '.join(ROLES)}.")


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
