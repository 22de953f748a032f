// @ts-check
/**
 * One tap of a checker: its acts go out together, in the manner that was held for the next tap, and can be taken
 * back together. A glove that lands twice is one tap. No document in here.
 */
import { answer as whichFirst, justBefore_ms, matters } from "./which-first.mjs";
import { stepOf } from "./spoken.mjs";

/**
 * @typedef {import("./offers.mjs").Act} Act
 * @typedef {import("./which-first.mjs").Entry} Entry
 * @typedef {import("./which-first.mjs").Rule} Rule
 * @typedef {import("./spoken.mjs").Step} Step
 * @typedef {"done" | "said" | "prompted" | "not_seen"} Manner
 * @typedef {[string, number]} Key
 * @typedef {{ key: Key, n?: number, refused?: string, sort: string, what: any }} Answer
 * @typedef {{ words: string, keys: Key[], numbers: number[], acts: Act[], justBefore: number | null, refused: string[] }} Bundle
 */

/** Two landings of one finger on one place, closer than this, are one tap. [ms of the page] */
export const TWICE_MS = 700;

/**
 * @param {object} how
 * @param {{ act: (act: any) => Key, mark: (mark: any) => Key }} how.taps
 * @param {() => number} how.t_ms  the station's time [ms]
 * @param {() => readonly Entry[]} how.entries
 * @param {readonly Step[]} how.steps
 * @param {Rule} how.rule
 * @param {(bundle: Bundle) => void} [how.changed]  a tap was made, answered for or taken back
 * @param {() => number} [how.now]  [ms of the page]
 */
export function tapping({ taps, t_ms, entries, steps, rule, changed = () => {}, now = () => performance.now() }) {
  /** @type {Manner} */
  let manner = "done";
  let before = false, hands = "learner";
  /** @type {Bundle[]} */
  const bundles = [];
  /** @type {Map<string, number>} */
  const landed = new Map();

  /** The newest tap of this page that stands. */
  const last = () => bundles.filter((each) => each.numbers.length > 0 || each.keys.length > each.refused.length).at(-1);

  return {
    /** How the next tap counts. @param {Manner} next */
    hold(next) { manner = next; },
    /** The next tap came just before the newest deed. @param {boolean} is */
    justBefore(is) { before = is; },
    held: () => ({ manner, before }),
    /** Whose hands: an opaque id; the station's learner until somebody says otherwise. @param {string} id */
    handsOf(id) { hands = id; },

    /**
     * Records a tap at a place; false where the finger only bounced.
     * @param {string} place @param {string} words @param {readonly Act[]} acts
     */
    tap(place, words, acts) {
      const at_ms = now();
      if (at_ms - (landed.get(place) ?? -Infinity) < TWICE_MS) return false;
      landed.set(place, at_ms);
      /** @type {Bundle} */
      const bundle = { words, keys: [], numbers: [], acts: [...acts], justBefore: null, refused: [] };
      if (manner === "not_seen") {
        const step = stepOf(acts.map((each) => each.act), [...steps]);
        bundle.words = `${words}: not seen`;
        taps.mark(step
          ? { kind: "step_state", about: step.id, values: { state: "not_seen" } }
          : { kind: "note", values: { text: `Not seen: ${words}` } });
      } else {
        const seen_at_ms = before ? justBefore_ms([...entries()], t_ms()) : undefined;
        if (before) bundle.justBefore = [...entries()].filter((each) => !each.taken_back).at(-1)?.n ?? null;
        if (manner === "prompted") bundle.keys.push(taps.act({ act: "prompted", values: { what: words } }));
        for (const act of acts)
          bundle.keys.push(taps.act({
            ...act,
            ...(manner === "done" ? {} : { manner }),
            hands,
            ...(seen_at_ms === undefined ? {} : { seen_at_ms }),
          }));
        bundles.push(bundle);
      }
      manner = "done";
      before = false;
      changed(bundle);
      return true;
    },

    /** The station answered for a tap. @param {Answer} answer */
    answered(answer) {
      const bundle = bundles.find((each) => each.keys.some((key) => key[0] === answer.key[0] && key[1] === answer.key[1]));
      if (!bundle) return undefined;
      if (answer.refused !== undefined) bundle.refused.push(answer.refused);
      if (answer.n !== undefined) {
        bundle.numbers.push(answer.n);
        settleOrder(bundle, answer.n, answer.what.act);
      }
      changed(bundle);
      return bundle;
    },

    last,
    /** Takes back the newest tap of this page, all its acts; the sentence says what came of it. */
    takeBack() {
      const bundle = last();
      if (!bundle) return { back: false, words: "" };
      if (bundle.numbers.length === 0) return { back: false, words: `"${bundle.words}" is not yet sent; take it back once it is.` };
      for (const n of bundle.numbers) taps.act({ act: "taken_back", values: { entry: n } });
      bundles.splice(bundles.indexOf(bundle), 1);
      changed(bundle);
      return { back: true, words: `Taken back: ${bundle.words}.` };
    },
  };

  /** "Just before that" is itself the answer to which came first. @param {Bundle} bundle @param {number} n @param {string} act */
  function settleOrder(bundle, n, act) {
    const then = entries().find((each) => each.n === bundle.justBefore);
    if (then && matters(act, then.act, rule)) taps.mark(whichFirst({ ...then, n, act }, then));
  }
}
