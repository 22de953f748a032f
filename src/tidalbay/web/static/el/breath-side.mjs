// @ts-check
// <breath-side>: one breath of the explorer. What is asked on one hand, what the breath holds on the other.

import { ledgerBar, kinds } from "../draw/gas.mjs";
import { plate } from "../draw/plate.mjs";
import { gases, plotPaths, scales, ticks } from "../lib/breath-answer.mjs";
import { drawn, html, show } from "../lib/html.mjs";

/** @typedef {{id: string, words: string, max_lpm: number, is_mask: boolean, settings: Record<string, number>, discs: number, blends: boolean}} Device */
/** @typedef {{devices: Device[], patients: {id: string, words: string}[], sliders: Record<string, [number, number, number, number]>}} Choices */
/** @typedef {import("../lib/breath-answer.mjs").CurvePoint} CurvePoint */
/** @typedef {{device: string, flow_lpm: number, fio2_pct: number, low_pct: number, high_pct: number, room_air_pct: number, throat_mean_pct: number, inspired_ml: number, ledger: {origin: string, words: string, gas: string, ml: number}[], gas: any, bag_min_ml: number | null, why: string, warnings: string[], curve: CurvePoint[], caution: string}} Answer */

const BOX = { width: 460, height: 204, left: 40, right: 14, top: 28, bottom: 40 };
/** Which patient is drawn for whom: a child's mask belongs on a child. @type {Record<string, {age_years: number, sex: string}>} */
const DRAWN = { adult: { age_years: 44, sex: "female" }, child: { age_years: 6, sex: "male" }, infant: { age_years: 0.7, sex: "female" } };

const WORDS = { rate_per_min: "Breaths a minute", tidal_ml: "Size of a breath", mouth_share: "Mouth open", fit: "Fit of the mask" };
/** @param {string} name @param {number} v */
function spoken(name, v) {
  if (name === "tidal_ml") return `${v} mL`;
  if (name === "mouth_share") return v === 0 ? "shut" : `${Math.round(v * 100)} %`;
  if (name === "fit") return v < 0.25 ? "loose" : v > 0.75 ? "tight" : "snug";
  return String(v);
}

export class BreathSide extends HTMLElement {
  /** @type {Choices | null} */ #choices = null;
  /** @type {URLSearchParams} */ #asked = new URLSearchParams();
  /** @type {ReturnType<typeof plate> | null} */ #plate = null;
  #waiting = 0;
  #turn = 0;
  /** @type {Answer | null} */ answer = null;

