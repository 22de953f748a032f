// @ts-check
/** What the learner sees, hears and measures, in numbers and sentences: the bedside's own words in a small space. */
import { chem, html, say, show } from "../../lib/html.mjs";
import { isNumber, plain, sentence } from "../../lib/words.mjs";
import { bloodGas, counted, endTidal, measured, pulse, saturation } from "../bedside/captions.mjs";
import { breathCount, COUNT_S, countedAct } from "../bedside/counting.mjs";
import { said, seenAndHeard } from "../bedside/telling.mjs";

/** @typedef {import("../../lib/store.mjs").Known} Known */

/** Numbers with what they are and how old. @param {Known} known @param {"mmHg" | "kPa"} [unit] */
export function readings(known, unit = "mmHg") {
  const one = (/** @type {string} */ value, /** @type {string} */ unit, /** @type {unknown} */ words, sure = true) =>
    html`<div class="${sure ? "" : "not-sure"}"><dt>${words}</dt><dd>${value}${unit ? html`<span class="unit"> ${unit}</span>` : ""}</dd></div>`;
  const out = [];
  const spo2 = saturation(known), beat = pulse(known), rate = counted(known), gas = bloodGas(known), breath = endTidal(known, unit);
  if (spo2) out.push(one(spo2.value, spo2.unit, html`saturation, ${spo2.lines.join(" ")}`, spo2.trust === "usual"));
  if (beat) out.push(one(beat.value, "", html`pulse ${beat.lines.join(" ")}`));
  if (rate) out.push(one(rate.value, "", html`breaths a minute, ${rate.lines.join(" ")}`, rate.trust === "usual"));
  if (breath) out.push(one(breath.value, breath.unit, html`end-tidal ${chem("CO2")}, ${breath.lines.join(", ")}`));
  for (const each of measured(known)) out.push(one(each.value, each.unit, html`${chem(each.name)}, ${each.line}`));
  if (gas) out.push(html`<div><dt>${gas.head}${gas.words ? html`. ${chem(gas.words)}` : ""}${gas.rows.map(([name, value]) => html`<br>${chem(name)} ${value}`)}</dt></div>`);
  return html`${out}`;
}

/** Sentences of eyes and ears, looked-at skin included; last what the patient says. @param {Known} known */
export function heard(known) {
  const spoken = said(known);
  const skin = known.inspected.map((each) => sentence(`${plain(String(each.site))}: ${each.words}`));
  return html`${[...seenAndHeard(known), ...skin].join(" ")}${spoken ? html` <q>${spoken.replace(/^\u201c|\u201d$/g, "")}</q>` : ""}`;
}

/**
 * Counting breaths by looking: thirty seconds of the station, a tap with each breath, then the number that is said.
 * @param {{ box: HTMLElement, start: HTMLElement, t_s: () => number, act: (act: any) => void }} how
 */
export function countBreaths({ box, start, t_s, act }) {
  const count = breathCount();
  let shown = "";
  start.addEventListener("click", () => { count.start(t_s()); draw(); });
  box.addEventListener("click", (event) => {
    const what = /** @type {HTMLElement | null} */ (/** @type {Element} */ (event.target).closest("[data-do]"))?.dataset.do;
    if (what === "tap") count.tap();
    if (what === "stop") count.stop();
    if (what) draw();
  });
  box.addEventListener("submit", (event) => {
    event.preventDefault();
    const breaths = Number(new FormData(/** @type {HTMLFormElement} */ (event.target)).get("breaths"));
    if (!isNumber(breaths)) return;
    act(countedAct(breaths));
    count.stop();
    draw();
  });

  function draw() {
    const { phase, left_s, taps } = count.now(), turned = phase !== shown;
    shown = phase;
    box.hidden = phase === "idle";
    start.hidden = phase !== "idle";
    if (phase === "counting" && !turned) {
      say(box.querySelector(".left"), String(left_s));
      say(box.querySelector(".taps"), String(taps));
    } else if (phase === "counting") {
      show(box, html`<p><b class="left">${left_s}</b> seconds left. Watch chest and belly; one rise is one breath.</p><div class="row"><button type="button" class="first" data-do="tap">Tap with each breath: <span class="taps">${taps}</span></button><button type="button" class="plain" data-do="stop">Stop counting</button></div>`);
    } else if (phase === "asking") {
      show(box, html`<form class="row"><label for="breaths">Breaths in ${COUNT_S} seconds</label><input id="breaths" name="breaths" type="number" inputmode="numeric" min="0" max="80" required value="${taps || ""}"><button type="submit" class="first">Say it</button><button type="button" class="plain" data-do="stop">Not sure</button></form>`);
    } else show(box, html``);
    if (!turned) return;
    const next = phase === "idle" ? start : /** @type {HTMLElement | null} */ (box.querySelector(phase === "asking" ? "input" : "[data-do=tap]"));
    if (document.activeElement === document.body || box.contains(document.activeElement) || document.activeElement === start) next?.focus();
  }

  /** The station's time moved. */
  return { tick() { const was = count.now(); if (count.at(t_s()) !== was) draw(); } };
}
