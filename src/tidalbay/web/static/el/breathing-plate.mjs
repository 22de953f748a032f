// @ts-check
// <breathing-plate view="seen" crop="bed">: the drawing, fed by a station. The picture is built when its state changes
// and patched while it breathes; its words are rewritten only when they change.

import { plate } from "../draw/plate.mjs";
import { airShare } from "../lib/breath-now.mjs";
import { eachFrame, stepped, wantsStill } from "../lib/frames.mjs";

/** @typedef {import("../lib/feed.mjs").Feed} Feed */

/** Volume that fills the drawn chest, by build: about 12 mL/kg, larger than a quiet breath so that a deep one shows; ours. [mL] */
const FULL_ML = /** @type {Record<string, number>} */ ({ man: 900, woman: 750, child: 260, infant: 90 });

const SVG = "http://www.w3.org/2000/svg";

export class BreathingPlate extends HTMLElement {
  /** @type {ReturnType<typeof plate> | null} */
  #plate = null;
  /** @type {(() => void)[]} */
  #ends = [];
  #words = "";

  /** @returns {SVGSVGElement} */
  get svg() {
    let svg = this.querySelector("svg");
    if (!svg) {
      svg = document.createElementNS(SVG, "svg");
      svg.setAttribute("class", "plate");
      this.append(svg);
    }
    return svg;
  }

  /** Words for those who do not see the picture. @param {string} title @param {string} text */
  describe(title, text) {
    if (this.#words === title + text) return;
    this.#words = title + text;
    this.#plate?.words(title, text);
  }

  /** Follows a station until the element leaves the page. @param {Feed} feed @param {(known: any) => any} [gas]  shares of gas for the cut view */
  feed(feed, gas = () => undefined) {
    this.stop();
    this.#words = "";
    const view = this.getAttribute("view") === "cut" ? "cut" : "seen";
    const crop = /** @type {"bed" | "face" | "hands" | "supply"} */ (this.getAttribute("crop") ?? "bed");
    const p = (this.#plate = plate(this.svg, { view, crop }));
    let full_ml = 900;
    const scene = () => {
      const known = feed.known.get();
      if (!known.case?.patient || !known.things) return;
      full_ml = FULL_ML[known.case.patient.build] ?? 900;
      p.scene({ patient: known.case.patient, look: known.look ?? {}, things: known.things, inspected: known.inspected, gas: gas(known) });
      const { width, height } = this.svg.viewBox.baseVal;
      if (crop !== "bed" && width && height) this.style.aspectRatio = `${width} / ${height}`;
      this.dispatchEvent(new CustomEvent("scene"));
    };
    for (const part of /** @type {const} */ (["case", "look", "things", "inspected", "truth"])) {
      this.#ends.push(feed.known.watch((k) => k[part], scene));
    }
    let drawn_s = NaN;
    this.#ends.push(eachFrame(() => {
      if (!feed.known.get().things) return;
      const still = wantsStill(), now_s = feed.t_s();
      const t_s = still ? stepped(feed.breaths.newest(), now_s) : now_s;
      if (t_s === drawn_s) return;
      drawn_s = t_s;
      const now = feed.breaths.at(t_s);
      p.breathe({ air: airShare(now.air_ml, full_ml), bag: now.bag, breathing_in: now.breathing_in, t_s: still ? 0 : t_s });
    }));
  }

  /** Where a part of the drawing is, in pixels of its svg, or null while it is not drawn. @param {string} name @returns {{ x: number, y: number } | null} */
  anchor(name) {
    return this.#plate?.anchor(name) ?? null;
  }

  stop() {
    for (const end of this.#ends) end();
    this.#ends = [];
  }

  disconnectedCallback() { this.stop(); }
}

customElements.define("breathing-plate", BreathingPlate);
