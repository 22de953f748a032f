"""A station: life, order of an act, its clock, and what it refuses."""

import asyncio
import itertools
import json

import pytest
from tests.live.bench import CHECKER, INSTRUCTOR, LEARNER, Bench, run

import tidalbay
from tidalbay.equipment import ActRefused
from tidalbay.live import ActSaid, ClockSaid, MarkSaid, StationRefused, Who
from tidalbay.records import StoreError
from tidalbay.trace import trace_from_json


def flow(lpm, **more):
    return ActSaid(act="flow_set", on="flowmeter", values={"flow_lpm": lpm}, **more)


def kinds(bench):
    return [entry.kind for entry in bench.log.entries]


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


def test_a_tap_from_before_the_station_went_back_is_asked_for_again_but_a_stop_holds():
    async def gone_back():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            await bench.pass_s(20.0)
            seen = bench.station.attempt
            await bench.station.clock(ClockSaid(do="back", to_ms=5_000), INSTRUCTOR)
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            with pytest.raises(StationRefused) as refused:
                await bench.station.act(flow(6, attempt=seen), CHECKER)
            await bench.station.act(ActSaid(act="stopped_kindly", attempt=seen), LEARNER)
            return str(refused.value), bench.life, bench.station.board()["stopped_kindly"]

    words, life, is_stopped = run(gone_back())

    assert words == "The station went back after this was tapped; look again, then tap it again."
    assert (life, is_stopped) == ("paused", True)


@pytest.mark.parametrize(("mode", "is_let"), [("summative", False), ("formative", True), ("practice", True)])
def test_in_an_assessment_a_learners_screen_takes_what_is_written_and_not_what_hands_would_do(mode, is_let):
    async def tapped():
        async with Bench() as bench:
            await bench.begin(mode=mode)
            chart = {"form": "handoff", "fields": {"situation": "Saturation 90 %."}}
            await bench.station.act(ActSaid(act="charted", values=chart), LEARNER)
            try:
                await bench.station.act(ActSaid(act="hands_cleaned"), LEARNER)
                said = ""
            except StationRefused as refused:
                said = str(refused)
            await bench.station.act(ActSaid(act="hands_cleaned"), CHECKER)
            return said, [(entry.kind, entry.by) for entry in bench.log.acts[1:]]

    said, kept = run(tapped())

    own = [("hands_cleaned", "learner")] if is_let else []
    assert kept == [("charted", "learner"), *own, ("hands_cleaned", "checker")]
    assert ("tapped by the checker in an assessment" in said) is not is_let


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


# --- the clock ------------------------------------------------------------------------------------


def test_real_time_becomes_the_patients_time_and_each_breath_is_told_once():
    async def breathed():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            followed, told = bench.station.follow("learner"), []
            for _ in range(400):
                await bench.pass_s(0.05, 0.05)
                while True:
                    try:
                        told.append(await asyncio.wait_for(anext(followed), 0.001))
                    except TimeoutError:
                        followed = bench.station.follow("learner", told[-1]["seq"])
                        break
            return told, bench.now_ms

    told, now_ms = run(breathed())
    breaths = [message for message in told if message["kind"] == "breath"]
    fresh = [message["breath"] for message in breaths if not message["superseded"]]

    assert now_ms == pytest.approx(20_001, abs=2)
    assert [breath["n"] for breath in fresh] == list(range(2, 2 + len(fresh)))
    for one, after in itertools.pairwise(fresh):
        assert one["from_s"] + one["lasts_s"] == pytest.approx(after["from_s"], abs=2e-4)
    for message in breaths:
        assert 0 <= message["clock"]["t_ms"] / 1000.0 - message["breath"]["from_s"] < 3.5


def test_one_breath_passes_and_the_clock_stands_again():
    async def stepped():
        async with Bench() as bench:
            await bench.begin()
            moments = []
            for _ in range(3):
                await bench.station.clock(ClockSaid(do="step"), INSTRUCTOR)
                assert bench.life == "running"
                await bench.pass_s(12)
                moments.append((bench.life, bench.station.hello("learner")["breath"]["breath"]["n"]))
            return moments, kinds(bench)

    moments, logged = run(stepped())

    assert moments == [("paused", 2), ("paused", 3), ("paused", 4)]
    assert logged == ["attempt_started", "stepped", "stepped", "stepped"]


def test_at_sixty_times_the_pace_only_the_newest_breath_is_told():
    async def fast():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="pace", times=60), INSTRUCTOR)
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            await bench.pass_s(1.0, 1.0)
            seq = bench.station.hello("learner")["seq"]
            await bench.pass_s(1.0, 1.0)
            followed = bench.station.follow("learner", seq)
            told = await anext(followed)
            await followed.aclose()
            return told, bench.now_ms, kinds(bench)

    told, now_ms, logged = run(fast())

    assert told["kind"] == "breath"
    assert told["breath"]["from_s"] > 115.0
    assert now_ms == 120_001
    assert "pace_set" in logged


