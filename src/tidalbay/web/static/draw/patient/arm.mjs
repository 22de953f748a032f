// @ts-check
// The near arm, its sleeve and its hand, which lies on its side with the index finger forward.
import { P, brush, dist, frame, hatch, mix, pts, smooth } from "../geometry.mjs";
import { sheet } from "../sheet.mjs";
import { measures } from "./trunk.mjs";

/** @typedef {import("../posture.mjs").Posture} Posture */
/** @typedef {import("../geometry.mjs").Pt} Pt */

/** Frame of the hand: the wrist's middle is 0,0, fingers towards +x. @param {Posture} f */
export function handFrame(f) {
  const { wrist: w, elbow: e, s, body } = f, along = (Math.atan2(w[1] - e[1], w[0] - e[0]) * 180) / Math.PI;
  const deg = s.posture === "side" ? along + 12 : s.build === "infant" ? along + 62 : s.posture === "sitting_out" ? 16 : 0;
  return frame(w[0], w[1], deg, body.hand);
}

/** @param {Pt} a @param {Pt} b @param {number} t @param {Pt} normal @param {number} off @returns {Pt} */
const beside = (a, b, t, normal, off) => [mix(a[0], b[0], t) + normal[0] * off, mix(a[1], b[1], t) + normal[1] * off];
/** Normal of a to b on the side of c. @param {Pt} a @param {Pt} b @param {Pt} c @returns {Pt} */
function normalTowards(a, b, c) {
  const d = dist(a, b), nx = -(b[1] - a[1]) / d, ny = (b[0] - a[0]) / d, side = nx * (c[0] - b[0]) + ny * (c[1] - b[1]) >= 0 ? 1 : -1;
  return [nx * side, ny * side];
}

/** Outlines of the arm from the sleeve to the wrist, upper side and under side (world). @param {Posture} f */
function outlines(f) {
  const S = f.shoulder, E = f.elbow, W = f.wrist, k = f.body.limb, plump = f.s.build === "infant" ? 1.25 : 1, h = handFrame(f);
  const nU = normalTowards(S, E, W), nF = normalTowards(W, E, S), dF = /** @type {Pt} */ ([(W[0] - E[0]) / dist(E, W), (W[1] - E[1]) / dist(E, W)]);
  /** @param {number} t @param {number} off up, towards the shoulder's side */
  const fore = (t, off) => beside(E, W, t, nF, off * k * plump);
  /** @param {number} t @param {number} off */
  const up = (t, off) => beside(S, E, t, nU, off * k * plump);
  const tip = /** @type {Pt[]} */ ([[E[0] - nF[0] * 48 * k - dF[0] * 8 * k, E[1] - nF[1] * 48 * k - dF[1] * 8 * k], [E[0] - nF[0] * 28 * k - dF[0] * 40 * k, E[1] - nF[1] * 28 * k - dF[1] * 40 * k]]);
  const dU = /** @type {Pt} */ ([(E[0] - S[0]) / dist(S, E), (E[1] - S[1]) / dist(S, E)]), folded = dU[0] * dF[0] + dU[1] * dF[1] < 0.1;
  const crease = /** @type {Pt} */ ([E[0] + (nU[0] + nF[0]) * 40 * k, E[1] + (nU[1] + nF[1]) * 40 * k]);
  return {
    fore, up, tip, folded,
    upper: /** @type {Pt[]} */ ([up(0.4, 66), ...(folded ? [crease] : [up(0.78, 63), fore(0.32, 43)]), fore(0.5, 39), fore(0.74, 35), ...h.all([[0, -22]])]),
    under: /** @type {Pt[]} */ ([...h.all([[0, 30]]), fore(0.66, -29), fore(0.38, -39), fore(0.14, -48), ...tip, up(0.78, -62), up(0.5, -68)]),
  };
}

/** Sleeve in trunk coordinates: the shoulder lifts, and the cloth turns with the upper arm. @param {Posture} f @param {number} lift @returns {Pt[]} */
function sleeve(f, lift) {
  const { body, trunk, elbow } = f, [sx, sy] = body.shoulder, rad = (-trunk.deg * Math.PI) / 180, c = Math.cos(rad), q = Math.sin(rad);
  const ex = elbow[0] * c - elbow[1] * q, ey = elbow[0] * q + elbow[1] * c; // the elbow in trunk coordinates
  const turn = Math.atan2(ey - sy, ex - sx) - Math.atan2(body.elbow[1] - sy, body.elbow[0] - sx);
  return body.sleeve.map(([x, y], i) => {
    const far = Math.min(1, Math.max(0, (y - sy + 60 * body.unit) / (200 * body.unit))), a = turn * far, u = x - sx, v = y - sy;
    return [sx + u * Math.cos(a) - v * Math.sin(a), sy + u * Math.sin(a) + v * Math.cos(a) - (i < 5 ? lift : 0)];
  });
}

