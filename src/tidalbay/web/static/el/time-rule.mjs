// @ts-check
// <time-rule>: the ruled line of time. Acts hang on it as small flags; the mark is now. The same element on every page
// that has time. With the attribute `pick` the mark can be moved along it, by hand or by arrow keys.

import { html, show, drawn } from "../lib/html.mjs";
import { placeFlags, ruleEnd, ticks, xOf } from "./rule-layout.mjs";
import { clockWords } from "../lib/words.mjs";

/** @typedef {import("./rule-layout.mjs").Flag} Flag */
/** @typedef {{ from_s?: number, minutes?: number, now_s?: number, flags?: readonly Flag[], ahead?: readonly Flag[] }} RuleState */

const STEP_S = 5, LARGE_STEP_S = 30;

export class TimeRule extends HTMLElement {
  /** @type {Required<RuleState>} */
  #state = { from_s: 0, minutes: 15, now_s: 0, flags: [], ahead: [] };
  #drawn = "";
  #picked_s = /** @type {number | null} */ (null);
  /** @type {ResizeObserver | null} */
  #sizes = null;
  #pen = document.createElement("canvas").getContext("2d");

  connectedCallback() {
    if (!this.firstElementChild) this.innerHTML = '<div class="rule-drawing" aria-hidden="true"></div><ol class="visually-hidden"></ol>';
    this.#sizes = new ResizeObserver(() => { this.#drawn = ""; this.#draw(); });
    this.#sizes.observe(this);
    if (this.hasAttribute("pick")) this.#makePick();
  }

