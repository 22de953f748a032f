// @ts-check
/** A number asked for on a sheet: usual values to tap, keys for gloves, and the real keyboard where there is one. */
import { html, say } from "../lib/html.mjs";
import { figure } from "../lib/words.mjs";
import { KEYS, readNumber, typed } from "./number-pad.mjs";
import { openSheet } from "./sheet.mjs";

/** @typedef {{ words: string, unit: string, low: number, high: number, whole?: boolean }} Asked */

/**
 * Resolves with the number, or undefined if the sheet was closed. Nonsense is refused in words and the sheet stays.
 * @param {string} title @param {Asked} asked @param {{ words: string, number: number }[]} [usual]
 * @returns {Promise<number | undefined>}
 */
export async function askNumber(title, asked, usual = []) {
  const sheet = /** @type {import("./sheet.mjs").Sheet<number>} */ (openSheet(title, html`
    ${usual.length ? html`<div class="chips">${usual.map((each) => html`<button type="button" class="chip" data-number="${each.number}">${each.words}</button>`)}</div>` : ""}
    <form class="pad" novalidate>
      <label class="pad-shown"><span>${asked.words}, ${asked.unit}</span><input id="pad-text" name="number" inputmode="none" autocomplete="off" aria-describedby="pad-fault"></label>
      <p class="fault" id="pad-fault" role="alert"></p>
      <div class="keys">${KEYS.map((key) => html`<button type="button" data-key="${key}" aria-label="${NAMES[key] ?? key}">${key === "delete" ? "Delete" : key}</button>`)}</div>
      <button class="first set" type="submit">Record</button>
    </form>`, "number-sheet"));
  const field = /** @type {HTMLInputElement} */ (sheet.body.querySelector("input"));
  const fault = /** @type {HTMLElement} */ (sheet.body.querySelector(".fault"));
  sheet.body.addEventListener("click", (event) => {
    const button = /** @type {Element} */ (event.target).closest("button");
    if (button?.dataset.number !== undefined) sheet.answer(Number(button.dataset.number));
    if (button?.dataset.key !== undefined) { field.value = typed(field.value, button.dataset.key); say(fault, ""); }
  });
  sheet.body.querySelector("form")?.addEventListener("submit", (event) => {
    event.preventDefault();
    const read = readNumber(field.value, asked);
    if ("sentence" in read) { say(fault, read.sentence); field.setAttribute("aria-invalid", "true"); field.focus(); return; }
    sheet.answer(read.number);
  });
  field.focus();
  return sheet.answered;
}

/** @type {Record<string, string>} */
const NAMES = { ".": "point", delete: "delete the last" };

/** Usual values as chips. @param {readonly (number | string)[]} numbers @param {string} [unit] */
export const asChips = (numbers, unit = "") =>
  numbers.filter((each) => typeof each === "number").map((number) => ({ words: `${figure(Number(number), 2)}${unit ? ` ${unit}` : ""}`, number: Number(number) }));
