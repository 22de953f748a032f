"""One page for a browser, whole in itself: no scripts, no other files, no network."""

from collections.abc import Iterable, Sequence
from html import escape
from typing import Final

from tidalbay.printed.look import ATTENTION, HAIRLINE, INK, PAPER, QUIET, TYPEFACE, WASH, font_faces
from tidalbay.validation.drawing import key, svg
from tidalbay.validation.figure import Figure
from tidalbay.validation.result import Result, summary
from tidalbay.validation.telling import (
    ABOUT_CONSTANTS,
    ABOUT_MISSED,
    ABOUT_PLOTS,
    CAUTION,
    HOW_TO_READ,
    TITLE,
    Told,
    grouped,
    letters,
    missed,
    sentence,
)
from tidalbay.validation.tuned import constants

STYLE: Final = f"""
:root{{color-scheme:light}}
*{{box-sizing:border-box}}
body{{margin:0;background:{PAPER};color:{INK};font:17px/1.5 "{TYPEFACE}",system-ui,sans-serif;
font-variant-numeric:tabular-nums}}
main{{max-width:1180px;margin:0 auto;padding:40px 32px 80px}}
h1{{font-size:34px;line-height:1.2;margin:0 0 12px}}
h2{{font-size:24px;line-height:1.3;margin:56px 0 10px;border-top:1.5px solid {INK};padding-top:14px}}
h3{{font-size:18px;margin:30px 0 6px}}
p{{max-width:74ch;margin:8px 0}}
.caution{{border-left:4px solid {ATTENTION};padding:2px 0 2px 14px;margin:14px 0 22px}}
.caution b{{color:{ATTENTION}}}
.counts{{list-style:none;padding:0;margin:16px 0;display:grid;gap:0 32px;max-width:980px;
grid-template-columns:repeat(auto-fit,minmax(210px,1fr))}}
.counts li{{border-top:1px solid {HAIRLINE};padding:8px 0;color:{QUIET};font-size:15px;line-height:1.35}}
.counts b{{display:block;font-size:40px;line-height:1.1;color:{INK}}}
nav ul{{padding:0;list-style:none;display:flex;flex-wrap:wrap;gap:4px 22px;margin:10px 0}}
a{{color:{INK}}}
a:focus-visible,summary:focus-visible,.scroll:focus-visible{{outline:3px solid {INK};outline-offset:3px}}
.plots{{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,480px),1fr));gap:40px 44px;
margin-top:24px}}
figure{{margin:0}}
figure svg{{width:100%;height:auto;display:block}}
figcaption{{font-size:15px;line-height:1.42}}
figcaption b{{display:block;font-size:17px;line-height:1.35;margin-bottom:6px}}
figcaption ol{{list-style:none;padding:0;margin:8px 0 0;color:{QUIET};font-size:14px;line-height:1.38}}
figcaption li{{padding-left:1.5em;text-indent:-1.5em}}
.key svg{{max-width:100%;height:auto}}
.scroll{{overflow-x:auto}}
table{{border-collapse:collapse;width:100%;font-size:14.5px;line-height:1.36}}
th,td{{text-align:left;vertical-align:top;padding:7px 14px 7px 0;border-bottom:.7px solid {HAIRLINE}}}
thead th{{border-bottom:1.4px solid {INK};font-size:13.5px}}
td.n,th.n{{text-align:right;white-space:nowrap}}
sub{{line-height:0;font-size:.75em}}
td small{{display:block;color:{QUIET};font-size:13px;line-height:1.34;max-width:72ch}}
td.miss{{color:{ATTENTION};font-weight:700}}
td.miss:before{{content:"× "}}
tr.source th{{font-weight:400;padding-top:16px;border-bottom:1px solid {INK}}}
tbody tr:target td{{background:{WASH}}}
.why{{max-width:64ch}}
.missed th:first-child{{width:27%}}
.missed th:last-child{{width:34%}}
footer{{margin-top:60px;border-top:.7px solid {HAIRLINE};padding-top:12px;color:{QUIET};font-size:14px}}
@media print{{body{{font-size:11pt}}main{{max-width:none;padding:0}}figure,tr{{break-inside:avoid}}
h2,h3{{break-after:avoid}}nav{{display:none}}}}
"""

COLUMNS: Final = ("Quantity", "Published", "Model", "Difference", "Tolerance", "Verdict", "Standing")
NUMBERS: Final = ("Published", "Model", "Difference", "Tolerance")


def page(results: Sequence[Result], figures: Sequence[Figure]) -> str:
    """The whole page as text."""
    parts = [
        f'<!doctype html><html lang="en-GB"><head><meta charset="utf-8"><title>{escape(TITLE)}</title>',
        '<meta name="viewport" content="width=device-width,initial-scale=1">',
        f"<style>{font_faces()}{STYLE}</style></head><body><main>",
        f"<h1>{escape(TITLE)}</h1>",
        f'<p class="caution"><b>Caution.</b> {escape(CAUTION)}</p>',
        *_counts(results),
        '<nav aria-label="On this page"><ul>'
        '<li><a href="#missed">Missed</a></li><li><a href="#plots">Plots</a></li>'
        '<li><a href="#rows">Every row</a></li><li><a href="#constants">Constants chosen by us</a></li>'
        "</ul></nav>",
        *(f"<p>{_low(each)}</p>" for each in HOW_TO_READ),
        *_missed(results),
        *_plots(figures),
        *_rows(results),
        *_constants(),
        f"<footer>{escape(CAUTION)} This page was written by one command, from the rows and the model that "
        "stand beside it.</footer></main></body></html>",
    ]
    return "\n".join(parts)


