"""The command that judges a run: a path of a case, a file of acts, or the log of an attempt."""

from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from tidalbay.cli.asked import case as case_named
from tidalbay.cli.log_file import ENDING, log_of
from tidalbay.cli.paper import CAUTION, labelled, result, result_json, width, wrapped
from tidalbay.cli.play.acts_file import script_named
from tidalbay.cli.refusals import WrongInFile

if TYPE_CHECKING:
    from tidalbay.case import Case
    from tidalbay.judge import Judged, Verdict

LABEL: Final = 9
SIGNS: Final = {"met": "met", "not_met": "not met", "cannot_be_judged": "open"}
RESULTS: Final = {
    "competent": "competent",
    "not_yet_competent": "not yet competent",
    "undecided": "undecided",
    "void": "void",
}


def judge(
    name: str,
    form: str | None,
    acts: str | None,
    minutes: float | None,
    seed: int,
    as_json: bool,
    procedures: str | None = None,
) -> None:
    """Judge a run and print each criterion with its verdict, its margin and its evidence."""
    is_log = bool(acts) and Path(str(acts)).suffix == ENDING
    if is_log:  # judged by the text that it keeps, whatever the procedures are now
        judged = judged_log(str(acts))
    else:
        judged = _played(case_named(name, form, procedures), acts, minutes, seed)
    if not judged.criteria:
        raise WrongInFile(
            f"{name} has no check-off, so there is nothing to judge. Write check_off: {{procedure: "
            "nasal-cannula}} into the case, or criteria of its own."
        )
    if as_json:
        result_json(judged.as_plain(), indent=2)
    else:
        result(judged_page(judged, width()))


def judged_log(path: str) -> "Judged":
    """The attempt of a log, judged by the text that the log itself keeps."""
    from tidalbay.ask import replay
    from tidalbay.judge import judge_attempt

    attempt = replay(log_of(path))
    return judge_attempt(attempt.log, attempt.trace())


def _played(case: "Case", acts: str | None, minutes: float | None, seed: int) -> "Judged":
    from tidalbay.ask import play
    from tidalbay.equipment import ActRefused
    from tidalbay.judge import judge_attempt

    script = script_named(acts, case)
    until = case.minutes if minutes is None else minutes
    try:
        playing = play(case, script.acts, until, seed)
        playing.run_to(60.0 * until)
        if until >= case.minutes:
            playing.end()
    except ActRefused as error:
        raise WrongInFile(f"Hands could not do what the script says: {error}") from None
    except ValueError as error:
        raise WrongInFile(str(error)) from None
    return judge_attempt(playing.log, playing.trace())


def judged_page(judged: "Judged", wide: int) -> str:
    """Return every criterion with its verdict and why, then what follows."""
    from tidalbay.judge.words import clock

    record = judged.record
    lines = [f"{record.case['title']}: judged to {clock(record.end_s)}"]
    if not record.has_ended:
        lines.append("The attempt has not ended: it is judged as far as it goes.")
    lines.append("")
    for criterion, verdict in zip(judged.criteria, judged.verdicts, strict=True):
        lines += _criterion(verdict, criterion.typical_error, wide)
    outcome = judged.outcome
    lines += ["", *labelled("Result", RESULTS[outcome.result].capitalize() + ".", wide, LABEL)]
    for sentence in outcome.why:
        lines += labelled("", sentence, wide, LABEL)
    lines += labelled(
        "Points", f"{outcome.points:g} of {outcome.out_of:g} that could be judged.", wide, LABEL
    )
    if outcome.is_near:
        lines += labelled("", "Near the line: a second person should look.", wide, LABEL)
    lines += labelled("Caution", f"{CAUTION} An assessor decides, not the program.", wide, LABEL)
    return "\n".join(lines)


def _criterion(verdict: "Verdict", typical_error: str | None, wide: int) -> list[str]:
    sign = SIGNS[verdict.verdict]
    say = verdict.say + (" (must)" if verdict.must else "")
    lines = labelled(sign, say, wide, LABEL)
    lines += labelled("", verdict.finding.why + _margin(verdict), wide, LABEL)
    if verdict.overruled:
        lines += labelled("", f"Overruled by a checker: {verdict.reason}", wide, LABEL)
    if verdict.verdict == "not_met" and typical_error:
        lines += labelled("", wrapped(f"Often seen: {typical_error}."), wide, LABEL)
    return lines


def _margin(verdict: "Verdict") -> str:
    finding: Any = verdict.finding
    if finding.margin is None:
        return ""
    unit = {"s": "s", "points": "points"}.get(finding.unit, finding.unit)
    return f" [{finding.margin:+.4g} {unit}]".replace("+0 ", "0 ")
