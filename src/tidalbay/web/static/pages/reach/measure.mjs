// @ts-check
// What was measured on the way to the lab, in words. Pure.

import { count, figure } from "../../lib/words.mjs";

/** Requests asked for, one after the other. */
export const ASKED = 12;
/** Up to here a tap is answered within a blink; beyond SLOW_MS people feel that they wait. [ms] From memory: 0.1 s and 1 s. */
export const QUICK_MS = 100, SLOW_MS = 1000;

/** The middle one of some times, or null of none. @param {readonly number[]} times_ms */
export function middle(times_ms) {
  const sorted = [...times_ms].sort((a, b) => a - b);
  return sorted.length ? (sorted[Math.floor((sorted.length - 1) / 2)] ?? null) : null;
}

/** "8 ms", "1.2 s". @param {number} ms */
export const tripWords = (ms) => (ms < SLOW_MS ? `${figure(Math.max(1, ms))} ms` : `${figure(ms / 1000, 1)} s`);

/**
 * The sentence over the page.
 * @param {readonly number[]} times_ms @param {boolean | null} opens  whether the live line opened; null where this screen may not open one
 */
export function verdict(times_ms, opens) {
  const middle_ms = middle(times_ms), lost = ASKED - times_ms.length;
  if (middle_ms === null) return "No. This page is here, but the lab does not answer any more: it was closed, or the network changed.";
  if (opens === false) return "Half. Pages come through, but the live line is cut: something between here and the lab stops it. Bring your own router or use the computer’s hotspot.";
  if (lost > 0) return `Yes, but ${count(lost, "answer was", "answers were")} lost. Taps are kept and sent again; go nearer to the router if it stays so.`;
  if (middle_ms >= SLOW_MS) return "Yes, but slowly. Taps count, and the bedside follows late. Go nearer to the router, or use one of your own.";
  if (middle_ms >= QUICK_MS) return "Yes. A tap is answered a little later than one sees it, which does no harm.";
  return "Yes. A tap is answered before one has looked up.";
}
