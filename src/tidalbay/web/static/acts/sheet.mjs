// @ts-check
/**
 * A sheet that comes up from the foot of the page, near the thumb, and asks one thing. It is a modal dialog: the
 * browser keeps focus inside, Escape closes it, and focus goes back to where it came from.
 */
import { html, show } from "../lib/html.mjs";

/** @typedef {import("../lib/html.mjs").Html} Html */
/** @typedef {{ dialog: HTMLDialogElement, body: HTMLElement, closed: Promise<void>, close: () => void }} Sheet */

let made = 0;

/**
 * Opens a sheet. `closed` is kept when it has gone from the page, however it was closed.
 * @param {string} title @param {Html} markup @param {string} [name] a class of its own @returns {Sheet}
 */
export function openSheet(title, markup, name = "") {
  const dialog = document.createElement("dialog");
  const id = `sheet-${++made}`;
  dialog.className = `ask ${name}`.trim();
  dialog.setAttribute("aria-labelledby", id);
  show(dialog, html`<div class="ask-head"><h2 id="${id}">${title}</h2><button type="button" class="ask-close">Close</button></div><div class="ask-body">${markup}</div>`);
  document.body.append(dialog);
  const closed = new Promise((/** @type {(value: void) => void} */ done) => dialog.addEventListener("close", () => { dialog.remove(); done(); }));
  dialog.querySelector(".ask-close")?.addEventListener("click", () => dialog.close());
  // A touch beside the sheet closes it, as nothing has been said yet.
  dialog.addEventListener("click", (event) => { if (event.target === dialog) dialog.close(); });
  dialog.showModal();
  return { dialog, body: /** @type {HTMLElement} */ (dialog.querySelector(".ask-body")), closed, close: () => dialog.close() };
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
  /** @type {T | undefined} */
  let chosen;
  const all = groups.flatMap((group) => group.choices);
  let place = 0;
  const sheet = openSheet(title, html`${lead ? html`<p class="ask-lead">${lead}</p>` : ""}${groups.map((group) => html`
    ${group.words ? html`<h3>${group.words}</h3>` : ""}<div class="choices">${group.choices.map((each) => html`<button
      type="button" class="slip choice" data-place="${place++}"><span>${each.words}${each.about ? html`<small>${each.about}</small>` : ""}</span></button>`)}</div>`)}`);
  sheet.body.addEventListener("click", (event) => {
    const button = /** @type {Element} */ (event.target).closest("button[data-place]");
    if (!(button instanceof HTMLElement)) return;
    chosen = all[Number(button.dataset.place)]?.value;
    sheet.close();
  });
  await sheet.closed;
  return chosen;
}

/** Asks before something that cannot be taken back; true if yes.
 * @param {string} title @param {string} words @param {string} yes @param {string} [no] */
export async function confirm(title, words, yes, no = "No, go on") {
  return (await choose(title, [{ words: yes, value: true }, { words: no, value: false }], words)) ?? false;
}
