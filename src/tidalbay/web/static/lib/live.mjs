// @ts-check
// The socket of a station: numbered messages in, nothing out. Reconnecting is connecting with the last number seen.

/** @typedef {import("./wire.mjs").Message} Message */
/**
 * connecting: not yet there. connected: messages come. away: lost, being sought again. refused: the server says no, in words.
 * @typedef {{ state: "connecting" | "connected" | "away" | "refused", since_ms: number, words: string }} Connection
 */
/**
 * @typedef {object} Live
 * @property {() => void} close
 * @property {() => Connection} connection
 * @property {() => void} again  connect anew at once
 */

/** A beat comes every 2 s; after this long without any message the line counts as dead. [ms] */
export const SILENT_MS = 5000;
const FIRST_WAIT_MS = 400, LONGEST_WAIT_MS = 4000;
/** Closings that will not get better by trying again: policy, and our own 44xx ("not yours", "no such station"). */
const isRefusal = (/** @type {number} */ code) => code === 1008 || (code >= 4400 && code < 4500);

/**
 * @param {object} how
 * @param {string} how.station
 * @param {string} how.screen
 * @param {(message: Message) => void} how.hear  each message, in order
 * @param {(connection: Connection) => void} [how.changed]  called when the connection changes
 * @param {(url: string) => WebSocket} [how.open]
 * @param {() => number} [how.now]  [ms]
 * @param {{ setTimeout: typeof setTimeout, clearTimeout: typeof clearTimeout }} [how.timers]
 * @param {string} [how.base]  "ws://host" or "wss://host"; from the page's own address if left out
 * @returns {Live}
 */
export function liveStation({
  station, screen, hear, changed = () => {},
  open = (url) => new WebSocket(url), now = () => performance.now(), timers = globalThis, base = baseOf(globalThis.location),
}) {
  let after = 0, wait_ms = FIRST_WAIT_MS, heard_ms = now(), ended = false;
  /** @type {WebSocket | null} */
  let socket = null;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let retry;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let watch;
  /** @type {Connection} */
  let connection = { state: "connecting", since_ms: now(), words: "" };

  /** @param {Connection["state"]} state @param {string} [words] */
  const become = (state, words = "") => {
    if (connection.state === state && connection.words === words) return;
    connection = { state, since_ms: now(), words };
    changed(connection);
  };

  const drop = () => {
    timers.clearTimeout(retry);
    timers.clearTimeout(watch);
    const old = socket;
    socket = null;
    if (!old) return;
    old.onopen = old.onmessage = old.onclose = old.onerror = null;
    old.close();
  };

  const connect = () => {
    if (ended) return;
    drop();
    heard_ms = now();
    const mine = open(`${base}/live/${encodeURIComponent(station)}?after=${after}&screen=${encodeURIComponent(screen)}${shownAs()}`);
    socket = mine;
    mine.onmessage = (event) => {
      if (socket !== mine) return;
      heard_ms = now();
      /** @type {Message} */
      const message = JSON.parse(event.data);
      if (typeof message.seq === "number") after = message.seq;
      wait_ms = FIRST_WAIT_MS;
      become("connected");
      hear(message);
    };
    mine.onclose = (event) => {
      if (socket !== mine) return;
      socket = null;
      timers.clearTimeout(watch);
      if (isRefusal(event.code)) {
        ended = true;
        become("refused", event.reason || "The station does not let this screen in; join again with its code.");
        return;
      }
      lost();
    };
    look();
  };

  const lost = () => {
    become("away");
    timers.clearTimeout(retry);
    retry = timers.setTimeout(connect, wait_ms);
    wait_ms = Math.min(LONGEST_WAIT_MS, wait_ms * 2);
  };

  // Some tablets drop a socket without saying so: silence is the sign.
  const look = () => {
    timers.clearTimeout(watch);
    watch = timers.setTimeout(() => {
      if (!socket) return;
      if (now() - heard_ms < SILENT_MS) return look();
      drop();
      lost();
    }, 1000);
  };

  const again = () => { if (!ended) { wait_ms = FIRST_WAIT_MS; connect(); } };
  const woken = () => {
    if (globalThis.document?.visibilityState === "hidden") return;
    if (connection.state !== "connected" || now() - heard_ms > 2500) again();
  };
  const shown = (/** @type {PageTransitionEvent} */ event) => { if (event.persisted) again(); };
  globalThis.document?.addEventListener?.("visibilitychange", woken);
  globalThis.addEventListener?.("pageshow", shown);
  globalThis.addEventListener?.("online", woken);

  connect();
  return {
    close() {
      ended = true;
      drop();
      globalThis.document?.removeEventListener?.("visibilitychange", woken);
      globalThis.removeEventListener?.("pageshow", shown);
      globalThis.removeEventListener?.("online", woken);
    },
    connection: () => connection,
    again,
  };
}

/** @param {{ protocol: string, host: string } | undefined} place */
const baseOf = (place) => (place ? `${place.protocol === "https:" ? "wss" : "ws"}://${place.host}` : "");

/** The role that this page is made for: an instructor who shows the bedside to the room receives no more than the room may see. */
const shownAs = () => {
  const role = globalThis.document?.body?.dataset?.role;
  return role ? `&as=${encodeURIComponent(role)}` : "";
};
