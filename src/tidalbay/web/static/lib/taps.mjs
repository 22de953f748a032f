// @ts-check
// Taps on their way to the station. Each is written down on this tablet before it is sent, has a key of its own
// (screen, counter) and leaves the list only when the station has answered for it: with a receipt, or with the sentence
// that says why it does not count. A tap that is sent twice is one act: the station knows the key.

/** @typedef {import("./wire.mjs").ActToSay} ActToSay */
/** @typedef {import("./wire.mjs").MarkToSay} MarkToSay */
/** @typedef {[screen: string, number: number]} Key */
/** @typedef {{ key: Key, n?: number, t_ms?: number, refused?: string, sort: "acts" | "marks", what: any }} Answer */
/** @typedef {{ key: Key, sort: "acts" | "marks", what: any, attempt: string, tapped_ms: number, seen_at_ms: number | null }} Tap */
/**
 * waiting: not yet answered for. words: what stands in the way, or nothing. left: taps of an attempt that is over.
 * @typedef {{ waiting: number, words: string, left: number, kept: boolean }} Standing
 */

/** Taps in one request. */
const AT_ONCE = 20;
/** A tap that leaves later than this after it was made says when it was seen. [ms of the page] */
export const LATE_MS = 2000;
const FIRST_WAIT_MS = 500, LONGEST_WAIT_MS = 8000;
const SHELF = "tidalbay.tap.", COUNTER = "tidalbay.taps-made.";

/**
 * @param {object} how
 * @param {string} how.station
 * @param {string} how.screen
 * @param {() => number} how.t_ms  the station's time, as this page shows it
 * @param {(answer: Answer) => void} [how.answered]  one tap has its answer
 * @param {(standing: Standing) => void} [how.changed]  how many wait, and why
 * @param {typeof fetch} [how.send]
 * @param {Pick<Storage, "getItem" | "setItem" | "removeItem" | "key" | "length"> | null} [how.shelf]
 * @param {{ setTimeout: typeof setTimeout, clearTimeout: typeof clearTimeout }} [how.timers]
 * @param {() => number} [how.now]  wall clock of this tablet [ms], for how late a tap is
 */
