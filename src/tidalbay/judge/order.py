"""Forms that ask what was done, and in which order and time.

| form | formula | margin |
|---|---|---|
| happened A, by d | eventually[0, d] A | d less the moment of the first A |
| needs A before B | always(B implies once A, not undone since) | from A to B; the worst B counts |
| after each A expect B within d | always(A implies eventually[n, d] B) | d less the wait; the worst A |
"""

from collections.abc import Sequence
from typing import Final

from tidalbay.case.criteria import ActWanted, Form
from tidalbay.judge.matching import matching, only_said, still_stands, takes_eyes
from tidalbay.judge.record import Done, Record
from tidalbay.judge.verdict import CANNOT, MET, NOT_MET, Evidence, Finding
from tidalbay.judge.words import button, clock, span, told, upper, wanted_words

# Who watches and taps is some seconds off; an order closer than this is asked, not clocked (assumed).
TAP_ERROR_S: Final = 15.0
NO_PROOF: Final = "Nobody tapped it, which does not prove that it was not done."


def happened(record: Record, form: Form, if_never: str | None) -> Finding:
    """Something was done at least once; no later than a time, or before another act."""
    wanted = form.happened
    assert wanted is not None
    if form.before is not None:
        return needs(record, (wanted,), form.before, if_never)
    found = matching(record, wanted)
    if not found:
        return absent(record, wanted, if_never)
    first = found[0]
    evidence, prompted = Evidence((first.n,)), first.manner == "prompted"
    if form.by_ms is None:
        return Finding(MET, f"{upper(told(first))}.", None, "", None, evidence, prompted)
    latest_s = form.by_ms / 1000.0
    margin_s = latest_s - first.t_s
    how = "in time, before" if margin_s >= 0 else f"{span(margin_s)} after"
    why = f"{upper(told(first))}, {how} {clock(latest_s)}."
    return Finding(MET if margin_s >= 0 else NOT_MET, why, margin_s, "s", None, evidence, prompted)


def needs(record: Record, wanted: Sequence[ActWanted], before: ActWanted, if_never: str | None) -> Finding:
    """Each of some acts came before each of some others, and had not been undone by then."""
    occasions = matching(record, before)
    if not occasions:
        return never_came(record, _no_occasion(before), if_never)
    found = [_before(record, each, occasion, if_never) for occasion in occasions for each in wanted]
    return worst(found)


def after_each(record: Record, form: Form, if_never: str | None) -> Finding:
    """After each of some acts another one followed, neither too soon nor too late."""
    assert form.after_each is not None
    assert form.expect is not None
    assert form.within_ms is not None
    triggers = matching(record, form.after_each)
    if not triggers:
        return never_came(record, _no_occasion(form.after_each), if_never)
    answers = matching(record, form.expect)
    if not answers and takes_eyes(form.expect) and not record.is_whole_account and if_never != "missed":
        return absent(record, form.expect, if_never)
    return worst([_followed(record, form, trigger, answers) for trigger in triggers])


def never_came(record: Record, why: str, if_never: str | None) -> Finding:
    """The occasion for a criterion did not come; while the attempt goes on it still may."""
    is_missed = if_never == "missed" and record.has_ended
    return Finding(NOT_MET if is_missed else CANNOT, why, is_open=not record.has_ended)


def absent_words(record: Record, name: str, if_never: str | None) -> Finding:
    """Something that only eyes could have seen, and nobody recorded."""
    if if_never == "missed" or (record.is_whole_account and if_never is None):
        if record.has_ended:
            return Finding(NOT_MET, f"Not in the record: {name}.")
        return Finding(CANNOT, f"Not in the record so far: {name}.", is_open=True)
    return Finding(CANNOT, f"Not recorded: {name}. {NO_PROOF}")


def absent(record: Record, wanted: ActWanted, if_never: str | None) -> Finding:
    """An act that is not in the record: an omission only where the record would know."""
    said = only_said(record, wanted)
    if said:
        return Finding(NOT_MET, f"Only said: {told(said[0])}.", evidence=Evidence((said[0].n,)))
    name = wanted_words(wanted)
    if if_never == "cannot_be_judged" or (
        takes_eyes(wanted) and not record.is_whole_account and if_never != "missed"
    ):
        return Finding(CANNOT, f"Not recorded: {name}. {NO_PROOF}")
    if not record.has_ended:
        return Finding(CANNOT, f"Not in the record so far: {name}.", is_open=True)
    return Finding(NOT_MET, f"Not in the record: {name}.")


def worst(findings: Sequence[Finding]) -> Finding:
    """The finding that decides among several: a break, then what is undecided, then the least margin."""
    rank = {NOT_MET: 0, CANNOT: 1, MET: 2}
    chosen = min(
        findings, key=lambda f: (rank[f.verdict], f.margin if f.margin is not None else float("-inf"))
    )
    prompted = any(f.is_prompted for f in findings if f.verdict == MET)
    return Finding(
        chosen.verdict,
        chosen.why,
        chosen.margin,
        chosen.unit,
        chosen.broken_s,
        chosen.evidence,
        prompted,
        chosen.is_open,
    )


