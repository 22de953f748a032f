"""Questions for the debrief from this learner's own record: what happened, why, and what it means next time.

The questions carry no verdict: whoever reads them sees moments and acts.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from tidalbay.case.criteria import Criterion
from tidalbay.catalogue.acts import acts
from tidalbay.catalogue.judged_readings import judged_readings
from tidalbay.catalogue.yaml_rows import mapping
from tidalbay.judge.attempt import Judged
from tidalbay.judge.record import Done
from tidalbay.judge.verdict import MET, NOT_MET, Verdict
from tidalbay.judge.words import clock, number, span

MOST: Final = 4  # moments that a debrief of twenty minutes has room for (common practice, no source)


@dataclass(frozen=True, slots=True)
class Prompt:
    """Three questions about one moment.

    Attributes
    ----------
    at_s : float
        The moment to show. [s]
    describe, analyse, apply : str
    criterion : str
        Which criterion brought it up; not for the first page.
    went_well : bool
    """

    at_s: float
    describe: str
    analyse: str
    apply: str
    criterion: str
    went_well: bool

    def as_plain(self) -> dict[str, Any]:
        """Names and plain values."""
        return {name: getattr(self, name) for name in self.__slots__}


def prompts(judged: Judged) -> list[Prompt]:
    """At most four moments, musts first, and one that went well; in the order in which they came."""
    pairs = list(zip(judged.criteria, judged.verdicts, strict=True))
    missed = [pair for pair in pairs if pair[1].verdict == NOT_MET]
    # What can be shown is better talked about than what is not there; of that one question is enough.
    missed.sort(key=lambda pair: (_has_no_moment(judged, pair), not pair[1].must, _moment(judged, pair[1])))
    shown = [pair for pair in missed if not _has_no_moment(judged, pair)]
    chosen = [*shown, *missed[len(shown) : len(shown) + 1]][: MOST - 1]
    well = [pair for pair in pairs if pair[1].verdict == MET and pair[1].finding.evidence.acts]
    well.sort(key=lambda pair: (not pair[1].must, -(pair[1].finding.margin or 0.0)))
    chosen += well[: MOST - len(chosen)] if not chosen else well[:1]
    made = [_prompt(judged, criterion, verdict) for criterion, verdict in chosen]
    return sorted(made, key=lambda prompt: prompt.at_s)


def _has_no_moment(judged: Judged, pair: tuple[Criterion, Verdict]) -> bool:
    return _when(pair[0], pair[1], _act(judged, pair[1])) == "never_came"


def _prompt(judged: Judged, criterion: Criterion, verdict: Verdict) -> Prompt:
    finding = verdict.finding
    done = _act(judged, verdict)
    reading = next(iter(finding.evidence.readings), None)
    words = {
        "at": clock(_moment(judged, verdict)),
        "act": acts()[done.kind].told(done.values) if done is not None else "were at the bedside",
        "for": span(abs(finding.margin or 0.0)) if finding.unit == "s" else span(finding.broken_s or 0.0),
        "what": judged_readings()[reading[0]].about if reading and reading[0] in judged_readings() else "it",
        "value": _value(done, reading),
        "say": verdict.say,
    }
    asked = _asked()[_when(criterion, verdict, done)]
    said = {step: asked[step].format_map(words) for step in ("describe", "analyse", "apply")}
    return Prompt(
        at_s=_moment(judged, verdict), criterion=verdict.criterion, went_well=verdict.verdict == MET, **said
    )


def _when(criterion: Criterion, verdict: Verdict, done: Done | None) -> str:
    if verdict.verdict == MET:
        return "went_well"
    if criterion.form in ("charted", "said") and done is not None:
        return "truth"
    if verdict.finding.evidence.readings:
        return "level"
    if criterion.form == "after_each" and done is not None:
        return "late"
    return "order" if done is not None and len(verdict.finding.evidence.acts) > 1 else "never_came"


def _value(done: Done | None, reading: tuple[str, float, float] | None) -> str:
    if reading is not None:
        return number(reading[2])
    if done is None:
        return ""
    found = done.values.get("found", done.values.get("fields", {}))
    return str(found.get("spo2_pct", "a number")) if hasattr(found, "get") else str(found)


def _act(judged: Judged, verdict: Verdict) -> Done | None:
    """The act that the moment is about: the last one of the evidence."""
    by_number = {done.n: done for done in (*judged.record.acts, *judged.record.said_only)}
    found = [by_number[n] for n in verdict.finding.evidence.acts if n in by_number]
    return found[-1] if found else None


def _moment(judged: Judged, verdict: Verdict) -> float:
    """The moment to show for a verdict. [s]"""
    evidence = verdict.finding.evidence
    if evidence.spans and not evidence.acts:
        return evidence.spans[0][0]
    if evidence.readings and not evidence.acts:
        return evidence.readings[0][1]
    done = _act(judged, verdict)
    return done.t_s if done is not None else _first_touch(judged.record.acts)


def _first_touch(done: Sequence[Done]) -> float:
    """When the equipment was first handled; what never happened is looked for around it. [s]"""
    return next((each.t_s for each in done if acts()[each.kind].changes != "nothing"), 0.0)


@cache
def _asked() -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = mapping("debrief_prompts.yaml")["prompts"]
    return found
