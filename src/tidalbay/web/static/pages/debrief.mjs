// @ts-check
/**
 * The debrief: strips over one line of time, scrubbed by hand or key; what to ask; verdicts when somebody asks for them;
 * and the same patient again with one act other than it was.
 */
import { askAct } from "../acts/act-form.mjs";
import { actKinds } from "../acts/act-kinds.mjs";
import { chooseAct } from "../acts/all-acts.mjs";
import "../el/strip-chart.mjs";
import "../el/time-rule.mjs";
import { ask } from "../lib/feed.mjs";
import { byId, chem, html, say, show } from "../lib/html.mjs";
import { readingsAt, tableOf } from "../lib/strip-layout.mjs";
import { clockWords } from "../lib/words.mjs";
import { changeOf, changeWords, choiceWords, inOrder, lastAct } from "./debrief/words.mjs";

/** @typedef {import("../lib/strip-layout.mjs").Strip} Strip */
/** @typedef {import("./debrief/words.mjs").ActTold} ActTold */

const HEARD_MS = 700;
/** The line of time goes on a little past the end, so that its last flag and its mark have room. */
const PAST = 1.025;
const address = `/debrief/${byId("debrief").dataset.attempt}`;
const chart = /** @type {import("../el/strip-chart.mjs").StripChart} */ (byId("strips"));
const rule = /** @type {import("../el/time-rule.mjs").TimeRule} */ (byId("rule"));
const which = /** @type {HTMLSelectElement} */ (byId("which")), way = /** @type {HTMLSelectElement} */ (byId("way"));

/** @param {string} path */
async function get(path) {
  const answer = await fetch(address + path, { credentials: "same-origin", cache: "no-store" });
  const told = await answer.json().catch(() => ({ sentence: "The lab did not answer; load the page again." }));
  if (!answer.ok) say(byId("says"), told.sentence);
  return answer.ok ? told : null;
}

const [told, kinds, words] = await Promise.all([get("/record.json"), actKinds(), fetch("/devices.json", { credentials: "same-origin" }).then((answer) => answer.json())]);
const acts = /** @type {ActTold[]} */ (told?.acts ?? []);
/** As it went; replaced only where the program was changed since. @type {Strip[]} */
let strips = told?.strips ?? [];
let at_s = 0, heard = 0;

if (told) begin();

function begin() {
  show(byId("lead"), html`${chem(told.order.text)} ${told.course[0] ? chem(told.course.slice(0, 1).join(" ")) : ""} ${told.how_it_ended}`);
  rule.show({ minutes: (told.end_s * PAST) / 60, now_s: told.end_s, flags: acts.filter((act) => !act.is_taken_back).map((act) => ({ at_s: act.t_s, label: act.label, n: act.n, faint: act.manner !== "done" })) });
  chart.show({ strips, end_s: told.end_s * PAST });
  show(byId("questions"), html`${told.questions.map((/** @type {string} */ each) => html`<li>${chem(each)}</li>`)}`);
  show(byId("prompts"), html`${told.prompts.map(promptMarkup)}`);
  const choices = acts.filter((act) => act.is_changeable);
  show(which, html`${choices.map((act) => html`<option value="${act.n}">${choiceWords(act)}</option>`)}`);
  if (!choices.length) way.value = "added";
  show(byId("small-print"), html`The thin line is the true saturation behind the one shown. Inspired oxygen, carbon dioxide, breaths and skin are the model's and could not all be seen at the bedside. ${chem(strips.find((strip) => strip.id === "score")?.said ?? "")}`);
  table();
  look(told.end_s);
  rule.addEventListener("pick", (event) => look(/** @type {CustomEvent} */ (event).detail.at_s ?? told.end_s));
  chart.addEventListener("pick", (event) => go(/** @type {CustomEvent} */ (event).detail.at_s));
}

/** @param {{ at_s: number, describe: string, analyse: string, apply: string }} prompt */
function promptMarkup(prompt) {
  return html`<div class="prompt"><h3><button type="button" class="plain" data-at="${prompt.at_s}">Around ${clockWords(prompt.at_s)}</button></h3>
    <dl><dt>What happened</dt><dd>${chem(prompt.describe)}</dd><dt>Why</dt><dd>${chem(prompt.analyse)}</dd><dt>Next time</dt><dd>${chem(prompt.apply)}</dd></dl></div>`;
}

/** Moves the mark. @param {number} moment_s */
function go(moment_s) { rule.pickAt(moment_s); }

/** Shows the moment under the mark. @param {number} moment_s */
function look(moment_s) {
  at_s = Math.min(told.end_s, Math.max(0, Math.round(moment_s / told.step_s) * told.step_s));
  chart.show({ at_s });
  say(byId("moment"), `At ${clockWords(at_s)}`);
  const readings = strips.filter((strip) => strip.lines.length || strip.spans.length).flatMap((strip) => readingsAt(strip, at_s));
  show(byId("readings"), html`${readings.map((each) => html`<div><dt>${each.name}</dt><dd>${each.words}</dd></div>`)}`);
  const last = lastAct(acts, at_s);
  show(byId("last-act"), html`${last ? html`Last: ${chem(last.sentence)} (${clockWords(last.t_s)})` : "Nothing had been done yet."}`);
  clearTimeout(heard);
  heard = window.setTimeout(() => say(byId("heard"), `${clockWords(at_s)}. ${readings.map((each) => `${each.name} ${each.words}`).join("; ")}.`), HEARD_MS);
}

