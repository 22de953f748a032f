// @ts-check
// The air spaces in section: nose, throat, mouth, voice box, windpipe, bronchi, lung, and what bounds them.
// Head parts are in the head's frame, trunk parts in an adult woman's trunk coordinates and carried to this body by `inTrunk`.
// From memory of standard anatomy (mid-sagittal head and neck, a section beside the middle for the lung): a diagram, not a scan.
import { pts, sample, tube } from "../geometry.mjs";

/** @typedef {import("../posture.mjs").Posture} Posture */
/** @typedef {import("../geometry.mjs").Pt} Pt */

/** Carries the woman's trunk coordinates to this body, by its own depth and height. @param {Posture} f @returns {(line: readonly Pt[]) => Pt[]} */
export function inTrunk(f) {
  const { front, back } = f.body, notch = front[0] ?? [36, -502], chest = front[4] ?? [117, -315], deepest = Math.min(...back.map((p) => p[0]));
  const kx = (chest[0] - deepest) / 255, ky = notch[1] / -502;
  return (line) => f.trunk.all(line.map(([x, y]) => [x * kx, y * ky]));
}

/** Shelves of the nose: lower, middle, upper. The lower one lies along most of the floor, the upper is small and far back. */
export const shelves = Object.freeze({
  lower: pts([[97, 12], [90, 9], [76, 8.6], [62, 10], [54, 13.4], [60, 16.8], [76, 17], [91, 16]]),
  middle: pts([[89, -3], [80, -5], [67, -3.4], [57, 0.6], [61, 4], [76, 3.2], [87, 1.6]]),
  upper: pts([[77, -14], [70, -13.4], [61, -9.6], [64, -7.6], [74, -9.6]]),
});

export const noseLumen = pts([[115.5, 24], [113, 13], [105, 2], [96, -10], [88, -18], [76, -21], [64, -19], [54, -13], [47, -6], [46, 8], [49, 23.5], [62, 23], [80, 22.5], [96, 23], [105, 26.5]]);
/** From the back of the nose down to the inlet of the voice box; its back wall lies close on the spine. */
export const throatLumen = pts([[47, -6], [38, -5], [29, 1], [23, 12], [20, 28], [19, 48], [19, 70], [20, 90], [22, 104], [30, 108], [36, 102], [31, 92], [27, 82], [31, 80], [35, 88], [36, 74], [37, 60], [33, 55], [30, 56], [31, 48], [36, 38], [43, 29], [49, 23.5]]);
/** @param {number} o */
export const mouthLumen = (o) => pts([[103, 49 - o], [95, 46], [88, 40], [74, 32], [56, 31.5], [44, 37], [37, 48], [37, 60], [42, 48 + o * 8], [54, 40 + o * 9], [74, 38 + o * 12], [88, 45 + o * 11], [103, 51 + o * 12]]);

/** An infant's neck is so short that its lowest points are left out: 0 or 1. @param {Posture} f */
const shortNeck = (f) => (f.s.build === "infant" ? 1 : 0);

/** Middle of voice box and windpipe, down to where it forks (world). @param {Posture} f @returns {Pt[]} */
export const windpipeLine = (f) => [...f.head.all([[28, 104], [36, 116]]), ...inTrunk(f)(pts([[24, -560], [12, -510], [-8, -458], [-20, -426]]).slice(shortNeck(f)))];
/** @param {Posture} f */
const bore = (f) => Math.min(1, (f.head.scale + f.body.unit) / 2);
/** Outline of voice box and windpipe (world). @param {Posture} f @returns {Pt[]} */
export const windpipe = (f) => tube(windpipeLine(f), [7, 5.4, 8, 8.5, 8.5, 9].map((w) => w * bore(f)));

/** Outline of the lung in trunk coordinates (the woman's). `air` 0..1: the front goes out, the base goes down. @param {number} air @returns {Pt[]} */
export function lung(air) {
  const r = 15 * air, d = 24 * air;
  return [[-18, -530], [8, -520], [36 + r * 0.2, -474], [62 + r * 0.6, -430], [86 + r * 0.9, -380], [94 + r, -330], [90 + r * 0.8, -292 + d * 0.6], [64, -300 + d], [28, -312 + d], [-8, -302 + d], [-42, -266 + d * 0.9], [-62, -218 + d * 0.5], [-70, -240], [-73, -310], [-70, -385], [-58, -450], [-42, -504]];
}
/** @param {number} air @returns {Pt[]} */
export function diaphragm(air) {
  const r = 15 * air, d = 24 * air;
  return [[92 + r * 0.8, -290 + d * 0.6], [64, -298 + d], [28, -310 + d], [-8, -300 + d], [-42, -264 + d * 0.9], [-64, -214 + d * 0.5]];
}
/** The heart in its sac: it rests on the diaphragm, behind the breast bone. @param {number} air @returns {Pt[]} */
export function heart(air) {
  const d = 24 * air, r = 15 * air;
  return [[20, -402], [50, -404], [76 + r * 0.4, -384], [84 + r * 0.6, -346 + d * 0.2], [76 + r * 0.4, -304 + d * 0.7], [46, -303 + d * 0.95], [20, -312 + d * 0.95], [6, -350 + d * 0.4]];
}

/** Bronchi: middle line and half widths, the woman's trunk coordinates. @type {readonly (readonly [Pt[], number[]])[]} */
export const bronchi = [
  [pts([[-20, -428], [-4, -412], [12, -414], [34, -424], [58, -426]]), [7.4, 5.6, 4.6, 3.6, 2.2]], [pts([[-20, -428], [-32, -392], [-40, -350], [-48, -304]]), [7.4, 6, 4.4, 2.6]],
  [pts([[-31, -398], [-14, -370], [-6, -342], [-4, -316]]), [4.6, 3.6, 2.6, 1.8]], [pts([[-26, -414], [-42, -432], [-54, -452]]), [4.2, 3, 1.8]], [pts([[-38, -362], [-52, -352], [-64, -336]]), [3.6, 2.6, 1.6]],
  [pts([[-44, -330], [-30, -312], [-26, -298]]), [3, 2.2, 1.5]], [pts([[-46, -318], [-56, -290], [-62, -256]]), [3, 2.2, 1.4]], [pts([[-6, -414], [-4, -450], [2, -486]]), [4, 2.8, 1.6]], [pts([[30, -423], [40, -446], [40, -464]]), [3, 2.2, 1.4]],
];

/** The spine's middle line (world): it lies close behind throat and gullet in the neck, deeper behind them in the chest. @param {Posture} f @returns {Pt[]} */
export const spine = (f) => sample([...f.head.all([[5, 22], [4, 62], [3, 106]]), ...inTrunk(f)(pts([[-22, -562], [-44, -508], [-64, -444], [-80, -372], [-86, -300], [-82, -226]]).slice(shortNeck(f)))], 10);
