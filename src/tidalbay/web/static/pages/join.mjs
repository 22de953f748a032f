// @ts-check
// The code as it is typed: nothing is required of its spelling, so nothing is corrected; the button waits for a whole one.
import { byId } from "../lib/html.mjs";
import { looksWhole } from "./join/code.mjs";

const field = /** @type {HTMLInputElement} */ (byId("code"));
const button = /** @type {HTMLButtonElement} */ (field.form?.querySelector("button"));
const ready = () => button.classList.toggle("first", looksWhole(field.value));
field.addEventListener("input", ready);
ready();
