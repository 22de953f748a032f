// @ts-check
// A recording played as if a station sent it: the same messages, at the pace and from the moment that somebody chose.
// Knows numbers and messages; not the page.

/** @typedef {import("./wire.mjs").Message} Message */
/** @typedef {{ hello: any, messages: any[] }} Run */

/** Parts of a breath's message that stand until another says otherwise. */
const STANDING = /** @type {const} */ (["readings", "look", "findings", "things", "inspected"]);

/** What a page must hear to stand at a moment of a run: everything said up to then, in three messages. @param {Run} run @param {number} t_ms @param {string} attempt @returns {any[]} */
export function standingAt(run, t_ms, attempt) {
  const entries = [...run.hello.entries];
  /** @type {any} */
  const breath = { ...run.hello.breath, kind: "breath" };
  for (const said of run.messages) {
    if (said.at_ms > t_ms) break;
    if (said.kind === "entries") entries.push(...said.entries);
    if (said.kind !== "breath") continue;
    breath.breath = said.breath;
    for (const part of STANDING) if (said[part] !== undefined) breath[part] = said[part];
  }
  const hello = { ...run.hello, station: { ...run.hello.station, attempt }, entries, breath: null };
  return [hello, breath];
}

/** What was said after one moment and up to another. @param {Run} run @param {number} from_ms @param {number} to_ms @returns {any[]} */
export function saidBetween(run, from_ms, to_ms) {
  return run.messages.filter((said) => said.at_ms > from_ms && said.at_ms <= to_ms);
}

/** The caption that stands at a moment: the last one said, for half a minute. @param {readonly { at_s: number, say: string }[]} captions @param {number} t_s */
export function captionAt(captions, t_s, for_s = 30) {
  const last = captions.filter((c) => c.at_s <= t_s).at(-1);
  return last && t_s < last.at_s + for_s ? last.say : "";
}

/**
 * Plays runs of one attempt. `tick` is called with the page's own steady clock, as often as the page likes.
 * @param {readonly Run[]} runs @param {number} end_ms
 */
export function recordedStation(runs, end_ms) {
  let way = 0, t_ms = 1, times = 5, playing = false, before_ms = NaN, life = 0;
  /** @type {(message: any) => void} */
  let hear = () => {};
  const clock = () => ({ t_ms: Math.round(t_ms), times, state: playing ? "running" : "paused" });
  /** @param {any} said */
  const tell = (said) => hear({ ...said, clock: clock() });
  const run = () => /** @type {Run} */ (runs[way]);
  const stand = () => { life += 1; for (const said of standingAt(run(), t_ms, `recorded-${life}`)) tell(said); };
  return {
    /** Stands in for the socket of a station. @param {{ hear: (message: any) => void, changed?: (c: any) => void }} how */
    follow(how) {
      hear = how.hear;
      how.changed?.({ state: "connected", since_ms: 0, words: "" });
      stand();
      return { close() {}, connection: () => ({ state: "connected", since_ms: 0, words: "" }), again() {} };
    },
    /** @param {number} now_ms */
    tick(now_ms) {
      const gone_ms = Number.isNaN(before_ms) ? 0 : Math.min(500, now_ms - before_ms);
      before_ms = now_ms;
      if (!playing) return;
      const from_ms = t_ms;
      t_ms = Math.min(end_ms, t_ms + gone_ms * times);
      for (const said of saidBetween(run(), from_ms, t_ms)) tell(said);
      if (t_ms >= end_ms) { playing = false; tell({ kind: "clock" }); }
    },
    /** @param {boolean} on */
    play(on) {
      if (on && t_ms >= end_ms) { t_ms = 1; stand(); }
      playing = on;
      tell({ kind: "clock" });
    },
    /** @param {number} to_ms */
    seek(to_ms) { t_ms = Math.min(end_ms, Math.max(1, to_ms)); stand(); },
    /** @param {number} n */
    pace(n) { times = n; tell({ kind: "clock" }); },
    /** @param {number} n */
    choose(n) { way = n; stand(); },
    t_ms: () => t_ms,
    isPlaying: () => playing,
    way: () => way,
  };
}
