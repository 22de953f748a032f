// @ts-check
// A sheet to draw a piece on: lines that stand still, and lines whose path or transform follows the breath.
import { moves, piece } from "./piece.mjs";

/** @typedef {import("./piece.mjs").Live} Live */
/** @typedef {import("./piece.mjs").Moving} Moving */
/** @typedef {import("./geometry.mjs").Pt} Pt */

/** Between two breaths. @type {Live} */
export const atRest = Object.freeze({ air: 0, breathing_in: false, bag: Object.freeze({}), t_s: 0, shift: /** @type {Pt} */ ([0, 0]) });

export function sheet() {
  /** @type {string[]} */
  const parts = [];
  /** @type {Moving[]} */
  const moving = [];
  const self = {
    /** Lines that stand still. @param {...string} svg */
    add(...svg) { parts.push(...svg); return self; },
    /** One outline that moves, drawn once for each class (fill below, pen above). @param {string} classes parted by a comma @param {(live: Live) => string} of @param {string} [extra] */
    path(classes, of, extra = "") {
      const id = `d${moving.length}`;
      moving.push({ id, attr: "d", of });
      for (const cls of classes.split(",")) parts.push(`<path class="${cls}" ${moves(id)} d="${of(atRest)}"${extra ? " " + extra : ""}/>`);
      return self;
    },
    /** A group of which one attribute moves. @param {string} attr @param {(live: Live) => string} of @param {...string} kids */
    group(attr, of, ...kids) {
      const id = `g${moving.length}`;
      moving.push({ id, attr, of });
      parts.push(`<g ${moves(id)} ${attr}="${of(atRest)}">${kids.join("")}</g>`);
      return self;
    },
    /** @param {Readonly<Record<string, Pt>>} [anchors] @param {(inner: string) => string} [wrap] */
    done(anchors = {}, wrap = (inner) => inner) { return piece(wrap(parts.join("")), moving, anchors); },
  };
  return self;
}
