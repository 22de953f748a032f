"""Records made by hand: acts at moments, readings a second, no engine."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from tidalbay.case.criteria import Criterion
from tidalbay.case.yaml_tree import tupled
from tidalbay.judge import Record, Verdict, judge
from tidalbay.trace import Entry, Log, Mark, Trace, attempt_started

CASE = {
    "setup": {"devices": [{"id": "cannula", "kind": "nasal_cannula"}, {"id": "mask", "kind": "simple_mask"}]},
    "order": {"target_spo2_pct": [94, 98], "flow_lpm": 2, "device": "nasal_cannula"},
    "events": [],
}


def act(t_s: float, kind: str, on: str | None = None, by: str = "learner", **values: Any) -> dict[str, Any]:
    more = {name: values.pop(name) for name in ("manner", "seen_at_ms") if name in values}
    return {"t_ms": round(1000 * t_s), "kind": kind, "on": on, "by": by, "values": values, **more}


def mark(t_s: float, kind: str, about: str | None = None, **values: Any) -> dict[str, Any]:
    return {"t_ms": round(1000 * t_s), "kind": kind, "about": about, "rater": "checker", "values": values}


def record(
    happenings: Sequence[Mapping[str, Any]] = (),
    seconds: Mapping[str, Any] | None = None,
    end_s: float = 600.0,
    is_whole_account: bool = True,
    has_ended: bool = True,
    events: Sequence[Mapping[str, Any]] = (),
) -> Record:
    first = attempt_started(
        mode="formative",
        seed=1,
        case=CASE | {"events": list(events)},
        case_sha256="0" * 64,
        engine_digest="none",
        by="instructor",
    )
    log = Log([first])
    rows = [*happenings, act(end_s, "attempt_ended", why="finished")] if has_ended else list(happenings)
    late = [h for h in rows if "rater" in h and h["t_ms"] > 1000 * end_s]
    for said in [*sorted((h for h in rows if h not in late), key=lambda h: h["t_ms"]), *late]:
        if "rater" in said:
            log.append(Mark(n=log.next_n, **said))
        else:
            log.append(Entry(n=log.next_n, hands="learner", **said))
    clock = np.arange(1.0, end_s + 1.0)
    columns = {"t_s": clock, "wearing": np.full(len(clock), "none", dtype="U60")}
    columns |= {name: np.asarray(values) for name, values in (seconds or {}).items()}
    return Record(log, Trace(columns, {}), is_whole_account)


def criterion(**said: Any) -> Criterion:
    said = {name.removesuffix("_"): value for name, value in said.items()}
    return Criterion.model_validate(tupled({"id": "asked", "say": "As asked.", **said}))


def verdict(of: Record, **said: Any) -> Verdict:
    return judge(of, [criterion(**said)])[0]
