// @ts-check
// The guided demonstration: each step does a real act at the first station and says what to look at.
import "../el/breathing-plate.mjs";
import { ask, stationFeed } from "../lib/feed.mjs";
import { byId, html, say, show } from "../lib/html.mjs";
import { clockWords, isNumber, sentence } from "../lib/words.mjs";
import { buttonWords, CASE, isUsed, LOOKED_AT, STEPS, timeWords, whyNot } from "./welcome/steps.mjs";

const station = document.body.dataset.station ?? "";
const feed = stationFeed({ station });
const plate = /** @type {import("../el/breathing-plate.mjs").BreathingPlate} */ (byId("plate"));
let done = 0, busy = false;

plate.feed(feed);
plate.describe("The patient, as seen", "");

function tell() {
  const known = feed.known.get(), shown = known.readings.spo2_shown_pct;
  say(byId("saturation"), isNumber(shown) ? `${Math.round(shown)} %` : "…");
  say(byId("seen"), known.findings.filter((each) => LOOKED_AT.includes(each.what)).map((each) => sentence(each.words)).join(" ") || "…");
  trouble(whyNot(known));
  if (done === 0) draw();
}

/** @param {string} words */
function trouble(words) {
  const place = byId("trouble");
  place.hidden = !words;
  say(place, words);
}

function draw() {
  const focused = document.activeElement instanceof HTMLElement && byId("steps").contains(document.activeElement);
  show(byId("steps"), html`${STEPS.map((step, i) => {
    const state = i < done ? "done" : i === done ? "now" : "later";
    return html`<li class="${state}"${i === done ? html` aria-current="step"` : ""}><h2>${step.title}</h2>
      ${state === "now" ? html`<p>${step.before}</p><p><button type="button" class="tag first" data-step="${i}">${buttonWords(step, feed.known.get())}</button></p>` : ""}
      ${state === "done" ? html`<p class="quiet">${step.after}</p>` : ""}</li>`;
  })}${done === STEPS.length ? html`<li class="now" aria-current="step"><h2>That was it</h2>
      <p>Look at the same patient cut open, with every millilitre of his breath; or begin the afternoon.</p>
      <p class="row"><a class="tag first" href="/station/${station}">Look inside</a><a class="tag" href="/">Today</a><a class="tag" href="/codes">Codes for tablets</a></p></li>` : ""}`);
  if (focused) /** @type {HTMLElement | null} */ (byId("steps").querySelector("[aria-current] :is(button, a)"))?.focus();
}

/** @param {number} i */
async function press(i) {
  const step = STEPS[i];
  if (!step || busy || i !== done) return;
  busy = true;
  const words = await perform(step);
  busy = false;
  trouble(words);
  if (words) return;
  done = i + 1;
  say(byId("news"), step.after);
  draw();
}

/** Does what a step does; returns why it could not, or nothing. @param {import("./welcome/steps.mjs").Step} step */
async function perform(step) {
  const base = `/stations/${encodeURIComponent(station)}`, known = feed.known.get();
  const refusal = whyNot(known);
  if (refusal) return refusal;
  const isFree = !known.station || ["empty", "ended"].includes(known.station.state ?? "empty");
  if (step.begins && !isFree && isUsed(known)) {
    const { ok, words } = await ask(`${base}/end`, { why: "finished" });
    if (!ok) return words;
  }
  if (step.begins && (isFree || isUsed(known))) {
    const { ok, words } = await ask(`${base}/start`, { case: CASE, mode: "demonstration" });
    if (!ok) return words;
  }
  if (step.acts) {
    const acts = step.acts.map((act) => ({ ...act, hands: "learner" }));
    const { ok, words, answer } = await ask(`${base}/acts`, { acts });
    if (!ok) return words;
    const refused = answer.receipts.find((/** @type {{ refused?: string }} */ receipt) => receipt.refused);
    if (refused) return String(refused.refused);
  }
  if (step.clock) {
    const { ok, words } = await ask(`${base}/clock`, step.clock);
    if (!ok) return words;
  }
  return "";
}

byId("steps").addEventListener("click", (event) => {
  const button = /** @type {Element} */ (event.target).closest("button[data-step]");
  if (button instanceof HTMLElement) void press(Number(button.dataset.step));
});
feed.known.watch((known) => known, tell);
setInterval(() => {
  const clock = feed.known.get().clock;
  if (clock) say(byId("clock"), timeWords(feed.t_s(), clock.state, clock.times, clockWords));
}, 500);
draw();
