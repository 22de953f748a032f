// @ts-check
/**
 * What can be taken hold of, and what can be done to it, from the equipment as it stands. Every deed is an act of the
 * catalogue through the same door; nothing is offered because it would be right. Pure.
 */
import { belongs, deviceWords, feeding, gasOf, meterWords, sortOfSupply, supplyWords } from "../../acts/things.mjs";
import { plain } from "../../lib/words.mjs";

/**
 * @typedef {import("../../acts/things.mjs").Things} Things
 * @typedef {import("../../acts/things.mjs").DeviceKinds} DeviceKinds
 * @typedef {import("../check-off/offers.mjs").ActKind} ActKind
 * @typedef {{ act: string, when?: string, family?: string, words?: string } & Record<string, unknown>} Row
 * @typedef {{ id: string, sort: string, anchor: string, words?: string, acts: Row[] }} HandleRow
 * @typedef {{ words: string, kind: ActKind, on?: string, values: Record<string, unknown> }} Deed
 * @typedef {{ id: string, anchor: string, words: string, deeds: Deed[] }} Handle
 * @typedef {{ things: Things, devices: DeviceKinds, acts: Map<string, ActKind> }} World
 */

/** Everything within reach on the plate, the patient first, then from the wall to the face.
 * @param {HandleRow[]} rows @param {World} world @returns {Handle[]} */
export function handlesOf(rows, world) {
  const found = rows.flatMap((row) => thingsOf(row.sort, world).map((thing) => ({
    id: thing.id ? `${row.id}-${thing.id}` : row.id,
    anchor: thing.id ? `${row.anchor}:${thing.id}` : row.anchor,
    words: row.words ? (alone(row.sort, world) ? row.words : `${row.words}, ${thing.words}`) : thing.words,
    deeds: row.acts.filter((each) => holds(each, thing, world)).flatMap((each) => deedsOf(each, thing, world)),
  })));
  return found.filter((each) => each.deeds.length > 0);
}

/** Whether there is only one of a sort, so that its handle need not say which. @param {string} sort @param {World} world */
const alone = (sort, world) => thingsOf(sort, world).length < 2;

/** @typedef {{ id: string, words: string, thing?: any }} Thing */

/** @param {string} sort @param {World} world @returns {Thing[]} */
function thingsOf(sort, { things, devices }) {
  switch (sort) {
    case "patient": return [{ id: "", words: "" }];
    case "flowmeter": return things.flowmeters.map((each) => ({ id: each.id, words: meterWords(each, things), thing: each }));
    case "device": return things.devices.map((each) => ({ id: each.id, words: upper(deviceWords(each, things, devices)), thing: each }));
    case "tube": return things.tubes.map((each) => ({ id: each.id, words: tubeEnd(each.to, things, devices), thing: each }));
    default: return things.supplies.filter((each) => sortOfSupply(each) === sort).map((each) => ({ id: each.id, words: upper(supplyWords(each, things)), thing: each }));
  }
}

/** @param {string | null} to @param {Things} things @param {DeviceKinds} devices */
function tubeEnd(to, things, devices) {
  const device = things.devices.find((each) => each.id === to);
  return device ? deviceWords(device, things, devices) : "open end";
}

/** Whether a deed makes sense of a thing as it is: worn or in the hand, probe or sampling line on or off, valve open or shut.
 * @param {Row} row @param {Thing} thing @param {World} world */
function holds(row, { thing }, { things, devices }) {
  if (row.family && !belongs(thing, row.family, devices)) return false;
  switch (row.when) {
    case "held": return !thing.worn;
    case "worn": return thing.worn;
    case "probe_on": return Boolean(things.probe?.site);
    case "probe_off": return !things.probe?.site;
    case "sampling_on": return Boolean(things.sampling_line?.site);
    case "sampling_off": return !things.sampling_line?.site;
    case "open": return thing.valve_open === true;
    case "shut": return thing.valve_open !== true;
    default: return true;
  }
}

