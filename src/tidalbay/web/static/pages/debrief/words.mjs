// @ts-check
// What the debrief says of an act that was other than it was, and in which order verdicts are read. Pure.

import { clockWords, plain } from "../../lib/words.mjs";

/**
 * @typedef {{ n: number, t_s: number, kind: string, label: string, sentence: string, manner: string, on: string, is_taken_back: boolean, is_changeable: boolean, values: Record<string, unknown> }} ActTold
 * @typedef {{ id: string, say: string, must: boolean, verdict: string, word: string, why: string, moments: { at_s: number, words: string }[], overruled: string | null, reason: string }} VerdictTold
 * @typedef {{ act: string, on?: string, values?: Record<string, unknown> }} ActSaid
 * @typedef {{ way: "removed" | "changed" | "moved" | "added", entry?: number, t_ms?: number, kind?: string, on?: string, values?: Record<string, unknown> }} Change
 */

/** An act as a choice in a list. @param {ActTold} act */
export const choiceWords = (act) => `${clockWords(act.t_s)} ${act.label}`;

/** The last act not after a moment; undefined before the first. @param {readonly ActTold[]} acts @param {number} t_s */
export const lastAct = (acts, t_s) => acts.filter((act) => act.t_s <= t_s + 1e-6).at(-1);

/**
 * What is asked of the server.
 * @param {string} way @param {ActTold | undefined} act  the one that is other @param {number} at_s  where the mark stands @param {ActSaid} [said]  what it is instead, or besides
 * @returns {Change}
 */
export function changeOf(way, act, at_s, said) {
  const t_ms = Math.max(1, Math.round(at_s * 1000));
  if (way === "added" && said) return { way, t_ms, kind: said.act, ...(said.on ? { on: said.on } : {}), values: said.values ?? {} };
  const entry = act?.n ?? 0;
  if (way === "moved") return { way, entry, t_ms };
  if (way === "changed" && said) return { way, entry, ...(act?.on ? { on: act.on } : {}), values: said.values ?? {} };
  return { way: "removed", entry };
}

/** The change as a clause: "if Set flow: 2 had not been done". @param {Change} change @param {ActTold | undefined} act @param {string} button  of the act that is added */
export function changeWords(change, act, button) {
  const values = Object.values(change.values ?? {}).map((value) => plain(String(value))).join(", ");
  const said = values ? `: ${values}` : "";
  if (change.way === "added") return `if “${button}${said}” had been done at ${clockWords((change.t_ms ?? 0) / 1000)}`;
  const name = act ? `“${act.label}” at ${clockWords(act.t_s)}` : "it";
  if (change.way === "moved") return `if ${name} had come at ${clockWords((change.t_ms ?? 0) / 1000)}`;
  if (change.way === "changed") return `if ${name} had been${said || " otherwise"}`;
  return `if ${name} had not been done`;
}

/** Verdicts as they are read: what went well first, then what was not met, musts before the rest, then what is open. @param {readonly VerdictTold[]} verdicts */
export function inOrder(verdicts) {
  const of = (/** @type {string} */ which) => [...verdicts.filter((each) => each.verdict === which)].sort((a, b) => Number(b.must) - Number(a.must));
  return [
    { head: "What went well", verdicts: of("met") },
    { head: "Not met", verdicts: of("not_met") },
    { head: "Open", verdicts: of("cannot_be_judged") },
  ].filter((group) => group.verdicts.length);
}
