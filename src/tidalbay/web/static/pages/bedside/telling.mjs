// @ts-check
// What is seen and heard, in sentences, and the plate in words for those who do not see it. Pure: it says what findings
// and things say, in an order that a nurse would choose.

import { ageWords, clockWords, figure, isNumber, list, plain, sentence } from "../../lib/words.mjs";

/** @typedef {import("../../lib/store.mjs").Known} Known */
/** @typedef {import("../../lib/wire.mjs").Breath} Breath */

/** What eyes and ears find from the foot of the bed comes first; what hands found is told with its age. */
const FIRST = ["effort", "speech", "alertness", "colour", "sweat"];
/** Below this a bag is seen to run short; the same third that is taught at the bedside (common practice, no source). */
const LOW_BAG_PCT = 33, EMPTY_BAG_PCT = 8;

/** Words of devices as they are said on a ward. */
export const deviceWords = (/** @type {string} */ kind) => plain(kind).replace("non rebreathing", "non-rebreathing").replace("air entrainment", "air-entrainment");

/** Sentences of findings, in order; what the patient says comes last. @param {Known} known @returns {string[]} */
export function seenAndHeard(known) {
  const at = new Map(known.findings.map((f) => [f.what, f]));
  const order = [...FIRST, ...[...at.keys()].filter((what) => !FIRST.includes(what) && what !== "says")];
  const now_s = (known.clock?.t_ms ?? 0) / 1000;
  const told = order.flatMap((what) => {
    const found = at.get(what);
    if (!found) return [];
    const at_s = /** @type {any} */ (found).at_s;
    return [isNumber(at_s) ? `${sentence(found.words).replace(/\.$/, "")}, found ${ageWords(now_s - at_s)}.` : sentence(found.words)];
  });
  return [...told, ...bagWords(known), ...soundWords(known)];
}

/** What the patient says, in quotation marks, or nothing. @param {Known} known */
export function said(known) {
  const words = known.findings.find((f) => f.what === "says")?.words ?? "";
  return words.startsWith("\u201c") ? words : "";
}

/** What a bag does in this breath. @param {Known} known @returns {string[]} */
export function bagWords({ breath, things }) {
  return Object.entries(breath?.bag_pct ?? {}).flatMap(([id, samples]) => {
    if (!things?.devices.some((d) => d.id === id && d.worn) || !samples.length) return [];
    const least = Math.min(...samples), most = Math.max(...samples);
    if (most < EMPTY_BAG_PCT) return ["The bag hangs empty."];
    if (least < EMPTY_BAG_PCT) return ["The bag empties with the breath in."];
    if (least < LOW_BAG_PCT) return ["The bag sinks below a third with the breath in."];
    return [];
  });
}

/** What is heard of the equipment. @param {Known} known @returns {string[]} */
export function soundWords({ things }) {
  if (!things) return [];
  const out = [];
  const any = (/** @type {readonly any[]} */ parts, /** @type {string} */ what) => parts.some((p) => p[what] === true);
  if (any([...things.supplies, ...things.flowmeters, ...things.tubes, ...things.devices], "hisses")) out.push("Gas hisses out somewhere.");
  if (any(things.tubes, "gurgles")) out.push("Water gurgles in the tubing.");
  if (any(things.flowmeters, "whistles")) out.push("The humidifier's valve whistles.");
  if (any(things.devices, "sputtering")) out.push("The cup sputters.");
  for (const s of things.supplies) {
    const alarms = /** @type {any} */ (s).alarms;
    if (Array.isArray(alarms) && alarms.length) out.push(sentence(`the ${plain(s.kind)} sounds: ${list(alarms.map((a) => plain(String(a))))}`));
    else if (alarms === true) out.push(sentence(`the ${plain(s.kind)} sounds its alarm`));
  }
  return out;
}

/** "Mr T. Oakley, 58, bay 2, bed 5". @param {any} patient */
export const whoWords = (patient) =>
  patient ? [patient.name, isNumber(patient.age_years) ? ageYears(patient.age_years) : "", patient.bed].filter(Boolean).join(", ") : "";

/** @param {number} years */
const ageYears = (years) => (years < 2 ? `${Math.max(1, Math.round(years * 12))} months` : figure(Math.floor(years)));

