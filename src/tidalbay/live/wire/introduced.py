"""The case as a screen is introduced to it: who lies there, and the order where it may be in print."""

import hashlib
from collections.abc import Mapping
from typing import Any, Final

from tidalbay.bedside import allowed, order_shown, part_shown

# Five skins of the drawing for three tones of the findings; a tone that nobody said is drawn as the second.
DRAWN_TONES: Final = {"light": 1, "medium": 3, "dark": 5}
UNSAID_TONE: Final = 2
CHILD_BELOW_YEARS, INFANT_BELOW_YEARS, GREY_FROM_YEARS = 12.0, 1.0, 55.0
HAIR_TONES: Final = ("dark", "brown", "fair")


def introduction(case: Mapping[str, Any], role: str, mode: str) -> dict[str, Any]:
    """What the first message says of the case.

    Parameters
    ----------
    case : mapping
        Resolved, as the log's first entry holds it.
    role, mode : str

    Notes
    -----
    Where the order's text does not pass, id and title of the case do not either: they name the trouble.
    """
    said = case["patient"]
    numbers = said["numbers"]
    in_print = "order_text" in allowed(role, mode)
    patient = {
        "name": said["name"],
        "born": said.get("born"),
        "identity_number": said.get("identity_number"),
        "bed": said["bed"],
        "says": said["says"],
        "age_years": numbers.get("age_years"),
        "sex": numbers.get("sex"),
        "skin_tone": DRAWN_TONES.get(str(numbers.get("skin_tone")), UNSAID_TONE),
        **drawn_body(str(said["name"]), float(numbers.get("age_years", 40.0)), str(numbers.get("sex"))),
    }
    return {
        "id": case["id"] if in_print else None,
        "title": case["title"] if in_print else None,
        "setting": case.get("setting"),
        "patient": part_shown("patient", patient),
        "order": order_shown(role, mode, _plain(case.get("order"))),
    }


def drawn_body(name: str, age_years: float, sex: str) -> dict[str, str]:
    """Build and hair for the drawing: invented, the same for the same name, and meaning nothing."""
    die = hashlib.sha256(name.encode()).digest()[0]
    if age_years < INFANT_BELOW_YEARS:
        return {"build": "infant", "hair": "short", "hair_tone": HAIR_TONES[die % 3]}
    build = "child" if age_years < CHILD_BELOW_YEARS else "woman" if sex == "female" else "man"
    hair = "long" if sex == "female" and die % 2 else "short"
    return {
        "build": build,
        "hair": hair,
        "hair_tone": "grey" if age_years >= GREY_FROM_YEARS else HAIR_TONES[die % 3],
    }


def _plain(order: Any) -> dict[str, Any] | None:
    if order is None:
        return None
    return {name: list(value) if isinstance(value, tuple) else value for name, value in order.items()}
