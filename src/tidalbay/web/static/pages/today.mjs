// @ts-check
// Today: the board of all stations, followed by asking every two seconds; each press is one request.
import { ask } from "../lib/feed.mjs";
import { byId, html, say, show } from "../lib/html.mjs";
import { canStart, formWords, leftWords, lineWords, nextFor, paceWords, patientWords, presses, screensWords, whoWords } from "./today/rows.mjs";

/** @typedef {import("./today/rows.mjs").Board} Board */
/** @typedef {import("./today/rows.mjs").StationRow} StationRow */

const EVERY_MS = 2000, TICK_MS = 500;
const CHOICE = "tidalbay.today.choice";

/** @type {Board} */
let board = JSON.parse(byId("first-board").textContent ?? "{}");
let heard_ms = performance.now(), failed = 0, turn = 0;
/** @type {Map<string, HTMLElement>} */
const rows = new Map();

/** @param {string} words */
function trouble(words) {
  const place = byId("trouble");
  place.hidden = !words;
  say(place, words);
}

/** @param {Board} fresh */
function take(fresh) {
  board = fresh;
  heard_ms = performance.now();
  failed = 0;
  draw();
}

/** @param {string} url @param {unknown} body */
async function request(url, body) {
  turn += 1;
  const { ok, words, answer } = await ask(url, body);
  trouble(words);
  if (answer?.stations) take(answer);
  else await look();
  return ok;
}

/** @param {string} what @param {Record<string, unknown>} body */
const change = (what, body) => request(`/board/${what}`, body);

async function look() {
  const mine = ++turn;
  try {
    const answer = await fetch("/board.json", { cache: "no-store" });
    if (answer.status === 401 || answer.status === 403) { location.reload(); return; }
    const fresh = await answer.json();
    if (mine === turn) take(fresh); // an answer that was overtaken by a press is not news
  } catch {
    failed += 1;
    if (failed > 1) say(byId("fresh"), "The lab does not answer; what you see is older.");
  }
}

// -- a row -------------------------------------------------------------------------------------

/** @param {HTMLElement} row @param {string} selector @returns {any} */
const part = (row, selector) => row.querySelector(selector);

/** @param {string} id */
function newRow(id) {
  const template = /** @type {HTMLTemplateElement} */ (byId("row"));
  const row = /** @type {HTMLElement} */ (/** @type {DocumentFragment} */ (template.content.cloneNode(true)).firstElementChild);
  for (const radio of row.querySelectorAll('.gas input')) /** @type {HTMLInputElement} */ (radio).name = `gas-${id}`;
  const kept = keptChoice();
  part(row, ".case").value = kept.case ?? part(row, ".case").value;
  part(row, ".mode").value = kept.mode ?? "formative";
  row.addEventListener("click", (event) => {
    const button = /** @type {Element} */ (event.target).closest("button[data-press]");
    if (button instanceof HTMLElement) void press(id, String(button.dataset.press));
  });
  row.addEventListener("change", (event) => {
    const input = /** @type {HTMLInputElement} */ (event.target);
    if (input.matches(".mode, .case, .form")) draw(); // what must be said first, and what comes, depend on it
    if (input.closest(".gas")) void change("gas", { station: id, gas: input.value });
    if (input.closest(".put-back")) void change("put-back", { station: id, what: input.value, is_done: input.checked });
  });
  return row;
}

