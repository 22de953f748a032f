// @ts-check
/**
 * Any act of the catalogue, asked for as briefly as it allows: nothing to say is one tap; one word to choose is
 * one more; the rest is a form. The server refuses what does not fit, in words.
 */
import { html, say } from "../lib/html.mjs";
import { plain } from "../lib/words.mjs";
import { readNumber } from "./number-pad.mjs";
import { choose, openSheet } from "./sheet.mjs";
import { objectsFor } from "./things.mjs";

/**
 * @typedef {import("../pages/check-off/offers.mjs").ActKind} ActKind
 * @typedef {import("../pages/check-off/offers.mjs").Argument} Argument
 * @typedef {import("../pages/check-off/offers.mjs").Act} Act
 * @typedef {import("./things.mjs").Things} Things
 * @typedef {import("./things.mjs").DeviceKinds} DeviceKinds
 * @typedef {{ id: string, words: string }} Thing
 */

/**
 * Asks for whatever the act must still say and resolves with it, or with undefined if nothing was to be recorded.
 * @param {ActKind} kind @param {Things} things @param {DeviceKinds} devices
 * @param {{ on?: string, values?: Record<string, unknown> }} [known] what is settled already @returns {Promise<Act | undefined>}
 */
export async function askAct(kind, things, devices, known = {}) {
  const settled = known.values ?? {};
  // What is brought into play gets its name from the station; what was settled elsewhere names its parts itself.
  const unasked = kind.brings || Object.keys(settled).length > 0;
  const objects = known.on !== undefined ? [{ id: known.on, words: "" }] : unasked ? [] : objectsFor(kind.on, things, devices);
  const asked = kind.arguments.filter((each) => each.type !== "fields" && !(each.name in settled));
  const made = await asking(kind, asked, objects, things, devices);
  return made && Object.keys(settled).length ? { ...made, values: { ...settled, ...made.values } } : made;
}

/** @param {ActKind} kind @param {Argument[]} asked @param {Thing[]} objects @param {Things} things @param {DeviceKinds} devices @returns {Promise<Act | undefined>} */
async function asking(kind, asked, objects, things, devices) {
  if (objects.length < 2 && asked.every((each) => each.optional && QUIETLY.has(each.name))) return act(kind, objects[0]?.id, {});
  const [only] = asked.filter((each) => !each.optional);
  if (objects.length < 2 && only?.choices?.length && asked.filter((each) => !each.optional).length === 1 && asked.length === 1) {
    const value = await choose(kind.button, only.choices.map((word) => ({ words: upper(wordsOf(word, devices)), value: word })));
    return value === undefined ? undefined : act(kind, objects[0]?.id, { [only.name]: value });
  }
  return asForm(kind, asked, objects, things, devices);
}

/** @param {ActKind} kind @param {Argument[]} asked @param {Thing[]} objects @param {Things} things @param {DeviceKinds} devices @returns {Promise<Act | undefined>} */
async function asForm(kind, asked, objects, things, devices) {
  const sheet = /** @type {import("./sheet.mjs").Sheet<Act>} */ (openSheet(kind.button, html`<form class="act-form" novalidate>
    ${objects.length > 1 ? html`<fieldset><legend>Which one?</legend><div class="radios">${objects.map((each, i) => html`<label><input type="radio" name="on" value="${each.id}"${i === 0 ? html` checked` : ""}><span>${upper(each.words)}</span></label>`)}</div></fieldset>` : ""}
    ${asked.map((each) => field(each, things, devices))}
    <p class="fault" role="alert"></p><button class="first" type="submit">Record</button></form>`, "form-sheet"));
  const form = /** @type {HTMLFormElement} */ (sheet.body.querySelector("form"));
  form.addEventListener("click", (event) => {
    const chip = /** @type {Element} */ (event.target).closest("button[data-usual]");
    if (!(chip instanceof HTMLElement)) return;
    const input = form.elements.namedItem(String(chip.dataset.for));
    if (input instanceof HTMLInputElement) input.value = String(chip.dataset.usual);
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const read = readForm(new FormData(form), asked);
    if ("sentence" in read) { say(form.querySelector(".fault"), read.sentence); return; }
    const on = objects.length > 1 ? String(new FormData(form).get("on")) : objects[0]?.id;
    sheet.answer(act(kind, on, read.values));
  });
  return sheet.answered;
}

