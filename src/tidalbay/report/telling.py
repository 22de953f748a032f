"""What the report says, once, for the page and for print."""

from typing import Any, Final

from tidalbay.judge.words import clock, upper
from tidalbay.report.debriefing import WORDS, Debrief
from tidalbay.report.strips import Strip
from tidalbay.science.warning import CREDIT

UNSEEN: Final = (
    "The dotted line is the truth behind the saturation shown. Inspired oxygen, carbon dioxide and medicine "
    "in the lungs are the model's and could not be seen at the bedside."
)
STEPS: Final = (("describe", "What happened"), ("analyse", "Why"), ("apply", "Next time"))


def title(debrief: Debrief) -> str:
    """What stands on top: the case, and that this is its debrief."""
    return f"Debrief: {debrief.case['title']}"


def facts(debrief: Debrief) -> list[tuple[str, str]]:
    """Who, what was ordered, how and how long: name and words."""
    case = debrief.case
    patient, numbers = case["patient"], case["patient"]["numbers"]
    low, high = case["order"]["target_spo2_pct"]
    who = [str(patient.get("name", "The patient")), f"{float(numbers.get('age_years', 0)):.0f} years"]
    if patient.get("bed"):
        who.append(str(patient["bed"]))
    return [
        ("Patient", f"{', '.join(who)} (invented)."),
        ("Order", str(case["order"].get("text") or f"Keep the saturation from {low:g} to {high:g} %.")),
        ("Attempt", f"{upper(debrief.mode)}. {debrief.how_it_ended}"),
    ]


def verdict_rows(debrief: Debrief) -> list[dict[str, Any]]:
    """Every criterion: what counts, its sentence, why, and the moments to look at; the missed ones first."""
    order = {"not_met": 0, "cannot_be_judged": 1, "met": 2}
    rows = []
    for verdict in sorted(debrief.judged.verdicts, key=lambda each: order[each.verdict]):
        moments = ", ".join(f"{clock(at_s)} {words}" for at_s, words in debrief.moments_of(verdict))
        why = verdict.finding.why
        if verdict.overruled:
            why += f" Overruled by a checker: {verdict.reason}"
        rows.append(
            {
                "word": WORDS[verdict.verdict],
                "verdict": verdict.verdict,
                "say": verdict.say + (" (must)" if verdict.must else ""),
                "why": why,
                "moments": moments,
            }
        )
    return rows


def act_rows(debrief: Debrief) -> list[tuple[str, str, str]]:
    """Every act: its number, its moment, its sentence."""
    return [
        (str(act.n), clock(act.t_s), act.sentence + (" Taken back." if act.is_taken_back else ""))
        for act in debrief.acts
    ]


def reading_rows(debrief: Debrief, every_s: float) -> tuple[list[str], list[list[str]]]:
    """The strips as a table: a head, and a row every so often. [s]"""
    strips = [strip for strip in debrief.strips if strip.lines]
    lines = [(strip, line) for strip in strips for line in strip.lines]
    head = ["Time", *(_column(strip, line.name, len(strip.lines) > 1) for strip, line in lines)]
    rows = []
    for n in range(int(debrief.end_s // every_s) + 1):
        at_s = n * every_s
        row = [clock(at_s)]
        for strip, line in lines:
            value = next((v for t_s, v in reversed(line.points) if t_s <= at_s), None)
            row.append(value_words(strip, value))
        rows.append(row)
    return head, rows


def value_words(strip: Strip, value: float | None) -> str:
    """A value of a strip as it is printed; a dash where nothing was known."""
    if value is None:
        return "–"
    return strip.names.get(round(value)) or f"{value:.{strip.digits}f}"


def _column(strip: Strip, line: str, is_one_of_many: bool) -> str:
    unit = f", {strip.unit}" if strip.unit else ""
    return f"{strip.title}{f' {line}' if is_one_of_many else ''}{unit}"


def small_print() -> list[str]:
    """What a reader must know and need not read first."""
    return [UNSEEN, f"Early-warning score: {CREDIT}"]
