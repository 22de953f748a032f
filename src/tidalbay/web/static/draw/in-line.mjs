// @ts-check
// Where a nebuliser's tee sits in the wide tubing of another device: between that device and the hose. 1 unit = 1 mm.
import { frame } from "./geometry.mjs";

/** @typedef {import("./geometry.mjs").Pt} Pt */
/** @typedef {import("./posture.mjs").Posture} Posture */
/** @typedef {{ at: Pt, deg: number }} End */

/** The neck's front as a frame: +x down the neck towards the chest, -y out of the skin. @param {Posture} frames */
export function neckFront({ anchors, head }) {
  const [ax, ay] = anchors.underChin, [bx, by] = anchors.throat;
  return frame(bx, by, Math.atan2(by - ay, bx - ax) * 180 / Math.PI, head.scale);
}

/** Where a tracheostomy mask sits on that frame. @param {Posture} frames */
export function neckMask(frames) {
  const f = neckFront(frames);
  return frame(...f.at(-26, -1), f.deg, f.scale * 0.82);
}

/** How far out a tracheostomy mask's swivel ends. @param {import("./geometry.mjs").Frame} mask @returns {End} */
export const swivelEnd = (mask) => ({ deg: mask.deg + 62,
    at: mask.at(44 + 34 * Math.cos(62 * Math.PI / 180) + 9, -34 + 34 * Math.sin(62 * Math.PI / 180) - 4) });

/** Where the wide tubing of high-flow prongs begins. @param {Posture} frames @returns {End} */
export const prongsEnd = ({ head }) => ({ at: head.at(56, 122), deg: head.deg + 90 });

/** Where the wide tubing of a worn device begins, and the way it leaves, by kind. @type {Readonly<Record<string, (frames: Posture) => End>>} */
export const wideEnds = Object.freeze({
  high_flow_nasal_cannula: prongsEnd, tracheostomy_mask: (frames) => swivelEnd(neckMask(frames)),
});

/**
 * The tee in that tubing, hanging from the device: its frame runs from the device (-x) to the end at which the hose from the
 * set arrives (`far`). `way` is the tubing from the tee to the device.
 * @param {End} end @param {number} scale
 */
export function teeInTubing({ at: [x, y], deg }, scale) {
  const k = scale * 0.86, a = deg * Math.PI / 180, down = Math.min(112, Math.max(72, deg));
  const go = (/** @type {number} */ d) => /** @type {Pt} */ ([x + Math.cos(a) * d * k, y + Math.sin(a) * d * k]);
  const [bx, by] = go(30), b = down * Math.PI / 180, mid = 62 * k;
  const tee = frame(bx + Math.cos(b) * mid, by + Math.sin(b) * mid, down, k);
  return { tee, way: /** @type {Pt[]} */ ([tee.at(-40, 0), tee.at(-56, 0), go(14), [x, y]]), far: { at: tee.at(40, 0), deg: down } };
}
