// @ts-check
// The two minutes: what is pressed, what it does at the station, and what to look at. Pure.

/** @typedef {import("../../lib/wire.mjs").ActToSay} ActToSay */
/** @typedef {import("../../lib/store.mjs").Known} Known */
/**
 * One step. `acts` are logged, then `clock` is told; `after` says what to look at, once that was done.
 * @typedef {object} Step
 * @property {string} title
 * @property {string} before
 * @property {string} button
 * @property {string} after
 * @property {readonly ActToSay[]} [acts]
 * @property {Record<string, unknown>} [clock]
 * @property {boolean} [begins]  begins the demonstration, where the station is free
 */

export const CASE = "post-operative";

/** @type {readonly Step[]} */
export const STEPS = [
  {
    title: "Meet him",
    before: "A man the day after bowel surgery. The bases of his lungs have closed; nobody has given him anything yet.",
    button: "Let time go",
    after: "He breathes; the chest moves by the volume of each breath, and the oximeter is some seconds behind the blood, as a real one is.",
    begins: true,
    clock: { do: "go" },
  },
  {
    title: "Set the flow first",
    before: "The order: oxygen by nasal cannula, 2 L/min. A learner sets the flow before the cannula goes on.",
    button: "Set flow, 2 L/min",
    after: "The float stands at 2. Nothing else has changed: the cannula still lies in the hand.",
    acts: [{ act: "order_read" }, { act: "flow_set", on: "flowmeter", values: { flow_lpm: 2 } }],
  },
  {
    title: "Put the cannula on",
    before: "Gas is felt at the prongs, then they go in.",
    button: "Cannula on",
    after: "The first breaths with more oxygen are under way. The number needs a minute: nobody has to say what would happen.",
    acts: [{ act: "gas_proved", on: "cannula" }, { act: "device_placed", on: "cannula" }],
  },
  {
    title: "Do not wait for it",
    before: "In a demonstration time may run faster. In an assessment it may not.",
    button: "Ten times faster",
    after: "Watch the saturation climb by three or four points and settle short of the ordered range. Oxygen corrects the number; it has not opened his lungs.",
    clock: { do: "pace", times: 10 },
  },
  {
    title: "Help the cause",
    before: "Sitting up gives the bases room.",
    button: "Sit him up",
    after: "The back-rest rises, and over some minutes he gains a little more on the same 2 litres. The rest waits for pain relief, deep breaths and a cough.",
    acts: [{ act: "positioned", values: { position: "upright" } }],
  },
];

/** What eyes at the bedside see, in a sentence or two: not what a hand or an ear would find. */
export const LOOKED_AT = ["effort", "speech", "colour", "says"];

/** Why the station cannot be used for this now, or nothing. @param {Known} known */
export function whyNot(known) {
  const station = known.station;
  if (!station || station.state === "empty" || station.state === "ended") return "";
  if (station.mode !== "demonstration" || known.case?.id !== CASE)
    return `${station.title ?? "The station"} holds another attempt. End it on Today, then come back here.`;
  return "";
}

/** Whether hands have been at this patient already: who begins the two minutes again gets a fresh one. @param {Known} known */
export const isUsed = (known) => known.entries.some((entry) => STEPS.some((step) => step.acts?.some(({ act }) => act === entry.act)));

/** What a step's button says; where time goes already, nobody lets it go. @param {Step} step @param {Known} known */
export const buttonWords = (step, known) => (step.begins && known.station?.state === "running" ? (isUsed(known) ? "Begin again, a fresh patient" : "Begin") : step.button);

/** The station's time in words. @param {number} t_s @param {string} state @param {number} times @param {(t_s: number) => string} words */
export const timeWords = (t_s, state, times, words) =>
  `${words(t_s)} of the station’s time, ${state === "running" ? (times > 1 ? `${times} times as fast as life` : "at the pace of life") : "standing still"}.`;
