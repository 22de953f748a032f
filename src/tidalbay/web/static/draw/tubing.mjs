// @ts-check
// Tubing: one continuous line that the eye can follow from source to face; kinks, water and open ends show.
import { P, along, clamp, n, point, pts, sample, smooth } from "./geometry.mjs";
import { line } from "./pen.mjs";
import { moves, piece } from "./piece.mjs";

/** @typedef {import("./geometry.mjs").Pt} Pt */
/** @typedef {import("./geometry.mjs").Line} Line */
/** @typedef {import("./piece.mjs").Live} Live */

const REST = /** @type {Pt} */ ([0, 0]);
const SMALL_MM = 7.5;
const WIDE_MM = 22;
/** Where a kink is drawn, as a share of the way from the source. */
const KINK_AT = 0.42;
const FOLD_MM = 30;

/** @param {Line} through */
const straight = (through) => "M" + through.map((p) => `${n(p[0])} ${n(p[1])}`).join("L");

/**
 * The part of a polyline between two shares of its length.
 * @param {Line} through
 * @param {number} from
 * @param {number} to
 * @returns {Pt[]}
 */
function stretch(through, from, to) {
  const a = along(through, from), b = along(through, to), walked = [a.p];
  let length = 0;
  for (let i = 1; i < through.length; i++) {
    const p = point(through, i - 1), q = point(through, i);
    length += Math.hypot(q[0] - p[0], q[1] - p[1]);
    if (length > from * a.length && length < to * a.length) walked.push([q[0], q[1]]);
  }
  return [...walked, b.p];
}

/** Where water gathers: the lowest place away from the ends, as a share of the length. @param {Line} through */
export function lowestShare(through) {
  let best = 0.5, low = -Infinity;
  for (let i = 4; i <= 46; i++) { const [, y] = along(through, i / 50).p; if (y > low) { low = y; best = i / 50; } }
  return best;
}

/**
 * A place on the line with the line's direction, as a transform.
 * @param {Line} through
 * @param {number} share
 * @param {number} [turn]
 */
function standing(through, share, turn = 0) {
  const { p, d } = along(through, share);
  return `translate(${n(p[0])} ${n(p[1])}) rotate(${n(Math.atan2(d[1], d[0]) * 180 / Math.PI + turn)})`;
}

/**
 * Everything of a tube that depends on where its ends are, as path texts and transforms.
 * @param {Line} through @param {import("./piece.mjs").TubeState} s @param {number} w
 */
function lay(through, s, w) {
  const length = along(through, 0).length, gap = Math.min(0.2, FOLD_MM * (w / SMALL_MM) / length),
      wet = clamp(s.wet_frac ?? 0);
  const lowest = wet > 0.02 ? lowestShare(through) : 0.5, half = Math.min(0.12, (26 + 90 * wet) / length);
  const end = s.to === null ? 1 - 12 / length : 1, start = s.from === null ? 12 / length : 0,
      folded = s.kinked ? kink(through, gap, w) : null;
  return {
    first: folded ? straight(stretch(through, start, KINK_AT - gap)) +
      folded.up : straight(stretch(through, start, end)),
    second: folded ? folded.down + straight(stretch(through, KINK_AT + gap, end)).replace("M", "L") : "M0 0",
    fold: folded ? folded.apex : "", start: standing(through, start, 180), end: standing(through, end),
    pool: straight(stretch(through, clamp(lowest - half), clamp(lowest + half))),
    marks: straight(stretch(through, start, s.kinked ? KINK_AT - gap : end)), lowest, half,
  };
}

/** The fold's flattened apex, its two legs below it: no lumen is left there. @param {number} w */
function fold(w) {
  const skin = smooth(pts([[-8, 16], [-8.6, 5], [-10.4, -3], [-6, -8], [0, -10], [6, -8], [10.4, -3], [8.6, 5],
      [8, 16], [0.4, 15], [0, 2], [-0.4, 15]]), true);
  return `<g transform="scale(${n(w / SMALL_MM)})">` + P("f-linen", skin) +
      P("ink", smooth(pts([[-8, 16], [-8.6, 5], [-10.4, -3], [-6, -8], [0, -10], [6, -8], [10.4, -3], [8.6, 5],
      [8, 16]]))) +
    P("ink", "M0 16V1") + P("fine", "M-8 -3.4Q0 -0.4 8 -3.4") +
      P("hair", "M-4.4 1L-3 8M4.4 1L3 8M-3.4 -8.4L-1.6 -3M3.4 -8.4L1.6 -3") + "</g>";
}

/**
 * Where a kinked tube folds: it leaves its line, runs to an apex beside it, and comes back. The fold stands
 * upwards, where an
 * eye finds it. @param {Line} through @param {number} gap half the length that it takes, as a share @param {number} w
 */
function kink(through, gap, w) {
  const k = w / SMALL_MM, a = along(through, KINK_AT - gap), b = along(through, KINK_AT + gap),
      { d } = along(through, KINK_AT);
  const up = /** @type {Pt} */ (d[0] >= 0 ? [d[1], -d[0]] : [-d[1], d[0]]),
      side = /** @type {Pt} */ ([-up[1], up[0]]), mid = /** @type {Pt} */ ([(a.p[0] + b.p[0]) / 2,
      (a.p[1] + b.p[1]) / 2]);
  const foot = (/** @type {number} */ u, /** @type {number} */ v) =>
      `${n(mid[0] + side[0] * u * k + up[0] * v * k)} ${n(mid[1] + side[1] * u * k + up[1] * v * k)}`;
  const leaves = (/** @type {{ p: [number, number], d: [number, number] }} */ end, /** @type {number} */ way) =>
      `${n(end.p[0] + way * end.d[0] * 17 * k)} ${n(end.p[1] + way * end.d[1] * 17 * k)}`;
  return {
    up: `C${leaves(a, 1)} ${foot(-5.2, 8)} ${foot(-4.2, 28)}`,
      down: `M${foot(4.2, 28)}C${foot(5.2, 8)} ${leaves(b, -1)} ${n(b.p[0])} ${n(b.p[1])}`,
    apex: `translate(${foot(0, 44)}) rotate(${n(Math.atan2(side[1], side[0]) * 180 / Math.PI)})`,
  };
}

