// @ts-check
/**
 * A sheet that comes up from the foot of the page, near the thumb, and asks one thing. It is a modal dialog: the
 * browser keeps focus inside, Escape closes it, and focus goes back to where it came from.
 */
import { html, show } from "../lib/html.mjs";

/** @typedef {import("../lib/html.mjs").Html} Html */
/**
 * @template T
 * @typedef {{ dialog: HTMLDialogElement, body: HTMLElement, answer: (value: T) => void, answered: Promise<T | undefined> }} Sheet
 */

let made = 0;

/**
 * Opens a sheet. `answer` closes it and is known at once to who waits for `answered`, so that what is done next comes
 * after it also on a slow tablet; a sheet that is closed without an answer gives none.
 * @template T
 * @param {string} title @param {Html} markup @param {string} [name] a class of its own @returns {Sheet<T>}
 */
export function openSheet(title, markup, name = "") {
  const dialog = document.createElement("dialog");
  const id = `sheet-${++made}`;
  dialog.className = `ask ${name}`.trim();
  dialog.setAttribute("aria-labelledby", id);
  show(dialog, html`<div class="ask-head"><h2 id="${id}">${title}</h2><button type="button" class="ask-close">Close</button></div><div class="ask-body">${markup}</div>`);
  document.body.append(dialog);
  /** @type {(value: T | undefined) => void} */
  let settle = () => {};
  const answered = new Promise((/** @type {(value: T | undefined) => void} */ done) => { settle = done; });
  dialog.addEventListener("close", () => { dialog.remove(); settle(undefined); });
  dialog.querySelector(".ask-close")?.addEventListener("click", () => dialog.close());
  // A touch beside the sheet closes it, as nothing has been said yet.
  dialog.addEventListener("click", (event) => { if (event.target === dialog) dialog.close(); });
  dialog.showModal();
  const body = /** @type {HTMLElement} */ (dialog.querySelector(".ask-body"));
  return { dialog, body, answered, answer: (value) => { settle(value); dialog.close(); } };
}

/**
 * One choice of several, each a large button; resolves with what was chosen, or undefined.
 * @template T
 * @param {string} title @param {{ words: string, about?: string, value: T }[]} choices @param {string} [lead]
 * @returns {Promise<T | undefined>}
 */
export async function choose(title, choices, lead = "") {
  return chooseOf(title, [{ words: "", choices }], lead);
}

/**
 * One choice out of groups with headings.
 * @template T
 * @param {string} title @param {{ words: string, choices: { words: string, about?: string, value: T }[] }[]} groups @param {string} [lead]
 * @returns {Promise<T | undefined>}
 */
export async function chooseOf(title, groups, lead = "") {
  const all = groups.flatMap((group) => group.choices);
  let place = 0;
  const sheet = /** @type {Sheet<T>} */ (openSheet(title, html`${lead ? html`<p class="ask-lead">${lead}</p>` : ""}${groups.map((group) => html`
    ${group.words ? html`<h3>${group.words}</h3>` : ""}<div class="choices">${group.choices.map((each) => html`<button
      type="button" class="slip choice" data-place="${place++}"><span>${each.words}${each.about ? html`<small>${each.about}</small>` : ""}</span></button>`)}</div>`)}`));
  sheet.body.addEventListener("click", (event) => {
    const button = /** @type {Element} */ (event.target).closest("button[data-place]");
    if (!(button instanceof HTMLElement)) return;
    const chosen = all[Number(button.dataset.place)];
    if (chosen) sheet.answer(chosen.value);
  });
  return sheet.answered;
}

/** Asks before something that cannot be taken back; true if yes.
 * @param {string} title @param {string} words @param {string} yes @param {string} [no] */
export async function confirm(title, words, yes, no = "No, go on") {
  return (await choose(title, [{ words: yes, value: true }, { words: no, value: false }], words)) ?? false;
}
