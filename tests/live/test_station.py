"""A station: its life, and the order in which an act is kept, works and is told."""

import asyncio

import pytest
from tests.live.bench import CHECKER, INSTRUCTOR, LEARNER, Bench, flow, kinds, run

import tidalbay
from tidalbay.live import ActSaid, ClockSaid, MarkSaid, StationRefused
from tidalbay.records import StoreError
from tidalbay.trace import trace_from_json

# --- life -----------------------------------------------------------------------------------------


def test_a_station_is_empty_ready_running_paused_ended():
    async def lived():
        async with Bench() as bench:
            station, lives = bench.station, [bench.life]
            await bench.begin()
            lives.append(bench.life)
            await station.clock(ClockSaid(do="go"), INSTRUCTOR)
            lives.append(bench.life)
            await station.clock(ClockSaid(do="pause"), INSTRUCTOR)
            lives.append(bench.life)
            await station.end("finished", INSTRUCTOR)
            lives.append(bench.life)
            return lives, kinds(bench), bench.memory.clocks[station.attempt][1]

    lives, logged, marked = run(lived())

    assert lives == ["empty", "ready", "running", "paused", "ended"]
    assert logged == ["attempt_started", "resumed", "paused", "attempt_ended"]
    assert marked == "ended"


def test_before_it_goes_the_patient_is_seen_and_nothing_moves():
    async def ready():
        async with Bench() as bench:
            await bench.begin()
            await bench.pass_s(60)
            return bench.station.hello("learner")

    hello = run(ready())

    assert hello["clock"] == {"t_ms": 1, "times": 1, "state": "ready"}
    assert hello["breath"]["readings"]["spo2_shown_pct"] == 90.0
    assert hello["breath"]["breath"]["air_ml"][5] > 50.0
    assert hello["breath"]["findings"]


def test_what_is_shown_is_kept_when_the_attempt_ends_and_its_log_tells_it_again():
    async def played():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            await bench.pass_s(40)
            await bench.station.act(flow(4), CHECKER)
            await bench.pass_s(40.3)
            await bench.station.end("time_up", INSTRUCTOR)
        return bench.log, bench.memory.traces[bench.station.attempt]

    log, kept = run(played())
    trace = trace_from_json(kept.decode())

    assert trace == tidalbay.replay(log).trace()
    assert trace.seconds["t_s"][-1] == 80.0


def test_the_next_learner_finds_a_fresh_patient_of_the_same_case_with_chance_of_their_own():
    async def two():
        async with Bench() as bench:
            await bench.begin("transport", "formative")
            first = bench.log
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            await bench.pass_s(20)
            await bench.station.next("l-2")
            return first.acts, bench.log.acts, bench.station.learner, bench.now_ms

    first, second, learner, now_ms = run(two())

    assert first[-1].values["why"] == "finished"
    assert len(second) == 1
    assert second[0].values["case"] == first[0].values["case"]
    assert second[0].values["mode"] == "formative"
    assert second[0].values["seed"] != first[0].values["seed"]
    assert (learner, now_ms) == ("l-2", 1)


def test_an_attempt_that_goes_on_is_not_pushed_aside():
    async def pushed():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            with pytest.raises(StationRefused) as refused:
                await bench.begin()
            return str(refused.value), len(bench.memory.logs)

    assert run(pushed()) == ("Station 1 holds an attempt that has not ended; end that first.", 1)


def test_an_empty_station_takes_no_act():
    async def empty():
        async with Bench() as bench:
            await bench.station.act(flow(2), CHECKER)

    with pytest.raises(StationRefused) as refused:
        run(empty())
    assert str(refused.value) == "Station 1 is empty; start a case there first."


def test_a_station_that_was_stopped_kindly_says_so_until_it_goes_on():
    async def stopped():
        async with Bench() as bench:
            await bench.begin(mode="summative")
            await bench.station.clock(ClockSaid(do="go"), CHECKER)
            await bench.station.act(ActSaid(act="stopped_kindly"), LEARNER)
            then = bench.station.hello("projector")["station"]
            before = bench.now_ms
            await bench.pass_s(30)
            after = bench.now_ms
            await bench.station.clock(ClockSaid(do="go"), CHECKER)
            return then, after - before, bench.station.hello("projector")["station"]

    then, passed_ms, later = run(stopped())

    assert (then["state"], then["stopped_kindly"], passed_ms) == ("paused", True, 0)
    assert (later["state"], later["stopped_kindly"]) == ("running", False)


