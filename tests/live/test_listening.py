"""Listeners: a slow one holds nobody up and loses no entry; one that comes back misses nothing."""

import asyncio

import pytest
from tests.live.bench import CHECKER, INSTRUCTOR, Bench, run

from tidalbay.live import ActSaid, ClockSaid


async def taken(station, role, after=0, most=1000):
    """Everything that is waiting for a listener who comes with this number."""
    followed, told = station.follow(role, after), []
    while len(told) < most:
        try:
            told.append(await asyncio.wait_for(anext(followed), 0.01))
        except TimeoutError:
            break
    await followed.aclose()
    return told


def test_a_slow_listener_gets_only_the_newest_breath_and_every_entry():
    async def slow():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            seq = bench.station.hello("checker")["seq"]
            for _ in range(60):
                await bench.station.act(ActSaid(act="hands_cleaned"), CHECKER)
                await bench.pass_s(5)
            told = await taken(bench.station, "checker", seq)
            return told, bench.station.hello("checker")

    told, hello = run(slow())
    kinds = [message["kind"] for message in told]

    assert kinds.count("breath") == 1
    assert len(told) < 12
    assert next(m for m in told if m["kind"] == "breath")["breath"] == hello["breath"]["breath"]
    (entries,) = [message["entries"] for message in told if message["kind"] == "entries"]
    assert [entry["n"] for entry in entries] == list(range(3, 63))


def test_numbers_rise_and_whoever_comes_back_gets_what_came_after():
    async def back():
        async with Bench() as bench:
            await bench.begin()
            first = await taken(bench.station, "projector")
            await bench.station.act(ActSaid(act="order_read"), CHECKER)
            second = await taken(bench.station, "projector", first[-1]["seq"])
            nothing = await taken(bench.station, "projector", second[-1]["seq"])
            return first, second, nothing

    first, second, nothing = run(back())

    assert [message["kind"] for message in first] == ["hello"]
    assert {message["kind"] for message in second} == {"entries", "breath"}
    numbers = [message["seq"] for message in first + second]
    assert numbers == sorted(set(numbers))
    assert nothing == []


@pytest.mark.parametrize("after", [0, 10**9, -1])
def test_a_number_that_means_nothing_here_is_answered_with_a_greeting(after):
    async def greeted():
        async with Bench() as bench:
            await bench.begin()
            return await taken(bench.station, "learner", after)

    (hello,) = run(greeted())

    assert hello["kind"] == "hello"
    assert hello["seq"] > 0


def test_a_new_attempt_greets_everybody_afresh():
    async def next_one():
        async with Bench() as bench:
            await bench.begin()
            followed = bench.station.follow("learner")
            told = [await anext(followed)]
            await bench.station.next("l-2")
            told.append(await anext(followed))
            while told[-1]["kind"] != "hello":
                told.append(await anext(followed))
            await followed.aclose()
            return told, bench.station.attempt

    told, attempt = run(next_one())

    assert told[-1]["station"]["attempt"] == attempt
    assert told[-1]["station"]["learner"] == "l-2"
    assert [entry["act"] for entry in told[-1]["entries"]] == ["attempt_started"]


def test_a_listener_who_never_reads_holds_up_neither_acts_nor_others():
    async def deaf():
        async with Bench() as bench:
            await bench.begin()
            deaf = bench.station.follow("projector")
            await anext(deaf)  # and never again
            quick = bench.station.follow("checker")
            await anext(quick)
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            for _ in range(200):
                await bench.station.act(ActSaid(act="hands_cleaned"), CHECKER)
            told = [await anext(quick) for _ in range(3)]
            await deaf.aclose()
            await quick.aclose()
            return told

    assert run(deaf())


def test_the_instructor_is_told_who_is_there_and_nobody_else_is():
    async def people():
        async with Bench() as bench:
            await bench.begin()
            leads = bench.station.follow("instructor", screen="desk")
            hello = await anext(leads)
            learner = bench.station.follow("learner", screen="tablet")
            await anext(learner)
            told = await anext(leads)
            while told["kind"] != "people" or len(told["people"]) < 2:
                told = await anext(leads)
            await learner.aclose()
            left = await anext(leads)
            while left["kind"] != "people":
                left = await anext(leads)
            others = [
                m["kind"] for role in ("learner", "projector") for m in await taken(bench.station, role, 1)
            ]
            await leads.aclose()
            return hello, told, left, others

    hello, told, left, others = run(people())

    assert "people" in hello
    assert [(each["role"], each["screen"]) for each in told["people"]] == [
        ("instructor", "desk"),
        ("learner", "tablet"),
    ]
    assert [each["screen"] for each in left["people"]] == ["desk"]
    assert "people" not in others


def test_a_station_that_closes_ends_its_listeners():
    async def closed():
        async with Bench() as bench:
            await bench.begin()
            followed = bench.station.follow("learner")
            await anext(followed)
            waiting = asyncio.ensure_future(anext(followed))
            await asyncio.sleep(0)
            await bench.station.close()
            with pytest.raises(StopAsyncIteration):
                await waiting

    run(closed())


@pytest.mark.parametrize("life", ["empty", "ready", "ended"])
def test_a_station_beats_whether_its_clock_goes_or_not(life):
    async def beats():
        async with Bench() as bench:
            if life != "empty":
                await bench.begin()
            if life == "ended":
                await bench.station.end("finished", INSTRUCTOR)
            followed = bench.station.follow("learner")
            await anext(followed)
            bench.wall.s += 2.1
            told = await anext(followed)
            while told["kind"] != "beat":
                told = await anext(followed)
            await followed.aclose()
            return told

    assert run(beats())["kind"] == "beat"


def test_an_empty_station_can_be_listened_to():
    async def empty():
        async with Bench() as bench:
            followed = bench.station.follow("learner")
            hello = await anext(followed)
            await bench.begin()
            begun = await anext(followed)
            while begun["kind"] != "hello":
                begun = await anext(followed)
            await followed.aclose()
            return hello, begun

    hello, begun = run(empty())

    assert (hello["station"]["state"], hello["case"], hello["breath"]) == ("empty", None, None)
    assert begun["station"]["state"] == "ready"
    assert begun["case"]["patient"]["name"] == "Mr T. Oakley"
