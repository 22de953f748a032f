"""How the patient looks in a drawing: from findings in words, never from the numbers behind them."""

from collections.abc import Iterable

from tidalbay.bedside.findings import Finding
from tidalbay.catalogue.findings import DRAWN, finding_ladders, recline_deg

# How much a patient says in one breath, for whoever draws or voices it; by rung of the ladder of speech.
SPEAKS = {
    "none": "nothing",
    "words": "single words",
    "phrases": "phrases",
    "sentences": "whole sentences",
}


def drawn_look(found: Iterable[Finding], posture: str) -> dict[str, object]:
    """Numbers of the drawing that follow from what is found.

    Parameters
    ----------
    found : iterable of Finding
    posture : str
        flat, side, propped, upright or sitting_out.

    Returns
    -------
    dict
        Every name of `DRAWN` (the largest where two findings show the same), `recline_deg`,
        `posture`, and `speaks` where speech was found.
    """
    ladders = finding_ladders()
    look: dict[str, object] = {}
    drawn = dict.fromkeys(DRAWN, 0.0)
    for each in found:
        rung = next(rung for rung in ladders[each.what].rungs if rung.id == each.rung)
        for name, value in rung.draws.items():
            drawn[name] = max(drawn[name], float(value))
        if each.what == "speech":
            look["speaks"] = SPEAKS[each.rung]
    return {**drawn, "recline_deg": recline_deg()[posture], "posture": posture, **look}
