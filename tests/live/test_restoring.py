"""After a crash a station stands where its clock was last marked, as if it had never been away."""

import dataclasses

import pytest
from tests.live.bench import CASES, CHECKER, INSTRUCTOR, Bench, Memory, run

import tidalbay
from tidalbay.live import ActSaid, ClockSaid, Lab, StationRefused
from tidalbay.live.played import Played
from tidalbay.records import ActStore
from tidalbay.trace import trace_from_json


async def half_an_attempt(bench, case="post-operative"):
    """A few acts of every sort, and a moment in the middle of a breath."""
    station = bench.station
    await bench.begin(case, "formative")
    await station.clock(ClockSaid(do="go"), INSTRUCTOR)
    await bench.pass_s(33.3)
    await station.act(ActSaid(act="examined", values={"what": "pulse"}), CHECKER)
    await station.act(ActSaid(act="blood_gas_drawn"), CHECKER)
    await station.act(ActSaid(act="cause_thrown", values={"cause": "shunt_frac", "value": 0.4}), INSTRUCTOR)
    await bench.pass_s(41.7)
    await station.clock(ClockSaid(do="skip", minutes=3), CHECKER)
    await station.act(ActSaid(act="examined", values={"what": "chest_sounds"}), CHECKER)
    await bench.pass_s(64.1)
    await station.clock(ClockSaid(do="pause"), CHECKER)


def told(message):
    """What a breath's message says of the patient: what is aged or numbered by the clock stays."""
    return {name: part for name, part in message.items() if name not in ("seq", "superseded", "clock")}


@pytest.mark.parametrize("case", ["post-operative", "asthma-attack"])
def test_a_station_taken_up_again_tells_what_it_would_have_told(case):
    async def crashed():
        async with Bench() as bench:
            await half_an_attempt(bench, case)
            before = bench.station.hello("instructor")
            attempt, (t_ms, _) = bench.station.attempt, bench.memory.clocks[bench.station.attempt]
            disk = Memory()
            disk.logs = {attempt: bench.memory.log(attempt)}
            again = Bench(disk)
            async with again:
                await again.station.restore(attempt, t_ms)
                after = again.station.hello("instructor")
                for each in (bench, again):
                    await each.station.clock(ClockSaid(do="go"), INSTRUCTOR)
                    await each.pass_s(30, 0.25)
                return before, after, bench.station.hello("instructor"), again.station.hello("instructor")

    before, after, later, later_again = run(crashed())

    assert after["clock"]["state"] == "paused"
    assert after["notice"].startswith("The server stopped and has started again. This attempt stands at 5:19")
    assert after["entries"] == before["entries"]
    assert told(after["breath"])["findings"] == told(before["breath"])["findings"]
    assert told(after["breath"])["readings"] == told(before["breath"])["readings"]
    assert told(after["breath"])["truth"] == told(before["breath"])["truth"]
    assert told(later_again["breath"]) == told(later["breath"])


def test_an_attempt_taken_up_again_gives_the_same_digits():
    async def crashed():
        async with Bench() as bench:
            await half_an_attempt(bench)
            attempt, (t_ms, _) = bench.station.attempt, bench.memory.clocks[bench.station.attempt]
            return bench.log, attempt, t_ms

    log, attempt, t_ms = run(crashed())
    again = Played.replayed(attempt, log, t_ms)
    whole = tidalbay.replay(log, t_ms / 1000.0)
    again.attempt.run_to(600.0)
    whole.run_to(600.0)

    assert again.attempt.trace() == whole.trace()


