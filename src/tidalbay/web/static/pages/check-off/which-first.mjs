// @ts-check
/**
 * Two taps close together are not put in order by the clock. Which pairs must be asked about, once each, and what
 * an answer says. Pure: the log goes in, questions come out.
 */

/**
 * @typedef {{n: number, t_ms: number, act: string, manner: string, sentence: string, taken_back?: boolean,
 *   seen_at_ms?: number|null}} Entry
 * @typedef {{within_s: number, pairs: {first: string, then: string[], only_first?: boolean}[]}} Rule
 * @typedef {{first: Entry, second: Entry}} Question
 */

/** When an act was seen, as far as anybody said. [ms]
 * @param {Entry} entry */
const seen = (entry) => entry.seen_at_ms ?? entry.t_ms;

/** Pairs of the log whose order matters and whose taps lie too close, newest last.
 * @param {Entry[]} entries @param {Rule} rule @returns {Question[]} */
export function questions(entries, rule) {
  const real = entries.filter((each) => !each.taken_back && each.manner !== "said");
  /** @type {Map<string, Question>} */
  const asked = new Map();
  for (const pair of rule.pairs) {
    const before = real.filter((each) => each.act === pair.first);
    let after = real.filter((each) => pair.then.includes(each.act));
    if (pair.only_first) after = [...after].sort((a, b) => seen(a) - seen(b)).slice(0, 1);
    for (const one of before)
      for (const other of after) {
        if (Math.abs(seen(one) - seen(other)) >= rule.within_s * 1000) continue;
        const [first, second] = one.n < other.n ? [one, other] : [other, one];
        asked.set(keyOf(first.n, second.n), { first, second });
      }
  }
  return [...asked.values()].sort((a, b) => a.second.n - b.second.n || a.first.n - b.first.n);
}

/** A pair's own name, whichever way round.
 * @param {number} one @param {number} other */
export const keyOf = (one, other) => `${Math.min(one, other)}-${Math.max(one, other)}`;

/** The mark that answers: `first` came first.
 * @param {Entry} first @param {Entry} second */
export const answer = (first, second) => ({ kind: "which_first", values: { first: first.n, second: second.n } });

/** Whether these two words are a pair that matters.
 * @param {string} one @param {string} other @param {Rule} rule */
export function matters(one, other, rule) {
  return rule.pairs.some((pair) => (pair.first === one && pair.then.includes(other)) || (pair.first === other && pair.then.includes(one)));
}

/** When something was seen that came just before the newest act: two seconds before it, never before the start.
 * Without an act in the last minute it was seen five seconds ago. [ms]
 * @param {Entry[]} entries @param {number} now_ms */
export function justBefore_ms(entries, now_ms) {
  const last = entries.filter((each) => !each.taken_back && !TIME.has(each.act)).at(-1);
  if (last && now_ms - seen(last) <= 60000) return Math.max(0, Math.round(seen(last) - 2000));
  return Math.max(0, Math.round(now_ms - 5000));
}

/** Acts about the clock are no deed of the learner's.  */
const TIME = new Set(["attempt_started", "paused", "resumed", "pace_set", "time_skipped", "taken_back", "prompted", "stopped_kindly", "attempt_ended"]);

/** Whether an entry is a deed, rather than a word about the clock or the log.
 * @param {{act: string}} entry */
export const isDeed = (entry) => !TIME.has(entry.act);
