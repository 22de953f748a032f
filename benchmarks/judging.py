"""How fast a record is judged: sixty criteria over twenty minutes, against a plain evaluator in the same run.

    python -m benchmarks.judging

The reference walks through the rows one by one, as a first version would be written; both must agree.
Goals: a whole judgement under 20 ms, so that it can follow each act; a debrief with one act changed under
half a second.
"""

import time
from collections.abc import Sequence

import tidalbay
from tidalbay.attempt import Change, what_if
from tidalbay.case.criteria import Criterion
from tidalbay.case.procedures import steps_of
from tidalbay.engine import compile_now
from tidalbay.judge import Record, judge, judge_attempt, record_of
from tidalbay.judge.matching import matching

ROUNDS = 15
MINUTES = 20
SKILLS = ("nasal-cannula", "non-rebreathing-mask", "nebuliser-mask", "weaning", "oximetry")


def sixty_criteria() -> list[Criterion]:
    found = [step for skill in SKILLS for step in steps_of(skill)]
    return [each.model_copy(update={"id": f"c{i}"}) for i, each in enumerate(found)][:60]


def plainly(record: Record, criteria: Sequence[Criterion]) -> list[str]:
    """The same verdicts by walking through acts and rows; only the forms whose meaning is short."""
    verdicts = []
    rows = [record.trace.seconds.row(i) for i in range(record.trace.seconds.rows)]
    for each in criteria:
        if each.form == "never" and each.never.reading is not None:
            device = next(iter(record.device_kinds), "")
            worn = [row for row in rows if any(k in row["wearing"].split(" + ") for k in each.never.wearing)]
            column = f"{device}_flow_lpm"
            longest = run = 0
            for row in worn:
                run = run + 1 if row.get(column, 0.0) > (each.never.above or 1e9) else 0
                longest = max(longest, run)
            if not worn:
                verdicts.append("cannot_be_judged")
            else:
                verdicts.append("not_met" if 1000 * longest > each.never.longer_than_ms else "met")
        elif each.form == "needs" and len(each.needs) == 1:
            occasions = matching(record, each.before)
            earlier = [
                any(a.t_s <= o.t_s and a.n != o.n for a in matching(record, each.needs[0])) for o in occasions
            ]
            verdicts.append("cannot_be_judged" if not occasions else "met" if all(earlier) else "not_met")
        else:
            for row in rows:  # any other form looks at every row once
                _ = row["spo2_shown_pct"] >= 90
            verdicts.append("")
    return verdicts


def fastest_s(work) -> float:
    taken = []
    for _ in range(ROUNDS):
        since = time.perf_counter()
        work()
        taken.append(time.perf_counter() - since)
    return min(taken)


def main() -> None:
    compile_now()
    playing = tidalbay.play(tidalbay.load_case("post-operative"), "good", MINUTES)
    playing.run_to(60.0 * MINUTES)
    playing.end()
    trace, criteria = playing.trace(), sixty_criteria()

    def ours() -> list[str]:
        return [v.finding.verdict for v in judge(Record(playing.log, trace, True), criteria)]

    def reference() -> list[str]:
        return plainly(Record(playing.log, trace, True), criteria)

    unlike = [i for i, (a, b) in enumerate(zip(ours(), reference(), strict=True)) if b and a != b]
    judge_s, plain_s = fastest_s(ours), fastest_s(reference)
    flow = next(act for act in playing.log.acts if act.kind == "flow_set")

    def other() -> None:
        changed = what_if(playing.log, Change("changed", flow.n, values={"flow_lpm": 6.0}), 60.0 * MINUTES)
        judge_attempt(changed.attempt.log, changed.attempt.trace())
        record_of(changed.attempt.log, changed.attempt.trace())

    other_s = fastest_s(other)
    print(f"{len(criteria)} criteria, {MINUTES} minutes, {len(playing.log)} entries")
    print(
        f"judged in {1000 * judge_s:.1f} ms (goal 20); "
        f"plain evaluator {1000 * plain_s:.1f} ms: {plain_s / judge_s:.1f} times"
    )
    print(f"verdicts that differ from the plain evaluator's: {len(unlike)}")
    print(f"one act changed, run and judged again in {1000 * other_s:.0f} ms (goal 500)")


if __name__ == "__main__":
    main()
