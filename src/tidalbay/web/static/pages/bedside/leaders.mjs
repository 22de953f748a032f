// @ts-check
// Leader lines: from a caption to the place on the plate where it is taken. Boxes and points in, path text out.

/** @typedef {{ x: number, y: number }} Spot */
/** @typedef {{ left: number, top: number, right: number, bottom: number }} Box */

const n = (/** @type {number} */ v) => String(Math.round(v * 10) / 10);

/**
 * A line that leaves the caption at the side nearest the place, runs straight, and bends once.
 * @param {Box} box  of the caption's words @param {Spot} to @param {number} [gap]
 */
export function leaderPath(box, to, gap = 10) {
  if (to.x < box.left - gap && to.y > box.top && to.y < box.bottom + 4 * gap) {
    return `M${n(box.left - gap)} ${n(clamp(to.y, box.top, box.bottom))}L${n(to.x)} ${n(to.y)}`;
  }
  if (to.y > box.bottom) {
    const inset = Math.min(16, (box.right - box.left) * 0.1), x = clamp(to.x, box.left + inset, box.right - inset), down = box.bottom + gap + Math.max(0, (to.y - box.bottom - gap) * 0.35);
    return `M${n(x)} ${n(box.bottom + gap)}V${n(down)}L${n(to.x)} ${n(to.y)}`;
  }
  const x = to.x > box.right ? box.right + gap : to.x < box.left ? box.left - gap : (box.left + box.right) / 2;
  const y = to.y < box.top ? box.top - gap : clamp(to.y, box.top, box.bottom);
  return `M${n(x)} ${n(y)}L${n(to.x)} ${n(to.y)}`;
}

const clamp = (/** @type {number} */ v, /** @type {number} */ low, /** @type {number} */ high) => Math.min(high, Math.max(low, v));