# --- the order of an act --------------------------------------------------------------------------


def test_an_act_is_on_the_disk_before_it_works_and_before_it_is_confirmed():
    async def waited():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            await bench.pass_s(5)
            bench.memory.waiting = []
            asked = asyncio.ensure_future(bench.station.act(flow(6), CHECKER))
            await asyncio.sleep(0.05)
            before = bench.station.hello("checker")
            assert not asked.done()
            assert len(bench.memory.waiting) == 1
            bench.wall.s += 1.5  # the disk is slow: the station's time stands still meanwhile
            bench.memory.waiting.pop()()
            receipt = await asked
            return before, receipt, bench.station.hello("checker"), bench.now_ms

    before, receipt, after, now_ms = run(waited())

    assert before["breath"]["things"]["flowmeters"][0]["float_frac"] == 0.0
    assert after["breath"]["things"]["flowmeters"][0]["float_frac"] == pytest.approx(0.4)
    assert [entry["n"] for entry in after["entries"]][-1] == receipt.n == 3
    assert receipt.t_ms == 5001  # received then, whatever the disk took
    assert now_ms == 6501  # and the wait is made up for


def test_an_act_whose_sender_has_gone_is_still_finished():
    async def gone():
        async with Bench() as bench:
            await bench.begin()
            bench.memory.waiting = []
            asked = asyncio.ensure_future(bench.station.act(flow(6), CHECKER))
            await asyncio.sleep(0.05)
            asked.cancel()
            await asyncio.sleep(0.05)
            bench.memory.waiting.pop()()
            bench.memory.waiting = None
            await bench.station.act(flow(2), CHECKER)
            return [entry.values["flow_lpm"] for entry in bench.log.acts[1:]], bench.station.hello("checker")

    flows, hello = run(gone())

    assert flows == [6, 2]
    assert [entry["act"] for entry in hello["entries"]] == ["attempt_started", "flow_set", "flow_set"]


def test_where_the_disk_refuses_nothing_has_happened_and_time_goes_on():
    async def refused():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            bench.memory.broken = StoreError("the disk is full.")
            with pytest.raises(StoreError):
                await bench.station.act(flow(6), CHECKER)
            bench.memory.broken = None
            await bench.pass_s(3)
            return bench.station.hello("checker"), kinds(bench)

    hello, logged = run(refused())

    assert logged == ["attempt_started", "resumed"]
    assert hello["breath"]["things"]["flowmeters"][0]["set_frac"] == 0.0
    assert hello["clock"]["t_ms"] == 3001


def test_the_same_tap_twice_is_one_act_with_one_receipt_even_when_the_attempt_has_ended():
    async def twice():
        async with Bench() as bench:
            await bench.begin()
            tap = flow(6, key=("tablet", 4))
            receipts = [await bench.station.act(tap, CHECKER)]
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            await bench.pass_s(2)
            receipts.append(await bench.station.act(tap, CHECKER))
            await bench.station.end("finished", INSTRUCTOR)
            receipts.append(await bench.station.act(tap, CHECKER))
            with pytest.raises(StationRefused) as refused:
                await bench.station.act(flow(9, key=("tablet", 4)), CHECKER)
            return receipts, kinds(bench).count("flow_set"), str(refused.value)

    receipts, how_often, sentence = run(twice())

    assert receipts[0] == receipts[1] == receipts[2]
    assert how_often == 1
    assert sentence.startswith("the key tablet 4 was used for entry 2, flow_set")


def test_two_acts_at_once_are_kept_one_after_the_other():
    async def at_once():
        async with Bench() as bench:
            await bench.begin()
            asked = [bench.station.act(flow(lpm, key=("tablet", lpm)), CHECKER) for lpm in range(1, 9)]
            receipts = await asyncio.gather(*asked)
            return [receipt.n for receipt in receipts]

    assert run(at_once()) == list(range(2, 10))