def test_hours_pass_at_once_and_the_skin_knows_it():
    async def skipped():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.act(
                ActSaid(act="strap_set", on="cannula", values={"snugness": "tight"}), CHECKER
            )
            await bench.station.act(ActSaid(act="device_placed", on="cannula"), CHECKER)
            await bench.station.clock(ClockSaid(do="skip", minutes=240), INSTRUCTOR)
            await bench.station.act(
                ActSaid(act="examined", values={"what": "skin", "site": "left_ear"}), CHECKER
            )
            return bench.now_ms, bench.station.hello("learner")

    now_ms, hello = run(skipped())

    assert now_ms == 14_400_001
    (ear,) = hello["breath"]["inspected"]
    assert ear["site"] == "left_ear"
    assert ear["stage"] >= 1
    assert ear["at_s"] == pytest.approx(14_400.001)


def test_going_back_goes_on_in_a_log_of_its_own_and_the_old_one_ends():
    async def back():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            await bench.pass_s(10)
            await bench.station.act(flow(4), CHECKER)
            await bench.pass_s(30)
            await bench.station.act(ActSaid(act="device_placed", on="cannula"), CHECKER)
            old_id, old = bench.station.attempt, bench.log
            await bench.station.clock(ClockSaid(do="back", to_ms=25_000), INSTRUCTOR)
            new_id = bench.station.attempt
            return old, bench.log, bench.memory.parents[new_id] == old_id, bench.now_ms, bench.life

    old, new, is_child, now_ms, life = run(back())

    assert is_child
    assert (now_ms, life) == (25_000, "paused")
    assert new.entries == old.entries[:3]
    assert old.acts[-1].values["why"] == "gone_back"
    assert old.acts[-1].t_ms >= 40_000


def test_going_back_into_hours_that_were_skipped_gives_the_patient_of_that_moment():
    async def back(to_ms):
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="skip", minutes=10), INSTRUCTOR)
            await bench.station.clock(ClockSaid(do="back", to_ms=to_ms), INSTRUCTOR)
            return bench.now_ms, kinds(bench), bench.station.hello("instructor")["breath"]["readings"]["t_s"]

    assert run(back(120_000)) == (120_000, ["attempt_started"], 120.0)
    assert run(back(600_001)) == (600_001, ["attempt_started", "time_skipped"], 600.001)


def test_a_branch_goes_on_from_now():
    async def branched():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            await bench.pass_s(10)
            before = bench.now_ms
            await bench.station.clock(ClockSaid(do="branch"), INSTRUCTOR)
            return before, bench.now_ms, len(bench.memory.logs)

    before, after, logs = run(branched())

    assert (before, logs) == (after, 2)


@pytest.mark.parametrize(
    ("said", "who", "mode", "sentence"),
    [
        (ClockSaid(do="pace", times=5), INSTRUCTOR, "summative", "is not for an assessment"),
        (ClockSaid(do="step"), CHECKER, "summative", "is not for an assessment"),
        (ClockSaid(do="back", to_ms=1), INSTRUCTOR, "summative", "An assessment does not go back"),
        (ClockSaid(do="branch"), INSTRUCTOR, "summative", "An assessment does not go back"),
        (ClockSaid(do="back", to_ms=1), CHECKER, "formative", "Going back is for the instructor"),
        (ClockSaid(do="back"), INSTRUCTOR, "practice", "Going back needs a moment; write to_ms."),
        (ClockSaid(do="back", to_ms=9_000), INSTRUCTOR, "practice", "9000 ms has not been yet"),
        (ClockSaid(do="go"), LEARNER, "formative", "a learner may do it when practising alone"),
        (ClockSaid(do="skip", minutes=5), LEARNER, "summative", "a learner may do it when practising alone"),
        (ClockSaid(do="skip"), INSTRUCTOR, "practice", "time_skipped lacks minutes"),
        (ClockSaid(do="pace", times=100), INSTRUCTOR, "practice", "times is 100"),
        (ClockSaid(do="pace"), INSTRUCTOR, "practice", "pace_set lacks times"),
        (ClockSaid(do="go"), Who("projector"), "practice", "it cannot be logged by projector"),
    ],
)
def test_the_clock_obeys_the_rules_of_the_mode(said, who, mode, sentence):
    async def refused():
        async with Bench() as bench:
            await bench.begin(mode=mode)
            with pytest.raises((StationRefused, ActRefused)) as problem:
                await bench.station.clock(said, who)
            return str(problem.value), len(bench.log)

    words, entries = run(refused())

    assert sentence in words
    assert entries == 1


