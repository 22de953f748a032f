// @ts-check
/** The station on paper: what is printed before the afternoon, and a filled sheet entered after it. */
import { stationFeed } from "../lib/feed.mjs";
import { byId, drawn, html, say, show } from "../lib/html.mjs";
import { tapQueue } from "../lib/taps.mjs";
import { count, isNumber, notYetSent, sentence } from "../lib/words.mjs";
import { bornOn, identityNumber, marksOfSheet } from "./paper/entry.mjs";

const station = String(byId("paper").dataset.station);
const first = JSON.parse(byId("first-acts").textContent ?? "{}");
const feed = stationFeed({ station });
/** The steps on the sheet: the case's own where it has a check-off. @type {readonly { item: number, id: string, say: string }[]} */
let items = first.steps;
let entered = 0;
/** @type {string[]} */
let refusals = [];

const taps = tapQueue({
  station, screen: feed.screen, t_ms: () => feed.clock.t_ms(),
  answered: (answer) => {
    if (answer.refused) refusals.push(answer.refused);
    else entered += 1;
    tell();
  },
  changed: (standing) => say(byId("unsent"), standing.waiting && standing.words ? `${notYetSent(standing.waiting)}. ${standing.words}` : ""),
});

feed.known.watch((known) => known, (known) => {
  taps.of(feed.attempt());
  takeSteps(known.steps);
  const patient = known.case?.patient, order = known.case?.order;
  const learner = typeof known.station?.learner === "string" ? known.station.learner : known.station?.learner?.name;
  say(byId("attempt-words"), known.case ? `These go to the attempt on ${known.station?.title ?? "this station"}${learner ? ` of ${learner}` : ""}.` : "No case is on this station; a sheet can be entered once its attempt is here.");
  fill("title", known.case?.title ? `, ${known.case.title}` : "");
  if (!patient) return;
  fill("name", patient.name);
  const born = patient.born ?? (isNumber(patient.age_years) ? bornOn(patient.name, patient.age_years, new Date().getFullYear()) : "");
  fill("born", `Born ${born}`);
  fill("number", `No. ${patient.identity_number ?? identityNumber(patient.name)}`);
  fill("bed", patient.bed);
  fill("says", patient.says);
  if (order?.text) fill("order", order.text);
});

/** The same steps under the same numbers as on the checker's tablet. @param {readonly { item: number, id: string, say: string }[]} told */
function takeSteps(told) {
  if (!told.length || told === items) return;
  items = told;
  const box = drawn('<td class="state"><span class="box"></span></td>');
  show(document.querySelector(".items tbody"), html`${items.map((step) => html`<tr><td>${step.item}</td><th scope="row">${step.say}</th>${first.states.map(() => box)}<td class="time"></td><td class="seen"></td></tr>`)}`);
  /** @param {string} id @param {string} value @param {string} words */
  const choice = (id, value, words) => html`<label><input type="radio" name="state-${id}" value="${value}" ${value ? "" : drawn("checked")}><span>${words}</span></label>`;
  show(document.querySelector(".entry-items"), html`${items.map((step) => html`<li><fieldset><legend><span class="item">${step.item}</span> ${step.say}</legend>
    <div class="entry-line"><div class="states">${first.states.map((/** @type {any} */ state) => choice(step.id, state.id, state.words))}${choice(step.id, "", "no box")}</div>
    <label class="time-field"><span>Time</span><input name="at-${step.id}" inputmode="numeric" autocomplete="off" placeholder="mm:ss"></label></div></fieldset></li>`)}`);
}

/** @param {string} what @param {unknown} words */
function fill(what, words) {
  for (const each of document.querySelectorAll(`[data-case="${what}"]`)) if (words !== undefined && words !== null) say(each, String(words));
}

function tell() {
  const parts = [];
  if (entered) parts.push(`${count(entered, "entry", "entries")} from paper kept.`);
  if (refusals.length) parts.push(`${count(refusals.length, "entry", "entries")} not kept: ${sentence(refusals[0] ?? "")}`);
  say(byId("entered"), parts.join(" "));
}

byId("print").addEventListener("click", () => window.print());
byId("parts").addEventListener("change", (event) => {
  const box = /** @type {HTMLInputElement} */ (event.target);
  byId(box.value).classList.toggle("not-on-paper", !box.checked);
});
byId("entry").addEventListener("submit", (event) => {
  event.preventDefault();
  const form = /** @type {HTMLFormElement} */ (byId("entry"));
  const read = marksOfSheet(new FormData(form), [...items]);
  say(byId("entry-fault"), "sentence" in read ? read.sentence : "");
  if ("sentence" in read) {
    const field = read.field ? form.elements.namedItem(read.field) : null;
    if (field instanceof HTMLInputElement) { field.setAttribute("aria-invalid", "true"); field.focus(); }
    return;
  }
  entered = 0;
  refusals = [];
  for (const mark of read.marks) taps.mark(mark);
  form.reset();
});
