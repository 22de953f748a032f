// @ts-check
// The nose seen from a little below, near: the view in which a nurse tells whether both prongs are in and which way
// they curve. An inset of 200 by 200, origin in the middle; 1 unit is about a third of a millimetre.
import { G, P, hatch, n, pts, smooth } from "./geometry.mjs";
import { hose } from "./pen.mjs";

/** @typedef {import("./geometry.mjs").Pt} Pt */
/** @typedef {import("./cannula.mjs").Way} Way */

const NOSTRIL = (/** @type {1 | -1} */ side) => smooth(pts([[side * 8, 5], [side * 9, -6], [side * 15, -16],
    [side * 24, -17], [side * 32, -7], [side * 32, 3], [side * 23, 9], [side * 13, 9]]), true);

/** Face round the nose: tip above, wings, the two openings, the groove of the lip, the mouth. */
function face() {
  const tip = pts([[-46, 17], [-54, 8], [-56, -6], [-50, -20], [-38, -29], [-28, -40], [-16, -52], [0, -57],
      [16, -52], [28, -40], [38, -29], [50, -20], [56, -6], [54, 8], [46, 17]]);
  const side = (/** @type {1 | -1} */ k) => P("ink", smooth(pts([[k * 46, 17], [k * 40, 19], [k * 33, 14],
      [k * 24, 14.5], [k * 14, 14]]))) + P("fine", smooth(pts([[k * 58, -16], [k * 67, 2], [k * 68, 18],
      [k * 78, 40]]))) +
    P("hair", smooth(pts([[k * 34, -26], [k * 38, -14], [k * 44, -4]]))) +
      P("hair", smooth(pts([[k * 24, -84], [k * 20, -70], [k * 25, -54]])));
  const lip = pts([[-64, 80], [-34, 69], [-12, 62], [0, 67], [12, 62], [34, 69], [64, 80], [30, 84], [0, 83],
      [-30, 84]]);
  return [
    `<circle class="f-skin" cx="0" cy="0" r="99"/>`,
    P("f-lip", smooth(lip, true)), P("fine", smooth(pts([[-64, 80], [-34, 69], [-12, 62], [0, 67], [12, 62], [34, 69],
      [64, 80]]))), P("ink", smooth(pts([[-67, 80], [-30, 84], [0, 83], [30, 84], [67, 80]]))),
    P("hair", smooth(pts([[-8, 26], [-11, 44], [-12, 58]])) + smooth(pts([[8, 26], [11, 44], [12, 58]]))),
      P("contour", smooth(tip)), side(1), side(-1),
    P("fine", smooth(pts([[-8, 6], [-5, 15], [-9, 24]])) + smooth(pts([[8, 6], [5, 15], [9, 24]]))),
      P("f-dark", NOSTRIL(1)), P("f-dark", NOSTRIL(-1)), P("ink", NOSTRIL(1)), P("ink", NOSTRIL(-1)),
    hatch(pts([[-54, -2], [-49, -18], [-38, -28]]), pts([[-48, 0], [-43, -14], [-34, -22]]), 11),
      hatch(pts([[-14, -51], [0, -54], [14, -51]]), pts([[-12, -45], [0, -47], [12, -45]]), 9),
  ].join("");
}

/**
 * A prong with its open end showing.
 * @param {Pt[]} line
 * @param {number} w
 * @param {number} deg the way its end looks
 */
const openProng = (line, w, deg) => {
  const [x, y] = line[line.length - 1] ?? [0, 0];
  return hose(line, w) + `<g transform="translate(${n(x)} ${n(y)}) rotate(${n(deg)})"><ellipse class="f-paper" cx="0" cy="0" rx="${n(w * 0.3)}" ry="${n(w * 0.52)}"/><ellipse class="ink" cx="0" cy="0" rx="${n(w * 0.3)}" ry="${n(w * 0.52)}"/><ellipse class="solid" cx="0" cy="0" rx="${n(w * 0.13)}" ry="${n(w * 0.26)}"/></g>`;
};

/**
 * A prong that goes in and curves away towards the floor of the nose: its end is out of sight in the dark.
 * @param {1 | -1} side
 * @param {number} w
 */
const inside = (side, w) => hose(pts([[side * 17, 32], [side * 19, 16], [side * 20, 3]]), w) +
  P("f-dark", smooth(pts([[side * (20 - w * 0.56), 3], [side * 20, 8], [side * (20 + w * 0.56), 3],
    [side * (20 + w * 0.5), -5], [side * 20, -9], [side * (20 - w * 0.5), -5]]), true)) +
    P("ink", `M${n(side * 20 - w * 0.5)} 3Q${side * 20} 8 ${n(side * 20 + w * 0.5)} 3`);

/**
 * The wrong way round: it stands out in an arch before the opening, its end against the front rim.
 * @param {1 | -1} side
 * @param {number} w
 */
const arched = (side, w) => openProng(pts([[side * 15, 32], [side * 24, 18], [side * 27, 2], [side * 22, -13]]), w,
    side > 0 ? -116 : -64);

/** @param {Way} way @param {"thin" | "wide"} bore */
export function noseInset(way, bore) {
  const w = bore === "wide" ? 19 : 12, limb = bore === "wide" ? 13 : 11;
  const bar = (/** @type {boolean} */ tabUp) => {
    const d = bore === "wide" ? smooth(pts([[-44, 30], [-20, 25], [20, 25], [44, 30], [40, 47], [0, 50], [-40, 47]]),
        true) : smooth(pts([[-34, 31], [-16, 28], [16, 28], [34, 31], [31, 42], [0, 43], [-31, 42]]), true);
    const tab = tabUp ? smooth(pts([[-20, 30], [-16, 20], [0, 17], [16, 20], [20, 30]]))
        : smooth(pts([[-20, 41], [-16, 51], [0, 54], [16, 51], [20, 41]]));
    return P("f-linen", tab + "Z") + P("fine", tab) + P("f-linen", d) + P("ink", d) + P("hair", "M-24 35.5H24");
  };
  const limbs = hose(pts([[-97, 14], [-64, 28], [-34, 36]]), limb) + hose(pts([[97, 14], [64, 28], [34, 36]]), limb);
  const parts = {
    down: () => limbs + inside(-1, w) + inside(1, w) + bar(false),
    up: () => limbs + bar(true) + arched(-1, w) + arched(1, w),
    one_out: () => G("rotate(-7)", limbs + inside(-1, w) + bar(false),
      openProng(pts([[17, 33], [36, 25], [58, 22], [72, 6]]), w, -48)),
    below: () => hose(pts([[-97, 44], [-64, 60], [-34, 68]]), limb) +
      hose(pts([[97, 44], [64, 60], [34, 68]]), limb) +
      G("translate(0 32)", openProng(pts([[-17, 34], [-19, 18], [-19, 7]]), w, -90),
        openProng(pts([[17, 34], [19, 18], [19, 7]]), w, -90), bar(false)),
    cheek: () => hose(pts([[-97, 20], [-50, 40], [0, 47], [44, 46]]), limb) +
      hose(pts([[97, -26], [94, 0], [88, 16]]), limb) +
      G("translate(62 0) rotate(-24) scale(.92)", openProng(pts([[-17, 34], [-20, 18], [-20, 5]]), w, -90),
        openProng(pts([[17, 34], [20, 18], [20, 5]]), w, -90), bar(false)),
  };
  return `<g class="onskin">${face()}</g>${parts[way]()}`;
}