def test_a_learner_who_practises_alone_leads_the_clock():
    async def alone():
        async with Bench() as bench:
            await bench.begin(mode="practice")
            for said in (
                ClockSaid(do="go"),
                ClockSaid(do="pace", times=5),
                ClockSaid(do="skip", minutes=5),
                ClockSaid(do="pause"),
                ClockSaid(do="back", to_ms=60_000),
            ):
                await bench.station.clock(said, LEARNER)
            return bench.now_ms

    assert run(alone()) == 60_000


def test_a_computer_that_slept_an_hour_catches_up_two_seconds_pauses_and_says_so():
    async def slept():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            await bench.pass_s(10)
            bench.wall.s += 3600.0
            await bench.station.catch_up()
            hello = bench.station.hello("learner")
            await bench.pass_s(10)
            return hello, bench.now_ms, kinds(bench)

    hello, now_ms, logged = run(slept())

    assert hello["clock"]["t_ms"] == now_ms == 12_001
    assert hello["notice"].startswith("The computer stood still for 60 minutes.")
    assert (hello["clock"]["state"], logged[-1]) == ("paused", "paused")


def test_a_computer_that_was_held_up_for_seconds_says_so_and_goes_on():
    async def held_up():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            bench.wall.s += 9.0
            await bench.station.catch_up()
            return bench.station.hello("learner")

    hello = run(held_up())

    assert hello["notice"] == "The computer was held up for 7 seconds; the patient's clock waited meanwhile."
    assert hello["clock"]["state"] == "running"


