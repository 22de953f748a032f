// @ts-check
// The station's clock on a page. The server counts time; the page only fills the gaps between its messages,
// never runs backwards while it does so, and never runs far ahead of what it was told.

/** @typedef {import("./wire.mjs").ClockSaid} ClockSaid */

/** A small difference is made good over this long, so that nothing on the page jerks. [ms of the page] */
export const SETTLE_MS = 1000;
/** A greater difference is a jump of the station (hours skipped) and is shown at once. [ms of the page at this pace] */
export const LEAP_MS = 2500;
/** Without news the clock goes on for this long: a beat comes every 2 s. [ms of the page] */
export const TRUST_MS = 3000;
/** The page can be ahead by what it trusted itself to run; a station further back than this is another attempt. [ms of the page] */
export const OTHER_LIFE_MS = 1.5 * TRUST_MS;

/**
 * @typedef {object} StationClock
 * @property {(said: ClockSaid, at_ms?: number) => void} hear  a message came
 * @property {(t_ms: number, at_ms?: number) => void} beat  a heartbeat came: the station's time, pace as before
 * @property {(at_ms?: number) => number} t_ms  the station's time now [ms]
 * @property {() => boolean} running
 * @property {() => number} times  pace, 1 to 60
 * @property {() => void} reset  another attempt: its time may be earlier
 */

/**
 * @param {() => number} [now]  the page's own steady clock [ms]
 * @returns {StationClock}
 */
export function stationClock(now = () => performance.now()) {
  let known = false, running = false, times = 1;
  let base_ms = 0;       // shown at `since_ms`
  let since_ms = 0;      // page time
  let owed_ms = 0;       // to be made good from since_ms on, over `over_ms`
  let over_ms = SETTLE_MS;

  /** @param {number} at_ms */
  const shown = (at_ms) => {
    if (!known) return 0;
    if (!running) return base_ms;
    const gone = Math.min(Math.max(0, at_ms - since_ms), TRUST_MS);
    return base_ms + gone * times + owed_ms * Math.min(1, gone / over_ms);
  };

  /** @param {ClockSaid} said @param {number} at_ms */
  const hear = (said, at_ms) => {
    const before = shown(at_ms), pace = Math.max(times, said.times || 1);
    const first = !known || said.t_ms < before - OTHER_LIFE_MS * pace;
    known = true;
    running = said.state === "running";
    times = said.times || 1;
    since_ms = at_ms;
    const error = first ? 0 : said.t_ms - before;
    if (first || error > LEAP_MS * times || (!running && error > 0)) {
      base_ms = said.t_ms;
      owed_ms = 0;
      return;
    }
    base_ms = before;
    owed_ms = running ? error : 0;
    // Ahead of the station: go slower, at a tenth of the pace at least, until it has caught up.
    over_ms = error < 0 ? Math.max(SETTLE_MS, -error / (0.9 * times)) : SETTLE_MS;
  };

  return {
    hear: (said, at_ms = now()) => hear(said, at_ms),
    beat: (t_ms, at_ms = now()) => { if (known) hear({ t_ms, times, state: running ? "running" : "paused" }, at_ms); },
    t_ms: (at_ms = now()) => shown(at_ms),
    running: () => running,
    times: () => times,
    reset: () => { known = false; running = false; times = 1; base_ms = 0; owed_ms = 0; },
  };
}
