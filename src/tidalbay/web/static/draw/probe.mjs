// @ts-check
// The oximeter's probe where it is put: on a finger, its cable over the back of the hand and along the forearm; clipped to
// the ear lobe; round a toe.
import { G, P, circle, mix, n, pts, shape, smooth } from "./geometry.mjs";
import { handFrame } from "./patient/arm.mjs";
import { piece } from "./piece.mjs";

/** @typedef {import("./posture.mjs").Posture} Posture */
/** @typedef {import("./geometry.mjs").Pt} Pt */
/** @typedef {"finger" | "ear" | "toe"} ProbeSite */

const clip = smooth(pts([[-26, -13], [8, -15], [17, -8], [18, 0], [17, 8], [8, 14], [-26, 12], [-30, 8], [-24, 1], [-30, -8]]), true);
const cable = (/** @type {Pt[]} */ line) => `<path class="cable" d="${smooth(line)}"/>`;

/** @typedef {{id: string, right: number, low: number}} Ends  in the world: where the picture ends */
/** A cable, or a thin line, that runs out of the picture and fades before its edge. @param {Pt[]} line @param {Ends | undefined} ends @param {"right" | "low"} way @param {"cable" | "sampling"} [kind] */
export function runningOut(line, ends, way, kind = "cable") {
  if (!ends) return `<path class="${kind}" d="${smooth(line)}"/>`;
  const to = way === "right" ? `x1="${n(ends.right - 160)}" x2="${n(ends.right - 6)}" y1="0" y2="0"` : `x1="0" x2="0" y1="${n(ends.low - 110)}" y2="${n(ends.low - 6)}"`;
  return `<linearGradient id="${ends.id}" gradientUnits="userSpaceOnUse" ${to}><stop class="to-ink"/><stop offset="1" class="to-ink" stop-opacity="0"/></linearGradient>` +
    `<path class="${kind}-out" stroke="url(#${ends.id})" d="${smooth(line)}"/>`;
}
/** A spring clip, jaws towards -x. */
const jaws = shape("f-linen", "contour", clip) + P("fine", "M-24 0H17") + P("hair", "M-14 -9H6M-14 -5.5H6") + circle("fine", -20, 0, 2.6);

/** Anchor: `probe`, where words may point. @param {Posture} f @param {{site: ProbeSite, toe?: Pt | null, ends?: Ends}} state `toe`: where a bare near foot has its great toe @returns {import("./piece.mjs").Piece} */
export function probe(f, { site, toe = null, ends }) {
  if (site === "ear") return onLobe(f, ends);
  if (site === "toe") return onToe(f, toe, ends);
  const h = handFrame(f), k = f.body.hand, size = Math.max(0.62, k), at = h.at(143, 28);
  // The cable leaves over the back of the hand, is taped there, and goes round the wrist and down beside the bed.
  const u = f.body.unit, [wx, wy] = f.wrist, down = /** @type {Pt[]} */ ([[wx - 40 * u, wy + 120 * u], [wx - 6 * u, wy + 280 * u], [wx + 60 * u, wy + 560 * u]]);
  const along = /** @type {Pt[]} */ ([[wx + 130 * u, wy - 50 * u], [wx + 360 * u, wy - 96 * u], [wx + 700 * u, wy - 104 * u], [wx + 1300 * u, wy - 90 * u]]);
  const line = [h.at(122, 6), h.at(98, -10), h.at(60, -25), h.at(16, -26), ...(f.s.posture === "side" ? along : [h.at(-26, -14), h.at(-36, 30), ...down])];
  const tape = G(`translate(${n(h.at(40, -26)[0])} ${n(h.at(40, -26)[1])}) rotate(${n(h.deg + 2)}) scale(${size})`, shape("f-linen", "fine", "M-9 -4L9 -5L10 16L-8 18Z"));
  const still = runningOut(line, ends, f.s.posture === "side" ? "right" : "low") + tape + G(`translate(${n(at[0])} ${n(at[1])}) rotate(${n(h.deg + 36)}) scale(${size})`, jaws);
  return piece(still, [], { probe: h.at(146, 16) });
}

/** A foot with its wrap, for an inset of radius 92: under the blanket nobody sees where the probe is. */
export function footInset() {
  const foot = smooth(pts([[-96, -40], [-40, -38], [14, -30], [52, -18], [70, -8], [72, 10], [56, 20], [0, 26], [-60, 34], [-100, 40]])), toes = [[66, 2, 11], [58, 12, 8.5], [48, 18, 7], [38, 21, 6]];
  return P("f-wash2", "M-100 -100H100V100H-100Z") + G("rotate(-14)", P("f-skin", foot + "Z"), P("contour", foot), toes.map(([x = 0, y = 0, r = 0]) => circle("f-skin", x, y, r) + circle("fine", x, y, r)).join(""), P("nail", "M70 -5q8 1 7 8l-8 -1z"),
    P("hair", "M-30 -14q20 -2 40 6M-36 0q24 0 44 8"), shape("f-linen", "ink", smooth(pts([[50, -22], [70, -16], [80, -4], [78, 10], [64, 14], [48, 8]]), true)), P("hair", "M56 -19L54 10M62 -17L60 12"),
    cable(pts([[50, -10], [20, -36], [-20, -50], [-60, -62], [-100, -96]])));
}

/** @param {Posture} f @param {Ends} [ends] */
function onLobe(f, ends) {
  const [x, y] = f.anchors.lobe, k = Math.max(0.7, f.head.scale), [sx, sy] = f.shoulder;
  const line = /** @type {Pt[]} */ ([[x, y + 16 * k], [x - 6 * k, y + 60 * k], [mix(x, sx, 0.8) - 30 * k, sy - 20 * k], [sx - 70 * k, sy + 60 * k], [sx - 120 * k, sy + 230 * k], [sx - 130 * k, sy + 900 * k]]);
  return piece(runningOut(line, ends, "low") + G(`translate(${n(x)} ${n(y)}) rotate(${n(f.head.deg + 90)}) scale(${n(k * 0.62)})`, jaws), [], { probe: [x + 10 * k, y] });
}

/** A soft wrap round a bare great toe; under a blanket only its cable shows. @param {Posture} f @param {Pt | null} toe @param {Ends} [ends] */
function onToe(f, toe, ends) {
  const u = f.body.unit;
  if (!toe) {
    const line = /** @type {Pt[]} */ ([[470 * u, 128 * u], [440 * u, 150 * u], [380 * u, 190 * u], [330 * u, 260 * u], [310 * u, 560 * u]]);
    return piece(runningOut(line, ends, "low"), [], { probe: [470 * u, 60 * u] });
  }
  const [x, y] = toe, line = /** @type {Pt[]} */ ([[x - 4, y + 4], [x - 30, y], [x - 62, y + 18], [x - 58, y + 70], [x - 40, y + 150], [x - 20, y + 320]]);
  return piece(runningOut(line, ends, "low") + G(`translate(${n(x)} ${n(y)}) rotate(-28)`, shape("f-linen", "ink", smooth(pts([[-14, -12], [6, -11], [12, -4], [11, 6], [4, 11], [-14, 10]]), true)), P("hair", "M-8 -11V10M-2 -11V10")), [], { probe: [x + 8, y] });
}