/** @param {StationRow} told */
function drawRow(told) {
  let row = rows.get(told.id);
  if (!row) { row = newRow(told.id); rows.set(told.id, row); byId("board").append(row); }
  const next = nextFor(board.line, told.id);
  row.dataset.state = told.state;
  say(part(row, "h3"), told.title);
  say(part(row, ".code"), `Join with ${told.code}`);
  say(part(row, ".screens"), screensWords(told));
  say(part(row, ".who"), whoWords(told));
  say(part(row, ".patient"), patientWords(told));
  part(row, ".notice").hidden = !told.notice;
  say(part(row, ".notice"), told.notice ?? "");
  say(part(row, ".pace"), paceWords(told));
  part(row, ".start-line").hidden = !canStart(told);
  part(row, ".put-back").hidden = told.state !== "ended";
  for (const box of row.querySelectorAll(".put-back input")) {
    const input = /** @type {HTMLInputElement} */ (box);
    input.checked = told.put_back.includes(input.value);
  }
  for (const radio of row.querySelectorAll(".gas input")) {
    const input = /** @type {HTMLInputElement} */ (radio);
    input.checked = input.value === told.gas;
  }
  part(row, ".gas").classList.toggle("open-question", told.gas === null && told.asks_gas.includes(canStart(told) ? part(row, ".mode").value : told.mode ?? ""));
  drawForms(row);
  drawLearners(part(row, ".learner"), next?.learner ?? "");
  const acts = part(row, ".acts"), had = acts.contains(document.activeElement);
  const changed = show(acts, html`${presses(told, next, formChosen(row, told)).map((each) =>
    html`<button type="button" class="tag${each.is_first ? " first" : ""}" data-press="${each.id}" aria-label="${each.words}, ${told.title}">${each.words}</button>`)}`);
  if (changed && had) acts.querySelector("button")?.focus();
  show(part(row, ".doors"), html`${[["station", "Station"], ["bedside", "Bedside"], ["check-off", "Check-off"], ["practice", "Practice"], ["paper", "Paper"]].map(([path, words]) =>
    html`<a href="/${path}/${told.id}" aria-label="${words}, ${told.title}">${words}</a>`)}${told.state === "ended" && told.attempt ? html` <a href="/debrief/${told.attempt}" aria-label="Debrief, ${told.title}">Debrief</a>` : ""}`);
}

/** @param {HTMLSelectElement} select @param {string} next */
function drawLearners(select, next) {
  const chosen = select.value, waiting = board.line.filter((each) => each.state === "waiting");
  show(select, html`<option value="">No name</option>${waiting.map((each) => html`<option value="${each.learner}">${each.name}</option>`)}`);
  const stays = select.dataset.touched && (chosen === "" || waiting.some((each) => each.learner === chosen));
  select.value = stays ? chosen : next;
}

/** The forms of the chosen case; without a choice they take turns. @param {HTMLElement} row */
function drawForms(row) {
  const chosen = /** @type {HTMLSelectElement} */ (part(row, ".case")).selectedOptions[0];
  const forms = (chosen?.dataset.forms ?? "").split(" ").filter(Boolean), select = part(row, ".form"), kept = select.value;
  show(select, html`<option value="">Forms take turns</option>${forms.map((each) => html`<option value="${each}">${formWords(each)}</option>`)}`);
  select.value = forms.includes(kept) ? kept : "";
  part(row, ".form-part").hidden = forms.length < 2;
}

/** The form that was chosen for the case that lies here, or the one whose turn it is. @param {HTMLElement} row @param {StationRow} told */
function formChosen(row, told) {
  const isThis = part(row, ".case").value === told.case?.id;
  return (isThis && part(row, ".form").value) || told.next_form;
}

/** What was chosen by hand held for one start; after it the line and the forms take their turn again. @param {HTMLElement} row */
function forget(row) {
  delete part(row, ".learner").dataset.touched;
  part(row, ".form").value = "";
  draw();
}

/** @param {string} id @param {string} what */
async function press(id, what) {
  const row = rows.get(id), told = board.stations.find((each) => each.id === id);
  if (!row || !told) return;
  const base = `/stations/${encodeURIComponent(id)}`;
  if (what === "start") {
    if (told.asks_gas.includes(part(row, ".mode").value)) {
      trouble(`Say first what comes out of the wall at ${told.title} today: oxygen, air or none.`);
      part(row, ".gas input").focus();
      return;
    }
    const wish = { case: part(row, ".case").value, mode: part(row, ".mode").value };
    keepChoice(wish);
    const learner = part(row, ".learner").value;
    // What is assessed waits until everybody is ready; what is shown or practised goes at once.
    const go = wish.mode === "demonstration" || wish.mode === "practice";
    const form = part(row, ".form").value;
    if (await request(`${base}/start`, { ...wish, ...(form ? { form } : {}), ...(learner ? { learner } : {}), go })) forget(row);
  } else if (what === "next") {
    const form = formChosen(row, told);
    if (await request(`${base}/next`, form ? { form } : {})) forget(row);
  }
  else if (what === "go" || what === "pause") await request(`${base}/clock`, { do: what });
  else if (what === "stop") await request(`${base}/acts`, { acts: [{ act: "stopped_kindly" }] });
  else await request(`${base}/end`, { why: { finish: "finished", void: "void_for_equipment", kindly: "stopped_kindly" }[what] });
}

// -- the room and the line -----------------------------------------------------------------------

