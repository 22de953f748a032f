// @ts-check
// <capnogram-strip>: carbon dioxide through the last breaths, as a pen drew it.

import { capnogramPath } from "./pen-line.mjs";

const SPAN_S = 15, BOX = { width: 250, height: 70 }, TOP_MMHG = 60;

export class CapnogramStrip extends HTMLElement {
  /** @type {{ start_s: number, line: readonly (readonly [number, number])[] }[]} */
  #breaths = [];

  connectedCallback() {
    if (this.firstElementChild) return;
    const y40 = BOX.height * (1 - 40 / TOP_MMHG);
    this.innerHTML = `<svg class="capnogram" viewBox="-44 -6 ${BOX.width + 50} ${BOX.height + 14}" aria-hidden="true">
      <path class="hair" d="M0 0V${BOX.height}H${BOX.width}"/><path class="hair dots" d="M0 ${y40}H${BOX.width}"/>
      <text class="t t-q" x="-8" y="${y40 + 5}" text-anchor="end">40</text><text class="t t-q" x="-8" y="${BOX.height + 2}" text-anchor="end">0</text><path class="written"/></svg>`;
  }

  /** A breath's line, once it is over. @param {number} start_s @param {readonly (readonly [number, number])[]} line */
  add(start_s, line) {
    const last = this.#breaths[this.#breaths.length - 1];
    if (last?.start_s === start_s && last.line.length === line.length) return;
    this.#breaths = [...this.#breaths.filter((b) => b.start_s < start_s), { start_s, line }].slice(-12);
    const ends_s = start_s + (line[line.length - 1]?.[0] ?? 0);
    this.querySelector(".written")?.setAttribute(
      "d", capnogramPath(this.#breaths, { from_s: ends_s - SPAN_S, to_s: ends_s, top_mmhg: TOP_MMHG, box: BOX }),
    );
  }
}

customElements.define("capnogram-strip", CapnogramStrip);
