// @ts-check
// <strip-chart>: strips over one line of time, each with its name at its side. As it went is a full line; the other way
// is dotted with open circles. A mark stands at the moment looked at; a press on a strip moves it.

import { chem, drawn, escaped, html, show } from "../lib/html.mjs";
import { axes, bandPath, joined, linePath, ringsOf, scaleNames, sooner } from "../lib/strip-layout.mjs";
import { figure } from "../lib/words.mjs";

/** @typedef {import("../lib/strip-layout.mjs").Strip} Strip */
/** @typedef {{ strips: Strip[], end_s: number, at_s: number, others?: Strip[] | null, bands?: Record<string, import("../lib/strip-layout.mjs").EffectBand> | null, from_s?: number | null, otherWords?: string }} ChartState */

const HIGH = /** @type {Record<string, number>} */ ({ saturation: 132, inspired: 66, carbon_dioxide: 60, breaths: 60, medicine: 46, skin: 52, score: 46 });
const SPANS_HIGH = 26, QUIET_HIGH = 26, PAD = 7, SCALE_WIDE = 44, RING = 4.2, NAME_HIGH = 19;
const n = (/** @type {number} */ v) => String(Math.round(v * 10) / 10);

export class StripChart extends HTMLElement {
  /** @type {ChartState} */
  #state = { strips: [], end_s: 60, at_s: 0 };
  #drawn = "";
  /** @type {ResizeObserver | null} */
  #sizes = null;

  connectedCallback() {
    this.#sizes = new ResizeObserver(() => this.#draw());
    this.#sizes.observe(this);
    /** @param {PointerEvent} event */
    const pick = (event) => {
      const plot = /** @type {Element} */ (event.target).closest(".plot");
      if (!plot) return;
      const box = plot.getBoundingClientRect(), width = box.width - SCALE_WIDE;
      const at_s = Math.min(1, Math.max(0, (event.clientX - box.left) / width)) * this.#state.end_s;
      this.dispatchEvent(new CustomEvent("pick", { detail: { at_s }, bubbles: true }));
    };
    this.addEventListener("pointerdown", (event) => { if (event.button === 0) pick(event); });
    this.addEventListener("pointermove", (event) => { if (event.buttons & 1) pick(event); });
  }

  disconnectedCallback() { this.#sizes?.disconnect(); }

  /** @param {Partial<ChartState>} state  parts that are left out stay as they are */
  show(state) {
    this.#state = { ...this.#state, ...state };
    this.#draw();
  }

  #draw() {
    const { strips, end_s, at_s, others, bands, from_s, otherWords } = this.#state;
    const name = parseFloat(getComputedStyle(this).getPropertyValue("--names")) * parseFloat(getComputedStyle(document.documentElement).fontSize);
    const width = this.clientWidth - name - SCALE_WIDE;
    if (width <= 0 || !strips.length) return;
    const state = JSON.stringify([width, strips.map((s) => s.id), others?.map((s) => s.lines.map((l) => l.values.length)), from_s, otherWords, end_s]);
    if (state !== this.#drawn || others !== this.#others || bands !== this.#bands) {
      this.#drawn = state;
      this.#others = others ?? null;
      this.#bands = bands ?? null;
      show(this, html`${strips.map((strip) => row(strip, others?.find((each) => each.id === strip.id), { end_s, width, from_s: from_s ?? null, otherWords: otherWords ?? "", band: bands?.[strip.id] }))}<div class="strip-mark" aria-hidden="true"></div>`);
    }
    const mark = /** @type {HTMLElement | null} */ (this.querySelector(".strip-mark"));
    if (mark) mark.style.left = `${name + (Math.min(end_s, at_s) / end_s) * width}px`;
  }

  /** @type {Strip[] | null} */
  #others = null;
  /** @type {ChartState["bands"]} */
  #bands = null;
}

/** @param {Strip} strip @param {Strip | undefined} other @param {{ end_s: number, width: number, from_s: number | null, otherWords: string, band?: import("../lib/strip-layout.mjs").EffectBand }} how */
function row(strip, other, how) {
  const drawnStrip = strip.lines.length || strip.spans.length || other?.lines.length || other?.spans.length;
  const about = [strip.about, strip.unit].filter(Boolean).join(", ");
  return html`<div class="strip" data-strip="${strip.id}"><div class="strip-name"><b>${strip.title}</b>${drawnStrip ? html`<small>${about}</small>` : ""}</div>
    ${drawnStrip ? drawn(strip.kind === "spans" ? spansDrawing(strip, other, how) : linesDrawing(strip, other, how)) : html`<p class="strip-said quiet">${chem(strip.said)}</p>`}</div>`;
}

