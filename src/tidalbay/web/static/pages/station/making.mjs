// @ts-check
// Making things happen: every cause of the catalogue by the thing it strikes, searchable, and the case's own events that
// still wait. Pure: rows in, groups and acts out.

import { clockWords, figure, isNumber, list, plain, sentence } from "../../lib/words.mjs";

/**
 * @typedef {object} Cause
 * @property {string} id
 * @property {"patient" | "equipment"} strikes
 * @property {string} type  number, share, whole, choice, yes_no or yes
 * @property {string} unit
 * @property {number | null} low
 * @property {number | null} high
 * @property {readonly string[]} choices
 * @property {readonly number[]} numbers
 * @property {readonly string[]} on
 * @property {string} sentence
 */
/**
 * Something that can go wrong, as the catalogue tells it: what there is to find even on a mannequin that shows nothing, and
 * what is done about it.
 * @typedef {{ id: string, title: string, cue: string, answer: string, throws: readonly { cause: string, value?: unknown }[] }} Fault
 */
/** @template T @typedef {{ title: string, those: T[] }} Group */

/** @type {[string, (cause: Cause) => boolean][]} */
const GROUPS = [
  ["Tubing", (c) => c.strikes === "equipment" && c.on.includes("tube")],
  ["What is worn", (c) => c.strikes === "equipment" && c.on.includes("device")],
  ["Flowmeter and supply", (c) => c.strikes === "equipment" && c.on.length > 0],
  ["Probe and face", (c) => c.strikes === "equipment"],
  ["Patient", () => true],
];

/**
 * Rows in groups by what they strike; with words to look for, only those whose own words have them all.
 * @template T
 * @param {readonly T[]} rows @param {(row: T) => Cause | undefined} causeOf @param {(row: T) => string} wordsOf @param {string} [looked_for]
 * @returns {Group<T>[]}
 */
export function grouped(rows, causeOf, wordsOf, looked_for = "") {
  const words = looked_for.toLowerCase().split(/\s+/).filter(Boolean);
  /** @type {Map<string, T[]>} */
  const groups = new Map(GROUPS.map(([title]) => [title, []]));
  for (const row of rows) {
    const cause = causeOf(row), group = (cause && GROUPS.find(([, fits]) => fits(cause))?.[0]) ?? "Patient";
    const text = `${wordsOf(row)} ${group}`.toLowerCase();
    if (words.every((w) => text.includes(w))) groups.get(group)?.push(row);
  }
  return [...groups].filter(([, those]) => those.length).map(([title, those]) => ({ title, those }));
}

/** The acts that make a fault happen, or put it right: one for each of its causes. @param {Fault} fault @param {{ on?: string, gone?: boolean }} how */
export const faultActs = (fault, { on, gone = false }) => fault.throws.map(({ cause, value }) => ({
  act: "cause_thrown", ...(on ? { on } : {}), values: gone ? { cause, gone: true } : { cause, ...(value === undefined ? {} : { value }) },
}));

/** Parts at the station that a cause can strike. @param {Cause} cause @param {import("../../lib/wire.mjs").Things | null} things @returns {{ id: string, words: string }[]} */
export function struck(cause, things) {
  if (!things || !cause.on.length) return [];
  /** @type {[string, readonly { id: string, kind?: string }[]][]} */
  const sorts = [
    ["tube", things.tubes], ["flowmeter", things.flowmeters],
    ["cylinder", things.supplies.filter((s) => s.kind === "cylinder")],
    ["concentrator", things.supplies.filter((s) => s.kind.endsWith("concentrator"))],
    ["outlet", things.supplies.filter((s) => s.kind !== "cylinder" && !s.kind.endsWith("concentrator"))],
    ["device", things.devices],
  ];
  return sorts.flatMap(([sort, parts]) => (cause.on.includes(sort) ? parts.map((p) => ({ id: p.id, words: plain(p.id) })) : []));
}

/** Whether a cause is simply so, without saying how much or which. @param {Cause} cause */
export const simplySo = (cause) => cause.type === "yes" || cause.type === "yes_no";

/** Whether a cause can be taken away again by its name alone. @param {Cause} cause */
export const canGo = (cause) => cause.strikes === "equipment" && (cause.type === "yes_no" || cause.type === "share");

/** The act that throws a cause, or takes it away. @param {Cause} cause @param {{ on?: string, value?: string, gone?: boolean }} how */
export function thrown(cause, { on, value, gone = false }) {
  /** @type {Record<string, unknown>} */
  const values = { cause: cause.id };
  if (gone) values.gone = true;
  else if (cause.type !== "yes" && !simplySo(cause) && value !== undefined && value !== "") values.value = cause.type === "choice" ? value : Number(value);
  return { act: "cause_thrown", ...(on ? { on } : {}), values };
}

/** What an event of the case waits for, in words. @param {any} waiting */
export function waitsFor(waiting) {
  const on = [];
  if (isNumber(waiting.at_s)) on.push(`time to reach ${clockWords(waiting.at_s)}`);
  if (waiting.waits_for_acts?.length) on.push(list(waiting.waits_for_acts.map(plain)));
  if (waiting.after) on.push(`${plain(String(waiting.after))} first`);
  if (waiting.reading) {
    const bound = isNumber(waiting.below) ? `below ${figure(waiting.below, 2)}` : isNumber(waiting.above) ? `above ${figure(waiting.above, 2)}` : "";
    on.push(`${plain(waiting.reading)} ${bound}`.trim());
  }
  if (waiting.by_hand && !on.length) return "happens only when you say so";
  const then = isNumber(waiting.then_after_s) ? `, then ${figure(waiting.then_after_s)} s` : "";
  return on.length ? `waits for ${on.join("; ")}${then}` : "waits";
}

/** Words of a cause on its slip. @param {Cause} cause */
export const slipWords = (cause) => sentence(cause.sentence).replace(/\.$/, "");
