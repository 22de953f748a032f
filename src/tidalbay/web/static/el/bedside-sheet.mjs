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
import { awayWords, clockWords, figure, notYetSent } from "../lib/words.mjs";
import { bloodGas, counted, endTidal, flows, gauges, measured, pulse, saturation } from "../pages/bedside/captions.mjs";
import { breathCount, COUNT_S, countedAct } from "../pages/bedside/counting.mjs";
import { leaderPath } from "../pages/bedside/leaders.mjs";
import { flagsOf, newsWords, plateWords, said, seenAndHeard, stateWords, stoppedKindly, whoWords } from "../pages/bedside/telling.mjs";
import { softTone } from "../pages/bedside/tone.mjs";
import { gasShares, ledger } from "../pages/station/so.mjs";

/** @typedef {import("../lib/feed.mjs").Feed} Feed */
/** @typedef {import("../lib/store.mjs").Known} Known */
/** @typedef {import("../pages/bedside/captions.mjs").Caption} Caption */
/** @typedef {import("./breathing-plate.mjs").BreathingPlate} BreathingPlate */
/** @typedef {import("./time-rule.mjs").TimeRule} TimeRule */
/** @typedef {import("./pulse-pen.mjs").PulsePen} PulsePen */
/** @typedef {import("./capnogram-strip.mjs").CapnogramStrip} CapnogramStrip */