/** A connector with its open lumen, looking along the hose. @param {number} w */
const lumen = (w) => P("f-linen", `M-18 ${n(-w * 0.8)}H0V${n(w * 0.8)}H-18Z`) +
    P("ink", `M-18 ${n(-w * 0.8)}H0V${n(w * 0.8)}H-18Z`) +
  `<ellipse class="f-wash2" cx="0" cy="0" rx="2.6" ry="${n(w * 0.8)}"/><ellipse class="fine" cx="0" cy="0" rx="2.6" ry="${n(w * 0.8)}"/>` + P("hair", `M-13 ${n(-w * 0.8)}v${n(w * 1.6)}M-9 ${n(-w * 0.8)}v${n(w * 1.6)}`);

/** Gas that is heard where it leaves. */
export const HISS = P("fine", "M8 -7q8 -5 17 -6M9 0h18M8 7q8 5 17 6");

/**
 * Anchors: `source`, `face` (its two ends), `kink`, `water` (the lowest loop), `words` (the middle).
 * @type {(route: (shift: Pt) => Pt[], state: import("./piece.mjs").TubeState & { wide?: boolean }) => import("./piece.mjs").Piece}
 */
export function tubing(route, s) {
  const w = s.wide ? WIDE_MM : SMALL_MM, wet = clamp(s.wet_frac ?? 0);
  const at = (/** @type {Pt} */ shift) => sample(route(shift), 8);
  const rest = at(REST);
  let key = "0,0", laid = lay(rest, s, w), through = rest;
  const now = (/** @type {Live} */ live) => {
    const k = `${n(live.shift[0])},${n(live.shift[1])}`;
    if (k !== key) { key = k; through = at(live.shift); laid = lay(through, s, w); }
    return laid;
  };
  /** @type {import("./piece.mjs").Moving[]} */
  const moving = [];
  /** @type {string[]} */
  const still = [];
  /** @typedef {"first" | "second" | "fold" | "start" | "end" | "pool" | "marks"} Part */
  const follow = (/** @type {Part} */ part, /** @type {string} */ attr) => {
    const id = `tube-${part}:${s.id}`;
    moving.push({ id, attr, of: (live) => now(live)[part] });
    return moves(id);
  };
  const rope = (/** @type {"first" | "second"} */ part) => {
    const inner = s.wide ? w - 4 : Math.max(w * 0.5, w - 3.2), tied = follow(part, "d");
    still.push(line(laid[part], w, "var(--ink)", tied), line(laid[part], inner, "var(--linen)", tied));
    if (s.wide) still.push(`<path d="${laid[part]}" fill="none" stroke="var(--ink)" stroke-opacity=".5" stroke-width="${w - 4}" stroke-dasharray="0.9 5.4" ${tied}/>`);
  };
  rope("first");
  if (s.kinked) { rope("second"); still.push(`<g transform="${laid.fold}" ${follow("fold", "transform")}>${fold(w)}</g>`); }
  if (s.from === null) still.push(`<g transform="${laid.start}" ${follow("start", "transform")}>${lumen(w)}</g>`);
  if (s.to === null) still.push(`<g transform="${laid.end}" ${follow("end", "transform")}>${lumen(w)}${s.hisses ? HISS : ""}</g>`);
  else if (s.hisses) still.push(`<g transform="${laid.start}" ${follow("start", "transform")}>${HISS}</g>`);
  if (wet > 0.02) {
    still.push(`<path d="${laid.pool}" fill="none" stroke="var(--quiet)" stroke-opacity=".6" stroke-width="${n((w - 3) * 0.9)}" ${follow("pool", "d")}/>`);
    if (s.gurgles) for (let i = 0; i < 3; i++) {
      const id = `gurgle:${s.id}:${i}`;
      const place = (/** @type {Live | null} */ live) => {
        if (live) now(live);
        const t = ((live?.t_s ?? 0.2) * 1.3 + i / 3) % 1, { p } = along(through,
            clamp(laid.lowest - laid.half + 2 * laid.half * t));
        return `translate(${n(p[0])} ${n(p[1])})`;
      };
      moving.push({ id, attr: "transform", of: place });
      still.push(`<circle ${moves(id)} class="f-paper" r="${n(w * 0.2)}" transform="${place(null)}"/>`);
    }
  }
  if (s.carries) {
    still.push(line(laid.marks, w * 0.34, "var(--supplied)", `stroke-dasharray="0.01 10" ${follow("marks", "d")}`));
    if (!s.kinked) moving.push({ id: `tube-marks:${s.id}`, attr: "stroke-dashoffset",
        of: (live) => n(-((live.t_s * 40) % 100.1)) });
  }
  const p = (/** @type {number} */ share) => along(rest, share).p;
  return piece(`<g class="tubing">${still.join("")}</g>`, moving,
      { source: point(rest, 0), face: point(rest, -1), kink: p(KINK_AT), water: p(lowestShare(rest)),
      words: p(0.5) });
}
