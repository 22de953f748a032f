"""A body of JSON read strictly: one meaning or a refusal."""

import json
from typing import Any, NoReturn

from starlette.requests import Request

from tidalbay.web.refusal import Refused


async def read_json(request: Request) -> dict[str, Any]:
    """Return the object that a request carries.

    Raises
    ------
    Refused
        400 or 415, with a sentence, for anything but one JSON object whose names stand once and whose
        numbers and letters can be kept.
    """
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind != "application/json":
        raise Refused(415, "This door takes JSON: send it with Content-Type: application/json.")
    body = await request.body()
    try:
        said = json.loads(body, object_pairs_hook=_once, parse_constant=_no_constant)
        json.dumps(said, ensure_ascii=False).encode()  # half a letter cannot be kept
    except UnicodeError:
        raise Refused(400, "The body holds letters that are not UTF-8. Send whole letters.") from None
    except RecursionError:
        raise Refused(400, "The body nests too deeply. Send plain values, one inside another.") from None
    except ValueError as problem:
        about = str(problem)[:120]
        raise Refused(400, f"The body cannot be read as JSON: {about}. Send one object in braces.") from None
    if not isinstance(said, dict):
        raise Refused(400, 'The body is one object in braces, such as {"acts": [...]}.')
    return said


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    said = dict(pairs)
    if len(said) != len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise ValueError(f"{twice[:40]!r} stands twice")
    return said


def _no_constant(name: str) -> NoReturn:
    raise ValueError(f"{name} is not a number")
