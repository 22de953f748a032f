// @ts-check
/** The station on paper: what is printed before the afternoon, and a filled sheet entered after it. */
import { stationFeed } from "../lib/feed.mjs";
import { byId, say } from "../lib/html.mjs";
import { tapQueue } from "../lib/taps.mjs";
import { count, notYetSent, sentence } from "../lib/words.mjs";
import { bornOn, marksOfSheet } from "./paper/entry.mjs";

const station = String(byId("paper").dataset.station);
const first = JSON.parse(byId("first-acts").textContent ?? "{}");
const feed = stationFeed({ station });
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
  const patient = known.case?.patient, order = known.case?.order;
  const learner = typeof known.station?.learner === "string" ? known.station.learner : known.station?.learner?.name;
  say(byId("attempt-words"), known.case ? `These go to the attempt on ${known.station?.title ?? "this station"}${learner ? ` of ${learner}` : ""}.` : "No case is on this station; a sheet can be entered once its attempt is here.");
  fill("title", known.case?.title ? `, ${known.case.title}` : "");
  if (!patient) return;
  fill("name", patient.name);
  fill("born", patient.age_years === undefined || patient.age_years === null ? "Born" : `Born ${bornOn(patient.name, patient.age_years, new Date().getFullYear())}`);
  fill("bed", patient.bed);
  fill("says", patient.says);
  if (order?.text) fill("order", order.text);
});

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
  const read = marksOfSheet(new FormData(form), first.steps);
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
