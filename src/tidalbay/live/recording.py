"""A log played again as the messages that a screen would have had, for playing where there is no server.

The same messages as on the wire, for the eyes that a demonstration has; what has not changed since the
message before is left out.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, Final

from tidalbay.live.played import Played
from tidalbay.live.wire import entries_message, introduction
from tidalbay.trace import Entry, Log, Mark

ROLE: Final = "projector"
MODE: Final = "demonstration"


def recording(log: Log, until_s: float) -> dict[str, Any]:
    """What was to be seen of an attempt, message by message.

    Parameters
    ----------
    log : Log
        Whose first entry holds the case.
    until_s : float
        How far. [s]

    Returns
    -------
    dict
        `hello`, and `messages`, each with `at_ms`, the attempt's clock when it would have come.
    """
    first, *later = log.entries
    assert isinstance(first, Entry)
    played = Played.begun("recorded", first)
    hello = _hello(played)
    return {"hello": hello, "messages": list(_thinned(hello["breath"], _messages(played, later, until_s)))}


def _messages(played: Played, entries: list[Entry | Mark], until_s: float) -> Iterator[dict[str, Any]]:
    """Messages in the order in which they would have come, each with its moment."""
    waiting, until_ms = list(entries), round(1000.0 * until_s)
    while True:
        entry_ms = waiting[0].t_ms if waiting else until_ms + 1
        is_entry = entry_ms <= min(played.due_ms, until_ms)
        now_ms = entry_ms if is_entry else played.due_ms
        if now_ms > until_ms:
            return
        if is_entry:
            entry = waiting.pop(0)
            played.take(entry)
            said = entries_message(played.log, ROLE, MODE, [entry.n])
            if said is not None:
                yield {**said, "at_ms": now_ms}
        if played.pass_to(now_ms) or is_entry:
            yield {**_breath(played, now_ms), "at_ms": now_ms}


def _breath(played: Played, now_ms: int) -> dict[str, Any]:
    moment = replace(played.moment(_clock(now_ms)), mode=MODE, _told={})
    return moment.message(ROLE)


def _thinned(before: Mapping[str, Any], messages: Iterator[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    """Messages without the parts that are as they were."""
    last = dict(before)
    for message in messages:
        if message["kind"] != "breath":
            yield message
            continue
        keep = ("kind", "at_ms", "breath")
        yield {name: part for name, part in message.items() if name in keep or part != last.get(name)}
        last = message


def _hello(played: Played) -> dict[str, Any]:
    now_ms = played.reached_ms
    entries = entries_message(played.log, ROLE, MODE, [1]) or {"entries": []}
    return {
        "kind": "hello",
        "role": ROLE,
        "station": {
            "id": "recorded",
            "title": str(played.case["title"]),
            "mode": MODE,
            "state": "running",
            "minutes": played.case["minutes"],
            "attempt": "recorded",
        },
        "case": introduction(played.case, ROLE, MODE),
        "clock": _clock(now_ms),
        "entries": entries["entries"],
        "breath": _breath(played, now_ms),
        "notice": None,
    }


def _clock(t_ms: int) -> dict[str, Any]:
    return {"t_ms": t_ms, "times": 1, "state": "running"}