/** @param {Argument} asked @param {Things} things @param {DeviceKinds} devices */
function field(asked, things, devices) {
  const words = argumentWords(asked);
  const perhaps = asked.optional ? html` <small>if known</small>` : "";
  if (asked.choices?.length)
    return html`<fieldset><legend>${words}${perhaps}</legend><div class="radios">${asked.choices.map((word) => html`<label><input type="radio" name="${asked.name}" value="${word}"><span>${upper(wordsOf(word, devices))}</span></label>`)}</div></fieldset>`;
  if (asked.type === "id") {
    const objects = objectsFor([SORT_OF[asked.name] ?? "device"], things, devices);
    return html`<label class="line"><span>${words}${perhaps}</span><select name="${asked.name}"><option value="">not said</option>${objects.map((each) => html`<option value="${each.id}">${upper(each.words)}</option>`)}</select></label>`;
  }
  if (asked.type === "yes_no") return html`<label class="tick"><input type="checkbox" name="${asked.name}" value="yes"><span>${words}</span></label>`;
  const numeric = asked.type === "number" || asked.type === "whole";
  const chips = (asked.usual ?? []).map((each) => html`<button type="button" class="chip" data-for="${asked.name}" data-usual="${each}">${each}</button>`);
  return html`<div class="line"><label><span>${words}${asked.unit ? `, ${asked.unit}` : ""}${perhaps}</span><input name="${asked.name}" autocomplete="off"${numeric ? html` inputmode="decimal"` : ""}></label>${chips.length ? html`<div class="chips">${chips}</div>` : ""}</div>`;
}

/** Arguments that may be left out and are never asked about when they are all there is: nobody at the bedside knows them. */
const QUIETLY = new Set(["way", "snugness", "max_lpm", "outlet", "flowmeter", "end", "seconds", "site", "from", "to", "machine", "water"]);

/** @type {Record<string, string>} */
const SORT_OF = { from: "flowmeter", to: "device", outlet: "outlet" };

/** What a form says, or what is wrong with it.
 * @param {{ get(name: string): unknown }} data @param {Argument[]} asked
 * @returns {{ values: Record<string, unknown> } | { sentence: string }} */
export function readForm(data, asked) {
  /** @type {Record<string, unknown>} */
  const values = {};
  for (const each of asked) {
    const text = String(data.get(each.name) ?? "").trim();
    if (each.type === "yes_no") { if (text) values[each.name] = true; continue; }
    if (text === "") {
      if (!each.optional) return { sentence: `${argumentWords(each)} is still open.` };
      continue;
    }
    if (each.type === "number" || each.type === "whole") {
      const read = readNumber(text, { words: argumentWords(each), unit: each.unit ?? "", low: each.low ?? 0, high: each.high ?? 0, whole: each.type === "whole" });
      if ("sentence" in read) return read;
      values[each.name] = read.number;
    } else values[each.name] = each.type === "finding" && /^\d+(\.\d+)?$/.test(text) ? Number(text) : text;
  }
  return { values };
}

/** An argument's name as words, its unit left out.
 * @param {Argument} asked */
export const argumentWords = (asked) => upper(plain(asked.name.replace(/_(lpm|pct|psi|bar|mg|ml|deg|per_min|s|min)$/, "")));

/** @param {string} word @param {DeviceKinds} devices */
const wordsOf = (word, devices) => devices[word]?.words ?? plain(word);

/** @param {ActKind} kind @param {string | undefined} on @param {Record<string, unknown>} values @returns {Act} */
const act = (kind, on, values) => ({ act: kind.id, ...(on === undefined ? {} : { on }), ...(Object.keys(values).length ? { values } : {}) });

/** @param {string} words */
const upper = (words) => words.slice(0, 1).toUpperCase() + words.slice(1);
