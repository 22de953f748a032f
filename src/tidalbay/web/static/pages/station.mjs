// @ts-check
// The instructor's station: an open book. Left what they see, right what is so; below, time, what can be made to happen,
// and what was done. Nothing is decided here: the page says what is pressed and shows what the station answers.

import "../el/breathing-plate.mjs";
import "../el/time-rule.mjs";
import { ledgerBar } from "../draw/gas.mjs";
import { ask, stationFeed } from "../lib/feed.mjs";
import { eachFrame } from "../lib/frames.mjs";
import { byId, chem, drawn, html, say, show } from "../lib/html.mjs";
import { tapQueue } from "../lib/taps.mjs";
import { awayWords, clockWords, count, figure, notYetSent, plain, sentence } from "../lib/words.mjs";
import { counted, endTidal, flows, gauges, measured, pulse, saturation } from "./bedside/captions.mjs";
import { flagsOf, plateWords, said, seenAndHeard, stateWords, whoWords } from "./bedside/telling.mjs";
import { entryRows, peopleWords } from "./station/entries.mjs";
import { canGo, faultActs, grouped, simplySo, slipWords, struck, thrown, waitsFor } from "./station/making.mjs";
import { because, facts, gasShares, lagWords, ledger, remember, score } from "./station/so.mjs";
import { controls, modeWords, PACES } from "./station/times.mjs";

/** @typedef {import("../lib/store.mjs").Known} Known */
/** @typedef {import("../el/breathing-plate.mjs").BreathingPlate} BreathingPlate */
/** @typedef {import("../el/time-rule.mjs").TimeRule} TimeRule */
/** @typedef {import("./station/making.mjs").Cause} Cause */

const id = byId("station").dataset.station ?? "";
const feed = stationFeed({ station: id });
/** Names by the opaque ids of the log; on this page only. @type {Map<string, string>} */
const names = new Map();
const seen = /** @type {BreathingPlate} */ (byId("seen")), cut = /** @type {BreathingPlate} */ (byId("cut")), rule = /** @type {TimeRule} */ (byId("rule"));
const dialog = /** @type {HTMLDialogElement} */ (byId("ask")), pace = /** @type {HTMLSelectElement} */ (byId("pace")), lookFor = /** @type {HTMLInputElement} */ (byId("look-for"));

/** @param {{ name: string, value: string, unit: string, line: string }} f */
const factMarkup = (f) => html`<div class="reading"><dt>${chem(f.name)}</dt><dd><span class="value">${f.value}${f.unit ? ` ${f.unit}` : ""}</span><span class="age">${f.line}</span></dd></div>`;

const leave = html`<button type="submit" value="no" class="plain" formnovalidate>Leave it</button>`;

/** @type {import("./station/so.mjs").Past[]} */
let past = [];
/** @type {Cause[]} */
let causes = [];
let picked_ms = /** @type {number | null} */ (null);

const taps = tapQueue({
  station: id, screen: feed.screen, t_ms: feed.clock.t_ms,
  answered: (a) => tell(a.refused ?? (a.what.act === "cause_thrown" ? `Done at ${clockWords((a.t_ms ?? 0) / 1000)}: ${causeWords(String(a.what.values?.cause ?? ""))}.` : "")),
  changed: (s) => { if (s.waiting && s.words) tell(`${notYetSent(s.waiting)}. ${s.words}`); },
});
let attempt = "", learnerName = "";

/** @param {string} id */
const causeWords = (id) => causes.find((each) => each.id === id)?.sentence ?? plain(id);

/** The log knows learners by opaque ids; their names stand on the instructor's board. */
async function askName() {
  try {
    const board = await (await fetch("/board.json", { credentials: "same-origin" })).json();
    learnerName = board.stations?.find((/** @type {any} */ each) => each.id === id)?.learner_name ?? "";
    for (const each of board.line ?? []) names.set(each.learner, each.name);
    showAll(feed.known.get());
  } catch { /* it stays unnamed */ }
}

/** @param {string} words */
function tell(words) { say(byId("says"), words); }

/** @param {string} path @param {unknown} body */
async function order(path, body) {
  const { ok, words } = await ask(`/stations/${encodeURIComponent(id)}/${path}`, body);
  tell(ok ? "" : words);
}

seen.feed(feed);
cut.feed(feed, gasShares);
feed.known.watch((k) => k, showAll);
feed.line.watch((l) => l, (l) => {
  if (l.state === "away") tell(awayWords(l.shown_s, feed.t_s()));
  else if (l.state === "refused") tell(l.words);
  else if (l.state === "connected") { tell(""); taps.again(); }
});
eachFrame(() => rule.show({ now_s: feed.t_s() }));
rule.addEventListener("pick", (event) => {
  const at_s = /** @type {CustomEvent<{ at_s: number | null }>} */ (event).detail.at_s;
  picked_ms = at_s === null ? null : at_s * 1000;
  showTimes(feed.known.get());
});

