"""What only the instructor is told: the score as it stands, and how the oximeter lags."""

import json

from tests.live.bench import CHECKER, INSTRUCTOR, Bench, flow, run

from tidalbay.bedside import ROLES
from tidalbay.engine.kernel import PROBE_AVERAGING_S
from tidalbay.live import ActSaid, ClockSaid
from tidalbay.live.wire.hidden import gives_oxygen


def truth(bench):
    return bench.station.hello("instructor")["breath"]["truth"]


def test_the_score_follows_the_readings_and_the_order_s_scale():
    async def scene():
        for case, scale in (("post-operative", 1), ("hypercapnic-risk", 2)):
            async with Bench() as bench:
                await bench.begin(case)
                await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
                await bench.pass_s(40)
                told = truth(bench)["early_warning"]
                assert told["early_warning_scale"] == scale
                assert told["early_warning_score"] == sum(row[2] for row in told["early_warning_parts"])
                shown = bench.station.hello("learner")["breath"]["readings"]["spo2_shown_pct"]
                parts = {row[0]: row[1] for row in told["early_warning_parts"]}
                assert parts["oxygen saturation"] == f"{shown:.0f} %"

    run(scene())


def test_oxygen_on_gives_its_two_points_and_a_probe_off_leaves_no_score():
    async def scene():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            await bench.pass_s(5)
            before = {row[0]: row[2] for row in truth(bench)["early_warning"]["early_warning_parts"]}
            await bench.station.act(flow(2), CHECKER)
            await bench.station.act(ActSaid(act="device_placed", on="cannula"), CHECKER)
            after = {row[0]: row[2] for row in truth(bench)["early_warning"]["early_warning_parts"]}
            assert (before["air or oxygen"], after["air or oxygen"]) == (0, 2)
            await bench.station.act(ActSaid(act="probe_removed"), CHECKER)
            await bench.pass_s(10)
            assert (
                "measure first: oxygen saturation" in truth(bench)["early_warning"]["early_warning_refused"]
            )
            assert truth(bench)["oximeter"] is None

    run(scene())


def test_how_late_the_number_is_comes_from_the_model_s_settings_and_from_the_site():
    async def scene():
        async with Bench() as bench:
            await bench.begin()
            await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
            await bench.pass_s(3)
            finger = truth(bench)["oximeter"]
            await bench.station.act(ActSaid(act="probe_placed", values={"site": "ear"}), CHECKER)
            ear = truth(bench)["oximeter"]
            assert finger["averaged_s"] == ear["averaged_s"] == PROBE_AVERAGING_S
            assert (finger["site"], ear["site"]) == ("finger", "ear")
            assert ear["late_s"] < finger["late_s"]

    run(scene())


def test_nobody_but_the_instructor_is_told_the_score():
    async def scene():
        for mode in ("demonstration", "practice", "formative", "summative"):
            async with Bench() as bench:
                await bench.begin(mode=mode)
                await bench.station.clock(ClockSaid(do="go"), INSTRUCTOR)
                await bench.pass_s(5)
                for role in ROLES:
                    assert ("early_warning" in json.dumps(bench.station.hello(role))) == (
                        role == "instructor"
                    )

    run(scene())


def test_air_from_the_wall_and_a_flow_to_nothing_worn_are_no_oxygen():
    fed = {"mask.flow_lpm": 6.0, "mask.supplied_o2_pct": 100.0}
    air = {"mask.flow_lpm": 6.0, "mask.supplied_o2_pct": 20.9}

    assert gives_oxygen(fed, ["mask"])
    assert not gives_oxygen(air, ["mask"])
    assert not gives_oxygen(fed, [])
    assert not gives_oxygen({"mask.flow_lpm": 0.0, "mask.supplied_o2_pct": None}, ["mask"])
