// @ts-check
/**
 * The checker's page. Acts in twelve places that never move, everything else one search away; what was said of each
 * step; and what is always at hand. Nothing here comes from criteria, and nothing is judged.
 */
import { askAct } from "../acts/act-form.mjs";
import { actKinds } from "../acts/act-kinds.mjs";
import { chooseAct } from "../acts/all-acts.mjs";
import { confirm } from "../acts/sheet.mjs";
import { NOTHING } from "../acts/things.mjs";
import "../el/breathing-plate.mjs";
import "../el/time-rule.mjs";
import { ask, stationFeed } from "../lib/feed.mjs";
import { byId, html, say, show } from "../lib/html.mjs";
import { tapQueue } from "../lib/taps.mjs";
import { awayWords, clockWords, notYetSent, sentence } from "../lib/words.mjs";
import { captionsOf, meanwhile, titleOf } from "./check-off/captions.mjs";
import { placesOnPage } from "./check-off/places.mjs";
import { spokenStates } from "./check-off/spoken.mjs";
import { marksKept, stepsOnPage } from "./check-off/steps.mjs";
import { tapping } from "./check-off/tapping.mjs";
import { verdictsOnPage } from "./check-off/verdicts.mjs";
import { handsOffered } from "./check-off/whose.mjs";
import { answer, isDeed, keyOf, questions } from "./check-off/which-first.mjs";

/** @typedef {import("./check-off/spoken.mjs").Mark} Mark */
/** @typedef {import("../lib/store.mjs").Known} Known */

const station = String(byId("check-off").dataset.station);
const first = JSON.parse(byId("first-acts").textContent ?? "{}");
/** The steps that are spoken about: the case's own, or those that every device shares. @type {import("./check-off/spoken.mjs").Step[]} */
const items = [...first.steps];
const acts = await actKinds();
const feed = stationFeed({ station });
const shelf = marksKept(station, localShelf());

/** This attempt's marks: those the station told, and this page's own. @type {Mark[]} */
let marks = [];
let attempt = "", learnerName = "";
let stopped = false;
/** Questions nobody could answer. @type {Set<string>} */
const unanswered = new Set();

const taps = tapQueue({ station, screen: feed.screen, t_ms: () => feed.clock.t_ms(), answered, changed: showStanding });
const hand = tapping({
  taps: { act: (act) => taps.act(act), mark: keepMark }, t_ms: () => feed.clock.t_ms(),
  entries: () => /** @type {any} */ (feed.known.get().entries), steps: items, rule: first.which_first, changed: showHand,
});
const places = placesOnPage({
  list: byId("places"), places: first.places, sits: first.sits, world, readings: () => feed.known.get().readings, tap, told,
});
const steps = stepsOnPage({
  list: byId("steps"), sum: byId("steps-sum"), steps: items, states: first.states,
  spoken: (step, state) => keepMark({ kind: "step_state", about: step, values: { state } }),
});

const verdicts = verdictsOnPage({
  part: /** @type {HTMLDetailsElement} */ (byId("record-says")),
  overruled: (about, verdict, reason) => keepMark({ kind: "overrule", about, values: { verdict, reason } }),
});

/** @type {import("../el/breathing-plate.mjs").BreathingPlate} */ (byId("face")).feed(feed);
feed.known.watch((known) => known.verdicts, (told) => { verdicts.told(told); say(byId("turn"), told?.turn?.[0] ?? ""); });
feed.known.watch((known) => known, (known) => { takeMarks(known); refresh(); });
feed.known.watch((known) => known.notice, (notice) => { if (notice) told(notice); });
feed.line.watch((line) => line, showLine);
setInterval(() => {
  say(byId("clock"), clockWords(feed.t_s()));
  showRule();
}, 250);
listenToFoot();
listenToNotes();

/** @param {Known} known */
function takeMarks(known) {
  const id = feed.attempt();
  if (id !== attempt) {
    attempt = id;
    marks = shelf.read(id);
    unanswered.clear();
    taps.of(id);
    void askName();
  }
  takeSteps(known.steps);
  const mine = new Set(marks.map(nameOf));
  for (const mark of /** @type {any} */ (known).marks ?? []) if (!mine.has(nameOf(mark))) marks.push(mark);
}

/** Messages know learners by opaque ids; who judges one sees the name. */
async function askName() {
  const of = attempt;
  learnerName = "";
  try {
    const answer = await fetch(`/stations/${encodeURIComponent(station)}/learner.json`, { credentials: "same-origin" });
    const told = answer.ok ? await answer.json() : {};
    if (of === attempt) {
      learnerName = told.name ?? "";
      showHands(handsOffered(told));
    }
  } catch { /* the station's name stands there meanwhile */ }
  refresh();
}

