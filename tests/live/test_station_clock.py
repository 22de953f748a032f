"""A station's clock: pace, skips, going back, and a computer that was held up."""

import asyncio
import itertools

import pytest
from tests.live.bench import CHECKER, INSTRUCTOR, LEARNER, Bench, flow, kinds, run

from tidalbay.equipment import ActRefused
from tidalbay.live import ActSaid, ClockSaid, StationRefused, Who

# --- time goes ------------------------------------------------------------------------------------


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


# --- going back -----------------------------------------------------------------------------------


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
