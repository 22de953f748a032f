// @ts-check
// Where chest and bags are at a moment, read from the breath that the station sent. Reading between two samples is
// all that happens here: the page draws, it never computes a volume.

/** @typedef {import("./wire.mjs").Breath} Breath */

/**
 * @typedef {object} Sample
 * @property {number} air_ml  above rest
 * @property {Record<string, number>} bag  0..1 of full, by device id
 * @property {boolean} breathing_in
 * @property {number} n  number of the breath, 0 before the first
 */

/** Volume above rest that fills the drawing's chest: the drawing moves between 0 and 1. [mL] */
export const DRAWN_FULL_ML = 900;

/** @param {number} air_ml @param {number} [full_ml] a child's chest fills with less */
export const airShare = (air_ml, full_ml = DRAWN_FULL_ML) => Math.min(1, Math.max(0, air_ml / full_ml));

/**
 * A list of samples read at a moment after its first one; before it the first, after it the last.
 * @param {readonly number[]} samples @param {number} after_s @param {number} step_s
 */
export function between(samples, after_s, step_s) {
  if (!samples.length) return 0;
  const place = Math.min(Math.max(0, after_s / step_s), samples.length - 1);
  const i = Math.min(Math.floor(place), samples.length - 1);
  const a = samples[i] ?? 0, b = samples[i + 1] ?? a;
  return a + (b - a) * (place - i);
}

/** @param {Breath | null | undefined} breath @param {number} t_s  the station's time [s] @returns {Sample} */
export function breathAt(breath, t_s) {
  if (!breath) return { air_ml: 0, bag: {}, breathing_in: false, n: 0 };
  const after_s = t_s - breath.from_s;
  /** @type {Record<string, number>} */
  const bag = {};
  for (const [id, samples] of Object.entries(breath.bag_pct ?? {})) bag[id] = between(samples, after_s, breath.step_s) / 100;
  return {
    air_ml: between(breath.air_ml, after_s, breath.step_s),
    bag,
    breathing_in: after_s >= 0 && after_s < Math.min(breath.breathing_in_s, breath.lasts_s),
    n: breath.n,
  };
}

/**
 * The breaths that a page still needs: the message of a breath may come a moment before the page's clock is there,
 * and the breath before it is drawn to its end.
 * @param {number} [keep]
 */
export function breathsHeard(keep = 3) {
  /** @type {Breath[]} */
  let heard = [];
  return {
    /** A breath came; one with a known number takes the place of the old (an act has changed it). @param {Breath | null | undefined} breath */
    hear(breath) {
      if (!breath) return;
      // A breath that begins no later than one we hold ends what was foretold after it: superseded, or another attempt.
      heard = heard.filter((b) => b.from_s < breath.from_s && b.n !== breath.n);
      heard.push(breath);
      if (heard.length > keep) heard = heard.slice(-keep);
    },
    /** @param {number} t_s @returns {Sample} */
    at(t_s) {
      for (let i = heard.length - 1; i > 0; i--) {
        const b = heard[i];
        if (b && b.from_s <= t_s) return breathAt(b, t_s);
      }
      return breathAt(heard[0], t_s);
    },
    /** The newest breath heard. */
    newest: () => heard[heard.length - 1] ?? null,
    forget() { heard = []; },
  };
}
