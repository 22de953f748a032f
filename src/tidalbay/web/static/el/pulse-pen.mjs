// @ts-check
// <pulse-pen>: the pulse that the finger probe finds, as a pen writes it on paper. The line grows to the right; a full
// line moves up and the pen begins the next. What was written is never wiped.

import { beat, penPath, ragged } from "./pen-line.mjs";

/** @typedef {{ t_s: number, pulse_per_min: number | null, signal: string, pace: number, running: boolean }} Pulse */

/** One line of paper. [s] */
const LINE_S = 5;
const STEP_S = 0.04, BOX = { width: 250, height: 36 }, UP = 42;
/** Faster than this a beat is not seen any more: the pen rests. [times] */
const FASTEST = 4;

/** Room for the line, and for the one above it once there is one. @param {number} up */
const viewBox = (up) => `-3 ${-up - 5} ${BOX.width + 30} ${BOX.height + up + 8}`;

export class PulsePen extends HTMLElement {
  #phase = 0;
  #last_s = NaN;
  /** @type {number[]} */
  #line = [];
  /** @type {((at: "beat") => void) | null} */
  onBeat = null;

  connectedCallback() {
    if (this.firstElementChild) return;
    this.innerHTML = `<svg class="pulse" viewBox="${viewBox(0)}" aria-hidden="true">
      <path class="hair dots" d="M0 ${BOX.height}H${BOX.width}"/><path class="written earlier" transform="translate(0 ${-UP})"/><path class="written"/>
      <g class="nib-pen" transform="translate(0 ${BOX.height})"><path class="fine f-paper" d="M0 0l4 -9l13 -17l6 5l-13 17z"/><path class="fine" d="M4 -9l6 5M14 -23l6 5"/></g></svg>`;
  }

  /** @param {Pulse} now */
  write({ t_s, pulse_per_min, signal, pace, running }) {
    const written = this.querySelectorAll(".written"), pen = this.querySelector(".nib-pen");
    const [earlier, line] = written;
    if (!line || !earlier || !pen) return;
    const gone_s = t_s - this.#last_s;
    if (!(gone_s >= 0) || gone_s > 2 * LINE_S) { this.#last_s = t_s; return; }
    if (!running || pace > FASTEST || gone_s < STEP_S) return;
    for (let at_s = this.#last_s; at_s + STEP_S <= t_s; at_s += STEP_S) {
      this.#last_s = at_s + STEP_S;
      this.#line.push(this.#height(at_s, pulse_per_min, signal));
      if (this.#line.length * STEP_S < LINE_S) continue;
      if (!earlier.hasAttribute("d")) this.querySelector("svg")?.setAttribute("viewBox", viewBox(UP));
      earlier.setAttribute("d", this.#path());
      this.#line = this.#line.slice(-1);
    }
    line.setAttribute("d", this.#path());
    const tip = this.#line[this.#line.length - 1] ?? NaN, x = (this.#line.length - 1) * this.#stepPx();
    pen.setAttribute("transform", `translate(${x.toFixed(1)} ${(BOX.height * (1 - (Number.isNaN(tip) ? 0.25 : tip))).toFixed(1)})`);
  }

  /** @param {number} at_s @param {number | null} pulse_per_min @param {string} signal */
  #height(at_s, pulse_per_min, signal) {
    if (signal === "probe off" || (pulse_per_min === null && signal !== "poor signal")) return NaN;
    if (signal === "poor signal" || pulse_per_min === null) return ragged(at_s);
    const before = this.#phase;
    this.#phase = (this.#phase + (STEP_S * pulse_per_min) / 60) % 1;
    if (this.#phase < before) this.onBeat?.("beat");
    return beat(this.#phase);
  }

  #stepPx() { return (BOX.width * STEP_S) / LINE_S; }
  #path() { return penPath(this.#line, BOX, this.#stepPx()); }
}

customElements.define("pulse-pen", PulsePen);
