"""A record held against criteria: each form by its function, combined, with what people said beside it."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Final

from tidalbay.case.criteria import Criterion, Form
from tidalbay.judge.assumed import undecided_where_assumed
from tidalbay.judge.level import always, for_at_least, never
from tidalbay.judge.order import after_each, happened, needs, worst
from tidalbay.judge.own_word import undecided_by_own_word
from tidalbay.judge.record import Record
from tidalbay.judge.truth import charted, read_out
from tidalbay.judge.verdict import CANNOT, MET, NOT_MET, VERDICTS, Finding, Verdict
from tidalbay.judge.whole_truth import truth
from tidalbay.trace import Mark

STATES: Final = ("done", "said_only", "prompted", "missed", "not_seen")
_BY_STATE: Final[Mapping[str, tuple[str, str]]] = {
    "done": (MET, "The checker saw it done."),
    "prompted": (MET, "The checker saw it done after a prompt."),
    "said_only": (NOT_MET, "The checker heard it said and did not see it done."),
    "missed": (NOT_MET, "The checker saw that it was not done."),
    "not_seen": (CANNOT, "The checker could not see it."),
}


def judge(record: Record, criteria: Iterable[Criterion]) -> list[Verdict]:
    """The verdict on each criterion, in their order.

    A record that goes on is judged as far as it goes: findings that may still change say so by `is_open`.
    """
    return [_verdict(record, criterion) for criterion in criteria]


def finding_of(record: Record, form: Form, if_never: str | None = None) -> Finding:
    """What the record says of one form."""
    if form.parts:
        return _combined(form, [finding_of(record, part, if_never) for part in form.parts])
    return _FORMS[form.form](record, form, if_never)


def _verdict(record: Record, criterion: Criterion) -> Verdict:
    finding = finding_of(record, criterion, criterion.if_never)
    if criterion.must:
        finding = undecided_where_assumed(record, criterion, finding)
        finding = undecided_by_own_word(record, finding)
    state = _last(record.marks, "step_state", criterion.id)
    said = str(state.values.get("state")) if state is not None else None
    if said is not None and said in _BY_STATE and finding.verdict == CANNOT and not finding.is_open:
        finding = _by_state(finding, said)
    overrule = _last(record.marks, "overrule", criterion.id)
    other = str(overrule.values.get("verdict")) if overrule is not None else None
    return Verdict(
        criterion=criterion.id,
        say=criterion.say,
        must=criterion.must,
        weight=criterion.weight,
        finding=finding,
        state=said,
        overruled=other if other in VERDICTS else None,
        reason=str(overrule.values.get("reason", "")) if overrule is not None else "",
        overruled_by=overrule.rater if overrule is not None else "",
    )


def _by_state(finding: Finding, state: str) -> Finding:
    verdict, why = _BY_STATE[state]
    return Finding(verdict, why, evidence=finding.evidence, is_prompted=state == "prompted")


def _last(marks: Sequence[Mark], kind: str, about: str) -> Mark | None:
    """The newest mark of a kind about a criterion: who corrects themself is believed."""
    return next((m for m in reversed(marks) if m.kind == kind and m.about == about), None)


def _needs(record: Record, form: Form, if_never: str | None) -> Finding:
    assert form.needs is not None
    assert form.before is not None
    return needs(record, form.needs, form.before, if_never)


def _a_person(record: Record, form: Form, if_never: str | None) -> Finding:
    return Finding(CANNOT, "Only a person can judge this, and nobody has spoken yet.")


def _combined(form: Form, found: Sequence[Finding]) -> Finding:
    wanted = len(found) if form.all_of else form.at_least.n if form.at_least else 1
    met = [each for each in found if each.verdict == MET]
    undecided = [each for each in found if each.verdict == CANNOT]
    if len(met) >= wanted:
        verdict, decides = MET, met
    elif len(met) + len(undecided) < wanted:
        verdict, decides = NOT_MET, [each for each in found if each.verdict == NOT_MET]
    else:
        verdict, decides = CANNOT, undecided
    chosen = worst(decides)
    evidence = chosen.evidence
    for each in decides:
        evidence = evidence.with_others(each.evidence)
    # Margins in different units are never mixed into one number.
    units = {each.unit for each in decides}
    margin = chosen.margin if len(units) == 1 else None
    why = f"{_counted(len(met), len(found), wanted, verdict)}{chosen.why}"
    prompted = verdict == MET and any(each.is_prompted for each in met)
    is_open = any(each.is_open for each in decides)
    return Finding(
        verdict, why, margin, chosen.unit if margin is not None else "", None, evidence, prompted, is_open
    )


def _counted(met: int, of: int, wanted: int, verdict: str) -> str:
    """How many of several are met, as a sentence before the one that decides; none where one is enough."""
    if of == 1 or (verdict == MET and wanted == 1):
        return ""
    are = f"{'None' if met == 0 else met} of {of} {'is' if met <= 1 else 'are'} met"
    everything = "both are needed" if of == 2 else "all are needed"
    needed = everything if wanted == of else f"{'one is' if wanted == 1 else f'{wanted} are'} needed"
    return f"{are}. " if verdict == MET else f"{are}, and {needed}. "


_FORMS: Final[Mapping[str, Callable[[Record, Form, str | None], Finding]]] = {
    "happened": happened,
    "needs": _needs,
    "after_each": after_each,
    "always": always,
    "never": never,
    "for_at_least": for_at_least,
    "charted": charted,
    "said": read_out,
    "truth": truth,
    "judged_by": _a_person,
}
