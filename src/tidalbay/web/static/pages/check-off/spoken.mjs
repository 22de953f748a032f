// @ts-check
/** What has been said of each step: nothing until somebody speaks, then the newest word. Pure. */

/**
 * @typedef {{item: number, id: string, say: string, taps: string[], done_by?: string[], hint: string}} Step
 * @typedef {{act: string, t_ms: number, manner: string, taken_back?: boolean}} Entry
 * @typedef {{kind: string, about?: string|null, values: Record<string, unknown>, rater?: string}} Mark
 */

/** The state of every step that somebody spoke about.
 * @param {Mark[]} marks @returns {Map<string, string>} */
export function spokenStates(marks) {
  const states = new Map();
  for (const mark of marks) if (mark.kind === "step_state" && mark.about) states.set(mark.about, String(mark.values.state));
  return states;
}

/** When all acts that would show a step had been tapped, each as really done; null while one is missing. A fact to
 * print beside the step, and no verdict. [ms]
 * @param {Step} step @param {Entry[]} entries */
export function tapped_ms(step, entries) {
  if (step.taps.length === 0) return null;
  const times = step.taps.map((act) => entries.find((each) => each.act === act && each.manner !== "said" && !each.taken_back)?.t_ms);
  return times.some((each) => each === undefined) ? null : Math.max(.../** @type {number[]} */ (times));
}

/** How many steps nobody has spoken about.
 * @param {Step[]} steps @param {Map<string, string>} states */
export const notRecorded = (steps, states) => steps.filter((step) => !states.has(step.id)).length;

/** The step that a tap at a place is about: the one that all its acts, or the only one that any of them, would show.
 * @param {string[]} acts @param {Step[]} steps */
export function stepOf(acts, steps) {
  const whole = steps.find((step) => step.taps.length > 0 && step.taps.every((act) => acts.includes(act)));
  return whole ?? steps.find((step) => [...step.taps, ...(step.done_by ?? [])].some((act) => acts.includes(act)));
}
