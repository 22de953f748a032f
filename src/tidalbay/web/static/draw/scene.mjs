// @ts-check
// From what a station tells to what a drawing depends on.
import { clamp } from "./geometry.mjs";
import { resting, usualRecline_deg } from "./posture.mjs";

/** @typedef {import("./posture.mjs").PatientState} PatientState */
/** @typedef {import("./piece.mjs").SupplyState} SupplyState */
/** @typedef {import("./piece.mjs").FlowmeterState} FlowmeterState */
/** @typedef {import("./piece.mjs").TubeState} TubeState */
/** @typedef {import("./piece.mjs").DeviceState} DeviceState */
/** @typedef {import("./piece.mjs").GasShares} GasShares */
/** @typedef {{age_years?: number, sex?: string, build?: string, skin_tone?: number, hair?: string, hair_tone?: string}} PatientSaid */
/** @typedef {{effort?: number, blue?: number, lids?: number, nod_deg?: number, mouth?: number, sweat?: number, recline_deg?: number, posture?: string}} LookSaid */
/** @typedef {{supplies?: readonly SupplyState[], flowmeters?: readonly FlowmeterState[], tubes?: readonly TubeState[], devices?: readonly DeviceState[], probe?: {site?: string | null} | null, sampling_line?: {site?: string | null} | null}} ThingsSaid */
/** @typedef {{site: string, stage?: number, at_s?: number}} Inspected */
/** @typedef {{nose?: GasShares, throat?: GasShares, mouth?: GasShares, windpipe?: GasShares, lung?: GasShares, bag?: GasShares}} GasPlaces */
/** @typedef {{patient: PatientSaid, look?: LookSaid, things?: ThingsSaid, inspected?: readonly Inspected[], gas?: GasPlaces}} SceneSaid */

/** One of the named, or the usual. @template {string} T @param {readonly T[]} known @param {string | undefined} said @param {T} usual @returns {T} */
const oneOf = (known, said, usual) => known.find((k) => k === said) ?? usual;
/** Rounded, so that a drawing is not built anew for a change nobody sees. @param {number | undefined} v @param {number} step @param {number} usual */
const coarse = (v, step, usual) => Math.round((v ?? usual) / step) * step;

/** @param {PatientSaid} p @returns {PatientState["build"]} */
function buildOf(p) {
  const age = p.age_years ?? 50, usual = age < 2 ? "infant" : age < 13 ? "child" : p.sex === "male" ? "man" : "woman";
  return oneOf(["woman", "man", "child", "infant"], p.build, usual);
}

/** @param {PatientSaid} patient @param {LookSaid} [look] @returns {PatientState} */
export function patientState(patient, look = {}) {
  const build = buildOf(patient), told = oneOf(["flat", "propped", "upright", "sitting_out", "side"], look.posture, "upright");
  // Nobody sits an infant of nine months alone in a chair: out of bed, it is drawn held upright.
  const held = build === "infant" && told === "sitting_out", posture = held ? "upright" : told;
  const usualHair = build === "infant" ? "wisps" : build === "woman" ? "bob" : "short", angle = held ? 70 : posture === "sitting_out" || posture === "side" ? undefined : look.recline_deg;
  const low = posture === "flat" ? 0 : 15;
  return {
    ...resting, build, posture,
    recline_deg: posture === "sitting_out" ? usualRecline_deg.sitting_out : clamp(coarse(angle, 1, usualRecline_deg[posture]), low, 80),
    effort: clamp(coarse(look.effort, 0.05, 0)), blue: clamp(coarse(look.blue, 0.05, 0)), lids: clamp(coarse(look.lids, 0.1, 0.1)), nod_deg: clamp(coarse(look.nod_deg, 1, 0), 0, 30),
    mouth: clamp(coarse(look.mouth, 0.1, 0)), sweat: clamp(coarse(look.sweat, 0.2, 0)),
    hair: oneOf(["bob", "short", "long", "curls", "wisps", "none"], patient.hair, usualHair), hair_tone: oneOf(["brown", "dark", "grey", "fair"], patient.hair_tone, (patient.age_years ?? 40) > 62 ? "grey" : "brown"),
    tone: /** @type {PatientState["tone"]} */ (clamp(Math.round(patient.skin_tone ?? 2), 1, 5)),
  };
}

/** Flowmeters, or supplies without one, whose tubing goes to something worn: oxygen before air, since its flow is the ordered one. @param {ThingsSaid} t @returns {{ from: string, supply: string }[]} */
export function feeds(t) {
  const worn = new Set((t.devices ?? []).filter((d) => d.worn !== false).map((d) => d.id));
  const gas = (/** @type {string} */ id) => t.supplies?.find((s) => s.id === id)?.gas_name ?? "";
  const found = (t.tubes ?? []).flatMap((x) => { const supply = x.from && x.to && worn.has(x.to) ? supplyOf(t, x.from) : null; return x.from && supply ? [{ from: x.from, supply }] : []; });
  return found.sort((a, b) => Number(gas(a.supply).includes("AIR")) - Number(gas(b.supply).includes("AIR")));
}

/** @param {ThingsSaid} t @param {string} id  of a flowmeter or a supply */
const supplyOf = (t, id) => t.flowmeters?.find((m) => m.id === id)?.supply ?? (t.supplies?.some((s) => s.id === id) ? id : null);

/** The supply that feeds a worn device, else the first that has a flowmeter. @param {ThingsSaid} t @returns {string | null} */
export function feeding(t) {
  const [first] = feeds(t), loose = (t.tubes ?? []).find((x) => x.from)?.from;
  return first?.supply ?? (loose ? supplyOf(t, loose) : null) ?? t.flowmeters?.[0]?.supply ?? t.supplies?.[0]?.id ?? null;
}