/** @param {readonly { id: string, words: string }[]} offered */
function showHands(offered) {
  const select = /** @type {HTMLSelectElement} */ (byId("hands"));
  show(select, html`${offered.map((each) => html`<option value="${each.id}">${each.words}</option>`)}`);
  select.value = offered[0]?.id ?? "learner";
  hand.handsOf(select.value);
}

/** The case's own steps take the place of the shared ones; what taps show a shared step still shows it. @param {Known["steps"]} told */
function takeSteps(told) {
  if (!told.length || told.map((step) => step.id).join() === items.map((step) => step.id).join()) return;
  const shared = new Map(first.steps.map((/** @type {any} */ step) => [step.id, step]));
  items.splice(0, items.length, ...told.map((step) => ({ taps: [], hint: "", ...shared.get(step.id), ...step })));
  steps.list();
}

/** What makes two tellings one mark. @param {Mark} mark */
function nameOf(mark) {
  return JSON.stringify([mark.kind, mark.about ?? null, mark.values]);
}

/** @param {Mark} mark */
function keepMark(mark) {
  marks.push(mark);
  shelf.write(attempt, marks);
  const key = taps.mark(/** @type {any} */ (mark));
  refresh();
  return key;
}

function world() {
  return { things: /** @type {any} */ (feed.known.get().things ?? NOTHING), devices: first.devices, acts };
}

/** @param {string} place @param {string} words @param {readonly any[]} said */
function tap(place, words, said) {
  const { manner, before } = hand.held();
  if (!hand.tap(place, words, said)) return;
  const how = { done: "", said: ", said only", prompted: ", after a prompt", not_seen: ", not seen" }[manner];
  told(`${words}${how}${before ? ", just before that" : ""}`);
  byId("places").querySelector(`[data-place="${place}"]`)?.classList.add("tapped");
  setTimeout(() => byId("places").querySelector(`[data-place="${place}"]`)?.classList.remove("tapped"), 400);
}

/** @param {string} words */
function told(words) {
  byId("said").classList.remove("refused");
  say(byId("said"), words ? sentence(words) : "");
}

/** @param {any} answer_ */
function answered(answer_) {
  hand.answered(answer_);
  if (answer_.refused !== undefined) refused(`Not recorded: ${sentence(answer_.refused)}`);
}

/** @param {string} words */
function refused(words) {
  byId("said").classList.add("refused");
  say(byId("said"), words);
}

function refresh() {
  const now = feed.known.get();
  const mode = now.station?.mode ?? "";
  places.refresh(now.plausible, mode !== "summative");
  steps.refresh(spokenStates(marks), now.entries);
  say(byId("who"), titleOf(now, learnerName));
  show(byId("patient"), captionsOf(now).patient);
  show(byId("captions"), captionsOf(now).numbers);
  const state = now.clock?.state ?? now.station?.state ?? "";
  say(byId("pause"), state === "running" ? "Pause" : (now.clock?.t_ms ?? 0) > 0 ? "Go on" : "Start the clock");
  byId("check-off").classList.toggle("standing", state !== "running");
  showStopped(Boolean(now.station?.stopped_kindly));
  show(byId("notes"), html`${marks.filter((each) => each.kind === "note").map((each) => html`<li>${each.values.text}</li>`)}`);
  const rating = marks.filter((each) => each.kind === "global_rating").at(-1)?.values.rating;
  for (const input of byId("rating").querySelectorAll("input")) input.checked = Number(input.value) === rating;
  showQuestion();
  showHand();
}

/** Said once when it happens, and once when it goes on. @param {boolean} is */
function showStopped(is) {
  if (is === stopped) return;
  stopped = is;
  told(is ? "Stopped, kindly. Clock and patient stand still, and nothing is judged. Go on takes it up again" : "It goes on");
}

/** @param {{ state: string, words: string, since_ms: number, shown_s: number }} line */
function showLine(line) {
  byId("check-off").classList.toggle("away", line.state === "away");
  say(byId("line"), line.state === "refused" ? line.words : line.state === "away" ? awayWords(line.shown_s, line.shown_s) : "");
}

function showRule() {
  const { entries, station: at } = feed.known.get();
  const flags = entries.filter((each) => isDeed(each) && !each.taken_back).map((each) => ({ at_s: each.t_ms / 1000, label: each.button ?? each.act, n: each.n }));
  /** @type {import("../el/time-rule.mjs").TimeRule} */ (byId("rule")).show({ minutes: at?.minutes ?? 10, now_s: feed.t_s(), flags });
}