def _counts(results: Sequence[Result]) -> Iterable[str]:
    found = summary(results)
    said = (
        (found.rows, f"published values, from {found.sources} sources and at most five from each"),
        (found.missed, f"missed; {found.within} within their tolerance"),
        (found.untouched, f"left out of all tuning; of these {found.untouched_within} within"),
        (found.tuned_on, f"tuned on; {found.built_in} more are the model's own equations or figures"),
    )
    yield '<ul class="counts">'
    yield from (f"<li><b>{value}</b>{escape(words)}</li>" for value, words in said)
    yield "</ul>"


def _missed(results: Sequence[Result]) -> Iterable[str]:
    rows = missed(results)
    yield '<h2 id="missed">Missed</h2>'
    yield f"<p>{ABOUT_MISSED}</p>"
    yield f'{_scroll("Rows that are missed")}<table class="missed"><thead><tr>'
    heads = ("Quantity and source", "Published", "Model", "Difference", "Tolerance", "Standing", "Why")
    yield (
        "".join(f'<th scope="col"{_n(head in NUMBERS)}>{head}</th>' for head in heads)
        + "</tr></thead><tbody>"
    )
    for row in rows:
        yield (
            f'<tr><td><a href="#{row.id}">{_low(row.quantity)}</a><small>{escape(row.source)}</small></td>'
            f'<td class="n">{_low(row.published)}</td><td class="n">{_low(row.model)}</td>'
            f'<td class="n">{row.difference}</td><td class="n">{row.tolerance}</td><td>{row.standing}</td>'
            f'<td class="why">{_low(row.why_missed)}</td></tr>'
        )
    yield "</tbody></table></div>"


def _plots(figures: Sequence[Figure]) -> Iterable[str]:
    yield '<h2 id="plots">Plots</h2>'
    yield f'<p>{ABOUT_PLOTS}</p><div class="key">{key()}</div><div class="plots">'
    for figure in figures:
        items = "".join(f"<li>{_low(words)}</li>" for words in letters(figure))
        listed = f"<ol>{items}</ol>" if items else ""
        yield (
            f'<figure id="plot-{figure.id}">{svg(figure)}<figcaption><b>{_low(figure.title)}.</b>'
            f"{_low(figure.caption)}{listed}</figcaption></figure>"
        )
    yield "</div>"


def _rows(results: Sequence[Result]) -> Iterable[str]:
    yield '<h2 id="rows">Every row</h2>'
    for title, studies in grouped(results):
        yield f"<h3>{escape(title)}</h3>"
        yield f"{_scroll(title)}<table><thead><tr>"
        yield "".join(f'<th scope="col"{_n(head in NUMBERS)}>{head}</th>' for head in COLUMNS)
        yield "</tr></thead>"
        for source, rows in studies:
            yield (
                f'<tbody><tr class="source"><th scope="rowgroup" colspan="{len(COLUMNS)}">'
                f"{escape(source)}</th></tr>"
            )
            yield from (_row(row) for row in rows)
            yield "</tbody>"
        yield "</table></div>"


def _row(row: Told) -> str:
    ours = " Pattern ours." if row.is_pattern_ours else ""
    verdict = f'<td class="{"" if row.is_within else "miss"}">{row.verdict}</td>'
    return (
        f'<tr id="{row.id}"><td>{_low(row.quantity)}<small>{_low(sentence(row.conditions))}{ours} Tolerance: '
        f'{_low(row.why_tolerance)}.</small></td><td class="n">{_low(row.published)}</td>'
        f'<td class="n">{_low(row.model)}</td><td class="n">{row.difference}</td>'
        f'<td class="n">{row.tolerance}</td>{verdict}<td>{row.standing}</td></tr>'
    )


def _constants() -> Iterable[str]:
    yield '<h2 id="constants">Constants chosen by us</h2>'
    yield f"<p>{ABOUT_CONSTANTS}</p>"
    yield f"{_scroll('Constants chosen by us')}<table><thead><tr>"
    for head in ("Constant", "Value", "Chosen on", "Left out to test it"):
        yield f'<th scope="col">{head}</th>'
    yield "</tr></thead><tbody>"
    for each in constants():
        tested = ", ".join(f'<a href="#{name}">{name}</a>' for name in each.tested_on or ()) or "nothing"
        yield (
            f"<tr><td>{escape(each.name)}<small>{escape(each.where)}</small></td><td>{escape(each.value)}</td>"
            f'<td class="why">{_low(each.tuned_on)}</td><td class="why">{tested}</td></tr>'
        )
    yield "</tbody></table></div>"


def _scroll(about: str) -> str:
    """A frame in which a table too wide for the screen is moved sideways, by keys as well."""
    return f'<div class="scroll" tabindex="0" role="region" aria-label="{escape(about)}">'


def _n(is_number: bool) -> str:
    return ' class="n"' if is_number else ""


def _low(said: str) -> str:
    """Text with the digits of chemical names set low."""
    text = escape(said)
    for plain, low in (("CO2", "CO<sub>2</sub>"), ("H2O", "H<sub>2</sub>O"), ("SpO2", "SpO<sub>2</sub>")):
        text = text.replace(plain, low)
    return text