export function tapQueue({
  station, screen, t_ms, answered = () => {}, changed = () => {},
  send = (...request) => fetch(...request), shelf = localShelf(), timers = globalThis, now = () => Date.now(),
}) {
  let words = "", kept = shelf !== null, wait_ms = FIRST_WAIT_MS, busy = false, one_by_one = false, ended = false;
  /** The attempt on show; taps of another one are never sent into this one. */
  let attempt = "";
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let retry;
  /** @type {Tap[]} */
  let taps = fromShelf(shelf, station);
  let made = Math.max(
    Number(read(shelf, COUNTER + screen)) || 0,
    ...taps.filter((t) => t.key[0] === screen).map((t) => t.key[1]),
  );

  const belongs = (/** @type {Tap} */ t) => !attempt || !t.attempt || t.attempt === attempt;
  /** @returns {Standing} */
  const standing = () => ({ waiting: taps.filter(belongs).length, words, left: taps.filter((t) => !belongs(t)).length, kept });
  const tell = () => changed(standing());

  /** @param {"acts" | "marks"} sort @param {any} what @returns {Key} */
  const add = (sort, what) => {
    // Another queue of the same screen, an element beside this one or a copied tab, may have counted meanwhile.
    made = Math.max(made, Number(read(shelf, COUNTER + screen)) || 0) + 1;
    /** @type {Key} */
    const key = [screen, made];
    const tap = { key, sort, what, attempt, tapped_ms: now(), seen_at_ms: Math.round(t_ms()) };
    taps.push(tap);
    keep(tap);
    tell();
    void go();
    return key;
  };

  /** @param {Tap} tap */
  const keep = (tap) => {
    try {
      shelf?.setItem(COUNTER + screen, String(made));
      shelf?.setItem(place(station, tap.key), JSON.stringify(tap));
    } catch { kept = false; }
  };

  /** @param {Tap} tap */
  const drop = (tap) => {
    taps = taps.filter((t) => t !== tap);
    try { shelf?.removeItem(place(station, tap.key)); } catch { kept = false; }
  };

  const later = () => {
    timers.clearTimeout(retry);
    if (ended) return;
    retry = timers.setTimeout(() => void go(), wait_ms);
    wait_ms = Math.min(LONGEST_WAIT_MS, wait_ms * 2);
  };

  const go = async () => {
    const ready = taps.filter(belongs), first = ready[0];
    if (busy || ended || !first) return;
    timers.clearTimeout(retry);
    busy = true;
    const other = ready.findIndex((t) => t.sort !== first.sort);
    const batch = ready.slice(0, Math.min(other < 0 ? ready.length : other, one_by_one ? 1 : AT_ONCE));
    const outcome = await post(batch);
    busy = false;
    if (outcome === "again") later();
    else { wait_ms = FIRST_WAIT_MS; void go(); }
    tell();
  };

  /** @param {readonly Tap[]} batch @returns {Promise<"on" | "again">} */
  const post = async (batch) => {
    const sort = batch[0]?.sort ?? "acts";
    /** @type {Response} */
    let response;
    try {
      response = await send(`/stations/${encodeURIComponent(station)}/${sort}`, {
        method: "POST",
        headers: { "Content-Type": "application/json" },
        credentials: "same-origin",
        body: JSON.stringify({ [sort]: batch.map(said) }),
      });
    } catch {
      words = "The station does not answer; taps are kept on this tablet and sent when it does.";
      return "again";
    }
    /** @type {any} */
    let answer = null;
    try { answer = await response.json(); } catch { /* not the lab's own answer: treated by its status */ }
    if (response.ok && Array.isArray(answer?.receipts)) {
      words = "";
      one_by_one = false;
      batch.forEach((tap, i) => {
        const receipt = answer.receipts[i];
        if (!receipt) return; // stays, and is asked for again under the same key
        drop(tap);
        answered({ ...receipt, key: tap.key, sort: tap.sort, what: tap.what });
      });
      return batch.length > answer.receipts.length ? "again" : "on";
    }
    const reason = typeof answer?.sentence === "string" ? answer.sentence : "";
    if (isFinal(response.status) && reason) {
      // One bad tap must not hold back or take with it the others of its batch.
      if (batch.length > 1) { one_by_one = true; return "on"; }
      for (const tap of batch) { drop(tap); answered({ key: tap.key, refused: reason, sort: tap.sort, what: tap.what }); }
      return "on";
    }
    words = reason || `The station answered ${response.status}; taps are kept on this tablet and sent again.`;
    return "again";
  };

  /** @param {Tap} tap */
  const said = (tap) => {
    const late = tap.sort === "acts" && now() - tap.tapped_ms > LATE_MS && tap.seen_at_ms !== null && tap.what.seen_at_ms === undefined;
    // The station refuses a tap of an attempt that is over, whoever holds it back or does not.
    return { ...tap.what, ...(late ? { seen_at_ms: tap.seen_at_ms } : {}), ...(tap.attempt ? { attempt: tap.attempt } : {}), key: tap.key };
  };

  const woken = () => { wait_ms = FIRST_WAIT_MS; void go(); };
  globalThis.addEventListener?.("online", woken);
  globalThis.addEventListener?.("pageshow", woken);
  if (taps.length) { tell(); void go(); }

  return {
    /** An act was tapped. @param {ActToSay} act @returns {Key} */
    act: (act) => add("acts", act),
    /** A judgement was tapped. @param {MarkToSay} mark @returns {Key} */
    mark: (mark) => add("marks", mark),
    standing,
    /** Those not yet answered for, oldest first. @returns {readonly Tap[]} */
    waiting: () => taps.filter(belongs),
    /** The attempt that is on show now, as the station names it. @param {string} id */
    of(id) { if (id !== attempt) { attempt = id; tell(); void go(); } },
    /** Taps of an attempt that is over, given up by the person who made them. */
    forgetLeft() { taps.filter((t) => !belongs(t)).forEach(drop); tell(); },
    /** Try at once (the connection is back). */
    again: woken,
    close() {
      ended = true;
      timers.clearTimeout(retry);
      globalThis.removeEventListener?.("online", woken);
      globalThis.removeEventListener?.("pageshow", woken);
    },
  };
}

/** Answers that will be the same next time. Not signed in (401, 403), too fast (429), too slow (408) may change. @param {number} status */
const isFinal = (status) => status >= 400 && status < 500 && ![401, 403, 408, 425, 429].includes(status);

/** @param {string} station @param {Key} key */
const place = (station, key) => `${SHELF}${station}.${key[0]}.${key[1]}`;

/**
 * Everything this tablet still holds for a station, whichever tab wrote it: a closed tab's taps are sent by the next,
 * under their own keys, so that sending twice does no harm.
 * @param {Pick<Storage, "getItem" | "key" | "length"> | null} shelf @param {string} station @returns {Tap[]}
 */
function fromShelf(shelf, station) {
  /** @type {Tap[]} */
  const found = [];
  for (let i = 0; shelf && i < shelf.length; i++) {
    const name = shelf.key(i);
    if (!name?.startsWith(`${SHELF}${station}.`)) continue;
    try {
      const tap = JSON.parse(shelf.getItem(name) ?? "");
      if (Array.isArray(tap?.key) && tap.what && (tap.sort === "acts" || tap.sort === "marks")) found.push(tap);
    } catch { /* a line torn by a full store: it was never whole */ }
  }
  return found.sort((a, b) => a.tapped_ms - b.tapped_ms || a.key[1] - b.key[1]);
}

/** @param {Pick<Storage, "getItem"> | null} shelf @param {string} name */
const read = (shelf, name) => { try { return shelf?.getItem(name) ?? ""; } catch { return ""; } };

function localShelf() {
  try { return globalThis.localStorage ?? null; } catch { return null; }
}
