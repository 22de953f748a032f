// @ts-check
// What was done, newest first, with what was taken back still standing there. Pure.

import { clockWords, sentence } from "../../lib/words.mjs";

/** @typedef {import("../../lib/wire.mjs").EntrySaid} EntrySaid */

const NOT_TO_TAKE_BACK = new Set(["attempt_started", "attempt_ended", "taken_back", "event_thrown", "paused", "resumed", "pace_set", "stepped", "time_skipped", "stopped_kindly"]);

/** @param {readonly EntrySaid[]} entries @param {ReadonlyMap<string, string>} [names] by opaque id @returns {{ n: number, at: string, words: string, who: string, back: boolean, can: boolean }[]} */
export function entryRows(entries, names = new Map()) {
  const named = (/** @type {string} */ hands) => names.get(hands) ?? (hands.startsWith("p-") ? "a learner" : hands);
  return [...entries].reverse().map((e) => ({
    n: e.n,
    at: clockWords(e.t_ms / 1000),
    words: sentence(e.sentence ?? e.button ?? e.act).replace(/\.$/, "") + (e.manner && e.manner !== "done" ? ` (${e.manner})` : ""),
    who: e.act === "attempt_started" && e.by !== "station" ? "for a learner" : e.hands && e.hands !== e.by ? `${named(e.hands)}, tapped by ${e.by}` : e.by ?? "",
    back: e.taken_back === true,
    can: !e.taken_back && !NOT_TO_TAKE_BACK.has(e.act),
  }));
}

/** @param {readonly { role: string }[]} people */
export function peopleWords(people) {
  /** @type {Map<string, number>} */
  const of = new Map();
  for (const p of people) of.set(p.role, (of.get(p.role) ?? 0) + 1);
  const said = [...of].map(([role, n]) => `${n} ${role}${n === 1 ? "" : "s"}`);
  return said.length ? said.join(", ") : "nobody yet";
}
