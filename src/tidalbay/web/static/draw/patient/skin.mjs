// @ts-check
// Colours of five skins and of hair. Tint is never the only sign: words stand beside it.
import { mix } from "../geometry.mjs";

/**
 * `blue` is what lip and nail turn towards: the shift is smaller on darker skin, and is drawn so. `sore` is a reddened
 * place: on dark skin it is darker and bluer, not red. `deep` shades folds.
 * @typedef {{skin: string, cheek: string, lip: string, nail: string, blue: string, sore: string, deep: string}} Skin
 */
/** @type {Readonly<Record<1 | 2 | 3 | 4 | 5, Skin>>} */
export const skins = {
  1: { skin: "#F8E7DA", cheek: "#E9B9A6", lip: "#CF8C84", nail: "#F1C9BE", blue: "#8F8BA0", sore: "#C8473A", deep: "#D9B7A2" },
  2: { skin: "#F1D9C4", cheek: "#DDA98F", lip: "#C08074", nail: "#EBC3B1", blue: "#868196", sore: "#BC4436", deep: "#CFA78C" },
  3: { skin: "#DDB894", cheek: "#C5906C", lip: "#A9695A", nail: "#DDAF95", blue: "#746E80", sore: "#A23F33", deep: "#B48862" },
  4: { skin: "#B98A66", cheek: "#A16F4F", lip: "#8A5449", nail: "#C99C84", blue: "#665C70", sore: "#6E2F35", deep: "#8C6243" },
  5: { skin: "#8F6548", cheek: "#7C5038", lip: "#6E4540", nail: "#B4866F", blue: "#584F5E", sore: "#4A2632", deep: "#67452E" },
};
const hairTones = Object.freeze({ brown: "#5A4A3F", dark: "#2F2926", grey: "#A7A198", fair: "#C9A878" });

/** @param {string} h @returns {[number, number, number]} */
const rgb = (h) => [parseInt(h.slice(1, 3), 16), parseInt(h.slice(3, 5), 16), parseInt(h.slice(5, 7), 16)];

/** Colour a turned towards b by share t. @param {string} a @param {string} b @param {number} t */
function blend(a, b, t) {
  const to = rgb(b);
  return "#" + rgb(a).map((v, i) => Math.round(mix(v, to[i] ?? v, t)).toString(16).padStart(2, "0")).join("");
}

/** The style variables a drawing of this patient's skin needs, by name. @param {{tone: 1 | 2 | 3 | 4 | 5, blue: number, hair_tone: keyof typeof hairTones}} s @returns {Record<string, string>} */
export function skinVariables(s) {
  const k = skins[s.tone];
  return {
    "--skin": k.skin, "--cheek": k.cheek, "--lip": blend(k.lip, k.blue, s.blue), "--nail": blend(k.nail, k.blue, s.blue), "--sore": k.sore, "--deep": k.deep, "--hairc": hairTones[s.hair_tone],
  };
}
