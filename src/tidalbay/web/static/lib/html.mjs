// @ts-check
// Text enters the page through here and is escaped on its way in.

/** Markup that is already safe. Only the tag `html` makes it. */
export class Html {
  /** @param {string} text */
  constructor(text) { this.text = text; }
  toString() { return this.text; }
}

const UNSAFE = /[&<>"'`]/g;

/** @param {unknown} value */
export const escaped = (value) => String(value).replace(UNSAFE, (c) => `&#${c.charCodeAt(0)};`);

/** @param {unknown} value @returns {string} */
function put(value) {
  if (value instanceof Html) return value.text;
  if (Array.isArray(value)) return value.map(put).join("");
  if (value === null || value === undefined || value === false || value === true) return "";
  return escaped(value);
}

/**
 * html`<p>${words}</p>`: what is put in is escaped; lists are joined; null, undefined, true and false leave nothing.
 * Attributes are written in double quotes. Markup put into markup stays as it is.
 * @param {TemplateStringsArray} parts @param {unknown[]} values
 */
export const html = (parts, ...values) =>
  new Html(parts.reduce((all, part, i) => all + part + (i < values.length ? put(values[i]) : ""), ""));

/** Drawing text made by our own drawing functions, which take numbers only. @param {string} drawing */
export const drawn = (drawing) => new Html(drawing);

/** Text with the 2 of O2, CO2, SpO2 and their like set low, since the face has no subscript figure. @param {unknown} text */
export const chem = (text) => new Html(escaped(text).replace(/\b(SpO|SaO|PaCO|PaO|PCO|PO|CO|O)2\b/g, "$1<sub>2</sub>"));

/** @type {WeakMap<Element, string>} */
const shown = new WeakMap();

/**
 * Shows markup in an element, and touches the page only when it differs from what was put there before.
 * @param {Element | null} element @param {Html} markup @returns {boolean} whether the page changed
 */
export function show(element, markup) {
  if (!element || shown.get(element) === markup.text) return false;
  shown.set(element, markup.text);
  const again = focused(element);
  element.innerHTML = markup.text;
  if (again) /** @type {HTMLElement | null} */ (element.querySelector(again))?.focus({ preventScroll: true });
  return true;
}

/** How to find again what has the keyboard within an element: by its id or by what its data says it does. @param {Element} element */
function focused(element) {
  const active = element.ownerDocument?.activeElement;
  if (!active || active === element || !element.contains(active)) return "";
  if (active.id) return `#${CSS.escape(active.id)}`;
  const name = active.getAttributeNames().find((each) => each.startsWith("data-"));
  return name ? `[${name}="${CSS.escape(active.getAttribute(name) ?? "")}"]` : "";
}

/** The element with this id; a page without it is put together wrongly. @param {string} id @returns {HTMLElement} */
export function byId(id) {
  const element = document.getElementById(id);
  if (!element) throw new Error(`This page has no element with the id ${id}; its template and its module must agree.`);
  return element;
}

/** Text of an element, written only when it changes. @param {Element | null} element @param {string} text */
export function say(element, text) {
  if (element && element.textContent !== text) element.textContent = text;
}