/** @param {Known} known */
function showAll(known) {
  if (feed.attempt() !== attempt) { attempt = feed.attempt(); taps.of(attempt); past = []; picked_ms = null; rule.letGo(); void askName(); }
  past = remember(past, known);
  say(byId("state"), [stateWords(known), known.notice].filter(Boolean).join(" "));
  say(byId("people"), `Connected: ${peopleWords(known.people)}`);
  showSeen(known);
  showSo(known);
  showTimes(known);
  showWaiting(known);
  show(byId("entries"), html`${entryRows(known.entries, names).map((e) => html`<li class="${e.back ? "back" : ""}"><span class="at">${e.at}</span>
    <span>${e.back ? html`<s>${e.words}</s> <em>taken back</em>` : e.words}<small>${e.who}</small></span>
    ${e.can ? html`<button type="button" class="plain" data-back="${e.n}">Take back<span class="visually-hidden"> ${e.words}</span></button>` : ""}</li>`)}`);
  showLife(known);
  const ahead = (known.truth?.waiting ?? []).filter((/** @type {any} */ w) => typeof w.at_s === "number").map((/** @type {any} */ w) => ({ at_s: w.at_s, label: `planned: ${plain(w.event)}` }));
  rule.show({ minutes: known.station?.minutes ?? 15, flags: flagsOf(known), ahead });
}

/** @param {Known} known */
function showSeen(known) {
  const words = plateWords(known);
  seen.describe(`What they see. ${words.title}`, words.text);
  say(byId("who"), whoWords(known.case?.patient));
  const p = pulse(known), sat = saturation(known), rate = counted(known);
  const rows = known.case ? [
    sat && { name: "Saturation shown", value: sat.value, unit: sat.unit, line: [String(known.readings.oximeter_signal ?? sat.lines.join(" ")), lagWords(known)].filter(Boolean).join("; ") },
    { name: "Breaths counted", value: rate?.value ?? "\u2013", unit: "", line: rate ? rate.lines.join(" ") : "nobody has counted" },
    p && { name: "Pulse shown", value: p.value, unit: "", line: p.lines.join(" ") },
    ...flows(known).filter((f) => f.anchor).map((f) => ({ name: f.gas ? `${f.gas}, flow read` : "Flow read", value: f.value, unit: f.unit, line: f.lines.join(" ") })),
    ...gauges(known).filter((g) => g.anchor).map((g) => ({ name: g.name, value: g.value, unit: g.unit, line: g.lines.join(" ") })),
    ...sampled(known),
    ...measured(known),
  ] : [];
  show(byId("shown"), html`${rows.map((f) => f && factMarkup(f))}`);
  const spoken = said(known);
  show(byId("told"), html`${spoken} ${seenAndHeard(known).join(" ")}`);
}

/** @param {Known} known */
function sampled(known) {
  const told = endTidal(known);
  return told ? [{ name: "End-tidal CO2 shown", value: told.value, unit: told.unit, line: told.lines.join(", ") }] : [];
}

/** @param {Known} known */
function showSo(known) {
  const rows = ledger(known), total = rows.reduce((all, r) => all + r.ml, 0);
  cut.describe("The airway cut open", rows.length ? `The last breath: ${rows.map((r) => `${figure(r.ml)} mL ${r.words}`).join(", ")}.` : "");
  show(byId("facts"), html`${facts(known).map(factMarkup)}`);
  show(byId("ledger"), rows.length
    ? html`<h3>The last whole breath, ${figure(total)} mL</h3>
      <svg class="plate ledger-bar" viewBox="-2 -2 604 40" aria-hidden="true">${drawn(ledgerBar(rows.map((r) => ({ kind: r.gas, ml: r.ml })), { width: 600, height: 36 }))}</svg>
      <table><tbody>${rows.map((r) => html`<tr><th scope="row"><svg class="plate" viewBox="-1 -1 40 18" width="40" height="18" aria-hidden="true">${drawn(ledgerBar([{ kind: r.gas, ml: 1 }], { width: 38, height: 16, gap: 7, r: 2 }))}</svg> ${r.words}</th><td>${figure(r.ml)} mL</td></tr>`)}</tbody></table>`
    : html``);
  showScore(known);
  show(byId("because"), html`${because(known, past).map((w) => html`<li>${chem(w)}</li>`)}`);
}

