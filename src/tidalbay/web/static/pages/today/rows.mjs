// @ts-check
// What stands in a station's row on the board, as words and as what can be pressed. Pure.

import { clockWords, count, sentence } from "../../lib/words.mjs";

/**
 * @typedef {object} StationRow
 * @property {string} id
 * @property {string} title
 * @property {string | null} mode
 * @property {"empty" | "ready" | "running" | "paused" | "ended"} state
 * @property {number | null} minutes
 * @property {string | null} learner
 * @property {string | null} learner_name
 * @property {{ t_ms: number, times: number, state: string }} clock
 * @property {readonly string[]} screens
 * @property {string | null} notice
 * @property {{ id: string, title: string, patient: string, form: string }} [case]
 * @property {string | null} [next_form] in which form the next learner meets the case; null where it has but one
 * @property {string | null} [oximeter]
 * @property {boolean} [stopped_kindly]
 * @property {string | null} [attempt]
 * @property {string} code
 * @property {string | null} gas
 * @property {readonly string[]} asks_gas modes that cannot begin before the gas is said
 * @property {readonly string[]} put_back
 */
/** @typedef {{ learner: string, name: string, station: string | null, state: "waiting" | "at_station" | "done" | "absent" }} InLine */
/** @typedef {{ stations: StationRow[], line: InLine[], room: { is_open: boolean, addresses: string[], here: string, has_password: boolean }, notices: string[] }} Board */
/** @typedef {{ id: string, words: string, is_first?: boolean, asks?: string }} Press */

const LIFE = { empty: "Empty", ready: "Ready", running: "Running", paused: "Paused", ended: "Ended" };

/** Who is there, and in which mode. @param {StationRow} row */
export function whoWords(row) {
  if (row.state === "empty") return "Nobody yet";
  const who = row.learner_name ?? (row.learner ? "Somebody practising" : "No name");
  return row.mode ? `${who}, ${row.mode}` : who;
}

/** The patient in a line. @param {StationRow} row */
export function patientWords(row) {
  if (!row.case) return "";
  const shown = row.state === "running" || row.state === "paused" ? row.oximeter : null;
  const reading = shown && /^\d/.test(shown) ? `saturation shown ${shown}` : shown;
  const form = row.next_form && row.case.form === "a" ? ", form A" : ""; // another form stands in the title itself
  return sentence([`${row.case.patient}, ${begunLow(row.case.title)}${form}`, reading ?? ""].filter(Boolean).join("; "));
}

/** Within a sentence: a small letter first, unless the word is written in capitals. @param {string} title */
const begunLow = (title) => (/^\p{Lu}\p{Ll}/u.test(title) ? title.slice(0, 1).toLowerCase() + title.slice(1) : title);

/** @param {string} form */
export const formWords = (form) => `Form ${form.toUpperCase()}`;

/** Time left of the case's minutes, [ms] of the station given. @param {StationRow} row @param {number} t_ms */
export function leftWords(row, t_ms) {
  if (row.state === "empty") return "";
  if (row.state === "ended") return `Ended at ${clockWords(row.clock.t_ms / 1000)}`;
  const left_s = Math.ceil((row.minutes ?? 0) * 60 - t_ms / 1000);
  return left_s >= 0 ? `${clockWords(left_s)} left` : `${clockWords(-left_s)} over`;
}

/** How its time goes. @param {StationRow} row */
export function paceWords(row) {
  if (row.stopped_kindly) return "Stopped, kindly";
  if (row.state !== "running") return LIFE[row.state];
  return row.clock.times === 1 ? "Running" : `Running, ${row.clock.times} times as fast`;
}

/** Who listens. @param {StationRow} row */
export const screensWords = (row) => (row.screens.length ? `${count(row.screens.length, "screen")} here` : "No screen here yet");

/** Who comes next to a station: the first who waits for it, or for any. @param {readonly InLine[]} line @param {string} station @returns {InLine | null} */
export const nextFor = (line, station) => line.find((each) => each.state === "waiting" && (each.station === null || each.station === station)) ?? null;

/**
 * What can be pressed at a station now, the likeliest first; the end's ways only where there is something to end.
 * @param {StationRow} row @param {InLine | null} next @param {string | null} [form] in which form the case comes next @returns {Press[]}
 */
export function presses(row, next, form) {
  const inForm = form ? `, form ${form.toUpperCase()}` : "";
  const stop = { id: "stop", words: "Stop, kindly" };
  switch (row.state) {
    case "empty": return [{ id: "start", words: "Start", is_first: true }];
    case "ready": return [{ id: "go", words: "Let time go", is_first: true }, { id: "start", words: "Start this instead" }];
    case "running": return [{ id: "pause", words: "Pause", is_first: true }, stop, { id: "finish", words: "End" }, { id: "void", words: "Void, equipment" }];
    case "paused": return [{ id: "go", words: "Go on", is_first: true }, { id: "finish", words: "End" },
      row.stopped_kindly ? { id: "kindly", words: "End, no attempt spent" } : stop, { id: "void", words: "Void, equipment" }];
    default: return [{ id: "next", words: (next ? `Next: ${next.name}` : "Same case, fresh patient") + inForm, is_first: true }, { id: "start", words: "Start another case" }];
  }
}

/** Whether the row offers case, mode and learner. @param {StationRow} row */
export const canStart = (row) => ["empty", "ready", "ended"].includes(row.state);

/** @type {Record<InLine["state"], string>} */
export const STATE_WORDS = { waiting: "waits", at_station: "is here", done: "has been", absent: "absent" };

/** Where a learner stands in the line, in words. @param {InLine} each @param {readonly StationRow[]} stations */
export function lineWords(each, stations) {
  const title = stations.find((row) => row.id === each.station)?.title ?? "";
  if (each.state === "at_station") return title ? `at ${title}` : STATE_WORDS.at_station;
  if (each.state === "waiting") return title ? `waits for ${title}` : STATE_WORDS.waiting;
  return STATE_WORDS[each.state];
}