def test_a_lab_takes_up_every_attempt_that_was_under_way(tmp_path):
    async def afternoon():
        lab = Lab.open(tmp_path, CASES)
        await lab.start()
        for id, case in (("s1", "transport"), ("s2", "hypercapnic-risk"), ("s3", "rising-shunt")):
            await lab.station(id).begin(lab.case(case), "practice", 1)
            await lab.station(id).clock(ClockSaid(do="skip", minutes=1), INSTRUCTOR)
        await lab.station("s3").end("finished", INSTRUCTOR)
        await lab.station("s2").clock(ClockSaid(do="back", to_ms=20_000), INSTRUCTOR)
        attempts = {id: lab.station(id).attempt for id in ("s1", "s2", "s3")}
        await lab.close()

        again = Lab.open(tmp_path, CASES)
        await again.start()
        board = {line["id"]: line for line in again.board()}
        await again.station("s1").act(ActSaid(act="order_read"), CHECKER)
        await again.close()
        return attempts, board, tmp_path

    attempts, board, folder = run(afternoon())

    assert board["s1"]["attempt"] == attempts["s1"]
    assert board["s2"]["attempt"] == attempts["s2"]
    assert [board[id]["state"] for id in ("s1", "s2", "s3", "s4")] == ["paused", "paused", "empty", "empty"]
    assert board["s1"]["clock"]["t_ms"] >= 60_000
    assert board["s2"]["clock"]["t_ms"] == 20_000
    store = ActStore.open(folder)
    assert [entry.kind for entry in store.log(attempts["s1"]).acts] == [
        "attempt_started",
        "time_skipped",
        "order_read",
    ]
    store.close()


def test_what_a_crash_left_undone_is_done_when_the_lab_opens_again(tmp_path):
    async def crashed():
        lab = Lab.open(tmp_path, CASES)
        await lab.start()
        station = lab.station("s1")
        await station.begin(lab.case("transport"), "practice", 1, learner="l-9")
        parent = station.attempt
        entries = [*lab.store.log(parent).entries]
        # A branch began and the parent was not ended; an attempt ended and its trace was not kept.
        lab.store.begin("a-branch", "s1", entries, parent).result()
        lab.store.begin("a-ended", "s2", entries).result()
        ended = dataclasses.replace(
            entries[0], n=2, t_ms=30_000, kind="attempt_ended", values={"why": "finished"}
        )
        lab.store.append("a-ended", [ended]).result()
        await lab.close()

        again = Lab.open(tmp_path, CASES)
        await again.start()
        await again._warming
        told = again.station("s1").attempt, again.station("s1").learner
        log, kept = again.store.log(parent), again.store.shown_trace("a-ended")
        await again.close()
        return told, log, kept

    told, log, kept = run(crashed())

    assert told == ("a-branch", "l-9")
    assert log.acts[-1].values["why"] == "gone_back"
    assert trace_from_json(kept.decode()).seconds["t_s"][-1] == 30.0


def test_a_lab_whose_attempt_cannot_be_read_says_so_and_opens_all_the_same(tmp_path):
    async def afternoon():
        lab = Lab.open(tmp_path, CASES)
        await lab.start()
        await lab.station("s1").begin(lab.case("transport"), "practice", 1)
        await lab.close()
        again = Lab.open(tmp_path, CASES)

        def unreadable(attempt):
            raise ValueError("entry 2 is not what was written.")

        again.store.log = unreadable
        await again.start()
        told = list(again.notices), again.station("s1").life
        await again.close()
        return told

    notices, life = run(afternoon())

    assert notices == ["Station 1: its attempt could not be taken up again. entry 2 is not what was written."]
    assert life == "empty"


def test_what_is_not_in_a_lab_is_named_in_a_sentence(tmp_path):
    async def asked():
        lab = Lab.open(tmp_path, {"transport": CASES["transport"]})
        await lab.start()
        sentences = []
        for ask in (
            lambda: lab.station("s9"),
            lambda: lab.case("flood"),
            lambda: lab.add_station("s1", "Another"),
        ):
            with pytest.raises(StationRefused) as refused:
                ask()
            sentences.append(str(refused.value))
        await lab.close()
        return sentences

    assert run(asked()) == [
        "There is no station 's9'; there is s1, s2, s3, s4, s5, s6.",
        "There is no case 'flood'; there is transport.",
        "There is a station 's1' already; give the new one another id.",
    ]
