// @ts-check
// The explorer: one breath, or two beside each other. What is asked stands in the address, so that it can be kept.

import "../el/breath-side.mjs";
import { byId } from "../lib/html.mjs";

/** @typedef {import("../el/breath-side.mjs").BreathSide} BreathSide */
/** @typedef {import("../el/breath-side.mjs").Answer} Answer */

const choices = JSON.parse(byId("choices").textContent ?? "{}");
const [a, b] = /** @type {BreathSide[]} */ ([...document.querySelectorAll("breath-side")]);
const compare = byId("compare"), difference = byId("difference"), preparing = byId("preparing");

/** @param {string} name @returns {URLSearchParams} what an address says of one side */
function saidOf(name) {
  const said = new URLSearchParams();
  for (const [key, value] of new URLSearchParams(location.search)) {
    if (key.startsWith(`${name}.`)) said.set(key.slice(2), value);
  }
  return said;
}

function keep() {
  const all = new URLSearchParams();
  for (const side of [a, b]) {
    if (!side || side.hidden) continue;
    for (const [key, value] of side.asked()) all.set(`${side.getAttribute("name")}.${key}`, value);
  }
  history.replaceState(null, "", `?${all}`);
}

/** How far apart the two are, in words. */
function tellDifference() {
  const one = a?.answer, other = b?.answer;
  if (!one || !other || b?.hidden) { difference.textContent = ""; return; }
  const points = Math.round(other.fio2_pct) - Math.round(one.fio2_pct);
  const overlap = other.low_pct <= one.high_pct && one.low_pct <= other.high_pct;
  const apart = points === 0 ? "Both hold the same share of oxygen" : `The other breath holds ${Math.abs(points)} points ${points > 0 ? "more" : "less"} oxygen`;
  difference.textContent = `${apart}${overlap && points !== 0 ? "; as breaths differ, the two ranges overlap." : "."}`;
}

for (const side of [a, b]) {
  side?.addEventListener("asked", keep);
  side?.addEventListener("answered", () => { preparing.textContent = ""; tellDifference(); });
  side?.addEventListener("preparing", (e) => { preparing.textContent = /** @type {CustomEvent<string>} */ (e).detail; });
}

/** @param {boolean} on */
function compareTwo(on) {
  if (!a || !b) return;
  compare.setAttribute("aria-pressed", String(on));
  byId("sides").classList.toggle("two", on);
  b.hidden = !on;
  if (on && !b.answer) {
    const said = saidOf("b");
    b.start(choices, said.size ? said : a.asked());
  }
  keep();
  tellDifference();
}

a?.start(choices, saidOf("a"));
if (saidOf("b").size) compareTwo(true);
compare.addEventListener("click", () => compareTwo(Boolean(b?.hidden)));
byId("print").addEventListener("click", () => print());
