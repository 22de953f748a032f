// @ts-check
/**
 * What a tap at each of the twelve places would record now. The place stays; the words and the object follow the
 * equipment. One offer: one tap. Several: one more choice. None: the place says why.
 */
import {
  belongs, deviceWords, feeding, gasOf, meterMeant, meterWords, sortOfSupply, supplyWords,
} from "../../acts/things.mjs";
import { plain as wordsOf } from "../../lib/words.mjs";

/**
 * @typedef {import("../../acts/things.mjs").Things} Things
 * @typedef {import("../../acts/things.mjs").Device} Device
 * @typedef {import("../../acts/things.mjs").DeviceKinds} DeviceKinds
 * @typedef {{act: string, on?: string, values?: Record<string, unknown>}} Act
 * @typedef {{words: string, acts: Act[]}} Offer
 * @typedef {{act: string} & Record<string, unknown>} Written
 * @typedef {{family: string, button?: string, about?: string, picture?: string, acts: Written[], asks?: string}} ByDevice
 * @typedef {{place: number, id: string, shape: string, picture: string, button: string, about: string, acts: Written[],
 *   by_device?: ByDevice[], by_supply?: Record<string, {act: string}>, chips_lpm?: number[], asks?: string,
 *   on?: {act: string}, off?: {act: string}, take?: {act: string},
 *   numbers?: {what: string, words: string, unit: string, low: number, high: number, shown: string}[]}} Place
 * @typedef {{name: string, type: string, unit?: string, low?: number, high?: number, step?: number,
 *   usual?: (number|string)[], choices?: string[], optional?: boolean}} Argument
 * @typedef {{id: string, group: string, button: string, arguments: Argument[], on: string[], by: string[],
 *   words: string[], plausible: string, brings?: boolean}} ActKind
 * @typedef {{name: string, kind?: string, gas?: string}} Picture  a round picture of the place to touch
 * @typedef {{button: string, about: string, picture: Picture, offers: Offer[], why?: string}} Face
 * @typedef {{things: Things, devices: DeviceKinds, acts: Map<string, ActKind>}} World
 */

/** What stands at a place now.
 * @param {Place} place @param {World} world @returns {Face} */
export function faceOf(place, world) {
  const shape = SHAPES[place.shape];
  if (!shape) throw new Error(`Place ${place.id} has the shape ${place.shape}; shapes are ${Object.keys(SHAPES).join(", ")}.`);
  return shape(place, world);
}

/** @type {Record<string, (place: Place, world: World) => Face>} */
const SHAPES = { once, supply, flow, proof, device, fit, numbers: plain, who };

/** @param {Place} place @returns {Face} */
function plain(place) {
  return { button: place.button, about: place.about, picture: { name: place.picture }, offers: [] };
}

/** @param {Place} place @returns {Face} */
function once(place) {
  return { ...plain(place), offers: [{ words: place.button, acts: place.acts.map((each) => actOf(each)) }] };
}

/** @param {Place} place @param {World} world @returns {Face} */
function supply(place, { things, devices }) {
  const offers = [];
  for (const source of things.supplies) {
    const read = place.by_supply?.[sortOfSupply(source)];
    if (!read) continue;
    const values = read.act === "outlet_chosen" ? { gas: gasOf(source) } : {};
    const label = actOf({ act: read.act, ...values }, source.id);
    const meter = things.flowmeters.find((each) => each.supply === source.id);
    const loose = things.devices.filter((each) => feeding(each, things)?.supply !== source.id);
    const words = upper(supplyWords(source, things));
    const fed = things.devices.find((each) => feeding(each, things)?.supply === source.id);
    if (fed || !meter) offers.push({ words: fed ? `${words}, ${deviceWords(fed, things, devices)} connected` : `${words}, label only`, acts: [label] });
    if (!meter) continue;
    for (const each of loose)
      offers.push({
        words: `${words} to ${deviceWords(each, things, devices)}`,
        acts: [label, { act: "tubing_connected", values: { from: meter.id, to: each.id } }],
      });
    if (!fed && loose.length === 0) offers.push({ words: `${words}, label only`, acts: [label] });
  }
  const why = offers.length ? undefined : "No outlet, cylinder or concentrator is here yet; see All acts.";
  const [single] = things.supplies;
  const gas = single && things.supplies.length === 1 ? single.gas_name : undefined;
  return { ...plain(place), picture: { name: place.picture, ...(gas ? { gas } : {}) }, offers, why };
}