# --- what an act must say -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "who", "sentence"),
    [
        (ActSaid(act="flow_set", on="flowmeter", values={"flow_lpm": 40}), CHECKER, "15"),
        (ActSaid(act="flow_set", on="flowmeter"), CHECKER, "flow_set lacks flow_lpm or flush"),
        (ActSaid(act="flow_set", on="dial", values={"flow_lpm": 4}), CHECKER, "no flowmeter 'dial' here"),
        (ActSaid(act="gas_proved", on="mask"), CHECKER, "There is no 'mask' at this station"),
        (ActSaid(act="order_read", on="cannula"), CHECKER, "order_read is done to no object"),
        (ActSaid(act="event_thrown", values={"event": "pain-eases"}), CHECKER, "is logged by instructor"),
        (ActSaid(act="event_thrown", values={"event": "flood"}), INSTRUCTOR, "has no event 'flood'"),
        (ActSaid(act="cause_thrown", values={"cause": "spo2_shown_pct"}), INSTRUCTOR, "is a reading"),
        (ActSaid(act="cause_thrown", values={"cause": "pain"}), INSTRUCTOR, "pain needs a value"),
        (ActSaid(act="cause_thrown", values={"cause": "pain", "value": 20}), INSTRUCTOR, "0 to 10"),
        (ActSaid(act="cause_thrown", values={"cause": "valve_shut"}), INSTRUCTOR, "There is no cylinder"),
        (ActSaid(act="attempt_started"), INSTRUCTOR, "is written by the station itself"),
        (ActSaid(act="taken_back", values={"entry": 9}), CHECKER, "There is no act numbered 9"),
        (ActSaid(act="taken_back", values={"entry": 2}), CHECKER, "cannot be taken back"),
        (ActSaid(act="prompted", values={"what": "x"}), LEARNER, "it cannot be logged by learner"),
        (ActSaid(act="flew_away"), CHECKER, "There is no act 'flew_away'."),
        (ActSaid(act="order_read", manner="sung"), CHECKER, "manner is 'sung'"),
        (ActSaid(act="paused", manner="said"), CHECKER, "'Pause' is done or it is not"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence_and_leaves_nothing(said, who, sentence):
    async def refused():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            with pytest.raises((ActRefused, StationRefused)) as problem:
                await bench.station.act(said, who)
            return str(problem.value), len(bench.log)

    words, entries = run(refused())

    assert sentence in words
    assert entries == 2


def test_a_fault_thrown_by_the_instructor_strikes_and_is_hidden_from_the_learner():
    async def thrown():
        async with Bench() as bench:
            await bench.begin(mode="formative")
            said = ActSaid(act="cause_thrown", on="cannula_tubing", values={"cause": "tube_kinked"})
            await bench.station.act(said, INSTRUCTOR)
            event = ActSaid(act="event_thrown", values={"event": "pain-eases"})
            await bench.station.act(event, INSTRUCTOR)
            with pytest.raises(ActRefused):
                await bench.station.act(event, INSTRUCTOR)
            return {
                role: bench.station.hello(role) for role in ("learner", "projector", "checker")
            }, bench.log

    hellos, log = run(thrown())

    for role, hello in hellos.items():
        told = {entry["act"] for entry in hello["entries"]}
        assert ("cause_thrown" in told) == (role == "checker")
        assert ("event_thrown" in told) == (role == "checker")
        assert hello["breath"]["things"]["tubes"][0]["kinked"]
    assert log.acts[1].values["strikes"] == "equipment"


# --- what is taken --------------------------------------------------------------------------------


def test_what_is_examined_is_known_then_and_grows_old():
    async def examined():
        async with Bench() as bench:
            await bench.begin(mode="formative")
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            await bench.pass_s(60)
            before = bench.station.hello("learner")["breath"]
            for what in ("pulse", "blood_pressure", "temperature", "chest_sounds"):
                await bench.station.act(ActSaid(act="examined", values={"what": what}), CHECKER)
            await bench.station.act(ActSaid(act="blood_gas_drawn"), CHECKER)
            said = {"what": "rate", "found": 22, "seconds": 30}
            await bench.station.act(ActSaid(act="observed", values=said), CHECKER)
            at_once = bench.station.hello("learner")["breath"]
            await bench.pass_s(700)
            return before, at_once, bench.station.hello("learner")["breath"]

    before, at_once, later = run(examined())

    assert "measured_systolic_mmhg" not in before["readings"]
    assert "chest_sounds" not in {found["what"] for found in before["findings"]}
    assert at_once["readings"]["measured_systolic_mmhg"] == pytest.approx(125, abs=30)
    assert at_once["readings"]["measured_temperature_degc"] == pytest.approx(37.6, abs=0.3)
    assert at_once["readings"]["felt_pulse_per_min"] == pytest.approx(96, abs=8)
    assert at_once["readings"]["counted_rate_per_min"] == 22.0
    assert "gas_ph" not in at_once["readings"]
    assert at_once["readings"]["gas_due_in_s"] == pytest.approx(600, abs=1)
    assert later["readings"]["gas_ph"] == pytest.approx(7.4, abs=0.06)
    aged = later["readings"]["blood_pressure_age_s"] - at_once["readings"]["blood_pressure_age_s"]
    assert aged == pytest.approx(700, abs=4)
    heard = next(found for found in later["findings"] if found["what"] == "chest_sounds")
    assert heard["at_s"] == pytest.approx(60, abs=0.1)


def test_the_last_number_of_a_probe_that_came_off_is_remembered_longer_than_the_window():
    async def off():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.act(ActSaid(act="probe_removed"), CHECKER)
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            await bench.pass_s(600, 1.5)
            return bench.station.hello("learner")["breath"]["readings"]

    readings = run(off())

    assert readings["spo2_shown_pct"] is None
    assert readings["oximeter_signal"] == "probe off"
    assert readings["oximeter_last_pct"] == 90.0
    assert readings["oximeter_age_s"] == pytest.approx(599, abs=6)


def test_a_message_is_json_without_numbers_that_json_has_no_word_for():
    async def hello():
        async with Bench() as bench:
            await bench.begin("transport")
            await bench.station.clock(ClockSaid(do="skip", minutes=3), INSTRUCTOR)
            return [bench.station.hello(role) for role in ("learner", "checker", "instructor", "projector")]

    for message in run(hello()):
        assert json.loads(json.dumps(message, allow_nan=False)) == message


# --- what is told of going back -------------------------------------------------------------------


def test_going_back_a_long_way_is_told_first_and_where_it_stands_is_not_talked_over():
    async def back():
        async with Bench() as bench:
            await bench.begin(mode="demonstration")
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            await bench.station.clock(ClockSaid(do="skip", minutes=20), INSTRUCTOR)
            await bench.station.catch_up()
            over = bench.station.hello("instructor")["notice"]
            followed = bench.station.follow("instructor", 0)
            told = [await anext(followed)]

            async def listen():
                while len(told) == 1 or told[-1]["kind"] != "hello":
                    told.append(await anext(followed))

            listening = asyncio.ensure_future(listen())
            await asyncio.sleep(0)
            await bench.station.clock(ClockSaid(do="back", to_ms=1_190_000), INSTRUCTOR)
            await listening
            await followed.aclose()
            await bench.station.catch_up()
            return over, told, bench.station.hello("instructor")["notice"]

    over, told, notice = run(back())

    assert over == "The 16 minutes of this case are over."
    assert [message["words"] for message in told if message["kind"] == "notice"] == [
        "Going back: what came before is played again, which takes a few seconds."
    ]
    assert notice == "Gone back to 19:50; paused there."
