// @ts-check
// A recorded attempt in one file: the bedside, the ledger and the captions, forwards and back, and other ways it could
// have gone. No server is asked for anything.

import "../el/bedside-sheet.mjs";
import { kinds, ledgerBar } from "../draw/gas.mjs";
import { gases } from "../lib/breath-answer.mjs";
import { stationFeed } from "../lib/feed.mjs";
import { eachFrame } from "../lib/frames.mjs";
import { byId, drawn, html, say, show } from "../lib/html.mjs";
import { captionAt, recordedStation } from "../lib/recorded.mjs";
import { clockWords } from "../lib/words.mjs";

const told = JSON.parse(byId("recording").textContent ?? "{}");
const player = recordedStation(told.runs, told.seconds * 1000);
const feed = stationFeed({ station: "recorded", screen: "take-home", follow: /** @type {any} */ (player.follow) });
const sheet = /** @type {import("../el/bedside-sheet.mjs").BedsideSheet} */ (document.querySelector("bedside-sheet"));
const play = byId("play"), moment = /** @type {HTMLInputElement} */ (byId("moment")), times = /** @type {HTMLSelectElement} */ (byId("times"));

/** Where gas of the last breath came from, as the readings name it. @type {readonly [string, string, "supplied" | "room" | "expired"][]} */
const ORIGINS = [
  ["supplied_ml", "supply, as it flowed", "supplied"], ["nose_and_throat_ml", "waiting in nose, throat", "supplied"], ["mask_ml", "waiting in the mask", "supplied"],
  ["bag_ml", "from the bag", "supplied"], ["room_ml", "room air", "room"], ["expired_ml", "own breath, again", "expired"],
];

/** @param {import("../lib/wire.mjs").Readings} r */
function tellLedger(r) {
  const rows = ORIGINS.map(([name, words, gas]) => ({ words, gas, ml: Math.round(Number(r[name] ?? 0)) })).filter((row) => row.ml > 0);
  if (typeof r.fio2_frac !== "number" || !rows.length) { show(byId("ledger"), html`<p class="quiet">The first whole breath is not over yet.</p>`); return; }
  show(byId("ledger"), html`
    <p><b>${Math.round(100 * r.fio2_frac)} %</b> oxygen reached the windpipe, in ${Math.round(Number(r.inspired_ml))} mL.</p>
    <svg class="bar plate" viewBox="-1 -1 442 42" role="img" aria-label="${rows.map((row) => `${row.words} ${row.ml} mL`).join(", ")}">${drawn(ledgerBar(gases(rows), { width: 440, height: 40 }))}</svg>
    <dl>${rows.map((row) => html`<div><dt>${row.words} <span class="visually-hidden">(${kinds[row.gas]})</span></dt><dd>${row.ml} mL</dd></div>`)}</dl>`);
}

function tellWay() {
  const run = told.runs[player.way()];
  show(byId("gains"), run.gains.length + run.costs.length + run.left_out.length === 0 ? html`` : html`
    ${run.gains.length ? html`<h3>What it would have gained</h3><ul>${run.gains.map((/** @type {string} */ g) => html`<li>${g}</li>`)}</ul>` : ""}
    ${run.costs.length ? html`<h3>What it would have cost</h3><ul>${run.costs.map((/** @type {string} */ c) => html`<li>${c}</li>`)}</ul>` : ""}
    ${run.band ? html`<p>${run.band}</p>` : ""}
    <p class="quiet small">One simulated patient, under the same chance. All later acts were left unchanged${run.left_out.length ? html`; left out, because hands could no longer do them: ${run.left_out.join(" ")}` : ""}.</p>`);
}

function tellTime() {
  const t_s = player.t_ms() / 1000;
  say(byId("clock"), `${clockWords(t_s)} of ${clockWords(told.seconds)}`);
  say(byId("caption"), captionAt(told.captions, t_s));
  say(play, player.isPlaying() ? "Pause" : t_s >= told.seconds ? "Again" : "Play");
  if (document.activeElement !== moment || player.isPlaying()) moment.value = String(Math.round(t_s));
  moment.setAttribute("aria-valuetext", clockWords(t_s));
}

sheet.follow(feed);
feed.known.watch((k) => k.readings, tellLedger);
moment.max = String(Math.floor(told.seconds));
moment.addEventListener("input", () => player.seek(1000 * Number(moment.value)));
times.addEventListener("change", () => player.pace(Number(times.value)));
play.addEventListener("click", () => player.play(!player.isPlaying()));
show(byId("captions"), html`${told.captions.map((/** @type {{ at_s: number, say: string }} */ c) => html`<li><button type="button" class="plain" data-at="${c.at_s}">${clockWords(c.at_s)}</button> ${c.say}</li>`)}`);
byId("captions").addEventListener("click", (event) => {
  const at = /** @type {HTMLElement} */ (event.target).dataset.at;
  if (at !== undefined) player.seek(1000 * Number(at));
});
if (told.runs.length > 1) {
  const ways = byId("ways");
  ways.hidden = false;
  ways.insertAdjacentHTML("beforeend", html`${told.runs.map((/** @type {{ words: string }} */ run, /** @type {number} */ i) => html`<label class="tick"><input type="radio" name="way" value="${i}" ${i === 0 ? drawn("checked") : ""}> ${run.words}</label>`)}`.text);
  ways.addEventListener("change", (event) => { player.choose(Number(/** @type {HTMLInputElement} */ (event.target).value)); tellWay(); });
}
eachFrame((now_ms) => { player.tick(now_ms); tellTime(); });
