"""The strips on paper: fine lines over one line of time, acts as numbered flags, shapes for colours."""

from collections.abc import Iterator, Sequence
from html import escape
from math import ceil
from typing import Final

from tidalbay.judge.words import clock
from tidalbay.printed.look import HAIRLINE, INK, PAPER, QUIET, TYPEFACE, WASH
from tidalbay.report.debriefing import Act, Debrief
from tidalbay.report.strips import Line, Strip

WIDE: Final = 720.0
LEFT, RIGHT, TOP = 116.0, 16.0, 8.0
HEIGHTS: Final = {"saturation": 104.0, "inspired": 58.0, "carbon_dioxide": 52.0, "breaths": 52.0}
SPANS_HIGH, STEPS_HIGH, QUIET_HIGH, GAP = 20.0, 40.0, 20.0, 15.0
ROW_HIGH: Final = 14.0
TICKS_S: Final = (30, 60, 120, 300, 600, 1800, 3600, 7200)
SMALL: Final = 11.0
HALO: Final = f' stroke="{PAPER}" stroke-width="3" paint-order="stroke"'


def svg(debrief: Debrief, words: str | None = None) -> str:
    """All strips, the line of time under them, and the acts on it by their numbers in the list of acts.

    Parameters
    ----------
    words : str, optional
        What a reader who does not see it is told elsewhere; without, title and description stand inside.
    """
    places = _Places(debrief)
    told = "" if words else f"<title>{escape(TITLE)}</title><desc>{escape(alternative(debrief))}</desc>"
    return "".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE:g} {places.high:g}" role="img" '
            f'width="{WIDE:g}" height="{places.high:g}" font-family="{TYPEFACE}, sans-serif" '
            f'font-size="{SMALL}" fill="{INK}">{told}',
            f'<defs><pattern id="ordered" width="5" height="5" patternUnits="userSpaceOnUse" '
            f'patternTransform="rotate(24)"><rect width="5" height="5" fill="{WASH}"/>'
            f'<path d="M0 0V5" stroke="{HAIRLINE}" stroke-width=".8"/></pattern></defs>',
            *_strips(debrief.strips, places),
            *_time(places),
            *_flags(places),
            "</svg>",
        ]
    )


TITLE: Final = "What happened, over time"


def alternative(debrief: Debrief) -> str:
    """What the drawing shows, in words."""
    said = [f"{_name(strip)}: {described(strip)}" for strip in debrief.strips]
    return " ".join(said)


def described(strip: Strip) -> str:
    """One strip in a sentence: where its lines begin, go and end."""
    if strip.kind == "spans":
        spans = "; ".join(f"{s.words} from {clock(s.from_s)} to {clock(s.to_s)}" for s in strip.spans)
        return f"{spans}." if spans else strip.said
    found = [_line_words(line, strip) for line in strip.lines if line.points]
    return f"{'; '.join(found)}." if found else strip.said


def _line_words(line: Line, strip: Strip) -> str:
    known = [(value, t_s) for t_s, value in line.points if value is not None]
    if not known:
        return f"{line.name} was not known at any time"

    def said(value: float) -> str:
        return strip.names.get(round(value)) or f"{value:.{strip.digits}f}"

    lowest, highest = min(known), max(known)
    if lowest[0] == highest[0]:
        return f"{line.name} {said(lowest[0])} throughout"
    return (
        f"{line.name} from {said(known[0][0])} to {said(known[-1][0])}, lowest {said(lowest[0])} at "
        f"{clock(lowest[1])}, highest {said(highest[0])} at {clock(highest[1])}"
    )


class _Places:
    """From moments and values to places on the drawing."""

    def __init__(self, debrief: Debrief) -> None:
        self.end_s = max(60.0, debrief.end_s)
        self.tops: dict[str, float] = {}
        y = TOP
        for strip in debrief.strips:
            self.tops[strip.id] = y
            y += height(strip) + GAP
        self.flags_top = y
        self.rows = _rows(debrief.acts, self)
        self.base = y + ROW_HIGH * max(1, 1 + max((row for _, row in self.rows), default=0)) + 5.0
        self.high = self.base + 24.0

    def x(self, t_s: float) -> float:
        return LEFT + min(1.0, max(0.0, t_s / self.end_s)) * (WIDE - LEFT - RIGHT)

    def y(self, strip: Strip, value: float) -> float:
        share = (value - strip.low) / (strip.high - strip.low)
        return self.tops[strip.id] + height(strip) * (1.0 - min(1.0, max(0.0, share)))


