"""Print what pages receive: `python -m tidalbay.live.sample CASE SECONDS [ROLE] [MODE] [PATH]`.

The case is played with the acts of one of its paths, as fast as it goes; nothing is kept. Messages are
printed one a line, as they travel.
"""

import json
import sys
from collections.abc import Iterator
from typing import Any

from tidalbay.ask import load_case
from tidalbay.case import Case, case_sha256, resolve
from tidalbay.engine import compile_now, source_digest
from tidalbay.live.played import Played
from tidalbay.live.wire import entries_message, introduction
from tidalbay.trace import Entry, attempt_started


def messages(
    case: Case,
    seconds: float,
    role: str = "learner",
    mode: str = "formative",
    path: str | None = None,
    seed: int = 1,
) -> Iterator[dict[str, Any]]:
    """The messages of a case played by a script: hello, then entries and breaths in order.

    Parameters
    ----------
    case : Case
    seconds : float
        How long. [s]
    role, mode : str
    path : str or None
        Whose acts; the case's first path if it is not said.
    seed : int
    """
    first = attempt_started(
        mode=mode,
        seed=seed,
        case=resolve(case),
        case_sha256=case_sha256(case),
        engine_digest=source_digest(),
        by="station",
    )
    played = Played.begun("a-sample", first)
    script = list(case.paths[path] if path is not None else next(iter(case.paths.values()), ()))
    seq = 1
    yield _hello(played, role, seq)
    while min(played.due_ms, script[0].at_ms if script else played.due_ms) <= 1000.0 * seconds:
        is_act = bool(script) and script[0].at_ms <= played.due_ms
        now_ms = script[0].at_ms if is_act else played.due_ms
        told: list[dict[str, Any] | None] = []
        if is_act:
            act = script.pop(0)
            entry = Entry(
                n=played.log.next_n,
                t_ms=max(now_ms, played.reached_ms),
                kind=act.act,
                by="script",
                hands=act.by,
                manner=act.manner,
                on=act.on,
                values=dict(act.values),
            )
            played.take(entry)
            told.append(entries_message(played.log, role, mode, [entry.n]))
        if played.pass_to(now_ms) or is_act:
            told.append(played.moment(_clock(now_ms)).message(role))
        for message in told:
            if message is not None:
                seq += 1
                yield {**message, "seq": seq}


def _clock(t_ms: int) -> dict[str, Any]:
    return {"t_ms": t_ms, "times": 1, "state": "running"}


def _hello(played: Played, role: str, seq: int) -> dict[str, Any]:
    clock = _clock(played.reached_ms)
    return {
        "kind": "hello",
        "seq": seq,
        "role": role,
        "station": {
            "id": "s1",
            "title": "Station 1",
            "mode": played.mode,
            "state": "running",
            "minutes": played.case["minutes"],
            "attempt": played.id,
            "learner": None,
            "stopped_kindly": False,
        },
        "case": introduction(played.case, role, played.mode),
        "clock": clock,
        "entries": (entries_message(played.log, role, played.mode, [1]) or {"entries": []})["entries"],
        "breath": played.moment(clock).message(role),
        "notice": None,
        "me": "",
    }


def main(words: list[str]) -> None:
    """Print the messages."""
    if not 2 <= len(words) <= 5:
        sys.exit("python -m tidalbay.live.sample CASE SECONDS [ROLE] [MODE] [PATH]")
    name, seconds, role, mode, path = [*words, *("learner", "formative", "")[len(words) - 2 :]]
    compile_now()
    for message in messages(load_case(name), float(seconds), role, mode, path or None):
        print(json.dumps(message, ensure_ascii=False, allow_nan=False))


if __name__ == "__main__":
    main(sys.argv[1:])