def test_a_late_tap_keeps_when_it_was_seen_and_works_from_now():
    async def late():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            await bench.pass_s(20)
            await bench.station.act(flow(6, seen_at_ms=9_000), CHECKER)
            await bench.station.act(flow(6, seen_at_ms=99_000_000), CHECKER)
            return bench.log.acts[-2:]

    seen, ahead = run(late())

    assert (seen.t_ms, seen.seen_at_ms) == (20_001, 9_000)
    assert ahead.seen_at_ms == ahead.t_ms  # the page's own clock ran ahead of the station's


def test_what_was_only_said_moves_nothing():
    async def said():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.act(flow(6, manner="said", hands="l-7"), CHECKER)
            return bench.station.hello("checker"), bench.log.acts[-1]

    hello, entry = run(said())

    assert hello["breath"]["things"]["flowmeters"][0]["set_frac"] == 0.0
    assert (entry.manner, entry.hands, entry.by) == ("said", "l-7", "checker")


def test_taking_back_restores_the_equipment_and_is_told_of_both_entries():
    async def back():
        async with Bench() as bench:
            await bench.begin()
            receipt = await bench.station.act(flow(6), CHECKER)
            seq = bench.station.hello("checker")["seq"]
            await bench.station.act(ActSaid(act="taken_back", values={"entry": receipt.n}), CHECKER)
            followed = bench.station.follow("checker", seq)
            told = [await anext(followed) for _ in range(2)]
            await followed.aclose()
            return told, bench.station.hello("checker")

    told, hello = run(back())

    entries = next(message for message in told if message["kind"] == "entries")["entries"]
    assert [(entry["n"], entry["taken_back"]) for entry in entries] == [(2, True), (3, False)]
    assert hello["breath"]["things"]["flowmeters"][0]["set_frac"] == 0.0


@pytest.mark.parametrize(("mode", "is_let"), [("formative", False), ("summative", False), ("practice", True)])
def test_a_learner_who_is_watched_takes_back_their_own_taps_and_nobody_elses(mode, is_let):
    kink = ActSaid(act="cause_thrown", on="cannula_tubing", values={"cause": "tube_kinked"})
    worked_out = ActSaid(act="minutes_worked_out", values={"minutes": 40})

    async def back():
        async with Bench() as bench:
            await bench.begin(mode=mode)
            said = [(flow(6), CHECKER), (kink, INSTRUCTOR), (worked_out, LEARNER)]
            receipts = [await bench.station.act(each, who) for each, who in said]
            answers = []
            for receipt in receipts:
                try:
                    await bench.station.act(ActSaid(act="taken_back", values={"entry": receipt.n}), LEARNER)
                    answers.append("")
                except StationRefused as refused:
                    answers.append(str(refused))
            return answers

    *others, own = run(back())

    refusal = "A learner takes back what they tapped themselves; this was tapped by somebody else."
    assert others == ["" if is_let else refusal] * 2
    assert own == ""


def test_a_tap_for_a_patient_who_has_left_is_refused():
    async def stale():
        async with Bench() as bench:
            await bench.begin()
            old = bench.station.attempt
            await bench.station.next()
            await bench.station.act(flow(6, attempt=old), CHECKER)

    with pytest.raises(StationRefused) as refused:
        run(stale())
    assert str(refused.value).startswith("This was tapped for an attempt that is over here")


def test_marks_are_kept_beside_acts_also_after_the_end_and_by_raters_alone():
    async def marked():
        async with Bench() as bench:
            await bench.begin(mode="summative")
            await bench.station.end("finished", INSTRUCTOR)
            said = MarkSaid(kind="global_rating", values={"rating": 3}, key=("tablet", 1))
            receipts = [await bench.station.mark(said, CHECKER) for _ in range(2)]
            with pytest.raises(StationRefused):
                await bench.station.mark(said, LEARNER)
            return receipts, bench.log.marks

    receipts, marks = run(marked())

    assert receipts[0] == receipts[1]
    assert [(mark.kind, mark.rater, mark.n) for mark in marks] == [("global_rating", "checker", 3)]