def height(strip: Strip) -> float:
    """How high a strip is drawn."""
    if strip.kind == "spans":
        return SPANS_HIGH
    if not strip.lines:
        return QUIET_HIGH
    return HEIGHTS.get(strip.id, STEPS_HIGH)


def _name(strip: Strip) -> str:
    return strip.title + (f", {strip.unit}" if strip.unit else "")


def _strips(strips: Sequence[Strip], places: _Places) -> Iterator[str]:
    for strip in strips:
        top, end = places.tops[strip.id], WIDE - RIGHT
        middle = top + (9.0 if strip.lines and strip.kind != "spans" else 11.0)
        yield _text(LEFT - 26, middle, strip.title, INK, "end", ' font-weight="700"')
        about = f"{strip.about}, {strip.unit}" if strip.unit else strip.about
        if strip.lines or strip.spans:
            yield _text(LEFT - 26, middle + 12, about, QUIET, "end", ' font-size="9.5"')
        if not strip.lines and not strip.spans:
            yield _text(LEFT, middle, strip.said, QUIET, "start")
            continue
        if strip.kind == "spans":
            yield from _spans(strip, places)
            continue
        if strip.band:
            y1, y2 = places.y(strip, strip.band[1]), places.y(strip, strip.band[0])
            yield (
                f'<rect x="{LEFT}" y="{y1:.1f}" width="{end - LEFT:.1f}" height="{max(1.0, y2 - y1):.1f}" '
                'fill="url(#ordered)" opacity=".8"/>'
            )
        for n in range(ceil((strip.high - strip.low) / strip.step - 1e-9) + 1):
            value = min(strip.high, strip.low + n * strip.step)
            y = places.y(strip, value)
            yield f'<path d="M{LEFT} {y:.1f}H{end:.1f}" stroke="{HAIRLINE}" stroke-width=".5"/>'
            said = strip.names.get(round(value), f"{value:g}")
            yield _text(LEFT - 5, y + 3.6, said if len(said) < 6 else "", QUIET, "end", ' font-size="9.5"')
        for i, line in enumerate(strip.lines):
            yield _line(line, strip, places, dashed=i > 0)
        if len(strip.lines) > 1:
            yield from _line_names(strip, places)


def _spans(strip: Strip, places: _Places) -> Iterator[str]:
    top = places.tops[strip.id]
    for each in strip.spans:
        x1, x2 = places.x(each.from_s), places.x(each.to_s)
        yield (
            f'<rect x="{x1:.1f}" y="{top:.1f}" width="{max(1.5, x2 - x1):.1f}" height="{SPANS_HIGH - 3:.1f}" '
            f'fill="{WASH}" stroke="{INK}" stroke-width=".9"/>'
        )
        if x2 - x1 > 5.4 * len(each.words):
            yield _text(x1 + 5, top + 12.5, each.words, INK, "start")


def _line(line: Line, strip: Strip, places: _Places, dashed: bool) -> str:
    parts: list[str] = []
    pen_down, last_y = False, 0.0
    for t_s, value in line.points:
        if value is None:
            pen_down = False
            continue
        x, y = places.x(t_s), places.y(strip, value)
        if not pen_down:
            parts.append(f"M{x:.1f} {y:.1f}")
        elif strip.kind == "steps":
            parts.append(f"H{x:.1f}" + (f"V{y:.1f}" if y != last_y else ""))
        else:
            parts.append(f"L{x:.1f} {y:.1f}")
        pen_down, last_y = True, y
    dash = ' stroke-dasharray="1.5 3.5"' if dashed else ""
    width = "1.2" if dashed else "1.4"
    return (
        f'<path d="{"".join(parts)}" fill="none" stroke="{INK}" stroke-width="{width}" '
        f'stroke-linejoin="round" stroke-linecap="round"{dash}/>'
    )