  /** @param {Choices} choices @param {URLSearchParams} said */
  start(choices, said) {
    this.#choices = choices;
    this.#asked = new URLSearchParams(said);
    if (!this.#device()) this.#asked.set("device", "nasal_cannula");
    if (!this.#asked.has("flow_lpm")) this.#asked.set("flow_lpm", "4");
    this.#build();
    this.#ask(0);
  }

  asked() { return new URLSearchParams(this.#asked); }

  #device() { return this.#choices?.devices.find((d) => d.id === this.#asked.get("device")); }

  #build() {
    const name = this.getAttribute("name"), choices = this.#choices;
    if (!choices) return;
    show(this, html`
      <h2>${this.getAttribute("heading")}</h2>
      <div class="parts">
        <div class="picture"><svg class="plate" role="img" aria-labelledby="${name}-picture"></svg><p id="${name}-picture" class="small quiet"></p></div>
        <div class="holds" aria-live="polite">
          <p class="number"><span class="numeral proportional" data-put="fio2"></span> <span data-put="band"></span></p>
          <h3 data-put="drawn"></h3>
          <svg class="bar plate" viewBox="-1 -1 442 42" aria-hidden="true"></svg>
          <dl class="ledger"></dl>
          <p class="why" data-put="why"></p>
          <ul class="warnings attend"></ul>
        </div>
        <form class="asks">
          <label class="field" for="${name}-device">Device
            <select id="${name}-device" name="device">${choices.devices.map((d) => html`<option value="${d.id}">${d.words[0]?.toUpperCase()}${d.words.slice(1)}</option>`)}</select></label>
          <div class="own"></div>
          ${Object.keys(WORDS).map((key) => this.#slider(key))}
          <label class="field" for="${name}-patient">Whose lungs
            <select id="${name}-patient" name="patient">${choices.patients.map((p) => html`<option value="${p.id}">${p.words[0]?.toUpperCase()}${p.words.slice(1)}</option>`)}</select></label>
        </form>
        <figure class="curve"><svg viewBox="0 0 ${BOX.width} ${BOX.height}" role="img"></svg><figcaption class="small quiet">Line: this way of breathing. Band: slower or faster, shallower or deeper, the same person.</figcaption></figure>
      </div>`);
    const form = /** @type {HTMLFormElement} */ (this.querySelector("form"));
    form.addEventListener("submit", (e) => e.preventDefault());
    form.addEventListener("input", (e) => this.#changed(/** @type {HTMLInputElement} */ (e.target)));
    this.#put("device"); this.#put("patient", "healthy_adult");
    for (const key of Object.keys(WORDS)) this.#put(key);
    this.#ownFields();
    const svg = /** @type {SVGSVGElement} */ (this.querySelector(".picture svg"));
    this.#plate = plate(svg, { view: "cut", crop: "face" });
  }

  /** @param {string} key */
  #slider(key) {
    const [low, high, step, usual] = this.#choices?.sliders[key] ?? [0, 1, 0.1, 0], id = `${this.getAttribute("name")}-${key}`;
    const word = /** @type {Record<string, string>} */ (WORDS)[key];
    return html`<div class="slider" data-for="${key}"><label for="${id}">${word}</label><input type="range" id="${id}" name="${key}" min="${low}" max="${high}" step="${step}" value="${usual}"><output for="${id}">${spoken(key, usual)}</output></div>`;
  }

  /** Puts what is asked into a field. @param {string} key @param {string} [usual] */
  #put(key, usual) {
    const field = /** @type {HTMLInputElement | null} */ (this.querySelector(`[name="${key}"]`)), said = this.#asked.get(key) ?? usual;
    if (field && said !== undefined && said !== null) field.value = said;
    if (field?.type === "range") this.#say(field);
  }

  /** @param {HTMLInputElement} field */
  #say(field) {
    const words = spoken(field.name, Number(field.value)), out = field.parentElement?.querySelector("output");
    field.setAttribute("aria-valuetext", field.name === "flow_lpm" ? `${field.value} litres a minute` : words);
    if (out) out.textContent = field.name === "flow_lpm" ? `${field.value} L/min` : words;
  }

  /** Fields that only this device has: its flow, a valve, discs, a blender, a fit. */
  #ownFields() {
    const d = this.#device(), name = this.getAttribute("name"), own = /** @type {HTMLElement} */ (this.querySelector(".own"));
    if (!d) return;
    const flow = Math.min(Number(this.#asked.get("flow_lpm") ?? 4), d.max_lpm), step = d.max_lpm <= 5 ? 0.25 : d.max_lpm > 20 ? 5 : 0.5;
    this.#asked.set("flow_lpm", String(flow));
    const pct = this.#asked.get("setting_pct") ?? "28", discs = this.#asked.get("valves") ?? String(d.discs), share = this.#asked.get("fio2_pct") ?? "40";
    show(own, html`
      <div class="slider"><label for="${name}-flow">Flow</label><input type="range" id="${name}-flow" name="flow_lpm" min="0" max="${d.max_lpm}" step="${step}" value="${flow}"><output for="${name}-flow">${flow} L/min</output></div>
      ${Object.keys(d.settings).length ? html`<label class="field" for="${name}-setting">Valve<select id="${name}-setting" name="setting_pct">${Object.entries(d.settings).map(([p, lpm]) => html`<option value="${p}" ${p === pct ? drawn("selected") : ""}>${p} %, printed flow ${lpm} L/min</option>`)}</select></label>` : ""}
      ${d.discs ? html`<label class="field" for="${name}-valves">Discs over the side ports<select id="${name}-valves" name="valves">${Array.from({ length: d.discs + 1 }, (_, i) => d.discs - i).map((n) => html`<option value="${n}" ${String(n) === discs ? drawn("selected") : ""}>${n === 0 ? "none" : n}</option>`)}</select></label>` : ""}
      ${d.blends ? html`<div class="slider"><label for="${name}-share">Oxygen set</label><input type="range" id="${name}-share" name="fio2_pct" min="21" max="100" step="1" value="${share}"><output for="${name}-share">${share} %</output></div>` : ""}`);
    const fit = /** @type {HTMLElement | null} */ (this.querySelector('[data-for="fit"]'));
    if (fit) fit.hidden = !d.is_mask;
    for (const field of own.querySelectorAll("select, input")) {
      const f = /** @type {HTMLInputElement} */ (field);
      if (f.name !== "flow_lpm") this.#asked.set(f.name, f.value);
      if (f.type === "range" && f.name === "flow_lpm") this.#say(f);
    }
  }

  /** @param {HTMLInputElement} field */
  #changed(field) {
    this.#asked.set(field.name, field.value);
    if (field.type === "range") {
      if (field.name === "fio2_pct") { const out = field.parentElement?.querySelector("output"); if (out) out.textContent = `${field.value} %`; }
      else this.#say(field);
    }
    if (field.name === "device") {
      for (const gone of ["setting_pct", "valves", "fio2_pct"]) this.#asked.delete(gone);
      this.#ownFields();
    }
    this.dispatchEvent(new CustomEvent("asked"));
    this.#ask(field.type === "range" ? 60 : 0);
  }

  /** @param {number} ms  how long to wait for the hand to come to rest */
  #ask(ms) {
    clearTimeout(this.#waiting);
    this.#waiting = window.setTimeout(() => this.#fetch(), ms);
  }

  async #fetch() {
    const turn = ++this.#turn;
    let reply;
    try {
      reply = await fetch(`/breath/answer?${this.#asked}`);
    } catch {
      this.dispatchEvent(new CustomEvent("preparing", { detail: "The lab cannot be reached; what you see is the last answer." }));
      return;
    }
    if (turn !== this.#turn) return;
    const said = await reply.json();
    if (reply.status === 503) {
      this.dispatchEvent(new CustomEvent("preparing", { detail: said.sentence }));
      this.#ask(1500);
      return;
    }
    if (!reply.ok) { show(/** @type {HTMLElement} */ (this.querySelector(".warnings")), html`<li>${said.sentence}</li>`); return; }
    this.answer = said;
    this.#tell(said);
    this.dispatchEvent(new CustomEvent("answered"));
  }

  /** @param {Answer} a */
  #tell(a) {
    /** @param {string} key @param {any} text */
    const put = (key, text) => { const at = this.querySelector(`[data-put="${key}"]`); if (at) at.textContent = text; };
    put("fio2", `${Math.round(a.fio2_pct)} %`);
    put("band", `oxygen reaches the windpipe; ${Math.round(a.low_pct)} to ${Math.round(a.high_pct)} % as breaths differ. Breathing room air it is ${Math.round(a.room_air_pct)} %.`);
    put("drawn", `${a.inspired_ml} mL drawn in, by where it came from`);
    put("why", a.why);
    const bar = /** @type {SVGElement} */ (this.querySelector(".bar"));
    bar.innerHTML = ledgerBar(gases(a.ledger), { width: 440, height: 40 });
    show(/** @type {HTMLElement} */ (this.querySelector(".ledger")), html`${a.ledger.map((r) => html`<div class="${r.gas}"><dt><span class="gas" aria-hidden="true"></span>${r.words} <span class="visually-hidden">(${kinds[/** @type {"room"} */ (r.gas)]})</span></dt><dd>${r.ml} mL</dd></div>`)}`);
    show(/** @type {HTMLElement} */ (this.querySelector(".warnings")), html`${a.warnings.map((w) => html`<li>${w}</li>`)}`);
    this.#picture(a);
    this.#curve(a);
  }

