"""The catalogue as pages read it: acts, devices, flowmeters, skin sites, charts. Words only."""

import hashlib
import json
from functools import cache
from math import isfinite
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from tidalbay.catalogue import ActKind, acts, causes, flowmeter_kinds, outlet_kinds, plausible_when
from tidalbay.catalogue.chart_forms import chart_forms_plain
from tidalbay.catalogue.first_acts import first_acts_plain
from tidalbay.catalogue.skin_sites import skin_sites


async def acts_json(request: Request) -> Response:
    """Answer GET /acts.json."""
    return _kept(request, _acts_text())


async def devices_json(request: Request) -> Response:
    """Answer GET /devices.json."""
    return _kept(request, _devices_text())


async def causes_json(request: Request) -> Response:
    """Answer GET /causes.json: what an instructor can make happen."""
    return _kept(request, _causes_text())


@cache
def _acts_text() -> bytes:
    return _text({"acts": [_act(kind) for kind in acts().values()], "plausible": dict(plausible_when())})


@cache
def _devices_text() -> bytes:
    return _text(
        {
            "devices": first_acts_plain()["devices"],
            "flowmeters": {
                part.id: {"words": part.words, "style": part.style} for part in flowmeter_kinds().values()
            },
            "outlets": {part.id: {"words": part.words, "gas": part.gas} for part in outlet_kinds().values()},
            "skin_sites": {
                site.id: {"words": site.words, "seen_with": site.seen_with} for site in skin_sites().values()
            },
            "chart_forms": chart_forms_plain(),
        }
    )


@cache
def _causes_text() -> bytes:
    return _text(
        {
            "causes": [
                {
                    "id": cause.id,
                    "strikes": cause.strikes,
                    "type": cause.type,
                    "unit": cause.unit,
                    "low": cause.low if isfinite(cause.low) else None,
                    "high": cause.high if isfinite(cause.high) else None,
                    "choices": list(cause.choices),
                    "numbers": list(cause.numbers),
                    "on": list(cause.on),
                    "sentence": cause.sentence,
                }
                for cause in causes().values()
            ]
        }
    )


def _act(kind: ActKind) -> dict[str, Any]:
    return {
        "id": kind.id,
        "group": kind.group,
        "button": kind.button,
        "arguments": [
            {
                "name": each.name,
                "type": each.type,
                "unit": each.unit,
                "low": each.low,
                "high": each.high,
                "step": each.step,
                "usual": list(each.usual),
                "choices": list(each.choices),
                "optional": each.optional,
                "about": each.about,
            }
            for each in kind.arguments.values()
        ],
        "one_of": list(kind.one_of),
        "not_both": list(kind.not_both),
        "on": list(kind.on),
        "brings": kind.brings,
        "by": list(kind.by),
        "words": list(kind.words),
        "plausible": kind.plausible,
        "changes": kind.changes,
        "seen": kind.seen,
    }


def _text(said: object) -> bytes:
    return json.dumps(said, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()


def _kept(request: Request, text: bytes) -> Response:
    mark = f'"{hashlib.sha256(text).hexdigest()[:16]}"'
    headers = {"etag": mark, "cache-control": "no-cache"}
    if request.headers.get("if-none-match") == mark:
        return Response(status_code=304, headers=headers)
    return Response(text, media_type="application/json", headers=headers)
