// @ts-check
// <bedside-sheet station="s1">: what anybody at the bedside sees, hears and measures, on one sheet of paper. The bedside
// page is this element alone; other pages may hold a small one.

import "./breathing-plate.mjs";
import "./capnogram-strip.mjs";
import "./pulse-pen.mjs";
import "./time-rule.mjs";
import { stationFeed } from "../lib/feed.mjs";
import { eachFrame, wantsStill } from "../lib/frames.mjs";
import { chem, html, say, show } from "../lib/html.mjs";
import { tapQueue } from "../lib/taps.mjs";
import { awayWords, clockWords, notYetSent } from "../lib/words.mjs";
import { bloodGas, counted, flows, gauges, measured, pulse, saturation } from "../pages/bedside/captions.mjs";
import { breathCount, COUNT_S, countedAct } from "../pages/bedside/counting.mjs";
import { leaderPath } from "../pages/bedside/leaders.mjs";
import { flagsOf, newsWords, plateWords, said, seenAndHeard, stateWords, stoppedKindly, whoWords } from "../pages/bedside/telling.mjs";
import { softTone } from "../pages/bedside/tone.mjs";

/** @typedef {import("../lib/feed.mjs").Feed} Feed */
/** @typedef {import("../lib/store.mjs").Known} Known */
/** @typedef {import("../pages/bedside/captions.mjs").Caption} Caption */
/** @typedef {import("./breathing-plate.mjs").BreathingPlate} BreathingPlate */
/** @typedef {import("./time-rule.mjs").TimeRule} TimeRule */
/** @typedef {import("./pulse-pen.mjs").PulsePen} PulsePen */
/** @typedef {import("./capnogram-strip.mjs").CapnogramStrip} CapnogramStrip */

const MARKUP = html`
  <breathing-plate view="seen" crop="bed"></breathing-plate>
  <svg class="leaders" aria-hidden="true"><path class="fine"></path><g></g></svg>
  <header class="sheet-head"><h1 class="who"></h1><p class="state" role="status"></p><p class="line attend" role="status"></p></header>
  <section class="at-supply" aria-label="Flow and gauge"></section>
  <section class="at-patient" aria-label="Measured">
    <div class="rate"></div>
    <div class="saturation"></div>
    <div class="pulse-place"><p class="pulse-words"></p><pulse-pen></pulse-pen></div>
    <dl class="now-and-then"></dl>
    <div class="capnogram-place" hidden><p class="quiet"></p><capnogram-strip></capnogram-strip></div>
  </section>
  <section class="told">
    <div class="counting" hidden></div>
    <h2 class="visually-hidden">What you see and hear</h2>
    <p class="seen"></p>
    <div class="order quiet"></div>
    <div class="gas-result"></div>
    <div class="tools">
      <button type="button" class="count-start">Count breaths, 30 s</button>
      <button type="button" class="plain sound" aria-pressed="false">Sound is off</button>
      <span class="unsent attend" role="status"></span>
    </div>
  </section>
  <time-rule class="foot-rule" rows="2"></time-rule>
  <p class="visually-hidden news" aria-live="polite"></p>
  <div class="blank" hidden><p></p></div>`;

export class BedsideSheet extends HTMLElement {
  /** @type {Feed | null} */
  #feed = null;
  /** @type {(() => void)[]} */
  #ends = [];
  /** @type {ReturnType<typeof tapQueue> | null} */
  #taps = null;
  #count = breathCount();
  #tone = softTone();
  #leadersDue = true;