  /** @param {Answer} a */
  #picture(a) {
    const d = this.#device(), who = a.device.startsWith("infant") ? "infant" : a.device.startsWith("child") ? "child" : "adult";
    const discs = Number(this.#asked.get("valves") ?? d?.discs ?? 0), fit = Number(this.#asked.get("fit") ?? 0.5);
    const device = { id: "device", kind: a.device, worn: true, snug: fit < 0.25 ? "loose" : fit > 0.75 ? "tight" : "snug", prongs: "down", port_discs: discs, bag_valve: true, bag_twisted: false, clip_pinched: true, entrainment_pct: Number(this.#asked.get("setting_pct") ?? 0), ports_covered_frac: 0, misting: false, sputtering: false, padded: [] };
    const things = { supplies: [], flowmeters: [], tubes: [], devices: [device], probe: null };
    this.#plate?.scene(/** @type {any} */ ({ patient: { ...DRAWN[who], skin_tone: 2 }, look: { posture: "upright" }, things, gas: a.gas }));
    const full = a.bag_min_ml === null ? 1 : Math.min(1, a.bag_min_ml / 750);
    this.#plate?.breathe({ air: 0.35, bag: { device: full }, t_s: 0 });
    const at = this.querySelector(".picture p");
    if (at) at.textContent = `A diagram: dots are supplied gas, slanted strokes room air, open rings expired gas. Here: ${d?.words ?? ""} at ${a.flow_lpm} L/min.`;
  }

  /** @param {Answer} a */
  #curve(a) {
    const svg = /** @type {SVGElement} */ (this.querySelector(".curve svg"));
    if (a.curve.length < 2) { svg.innerHTML = ""; return; }
    const { x, y, last, low, high } = scales(a.curve, BOX), { line, band } = plotPaths(a.curve, BOX);
    const ups = ticks(low, high, 5).map((v) => `<path class="grid" d="M${BOX.left} ${y(v)}H${BOX.width - BOX.right}"/><text x="${BOX.left - 6}" y="${y(v) + 4}" text-anchor="end">${v}</text>`).join("");
    const along = ticks(0, last, 6).map((v) => `<path class="grid" d="M${x(v)} ${BOX.height - BOX.bottom}v5"/><text x="${x(v)}" y="${BOX.height - BOX.bottom + 19}" text-anchor="middle">${v}</text>`).join("");
    svg.innerHTML = `${ups}<path class="band" d="${band}"/><path class="line" d="${line}"/>${along}<path class="axis" d="M${BOX.left} ${BOX.height - BOX.bottom}H${BOX.width - BOX.right}"/><circle class="here" cx="${x(a.flow_lpm)}" cy="${y(a.fio2_pct)}" r="5"/><text x="${BOX.width - BOX.right}" y="${BOX.height - 6}" text-anchor="end">flow, L/min</text><text x="4" y="13">oxygen, %</text>`;
    svg.setAttribute("aria-label", `Oxygen in the breath over flow: ${a.curve.map((p) => `${p.flow_lpm} L/min ${Math.round(p.pct)} %`).join(", ")}.`);
  }
}
customElements.define("breath-side", BreathSide);
