// @ts-check
// Cards to print, and keys for scripts.
import { ask } from "../lib/feed.mjs";
import { byId, say } from "../lib/html.mjs";

byId("print").addEventListener("click", () => window.print());

for (const button of document.querySelectorAll("button[data-key]"))
  button.addEventListener("click", async () => {
    const station = /** @type {HTMLElement} */ (button).dataset.key ?? "";
    const { ok, words, answer } = await ask(`/stations/${encodeURIComponent(station)}/key`, {});
    say(button.parentElement?.querySelector("output") ?? null, ok ? String(answer.key) : words);
  });