def _before(record: Record, wanted: ActWanted, occasion: Done, if_never: str | None) -> Finding:
    everyone = [done for done in matching(record, wanted) if done.n != occasion.n]
    earlier = [d for d in everyone if (d.t_s, d.n) < (occasion.t_s, occasion.n)]
    standing = [done for done in earlier if still_stands(record, done, occasion)]
    sure = [done for done in standing if _is_sure(done, occasion)]
    if sure:
        return _in_order(sure[-1], occasion)
    close = [d for d in everyone if not _is_sure(d, occasion) and (d in standing or d not in earlier)]
    for done in close:
        first = _answered(record, done, occasion)
        if first == done.n:
            return _in_order(done, occasion)
    undecided = [done for done in close if _answered(record, done, occasion) is None]
    if undecided:
        apart = span(abs(occasion.t_s - undecided[0].t_s))
        why = (
            f"{button(undecided[0].kind)} and {button(occasion.kind)} were tapped {apart} apart, and nobody "
            "said which came first."
        )
        return Finding(CANNOT, why, evidence=Evidence((undecided[0].n, occasion.n)))
    if earlier and not standing:
        why = f"{upper(told(earlier[-1]))}, but that was undone again before this: {told(occasion)}."
        return Finding(NOT_MET, why, evidence=Evidence((earlier[-1].n, occasion.n)))
    if not everyone:
        missing = absent(record, wanted, if_never)
        both = missing.evidence.with_others(Evidence((occasion.n,)))
        if missing.verdict == NOT_MET or missing.is_open:
            why = f"{upper(told(occasion))}. Not in the record before that: {wanted_words(wanted)}."
            return Finding(NOT_MET, why if not only_said(record, wanted) else missing.why, evidence=both)
        return Finding(missing.verdict, missing.why, evidence=both)
    late = everyone[0]
    margin_s = occasion.t_s - late.t_s
    why = f"{upper(told(occasion))}, and only {span(margin_s)} later {told(late)}."
    return Finding(NOT_MET, why, margin_s, "s", None, Evidence((late.n, occasion.n)))


def _no_occasion(wanted: ActWanted) -> str:
    return f"The occasion never came. Not in the record: {wanted_words(wanted)}."


def _is_sure(done: Done, occasion: Done) -> bool:
    exact = done.is_exact and occasion.is_exact
    return exact or abs(occasion.t_s - done.t_s) >= TAP_ERROR_S


def _answered(record: Record, done: Done, occasion: Done) -> int | None:
    """Which of two acts came first, as somebody said; None where nobody did."""
    for mark in reversed(record.marks):
        if mark.kind == "which_first":
            pair = {mark.values.get("first"), mark.values.get("second")}
            if pair == {done.n, occasion.n}:
                return int(mark.values["first"])
    return None


def _in_order(done: Done, occasion: Done) -> Finding:
    margin_s = max(0.0, occasion.t_s - done.t_s)
    why = f"{upper(told(done))}, and {span(margin_s)} later {told(occasion)}."
    evidence = Evidence((done.n, occasion.n))
    return Finding(MET, why, margin_s, "s", None, evidence, done.manner == "prompted")


def _followed(record: Record, form: Form, trigger: Done, answers: Sequence[Done]) -> Finding:
    assert form.expect is not None
    assert form.within_ms is not None
    soonest_s = trigger.t_s + form.not_before_ms / 1000.0
    latest_s = trigger.t_s + form.within_ms / 1000.0
    name = wanted_words(form.expect)
    later = [d for d in answers if d.t_s >= soonest_s and (d.t_s, d.n) > (trigger.t_s, trigger.n)]
    if later:
        answer = later[0]
        margin_s = latest_s - answer.t_s
        how = "" if margin_s >= 0 else f", which is {span(margin_s)} late"
        why = f"{upper(told(trigger))}, and {span(answer.t_s - trigger.t_s)} later {told(answer)}{how}."
        evidence = Evidence((trigger.n, answer.n))
        return Finding(
            MET if margin_s >= 0 else NOT_MET, why, margin_s, "s", None, evidence, answer.manner == "prompted"
        )
    evidence = Evidence((trigger.n,), ((soonest_s, latest_s),))
    if record.end_s < latest_s:
        was, ended = ("was", "ended") if record.has_ended else ("is", "stands")
        until = f"There {was} time until {clock(latest_s)} for this: {name}"
        why = f"{upper(told(trigger))}. {until}. The attempt {ended} at {clock(record.end_s)}."
        return Finding(CANNOT, why, evidence=evidence, is_open=not record.has_ended)
    margin_s = latest_s - record.end_s
    when = f"from {clock(soonest_s)} to" if form.not_before_ms else "by"
    why = f"{upper(told(trigger))}. Not in the record {when} {clock(latest_s)}: {name}."
    return Finding(NOT_MET, why, margin_s, "s", None, evidence)
