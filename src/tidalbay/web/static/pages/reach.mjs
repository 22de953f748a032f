// @ts-check
// Measures the way from this tablet to the lab: short requests one after the other, then a live line.
import { byId, say } from "../lib/html.mjs";
import { ASKED, middle, tripWords, verdict } from "./reach/measure.mjs";

const PATIENCE_MS = 3000;

async function measure() {
  say(byId("verdict"), "Measuring the way to the lab: some seconds.");
  /** @type {number[]} */
  const times_ms = [];
  for (let i = 0; i < ASKED; i++) {
    const began_ms = performance.now();
    try {
      const answer = await fetch("/reach.json", { cache: "no-store", signal: AbortSignal.timeout(PATIENCE_MS) });
      if (answer.ok) times_ms.push(performance.now() - began_ms);
    } catch { /* lost: counted by what is missing */ }
    const so_far = middle(times_ms);
    say(byId("round-trip"), so_far === null ? "none" : tripWords(so_far));
    say(byId("lost"), String(i + 1 - times_ms.length));
  }
  const opens = await lineOpens();
  say(byId("line"), opens ? "opens" : "does not open");
  say(byId("verdict"), verdict(times_ms, opens));
}

/** Whether a socket to the lab opens; which station it asks for does not matter, a refusal in words is an answer too. @returns {Promise<boolean>} */
function lineOpens() {
  return new Promise((resolve) => {
    const station = document.body.dataset.station || "s1";
    const socket = new WebSocket(`${location.protocol === "https:" ? "wss" : "ws"}://${location.host}/live/${encodeURIComponent(station)}?after=0`);
    const settle = (/** @type {boolean} */ opened) => { clearTimeout(late); socket.onopen = socket.onclose = null; socket.close(); resolve(opened); };
    const late = setTimeout(() => settle(false), PATIENCE_MS);
    socket.onopen = () => settle(true);
    socket.onclose = () => settle(false);
  });
}

byId("again").addEventListener("click", () => void measure());
void measure();