  connectedCallback() {
    const station = this.getAttribute("station");
    if (!station || this.#feed) return;
    show(this, MARKUP);
    this.follow(stationFeed({ station }), true);
  }

  disconnectedCallback() {
    for (const end of this.#ends) end();
    this.#ends = [];
    this.#feed = null;
  }

  /** Shows a station that somebody else may already follow. @param {Feed} feed @param {boolean} [own]  close it when the sheet goes */
  follow(feed, own = false) {
    if (!this.firstElementChild) show(this, MARKUP);
    this.#feed = feed;
    const known = feed.known;
    this.#plate.feed(feed);
    this.#taps = tapQueue({
      station: feed.station, screen: feed.screen, t_ms: feed.clock.t_ms,
      changed: (s) => say(this.#one(".unsent"), [notYetSent(s.waiting), s.words].filter(Boolean).join(". ")),
      answered: (a) => { if (a.refused) say(this.#one(".unsent"), a.refused); },
    });
    let before = known.get();
    this.#ends.push(
      known.watch((k) => k, (k) => { this.#tell(k); say(this.#one(".news"), newsWords(k, before) || (this.#one(".news").textContent ?? "")); before = k; }),
      feed.line.watch((l) => l, () => this.#tellLine()),
      eachFrame(() => this.#frame()),
    );
    if (own) this.#ends.push(feed.close);
    const sizes = new ResizeObserver(() => { this.#leadersDue = true; });
    sizes.observe(this);
    this.#ends.push(() => sizes.disconnect());
    const due = () => { this.#leadersDue = true; };
    this.#plate.addEventListener("scene", due);
    document.fonts?.ready.then(due);
    this.#one(".count-start").addEventListener("click", () => { this.#count.start(feed.t_s()); this.#tellCount(); });
    this.#one(".sound").addEventListener("click", () => this.#toggleSound());
    this.#one(".counting").addEventListener("click", (event) => this.#countPressed(event));
    this.#one(".counting").addEventListener("submit", (event) => this.#countSaid(event));
    /** @type {PulsePen} */ (this.#one("pulse-pen")).onBeat = () => this.#tone.beat();
  }

  /** @param {string} selector @returns {HTMLElement} */
  #one(selector) {
    const found = this.querySelector(selector);
    if (!found) throw new Error(`The bedside's sheet has no ${selector}.`);
    return /** @type {HTMLElement} */ (found);
  }

  /** @returns {BreathingPlate} */
  get #plate() { return /** @type {BreathingPlate} */ (this.#one("breathing-plate")); }

  /** @param {Known} known */
  #tell(known) {
    const patient = known.case?.patient;
    say(this.#one(".who"), patient ? whoWords(patient) : known.station?.title ?? "");
    say(this.#one(".state"), [known.notice, stateWords(known)].filter(Boolean).join(" "));
    const words = plateWords(known);
    this.#plate.describe(words.title, words.text);
    this.#blank(known);
    this.toggleAttribute("empty", !patient);
    const captions = [counted(known), saturation(known)];
    this.#leadersDue = showCaption(this.#one(".rate"), captions[0] ?? null) || this.#leadersDue;
    this.#leadersDue = showCaption(this.#one(".saturation"), patient ? captions[1] ?? null : null) || this.#leadersDue;
    this.#leadersDue = show(this.#one(".at-supply"), html`${[...flows(known), ...gauges(known)].map(captionMarkup)}`) || this.#leadersDue;
    const p = pulse(known);
    show(this.#one(".pulse-words"), p ? html`<b>${p.value}</b> pulse ${p.lines.join(" ")}` : html``);
    this.#one("pulse-pen").toggleAttribute("hidden", !known.things?.probe?.site);
    show(this.#one(".now-and-then"), html`${measured(known).map((m) => html`<div><dt>${chem(m.name)}</dt><dd><b>${m.value}</b> ${m.unit}<small>${m.line}</small></dd></div>`)}`);
    this.#tellCapnogram(known);
    const spoken = said(known);
    show(this.#one(".seen"), html`<b>What you see and hear.</b> ${seenAndHeard(known).join(" ")}${spoken ? html` <q>${spoken.replace(/^\u201c|\u201d$/g, "")}</q>` : ""}`);
    const order = known.case?.order?.text;
    show(this.#one(".order"), order ? html`<p><b>Order.</b> ${chem(order)}</p>` : html``);
    this.#tellGas(known);
    /** @type {TimeRule} */ (this.#one("time-rule")).show({ minutes: known.station?.minutes ?? 15, flags: flagsOf(known) });
    this.#one(".count-start").toggleAttribute("hidden", !patient || known.clock?.state === "ended");
  }

  /** @param {Known} known */
  #tellGas(known) {
    const gas = bloodGas(known);
    show(this.#one(".gas-result"), gas
      ? html`<h3>${gas.head}</h3>${gas.rows.length ? html`<dl>${gas.rows.map(([name, value]) => html`<div><dt>${chem(name)}</dt><dd>${value}</dd></div>`)}</dl>` : ""}<p class="quiet">${chem(gas.words)}</p>`
      : html``);
  }

  /** @param {Known} known */
  #tellCapnogram({ readings: r }) {
    const line = /** @type {readonly (readonly [number, number])[] | undefined} */ (r.capnogram);
    this.#one(".capnogram-place").hidden = !line;
    if (!line || typeof r.capnogram_start_s !== "number") return;
    say(this.#one(".capnogram-place p"), String(r.capnogram_words ?? ""));
    /** @type {CapnogramStrip} */ (this.#one("capnogram-strip")).add(r.capnogram_start_s, line);
  }

  /** @param {Known} known */
  #blank(known) {
    const stopped = stoppedKindly(known);
    this.#one(".blank").hidden = !stopped;
    say(this.#one(".blank p"), "We have stopped for a moment. Nothing is being judged.");
    for (const child of this.children) if (!child.classList.contains("blank")) child.toggleAttribute("inert", stopped);
  }

  #tellLine() {
    const { state, words, shown_s } = this.#feed?.line.get() ?? { state: "connecting", words: "", shown_s: 0 };
    const told = state === "refused" ? words : state === "away" ? awayWords(shown_s, this.#feed?.t_s() ?? 0) : "";
    say(this.#one(".line"), told);
    this.toggleAttribute("away", state === "away");
    if (state === "connected") this.#taps?.again();
  }

  #frame() {
    const feed = this.#feed;
    if (!feed) return;
    const t_s = feed.t_s(), r = feed.known.get().readings;
    /** @type {TimeRule} */ (this.#one("time-rule")).show({ now_s: t_s });
    if (!wantsStill()) {
      /** @type {PulsePen} */ (this.#one("pulse-pen")).write({
        t_s, pulse_per_min: typeof r.pulse_shown_per_min === "number" ? r.pulse_shown_per_min : null,
        signal: String(r.oximeter_signal ?? ""), pace: feed.clock.times(), running: feed.clock.running(),
      });
    }
    const was = this.#count.now();
    if (this.#count.at(t_s) !== was) this.#tellCount();
    if (this.#leadersDue) this.#drawLeaders();
  }

  #drawLeaders() {
    this.#leadersDue = false;
    const place = this.getBoundingClientRect(), plate = this.#plate.getBoundingClientRect();
    let path = "", dots = "";
    for (const element of this.querySelectorAll("[data-anchor]")) {
      const words = element.getBoundingClientRect(), at = this.#plate.anchor(element.getAttribute("data-anchor") ?? "");
      if (!at || !words.width) continue;
      const to = { x: at.x + plate.left - place.left, y: at.y + plate.top - place.top };
      path += leaderPath({ left: words.left - place.left, top: words.top - place.top, right: words.right - place.left, bottom: words.bottom - place.top }, to);
      dots += `<circle class="solid" cx="${to.x.toFixed(1)}" cy="${to.y.toFixed(1)}" r="4"></circle>`;
    }
    this.#one(".leaders path").setAttribute("d", path);
    this.#one(".leaders g").innerHTML = dots;
  }

  #toggleSound() {
    const on = this.#tone.toggle(), button = this.#one(".sound");
    button.setAttribute("aria-pressed", String(on));
    say(button, on ? "Sound is on" : "Sound is off");
  }

  #tellCount() {
    const { phase, left_s, taps } = this.#count.now(), box = this.#one(".counting"), role = this.#feed?.known.get().role;
    box.hidden = phase === "idle";
    if (phase === "counting" && box.dataset.phase === "counting") {
      say(box.querySelector(".left"), String(left_s));
      say(box.querySelector(".taps"), String(taps));
      return;
    }
    box.dataset.phase = phase;
    if (phase === "counting") {
      show(box, html`<p><b class="left">${left_s}</b> seconds left. Watch chest and belly; one rise is one breath.</p>
        <div class="row"><button type="button" class="first" data-do="tap">Tap with each breath: <span class="taps">${taps}</span></button><button type="button" class="plain" data-do="stop">Stop counting</button></div>`);
      /** @type {HTMLElement | null} */ (box.querySelector("[data-do=tap]"))?.focus();
    } else if (phase === "asking" && role !== "projector") {
      show(box, html`<form><label for="breaths-counted">Breaths in ${COUNT_S} seconds</label>
        <div class="row"><input id="breaths-counted" name="breaths" type="number" inputmode="numeric" min="0" max="80" required value="${taps || ""}">
        <button type="submit" class="first">Say it</button><button type="button" class="plain" data-do="stop">Not sure: count again</button></div></form>`);
      /** @type {HTMLElement | null} */ (box.querySelector("input"))?.focus();
    } else if (phase === "asking") {
      show(box, html`<p><b>${COUNT_S} seconds are over.</b> How many did you count? Twice that is the rate a minute.</p><div class="row"><button type="button" data-do="stop">Put the counter away</button></div>`);
    } else {
      show(box, html``);
      this.#one(".count-start").focus();
    }
  }

  /** @param {Event} event */
  #countPressed(event) {
    const what = /** @type {HTMLElement | null} */ (event.target instanceof Element ? event.target.closest("[data-do]") : null)?.dataset.do;
    if (what === "tap") this.#count.tap();
    if (what === "stop") this.#count.stop();
    if (what) this.#tellCount();
  }

  /** @param {Event} event */
  #countSaid(event) {
    event.preventDefault();
    const breaths = Number(new FormData(/** @type {HTMLFormElement} */ (event.target)).get("breaths"));
    if (!Number.isFinite(breaths)) return;
    this.#taps?.act({ ...countedAct(breaths), hands: "learner" });
    this.#count.stop();
    this.#tellCount();
    say(this.#one(".news"), `${breaths} breaths in ${COUNT_S} seconds: ${breaths * 2} a minute, at ${clockWords(this.#feed?.t_s() ?? 0)}.`);
  }
}

/** @param {Caption} c */
const captionMarkup = (c) => html`<dl class="caption ${c.trust}" data-caption="${c.id}">
  <dt>${chem(c.name)}</dt><dd><span class="value">${c.value}${c.unit === "%" ? html`<span class="unit proportional">%</span>` : ""}</span>
  <span class="lines" ${c.anchor ? html`data-anchor="${c.anchor}"` : ""}>${c.unit && c.unit !== "%" ? html`<span class="unit-line">${c.unit}</span> ` : ""}${c.lines.map((l) => html`<span>${l}</span> `)}</span></dd></dl>`;

/** @param {Element} place @param {Caption | null} caption */
const showCaption = (place, caption) => show(place, caption ? captionMarkup(caption) : html``);

customElements.define("bedside-sheet", BedsideSheet);
