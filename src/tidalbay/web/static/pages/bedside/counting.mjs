// @ts-check
// Counting breaths by looking: thirty seconds of the station's time, counted down; whoever counts may tap with each
// breath. The page counts taps and seconds, never breaths.

/** @typedef {{ phase: "idle" | "counting" | "asking", left_s: number, taps: number }} Count */

export const COUNT_S = 30;

/** @type {Count} */
export const idle = Object.freeze({ phase: "idle", left_s: COUNT_S, taps: 0 });

export function breathCount() {
  let from_s = 0;
  /** @type {Count} */
  let now = idle;
  return {
    now: () => now,
    /** @param {number} t_s */
    start(t_s) { from_s = t_s; now = { phase: "counting", left_s: COUNT_S, taps: 0 }; },
    tap() { if (now.phase === "counting") now = { ...now, taps: now.taps + 1 }; },
    stop() { now = idle; },
    /** The station's time has moved; a jump of hours, or another attempt, ends the count. @param {number} t_s @returns {Count} */
    at(t_s) {
      if (now.phase !== "counting") return now;
      const gone = t_s - from_s;
      if (gone < 0 || gone > 4 * COUNT_S) now = idle;
      else if (gone >= COUNT_S) now = { phase: "asking", left_s: 0, taps: now.taps };
      else if (Math.ceil(COUNT_S - gone) !== now.left_s) now = { ...now, left_s: Math.ceil(COUNT_S - gone) };
      return now;
    },
  };
}

/** The act of saying what was counted. @param {number} breaths  in the thirty seconds */
export const countedAct = (breaths) => ({
  act: "observed",
  values: { what: "rate", found: breaths * (60 / COUNT_S), method: "counted", seconds: COUNT_S },
});
