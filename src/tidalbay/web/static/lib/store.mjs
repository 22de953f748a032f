// @ts-check
// What a page knows of its station, kept in one place, and told to whoever watches when it changes.

/** @typedef {import("./wire.mjs").Message} Message */
/** @typedef {import("./wire.mjs").EntrySaid} EntrySaid */

/**
 * @typedef {object} Known
 * @property {import("./wire.mjs").Role | ""} role
 * @property {{ id: string, title?: string, mode?: string, state?: string, minutes?: number, attempt?: string, learner?: any, stopped_kindly?: boolean, [more: string]: any } | null} station
 * @property {any} case
 * @property {import("./wire.mjs").ClockSaid | null} clock
 * @property {readonly EntrySaid[]} entries
 * @property {import("./wire.mjs").Breath | null} breath
 * @property {import("./wire.mjs").Readings} readings
 * @property {any} look
 * @property {readonly import("./wire.mjs").FindingSaid[]} findings
 * @property {import("./wire.mjs").Things | null} things
 * @property {readonly any[]} inspected
 * @property {readonly string[]} plausible
 * @property {any} truth
 * @property {readonly any[]} people
 * @property {readonly { id: string, tells?: string | null }[]} events  of the case, told to the instructor
 * @property {readonly any[]} faults  everything of the catalogue that can be made to go wrong, told to the instructor
 * @property {readonly any[]} marks  what was judged, told to those who judge
 * @property {readonly { item: number, id: string, say: string, must: boolean }[]} steps  of the case's check-off, told to those who judge
 * @property {any} verdicts  what the record says so far, told to those who judge; null before it was judged
 * @property {string} notice
 * @property {string} me
 */

/** @returns {Known} */
export const nothingKnown = () => ({
  role: "", station: null, case: null, clock: null, entries: [], breath: null, readings: {}, look: null, findings: [], things: null,
  inspected: [], plausible: [], truth: null, people: [], events: [], faults: [], marks: [], steps: [], verdicts: null, notice: "", me: "",
});

const OF_A_BREATH = /** @type {const} */ (["readings", "look", "findings", "things", "inspected", "plausible", "truth"]);

/**
 * What is known after a message. Pure: parts that the message does not speak of are the same objects as before.
 * @param {Known} known @param {Message} said @returns {Known}
 */
export function afterMessage(known, said) {
  /** @type {any} */
  const next = said.kind === "hello" ? { ...nothingKnown(), people: known.people } : { ...known };
  if (said.clock) next.clock = said.clock;
  switch (said.kind) {
    case "hello":
      Object.assign(next, pick(said, ["role", "station", "case", "me", "people", "events", "faults", "marks", "steps", "verdicts"]));
      next.notice = said.notice ?? "";
      next.entries = said.entries ?? [];
      // The first message may hold the breath's whole message or the breath alone.
      if (said.breath && "breath" in said.breath) takeBreath(next, /** @type {any} */ (said.breath));
      else takeBreath(next, said);
      return next;
    case "breath":
      takeBreath(next, said);
      return next;
    case "entries":
      next.entries = merged(known.entries, said.entries ?? []);
      return next;
    case "station":
      next.station = { ...known.station, ...(said.station ?? pick(said, ["id", "title", "mode", "state", "minutes", "learner", "attempt", "stopped_kindly"])) };
      if (said.case !== undefined) next.case = said.case;
      // Once time goes on again, what was said about its standing still is over.
      if (next.station.state === "running" && known.station?.state !== "running") next.notice = "";
      if (said.plausible) next.plausible = said.plausible;
      return next;
    case "marks":
      next.marks = said.marks ?? [];
      return next;
    case "verdicts":
      next.verdicts = said.verdicts ?? null;
      return next;
    case "people":
      next.people = said.people ?? [];
      return next;
    case "notice":
      next.notice = said.words ?? "";
      return next;
    default:
      return next;
  }
}

/** @param {any} next @param {any} said */
function takeBreath(next, said) {
  if (said.breath !== undefined) next.breath = said.breath;
  for (const name of OF_A_BREATH) if (said[name] !== undefined) next[name] = said[name];
}

/** @param {any} from @param {readonly string[]} names */
const pick = (from, names) => Object.fromEntries(names.filter((n) => from[n] !== undefined).map((n) => [n, from[n]]));

/** Entries by number; a number that comes again (taken back) takes the place of the old. @param {readonly EntrySaid[]} old @param {readonly EntrySaid[]} fresh */
function merged(old, fresh) {
  const byNumber = new Map(old.map((e) => [e.n, e]));
  for (const e of fresh) byNumber.set(e.n, { ...byNumber.get(e.n), ...e });
  return [...byNumber.values()].sort((a, b) => a.n - b.n);
}

/**
 * A value that can be watched. Watchers of a part are called when that part is another object or another plain value.
 * @template T
 * @param {T} first
 */
export function store(first) {
  let value = first;
  /** @type {Set<(now: T, before: T) => void>} */
  const watchers = new Set();
  return {
    get: () => value,
    /** @param {T} next */
    set(next) {
      if (next === value) return;
      const before = value;
      value = next;
      for (const tell of [...watchers]) tell(value, before);
    },
    /**
     * Calls `tell` now and whenever what `part` gives has changed; returns a function that ends it.
     * @template P
     * @param {(value: T) => P} part @param {(part: P, value: T) => void} tell
     */
    watch(part, tell) {
      /** @param {T} now @param {T} before */
      const look = (now, before) => { const p = part(now); if (!Object.is(p, part(before))) tell(p, now); };
      watchers.add(look);
      tell(part(value), value);
      return () => { watchers.delete(look); };
    },
  };
}
