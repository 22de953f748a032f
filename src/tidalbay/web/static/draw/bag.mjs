// @ts-check
// The reservoir bag of a mask: a thin pouch that is tense when full, creased as it gives, drawn together when nearly
// empty, and hangs limp. Pure shape; world coordinates, because it hangs by gravity. 1 unit = 1 mm.
import { brushPath, clamp, frame, hash, mix, n, smooth } from "./geometry.mjs";

/** @typedef {import("./geometry.mjs").Pt} Pt */

/** Neck of the bag, the way its neck points, the way a full bag lies [degrees], its length [mm], and whether its neck is twisted.
 * @typedef {{ x: number, y: number, neckDeg: number, liesDeg: number, length: number, twisted: boolean }} Hang */

const STEPS = 14;
const ORIGIN = /** @type {Pt} */ ([0, 0]);

/**
 * Half the thickness at a share of the length [parts of the length], tense and drawn together: towards the
 * chest and away.
 */
const TENSE = [0.03, 0.1, 0.16, 0.19, 0.2, 0.2, 0.19, 0.165, 0.115, 0.015];
const FLAT = [0.03, 0.034, 0.026, 0.03, 0.022, 0.026, 0.02, 0.024, 0.018, 0.012];

/** @param {readonly number[]} list @param {number} share */
function read(list, share) {
  const at = clamp(share) * (list.length - 1), i = Math.min(list.length - 2, Math.floor(at));
  return mix(list[i] ?? 0, list[i + 1] ?? 0, at - i);
}

/**
 * Middle line, upper edge and lower edge for a fullness of 0..1. A tense bag stands out straight; as it gives,
 * it sinks from
 * its neck until it hangs, and its foot comes to lie on the chest. @param {Hang} h @param {number} full
 */
export function bagLines(h, full) {
  const f = clamp(full), limp = (1 - f) ** 1.3;
  /** @type {Pt[]} */
  const middle = [], /** @type {Pt[]} */ upper = [], /** @type {Pt[]} */ lower = [];
  let x = h.x, y = h.y;
  for (let i = 0; i <= STEPS; i++) {
    const t = i / STEPS, sunk = Math.sin(Math.min(1, t * 1.5) * Math.PI * 0.62) * 34 * limp;
    const lies = mix(h.neckDeg, h.liesDeg, Math.min(1, t * 3.2)), deg = Math.max(lies, Math.min(lies + sunk, 91)),
        a = deg * Math.PI / 180; // nothing hangs past the vertical
    if (i) { x += Math.cos(a) * h.length / STEPS; y += Math.sin(a) * h.length / STEPS; }
    const twist = h.twisted ? mix(0.32, 1, clamp((Math.abs(t - 0.1) - 0.04) / 0.1)) : 1;
    const thick = mix(read(FLAT, t), read(TENSE, t), f ** 0.82) * h.length * Math.min(1, twist);
    const crumple = (k = 0) => (1 - f) * f * 2.4 * (hash(i, k, 5) - 0.5) * 9 +
        (1 - f) ** 2 * (hash(i, k, 9) - 0.5) * 5;
    const edge = t === 0 || t === 1 ? 0 : 1;
    middle.push([x, y]);
    upper.push([x + Math.sin(a) * (thick + crumple(1) * edge), y - Math.cos(a) * (thick + crumple(1) * edge)]);
    lower.push([x - Math.sin(a) * (thick + crumple(2) * edge), y + Math.cos(a) * (thick + crumple(2) * edge)]);
  }
  return { middle, upper, lower };
}

/** Closed outline of the bag. @param {Hang} h @param {number} full @returns {Pt[]} */
export function bagOutline(h, full) {
  const { upper, lower } = bagLines(h, full);
  return [...upper, ...[...lower].reverse()];
}

/** Area within a closed outline [mm2]. @param {readonly Pt[]} outline */
export const areaOf = (outline) => Math.abs(outline.reduce((sum, p, i) => {
  const q = outline[(i + 1) % outline.length] ?? p;
  return sum + p[0] * q[1] - q[0] * p[1];
}, 0)) / 2;

/**
 * A place in the bag: a share of its length, and -1 (upper edge) to 1 (lower edge) across it.
 * @param {ReturnType<typeof bagLines>} lines
 * @param {number} t
 * @param {number} side
 * @returns {Pt}
 */
