"""The report for a browser: one page, whole in itself, that prints as well."""

from collections.abc import Iterator, Sequence
from html import escape
from typing import Final

from tidalbay.judge.words import clock
from tidalbay.printed.look import ATTENTION, HAIRLINE, INK, PAPER, QUIET, TYPEFACE, font_faces
from tidalbay.report.debriefing import Debrief
from tidalbay.report.drawing import svg
from tidalbay.report.telling import (
    STEPS,
    act_rows,
    facts,
    reading_rows,
    small_print,
    title,
    verdict_rows,
)
from tidalbay.trace import CAUTION

EVERY_S: Final = 60.0
STYLE: Final = f"""
:root{{color-scheme:light}}
*{{box-sizing:border-box}}
body{{margin:0;background:{PAPER};color:{INK};font:17px/1.45 "{TYPEFACE}",system-ui,sans-serif;
font-variant-numeric:tabular-nums}}
main{{max-width:1020px;margin:0 auto;padding:36px 28px 60px}}
h1{{font-size:30px;line-height:1.2;margin:0 0 10px}}
h2{{font-size:21px;line-height:1.3;margin:36px 0 8px;border-top:1.5px solid {INK};padding-top:12px}}
p{{max-width:72ch;margin:8px 0}}
.caution{{border-left:4px solid {ATTENTION};padding:2px 0 2px 14px;margin:14px 0 20px}}
.caution b{{color:{ATTENTION}}}
dl.facts{{display:grid;grid-template-columns:max-content 1fr;gap:4px 18px;margin:0 0 18px}}
dl.facts dt{{color:{QUIET}}}dl.facts dd{{margin:0;max-width:72ch}}
figure{{margin:22px 0}}figure svg{{width:100%;height:auto;display:block}}
.scroll{{overflow-x:auto}}
a{{color:{INK}}}
summary{{cursor:pointer;font-weight:700;padding:8px 0}}
:focus-visible{{outline:3px solid {INK};outline-offset:3px}}
ol.acts{{columns:2;column-gap:40px;padding:0;list-style:none;margin:8px 0}}
ol.acts li{{display:grid;grid-template-columns:2.2em 3.6em 1fr;gap:6px;break-inside:avoid;padding:2px 0}}
ol.acts b{{font-weight:700}}ol.acts span{{color:{QUIET}}}
table{{border-collapse:collapse;width:100%;font-size:15px;line-height:1.36}}
th,td{{text-align:left;vertical-align:top;padding:6px 14px 6px 0;border-bottom:.7px solid {HAIRLINE}}}
thead th{{border-bottom:1.4px solid {INK};font-size:14px}}
td small{{display:block;color:{QUIET};font-size:14px}}
td.word{{font-weight:700;white-space:nowrap}}
td.not_met{{color:{ATTENTION}}}td.not_met:before{{content:"× "}}td.cannot_be_judged:before{{content:"? "}}
dl.steps{{display:grid;grid-template-columns:max-content 1fr;gap:2px 14px;margin:4px 0 16px}}
dl.steps dt{{color:{QUIET}}}dl.steps dd{{margin:0}}
h3{{font-size:17px;margin:18px 0 4px}}
footer{{margin-top:40px;border-top:.7px solid {HAIRLINE};padding-top:12px;color:{QUIET};font-size:14px}}
@media(max-width:46rem){{ol.acts{{columns:1}}main{{padding:20px 16px}}}}
@media print{{body{{font-size:10pt;background:#fff}}main{{max-width:none;padding:0}}
figure,tr,dl{{break-inside:avoid}}h2,h3{{break-after:avoid}}details{{display:none}}}}
"""


def page(debrief: Debrief) -> str:
    """The whole page as text."""
    parts = [
        '<!doctype html><html lang="en-GB"><head><meta charset="utf-8">',
        f"<title>{escape(title(debrief))}</title>",
        '<meta name="viewport" content="width=device-width,initial-scale=1">',
        f"<style>{font_faces()}{STYLE}</style></head><body><main>",
        f"<h1>{_low(title(debrief))}</h1>",
        f'<p class="caution"><b>Caution.</b> {escape(CAUTION)}</p>',
        '<dl class="facts">',
        *(f"<dt>{name}</dt><dd>{_low(words)}</dd>" for name, words in facts(debrief)),
        "</dl>",
        *(f"<p>{_low(words)}</p>" for words in debrief.course_words),
        f'<figure class="scroll" tabindex="0" role="group" aria-label="Strips">{svg(debrief)}</figure>',
        *_acts(debrief),
        *_table(debrief),
        *_questions(debrief),
        *_verdicts(debrief),
        "<footer>",
        *(f"<p>{_low(words)}</p>" for words in (*small_print(), CAUTION)),
        "</footer></main></body></html>",
    ]
    return "\n".join(parts)


def _acts(debrief: Debrief) -> Iterator[str]:
    yield '<h2>What was done</h2><ol class="acts">'
    for n, at, sentence in act_rows(debrief):
        yield f'<li id="act-{n}"><b>{n}</b><span>{at}</span>{_low(sentence)}</li>'
    yield "</ol>"


def _table(debrief: Debrief) -> Iterator[str]:
    head, rows = reading_rows(debrief, EVERY_S)
    yield '<details><summary>The strips as a table, a row a minute</summary><div class="scroll" tabindex="0" '
    yield 'role="region" aria-label="The strips as a table"><table><thead><tr>'
    yield "".join(f'<th scope="col">{_low(name)}</th>' for name in head) + "</tr></thead><tbody>"
    for first, *rest in rows:
        yield f'<tr><th scope="row">{first}</th>{_cells(rest)}</tr>'
    yield "</tbody></table></div></details>"


def _cells(row: Sequence[str]) -> str:
    return "".join(f"<td>{escape(cell)}</td>" for cell in row)


def _questions(debrief: Debrief) -> Iterator[str]:
    yield "<h2>To talk about</h2><ul>"
    yield from (f"<li>{_low(words)}</li>" for words in debrief.questions)
    yield "</ul>"
    if debrief.folded:
        return
    for prompt in debrief.prompts:
        yield f'<h3>Around {clock(prompt.at_s)}</h3><dl class="steps">'
        told = prompt.as_plain()
        yield from (f"<dt>{words}</dt><dd>{_low(told[step])}</dd>" for step, words in STEPS)
        yield "</dl>"


def _verdicts(debrief: Debrief) -> Iterator[str]:
    yield "<h2>What the record says</h2>"
    if debrief.folded:
        yield f"<p>{escape(debrief.folded)}</p>"
        return
    rows = verdict_rows(debrief)
    if not rows:
        yield "<p>This case has no check-off, so nothing was judged.</p>"
        return
    yield f"<p>{' '.join(_low(words) for words in debrief.outcome_words)}</p>"
    yield '<div class="scroll"><table><thead><tr><th scope="col">Verdict</th>'
    yield '<th scope="col">Criterion and why</th><th scope="col">Moments</th></tr></thead><tbody>'
    for row in rows:
        yield (
            f'<tr><td class="word {row["verdict"]}">{row["word"]}</td><td>{_low(row["say"])}'
            f"<small>{_low(row['why'])}</small></td><td>{_low(row['moments']) or '–'}</td></tr>"
        )
    yield "</tbody></table></div>"


def _low(said: str) -> str:
    """Text with the digits of chemical names set low."""
    text = escape(said)
    for plain, low in (("SpO2", "SpO<sub>2</sub>"), ("CO2", "CO<sub>2</sub>")):
        text = text.replace(plain, low)
    return text
