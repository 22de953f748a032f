// @ts-check
// The three gases of a breath as marks that can be counted. Texture first, tint second: dots are supplied gas, slanted
// strokes room air, open rings expired gas. The same state gives the same picture.
import { P, clamp, hash, inside, n } from "./geometry.mjs";

/** @typedef {import("./geometry.mjs").Pt} Pt */
/** @typedef {import("./geometry.mjs").Line} Line */
/** @typedef {import("./piece.mjs").GasShares} GasShares */
/** @typedef {"supplied" | "room" | "expired"} Kind */

/** Words of the three; the supply may be air, so it is not called oxygen here. */
export const kinds = Object.freeze({ supplied: "supplied gas", room: "room air", expired: "expired gas" });

/** One mark. @param {Kind} kind @param {number} x @param {number} y @param {number} [r] */
export function mark(kind, x, y, r = 2.4) {
  if (kind === "supplied") return `<circle class="o2" cx="${n(x)}" cy="${n(y)}" r="${n(r)}"/>`;
  if (kind === "room") return `<path class="air" stroke-width="${n(r * 0.85)}" d="M${n(x - r * 0.9)} ${n(y + r * 1.4)}l${n(r * 1.8)} ${n(-r * 2.8)}"/>`;
  return `<circle class="exp" stroke-width="${n(r * 0.65)}" cx="${n(x)}" cy="${n(y)}" r="${n(r * 1.15)}"/>`;
}

/** Which kind the mark at u (0 up to 1) is, for shares on any scale. @param {GasShares} share @param {number} u @returns {Kind} */
export function pick(share, u) {
  const s = share.supplied ?? 0, a = share.room ?? 0, all = s + a + (share.expired ?? 0) || 1;
  return u < s / all ? "supplied" : u < (s + a) / all ? "room" : "expired";
}

/**
 * Places for marks inside a closed outline, in an even scatter, each with the number that says which gas it is.
 * @param {Line} outline @param {{gap?: number, r?: number, seed?: number, keep?: (x: number, y: number) => boolean}} [how]
 * @returns {{x: number, y: number, u: number}[]}
 */
export function scatter(outline, { gap = 9, r = 2.4, seed = 1, keep = () => true } = {}) {
  const xs = outline.map((p) => p[0]), ys = outline.map((p) => p[1]), x0 = Math.min(...xs), x1 = Math.max(...xs), y0 = Math.min(...ys), y1 = Math.max(...ys);
  const out = [], first = hash(seed, 3);
  for (let y = y0, j = 0; y <= y1; y += gap * 0.86, j++) {
    for (let x = x0 + ((j % 2) * gap) / 2, i = 0; x <= x1; x += gap, i++) {
      const px = x + (hash(i, j, seed) - 0.5) * gap * 0.45, py = y + (hash(j, i, seed + 7) - 0.5) * gap * 0.45, e = r * 1.2;
      const fits = inside([px, py], outline) && inside([px + e, py], outline) && inside([px - e, py], outline) && inside([px, py + e], outline) && inside([px, py - e], outline);
      if (fits && keep(px, py)) out.push({ x: px, y: py, u: (out.length * 0.6180339887 + first) % 1 });
    }
  }
  return out;
}

/** Marks that fill an outline. @param {Line} outline @param {GasShares} share @param {{gap?: number, r?: number, seed?: number, keep?: (x: number, y: number) => boolean}} [how] */
export const fill = (outline, share, how = {}) => scatter(outline, how).map((p) => mark(pick(share, p.u), p.x, p.y, how.r ?? 2.4)).join("");

/** A jet: marks along a widening cone from a point, in a direction [degrees]. `within`: outlines it may not leave.
 * @param {Kind} kind @param {Pt} from @param {number} deg @param {{length?: number, spread?: number, count?: number, r?: number, seed?: number, start?: number, within?: readonly Line[] | null}} [how] */
export function jet(kind, [x, y], deg, { length = 40, spread = 16, count = 16, r = 1.6, seed = 1, start = 2, within = null } = {}) {
  const c = Math.cos((deg * Math.PI) / 180), q = Math.sin((deg * Math.PI) / 180);
  let s = "";
  for (let i = 0; i < count; i++) {
    const t = (i + 0.5 + 0.5 * hash(i, 1, seed)) / count, off = (hash(i, 2, seed) - 0.5) * spread * (0.15 + t), d = start + t * length, px = x + c * d - q * off, py = y + q * d + c * off;
    if (!within || within.some((o) => inside([px, py], o))) s += mark(kind, px, py, r);
  }
  return s;
}

/** A ledger bar: widths in the amounts of the breath, each with its texture. @param {readonly {kind: Kind, ml: number}[]} parts @param {{width?: number, height?: number, gap?: number, r?: number}} [how] */
export function ledgerBar(parts, { width = 400, height = 40, gap = 9, r = 2.6 } = {}) {
  const total = parts.reduce((a, p) => a + Math.max(0, p.ml), 0) || 1;
  let x = 0;
  return parts.map((p, i) => {
    const w = (width * clamp(p.ml, 0, total)) / total, box = /** @type {Pt[]} */ ([[x, 0], [x + w, 0], [x + w, height], [x, height]]), close = p.kind === "supplied";
    const s = fill(box, { [p.kind]: 1 }, { gap: close ? gap * 0.72 : gap, r: close ? r * 0.8 : r, seed: i + 2 }) + P("ink", `M${n(x)} 0h${n(w)}v${height}h${n(-w)}Z`);
    x += w;
    return s;
  }).join("");
}
