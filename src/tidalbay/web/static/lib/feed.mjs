// @ts-check
// A station as a page follows it: socket, clock, breaths and what is known, joined once for every page.

import { breathsHeard } from "./breath-now.mjs";
import { stationClock } from "./clock.mjs";
import { liveStation } from "./live.mjs";
import { screenId } from "./screen-id.mjs";
import { afterMessage, nothingKnown, store } from "./store.mjs";

/** @typedef {import("./wire.mjs").Message} Message */
/** @typedef {import("./store.mjs").Known} Known */
/** @typedef {ReturnType<typeof stationFeed>} Feed */

/**
 * @param {object} how
 * @param {string} how.station
 * @param {string} [how.screen]
 * @param {typeof liveStation} [how.follow]  opens the socket
 */
export function stationFeed({ station, screen = screenId(), follow = liveStation }) {
  const known = store(nothingKnown());
  const line = store(/** @type {import("./live.mjs").Connection & { shown_s: number }} */ ({ state: "connecting", since_ms: 0, words: "", shown_s: 0 }));
  const clock = stationClock(), breaths = breathsHeard();
  let attempt = "";

  /** @param {Message} said */
  const hear = (said) => {
    const before = attempt;
    attempt = String(said.station?.attempt ?? said.attempt ?? attempt);
    // Another attempt is another time: its clock may stand earlier than the one on show.
    if (attempt !== before || (said.kind === "hello" && !said.breath)) { clock.reset(); breaths.forget(); }
    if (said.clock) clock.hear(said.clock);
    else if (said.kind === "beat" && typeof said.t_ms === "number") clock.beat(said.t_ms);
    const next = afterMessage(known.get(), said);
    if (next.breath !== known.get().breath) breaths.hear(next.breath);
    known.set(next);
  };

  const live = follow({
    station, screen, hear,
    changed: (connection) => line.set({ ...connection, shown_s: clock.t_ms() / 1000 }),
  });

  return {
    station, screen, known, clock, breaths,
    /** The connection, with the station's time that was on show when it changed [s]. */
    line,
    /** The station's time now [s]. */
    t_s: () => clock.t_ms() / 1000,
    attempt: () => attempt,
    again: () => live.again(),
    close: () => live.close(),
  };
}

/** Sends a request that is not a tap (clock, start, end) and gives the sentence of a refusal. @param {string} url @param {unknown} body @returns {Promise<{ ok: boolean, words: string, answer: any }>} */
export async function ask(url, body) {
  try {
    const response = await fetch(url, {
      method: "POST", headers: { "Content-Type": "application/json" }, credentials: "same-origin", body: JSON.stringify(body),
    });
    /** @type {any} */
    let answer = null;
    try { answer = await response.json(); } catch { /* no body */ }
    return { ok: response.ok, words: response.ok ? "" : answer?.sentence ?? `The lab answered ${response.status}.`, answer };
  } catch {
    return { ok: false, words: "The lab does not answer; nothing was changed. Try again when the connection is back.", answer: null };
  }
}
