// @ts-check
/**
 * Practice: a learner alone with the drawn equipment. Things are taken hold of where they are drawn, by finger, mouse or
 * keyboard; everything done is an act through the same door as everybody's.
 */
import { askAct } from "../acts/act-form.mjs";
import { actKinds } from "../acts/act-kinds.mjs";
import { chooseAct } from "../acts/all-acts.mjs";
import { choose, confirm, openSheet } from "../acts/sheet.mjs";
import { NOTHING } from "../acts/things.mjs";
import "../el/breathing-plate.mjs";
import "../el/capnogram-strip.mjs";
import "../el/time-rule.mjs";
import { ask, stationFeed } from "../lib/feed.mjs";
import { byId, html, say, show } from "../lib/html.mjs";
import { tapQueue } from "../lib/taps.mjs";
import { awayWords, clockWords, isNumber, notYetSent, sentence } from "../lib/words.mjs";
import { flagsOf, newsWords, plateWords, whoWords } from "./bedside/telling.mjs";
import { isDeed } from "./check-off/which-first.mjs";
import { writeChart } from "./practice/chart.mjs";
import { choosing } from "./practice/choosing.mjs";
import { handlesOf, shelf, spread } from "./practice/deeds.mjs";
import { nextHint } from "./practice/hints.mjs";
import { knobs } from "./practice/knobs.mjs";
import { countBreaths, heard, readings } from "./practice/seen.mjs";

/** @typedef {import("../lib/store.mjs").Known} Known */
/** @typedef {import("./practice/deeds.mjs").Deed} Deed */
/** @typedef {import("./practice/deeds.mjs").Handle} Handle */

/** Two handles never stand closer than this, so that each can be hit and its words read. [px] */
const APART_PX = { x: 150, y: 58 };
const BELOW_NAME_PX = 30;

const station = String(byId("practice").dataset.station);
const first = JSON.parse(byId("first-acts").textContent ?? "{}");
const rows = JSON.parse(byId("handle-rows").textContent ?? "{}");
const [acts, words] = await Promise.all([actKinds(), fetch("/devices.json", { credentials: "same-origin" }).then((answer) => answer.json())]);
const feed = stationFeed({ station });
const plate = /** @type {import("../el/breathing-plate.mjs").BreathingPlate} */ (byId("plate"));
const strip = /** @type {import("../el/capnogram-strip.mjs").CapnogramStrip} */ (byId("capnogram"));
const stage = byId("stage");
const taps = tapQueue({ station, screen: feed.screen, t_ms: () => feed.clock.t_ms(), answered, changed: (standing) => say(byId("unsent"), standing.waiting && standing.words ? `${notYetSent(standing.waiting)}. ${standing.words}` : "") });
const flow = knobs(byId("knobs"), (on, flow_lpm) => act({ act: "flow_set", on, values: { flow_lpm } }), refused);

const written = new Set((byId("assessed").dataset.acts ?? "").split(" "));
let wantsAnother = false;
const cases = choosing({ part: byId("choosing"), list: byId("cases"), station, told: refused, begun: () => { wantsAnother = false; say(byId("told"), ""); } });

/** @type {Handle[]} */
let handles = [];
/** Numbers of this learner's acts that can be taken back, newest last. @type {number[]} */
const mine = [];

const count = countBreaths({ box: byId("counting"), start: byId("count"), t_s: feed.t_s, act });
let before = feed.known.get();

plate.feed(feed);
feed.known.watch((known) => known, refresh);
feed.line.watch((line) => line, (line) => say(byId("line"), line.state === "refused" ? line.words : line.state === "away" ? awayWords(line.shown_s, feed.t_s()) : ""));
plate.addEventListener("scene", place);
new ResizeObserver(place).observe(stage);
document.fonts?.ready.then(place);
setInterval(tick, 250);
listen();

function tick() {
  say(byId("clock"), clockWords(feed.t_s()));
  const known = feed.known.get();
  /** @type {import("../el/time-rule.mjs").TimeRule} */ (byId("rule")).show({ minutes: known.station?.minutes ?? 15, now_s: feed.t_s(), flags: flagsOf(known) });
  count.tick();
}

function world() {
  return { things: /** @type {any} */ (feed.known.get().things ?? NOTHING), devices: first.devices, acts };
}