/** @param {Strip} strip @param {Strip | undefined} other @param {{ end_s: number, width: number, from_s: number | null, otherWords: string, band?: import("../lib/strip-layout.mjs").EffectBand }} how */
function linesDrawing(strip, other, { end_s, width, from_s, otherWords, band }) {
  const first = strip.lines.length ? strip : /** @type {Strip} */ (other);
  const scale = strip.lines.length ? joined(strip.scale, other?.lines.length ? other.scale : undefined) : first.scale;
  const high = HIGH[strip.id] ?? 56, at = axes({ end_s, width, high, scale, pad: PAD }), o = [];
  const isSteps = strip.kind === "steps";
  if (strip.band) {
    const top = at.y(Math.min(scale.high, strip.band[1])), foot = at.y(Math.max(scale.low, strip.band[0]));
    o.push(`<defs><pattern id="ordered-range" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(14)"><path class="hair" d="M0 0V6"/></pattern></defs>`);
    o.push(`<rect class="ordered" x="0" y="${n(top)}" width="${n(width)}" height="${n(Math.max(1, foot - top))}"/>`);
  }
  const all = scaleNames(scale), apart = (high - 2 * PAD) / Math.max(1, all.length - 1), every = Math.max(1, Math.ceil(NAME_HIGH / apart));
  for (const value of all.filter((_, i) => i % every === 0)) {
    o.push(`<path class="hair" d="M0 ${n(at.y(value))}H${n(width)}"/>`);
    const words = first.names[String(value)];
    if (!words) o.push(`<text class="t t-q" x="${n(width + 7)}" y="${n(at.y(value) + 4.5)}">${figure(value, 2)}</text>`);
  }
  if (strip.band) o.push(`<text class="t t-q halo" x="${n(width - 6)}" y="${n(at.y(Math.min(scale.high, strip.band[1])) + 15)}" text-anchor="end">ordered, ${figure(strip.band[0])} to ${figure(strip.band[1])}</text>`);
  if (band && from_s !== null) o.push(`<path class="effect" d="${bandPath(band, at, scale)}"/>`);
  strip.lines.forEach((line, i) => o.push(`<path class="went${i ? " truth" : ""}" d="${linePath(line, at, isSteps)}"/>`));
  const would = other?.lines[0];
  if (other && !would && other.said) o.push(`<text class="t halo" x="8" y="${n(high - 12)}">the other way: ${escaped(other.said)}</text>`);
  if (would && from_s !== null) {
    o.push(`<path class="would" d="${linePath(would, at, isSteps, from_s)}"/>`);
    for (const ring of ringsOf(would, at, from_s, end_s, width)) o.push(`<circle class="ring" cx="${n(ring.x)}" cy="${n(ring.y)}" r="${RING}"/>`);
    if (strip.id === "saturation") o.push(...told(strip, would, at, { from_s, width, otherWords, high, end_s }));
  }
  if (from_s !== null) o.push(`<path class="from" d="M${n(at.x(from_s))} 0V${n(high)}"/>`);
  return svg(strip, width, high, o);
}

/** What stands at the lines: what they are, and how much sooner. @param {Strip} strip @param {import("../lib/strip-layout.mjs").StripLine} would @param {import("../lib/strip-layout.mjs").Axes} at @param {{ from_s: number, width: number, otherWords: string, high: number, end_s: number }} how */
function told(strip, would, at, { from_s, width, otherWords, high }) {
  const o = [], x = at.x(from_s), isLate = x > width * 0.6;
  if (otherWords) o.push(`<text class="t t-b halo" x="${n(isLate ? x - 8 : x + 8)}" y="${n(high - 8)}" text-anchor="${isLate ? "end" : "start"}">${escaped(otherWords)}</text>`);
  const found = sooner(strip.lines[0], would, strip.band, from_s);
  if (found && strip.band) {
    const y = at.y(strip.band[0]) + 9, [a, b] = [at.x(Math.min(found.was_s, found.would_s)), at.x(Math.max(found.was_s, found.would_s))];
    o.push(`<path class="arrow" d="M${n(a)} ${n(y)}H${n(b)}M${n(a + 6)} ${n(y - 4)}L${n(a)} ${n(y)}l6 4M${n(b - 6)} ${n(y - 4)}L${n(b)} ${n(y)}l-6 4"/>`);
    o.push(`<text class="t halo" x="${n((a + b) / 2)}" y="${n(y + 17)}" text-anchor="middle">${escaped(found.words)}</text>`);
  }
  return o;
}

/** @param {Strip} strip @param {Strip | undefined} other @param {{ end_s: number, width: number, from_s: number | null }} how */
function spansDrawing(strip, other, { end_s, width, from_s }) {
  const differs = from_s !== null && other && JSON.stringify(other.spans) !== JSON.stringify(strip.spans);
  const high = differs ? 2 * SPANS_HIGH + 4 : SPANS_HIGH, at = axes({ end_s, width, high, scale: { low: 0, high: 1, step: 1 }, pad: 0 });
  /** @type {string[]} */
  const o = [];
  const put = (/** @type {Strip["spans"]} */ spans, /** @type {number} */ top, /** @type {string} */ look) => {
    for (const span of spans) {
      const a = at.x(span.from_s), b = at.x(span.to_s);
      o.push(`<rect class="${look}" x="${n(a)}" y="${n(top + 2)}" width="${n(Math.max(2, b - a))}" height="${SPANS_HIGH - 4}"/>`);
      if (b - a > 7.4 * span.words.length + 12) o.push(`<text class="t" x="${n(a + 7)}" y="${n(top + SPANS_HIGH / 2 + 5)}">${escaped(span.words)}</text>`);
    }
  };
  put(strip.spans, 0, "span");
  if (differs && other) put(other.spans, SPANS_HIGH + 4, "span would-span");
  return svg(strip, width, high, o);
}

/** @param {Strip} strip @param {number} width @param {number} high @param {string[]} inside */
const svg = (strip, width, high, inside) =>
  `<svg class="plot" role="img" aria-label="${escaped(strip.title)} over time; its numbers stand beside the mark and in the table" viewBox="0 0 ${n(width + SCALE_WIDE)} ${n(high)}" width="${n(width + SCALE_WIDE)}" height="${n(high)}">${inside.join("")}</svg>`;

customElements.define("strip-chart", StripChart);