function within({ middle, upper, lower }, t, side) {
  const at = clamp(t) * STEPS, i = Math.min(STEPS - 1, Math.floor(at)), k = at - i, edge = side < 0 ? upper : lower,
      s = Math.abs(side);
  const p = middle[i] ?? ORIGIN, p2 = middle[i + 1] ?? p, q = edge[i] ?? p, q2 = edge[i + 1] ?? q;
  return [mix(mix(p[0], p2[0], k), mix(q[0], q2[0], k), s), mix(mix(p[1], p2[1], k), mix(q[1], q2[1], k), s)];
}

/**
 * Where marks of gas stand in a bag of this fullness, with a number 0..1 for each that decides its kind. As the
 * bag gives, the
 * same marks crowd together and some are gone: what is left can be counted. @param {Hang} h @param {number} full
 */
export function bagMarks(h, full) {
  const lines = bagLines(h, full), count = Math.round(110 * clamp(full)), places = [];
  for (let i = 0; i < count; i++) {
    const [x, y] = within(lines, 0.06 + 0.88 * ((i * 0.6180339887) % 1), 1.72 * (((i * 0.7548776662) % 1) - 0.5));
    places.push({ x, y, u: (i * 0.5698402910 + 0.31) % 1 });
  }
  return places;
}

/** Path texts of one fullness: filled shape, contour, creases, shading. @param {Hang} h @param {number} full */
export function bagPaths(h, full) {
  const f = clamp(full), lines = bagLines(h, f), { upper, lower } = lines;
  const body = smooth([...upper, ...[...lower].reverse()], true),
      on = (/** @type {number} */ t, /** @type {number} */ side) => within(lines, t, side);
  // Creases: a few along a tense skin; many and deeper as it gives; lines that draw together when it is flat.
  const crease = (/** @type {[number, number][]} */ places, /** @type {number} */ weight) =>
      brushPath(places.map(([t, side]) => on(t, side)), weight, 0.1, 0.1);
  /** @type {[[number, number][], number, number][]} places, weight, fullness below which the crease is there */
  const all = [
    [[[0.1, -0.5], [0.25, -0.66], [0.5, -0.66]], 1.5, 2], [[[0.8, 0.55], [0.9, 0.3], [0.96, 0]], 1.5, 2],
    [[[0.1, 0.1], [0.26, -0.2], [0.44, 0.1], [0.62, -0.15]], 1.7, 0.86],
      [[[0.3, 0.5], [0.44, 0.2], [0.6, 0.45]], 1.7, 0.8],
    [[[0.62, 0.2], [0.8, -0.1], [0.95, 0.05]], 1.7, 0.74], [[[0.34, -0.6], [0.46, -0.36], [0.56, -0.62]], 1.6, 0.68],
      [[[0.7, -0.55], [0.8, -0.25], [0.88, -0.4]], 1.6, 0.6],
    [[[0.08, 0], [0.3, 0.2], [0.5, -0.15], [0.72, 0.2], [0.96, 0]], 2, 0.36],
      [[[0.36, -0.8], [0.4, 0], [0.38, 0.8]], 1.5, 0.28], [[[0.58, -0.8], [0.6, 0.1], [0.57, 0.8]], 1.5, 0.24],
      [[[0.76, -0.8], [0.79, 0], [0.77, 0.8]], 1.5, 0.2],
  ];
  const creases = all.filter(([, , below]) => f < below).map(([places, weight]) => crease(places, weight)).join("") +
    (h.twisted ? [0.04, 0.08, 0.12, 0.16].map((t) => crease([[t, -1.1], [t + 0.02, 0], [t + 0.05, 1.1]], 2)).join("") : "");
  const shade = f > 0.25 ? Array.from({ length: 26 }, (_, i) => {
    const t = 0.2 + 0.62 * i / 25, reach = 0.75 * Math.sin(Math.PI * (i + 0.5) / 26) + 0.25, a = on(t, 1),
        b = on(t, 1 - 0.3 * reach);
    return `M${n(a[0])} ${n(a[1])}L${n(b[0])} ${n(b[1])}`;
  }).join("") : "";
  return { body, creases, shade };
}

/** The frame at the bag's neck, for the valve. @param {Hang} h */
export const neckFrame = (h) => frame(h.x, h.y, h.neckDeg);
