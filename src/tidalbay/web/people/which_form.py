"""Which of a case's parallel forms comes next at a station, so that nobody meets the patient just told of."""

from collections.abc import Sequence
from typing import Final

from tidalbay.case import FIRST_FORM
from tidalbay.live import Lab, Station
from tidalbay.records import StoreError
from tidalbay.trace import plain

# Modes in which one learner follows another; a demonstration keeps the patient it speaks of.
TAKES_TURNS: Final = ("practice", "formative", "summative")


def following(forms: Sequence[str], last: str | None) -> str:
    """Return the form after the one used last, the first where none was used or it is gone."""
    if last is None or last not in forms:
        return forms[0] if forms else FIRST_FORM
    return forms[(list(forms).index(last) + 1) % len(forms)]


def last_form(lab: Lab, station: Station, case_id: str) -> str | None:
    """Return the form that a case was last met in at a station, by what is kept; None where it never was."""
    here = station.begun
    if here is not None and here["id"] == case_id:
        return str(here.get("form", FIRST_FORM))
    for stored in reversed(lab.store.attempts()):
        if (stored.station, stored.case_id) == (station.id, case_id) and stored.mode in TAKES_TURNS:
            try:
                first = lab.store.log(stored.id).acts[0]
            except StoreError:
                return None
            return str(plain(first.values["case"]).get("form", FIRST_FORM))
    return None
