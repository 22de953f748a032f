// @ts-check
// A wall outlet with its printed gas name. 1 unit = 1 mm, from the front, the middle of the socket at 0,0.
import { P, circle } from "./geometry.mjs";
import { gasLabel } from "./flowmeter.mjs";
import { piece } from "./piece.mjs";

/** @typedef {import("./piece.mjs").Piece} Piece */

/**
 * The name is printed under an empty socket, and beside one that a flowmeter covers. Colours mean nothing here:
 * they differ from country to country.
 * @param {{ gas: string, used?: boolean }} s @returns {Piece}
 */
export function outlet({ gas, used = false }) {
  const left = used ? -196 : -66;
  const foot = used ? 58 : 76;
  const plate = `M${left} -58H62V${foot}H${left}Z`;
  const screws = [[left + 11, -47], [51, -47], [left + 11, foot - 11], [51, foot - 11]]
    .map(([x = 0, y = 0]) => circle("fine", x, y, 3) + P("hair", `M${x - 2} ${y - 1}l4 2`)).join("");
  const socket = circle("f-linen", 0, 0, 34) + circle("ink", 0, 0, 34) + circle("fine", 0, 0, 29) +
      circle("f-wash2", 0, 0, 17) +
    circle("ink", 0, 0, 17) + (used ? "" : circle("solid", 0, 0, 6)) + P("fine", "M-34 0h-6M34 0h6");
  const still = P("f-steel", plate) + P("ink", plate) + P("hair", `M${left + 5} -53H57V${foot - 5}H${left + 5}Z`) +
      screws + socket +
    (used ? gasLabel(gas, -117, 0, 124, 36) : gasLabel(gas, -2, 53, 112, 21));
  return piece(still, [], { socket: [0, 0], name: used ? [-117, 0] : [-2, 53] });
}