/** @param {Known} known */
function refresh(known) {
  taps.of(feed.attempt());
  const picture = plateWords(known);
  plate.describe(picture.title, picture.text);
  say(byId("who"), whoWords(known.case?.patient) || known.station?.title || "Practice");
  show(byId("readings"), readings(known, strip.unit));
  strip.hidden = known.readings.capnogram === undefined;
  strip.tell(known.readings);
  show(byId("heard"), heard(known));
  const news = newsWords(known, before);
  if (news) say(byId("news"), news);
  before = known;
  handles = handlesOf(rows.on_plate, world());
  const changed = show(byId("handles"), html`${handles.map((each) => html`<li data-handle="${each.id}"><button type="button" class="tag" aria-haspopup="dialog"><span>${each.words}</span></button></li>`)}`);
  if (changed) place();
  show(byId("shelf"), html`${shelf(world(), known.case?.patient?.age_years).map((each) => html`<button type="button" data-device="${each.values.device}">${each.words}</button>`)}`);
  flow.refresh(world().things, (meter) => {
    const shown = known.readings[`${meter}_shown_lpm`];
    return isNumber(shown) ? shown : undefined;
  });
  const state = known.clock?.state ?? known.station?.state ?? "";
  const leads = known.station?.mode === "practice" || known.role === "instructor";
  say(byId("go"), state === "running" ? "Pause" : (known.clock?.t_ms ?? 0) > 0 ? "Go on" : "Start the clock");
  const isAssessed = known.role === "learner" && known.station?.mode === "summative";
  byId("assessed").hidden = !isAssessed;
  byId("practice").classList.toggle("assessed", isAssessed);
  for (const id of ["go", "later", "afresh"]) byId(id).hidden = !leads || !known.case;
  const isEmpty = known.station?.state === "empty", isOver = known.station?.state === "ended" && leads;
  byId("practice").classList.toggle("empty", isEmpty);
  byId("another").hidden = !isOver;
  byId("another").setAttribute("aria-expanded", String(wantsAnother));
  void cases.open(isEmpty || (isOver && wantsAnother));
  const hints = known.station?.mode === "practice";
  byId("next").hidden = !hints || !(/** @type {HTMLInputElement} */ (byId("hints")).checked);
  /** @type {HTMLElement} */ (byId("hints").closest("label")).hidden = !hints;
  byId("back").toggleAttribute("disabled", lastDeed() === undefined);
}

/** Puts every handle where its thing is drawn. */
function place() {
  if (innerWidth < 736) return;
  const box = stage.getBoundingClientRect(), drawing = plate.svg.getBoundingClientRect();
  const found = handles.flatMap((each) => {
    const at = plate.anchor(each.anchor);
    // The printed gas name stays readable: its handle hangs below it.
    const below = each.anchor.startsWith("supply:") ? BELOW_NAME_PX : 0;
    return at ? [{ id: each.id, x: at.x + drawing.left - box.left, y: at.y + drawing.top - box.top + below }] : [];
  });
  const placed = spread(found, APART_PX, box);
  const spots = new Map(found.map((each, i) => [each.id, placed[i]]));
  let spare = 0;
  for (const item of byId("handles").children) {
    if (!(item instanceof HTMLElement)) continue;
    // A thing that is not drawn here still has its handle, along the foot of the plate.
    const at = spots.get(String(item.dataset.handle)) ?? { x: 60 + 130 * spare++, y: box.height - 40 };
    const half = (item.querySelector("span")?.offsetWidth ?? 0) / 2 + 4;
    item.style.left = `${Math.round(Math.min(box.width - half, Math.max(half, at.x)) - 22)}px`;
    item.style.top = `${Math.round(at.y - 22)}px`;
  }
}

/** @param {Record<string, any>} said */
function act(said) {
  taps.act(/** @type {any} */ ({ ...said, hands: "learner" }));
}

/** @param {any} answer */
function answered(answer) {
  if (answer.refused !== undefined) return refused(answer.refused);
  if (answer.sort !== "acts") return;
  if (answer.what.act !== "taken_back") mine.push(answer.n);
  byId("told").classList.remove("refused");
  const entry = feed.known.get().entries.find((each) => each.n === answer.n);
  say(byId("told"), sentence(`you ${entry?.sentence ?? acts.get(answer.what.act)?.button.toLowerCase() ?? "did it"}`));
}

/** @param {string} words_ */
function refused(words_) {
  byId("told").classList.add("refused");
  say(byId("told"), sentence(words_));
}

