// @ts-check
/** The chart: a form to write on. What is left empty is not written; numbers that cannot be are refused in words. */
import { readNumber } from "../../acts/number-pad.mjs";
import { openSheet } from "../../acts/sheet.mjs";
import { html, say } from "../../lib/html.mjs";

/**
 * @typedef {{ name: string, words: string, type: string, unit?: string, low?: number, high?: number }} Field
 * @typedef {{ id: string, title: string, about: string, fields: Field[] }} Form
 */

/** Asks for an entry and resolves with the act, or undefined.
 * @param {Form} form @param {string[]} devices words of devices that may be written @returns {Promise<{ act: string, values: Record<string, unknown> } | undefined>} */
export async function writeChart(form, devices) {
  const sheet = /** @type {import("../../acts/sheet.mjs").Sheet<{ act: string, values: Record<string, unknown> }>} */ (openSheet(form.title, html`<p class="quiet">${form.about}</p><form class="chart-form" novalidate>
    ${form.fields.map((each) => html`<label><span>${each.words}${each.unit ? `, ${each.unit}` : ""}</span>${each.type === "device"
      ? html`<input name="${each.name}" list="chart-devices" autocomplete="off">`
      : html`<input name="${each.name}" autocomplete="off"${each.type === "number" ? html` inputmode="decimal"` : html` maxlength="200"`}>`}</label>`)}
    <datalist id="chart-devices">${devices.map((each) => html`<option value="${each}"></option>`)}</datalist>
    <p class="fault" role="alert"></p><button type="submit" class="first">Write it down</button></form>`, "chart-sheet"));
  const box = /** @type {HTMLFormElement} */ (sheet.body.querySelector("form"));
  box.addEventListener("submit", (event) => {
    event.preventDefault();
    const read = readEntry(form, new FormData(box));
    if ("sentence" in read) { say(box.querySelector(".fault"), read.sentence); return; }
    sheet.answer({ act: "charted", values: { form: form.id, fields: read.fields } });
  });
  return sheet.answered;
}

/** What stands on the form, or what is wrong with it.
 * @param {Form} form @param {{ get(name: string): unknown }} data
 * @returns {{ fields: Record<string, unknown> } | { sentence: string }} */
export function readEntry(form, data) {
  /** @type {Record<string, unknown>} */
  const fields = {};
  for (const each of form.fields) {
    const text = String(data.get(each.name) ?? "").trim();
    if (text === "") continue;
    if (each.type !== "number") { fields[each.name] = text; continue; }
    const read = readNumber(text, { words: each.words, unit: each.unit ?? "", low: each.low ?? 0, high: each.high ?? 0 });
    if ("sentence" in read) return read;
    fields[each.name] = read.number;
  }
  return Object.keys(fields).length ? { fields } : { sentence: "Nothing is written yet." };
}