def _line_names(strip: Strip, places: _Places) -> Iterator[str]:
    """What the full and the dotted line are, where nothing is drawn."""
    top = places.tops[strip.id] + height(strip) + 9.5
    x = LEFT
    for i, line in enumerate(strip.lines):
        dash = ' stroke-dasharray="1.5 3.5"' if i else ""
        yield (
            f'<path d="M{x:.1f} {top - 3:.1f}h20" stroke="{INK}" stroke-width="{1.2 if i else 1.4}" '
            f'stroke-linecap="round"{dash}/>'
        )
        yield _text(x + 25, top, line.name, QUIET, "start", ' font-size="9.5"')
        x += 40.0 + 5.2 * len(line.name)
    if strip.band:
        yield (
            f'<rect x="{x:.1f}" y="{top - 8:.1f}" width="16" height="9" fill="url(#ordered)" '
            f'stroke="{HAIRLINE}" stroke-width=".5"/>'
        )
        said = f"ordered range, {strip.band[0]:g} to {strip.band[1]:g} %"
        yield _text(x + 21, top, said, QUIET, "start", ' font-size="9.5"')


def _time(places: _Places) -> Iterator[str]:
    end, y = WIDE - RIGHT, places.base
    step_s = next((s for s in TICKS_S if places.end_s / s <= 10), TICKS_S[-1])
    for n in range(int(places.end_s // step_s) + 1):
        x = places.x(n * step_s)
        yield (
            f'<path d="M{x:.1f} {TOP}V{y:.1f}" stroke="{HAIRLINE}" stroke-width=".35" '
            'stroke-dasharray="1 3"/>'
        )
        yield f'<path d="M{x:.1f} {y:.1f}v5" stroke="{INK}" stroke-width="1"/>'
        yield _text(x, y + 16.5, clock(n * step_s), QUIET, "middle")
    yield f'<path d="M{LEFT} {y:.1f}H{end:.1f}" stroke="{INK}" stroke-width="1.4"/>'
    yield _text(LEFT - 26, places.flags_top + 11, "Acts", INK, "end", ' font-weight="700"')
    yield _text(LEFT - 26, places.flags_top + 23, "by number", QUIET, "end", ' font-size="9.5"')


def _rows(acts: Sequence[Act], places: _Places) -> list[tuple[Act, int]]:
    """Each act with the lowest row in which its number has room."""
    ends: list[float] = []
    found = []
    for act in sorted(acts, key=lambda each: each.t_s):
        x, wide = places.x(act.t_s), 8.0 + 6.2 * len(str(act.n))
        row = next((i for i, end in enumerate(ends) if end + 2.0 <= x), len(ends))
        if row == len(ends):
            ends.append(0.0)
        ends[row] = x + wide
        found.append((act, row))
    return found


def _flags(places: _Places) -> Iterator[str]:
    for act, row in places.rows:
        x, top = places.x(act.t_s), places.base - 5.0 - ROW_HIGH * (row + 1)
        yield f'<path d="M{x:.1f} {places.base:.1f}V{top:.1f}" stroke="{INK}" stroke-width=".8"/>'
    for act, row in places.rows:
        x = places.x(act.t_s)
        top = places.base - 5.0 - ROW_HIGH * (row + 1)
        dash = ' stroke-dasharray="2 2"' if act.is_taken_back or act.manner != "done" else ""
        wide = 8.0 + 6.2 * len(str(act.n))
        yield (
            f'<path d="M{x:.1f} {top:.1f}h{wide - 4:.1f}l4 6l-4 6H{x:.1f}Z" fill="{PAPER}" stroke="{INK}" '
            f'stroke-width=".9"{dash}/>'
        )
        yield _text(x + 3.5, top + 9.7, str(act.n), INK, "start", ' font-size="10"')
        yield f'<circle cx="{x:.1f}" cy="{places.base:.1f}" r="2" fill="{INK}"/>'


def _text(x: float, y: float, said: str, tint: str, anchor: str, more: str = "") -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" fill="{tint}" text-anchor="{anchor}"{more}>{escape(said)}</text>'
