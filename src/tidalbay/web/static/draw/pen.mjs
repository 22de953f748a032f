// @ts-check
// Lines whose width is a measure of the thing, not of the pen: hoses, cables, a gauge's needle. No style attributes:
// the pages' content-security policy forbids them.
import { n, smooth } from "./geometry.mjs";

/**
 * A line `width` mm wide.
 * @param {string} d
 * @param {number} width
 * @param {string} [colour]
 * @param {string} [extra]
 */
export const line = (d, width, colour = "var(--ink)", extra = "") =>
  `<path d="${d}" fill="none" stroke="${colour}" stroke-width="${n(width)}" stroke-linecap="round" stroke-linejoin="round"${extra ? ` ${extra}` : ""}/>`;

/**
 * A soft hose: ink edges, clear inside; the edges keep a pen's width however thick the hose.
 * @param {string} d
 * @param {number} [width]
 */
export const hosePath = (d, width = 6) => line(d, width) + line(d, Math.max(width * 0.5, width - 3.2),
    "var(--linen)");

/** A soft hose through points. @param {import("./geometry.mjs").Pt[]} pts @param {number} [width] */
export const hose = (pts, width = 6) => hosePath(smooth(pts), width);

/** Wide corrugated tubing: a hose with rings. @param {string} d @param {number} [width] */
export const ribbedPath = (d, width = 20) => line(d, width) + line(d, width - 4, "var(--linen)") +
  `<path d="${d}" fill="none" stroke="var(--ink)" stroke-opacity=".55" stroke-width="${n(width - 4)}" stroke-dasharray="0.9 5.1"/>`;
