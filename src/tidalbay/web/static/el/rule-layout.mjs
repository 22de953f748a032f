// @ts-check
// Where things stand on the rule of time: ticks, names of ticks, and flags in rows. Numbers in, places out.

import { clockWords } from "../lib/words.mjs";

/** @typedef {{ at_s: number, label: string, attend?: boolean, faint?: boolean, n?: number }} Flag */
/** @typedef {{ x: number, w: number, row: number, left: boolean, flag: Flag }} PlacedFlag  row -1: no room for its words, only its mark */

const STEPS_S = [5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 28800, 86400];

/** @param {number} t_s @param {number} from_s @param {number} to_s @param {number} width */
export const xOf = (t_s, from_s, to_s, width) => ((t_s - from_s) / Math.max(1e-6, to_s - from_s)) * width;

/**
 * Ticks with names at least `room` apart, and small ones between.
 * @param {number} from_s @param {number} to_s @param {number} width @param {number} room  width that a name needs [px]
 * @returns {{ t_s: number, x: number, name: string }[]}  name "" for a small tick
 */
export function ticks(from_s, to_s, width, room) {
  const perPx = (to_s - from_s) / Math.max(1, width);
  const i = STEPS_S.findIndex((s) => s / perPx >= room);
  const named = STEPS_S[i < 0 ? STEPS_S.length - 1 : i] ?? 86400;
  const small = named % 4 === 0 && named / 4 / perPx > 14 ? named / 4 : named / 2;
  const out = [];
  for (let t_s = Math.ceil(from_s / small) * small; t_s <= to_s + 1e-6; t_s += small) {
    const name = Math.abs(t_s / named - Math.round(t_s / named)) < 1e-6 ? clockWords(t_s) : "";
    out.push({ t_s, x: xOf(t_s, from_s, to_s, width), name });
  }
  return out;
}

/**
 * Flags in the lowest row that is free. The newest come first, so that in a crowd the oldest lose their words, never
 * their mark; a flag that would leave the page hangs to the left.
 * @param {readonly Flag[]} flags
 * @param {{ from_s: number, to_s: number, width: number, rows: number, widthOf: (label: string) => number }} room
 * @returns {PlacedFlag[]}  oldest first
 */
export function placeFlags(flags, { from_s, to_s, width, rows, widthOf }) {
  /** @type {[number, number][][]} */
  const taken = Array.from({ length: rows }, () => []);
  const out = [];
  for (const flag of [...flags].sort((a, b) => b.at_s - a.at_s)) {
    const x = xOf(flag.at_s, from_s, to_s, width), w = widthOf(flag.label);
    if (x < -1 || x > width + 1) continue;
    const left = x + w > width;
    const [a, b] = left ? [x - w, x] : [x, x + w];
    const row = a < 0 ? -1 : taken.findIndex((spans) => spans.every(([c, d]) => b + 8 <= c || a >= d + 8));
    if (row >= 0) taken[row]?.push([a, b]);
    out.push({ x, w, row, left, flag });
  }
  return out.reverse();
}

/** The end of a rule: the station's minutes, or later in whole steps when time has gone past them. @param {number} planned_s @param {number} now_s */
export function ruleEnd(planned_s, now_s) {
  if (now_s <= planned_s * 0.98) return planned_s;
  const step = STEPS_S.find((s) => s >= now_s / 6) ?? 86400;
  return Math.ceil((now_s * 1.08) / step) * step;
}