/** @param {Known} known */
function showScore(known) {
  const s = score(known);
  show(byId("score"), s ? html`<h3>Early warning: ${s.head}</h3><p>${chem(s.words)}</p>
    ${s.rows.length ? html`<table><tbody>${s.rows.map((r) => html`<tr class="${r.points ? "counts" : ""}"><th scope="row">${r.what}, ${r.found}</th><td>${count(r.points, "point")}</td></tr>`)}</tbody></table>` : ""}
    <p class="quiet small">${s.why} ${s.credit}</p>` : html``);
}

/** @param {Known} known */
function showTimes(known) {
  const station = known.station ?? { id }, t_ms = feed.clock.t_ms();
  const offered = controls(station, Math.floor(t_ms / 10_000) * 10_000, picked_ms);
  show(byId("times"), html`${offered.map((c) => html`<button type="button" class="${c.first ? "first" : ""}" data-time="${c.id}">${c.words}${c.id === "back-to" ? `, ${clockWords((picked_ms ?? 0) / 1000)}` : ""}</button>`)}`);
  const fixed = station.mode === "summative" || !offered.length;
  pace.disabled = fixed;
  const times = String(known.clock?.times ?? 1);
  show(pace, html`${PACES.map((p) => html`<option value="${p}">\u00d7${p}</option>`)}`);
  if (document.activeElement !== pace) pace.value = times;
  say(byId("mode"), [modeWords(station.mode), known.verdicts?.turn?.[0]].filter(Boolean).join(" "));
}

/** @param {Known} known */
function showWaiting(known) {
  const tells = new Map(known.events.map((e) => [e.id, e.tells]));
  const waiting = /** @type {any[]} */ (known.truth?.waiting ?? []), happened = /** @type {any[]} */ (known.truth?.happened ?? []);
  show(byId("waiting"), html`<h3>Of this case</h3>${waiting.length || happened.length || !known.case ? "" : html`<p class="quiet">This case makes nothing happen by itself.</p>`}<ul class="plain-list">${waiting.map((w) => html`<li>
    <button type="button" data-event="${w.event}">${sentence(plain(w.event)).replace(/\.$/, "")}</button><small>${waitsFor(w)}. ${tells.get(w.event) ?? ""}</small></li>`)}
    ${happened.map((h) => html`<li><small>${sentence(plain(h.event)).replace(/\.$/, "")} happened at ${clockWords(h.at_s)}.</small></li>`)}</ul>`);
}

/** Groups that the instructor has unfolded: they stay so when the list is drawn anew. @type {Set<string>} */
const unfolded = new Set();

/** @param {import("./station/making.mjs").Fault} fault */
const causeOfFault = (fault) => causes.find((c) => c.id === fault.throws[0]?.cause);

/** @param {string} title @param {unknown} inside @param {number} how_many */
const foldMarkup = (title, inside, how_many) => html`<details data-fold="${title}" ${lookFor.value || unfolded.has(title) ? "open" : ""}><summary>${title} <span class="quiet">${how_many}</span></summary><div class="row">${inside}</div></details>`;

function showCauses() {
  const known = feed.known.get(), looked = lookFor.value, atHand = known.truth?.faults ?? {};
  const faults = grouped(/** @type {import("./station/making.mjs").Fault[]} */ ([...known.faults]), causeOfFault, (f) => `${f.title} ${f.cue} ${f.answer}`, looked);
  const own = grouped(causes, (c) => c, (c) => `${plain(c.id)} ${c.sentence}`, looked).flatMap((g) => g.those);
  show(byId("causes"), html`${faults.map((g) => foldMarkup(g.title, g.those.map((f) => {
    const none = !(f.id in atHand);
    return html`<button type="button" data-fault="${f.id}" ${none ? "disabled" : ""}>${f.title}${none ? html`<small> (not here, or so already)</small>` : ""}</button>`;
  }), g.those.length))}
  ${own.length ? foldMarkup("With a value of your own", own.map((c) => {
    const none = c.on.length > 0 && !struck(c, known.things).length;
    return html`<button type="button" data-cause="${c.id}" ${none ? "disabled" : ""}>${slipWords(c)}${none ? html`<small> (nothing here to strike)</small>` : ""}</button>`;
  }), own.length) : ""}`);
}

