"""An attempt as it is talked through: one plain structure for the page, the file and print."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from tidalbay.catalogue.acts import acts, as_written
from tidalbay.catalogue.judged_readings import judged_readings
from tidalbay.judge import Course, Judged, Prompt, course_of, judge_attempt, prompts
from tidalbay.judge.verdict import CANNOT, MET, NOT_MET, Verdict
from tidalbay.judge.words import clock, number, span, upper
from tidalbay.report.folding import why_folded
from tidalbay.report.other_way import is_changeable
from tidalbay.report.strips import Strip, step_of, strips_of
from tidalbay.report.strips.slow import SkinMinutes
from tidalbay.trace import CAUTION, Entry, Log, Trace, plain

RESULTS: Final = {
    "competent": "Competent.",
    "not_yet_competent": "Not yet competent.",
    "undecided": "Undecided.",
    "void": "Void.",
}
ASSESSOR: Final = "An assessor decides, not the program."
FIRST_QUESTIONS: Final = ("What did you see?", "What did you decide?")
WORDS: Final[Mapping[str, str]] = {MET: "Met", NOT_MET: "Not met", CANNOT: "Open"}
# The clock's own entries say nothing about the patient; that time was skipped does, and stays.
_NOT_DONE_BY_HANDS: Final = frozenset(
    {"attempt_started", "attempt_ended", "paused", "resumed", "pace_set", "stepped"}
)


@dataclass(frozen=True)
class Act:
    """An act as it hangs on the line of time.

    Attributes
    ----------
    n : int
        Its number in the log.
    t_s : float
        When the record took it down. [s]
    kind, label, sentence : str
        Of the catalogue, a word or two for a flag, and what was done.
    manner, on : str
        As in the log; `on` is empty where it was done to nothing.
    is_taken_back, is_changeable : bool
    values : mapping
        Its arguments, plain.
    """

    n: int
    t_s: float
    kind: str
    label: str
    sentence: str
    manner: str
    on: str
    is_taken_back: bool
    is_changeable: bool
    values: Mapping[str, Any]

    def as_plain(self) -> dict[str, Any]:
        """Names and plain values."""
        return {**self.__dict__, "values": dict(self.values)}


@dataclass(frozen=True)
class Debrief:
    """Everything that is shown of an attempt afterwards."""

    judged: Judged
    acts: tuple[Act, ...]
    strips: tuple[Strip, ...]
    course: Course
    prompts: tuple[Prompt, ...]
    folded: str
    step_s: int

    @property
    def case(self) -> dict[str, Any]:
        """The case that the log keeps."""
        return self.judged.record.case

    @property
    def end_s(self) -> float:
        """The last moment that is recorded. [s]"""
        return self.judged.record.end_s

    @property
    def mode(self) -> str:
        """demonstration, practice, formative or summative."""
        return str(self.judged.record.log.entries[0].values["mode"])

    @property
    def how_it_ended(self) -> str:
        """In a sentence; of an attempt that goes on, that it does."""
        why = next(
            (str(a.values["why"]) for a in self.judged.record.log.acts if a.kind == "attempt_ended"), ""
        )
        if not why:
            return f"The attempt had not ended: this is how it stood at {clock(self.end_s)}."
        return f"It ended at {clock(self.end_s)}: {why.replace('_', ' ')}."

    @property
    def outcome_words(self) -> tuple[str, ...]:
        """The result and why, criteria counted and not named: they stand beside it."""
        outcome = self.judged.outcome
        musts = (*outcome.musts_missed, *outcome.musts_undecided)
        words = [RESULTS[outcome.result]]
        for which, how in ((outcome.musts_missed, "missed"), (outcome.musts_undecided, "not decided")):
            if which:
                words.append(f"{_steps(len(which))} that must be met {how}.")
        words += [sentence for sentence in outcome.why if not any(id in sentence for id in musts)]
        if outcome.out_of > 0:
            words.append(f"{outcome.points:g} of {outcome.out_of:g} points that could be judged.")
        if outcome.is_near:
            words.append("Near the line: a second person should look.")
        return (*words, *outcome.turn, ASSESSOR)

    @property
    def course_words(self) -> tuple[str, ...]:
        """How long the saturation shown was in its range, in sentences."""
        low, high = (f"{each:g}" for each in self.case["order"]["target_spo2_pct"])
        course = self.course
        whole_s = course.in_range_s + course.above_s + course.below_s + course.unknown_s
        if whole_s <= 0.0:
            return ("Nothing was recorded yet.",)
        words = [
            f"The saturation shown was in the ordered range, {low} to {high} %, for "
            f"{span(course.in_range_s)} of {span(self.end_s)} ({100.0 * course.in_range_s / whole_s:.0f} %)."
        ]
        for seconds, where in (
            (course.below_s, "below it"),
            (course.above_s, "above it while oxygen was given"),
            (course.unknown_s, "not shown at all"),
        ):
            if seconds > 0.0:
                words.append(f"For {span(seconds)} it was {where}.")
        if course.lowest_pct is not None:
            words.append(f"The lowest saturation shown was {course.lowest_pct:.0f} %.")
        return tuple(words)

    @property
    def questions(self) -> tuple[str, ...]:
        """What is asked first, before anybody speaks of verdicts."""
        of_case = tuple((self.case.get("debrief") or {}).get("questions", ()))
        return (*FIRST_QUESTIONS, *of_case)

    def first_page(self) -> dict[str, Any]:
        """What happened: trace and acts, and what to ask. Nothing in it holds a verdict."""
        record = self.judged.record
        case = self.case
        return {
            "caution": CAUTION,
            "case": {"id": case["id"], "title": case["title"], "minutes": case["minutes"]},
            "patient": {name: case["patient"].get(name) for name in ("name", "bed", "says")},
            "order": {
                "text": case["order"].get("text", ""),
                "target_spo2_pct": list(case["order"]["target_spo2_pct"]),
            },
            "mode": self.mode,
            "end_s": self.end_s,
            "has_ended": record.has_ended,
            "how_it_ended": self.how_it_ended,
            "step_s": self.step_s,
            "acts": [act.as_plain() for act in self.acts],
            "strips": [strip.as_plain() for strip in self.strips],
            "course": list(self.course_words),
            "questions": list(self.questions),
            "prompts": [] if self.folded else [_asked(prompt) for prompt in self.prompts],
            "folded": self.folded,
        }

    def verdicts_page(self) -> dict[str, Any]:
        """What the record says, each with the moments that prove it; nothing of it while it is folded."""
        if self.folded:
            return {"folded": self.folded, "verdicts": [], "outcome": None}
        return {
            "folded": "",
            "verdicts": [self._told(verdict) for verdict in self.judged.verdicts],
            "outcome": {**self.judged.outcome.as_plain(), "words": list(self.outcome_words)},
        }

    def moments_of(self, verdict: Verdict) -> tuple[tuple[float, str], ...]:
        """Where to look for what a verdict says: moment [s] and words, each moment once and in order."""
        by_number = {act.n: act for act in self.acts}
        found: dict[float, str] = {}
        for n in verdict.finding.evidence.acts:
            if n in by_number:
                found.setdefault(by_number[n].t_s, by_number[n].label)
        for from_s, to_s in verdict.finding.evidence.spans:
            found.setdefault(self._on_axis(from_s), f"to {clock(self._on_axis(to_s))}")
        for name, at_s, value in verdict.finding.evidence.readings:
            unit = judged_readings()[name].unit if name in judged_readings() else ""
            found.setdefault(self._on_axis(at_s), f"{number(value)} {unit}".strip())
        return tuple(sorted(found.items()))

    def _on_axis(self, at_s: float) -> float:
        return min(max(0.0, at_s), self.end_s)

    def _told(self, verdict: Verdict) -> dict[str, Any]:
        moments = [{"at_s": at_s, "words": words} for at_s, words in self.moments_of(verdict)]
        why = verdict.finding.why
        return {**verdict.as_plain(), "word": WORDS[verdict.verdict], "why": why, "moments": moments}


def debrief_of(log: Log, trace: Trace, skin: SkinMinutes | None = None, number: int | None = None) -> Debrief:
    """Lay an attempt out.

    Parameters
    ----------
    log : Log
    trace : Trace
        Of the same attempt, as it was shown.
    skin : rows of (moment [s], stage by place) or None
        From `skin_each_minute`; None where only a stored trace is there, and the strip then says so.
    number : int or None
        Which attempt at this assessment it is for its learner; None where nobody counts.
    """
    judged = judge_attempt(log, trace, number)
    record = judged.record
    step_s = step_of(record.end_s)
    return Debrief(
        judged=judged,
        acts=tuple(_acts(log)),
        strips=strips_of(record, step_s, skin),
        course=course_of(record),
        prompts=tuple(_each_once(prompts(judged))),
        folded=why_folded(record, judged.criteria),
        step_s=step_s,
    )


def _each_once(asked: list[Prompt]) -> list[Prompt]:
    """Questions without those that would be asked twice of one moment."""
    found: dict[tuple[str, ...], Prompt] = {}
    for each in asked:
        found.setdefault((each.describe, each.analyse, each.apply), each)
    return list(found.values())


def _steps(count: int) -> str:
    return "One step" if count == 1 else f"{count} steps"


def _acts(log: Log) -> list[Act]:
    back = {int(entry.values["entry"]) for entry in log.acts if entry.kind == "taken_back"}
    return [_act(entry, entry.n in back) for entry in log.acts if entry.kind not in _NOT_DONE_BY_HANDS]


def _act(entry: Entry, is_taken_back: bool) -> Act:
    kind = acts()[entry.kind]
    values: Mapping[str, Any] = plain(entry.values)
    sentence = kind.told(values)
    if entry.manner == "said":
        sentence = f"said, not done: {sentence}"
    elif entry.manner == "prompted":
        sentence = f"after a prompt: {sentence}"
    return Act(
        n=entry.n,
        t_s=entry.t_ms / 1000.0,
        kind=entry.kind,
        label=_label(kind.button, values),
        sentence=upper(sentence) + ".",
        manner=entry.manner,
        on=entry.on or "",
        is_taken_back=is_taken_back,
        is_changeable=is_changeable(entry) and not is_taken_back,
        values=values,
    )


def _label(button: str, values: Mapping[str, Any]) -> str:
    """A word or two for a flag: what the button says, and the one number or word that matters."""
    if "what" in values and "found" in values:
        button = upper(as_written(values["what"]))
    telling = [
        values[name] for name in ("flow_lpm", "found", "position", "drug", "minutes") if name in values
    ]
    if not telling or len(str(telling[0])) > 12:
        return button
    said = f"{telling[0]:g}" if isinstance(telling[0], int | float) else str(telling[0]).replace("_", " ")
    return f"{button}: {said}"


def _asked(prompt: Prompt) -> dict[str, Any]:
    """A question without the criterion that brought it up, nor whether it went well."""
    told = prompt.as_plain()
    return {name: told[name] for name in ("at_s", "describe", "analyse", "apply")}
