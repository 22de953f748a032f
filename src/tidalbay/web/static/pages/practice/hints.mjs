// @ts-check
/** A hint when it is asked for: the first step, in their usual order, that nothing done so far would show. Pure. */

/**
 * @typedef {{ item: number, id: string, taps: string[], done_by?: string[], hint: string }} Step
 * @typedef {{ act: string, manner?: string, taken_back?: boolean, t_ms: number }} Entry
 */

/** Changes of oxygen, after which somebody looks again. */
const CHANGES = new Set(["flow_set", "device_placed", "device_removed", "entrainment_set", "oxygen_share_set"]);

/**
 * The next hint, or the sentence that there is none. Steps whose acts make no sense with the equipment as it stands
 * are passed over.
 * @param {readonly Step[]} steps @param {readonly Entry[]} entries @param {readonly string[]} plausible
 */
export function nextHint(steps, entries, plausible) {
  const done = entries.filter((each) => !each.taken_back && each.manner !== "said");
  const names = new Set(done.map((each) => each.act));
  for (const step of steps) {
    const shows = [...step.taps, ...(step.done_by ?? [])];
    if (shows.length === 0) {
      if (lookedSince(done)) continue;
      return step.hint;
    }
    const shown = step.taps.length ? step.taps.every((act) => names.has(act)) : (step.done_by ?? []).some((act) => names.has(act));
    if (!shown && shows.some((act) => plausible.includes(act))) return step.hint;
  }
  return "Nothing stands out. Look at the patient again, and decide whether you can leave.";
}

/** Whether something was read out after the newest change of oxygen; before any change there is nothing to look at again.
 * @param {readonly Entry[]} done */
function lookedSince(done) {
  const change = done.filter((each) => CHANGES.has(each.act)).at(-1);
  return !change || done.some((each) => each.act === "observed" && each.t_ms > change.t_ms);
}
