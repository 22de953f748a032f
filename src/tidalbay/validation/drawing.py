"""Plots drawn as SVG: fine lines, hatched bands, marks that differ in shape as well as in tint."""

from collections.abc import Iterable, Sequence
from html import escape
from math import ceil, floor, isfinite, log10
from typing import Final

from tidalbay.printed.look import ATTENTION, HAIRLINE, INK, PAPER, QUIET, TYPEFACE, WASH
from tidalbay.validation.figure import Figure, Line, Point
from tidalbay.validation.telling import KEY

WIDE: Final = 520.0
HIGH: Final = 330.0
LEFT, RIGHT, TOP, BOTTOM = 46.0, 112.0, 34.0, 44.0
DASHES: Final = ("", "8 5", "2 5", "12 4 2 4")
SMALL: Final = 12.5
LABEL_APART: Final = 15.0
HALO: Final = f' stroke="{PAPER}" stroke-width="3" paint-order="stroke"'


class Axes:
    """From a plot's values to places on the page."""

    def __init__(self, figure: Figure) -> None:
        """Take the ranges of a plot."""
        self.x_range, self.y_range = figure.x_range, figure.y_range

    def x(self, value: float) -> float:
        """Place along the page."""
        low, high = self.x_range
        return LEFT + (value - low) / (high - low) * (WIDE - LEFT - RIGHT)

    def y(self, value: float) -> float:
        """Place down the page."""
        low, high = self.y_range
        return HIGH - BOTTOM - (value - low) / (high - low) * (HIGH - TOP - BOTTOM)


def svg(figure: Figure, words: str | None = None) -> str:
    """A plot as one element that needs nothing else.

    Parameters
    ----------
    words : str, optional
        What a reader who does not see it is told; without, title and description stand inside.
    """
    axes = Axes(figure)
    told = "" if words else f"<title>{escape(figure.title)}</title><desc>{escape(alternative(figure))}</desc>"
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE:g} {HIGH:g}" role="img" '
        f'width="{WIDE:g}" height="{HIGH:g}" font-family="{TYPEFACE}, sans-serif" font-size="{SMALL}" '
        f'fill="{INK}">{told}',
        f'<defs><pattern id="hatch-{figure.id}" width="7" height="7" patternUnits="userSpaceOnUse" '
        f'patternTransform="rotate(24)"><rect width="7" height="7" fill="{WASH}"/>'
        f'<path d="M0 0V7" stroke="{HAIRLINE}" stroke-width="1.1"/></pattern>'
        f'<clipPath id="frame-{figure.id}"><rect x="{LEFT}" y="{TOP - 4}" width="{WIDE - LEFT - RIGHT}" '
        f'height="{HIGH - TOP - BOTTOM + 8}"/></clipPath></defs>',
        *_grid(figure, axes),
        f'<g clip-path="url(#frame-{figure.id})">',
        *(_band(line, axes, figure.id) for line in figure.lines if line.low),
        *(
            _places(line, axes) if figure.ticks else _line(line, axes, DASHES[i % len(DASHES)])
            for i, line in enumerate(figure.lines)
        ),
        "</g>",
        *(() if figure.ticks else _line_labels(figure.lines, axes)),
        *_points(figure, axes),
        "</svg>",
    ]
    return "".join(parts)


def alternative(figure: Figure) -> str:
    """What the plot shows, in words, for readers who do not see it."""
    lines = [
        f"{line.label} runs from {line.y[0]:.3g} at {line.x[0]:.3g} to {line.y[-1]:.3g} at {line.x[-1]:.3g}"
        for line in figure.lines
        if line.x
    ]
    within = sum(point.result.within for point in figure.points)
    return (
        f"{figure.y_label} over {figure.x_label or 'places'}. {'; '.join(lines)}. "
        f"{within} of {len(figure.points)} published points are within their tolerance."
    )


def ticks(low: float, high: float, about: int = 5) -> list[float]:
    """Round values between two ends."""
    rough = (high - low) / about
    size = 10.0 ** floor(log10(rough))
    step = next(size * m for m in (1.0, 2.0, 2.5, 5.0, 10.0) if size * m >= rough * 0.999)
    first = ceil(low / step - 1e-9)
    return [step * n for n in range(first, floor(high / step + 1e-9) + 1)]