/** @param {Place} place @param {World} world @returns {Face} */
function flow(place, { things }) {
  const meant = meterMeant(things);
  const why = things.flowmeters.length ? undefined : "No flowmeter is fitted yet; see All acts.";
  const about = things.flowmeters.length > 1 && meant ? meterWords(meant, things) : place.about;
  return { ...plain(place), about, offers: [], why };
}

/** The acts that set a flow on a flowmeter.
 * @param {Place} place @param {number} flow_lpm @param {string|undefined} meter @returns {Act[]} */
export function flowActs(place, flow_lpm, meter) {
  return place.acts.map((each) => actOf({ ...each, flow_lpm }, meter));
}

/** @param {Place} place @param {World} world @returns {Face} */
function proof(place, world) {
  const { things, devices, acts } = world;
  const held = things.devices.filter((each) => !each.worn);
  const connected = held.filter((each) => feeding(each, things));
  const worn = things.devices.filter((each) => each.worn);
  // Proved before it goes on: what is in the hand and connected first, then what is in the hand, then what is on.
  const meant = [connected, held, worn].find((some) => some.length > 0) ?? [];
  /** @type {Offer[]} */
  const offers = [];
  for (const each of meant) {
    const way = place.by_device?.find((row) => belongs(each, row.family, devices));
    const written = way?.acts ?? place.acts;
    const name = deviceWords(each, things, devices);
    if (!way?.asks) {
      offers.push({ words: `${way?.button ?? place.button}, ${name}`, acts: written.map((w) => actOf(w, onDevice(w, each, acts))) });
      continue;
    }
    const settings = settingsOf(each, way, world);
    for (const pct of settings)
      offers.push({
        words: `${pct} %`,
        acts: written.map((w) => actOf(acts.get(w.act)?.arguments.some((a) => a.name === way.asks) ? { ...w, [String(way.asks)]: pct } : w, each.id)),
      });
  }
  const ways = new Set(meant.map((each) => place.by_device?.find((row) => belongs(each, row.family, devices))));
  const [only] = ways;
  /** @type {Partial<ByDevice>} */
  const own = ways.size === 1 && only ? only : {};
  const face = plain(place);
  return { ...face, button: own.button ?? face.button, about: own.about ?? face.about, picture: { name: own.picture ?? place.picture }, offers, why: offers.length ? undefined : "No device is at hand yet; take one first." };
}

/** @param {Device} device @param {ByDevice} way @param {World} world */
function settingsOf(device, way, { devices, acts }) {
  const printed = devices[device.kind]?.settings_pct ?? [];
  if (printed.length) return printed;
  const asked = way.acts.map((w) => acts.get(w.act)?.arguments.find((a) => a.name === way.asks)).find(Boolean);
  return /** @type {number[]} */ (asked?.usual ?? []);
}