/** @param {Row} row @param {Thing} thing @param {World} world @returns {Deed[]} */
function deedsOf({ act, when: _when, family: _family, words, ...values }, { id, thing }, { things, devices, acts }) {
  const kind = acts.get(act);
  if (!kind) return [];
  if (act === "tubing_connected") {
    const from = feeding(thing, things);
    return things.flowmeters.filter((each) => each.id !== from?.id).map((each) => ({ words: `Connect to the ${meterWords(each, things)}`, kind, values: { from: each.id, to: id } }));
  }
  if (act === "outlet_chosen") return [{ words: words ?? kind.button, kind, on: id, values: { gas: gasOf(thing) } }];
  if (act === "flowmeter_fitted") {
    if (things.flowmeters.some((each) => each.supply === id)) return [];
    return [{ words: kind.button, kind, values: { outlet: id } }];
  }
  // Printed settings are those of the valve at hand, not all there are.
  const settings = devices[thing?.kind]?.settings_pct ?? [];
  if (act === "entrainment_set") return settings.map((pct) => ({ words: `Set the valve to ${pct} %`, kind, on: id, values: { pct } }));
  return [{ words: inTubing(act, devices[thing?.kind]) ?? words ?? kind.button, kind, ...(id && kind.on.length ? { on: id } : {}), values }];
}

/** What goes into tubing is fitted and taken out, not put on a patient.
 * @param {string} act @param {import("../../acts/things.mjs").DeviceWords | undefined} device */
function inTubing(act, device) {
  if (device?.worn_on !== "tubing") return undefined;
  return act === "device_placed" ? "Fit it into the wide tubing" : act === "device_removed" ? "Take it out of the tubing" : undefined;
}

/** Devices on the shelf: those for the patient's age, in the catalogue's order.
 * @param {World} world @param {number | undefined} age_years @returns {Deed[]} */
export function shelf({ devices, acts }, age_years) {
  const kind = acts.get("device_chosen");
  const choices = kind?.arguments.find((each) => each.name === "device")?.choices ?? [];
  const young = age_years !== undefined && age_years < 13;
  if (!kind) return [];
  return choices.filter((each) => /^(child|infant)_/.test(each) === young || (young && !choices.includes(`child_${each}`) && !choices.includes(`infant_${each}`)))
    .map((each) => ({ words: upper(devices[each]?.words ?? plain(each)), kind, values: { device: each } }));
}

/** Points pushed apart until none lies in the ellipse of another, whose half axes are `least`: words are wider than high.
 * In order, a few rounds, inside the box.
 * @param {{ x: number, y: number }[]} points @param {{ x: number, y: number }} least @param {{ width: number, height: number }} box */
export function spread(points, least, box) {
  const placed = points.map((each) => ({ x: each.x / least.x, y: each.y / least.y }));
  const right = box.width / least.x - 0.5, foot = box.height / least.y - 0.5;
  for (let round = 0; round < 60; round++) {
    let moved = false;
    for (const [i, a] of placed.entries())
      for (const b of placed.slice(i + 1)) {
        const dx = b.x - a.x, dy = b.y - a.y, apart = Math.hypot(dx, dy);
        if (apart >= 1) continue;
        const [ux, uy] = apart > 0.01 ? [dx / apart, dy / apart] : [0, 1];
        const by = (1 - apart) / 2 + 0.005;
        a.x -= ux * by; a.y -= uy * by; b.x += ux * by; b.y += uy * by;
        moved = true;
      }
    for (const each of placed) {
      each.x = Math.min(right, Math.max(0.5, each.x));
      each.y = Math.min(foot, Math.max(0.5, each.y));
    }
    if (!moved) break;
  }
  return placed.map((each) => ({ x: each.x * least.x, y: each.y * least.y }));
}

/** @param {string} words */
const upper = (words) => words.slice(0, 1).toUpperCase() + words.slice(1);
