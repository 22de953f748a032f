"""Contract: a page to take home is one file that asks nothing of anybody, and holds what was to be seen."""

import base64
import json
import re

import pytest

import tidalbay
from tidalbay.attempt import Change
from tidalbay.bedside import allowed
from tidalbay.live.recording import recording
from tidalbay.trace import CAUTION
from tidalbay.web.take_home import OtherWay, take_home


@pytest.fixture(scope="module")
def log(model):
    playing = tidalbay.play(tidalbay.load_case("post-operative"), "good")
    playing.run_to(240)
    return playing.log


@pytest.fixture(scope="module")
def page(log):
    flow = next(act for act in log.acts if act.kind == "flow_set")
    other = OtherWay("With six litres", Change("changed", flow.n, values={"flow_lpm": 6.0}))
    return take_home(log, 240, [other], "good")


def inside(page, id):
    return json.loads(re.search(rf'id="{id}">(.*?)</script>', page, re.S)[1])


def test_the_page_asks_nobody_for_anything(page):
    modules = json.loads(re.search(r'<script type="importmap">(.*?)</script>', page, re.S)[1])["imports"]
    sources = [base64.b64decode(data.split(",", 1)[1]).decode() for data in modules.values()]

    assert "src=" not in page.split("<body", 1)[1].split("<script", 1)[0]
    assert not re.findall(r'(?:src|href)="(?!data:)', page)
    assert not re.findall(r'url\((?!"data:)', page)
    for source in sources:
        wanted = re.findall(r"""(?:from|import)\s*["']([^"']+)["']""", source)
        assert set(wanted) <= set(modules)


def test_it_carries_the_caution_its_captions_and_both_ways(page):
    told = inside(page, "recording")

    assert CAUTION.replace("'", "&#39;") in page
    assert [run["words"] for run in told["runs"]] == ["As it went", "With six litres"]
    assert next(c["say"] for c in told["captions"]).startswith("He lies at 20 degrees")
    assert not any("lunch" in c["say"] for c in told["captions"])  # said on the other path only


def test_what_it_holds_is_what_the_room_may_see(page):
    may_pass = allowed("projector", "demonstration")
    told = inside(page, "recording")

    for run in told["runs"]:
        for message in [run["hello"]["breath"], *run["messages"]]:
            assert "truth" not in message
            for name in message.get("readings", {}):
                endings = [entry[1:] for entry in may_pass if entry.startswith("*_")]
                assert name in may_pass or name.endswith(tuple(endings)), name


def test_breaths_of_the_recording_are_those_of_the_trace(log):
    attempt = tidalbay.replay(log, until_s=240)
    trace = attempt.trace()

    told = recording(log, 240)

    starts = [m["breath"]["from_s"] for m in told["messages"] if m["kind"] == "breath"]
    for start_s in trace.breaths["start_s"][1:]:
        assert min(abs(start_s - told_s) for told_s in starts) < 1e-3
    shown = [m["readings"]["spo2_shown_pct"] for m in told["messages"] if "readings" in m]
    assert set(shown) <= set(trace.seconds["spo2_shown_pct"].tolist())