/** @param {import("./station/making.mjs").Fault} fault */
function throwFault(fault) {
  const on = /** @type {string[]} */ (feed.known.get().truth?.faults?.[fault.id] ?? []);
  const rights = fault.throws.every((t) => causes.some((c) => c.id === t.cause && canGo(c)));
  askFirst(`${fault.title}?`, html`
    ${on.length > 1 ? html`<div class="field"><label for="ask-on">Which one</label><select id="ask-on" name="on">${on.map((o) => html`<option value="${o}">${plain(o)}</option>`)}</select></div>` : on[0] ? html`<input type="hidden" name="on" value="${on[0]}">` : ""}
    <dl class="cue"><dt>To be found</dt><dd>${sentence(fault.cue)}</dd><dt>What is done about it</dt><dd>${sentence(fault.answer)}</dd></dl>
    <p class="quiet small">Logged as yours; learners are not told. What a mannequin cannot show, say as it is found.</p>
    <div class="row"><button type="submit" value="so" class="first">Make it happen</button>${rights ? html`<button type="submit" value="gone">Put it right again</button>` : ""}${leave}</div>`,
  (form, pressed) => {
    const one = form.get("on");
    for (const act of faultActs(fault, { ...(one ? { on: String(one) } : {}), gone: pressed === "gone" })) taps.act(act);
  });
}

/** @param {Known} known */
function showLife(known) {
  const s = known.station, live = s?.state === "running" || s?.state === "paused" || s?.state === "ready";
  show(byId("life"), html`<dl class="life"><div><dt>Case</dt><dd>${known.case?.title ?? "none"}</dd></div><div><dt>Mode</dt><dd>${s?.mode ?? "none"}</dd></div>
    <div><dt>Learner</dt><dd>${learnerName || (s?.learner ? "somebody practising" : "not named")}</dd></div><div><dt>Clock</dt><dd>${s?.state ?? "empty"}</dd></div></dl>
    ${known.case?.order?.text ? html`<p><b>Order.</b> ${chem(known.case.order.text)}</p>` : ""}
    <h3>Connected</h3><ul class="plain-list">${known.people.map((p) => html`<li>${p.role}</li>`)}</ul>
    <div class="row">${live ? html`<button type="button" data-life="kindly">Stop, kindly</button><button type="button" data-life="finished">End the attempt</button><button type="button" data-life="void">Void for equipment</button>` : ""}
    ${s?.state === "ended" || live ? html`<button type="button" class="${s?.state === "ended" ? "first" : ""}" data-life="next">Next learner</button>` : html`<a class="slip" href="/">Choose a case on Today</a>`}
    <a class="slip plain" href="/bedside/${id}">Open the bedside</a> <a class="slip plain" href="/check-off/${id}">Open the check-off</a>${s?.state === "ended" && s.attempt ? html` <a class="slip" href="/debrief/${s.attempt}">Debrief</a>` : ""}</div>`);
}

/** Asks before something that cannot be undone, or for how much and on which. @param {string} title @param {import("../lib/html.mjs").Html} inside @param {(form: FormData, pressed: string) => void} then */
function askFirst(title, inside, then) {
  show(dialog, html`<form method="dialog"><h2 id="ask-title">${title}</h2>${inside}</form>`);
  const form = /** @type {HTMLFormElement} */ (dialog.querySelector("form"));
  form.onsubmit = (event) => {
    const pressed = /** @type {HTMLButtonElement | null} */ (event.submitter)?.value ?? "";
    if (pressed !== "no") then(new FormData(form), pressed);
  };
  dialog.showModal();
}

/** @param {Cause} cause */
function throwCause(cause) {
  const on = struck(cause, feed.known.get().things), current = feed.known.get().truth?.readings?.[cause.id];
  const whole = cause.numbers.length ? cause.numbers : null;
  const low = cause.type === "share" ? 0 : cause.low, high = cause.type === "share" ? 1 : cause.high;
  askFirst(slipWords(cause) + "?", html`
    ${on.length > 1 ? html`<div class="field"><label for="ask-on">Which one</label><select id="ask-on" name="on">${on.map((o) => html`<option value="${o.id}">${o.words}</option>`)}</select></div>` : on[0] ? html`<input type="hidden" name="on" value="${on[0].id}">` : ""}
    ${simplySo(cause) ? "" : cause.choices.length
      ? html`<div class="field"><label for="ask-value">How</label><select id="ask-value" name="value">${cause.choices.map((c) => html`<option value="${c}">${plain(c)}</option>`)}</select></div>`
      : whole
        ? html`<div class="field"><label for="ask-value">Which, ${cause.unit}</label><select id="ask-value" name="value">${whole.map((c) => html`<option>${c}</option>`)}</select></div>`
        : html`<div class="field"><label for="ask-value">How much${cause.unit && cause.unit !== "1" ? `, ${cause.unit}` : ""}</label>
          <input id="ask-value" name="value" type="number" step="any" required ${low === null ? "" : html`min="${low}"`} ${high === null ? "" : html`max="${high}"`} value="${typeof current === "number" ? current : ""}">
          <span class="help">${low !== null && high !== null ? `From ${low} to ${high}.` : ""}${typeof current === "number" ? ` Now ${figure(current, 3)}.` : ""}</span></div>`}
    <p class="quiet small">Logged as yours; learners are not told.</p>
    <div class="row"><button type="submit" value="so" class="first">Make it happen</button>${canGo(cause) ? html`<button type="submit" value="gone" formnovalidate>Put it right again</button>` : ""}${leave}</div>`,
  (form, pressed) => {
    const one = form.get("on"), value = form.get("value");
    taps.act(thrown(cause, { ...(one ? { on: String(one) } : {}), ...(value !== null ? { value: String(value) } : {}), gone: pressed === "gone" }));
  });
}