function table() {
  const { head, rows } = tableOf(strips, told.end_s);
  show(byId("tables").querySelector(".scroll"), html`<table><thead><tr>${head.map((each) => html`<th scope="col">${each}</th>`)}</tr></thead><tbody>${rows.map((row) => html`<tr><th scope="row">${clockWords(row.t_s)}</th>${row.cells.map((cell) => html`<td>${cell}</td>`)}</tr>`)}</tbody></table>`);
}

// -- verdicts, when somebody asks for them ------------------------------------------------------

byId("unfold").addEventListener("click", async () => {
  const said = await get("/verdicts.json");
  if (!said) return;
  const place = byId("verdicts");
  if (said.folded) { show(place, html`<p tabindex="-1">${said.folded}</p>`); focusIn(place); return; }
  if (!said.verdicts.length) { show(place, html`<p tabindex="-1">This case has no check-off, so nothing was judged.</p>`); focusIn(place); return; }
  show(place, html`<p tabindex="-1">${chem(said.outcome.words.join(" "))}</p>${inOrder(said.verdicts).map((group) => html`<h3>${group.head}</h3><ul class="verdicts">${group.verdicts.map((each) => html`<li class="${each.verdict}">
    <b>${each.word}</b><div>${chem(each.say)}${each.must ? html` <span class="quiet">(must)</span>` : ""}<small>${chem(each.why)}${each.overruled ? ` Overruled by a checker: ${each.reason}` : ""}</small>
    ${each.moments.length ? html`<span class="moments">${each.moments.map((moment) => html`<button type="button" class="plain" data-at="${moment.at_s}">${clockWords(moment.at_s)} ${chem(moment.words)}</button>`)}</span>` : ""}</div></li>`)}</ul>`)}`);
  focusIn(place);
});

/** @param {HTMLElement} place */
const focusIn = (place) => /** @type {HTMLElement | null} */ (place.querySelector("[tabindex]"))?.focus();

document.addEventListener("click", (event) => {
  const pressed = event.target instanceof Element ? event.target.closest("[data-at]") : null;
  if (pressed instanceof HTMLElement) { go(Number(pressed.dataset.at)); byId("moment").scrollIntoView({ block: "nearest" }); }
});

// -- another way --------------------------------------------------------------------------------

byId("what-if").addEventListener("submit", async (event) => {
  event.preventDefault();
  say(byId("says"), "");
  const act = acts.find((each) => String(each.n) === which.value);
  const kind = way.value === "added" ? await chooseAct(movers(), "learner") : act && kinds.get(act.kind);
  if (!kind) return;
  const asks = way.value === "added" || way.value === "changed";
  const said = asks ? await askAct(kind, told.things, words.devices, way.value === "changed" && act?.on ? { on: act.on } : {}) : undefined;
  if (asks && !said) return;
  const change = changeOf(way.value, act, at_s, said);
  const { ok, words: refused, answer } = await ask(`${address}/what-if`, change);
  if (!ok || !answer) { say(byId("says"), refused); return; }
  showOther(answer, changeWords(change, act, kind.button));
  void addBand(change, answer);
});

/** Asked for apart, since other bodies are played as well: the curve does not wait for it. @param {unknown} change @param {any} answer */
async function addBand(change, answer) {
  const { ok, answer: found } = await ask(`${address}/what-if/band`, change);
  if (shown !== answer) return;  // somebody asks for another way by now
  if (!ok || !found) { say(byId("band"), "How far it might have gone otherwise could not be worked out."); return; }
  chart.show({ bands: found.bands });
  say(byId("band"), `${found.lowest} ${found.about}`.trim());
}

/** Acts that move something. */
function movers() {
  return [...kinds.values()].filter((kind) => /** @type {any} */ (kind).changes !== "nothing" && kind.group !== "time");
}

/** The other way that stands on the page. @type {any} */
let shown = null;

/** @param {any} answer @param {string} clause */
function showOther(answer, clause) {
  shown = answer;
  if (answer.was) strips = answer.was;
  chart.show({ strips, others: answer.strips, bands: null, from_s: answer.from_s, otherWords: clause });
  const part = (/** @type {string} */ head, /** @type {string[]} */ lines) => (lines.length ? html`<div><h3>${head}</h3><ul>${lines.map((each) => html`<li>${chem(each)}</li>`)}</ul></div>` : "");
  show(byId("other"), html`<p class="lead">${clause.charAt(0).toUpperCase() + clause.slice(1)}</p>
    <p class="key"><svg viewBox="0 0 46 12" width="46" height="12" aria-hidden="true"><path class="went" d="M1 6H45"/></svg> as it went <svg viewBox="0 0 46 12" width="46" height="12" aria-hidden="true"><path class="would" d="M1 6H45"/><circle class="ring" cx="23" cy="6" r="4.2"/></svg> the other way</p>
    <div class="sides">${part("It would have gained", answer.gains)}${part("It would have cost", answer.costs)}${part("Could not be done any more", answer.left_out)}</div>
    ${answer.nothing ? html`<p>${answer.nothing}</p>` : ""}<p id="band" class="small">How far it might have gone otherwise is being worked out.</p><p class="small quiet">${answer.stands_for} ${answer.drifted}</p>
    <p><button type="button" id="leave">Leave the other way</button></p>`);
  byId("leave").addEventListener("click", () => {
    shown = null;
    chart.show({ others: null, bands: null, from_s: null, otherWords: "" });
    show(byId("other"), html``);
    which.focus();
  });
}
