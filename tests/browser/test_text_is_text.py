"""Text that looks like a page's own markup stays text, on every page: titles, names, orders, notes."""

import sys

import pytest
from tests.browser.conftest import DESK, RunningLab, Screens

import tidalbay
from tidalbay.records import LabStore, StationRow

MARKUP = '<img src=x onerror="window.struck=1"><b class=struck>'
CASE = tidalbay.demonstrations()["post-operative"].read_text(encoding="utf-8")
SERVED = """
import sys, pathlib
import tidalbay.web.cases as cases
from tidalbay.cli import main
cases.demonstrations = lambda: {"post-operative": pathlib.Path(sys.argv[1])}
sys.exit(main(sys.argv[2:]))
"""


class MarkedLab(RunningLab):
    """A lab whose case, station and people are called by markup."""

    def command(self):
        text = CASE
        for old, new in (
            ("title: The day after bowel surgery", f"title: {MARKUP} surgery"),
            ("name: Mr T. Oakley", f"name: Mr {MARKUP}"),
            ("bed: bay 2, bed 5", f"bed: {MARKUP}"),
            ("says: It hurts when I breathe in.", f"says: It hurts {MARKUP}"),
            ("  text: Oxygen by", f"  text: {MARKUP} Oxygen by"),
        ):
            assert text.count(old) == 1
            name, _, value = new.partition(": ")
            text = text.replace(
                old, f"{name}: '{value}'" if "text" not in name else new.replace(": ", ": >-\n    ", 1)
            )
        (self.folder / "case.yaml").write_text(text, encoding="utf-8")
        (self.folder / "data").mkdir(exist_ok=True)
        store = LabStore.open(self.folder / "data")
        store.labs.set_stations([StationRow("s1", f"Station {MARKUP}"), StationRow("s2", "Station 2")])
        store.close()
        return [sys.executable, "-c", SERVED, str(self.folder / "case.yaml"), *super().command()[3:]]


@pytest.fixture
def marked(tmp_path, chromium):
    lab = MarkedLab(tmp_path)
    screens = Screens(chromium, lab)
    yield lab, screens
    complaints = screens.close()
    lab.close()
    assert complaints == []


def test_markup_in_any_text_is_shown_as_text_and_does_nothing(marked, expect):
    lab, screen = marked
    line = lab.post("/board/add", {"names": [f"Ana {MARKUP}", f"Bo {MARKUP}"]})["line"]
    lab.post("/stations/s1/end", {"why": "finished"})
    lab.post("/board/gas", {"station": "s1", "gas": "oxygen"})
    begun = {"case": "post-operative", "mode": "formative", "form": "a", "learner": line[0]["learner"]}
    lab.post("/stations/s1/start", {**begun, "go": True})
    charted = {"form": "oxygen_entry", "fields": {"device": MARKUP, "signed": MARKUP}}
    for act, values in (
        ("charted", charted),
        ("observed", {"what": "speech", "found": MARKUP}),
        ("handoff_given", {"situation": MARKUP, "background": MARKUP, "assessment": "-", "request": "-"}),
    ):
        receipt = lab.post("/stations/s1/acts", {"acts": [{"act": act, "values": values}]})["receipts"][0]
        assert "n" in receipt, receipt
    note = {"kind": "note", "values": {"text": MARKUP}}
    assert "n" in lab.post("/stations/s1/marks", {"marks": [note]})["receipts"][0]

    def looked_at(role, path):
        page = screen(role, "s1", path=path, size=DESK)
        expect(page.locator("main")).to_contain_text("<img src=x")
        page.wait_for_timeout(500)  # for markup that would have been taken for markup
        assert page.evaluate("window.struck === undefined"), path
        assert page.locator(".struck, img[src=x]").count() == 0, path
        page.context.close()

    for path in ("/", "/station/s1", "/codes", "/welcome", "/paper/s1"):
        looked_at("instructor", path)
    looked_at("checker", "/check-off/s1")
    looked_at("learner", "/bedside/s1")
    looked_at("projector", "/bedside/s1")
    looked_at("learner", "/practice/s1")
    attempt = lab.post("/stations/s1/end", {"why": "finished"})["station"]["attempt"]
    for path in ("/", "/debrief", f"/debrief/{attempt}"):
        looked_at("instructor", path)
    report = lab.folder / "report.html"  # taken home, where no server's policy stands guard
    report.write_text(lab.get(f"/debrief/{attempt}/report.html"), encoding="utf-8")
    page = screen("instructor", "s1", path="/")
    page.goto(report.as_uri())
    assert page.evaluate("window.struck === undefined")
    assert page.locator(".struck, img[src=x]").count() == 0
    assert "<img src=x" in page.locator("body").inner_text()
