"""Contract: the report is two accessible sheets and one page, says its caution and holds every criterion."""

import re
import shutil
import subprocess
from html import escape
from html.parser import HTMLParser

import pytest
from tests.report.bench import CASES, debrief

from tidalbay.report.page import page
from tidalbay.report.paper import paper, sheets_of
from tidalbay.trace import CAUTION

pytestmark = pytest.mark.usefixtures("model")


@pytest.mark.parametrize("case", CASES)
def test_two_sheets_tagged_and_in_a_language(case):
    pdf = paper(debrief(case, "tempting"))

    assert sheets_of(pdf) == 2
    assert b"/StructTreeRoot" in pdf
    assert b"/MarkInfo" in pdf
    assert re.search(rb"/Lang\s*\(en", pdf)
    assert b"pdfuaid" in pdf


def test_the_drawing_on_paper_says_in_words_what_it_shows():
    assert b"/Alt" in paper(debrief())


def test_the_same_attempt_gives_the_same_bytes():
    assert paper(debrief()) == paper(debrief())


@pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="pdftotext is missing: sheets are not read back"
)
def test_print_says_the_caution_and_every_criterion(tmp_path):
    of = debrief("post-operative", "tempting")
    (tmp_path / "a.pdf").write_bytes(paper(of))
    text = subprocess.run(
        ["pdftotext", "-layout", "a.pdf", "-"], cwd=tmp_path, capture_output=True, check=True
    ).stdout.decode()
    flat = " ".join(text.split())

    assert "not for the care of any person" in flat
    assert "An assessor decides, not the program." in flat
    assert flat.count("Not met") == sum(v.verdict == "not_met" for v in of.judged.verdicts)


class _Outline(HTMLParser):
    def __init__(self):
        super().__init__()
        self.headings, self.ids, self.links, self.loads = [], [], [], []

    def handle_starttag(self, tag, attrs):
        known = dict(attrs)
        if tag in ("h1", "h2", "h3"):
            self.headings.append(tag)
        if "id" in known:
            self.ids.append(known["id"])
        for name in ("src", "href"):
            if known.get(name, "#").startswith("#") is False:
                self.loads.append(known[name])
        assert tag != "script"


def test_the_page_is_whole_in_itself_and_says_everything():
    of = debrief("asthma-attack", "tempting")
    text = page(of)
    outline = _Outline()
    outline.feed(text)

    assert outline.headings[0] == "h1"
    assert outline.headings.count("h1") == 1
    assert len(outline.ids) == len(set(outline.ids))
    assert outline.loads == []
    assert text.count(escape(CAUTION)) == 2
    for verdict in of.judged.verdicts:
        assert escape(verdict.say) in text or "CO2" in verdict.say or "SpO2" in verdict.say
    assert len([i for i in outline.ids if i.startswith("act-")]) == len(of.acts)


def test_folded_verdicts_are_on_neither():
    of = debrief("post-operative", "tempting", "summative")
    text = page(of)

    assert of.folded in text
    assert "Not met" not in text
    assert not any(verdict.finding.why in text for verdict in of.judged.verdicts)
