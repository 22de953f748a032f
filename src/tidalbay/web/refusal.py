"""What a door says when it does not do what was asked: a status and one sentence."""

from collections.abc import Mapping

from starlette.requests import Request
from starlette.responses import JSONResponse, Response


class Refused(Exception):
    """A request that is not done; the sentence is for whoever stands before the screen.

    Parameters
    ----------
    status : int
        HTTP status, 400 to 599.
    sentence : str
        What, why, and what to do instead.
    headers : mapping or None
        What the answer carries besides, `Retry-After` for one.
    """

    def __init__(self, status: int, sentence: str, headers: Mapping[str, str] | None = None) -> None:
        """Keep the three."""
        super().__init__(sentence)
        self.status = status
        self.sentence = sentence
        self.headers = dict(headers or {})


def wants_page(request: Request) -> bool:
    """Whether a person waits for a page, not a module for JSON."""
    return request.method in ("GET", "POST") and "text/html" in request.headers.get("accept", "")


def as_json(refused: Refused) -> Response:
    """Answer a program: `{"sentence": ...}`."""
    return JSONResponse({"sentence": refused.sentence}, refused.status, refused.headers)
