"""What an act must say at a station, who may say it, and what is taken from it."""

import json

import pytest
from tests.live.bench import CHECKER, INSTRUCTOR, LEARNER, Bench, run

from tidalbay.equipment import ActRefused
from tidalbay.live import ActSaid, ClockSaid, StationRefused

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