/** @param {Place} place @param {World} world @returns {Face} */
function device(place, world) {
  const { things, devices, acts } = world;
  const worn = things.devices.filter((each) => each.worn);
  const held = things.devices.filter((each) => !each.worn);
  const on = held.map((each) => ({ words: `On: ${deviceWords(each, things, devices)}`, acts: [actOf(/** @type {Written} */ (place.on), each.id)] }));
  const off = worn.map((each) => ({ words: `Off: ${deviceWords(each, things, devices)}`, acts: [actOf(/** @type {Written} */ (place.off), each.id)] }));
  if (on.length + off.length === 0) {
    const kinds = acts.get(place.take?.act ?? "")?.arguments.find((each) => each.name === "device")?.choices ?? [];
    const take = kinds.map((kind) => ({
      words: upper(devices[kind]?.words ?? wordsOf(kind)),
      acts: [actOf({ act: place.take?.act ?? "", device: kind })],
    }));
    return { ...plain(place), button: "Device taken", about: "from the trolley", offers: take };
  }
  const offers = [...off, ...on];
  const button = on.length === 0 ? "Device off" : off.length === 0 ? "Device on" : place.button;
  const [single] = things.devices;
  const about = single && things.devices.length === 1 ? deviceWords(single, things, devices) : off.length ? `on: ${worn.map((each) => deviceWords(each, things, devices)).join(", ")}` : "which one?";
  const shown = (off.length ? worn : held)[0]?.kind;
  return { button, about, picture: { name: off.length && !on.length ? "device_off" : place.picture, ...(shown ? { kind: shown } : {}) }, offers };
}

/** How a device sits, when it sits wrong: one offer for each word, for what is worn or else at hand.
 * @param {{family: string, act: string, argument?: string, words: string}[]} sits @param {World} world
 * @returns {{words: string, offers: Offer[]}[]} */
export function sitsWrong(sits, { things, devices, acts }) {
  const groups = [];
  const worn = things.devices.filter((each) => each.worn);
  for (const each of worn.length ? worn : things.devices)
    for (const row of sits) {
      if (row.family === "worn" ? !each.worn : !belongs(each, row.family, devices)) continue;
      const argument = acts.get(row.act)?.arguments.find((one) => one.name === row.argument);
      const offers = argument
        ? (argument.choices ?? []).map((value) => ({ words: wordsOf(value), acts: [actOf({ act: row.act, [argument.name]: value }, each.id)] }))
        : [{ words: row.words, acts: [actOf({ act: row.act }, each.id)] }];
      const name = things.devices.length > 1 ? `, ${deviceWords(each, things, devices)}` : "";
      groups.push({ words: `${row.words}${name}`, offers });
    }
  return groups;
}

/** @param {Place} place @param {World} world @returns {Face} */
function fit(place, { things, devices, acts }) {
  const worn = things.devices.filter((each) => each.worn);
  const one = worn.length === 1 ? worn[0] : undefined;
  const way = one && place.by_device?.find((row) => belongs(one, row.family, devices));
  const offers = (worn.length > 1 ? worn : [one]).map((each) => {
    const mine = each && place.by_device?.find((row) => belongs(each, row.family, devices));
    const written = mine?.acts ?? place.acts;
    return { words: each ? upper(deviceWords(each, things, devices)) : place.button, acts: written.map((w) => actOf(w, each && onDevice(w, each, acts))) };
  });
  return { ...plain(place), button: way?.button ?? place.button, about: way?.about ?? place.about, offers };
}

/** @param {Place} place @param {World} world @returns {Face} */
function who(place, { acts }) {
  const [written] = place.acts;
  const asked = written && acts.get(written.act)?.arguments.find((each) => each.name === place.asks);
  const offers = (asked?.choices ?? []).map((value) => ({ words: upper(wordsOf(value)), acts: written ? [actOf({ ...written, [String(place.asks)]: value })] : [] }));
  return { ...plain(place), offers };
}

/** An act's object, if the catalogue gives it one.
 * @param {Written} written @param {Device} device @param {Map<string, ActKind>} acts */
function onDevice(written, device, acts) {
  return acts.get(written.act)?.on.includes("device") ? device.id : undefined;
}

/** @param {Written} written @param {string} [on] @returns {Act} */
function actOf(written, on) {
  const { act, ...values } = written;
  return { act, ...(on === undefined ? {} : { on }), ...(Object.keys(values).length ? { values } : {}) };
}

/** @param {string} words */
const upper = (words) => words.slice(0, 1).toUpperCase() + words.slice(1);
