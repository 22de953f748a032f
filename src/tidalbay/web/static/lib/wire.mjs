// @ts-check
// What travels between station and page, as types. Nothing runs here; docs/wire.md tells the same in sentences.

/** @typedef {"learner" | "checker" | "instructor" | "projector"} Role */
/** @typedef {"demonstration" | "practice" | "formative" | "summative"} Mode */
/** @typedef {"empty" | "ready" | "running" | "paused" | "stopped" | "ended"} Life */

/** @typedef {{ t_ms: number, times: number, state: string }} ClockSaid */

/**
 * One breath: the chest and the bags as they will move unless an act changes it.
 * @typedef {object} Breath
 * @property {number} n
 * @property {number} from_s
 * @property {number} lasts_s
 * @property {number} step_s
 * @property {readonly number[]} air_ml  volume above rest at from_s, from_s + step_s, ...
 * @property {Readonly<Record<string, readonly number[]>>} bag_pct  by device id
 * @property {number} breathing_in_s  for how long the patient breathes in
 */

/** @typedef {{ what: string, words: string, since_s: number }} FindingSaid */

/**
 * @typedef {object} EntrySaid
 * @property {number} n
 * @property {number} t_ms
 * @property {string} act
 * @property {string} [button]
 * @property {string} [sentence]
 * @property {string} [by]
 * @property {string} [hands]
 * @property {string} [manner]
 * @property {string | null} [on]
 * @property {boolean} [taken_back]
 */

/** @typedef {Record<string, number | string | boolean | null | readonly unknown[] | undefined>} Readings */

/**
 * @typedef {object} Things
 * @property {readonly import("../draw/piece.mjs").SupplyState[]} supplies
 * @property {readonly import("../draw/piece.mjs").FlowmeterState[]} flowmeters
 * @property {readonly import("../draw/piece.mjs").TubeState[]} tubes
 * @property {readonly import("../draw/piece.mjs").DeviceState[]} devices
 * @property {{ site?: string } | null} [probe]
 * @property {{ site?: string } | null} [sampling_line]
 */

/**
 * A message of the socket. Fields are those of its kind.
 * @typedef {{ kind: string, seq?: number, clock?: ClockSaid, breath?: Breath | null, [field: string]: any }} Message
 */

/**
 * An act as a page says it.
 * @typedef {object} ActToSay
 * @property {string} act
 * @property {string} [on]
 * @property {Record<string, unknown>} [values]
 * @property {"done" | "said" | "prompted"} [manner]
 * @property {string} [hands]
 * @property {number} [seen_at_ms]  when it was seen, for a tap that comes late [ms of the station]
 */

/**
 * A mark as a page says it: a person's judgement, never an act.
 * @typedef {{ kind: string, about?: string | number, values?: Record<string, unknown> }} MarkToSay
 */

export {};
