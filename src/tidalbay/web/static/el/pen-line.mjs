// @ts-check
// Lines that a pen draws: the oximeter's pulse and the breath's carbon dioxide. Numbers in, path text out.

/** The shape of one beat under the finger's light: a steep rise, a notch, a slow fall. @param {number} phase 0..1 @returns {number} 0..1 */
export function beat(phase) {
  const bump = (/** @type {number} */ at, /** @type {number} */ w, /** @type {number} */ h) => h * Math.exp(-(((phase - at) / w) ** 2));
  const rise = phase < 0.2 ? Math.sin((phase / 0.2) * Math.PI / 2) ** 2 : Math.exp(-(phase - 0.2) / 0.13);
  return Math.min(1, rise * 0.94 + bump(0.47, 0.07, 0.22));
}

/** A ragged nothing: what a poor signal draws. Its places are fixed by time, so that a redraw does not tremble. @param {number} t_s */
export const ragged = (t_s) =>
  0.22 + 0.13 * Math.sin(t_s * 9.1) + 0.09 * Math.sin(t_s * 23.7 + 1.3) + 0.06 * Math.sin(t_s * 41.3 + 0.4);

/** @typedef {{ width: number, height: number }} Box */

/**
 * Points of a line as a path; NaN lifts the pen.
 * @param {readonly number[]} heights  0 at the foot, 1 at the top @param {Box} box @param {number} [step_px]
 */
export function penPath(heights, { width, height }, step_px = width / Math.max(1, heights.length - 1)) {
  let path = "", pen = "M";
  heights.forEach((h, i) => {
    if (Number.isNaN(h)) { pen = "M"; return; }
    path += `${pen}${(i * step_px).toFixed(1)} ${(height * (1 - h)).toFixed(1)}`;
    pen = "L";
  });
  return path;
}

/** Breaths that follow each other within this are one line. [s] */
const JOINED_S = 0.3;

/**
 * Breaths of carbon dioxide on one strip, each at its own time, the newest to the right.
 * @param {readonly { start_s: number, line: readonly (readonly [number, number])[] }[]} breaths  times of a line in seconds from its start
 * @param {{ from_s: number, to_s: number, top_mmhg: number, box: Box }} strip
 */
export function capnogramPath(breaths, { from_s, to_s, top_mmhg, box }) {
  const X = (/** @type {number} */ t) => ((t - from_s) / (to_s - from_s)) * box.width;
  const Y = (/** @type {number} */ mmhg) => box.height * (1 - Math.min(1, Math.max(0, mmhg / top_mmhg)));
  let path = "", ended_s = -Infinity;
  for (const { start_s, line } of breaths) {
    let pen = path && start_s - ended_s < JOINED_S ? "L" : "M";
    ended_s = start_s + (line[line.length - 1]?.[0] ?? 0);
    for (const [t, mmhg] of line) {
      const x = X(start_s + t);
      if (x < 0 || x > box.width) { pen = "M"; continue; }
      path += `${pen}${x.toFixed(1)} ${Y(mmhg).toFixed(1)}`;
      pen = "L";
    }
  }
  return path;
}

/** Short marks of time along the foot of a strip, counted back from its right end. @param {Box} box @param {number} span_s @param {number} every_s */
export function ruled(box, span_s, every_s) {
  let path = "";
  for (let back_s = 0; back_s <= span_s; back_s += every_s) path += `M${(box.width * (1 - back_s / span_s)).toFixed(1)} ${box.height}v5`;
  return path;
}
