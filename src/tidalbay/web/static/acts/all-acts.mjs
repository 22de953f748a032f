// @ts-check
/** Every act of the catalogue, one search away. */
import { html, say, show } from "../lib/html.mjs";
import { foundActs, GROUP_WORDS, inGroups } from "./find-acts.mjs";
import { openSheet } from "./sheet.mjs";

/** @typedef {import("../pages/check-off/offers.mjs").ActKind} ActKind */

/** Acts that have a control of their own on every page, or that nobody taps. */
const ELSEWHERE = new Set(["taken_back", "time_skipped", "event_thrown", "attempt_started", "attempt_ended", "stopped_kindly"]);

/**
 * Resolves with the kind that was chosen, or undefined.
 * @param {ActKind[]} kinds @param {string} role whoever taps: acts of others are left out @returns {Promise<ActKind | undefined>}
 */
export async function chooseAct(kinds, role) {
  const mine = kinds.filter((each) => each.by.includes(role) && !ELSEWHERE.has(each.id));
  const sheet = /** @type {import("./sheet.mjs").Sheet<ActKind>} */ (openSheet("All acts", html`<label class="find"><span>Find an act by any word</span><input type="search" name="find" autocomplete="off" enterkeyhint="search"></label>
    <p class="found-count quiet" role="status"></p><div class="found"></div>`, "all-acts"));
  const found = sheet.body.querySelector(".found");
  const draw = (/** @type {string} */ typed) => {
    const some = foundActs(mine, typed);
    const groups = typed.trim() ? [{ group: "", kinds: some }] : inGroups(some);
    show(found, html`${groups.map(({ group, kinds: those }) => html`${group ? html`<h3>${GROUP_WORDS[group] ?? group}</h3>` : ""}<div class="choices">${those.map((each) => html`<button type="button" class="slip choice" data-act="${each.id}"><span>${each.button}</span></button>`)}</div>`)}`);
    say(sheet.body.querySelector(".found-count"), typed.trim() ? (some.length ? `${some.length} found` : "Nothing found. Try another word: mask, oxygen, skin, doctor.") : `${some.length} acts`);
  };
  draw("");
  const field = /** @type {HTMLInputElement} */ (sheet.body.querySelector("input"));
  // Where a real keyboard is likely the search is ready to be typed into; on glass the list stays in sight.
  if (matchMedia("(pointer: fine)").matches) field.focus();
  field.addEventListener("input", () => draw(field.value));
  field.addEventListener("keydown", (event) => {
    // Enter takes the only one, or the first of several, when something was typed.
    if (event.key !== "Enter") return;
    event.preventDefault();
    if (field.value.trim()) found?.querySelector("button")?.click();
  });
  found?.addEventListener("click", (event) => {
    const button = /** @type {Element} */ (event.target).closest("button[data-act]");
    if (!(button instanceof HTMLElement)) return;
    const chosen = mine.find((each) => each.id === button.dataset.act);
    if (chosen) sheet.answer(chosen);
  });
  return sheet.answered;
}
