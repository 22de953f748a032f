"""Whatever hands and clocks do to a station: its log tells the same patient again, to the last digit."""

import contextlib
import json

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.live.bench import CASES, CHECKER, INSTRUCTOR, LEARNER, Bench, run

import tidalbay
from tidalbay.catalogue import acts, causes
from tidalbay.equipment import ActRefused
from tidalbay.live import CLOCK_DOES, ActSaid, ClockSaid, StationRefused, act_said, clock_said, mark_said
from tidalbay.trace import MODES

PARTS = ("flowmeter", "cannula", "reservoir_mask", "outlet", "cannula_tubing", "probe")
TAPS = (
    ActSaid(act="tubing_connected", values={"from": "flowmeter", "to": "reservoir_mask"}),
    ActSaid(act="flow_set", on="flowmeter", values={"flow_lpm": 15}),
    ActSaid(act="flow_set", on="flowmeter", values={"flow_lpm": 2}),
    ActSaid(act="flow_set", on="flowmeter", values={"flush": True}),
    ActSaid(act="bag_filled", on="reservoir_mask"),
    ActSaid(act="device_placed", on="reservoir_mask"),
    ActSaid(act="device_placed", on="cannula"),
    ActSaid(act="device_removed", on="reservoir_mask"),
    ActSaid(act="positioned", values={"position": "upright"}),
    ActSaid(act="probe_removed"),
    ActSaid(act="probe_placed", values={"site": "ear"}),
    ActSaid(act="examined", values={"what": "pulse"}),
    ActSaid(act="observed", values={"what": "rate", "found": 20}),
    ActSaid(act="cause_thrown", on="cannula_tubing", values={"cause": "tube_kinked"}),
    ActSaid(act="cause_thrown", values={"cause": "shunt_frac", "value": 0.3}),
    ActSaid(act="cause_thrown", values={"cause": "sedation_frac", "value": 0.9}),
    ActSaid(act="event_thrown", values={"event": "bases-open"}),
    ActSaid(act="medicine_given", values={"drug": "paracetamol", "dose": "1 g", "route": "mouth"}),
    ActSaid(act="taken_back", values={"entry": 3}),
    ActSaid(act="stopped_kindly"),
)
does = st.one_of(
    st.tuples(st.just("tap"), st.sampled_from(TAPS)),
    st.tuples(st.just("wait"), st.floats(0.01, 25.0)),
    st.tuples(
        st.just("clock"),
        st.builds(
            ClockSaid,
            do=st.sampled_from(CLOCK_DOES),
            times=st.integers(1, 60),
            minutes=st.floats(0.5, 4.0),
            to_ms=st.one_of(st.none(), st.integers(0, 200_000)),
        ),
    ),
)


async def lived(done, mode):
    """A life at a station; every attempt that it held, with its clock at the end, and how it looked."""
    async with Bench() as bench:
        await bench.begin(mode=mode)
        await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
        for what, how in done:
            with contextlib.suppress(ActRefused, StationRefused):
                if what == "tap":
                    await bench.station.act(how, INSTRUCTOR)
                elif what == "clock":
                    await bench.station.clock(how, INSTRUCTOR)
                else:
                    await bench.pass_s(how, 0.7)
            hello = bench.station.hello("learner")
            assert hello["clock"]["state"] == bench.life
        played = bench.station._now.played
        return bench.memory.logs, bench.station.attempt, bench.now_ms, played


@given(st.lists(does, min_size=1, max_size=25), st.sampled_from(MODES))
@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
def test_a_log_tells_the_patient_that_the_station_showed(done, mode):
    logs, attempt, now_ms, played = run(lived(done, mode))
    for id, log in logs.items():
        moments = [entry.t_ms for entry in log.entries]
        assert moments == sorted(moments)
        assert (id == attempt) or log.acts[-1].values["why"] == "gone_back"
        again = tidalbay.replay(log)
        if id == attempt:
            played.attempt.run_to(now_ms / 1000.0)
            again.run_to(now_ms / 1000.0)
            assert again.trace().digest() == played.attempt.trace().digest()


# --- nonsense -------------------------------------------------------------------------------------

junk = st.recursive(
    st.one_of(
        st.none(),
        st.booleans(),
        st.integers(-(2**70), 2**70),
        st.floats(),
        st.text(max_size=12),
        st.sampled_from(["done", "flowmeter", "cannula", "salbutamol", "x" * 5000, "\ud800", "\x00"]),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=6,
)
names = sorted({name for kind in acts().values() for name in kind.arguments})
nearly = st.dictionaries(
    st.sampled_from(names), st.one_of(junk, st.sampled_from(sorted(causes()))), max_size=4
)
said = st.fixed_dictionaries(
    {"act": st.one_of(st.sampled_from(sorted(acts())), junk)},
    optional={
        "on": st.one_of(junk, st.sampled_from(PARTS)),
        "values": st.one_of(junk, nearly),
        "manner": st.one_of(junk, st.sampled_from(["done", "said"])),
        "hands": junk,
        "seen_at_ms": junk,
        "key": st.one_of(junk, st.tuples(st.text(max_size=5), st.integers(-3, 9)).map(list)),
        "attempt": st.one_of(st.none(), junk),
        "more": junk,
    },
)


async def refusal(act, plain, who):
    """The sentence with which an act is refused, or None where it is taken."""
    try:
        await act(act_said(plain), who)
    except (ActRefused, StationRefused) as refused:
        return str(refused)
    return None


@given(st.lists(st.one_of(said, junk), max_size=12))
@settings(max_examples=120, deadline=None, suppress_health_check=list(HealthCheck))
def test_nonsense_is_refused_in_sentences_and_never_breaks_a_station(plain):
    async def told():
        async with Bench() as bench:
            await bench.begin()
            for each in plain:
                for who in (INSTRUCTOR, LEARNER):
                    before = len(bench.log)
                    sentence = await refusal(bench.station.act, each, who)
                    assert sentence is None or (sentence and len(bench.log) == before)
                    for read, tell in ((mark_said, bench.station.mark), (clock_said, bench.station.clock)):
                        with contextlib.suppress(ActRefused, StationRefused):
                            await tell(read(each), CHECKER)
            for role in ("learner", "instructor"):
                json.dumps(bench.station.hello(role), allow_nan=False).encode()
            return bench.log

    log = run(told())
    tidalbay.replay(log)


def test_every_case_can_be_begun_in_every_mode():
    async def begun(case, mode):
        async with Bench() as bench:
            await bench.begin(case, mode)
            return bench.life

    assert {run(begun(case, mode)) for case in CASES for mode in MODES} == {"ready"}
