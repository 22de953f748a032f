"""A lab starts with the plain model at once and changes over to the compiled one while stations breathe."""

import os
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).parents[2]

# In a process of its own: a model, once compiled, stays so for the life of a process.
STORY = textwrap.dedent(
    """
    import asyncio, tempfile, time
    from pathlib import Path
    import tidalbay
    from tidalbay.engine import is_compiled, is_kept
    from tidalbay.live import ClockSaid, Lab, Who

    async def story():
        case = tidalbay.load_case("post-operative")
        lab = Lab.open(Path(tempfile.mkdtemp()), {"c": case})
        await lab.start()
        assert not is_compiled() and not is_kept()
        station = lab.station("s1")
        await station.begin(case, "practice", 7)
        await station.clock(ClockSaid(do="go"), Who("instructor"))
        longest_s, last = 0.0, time.perf_counter()
        while not is_compiled():
            await asyncio.sleep(0.01)
            now = time.perf_counter()
            longest_s, last = max(longest_s, now - last), now
        await asyncio.sleep(1.0)
        breaths = station.hello("learner")["breath"]["breath"]["n"]
        await station.end("finished", Who("instructor"))
        log = lab.store.log(station.attempt)
        while lab.store.shown_trace(station.attempt) is None:
            await asyncio.sleep(0.05)
        same = tidalbay.trace.trace_from_json(lab.store.shown_trace(station.attempt).decode())
        assert same == tidalbay.replay(log).trace()
        await lab.close()
        print(breaths, longest_s)

    import tidalbay.trace
    asyncio.run(story())
    """
)


@pytest.mark.slow
def test_a_station_breathes_while_the_model_compiles_and_its_digits_stay(tmp_path):
    told = subprocess.run(
        [sys.executable, "-c", STORY],
        env={**os.environ, "TIDALBAY_CACHE": str(tmp_path), "PYTHONPATH": str(CHECKOUT / "src")},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        timeout=600,
    )

    assert told.returncode == 0, told.stderr
    breaths, longest_s = map(float, told.stdout.split())
    assert breaths >= 2
    assert longest_s < 5.0  # a compiler in the same process holds everything up for longer on a busy machine


# An afternoon that a crash cut off; what is left of it is played again before anybody is let in.
CUT_OFF = textwrap.dedent(
    """
    import asyncio, sys
    from pathlib import Path
    import tidalbay
    from tidalbay.engine import is_compiled, is_kept
    from tidalbay.live import ClockSaid, Lab, Who

    CASE = tidalbay.load_case("post-operative")

    async def before(folder):
        lab = Lab.open(folder, {"c": CASE})
        await lab.start()
        await lab.station("s1").begin(CASE, "practice", 7)
        await lab.station("s1").clock(ClockSaid(do="skip", minutes=5), Who("instructor"))
        await lab._warming  # the model is kept from now on
        await lab.close()

    async def after(folder):
        told = []
        lab = Lab.open(folder, {"c": CASE})
        assert is_kept() and not is_compiled()
        await lab.start(told.append)
        assert is_compiled()
        assert lab.board()[0]["state"] == "paused"
        print(*told)
        await lab.close()

    asyncio.run({"before": before, "after": after}[sys.argv[1]](Path(sys.argv[2])))
    """
)


@pytest.mark.slow
def test_what_was_under_way_is_played_again_by_the_compiled_model_where_it_is_kept_and_that_is_told(tmp_path):
    for when in ("before", "after"):
        told = subprocess.run(
            [sys.executable, "-c", CUT_OFF, when, str(tmp_path / "data")],
            env={
                **os.environ,
                "TIDALBAY_CACHE": str(tmp_path / "model"),
                "PYTHONPATH": str(CHECKOUT / "src"),
            },
            capture_output=True,
            text=True,
            encoding="utf-8",
            check=False,
            timeout=600,
        )
        assert told.returncode == 0, told.stderr

    assert told.stdout == (
        "Taking up an attempt that was under way; 5 min of patients' time to be played again.\n"
    )