/** What can be taken back: the newest deed of this page, or after a reload the newest of this learner. */
function lastDeed() {
  const { entries, me } = feed.known.get();
  return entries.filter((each) => isDeed(each) && !each.taken_back && (mine.includes(each.n) || each.by === me)).at(-1);
}

/** @param {Deed} deed */
async function doDeed(deed) {
  if (deed.kind.id === "flow_set") { /** @type {HTMLElement | null} */ (document.getElementById(`knob-${deed.on}`))?.focus(); return; }
  const made = await askAct(deed.kind, world().things, first.devices, { ...(deed.on === undefined ? {} : { on: deed.on }), values: deed.values });
  if (made) act(made);
  if (made?.act === "order_read") readOrder();
}

function readOrder() {
  const order = feed.known.get().case?.order;
  if (order?.text) openSheet("The order", html`<p class="order-text">${order.text}</p>`);
}

function listen() {
  byId("handles").addEventListener("click", async (event) => {
    const item = /** @type {Element} */ (event.target).closest("li");
    const handle = handles.find((each) => each.id === item?.dataset.handle);
    if (!handle) return;
    const deed = await choose(handle.words, handle.deeds.map((each) => ({ words: each.kind.id === "flow_set" ? "Turn the flow" : each.words, value: each })));
    if (deed) await doDeed(deed);
  });
  byId("shelf").addEventListener("click", (event) => {
    const device = /** @type {HTMLElement | null} */ (/** @type {Element} */ (event.target).closest("[data-device]"))?.dataset.device;
    if (device) act({ act: "device_chosen", values: { device } });
  });
  show(byId("beside"), html`${rows.beside.map((/** @type {any} */ group) => html`<section><h2>${group.words}</h2><div class="row">${group.acts.map((/** @type {string} */ id) => html`<button type="button" data-act="${id}">${acts.get(id)?.button}</button>`)}</div></section>`)}`);
  byId("beside").addEventListener("click", (event) => {
    const kind = acts.get(/** @type {HTMLElement | null} */ (/** @type {Element} */ (event.target).closest("[data-act]"))?.dataset.act ?? "");
    if (kind) void doDeed({ words: kind.button, kind, values: {} });
  });
  byId("chart").addEventListener("click", async () => {
    const form = await choose("Which page of the chart?", words.chart_forms.map((/** @type {any} */ each) => ({ words: each.title, about: each.about, value: each })));
    const written = form && await writeChart(form, Object.values(first.devices).map((each) => /** @type {any} */ (each).words));
    if (written) act(written);
  });
  byId("any").addEventListener("click", async () => {
    const isAssessed = !byId("assessed").hidden;
    const kind = await chooseAct([...acts.values()].filter((each) => !isAssessed || written.has(each.id)), "learner");
    if (kind) await doDeed({ words: kind.button, kind, values: {} });
  });
  byId("go").addEventListener("click", () => void toClock({ do: feed.known.get().clock?.state === "running" ? "pause" : "go" }));
  byId("later").addEventListener("click", async () => {
    if (await confirm("Five minutes later", "Five minutes pass at once, for you and for the patient.", "Five minutes later")) await toClock({ do: "skip", minutes: 5 });
  });
  byId("afresh").addEventListener("click", async () => {
    if (!(await confirm("A fresh patient", "The same case begins again from its start. What you did is kept.", "Begin again", "No, go on with this one"))) return;
    const { ok, words: why } = await ask(`/stations/${encodeURIComponent(station)}/next`, { go: true });
    if (!ok) refused(why);
  });
  byId("another").addEventListener("click", () => { wantsAnother = !wantsAnother; refresh(feed.known.get()); });
  byId("stop").addEventListener("click", async () => {
    if (await confirm("Stop, kindly", "You and the patient stand still. Nothing is judged and nothing is lost.", "Stop, kindly")) act({ act: "stopped_kindly" });
  });
  byId("back").addEventListener("click", () => {
    const entry = lastDeed();
    if (entry) act({ act: "taken_back", values: { entry: entry.n } });
  });
  byId("next").addEventListener("click", () => {
    const { entries, plausible } = feed.known.get();
    say(byId("hint"), nextHint(first.steps, entries, plausible));
  });
  byId("hints").addEventListener("change", () => { say(byId("hint"), ""); refresh(feed.known.get()); });
}

/** @param {Record<string, unknown>} said */
async function toClock(said) {
  const { ok, words: why } = await ask(`/stations/${encodeURIComponent(station)}/clock`, said);
  if (!ok) refused(why);
}