const handTop = pts([[-4, -23], [22, -27], [52, -26], [78, -17], [104, -2], [128, 14], [148, 27], [152, 34], [146, 38], [132, 34], [110, 23], [94, 17]]);
const handBelow = pts([[94, 17], [112, 30], [128, 42], [130, 49], [122, 51], [104, 41], [86, 30], [98, 43], [108, 53], [106, 59], [97, 58], [80, 46], [68, 36], [40, 34], [10, 31], [-4, 31]]);

/** @param {Posture} f */
export function arm(f) {
  const { s, trunk, elbow: E, body } = f, d = sheet(), u = body.unit, k = body.limb, h = handFrame(f), infant = s.build === "infant", { upper, under, fore, up, tip, folded } = outlines(f);
  /** An infant's fingers are short and its hand is plump. @param {readonly Pt[]} line */
  const H = (line) => h.all(infant ? line.map(([x, y, c]) => (c ? [x * 0.8, y * 1.12, c] : [x * 0.8, y * 1.12])) : line);
  const hand = H(handTop), below = H(handBelow);
  d.add('<g class="onskin">', P("f-skin", smooth(upper) + smooth(hand, false, false) + smooth(below, false, false) + smooth(under, false, false) + "Z"));
  d.add(P("contour", smooth(upper)), P("contour", smooth(under)), P("ink", smooth(hand)), P("ink", smooth(below)));
  d.add(P("fine", smooth(H([[30, 4], [48, 20], [76, 30], [90, 33], [96, 28], [80, 18], [62, 6]]))), P("hair", smooth(H([[78, -2], [94, 8], [106, 18]]))), P("hair", smooth(H([[-4, 10], [2, 4], [4, -4]]))));
  d.add(P("nail", smooth(H([[138, 25], [146, 28], [150.5, 33], [146, 34.5], [139, 31]]), true)));
  if (infant) d.add(P("fine", smooth([fore(0.82, 30), fore(0.86, 8), fore(0.84, -8)])), P("hair", smooth([fore(0.34, 42), fore(0.36, 20), fore(0.33, 6)])));
  else {
    d.add(hatch([up(0.8, -61), tip[1] ?? E, tip[0] ?? E, fore(0.35, -39), fore(0.66, -28)], [up(0.78, -40), [E[0] - 14 * k, E[1] + 12 * k], [E[0] + 16 * k, E[1] + 26 * k], fore(0.36, -23), fore(0.67, -14)], 46));
    if (!folded) d.add(P("hair", smooth([[E[0], E[1] - 26 * k], [E[0] + 16 * k, E[1] - 14 * k], [E[0] + 30 * k, E[1] - 14 * k]])), P("hair", smooth([fore(0.22, 46), fore(0.18, 32), fore(0.17, 17)])));
  }
  d.add("</g>");
  d.path("f-cloth,contour", (live) => smooth(trunk.all(sleeve(f, measures(f, live.air).lift)), true));
  const rest = sleeve(f, measures(f, 0).lift), cuff = rest.slice(6, 9), T = trunk.all;
  d.add(P("hair", smooth(T(cuff.map(([x, y]) => [x, y - 14 * u])))));
  const g = sleeveFolds(f, rest);
  d.add(g.map(([line, w]) => brush(T(line), w * (0.3 + 0.7 * u))).join(""), hatch(T(rest.slice(8, 11)), T(rest.slice(8, 11).map(([x, y]) => [x + 25 * u, y + 4 * u])), Math.round(26 * Math.min(1, u + 0.2))));
  return d.done();
}

/** @param {Posture} f @param {Pt[]} rest @returns {[Pt[], number][]} */
function sleeveFolds(f, rest) {
  const at = (/** @type {number} */ i) => rest[i] ?? [0, 0], u = f.body.unit;
  const from = (/** @type {number} */ i, /** @type {number} */ dx, /** @type {number} */ dy) => /** @type {Pt} */ ([at(i)[0] + dx * u, at(i)[1] + dy * u]);
  return [
    [[from(10, 8, -10), from(10, 34, 20), from(9, 48, 0)], 1.8], [[from(4, -16, -20), from(4, -32, 30), from(5, -40, 10)], 1.8],
    [[from(7, -20, -68), from(7, -12, -38), from(7, -14, -10)], 1.6], [[from(2, -4, 26), from(2, 6, 56), from(2, 2, 96)], 1.4],
  ];
}