function drawRoom() {
  const { room } = board;
  show(byId("room"), room.addresses.length
    ? html`<p>Tablets join at ${room.addresses.map((address, i) => html`${i ? " or " : ""}<strong>${address.replace("http://", "")}/join</strong>`)}. <a href="/codes">Cards with codes</a></p>`
    : room.is_open
      ? html`<p class="says">The room is open, but this computer is on no network. Join one, or switch its hotspot on.</p>`
      : room.has_password
        ? html`<p class="says">Only this computer can reach the lab. <button type="button" class="tag" id="open-room">Open it to the room</button></p>`
        : html`<p class="says">Only this computer can reach the lab. <a class="tag" href="/first">Open it to the room</a></p>`);
}

function drawLine() {
  const waiting = board.line.filter((each) => each.state === "waiting");
  show(byId("line"), board.line.length === 0
    ? html`<li class="quiet">Nobody is in line. Without a line every attempt has no name.</li>`
    : html`${board.line.map((each) => {
      const after = waiting[waiting.indexOf(each) + 1];
      return html`<li class="${each.state}"><span class="name">${each.name}</span> <span class="small quiet">${lineWords(each, board.stations)}</span>
        <span class="row">${each.state === "waiting" ? html`<button type="button" class="plain" data-absent="${each.learner}" aria-label="Absent: ${each.name}">Absent</button>` : ""}
        ${each.state === "waiting" && after ? html`<button type="button" class="plain" data-one="${each.learner}" data-other="${after.learner}" aria-label="Let ${after.name} go before ${each.name}">Later</button>` : ""}
        ${each.state === "absent" || each.state === "done" ? html`<button type="button" class="plain" data-again="${each.learner}" aria-label="${each.name} waits again">Waits again</button>
        <button type="button" class="plain" data-erase="${each.learner}" aria-label="Erase the name ${each.name}">Erase name</button>` : ""}</span></li>`;
    })}`);
}

byId("line").addEventListener("click", (event) => {
  const button = /** @type {Element} */ (event.target).closest("button");
  if (!button) return;
  const { absent, again, one, other, erase } = button.dataset;
  if (absent) void change("move", { learner: absent, state: "absent" });
  if (again) void change("move", { learner: again, state: "waiting" });
  if (one && other) void change("swap", { one, other });
  if (erase) void change("erase", { learner: erase });
});
byId("room").addEventListener("click", (event) => {
  if (/** @type {Element} */ (event.target).closest("#open-room")) void change("open-room", {});
});
byId("close-lab").addEventListener("click", () => void change("close", {}));
byId("names-form").addEventListener("submit", async (event) => {
  event.preventDefault();
  const field = /** @type {HTMLTextAreaElement} */ (byId("names"));
  const names = field.value.split("\n").map((name) => name.trim()).filter(Boolean);
  if (!names.length) { trouble("Write at least one name."); return; }
  if (await change("add", { names })) field.value = "";
});
byId("stations-form").addEventListener("submit", (event) => {
  event.preventDefault();
  void change("stations", { count: Number(/** @type {HTMLInputElement} */ (byId("stations")).value) });
});
byId("board").addEventListener("change", (event) => {
  if (event.target instanceof HTMLSelectElement && event.target.matches(".learner")) event.target.dataset.touched = "yes";
});

function draw() {
  const told = new Set(board.stations.map((each) => each.id));
  for (const [id, row] of rows) if (!told.has(id)) { row.remove(); rows.delete(id); }
  for (const each of board.stations) drawRow(each);
  drawRoom();
  drawLine();
  if (board.notices.length) trouble(board.notices.join(" "));
  say(byId("fresh"), "");
  tick();
}

/** Time runs on between two answers. */
function tick() {
  for (const told of board.stations) {
    const row = rows.get(told.id);
    const passed_ms = told.state === "running" ? (performance.now() - heard_ms) * told.clock.times : 0;
    if (row) say(part(row, ".left"), leftWords(told, told.clock.t_ms + passed_ms));
  }
}

/** @returns {{ case?: string, mode?: string }} */
function keptChoice() {
  try { return JSON.parse(localStorage.getItem(CHOICE) ?? "{}"); } catch { return {}; }
}

/** @param {{ case: string, mode: string }} choice */
function keepChoice(choice) {
  try { localStorage.setItem(CHOICE, JSON.stringify(choice)); } catch { /* a full store: the next start asks again */ }
}

draw();
setInterval(tick, TICK_MS);
setInterval(() => { if (document.visibilityState === "visible") void look(); }, EVERY_MS);
globalThis.addEventListener("pageshow", () => void look());