  disconnectedCallback() { this.#sizes?.disconnect(); }

  /** @param {RuleState} state  parts that are left out stay as they are */
  show(state) {
    this.#state = { ...this.#state, ...state };
    this.#draw();
  }

  /** The moment that was picked, or now. [s] */
  get picked_s() { return this.#picked_s ?? this.#state.now_s; }

  #end_s() {
    const last = Math.max(this.#state.now_s, ...this.#state.ahead.map((f) => f.at_s));
    return ruleEnd(this.#state.minutes * 60, last);
  }

  #draw() {
    const { from_s, now_s, flags, ahead } = this.#state, width = this.clientWidth;
    if (!width) return;
    const to_s = this.#end_s(), style = getComputedStyle(this), size = parseFloat(style.fontSize) || 16;
    const mark_s = this.#picked_s ?? now_s;
    // The mark moves by pixels: between two of them nothing is drawn anew.
    const place = Math.round(xOf(mark_s, from_s, to_s, width));
    const all = [...flags, ...ahead.map((f) => ({ ...f, faint: true }))];
    const state = JSON.stringify([width, size, to_s, place, clockWords(mark_s), all]);
    if (state === this.#drawn) return;
    this.#drawn = state;
    const rows = Number(this.getAttribute("rows") ?? 2);
    show(this.querySelector(".rule-drawing"), drawn(drawing({
      all, from_s, to_s, now_s: mark_s, width, size, rows, widthOf: (label) => this.#widthOf(label, size, style.fontFamily),
    })));
    show(this.querySelector("ol"), html`${all.map((f) => html`<li>${clockWords(f.at_s)} ${f.label}</li>`)}`);
    const slider = this.querySelector(".rule-pick");
    slider?.setAttribute("aria-valuemax", String(Math.floor(now_s)));
    slider?.setAttribute("aria-valuenow", String(Math.floor(mark_s)));
    slider?.setAttribute("aria-valuetext", `${clockWords(mark_s)} of ${clockWords(now_s)}`);
  }

  /** @param {string} label @param {number} size @param {string} family */
  #widthOf(label, size, family) {
    if (!this.#pen) return label.length * size * 0.55 + 16;
    this.#pen.font = `500 ${size}px ${family}`;
    return this.#pen.measureText(label).width + size * 0.8;
  }

  #makePick() {
    const slider = document.createElement("div");
    slider.className = "rule-pick";
    slider.tabIndex = 0;
    slider.setAttribute("role", "slider");
    slider.setAttribute("aria-label", this.getAttribute("pick") || "A moment of the attempt");
    slider.setAttribute("aria-valuemin", "0");
    this.append(slider);
    const pick = (/** @type {number | null} */ at_s) => this.pickAt(at_s);
    /** @param {PointerEvent} event */
    const under = (event) => {
      const box = this.getBoundingClientRect();
      return this.#state.from_s + ((event.clientX - box.left) / box.width) * (this.#end_s() - this.#state.from_s);
    };
    slider.addEventListener("pointerdown", (event) => {
      slider.setPointerCapture(event.pointerId);
      pick(under(event));
    });
    slider.addEventListener("pointermove", (event) => { if (slider.hasPointerCapture(event.pointerId)) pick(under(event)); });
    slider.addEventListener("keydown", (event) => {
      const by = /** @type {Record<string, number>} */ ({ ArrowLeft: -STEP_S, ArrowDown: -STEP_S, ArrowRight: STEP_S, ArrowUp: STEP_S, PageDown: -LARGE_STEP_S, PageUp: LARGE_STEP_S })[event.key];
      if (by !== undefined) pick(this.picked_s + by);
      else if (event.key === "Home") pick(this.#state.from_s);
      else if (event.key === "End" || event.key === "Escape") pick(null);
      else return;
      event.preventDefault();
    });
  }

  /** Moves the mark to a moment, or back to now with null, and tells of it. @param {number | null} at_s */
  pickAt(at_s) {
    this.#picked_s = at_s === null ? null : Math.min(this.#state.now_s, Math.max(this.#state.from_s, at_s));
    this.#draw();
    this.dispatchEvent(new CustomEvent("pick", { detail: { at_s: this.#picked_s }, bubbles: true }));
  }

  /** Let go of the picked moment: the mark is now again. */
  letGo() { this.#picked_s = null; this.#draw(); }
}

const n = (/** @type {number} */ v) => String(Math.round(v * 10) / 10);

/**
 * @param {{ all: readonly Flag[], from_s: number, to_s: number, now_s: number, width: number, size: number, rows: number, widthOf: (label: string) => number }} how
 */
function drawing({ all, from_s, to_s, now_s, width, size, rows, widthOf }) {
  const rowHigh = size * 1.42, y = rows * rowHigh + size * 0.75, high = y + size * 1.75, o = [];
  const now_x = xOf(now_s, from_s, to_s, width), nameWide = widthOf("00:00");
  o.push(`<path class="ink" d="M0 ${n(y)}H${n(width)}"/>`);
  /** Where the middle of a name comes to stand: at the ends it keeps within the rule. @param {number} x */
  const middle = (x) => (x < nameWide / 2 ? x + nameWide / 2 : x > width - nameWide / 2 ? x - nameWide / 2 : x);
  for (const t of ticks(from_s, to_s, width, nameWide * 1.9)) {
    o.push(`<path class="${t.name ? "fine" : "hair"}" d="M${n(t.x)} ${n(y)}v${n(size * (t.name ? 0.45 : 0.28))}"/>`);
    if (!t.name || Math.abs(middle(t.x) - middle(now_x)) < nameWide * 0.95) continue;
    const side = t.x < nameWide / 2 ? "start" : t.x > width - nameWide / 2 ? "end" : "middle";
    o.push(`<text class="t t-q" x="${n(t.x)}" y="${n(y + size * 1.5)}" text-anchor="${side}">${t.name}</text>`);
  }
  const flags = placeFlags(all, { from_s, to_s, width, rows, widthOf });
  const topOf = (/** @type {number} */ row) => y - size * 0.65 - (row + 1) * rowHigh + size * 0.2;
  for (const f of flags) if (f.row >= 0) o.push(`<path class="fine${f.flag.faint ? " faint" : ""}" d="M${n(f.x)} ${n(y)}V${n(topOf(f.row))}"/>`);
  for (const f of flags) {
    const look = (f.flag.faint ? " faint" : "") + (f.flag.attend ? " line-att" : "");
    if (f.row >= 0) {
      const top = topOf(f.row), h = size * 1.22, w = f.w - size * 0.2, q = h / 2, way = f.left ? -1 : 1;
      o.push(`<path class="fine flag${look}" d="M${n(f.x)} ${n(top)}h${n(way * w)}l${n(way * size * 0.28)} ${n(q)}l${n(-way * size * 0.28)} ${n(q)}h${n(-way * w)}Z"/>`);
      const x = f.left ? f.x - f.w + size * 0.42 : f.x + size * 0.36;
      o.push(`<text class="t${f.flag.attend ? " t-a" : ""}" x="${n(x)}" y="${n(top + size * 0.93)}">${html`${f.flag.label}`.text}</text>`);
    }
    o.push(`<circle class="${f.flag.faint ? "f-paper fine" : "solid"}" cx="${n(f.x)}" cy="${n(y)}" r="${n(size * 0.2)}"/>`);
  }
  const side = now_x < nameWide / 2 ? "start" : now_x > width - nameWide / 2 ? "end" : "middle";
  o.push(`<path class="now" d="M${n(now_x)} ${n(y - size * 0.55)}V${n(y + size * 0.5)}"/>`);
  o.push(`<text class="t now-name" x="${n(now_x)}" y="${n(y + size * 1.5)}" text-anchor="${side}">${clockWords(now_s)}</text>`);
  return `<svg class="rule" viewBox="0 0 ${n(width)} ${n(high)}" width="${n(width)}" height="${n(high)}">${o.join("")}</svg>`;
}

customElements.define("time-rule", TimeRule);
