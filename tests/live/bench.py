"""A station whose wall clock stands in the test's hand, and a keeper that keeps in memory."""

import asyncio
from concurrent.futures import Future, ThreadPoolExecutor

import tidalbay
from tidalbay.live import ActSaid, Station, Who
from tidalbay.trace import Log

INSTRUCTOR, CHECKER, LEARNER = Who("instructor"), Who("checker"), Who("learner")
CASES = {name: tidalbay.load_case(name) for name in sorted(tidalbay.demonstrations())}


class Wall:
    """Seconds of real time that pass only when somebody lets them."""

    def __init__(self):
        self.s = 1000.0

    def __call__(self):
        return self.s


class Memory:
    """Keeps logs as the store on the disk does, and remembers in which order things happened."""

    def __init__(self):
        self.logs, self.parents, self.clocks, self.traces = {}, {}, {}, {}
        self.waiting = None  # set to a list: futures are done only when somebody does them
        self.broken = None  # set to an exception: the disk refuses

    def _kept(self, attempt, entries, log):
        future = Future()
        if self.broken is not None:
            future.set_exception(self.broken)
            return future

        def keep():
            receipts = log.append_batch(entries)
            self.logs[attempt] = log
            future.set_result(receipts)

        if self.waiting is None:
            keep()
        else:
            self.waiting.append(keep)
        return future

    def begin(self, attempt, station, entries, parent=None):
        self.parents[attempt] = parent
        return self._kept(attempt, entries, Log())

    def append(self, attempt, entries):
        return self._kept(attempt, entries, self.logs[attempt])

    def mark_clock(self, attempt, t_ms, state):
        self.clocks[attempt] = (t_ms, state)

    def finish(self, attempt, trace_json):
        future = Future()
        self.traces[attempt] = trace_json
        future.set_result(None)
        return future

    def turn_of(self, attempt, costs_nothing):
        return None

    def log(self, attempt):
        return Log(self.logs[attempt].entries)


class Bench:
    """One station with its wall clock and its keeper."""

    def __init__(self, memory=None):
        self.wall, self.memory = Wall(), memory or Memory()
        self.station = Station("s1", "Station 1", self.memory, wall=self.wall, first_seq=1)

    async def __aenter__(self):
        return self

    async def __aexit__(self, *problem):
        await self.station.close()

    async def begin(self, case="post-operative", mode="practice", seed=3):
        await self.station.begin(CASES[case], mode, seed)

    async def pass_s(self, seconds, step_s=0.5):
        """Let real time pass, the station looking at its clock every so often."""
        while seconds > 1e-9:
            self.wall.s += min(step_s, seconds)
            seconds -= step_s
            await self.station.catch_up()

    @property
    def now_ms(self):
        return self.station.hello("instructor")["clock"]["t_ms"]

    @property
    def life(self):
        return self.station.life

    @property
    def log(self):
        return self.memory.logs[self.station.attempt]


def run(coroutine):
    """Run a test that waits for things, and not for ever.

    In a thread of its own: a browser's driver leaves its loop running in the thread of the tests, where no
    other loop may then start.
    """

    async def within():
        async with asyncio.timeout(60):
            return await coroutine

    with ThreadPoolExecutor(1) as thread:
        return thread.submit(asyncio.run, within()).result()


def flow(lpm, **more):
    """Somebody sets the flow."""
    return ActSaid(act="flow_set", on="flowmeter", values={"flow_lpm": lpm}, **more)


def kinds(bench):
    """What was done so far, by kind."""
    return [entry.kind for entry in bench.log.entries]
