// @ts-check
// <capnogram-strip>: carbon dioxide through the last breaths, as a pen drew it; height in the unit that
// the page says, time ruled every five seconds.

import { KPA_PER_MMHG } from "../lib/words.mjs";
import { capnogramPath, ruled } from "./pen-line.mjs";

const SPAN_S = 15, EVERY_S = 5, BOX = { width: 250, height: 66 }, TOP_MMHG = 60;
/** What is ruled across, in each unit; a usual end of a breath lies near it (textbooks, from memory). */
const LEVEL = { mmHg: { mark: 40, mmhg: 40 }, kPa: { mark: 5, mmhg: 5 / KPA_PER_MMHG } };

/** What reaches further into a newer breath than this was drawn before that was known. [s] */
const OVERLAP_S = 0.1;

/** @param {{ start_s: number, line: readonly (readonly [number, number])[] }} breath */
const endOf = ({ start_s, line }) => start_s + (line[line.length - 1]?.[0] ?? 0);

export class CapnogramStrip extends HTMLElement {
  /** @type {{ start_s: number, line: readonly (readonly [number, number])[] }[]} */
  #breaths = [];

  connectedCallback() {
    if (this.firstElementChild) return;
    const { mark, mmhg } = LEVEL[this.unit], y = BOX.height * (1 - mmhg / TOP_MMHG), foot = BOX.height;
    this.innerHTML = `<svg class="capnogram" viewBox="-46 -8 ${BOX.width + 50} ${foot + 30}" aria-hidden="true">
      <path class="hair" d="M0 0V${foot}H${BOX.width}"/><path class="hair dots" d="M0 ${y.toFixed(1)}H${BOX.width}"/><path class="hair" d="${ruled(BOX, SPAN_S, EVERY_S)}"/>
      <text class="t" x="-8" y="${(y + 5).toFixed(1)}" text-anchor="end">${mark}</text><text class="t" x="-8" y="${foot + 2}" text-anchor="end">0</text>
      <text class="t" x="-8" y="6" text-anchor="end">${this.unit}</text><text class="t" x="${BOX.width}" y="${foot + 20}" text-anchor="end">${EVERY_S} s from mark to mark</text><path class="written"/></svg>`;
  }

  /** The unit said by whatever the strip lies in. @returns {"mmHg" | "kPa"} */
  get unit() { return /** @type {HTMLElement | null} */ (this.closest("[data-unit]"))?.dataset.unit === "kPa" ? "kPa" : "mmHg"; }

  /** What the station tells now, or nothing while no line is on. @param {Readonly<Record<string, unknown>>} readings */
  tell({ capnogram, capnogram_start_s: start_s }) {
    if (Array.isArray(capnogram) && typeof start_s === "number") this.add(start_s, capnogram);
    else this.clear();
  }

  /** A breath's line, once it is over. @param {number} start_s @param {readonly (readonly [number, number])[]} line */
  add(start_s, line) {
    const last = this.#breaths[this.#breaths.length - 1];
    if (last?.start_s === start_s && last.line.length === line.length) return;
    this.#breaths = [...this.#breaths.filter((b) => endOf(b) < start_s + OVERLAP_S), { start_s, line }].slice(-20);
    const ends_s = endOf({ start_s, line });
    this.querySelector(".written")?.setAttribute(
      "d", capnogramPath(this.#breaths, { from_s: ends_s - SPAN_S, to_s: ends_s, top_mmhg: TOP_MMHG, box: BOX }),
    );
  }

  /** The line is off, or another patient lies here: what was drawn is put away. */
  clear() {
    if (!this.#breaths.length) return;
    this.#breaths = [];
    this.querySelector(".written")?.removeAttribute("d");
  }
}

customElements.define("capnogram-strip", CapnogramStrip);