def _grid(figure: Figure, axes: Axes) -> Iterable[str]:
    ys, end = ticks(*figure.y_range), WIDE - RIGHT
    for value in ys:
        y = axes.y(value)
        yield f'<path d="M{LEFT} {y:.1f}H{end}" stroke="{HAIRLINE}" stroke-width=".6"/>'
        yield _text(LEFT - 7, y + 4.5, _plain(value), QUIET, "end")
    base = HIGH - BOTTOM
    yield f'<path d="M{LEFT} {base}H{end}" stroke="{INK}" stroke-width="1.4"/>'
    xs = list(figure.ticks) or ticks(*figure.x_range)
    for value in xs:
        x = axes.x(value)
        yield f'<path d="M{x:.1f} {base}v5" stroke="{INK}" stroke-width="1.2"/>'
        said = figure.ticks.get(value) or _plain(value)
        yield _text(x, base + 19, said, QUIET, "middle")
    yield _text((LEFT + end) / 2.0, HIGH - 6, figure.x_label, INK, "middle")
    yield _text(4, 15, figure.y_label, INK, "start")


def _band(line: Line, axes: Axes, figure_id: str) -> str:
    there = [f"{axes.x(x):.1f} {axes.y(y):.1f}" for x, y in zip(line.x, line.high, strict=True)]
    back = [f"{axes.x(x):.1f} {axes.y(y):.1f}" for x, y in zip(line.x, line.low, strict=True)]
    return f'<path d="M{"L".join([*there, *reversed(back)])}Z" fill="url(#hatch-{figure_id})" opacity=".75"/>'


def _line(line: Line, axes: Axes, dash: str) -> str:
    path = "L".join(f"{axes.x(x):.1f} {axes.y(y):.1f}" for x, y in zip(line.x, line.y, strict=True))
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<path d="M{path}" fill="none" stroke="{INK}" stroke-width="2.1" stroke-linejoin="round" '
        f'stroke-linecap="round"{dashed}/>'
    )


def _places(line: Line, axes: Axes) -> str:
    """A line over names instead of numbers: a stroke at each, and its own name beside the last."""
    strokes = "".join(
        f"M{axes.x(x) - 14:.1f} {axes.y(y):.1f}h28" for x, y in zip(line.x, line.y, strict=True)
    )
    last = _text(axes.x(line.x[-1]) + 17, axes.y(line.y[-1]) + 4.5, line.label, INK, "start")
    return f'<path d="{strokes}" stroke="{INK}" stroke-width="3" stroke-linecap="round"/>{last}'


def _line_labels(lines: Sequence[Line], axes: Axes) -> Iterable[str]:
    """Names at the ends of lines, moved apart where they would touch."""
    ends = [_end(line, axes) for line in lines]
    edge = WIDE - RIGHT
    short = {i for i, (x, _) in enumerate(ends) if x < edge - 0.08 * (edge - LEFT)}
    wanted = sorted((ends[i][1], i) for i in range(len(lines)) if i not in short)
    placed: list[float] = []
    for y, _ in wanted:
        placed.append(max(y, placed[-1] + LABEL_APART) if placed else y)
    over = max(0.0, placed[-1] - (HIGH - BOTTOM)) if placed else 0.0
    for (y, i), at_y in zip(wanted, placed, strict=True):
        label_y = at_y - over
        dash = DASHES[i % len(DASHES)]
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        yield (
            f'<path d="M{edge + 2:.1f} {y:.1f}L{edge + 7:.1f} {label_y:.1f}" stroke="{QUIET}" '
            f'stroke-width=".7" fill="none"/><path d="M{edge + 8:.1f} {label_y:.1f}h16" stroke="{INK}" '
            f'stroke-width="2.1"{dashed}/>'
        )
        yield _text(edge + 28, label_y + 4.5, lines[i].label, INK, "start")
    taken: list[tuple[float, float]] = []
    for i in sorted(short, key=lambda i: -ends[i][1]):
        x, y = ends[i][0] + 6.0, ends[i][1] - 6.0
        while any(abs(x - left) < 60.0 and abs(y - high) < LABEL_APART for left, high in taken):
            y -= LABEL_APART
        taken.append((x, y))
        yield _text(x, y, lines[i].label, INK, "start", HALO)


def _end(line: Line, axes: Axes) -> tuple[float, float]:
    """Where a line leaves the frame, or ends."""
    inside = [
        (axes.x(x), axes.y(y))
        for x, y in zip(line.x, line.y, strict=True)
        if isfinite(y) and x <= axes.x_range[1] and axes.y_range[0] <= y <= axes.y_range[1]
    ]
    return inside[-1] if inside else (axes.x(axes.x_range[1]), axes.y(axes.y_range[0]))


def _points(figure: Figure, axes: Axes) -> Iterable[str]:
    for letter, point in figure.letters:
        yield mark(letter, point, axes)


