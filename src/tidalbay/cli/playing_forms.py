"""Parallel forms held against their case by playing it: the same criteria, and what is believed."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, Final

from tidalbay.catalogue.fault import Fault, said
from tidalbay.cli.paper import joined, talk
from tidalbay.cli.preparing import begin_fetching, compile_beside, wait_for

if TYPE_CHECKING:
    from tidalbay.case import Believed, Case
    from tidalbay.judge import Judged
    from tidalbay.trace import Trace

GOOD: Final = "good"
COUNTED_S: Final = 60.0  # a rate is what is counted over the minute before
SEED: Final = 0
# Numbers that a script reads out, by the act's argument or the chart's field, and where they are shown.
READ_OUT: Final = {"spo2": "spo2_shown_pct", "rate": "rate_per_min"}
CHARTED: Final = {"spo2_pct": "spo2_shown_pct", "rate_per_min": "rate_per_min"}


class Played:
    """One form of a case on one of its paths, to its end."""

    def __init__(self, case: "Case", path: str) -> None:
        """Play it."""
        from tidalbay.ask import play

        playing = play(case, path, seed=SEED)
        playing.run_to(60.0 * case.minutes)
        playing.end()
        self._log, self.trace = playing.log, playing.trace()

    @cached_property
    def judged(self) -> "Judged":
        """The run judged as if the script had read out what this form showed."""
        from tidalbay.judge import judge_attempt
        from tidalbay.trace import Entry, Log

        entries = [
            replace(each, values=self._read_anew(each)) if isinstance(each, Entry) else each
            for each in self._log.entries
        ]
        return judge_attempt(Log(entries), self.trace)

    def _read_anew(self, entry: Any) -> dict[str, Any]:
        from tidalbay.trace import plain

        values, at_s = plain(entry.values), entry.t_ms / 1000.0
        if entry.kind == "observed" and values.get("what") in READ_OUT:
            values["found"] = round(reading(self.trace, READ_OUT[values["what"]], at_s))
        if entry.kind == "charted":
            fields = values["fields"]
            anew = {
                name: round(reading(self.trace, CHARTED[name], at_s)) for name in fields if name in CHARTED
            }
            values["fields"] = {**fields, **anew}
        return dict(values)


def reading(trace: "Trace", name: str, at_s: float) -> float:
    """Return a reading of the patient at a moment; a rate as it would be counted until then. [s]"""
    column = trace.seconds[name]
    last = min(round(at_s), len(column) - 1)
    if name == "rate_per_min":
        return float(column[max(0, last - round(COUNTED_S)) : last + 1].mean())
    return float(column[last])


def faults_of_forms(case: "Case") -> Iterator[tuple[tuple[str | int, ...], Fault]]:
    """Find what is wrong with a case's forms, each with its place in the file.

    Nothing is played where a case has no forms and says nothing that is believed.
    """
    from tidalbay.case import in_form
    from tidalbay.equipment import ActRefused

    paths = list(dict.fromkeys(row.path for row in case.believed))
    if case.forms and case.check_off is not None and GOOD in case.paths and GOOD not in paths:
        paths.append(GOOD)
    if not paths:
        return
    fetching = begin_fetching()
    wait_for(fetching)
    compile_beside(fetching, 60.0 * case.minutes * len(paths) * len(case.form_ids), has_time=False)
    of_case: dict[str, Played] = {}
    for place, id in enumerate(case.form_ids):
        talk(f"Playing form {id.upper()} of {case.id}: {joined(paths)}.")
        where = ("forms", place - 1, "id") if place else ("paths",)
        for path in paths:
            try:
                played = Played(in_form(case, id), path)
            except (ActRefused, ValueError) as refused:
                what = f"form {id} cannot be played on the path {path}: {str(refused).rstrip('.')}"
                yield where, Fault("", what, "", _nearer(case, place))
                continue
            of_case.setdefault(path, played)
            yield from _beyond_belief(case, place, path, played.trace)
            if place and path == GOOD and case.check_off is not None:
                for criterion in _lost(of_case[path].judged, played.judged):
                    what = (
                        f"in form {id} the criterion {criterion} is not met on the path {path},"
                        " and in the case as it is written it is"
                    )
                    yield where, Fault("", what, "", _nearer(case, place))


def _beyond_belief(
    case: "Case", place: int, path: str, trace: "Trace"
) -> Iterator[tuple[tuple[str | int, ...], Fault]]:
    for i, row in enumerate(case.believed):
        if row.path != path:
            continue
        value = reading(trace, row.reading, row.at_ms / 1000.0)
        low, high = row.between
        if low <= value <= high:
            continue
        allowed = f"{said(low)} to {said(high)}"
        if place:
            id = case.form_ids[place]
            what = f"in form {id}, {_told(row, value)}"
            yield ("forms", place - 1, "id"), Fault("", what, allowed, _nearer(case, place))
        else:
            hint = "change the numbers of the patient, or believe otherwise"
            yield ("believed", i, "between"), Fault("", _told(row, value), allowed, hint)


def _told(row: "Believed", value: float) -> str:
    from tidalbay.case.moments import text_from_ms

    return f"{row.reading} is {value:.4g} at {text_from_ms(row.at_ms)} on the path {row.path}"


def _lost(of_case: "Judged", of_form: "Judged") -> list[str]:
    """Return criteria that the case's good path meets and the form's does not."""
    met = {each.criterion for each in of_case.verdicts if each.verdict == "met"}
    return [each.criterion for each in of_form.verdicts if each.criterion in met and each.verdict != "met"]


def _nearer(case: "Case", place: int) -> str:
    if not place:
        return ""
    form = case.forms[place - 1]
    changed = [*form.patient.numbers, *form.flows_lpm]
    if not changed:
        return "the same numbers as in the case would do"
    return f"bring {joined(changed)} nearer to the case's own"