const MARKUP = html`
  <header class="sheet-head">
    <h1 class="who"></h1>
    <div class="tools">
      <button type="button" class="plain count-start">Count breaths, 30 s</button>
      <button type="button" class="plain sound" aria-pressed="false">Sound is off</button>
      <button type="button" class="plain cut-open" aria-pressed="false" hidden>Cut open</button>
    </div>
    <p class="state" role="status"></p>
    <p class="line attend" role="status"></p>
    <p class="unsent attend" role="status"></p>
  </header>
  <section class="at-patient" aria-label="Measured">
    <div class="rate"></div>
    <div class="saturation"></div>
    <div class="pulse-place"><p class="pulse-words"></p><pulse-pen></pulse-pen></div>
  </section>
  <breathing-plate class="main-plate" view="seen" crop="bed"></breathing-plate>
  <section class="at-supply" aria-label="Flow and gauge"><breathing-plate class="supply-plate" view="seen" crop="supply"></breathing-plate><div class="readings"></div></section>
  <svg class="leaders" aria-hidden="true"><path class="fine"></path><g></g></svg>
  <section class="told" aria-label="What you see and hear, and what was found">
    <div class="counting" hidden></div>
    <h2 class="visually-hidden">What you see and hear</h2>
    <p class="seen"></p>
    <p class="whence" hidden></p>
    <div class="measures">
      <div class="capnogram-place" hidden><p class="capnogram-words"></p><capnogram-strip></capnogram-strip></div>
      <dl class="now-and-then"></dl>
    </div>
    <div class="order quiet"></div>
    <div class="gas-result"></div>
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
    this.#feedSupply(feed);
    this.#taps = tapQueue({
      station: feed.station, screen: feed.screen, t_ms: feed.clock.t_ms,
      changed: (s) => say(this.#one(".unsent"), [notYetSent(s.waiting), s.words].filter(Boolean).join(". ")),
      answered: (a) => { if (a.refused) say(this.#one(".unsent"), a.refused); },
    });
    let before = known.get();
    this.#ends.push(
      known.watch((k) => k, (k) => { this.#taps?.of(feed.attempt()); this.#tell(k); say(this.#one(".news"), newsWords(k, before) || (this.#one(".news").textContent ?? "")); before = k; }),
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
    this.#one(".cut-open").addEventListener("click", () => this.#cutOpen(this.#plate.getAttribute("view") !== "cut"));
    this.#one(".counting").addEventListener("click", (event) => this.#countPressed(event));
    this.#one(".counting").addEventListener("submit", (event) => this.#countSaid(event));
    /** @type {PulsePen} */ (this.#one("pulse-pen")).onBeat = () => this.#tone.beat();
  }

  /** The supply's own plate breathes only where it is on show. @param {Feed} feed */
  #feedSupply(feed) {
    const plate = /** @type {BreathingPlate} */ (this.#one(".supply-plate"));
    const look = () => {
      const shown = getComputedStyle(plate).display !== "none";
      if (shown && !plate.firstElementChild) { plate.feed(feed); plate.describe("The supply", ""); }
      else if (!shown && plate.firstElementChild) { plate.stop(); plate.replaceChildren(); }
    };
    const sizes = new ResizeObserver(look);
    sizes.observe(this);
    this.#ends.push(() => sizes.disconnect());
    look();
  }

  /** @param {string} selector @returns {HTMLElement} */
  #one(selector) {
    const found = this.querySelector(selector);
    if (!found) throw new Error(`The bedside's sheet has no ${selector}.`);
    return /** @type {HTMLElement} */ (found);
  }

  /** @returns {BreathingPlate} */
  get #plate() { return /** @type {BreathingPlate} */ (this.#one(".main-plate")); }

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
    this.#leadersDue = show(this.#one(".readings"), html`${[...flows(known), ...gauges(known)].filter((c) => c.anchor).map(supplyMarkup)}`) || this.#leadersDue;
    const p = pulse(known);
    show(this.#one(".pulse-words"), p ? html`<b>${p.value}</b> pulse ${p.lines[0]} <small>${p.lines[1]}</small>` : html``);
    const site = known.things?.probe?.site;
    this.#one("pulse-pen").toggleAttribute("hidden", !site);
    this.#one(".pulse-place").dataset.anchor = p && site ? site : "";
    show(this.#one(".now-and-then"), html`${measured(known).map((m) => html`<div><dt>${chem(m.name)}</dt><dd><b>${m.value}</b> ${m.unit}<small>${m.line}</small></dd></div>`)}`);
    this.#tellCapnogram(known);
    const spoken = said(known);
    show(this.#one(".seen"), html`<b>What you see and hear.</b> ${seenAndHeard(known).join(" ")}${spoken ? html` <q>${spoken.replace(/^\u201c|\u201d$/g, "")}</q>` : ""}`);
    const order = known.case?.order?.text;
    show(this.#one(".order"), order ? html`<p><b>Order.</b> ${chem(order)}</p>` : html``);
    this.#tellGas(known);
    /** @type {TimeRule} */ (this.#one("time-rule")).show({ minutes: known.station?.minutes ?? 15, flags: flagsOf(known) });
    this.#one(".count-start").toggleAttribute("hidden", !patient || known.clock?.state === "ended");
    this.#tellWhence(known);
  }

  /** Where the last breath came from: only where the station tells it, on the wall of a demonstration. @param {Known} known */
  #tellWhence(known) {
    const rows = ledger(known), cut = this.#plate.getAttribute("view") === "cut";
    if (cut && !rows.length && known.readings.inspired_ml === undefined) this.#cutOpen(false);
    this.#one(".cut-open").hidden = !rows.length && !cut;
    this.#one(".whence").hidden = !cut;
    if (cut) say(this.#one(".whence"), `The last breath: ${rows.map((r) => `${figure(r.ml)} mL ${r.words}`).join(", ")}.`);
  }

  /** @param {boolean} cut */
  #cutOpen(cut) {
    if (!this.#feed) return;
    this.#plate.setAttribute("view", cut ? "cut" : "seen");
    this.#plate.feed(this.#feed, gasShares);
    this.toggleAttribute("cut", cut);
    this.#one(".cut-open").setAttribute("aria-pressed", String(cut));
    say(this.#one(".cut-open"), cut ? "As seen" : "Cut open");
    this.#tell(this.#feed.known.get());
  }

  /** @param {Known} known */
  #tellGas(known) {
    const gas = bloodGas(known);
    show(this.#one(".gas-result"), gas
      ? html`<h3>${gas.head}</h3>${gas.rows.length ? html`<dl>${gas.rows.map(([name, value]) => html`<div><dt>${chem(name)}</dt><dd>${value}</dd></div>`)}</dl>` : ""}<p class="quiet">${chem(gas.words)}</p>`
      : html``);
  }

  /** @param {Known} known */
  #tellCapnogram(known) {
    const strip = /** @type {CapnogramStrip} */ (this.#one("capnogram-strip")), place = this.#one(".capnogram-place");
    const told = endTidal(known, strip.unit);
    if (place.hidden === Boolean(told)) this.#leadersDue = true;
    place.hidden = !told;
    strip.tell(known.readings);
    if (!told) return;
    show(this.#one(".capnogram-words"), html`<span>End-tidal ${chem("CO2")}</span><b>${told.value}${told.unit ? html` <span class="unit">${told.unit}</span>` : ""}</b><small>${told.lines.join(", ")}</small>`);
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

  /**
   * Words stand in the empty corner under a wall outlet. Where something stands or hangs there, or there is more to say than the corner holds, the plate moves up and the words get the width of the sheet.
   */
  #arrange() {
    const { things, look } = this.#feed?.known.get() ?? {}, told = this.#one(".told"), supplies = things?.supplies ?? [];
    const onFloor = supplies.length > 1 || supplies.some((s) => s.kind === "cylinder" || s.kind.endsWith("concentrator"));
    const worn = new Set((things?.devices ?? []).filter((d) => d.worn).map((d) => d.id));
    const hangsLow = Number(look?.recline_deg ?? 45) < LOW_DEG || (things?.tubes ?? []).some((t) => t.from && !worn.has(t.to ?? ""));
    const isSquare = this.clientWidth < SQUARE * this.clientHeight;
    this.toggleAttribute("square", isSquare);
    this.toggleAttribute("banded", onFloor || hangsLow || isSquare);
    this.toggleAttribute("much", false);
    if (!this.hasAttribute("banded") && told.scrollHeight > told.clientHeight + 2) this.toggleAttribute("banded", true);
    this.toggleAttribute("much", told.scrollHeight > told.clientHeight + 2);
    // What has to be scrolled can be reached by keyboard.
    if (told.scrollHeight > told.clientHeight + 2) told.tabIndex = 0;
    else told.removeAttribute("tabindex");
  }

  #drawLeaders() {
    this.#leadersDue = false;
    this.#arrange();
    const sheet = this.getBoundingClientRect(), plate = this.#plate.svg.getBoundingClientRect();
    /** @param {string} name */
    const spot = (name) => {
      const at = this.#plate.anchor(name);
      return at && { x: at.x + plate.left - sheet.left, y: at.y + plate.top - sheet.top };
    };
    const head = this.#one(".sheet-head"), below_px = head.offsetTop + head.offsetHeight, isCut = this.#plate.getAttribute("view") === "cut";
    let path = "", dots = "";
    if (!isCut) for (const element of /** @type {NodeListOf<HTMLElement>} */ (this.querySelectorAll("[data-anchor]"))) {
      const name = element.dataset.anchor ?? "", to = name ? spot(name) : null;
      if (!to || !element.offsetParent) continue;
      const reads = name.startsWith("float:") || name.startsWith("gauge:");
      if (reads && !placeBeside(element, to, below_px)) continue;
      if (name.startsWith("gauge:") || (!reads && name === "chest" && !this.#wide())) continue;
      const words = element.getBoundingClientRect();
      if (name === "chest" && to.x > words.right - sheet.left) continue; // it would cross the head
      path += leaderPath(
        { left: words.left - sheet.left, top: words.top - sheet.top, right: words.right - sheet.left, bottom: words.bottom - sheet.top },
        reads ? { x: to.x - BALL_PX, y: to.y } : to,
      );
      if (!reads) dots += `<circle class="solid" cx="${to.x.toFixed(1)}" cy="${to.y.toFixed(1)}" r="4"></circle>`;
    }
    this.#one(".leaders path").setAttribute("d", path);
    this.#one(".leaders g").innerHTML = dots;
  }

  /** Whether everything is on one sheet. */
  #wide() { return getComputedStyle(this.#one(".told")).position === "absolute"; }

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

/** A sheet less wide than this has no empty corner at all. [widths to a height] */
const SQUARE = 1.52;
/** With the back-rest lower than this the hose sags into the corner where the words would stand. [degrees] */
const LOW_DEG = 38;
/** A line that reads a float ends before it, so that the float stays to be seen. [px] */
const BALL_PX = 14;

/**
 * Stands a supply's caption so that its number is level with what it reads; false where captions follow
 * each other and no line is drawn.
 * @param {HTMLElement} value @param {{ x: number, y: number }} to @param {number} below_px  where the patient's name ends
 */
function placeBeside(value, to, below_px) {
  const caption = /** @type {HTMLElement | null} */ (value.closest(".caption"));
  if (!caption || getComputedStyle(caption).position !== "absolute") return false;
  if (value.dataset.anchor?.startsWith("gauge:")) {
    caption.style.left = `${(to.x - caption.offsetWidth / 2).toFixed(0)}px`;
    caption.style.top = `${(to.y - GAUGE_PX - caption.offsetHeight).toFixed(0)}px`;
    return true;
  }
  const middle = value.offsetTop + value.offsetHeight * LEVEL;
  caption.style.top = `${Math.max(below_px, to.y - middle).toFixed(0)}px`;
  return true;
}
/** From the middle of a gauge to the words above it. [px] */
const GAUGE_PX = 36;
/** Where in the height of the number the line meets it: low, so that the number stands clear of the outlet. */
const LEVEL = 0.88;

/** @param {Caption} c */
const captionMarkup = (c) => html`<dl class="caption ${c.trust}" data-caption="${c.id}">
  <dt>${chem(c.name)}</dt><dd><span class="value">${c.value}${c.unit === "%" ? html`<span class="unit proportional">%</span>` : ""}</span>
  <span class="lines" ${c.anchor && c.id !== "saturation" ? html`data-anchor="${c.anchor}"` : ""}>${c.lines.map((l) => html`<span>${l}</span> `)}</span></dd></dl>`;

/** What is read at the supply: how, then the number; a gauge in small, beside its dial. @param {Caption} c */
const supplyMarkup = (c) => c.name === "Flow"
  ? html`<dl class="caption ${c.main ? "" : "beside"}" data-caption="${c.id}"><dt><span class="visually-hidden">Flow, </span>${c.gas ? html`<b>${c.gas}</b>, ` : ""}<b>${c.unit}</b>, ${c.lines.join(" ")}</dt><dd><span class="value" data-anchor="${c.anchor}">${c.value}</span></dd></dl>`
  : html`<dl class="caption gauge" data-caption="${c.id}"><dt class="visually-hidden">${c.name}</dt><dd data-anchor="${c.anchor}"><b>${c.value}</b> ${c.unit}<small>${c.lines.join(" ")}</small></dd></dl>`;

/** @param {Element} place @param {Caption | null} caption */
const showCaption = (place, caption) => show(place, caption ? captionMarkup(caption) : html``);

customElements.define("bedside-sheet", BedsideSheet);