/** The plate in words: who lies how, wearing what, joined to what. @param {Known} known @returns {{ title: string, text: string }} */
export function plateWords(known) {
  const { things, look } = known, patient = known.case?.patient;
  if (!patient || !things) return { title: "The bed", text: "" };
  const worn = things.devices.filter((d) => d.worn);
  const posture = look?.posture ? `${plain(String(look.posture))}, head of the bed at ${figure(Number(look.recline_deg ?? 0))} degrees` : "";
  const parts = [sentence(posture)];
  parts.push(worn.length ? `Wears ${list(worn.map((d) => withHow(d)))}.` : "Wears no device.");
  for (const tube of things.tubes) parts.push(tubeWords(tube, things));
  for (const meter of things.flowmeters) if (meter.bubbling) parts.push("Bubbles rise in the humidifier.");
  if (things.devices.some((d) => d.misting)) parts.push("Mist rises from the cup.");
  for (const s of things.supplies) if (s.kind === "cylinder") parts.push(`The cylinder's valve is ${s.valve_open ? "open" : "shut"}${s.secured ? "" : ", and it is not secured"}.`);
  for (const spot of known.inspected) parts.push(`${sentence(plain(spot.site)).replace(/\.$/, "")}: ${sentence(spot.words)}`);
  return { title: `${whoWords(patient)}, in bed`, text: parts.filter(Boolean).join(" ") };
}

/** @param {any} d */
function withHow(d) {
  const how = [];
  if (d.prongs && d.prongs !== "down") how.push({ up: "prongs upward", one_out: "one prong out", below: "prongs below the nose", cheek: "prongs on the cheek" }[String(d.prongs)] ?? "");
  if (d.snug && d.snug !== "snug") how.push(d.snug);
  if (isNumber(d.entrainment_pct)) how.push(`set for ${figure(d.entrainment_pct)} %`);
  return `${/^[aeiou]/.test(d.kind) ? "an" : "a"} ${deviceWords(d.kind)}${how.length ? ` (${how.join(", ")})` : ""}`;
}

/** @param {any} tube @param {import("../../lib/wire.mjs").Things} things */
function tubeWords(tube, things) {
  const device = things.devices.find((d) => d.id === tube.to), meter = things.flowmeters.find((m) => m.id === tube.from);
  const supply = things.supplies.find((s) => s.id === (meter?.supply ?? tube.from));
  const from = supply ? `the ${supply.gas_name ?? plain(supply.kind)} ${supply.kind === "cylinder" ? "cylinder" : meter ? "flowmeter" : "supply"}` : "nothing";
  const to = device ? `the ${deviceWords(device.kind)}` : "nothing: its end is open";
  return `Tubing runs from ${from} to ${to}${tube.kinked ? "; it is kinked" : ""}.`;
}

/**
 * What a listener should hear now that was not so before: changed findings, and a signal that turned.
 * @param {Known} known @param {Known} before @returns {string}
 */
export function newsWords(known, before) {
  if (!before.findings.length && before.readings.oximeter_signal === undefined) return "";
  const old = new Map(before.findings.map((f) => [f.what, f.words]));
  const changed = known.findings.filter((f) => old.get(f.what) !== f.words).map((f) => sentence(f.words));
  const signal = known.readings.oximeter_signal, was = before.readings.oximeter_signal;
  if (signal !== was && typeof signal === "string") changed.push(sentence(`oximeter: ${signal}`));
  return changed.join(" ");
}

/** Flags of the rule: what was done, in its own words; the clock's own entries are not acts of care. @param {Known} known */
export function flagsOf(known) {
  return known.entries
    .filter((e) => !e.taken_back && !CLOCK_ACTS.has(e.act))
    .map((e) => ({ at_s: e.t_ms / 1000, label: flagLabel(e), n: e.n }));
}

const CLOCK_ACTS = new Set(["attempt_started", "attempt_ended", "paused", "resumed", "pace_set", "stepped", "taken_back", "stopped_kindly"]);
const LONGEST = 30;

/** @param {import("../../lib/wire.mjs").EntrySaid} e */
export function flagLabel(e) {
  const manner = e.manner === "said" ? " (said)" : e.manner === "prompted" ? " (prompted)" : "";
  const text = sentence(e.sentence ?? e.button ?? plain(e.act)).replace(/\.$/, "");
  return (text.length > LONGEST ? text.slice(0, LONGEST - 1).trimEnd() + "\u2026" : text) + manner;
}

/** Whether everything is stopped, kindly: nothing goes on and nothing is shown. @param {Known} known */
export const stoppedKindly = (known) => known.station?.stopped_kindly === true;

/** What state the station is in, if it is not simply running. @param {Known} known */
export function stateWords(known) {
  const state = known.clock?.state ?? known.station?.state, at = clockWords((known.clock?.t_ms ?? 0) / 1000);
  if (known.station?.state === "empty") return "No case is on this station yet.";
  if (known.station?.state === "ended" || state === "ended") return `The attempt has ended, at ${at}.`;
  if (known.station?.state === "ready") return "Ready. Time has not begun.";
  if (state === "paused") return `Time stands still, at ${at}.`;
  if ((known.clock?.times ?? 1) !== 1) return `Time runs ${known.clock?.times} times as fast.`;
  return "";
}