def mark(letter: str, point: Point, axes: Axes) -> str:
    """A published value: bar of what would be within, mark by standing, letter; crossed where missed."""
    is_missed = not point.result.within
    tint = ATTENTION if is_missed else INK
    low, high = point.reach
    if point.across:
        x1, x2 = (axes.x(min(max(v, axes.x_range[0]), axes.x_range[1])) for v in (low, high))
        y = axes.y(point.at)
        bar = f"M{x1:.1f} {y:.1f}H{x2:.1f}M{x1:.1f} {y - 4:.1f}v8M{x2:.1f} {y - 4:.1f}v8"
        middle = (axes.x(point.middle), y) if point.middle is not None else ((x1 + x2) / 2.0, y)
        letter_at = (x2 + 4.0, y - 5.0)
    else:
        y1, y2 = (axes.y(min(max(v, axes.y_range[0]), axes.y_range[1])) for v in (low, high))
        x = axes.x(point.at)
        bar = f"M{x:.1f} {y1:.1f}V{y2:.1f}M{x - 4:.1f} {y1:.1f}h8M{x - 4:.1f} {y2:.1f}h8"
        middle = (x, axes.y(point.middle)) if point.middle is not None else (x, (y1 + y2) / 2.0)
        letter_at = (x + 5.0, min(middle[1], max(y1, y2)) - 6.0)
    row = point.result.row
    if point.middle is None:
        x1, x2, y1, y2 = (x1, x2, y - 4.0, y + 4.0) if point.across else (x - 4.0, x + 4.0, y2, y1)
        drawn = box(x1, y1, x2, y2, row.tuned_on or row.built_in, tint)
    else:
        drawn = f'<path d="{bar}" fill="none" stroke="{tint}" stroke-width="1.3"/>'
        drawn += shape(middle[0], middle[1], row.tuned_on, row.built_in, tint)
    if is_missed:
        drawn += cross(middle[0], middle[1])
    return drawn + _text(*letter_at, letter, tint, "start", HALO)


def shape(x: float, y: float, is_tuned: bool, is_built_in: bool, tint: str) -> str:
    """Full disc: nothing tuned on it. Open ring: tuned on it. Open square: the model's own source."""
    if is_tuned:
        return (
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4.2" fill="{PAPER}" stroke="{tint}" stroke-width="1.8"/>'
        )
    if is_built_in:
        return (
            f'<rect x="{x - 3.8:.1f}" y="{y - 3.8:.1f}" width="7.6" height="7.6" fill="{PAPER}" '
            f'stroke="{tint}" stroke-width="1.8"/>'
        )
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4.6" fill="{tint}"/>'


def box(x1: float, y1: float, x2: float, y2: float, is_open: bool, tint: str) -> str:
    """A printed range: shaded where nothing was tuned on it, open otherwise."""
    return (
        f'<rect x="{x1:.1f}" y="{y1:.1f}" width="{x2 - x1:.1f}" height="{y2 - y1:.1f}" fill="{tint}" '
        f'fill-opacity="{0.0 if is_open else 0.28}" stroke="{tint}" stroke-width="1.3"/>'
    )


def cross(x: float, y: float) -> str:
    """What marks a miss, beside its tint."""
    return (
        f'<path d="M{x - 7:.1f} {y - 7:.1f}l14 14M{x - 7:.1f} {y + 7:.1f}l14 -14" stroke="{ATTENTION}" '
        f'stroke-width="1.8" stroke-linecap="round"/>'
    )


def key() -> str:
    """How marks are read, as one small drawing."""
    said = (
        ("nothing tuned on it", shape(10, 12, False, False, INK)),
        ("tuned on it", shape(10, 12, True, False, INK)),
        ("the model's own source", shape(10, 12, False, True, INK)),
        ("printed range", box(6, 3, 14, 21, False, INK)),
        ("range tuned on", box(6, 3, 14, 21, True, INK)),
        ("missed", shape(10, 12, False, False, ATTENTION) + cross(10, 12)),
    )
    parts, x = [], 0.0
    for words, drawn in said:
        parts.append(f'<g transform="translate({x:g} 0)">{drawn}{_text(22, 16.5, words, INK, "start")}</g>')
        x += 40.0 + 6.6 * len(words)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {x:g} 24" width="{x:g}" height="24" '
        f'role="img" font-family="{TYPEFACE}, sans-serif" font-size="{SMALL}"><title>{escape(KEY)}</title>'
        f"{''.join(parts)}</svg>"
    )


def _text(x: float, y: float, said: str, tint: str, anchor: str, more: str = "") -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" fill="{tint}" text-anchor="{anchor}"{more}>{_set(said)}</text>'


def _plain(value: float) -> str:
    return f"{round(value, 9):g}".replace("-", "−")


def _set(said: str) -> str:
    """Chemical names with their digits set low."""
    text = escape(said)
    for plain, atom in (("CO2", "CO"), ("H2O", "H"), ("O2", "O")):
        rest = plain[len(atom) + 1 :]
        low = f'{atom}<tspan dy="3" font-size="9.5">2</tspan><tspan dy="-3">{rest or chr(0x200B)}</tspan>'
        if plain in text:
            return text.replace(plain, low)
    return text