function showQuestion() {
  const settled = new Set(marks.filter((each) => each.kind === "which_first").map((each) => keyOf(Number(each.values.first), Number(each.values.second))));
  const open = questions(/** @type {any} */ ([...feed.known.get().entries]), first.which_first).find((each) => {
    const key = keyOf(each.first.n, each.second.n);
    return !settled.has(key) && !unanswered.has(key);
  });
  const box = byId("question");
  box.hidden = !open;
  if (!open) { show(box, html``); return; }
  const words = (/** @type {any} */ entry) => entry.button ?? entry.sentence ?? entry.act;
  const changed = show(box, html`<div class="asked"><p id="question-words"><b>Which came first?</b></p><p class="meanwhile"></p></div><div class="answers"><button type="button" data-first="${open.first.n}">${words(open.first)}</button><button type="button" data-first="${open.second.n}">${words(open.second)}</button><button type="button" data-first="">Cannot say</button></div>`);
  say(/** @type {HTMLElement} */ (box.querySelector(".meanwhile")), meanwhile(feed.known.get()));
  if (!changed) return;
  box.onclick = (event) => {
    const button = /** @type {Element} */ (event.target).closest("button");
    if (!(button instanceof HTMLElement)) return;
    if (button.dataset.first === "") unanswered.add(keyOf(open.first.n, open.second.n));
    else keepMark(Number(button.dataset.first) === open.first.n ? answer(open.first, open.second) : answer(open.second, open.first));
    showQuestion();
  };
}

function showHand() {
  const { manner, before } = hand.held();
  for (const input of byId("manner").querySelectorAll("input")) input.checked = input.value === manner;
  byId("just-before").setAttribute("aria-pressed", String(before));
  const back = byId("take-back");
  const bundle = hand.last();
  const entry = bundle ? undefined : ownLast();
  back.toggleAttribute("disabled", !bundle && !entry);
  show(back, html`Take back<small>${bundle?.words ?? entry?.button ?? ""}</small>`);
}

/** After a reload the page no longer knows its taps: the newest deed tapped by this person stands for them. */
function ownLast() {
  const { me, entries } = feed.known.get();
  return entries.filter((each) => isDeed(each) && !each.taken_back && each.by === me).at(-1);
}

/** @param {import("../lib/taps.mjs").Standing} standing */
function showStanding(standing) {
  const left = standing.left ? ` ${standing.left} of an earlier attempt were never sent.` : "";
  say(byId("unsent"), standing.waiting && standing.words ? `${notYetSent(standing.waiting)}. ${standing.words}${left}` : left.trim());
  byId("unsent").classList.toggle("has", Boolean(standing.waiting && standing.words) || standing.left > 0);
}

function listenToFoot() {
  byId("manner").addEventListener("change", (event) => hand.hold(/** @type {any} */ (/** @type {HTMLInputElement} */ (event.target).value)));
  byId("just-before").addEventListener("click", () => { hand.justBefore(!hand.held().before); showHand(); });
  byId("hands").addEventListener("change", () => hand.handsOf(/** @type {HTMLSelectElement} */ (byId("hands")).value));
  byId("all-acts").addEventListener("click", () => void anyAct());
  byId("take-back").addEventListener("click", () => {
    const entry = hand.last() ? undefined : ownLast();
    if (entry) { taps.act({ act: "taken_back", values: { entry: entry.n } }); told(`Taken back: ${entry.button ?? entry.act}.`); return; }
    told(hand.takeBack().words);
  });
  byId("pause").addEventListener("click", () => void toClock(feed.known.get().clock?.state === "running" ? { do: "pause" } : { do: "go" }));
  byId("later").addEventListener("click", async () => {
    if (await confirm("Five minutes later", "Say it aloud: five minutes later. It is logged, it is the same for everyone, and the patient lives through it.", "Five minutes later")) await toClock({ do: "skip", minutes: 5 });
  });
  byId("stop").addEventListener("click", async () => {
    if (await confirm("Stop, kindly", "The clock and the patient halt and the projector goes blank. Nothing is judged and no attempt is spent.", "Stop, kindly")) taps.act({ act: "stopped_kindly" });
  });
}

async function anyAct() {
  const kind = await chooseAct([...acts.values()], feed.known.get().role || "checker");
  const made = kind && (await askAct(kind, world().things, first.devices));
  if (kind && made) tap(`act-${kind.id}`, kind.button, [made]);
}

/** @param {Record<string, unknown>} said */
async function toClock(said) {
  const { ok, words } = await ask(`/stations/${encodeURIComponent(station)}/clock`, said);
  if (!ok) refused(words);
}

function listenToNotes() {
  byId("note-form").addEventListener("submit", (event) => {
    event.preventDefault();
    const field = /** @type {HTMLTextAreaElement} */ (byId("note"));
    const text = field.value.trim().replace(/\s+/g, " ");
    if (!text) return;
    keepMark({ kind: "note", values: { text } });
    field.value = "";
    told("The note is kept.");
  });
  byId("rating").addEventListener("change", (event) => keepMark({ kind: "global_rating", values: { rating: Number(/** @type {HTMLInputElement} */ (event.target).value) } }));
}

function localShelf() {
  try { return localStorage; } catch { return null; }
}
