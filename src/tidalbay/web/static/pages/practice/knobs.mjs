// @ts-check
/** Flow controls to turn: a slider for the hand, a number for the keyboard; what is let go of is what was set. */
import { meterWords } from "../../acts/things.mjs";
import { html, show } from "../../lib/html.mjs";
import { figure } from "../../lib/words.mjs";

/** @typedef {import("../../acts/things.mjs").Things} Things */

/** Steps of the knob. Half a litre is as fine as a ball can be set by eye; ours. [L/min] */
const STEP_LPM = 0.5;

/**
 * @param {HTMLElement} place
 * @param {(meter: string, flow_lpm: number) => void} set a flow was set by hand
 * @param {(words: string) => void} told a sentence for the learner
 */
export function knobs(place, set, told) {
  /** What each was set to last, so that turning away and back sends nothing. @type {Map<string, number>} */
  const stands = new Map();
  /** @type {Things | null} */
  let things = null;

  place.addEventListener("input", (event) => {
    const input = /** @type {HTMLInputElement} */ (event.target);
    const both = input.closest(".knob")?.querySelectorAll("input") ?? [];
    if (input.type === "range") for (const each of both) if (each !== input) each.value = input.value;
  });
  place.addEventListener("change", (event) => {
    const input = /** @type {HTMLInputElement} */ (event.target);
    const knob = /** @type {HTMLElement | null} */ (input.closest(".knob"));
    const meter = things?.flowmeters.find((each) => each.id === knob?.dataset.meter);
    if (!knob || !meter) return;
    const lpm = Number(input.value);
    if (input.value.trim() === "" || !Number.isFinite(lpm) || lpm < 0 || lpm > meter.max_lpm) {
      told(`This flowmeter's scale runs from 0 to ${figure(meter.max_lpm, 1)} L/min; nothing was turned.`);
      settle(knob, stands.get(meter.id) ?? 0);
      return;
    }
    settle(knob, lpm);
    if (stands.get(meter.id) === lpm) return;
    stands.set(meter.id, lpm);
    set(meter.id, lpm);
  });

  /** @param {HTMLElement} knob @param {number} lpm */
  function settle(knob, lpm) {
    for (const each of knob.querySelectorAll("input")) {
      each.value = String(lpm);
      if (each.type === "range") each.setAttribute("aria-valuetext", `${figure(lpm, 1)} litres a minute`);
    }
  }

  return {
    /** What is fitted now; a knob in the hand is left alone. @param {Things} now @param {(meter: string) => number | undefined} shown */
    refresh(now, shown) {
      things = now;
      show(place, now.flowmeters.length === 0
        ? html`<p class="quiet">No flowmeter is fitted yet. Take hold of an outlet or a cylinder.</p>`
        : html`${now.flowmeters.map((meter) => html`<div class="knob" data-meter="${meter.id}">
            <label for="knob-${meter.id}">Flow, ${meterWords(meter, now)}</label>
            <input type="range" id="knob-${meter.id}" min="0" max="${meter.max_lpm}" step="${STEP_LPM}" value="0" aria-valuetext="0 litres a minute">
            <span class="typed"><input type="number" min="0" max="${meter.max_lpm}" step="any" value="0" inputmode="decimal" aria-label="Flow, ${meterWords(meter, now)}, L/min"><span aria-hidden="true">L/min</span></span>
            <span class="ends" aria-hidden="true"><span>0</span><span>${figure(meter.max_lpm, 1)}</span></span></div>`)}`);
      for (const meter of now.flowmeters) {
        const knob = /** @type {HTMLElement | null} */ (place.querySelector(`[data-meter="${meter.id}"]`));
        const lpm = shown(meter.id);
        if (!knob || lpm === undefined || knob.contains(document.activeElement)) continue;
        stands.set(meter.id, lpm);
        settle(knob, lpm);
      }
    },
  };
}