/** @type {Record<string, [string, string, string]>} */
const ENDS = {
  kindly: ["Stop, kindly?", "Clock and patient stand still, the bedside shows an empty page, nothing is judged and no attempt is used up.", "Stop, kindly"],
  finished: ["End this attempt?", "What was done stays in the record; nothing can be added to it afterwards.", "End it"],
  void: ["Void this attempt for equipment?", "It costs the learner nothing; the log keeps what happened.", "Void it"],
  next: ["Next learner?", "This attempt ends, and a fresh patient of the same case lies here.", "Next learner"],
};

document.addEventListener("click", (event) => {
  const pressed = event.target instanceof Element ? /** @type {HTMLElement | null} */ (event.target.closest("[data-time], [data-event], [data-fault], [data-cause], [data-back], [data-life]")) : null;
  if (!pressed) return;
  const { time, event: caseEvent, fault, cause, back, life } = pressed.dataset;
  if (time) {
    const offered = controls(feed.known.get().station ?? {}, feed.clock.t_ms(), picked_ms).find((c) => c.id === time);
    if (offered) void order("clock", offered.body);
  } else if (caseEvent) {
    askFirst(`Let it happen now: ${plain(caseEvent)}?`, html`<p class="quiet small">Logged as yours; learners are not told.</p><div class="row"><button type="submit" value="so" class="first">Let it happen</button>${leave}</div>`,
      () => taps.act({ act: "event_thrown", values: { event: caseEvent } }));
  } else if (fault) {
    const row = feed.known.get().faults.find((f) => f.id === fault);
    if (row) throwFault(row);
  } else if (cause) {
    const row = causes.find((c) => c.id === cause);
    if (row) throwCause(row);
  } else if (back) {
    const words = entryRows(feed.known.get().entries).find((e) => String(e.n) === back)?.words ?? "";
    askFirst("Take this back?", html`<p>${words}.</p><p class="quiet small">From now on the equipment is as if it had not been done; what was shown stays shown, and both entries stay in the log.</p><div class="row"><button type="submit" value="so" class="first">Take back</button>${leave}</div>`,
      () => taps.act({ act: "taken_back", values: { entry: Number(back) } }));
  } else if (life) {
    const [title, words, button] = ENDS[life] ?? ["", "", ""];
    askFirst(title, html`<p>${words}</p><div class="row"><button type="submit" value="so" class="first">${button}</button>${leave}</div>`, () => {
      if (life === "kindly") taps.act({ act: "stopped_kindly" });
      else if (life === "next") void order("next", {});
      else void order("end", { why: life === "void" ? "void_for_equipment" : "finished" });
    });
  }
});
pace.addEventListener("change", () => void order("clock", { do: "pace", times: Number(pace.value) }));
lookFor.addEventListener("input", showCauses);
byId("causes").addEventListener("click", (event) => {
  const fold = /** @type {HTMLDetailsElement | null} */ (event.target instanceof Element ? event.target.closest("summary")?.parentElement : null);
  // At the moment of the click it has not yet turned.
  if (fold?.dataset.fold) fold.open ? unfolded.delete(fold.dataset.fold) : unfolded.add(fold.dataset.fold);
});
feed.known.watch((k) => JSON.stringify([k.faults.length, k.truth?.faults, k.things?.tubes.length, k.things?.devices.length, k.things?.supplies.length]), showCauses);

fetch("/causes.json", { credentials: "same-origin" })
  .then(async (answer) => {
    if (!answer.ok) throw new Error(String(answer.status));
    causes = (await answer.json()).causes;
    showCauses();
  })
  .catch(() => show(byId("causes"), html`<p class="attend">The list of what can be made to happen did not come; load the page again.</p>`));
