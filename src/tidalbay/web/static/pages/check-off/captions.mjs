// @ts-check
/** The lines at the head of the checker's page: who, and what everybody may see. */
import { meterWords } from "../../acts/things.mjs";
import { html } from "../../lib/html.mjs";
import { clockWords, figure, isNumber, plain } from "../../lib/words.mjs";
import { saturation } from "../bedside/captions.mjs";
import { stateWords } from "../bedside/telling.mjs";

/** @typedef {import("../../lib/store.mjs").Known} Known */

/** The learner by name, or the station while nobody is named; then the case. What the log knows a learner by is never shown.
 * @param {Known} known @param {string} name */
export function titleOf(known, name) {
  return [name || known.station?.title || "Station", known.case?.title].filter(Boolean).join(", ");
}

/** @param {Known} known */
export function captionsOf(known) {
  const patient = known.case?.patient ?? {};
  const posture = known.look?.posture ? plain(String(known.look.posture)) : "";
  const mode = known.station?.mode ?? "";
  const who = [patient.name, patient.bed, posture].filter(Boolean).join(", ");
  return {
    patient: html`${who || stateWords(known)}${mode ? html` <span class="mode">${mode}</span>` : ""}`,
    numbers: html`${numbers(known).map((each) => html`<div><dt>${each.words}</dt><dd class="num">${each.figure}${each.unit ? html`<span class="unit"> ${each.unit}</span>` : ""}</dd></div>`)}`,
  };
}

/** What is shown meanwhile, in a line: a question asked over the head of the page does not hide it. @param {Known} known */
export function meanwhile(known) {
  return numbers(known).slice(0, 2).map((each) => `${each.figure}${each.unit ? ` ${each.unit}` : ""} ${each.words}`).join(", ");
}

/** @param {Known} known @returns {{ figure: string, unit: string, words: import("../../lib/html.mjs").Html | string }[]} */
function numbers(known) {
  const { readings, things, clock } = known;
  const found = [];
  const spo2 = saturation(known);
  if (spo2) found.push({ figure: spo2.value, unit: spo2.unit, words: spo2.trust === "usual" ? "saturation" : `saturation, ${spo2.lines.at(-1) ?? ""}` });
  if (isNumber(readings.pulse_shown_per_min)) found.push({ figure: figure(readings.pulse_shown_per_min), unit: "", words: "pulse shown" });
  if (isNumber(readings.counted_rate_per_min)) {
    const age_s = readings.counted_rate_age_s;
    const when = isNumber(age_s) && clock ? `, counted ${clockWords(Math.max(0, clock.t_ms / 1000 - age_s))}` : ", counted";
    found.push({ figure: figure(readings.counted_rate_per_min), unit: "", words: `breaths${when}` });
  }
  for (const meter of things?.flowmeters ?? []) {
    const shown = readings[`${meter.id}_shown_lpm`];
    if (isNumber(shown)) found.push({ figure: figure(shown, 1), unit: "", words: `L/min, ${meterWords(meter, /** @type {any} */ (things))}` });
  }
  return found.slice(0, 4);
}
