// @ts-check
// Small geometry for drawing: points in, path strings out. No document, no state.
// Unit everywhere: 1 is 1 mm on the patient; x grows to the right, y grows down.

/**
 * A point; a third entry "c" makes a corner of a smooth line.
 * @typedef {readonly [x: number, y: number, corner?: "c"]} Pt
 */
/** @typedef {readonly Pt[]} Line */

/**
 * A place, a turn in degrees and a scale. `at` and `all` carry local points into the parent.
 * @typedef {object} Frame
 * @property {number} x
 * @property {number} y
 * @property {number} deg
 * @property {number} scale
 * @property {(u: number, v: number) => [number, number]} at
 * @property {(line: Line) => Pt[]} all
 * @property {string} transform  the same as an SVG transform
 */

/** Says of a list of literals that it is a line. @param {Pt[]} line @returns {Pt[]} */
export const pts = (line) => line;

/** @param {number} [x] @param {number} [y] @param {number} [deg] @param {number} [scale] @returns {Frame} */
export function frame(x = 0, y = 0, deg = 0, scale = 1) {
  const a = (deg * Math.PI) / 180, c = Math.cos(a) * scale, s = Math.sin(a) * scale;
  /** @type {Frame["at"]} */
  const at = (u, v) => [x + u * c - v * s, y + u * s + v * c];
  return {
    x, y, deg, scale, at,
    all: (line) => line.map((p) => withCorner(at(p[0], p[1]), p)),
    transform: `translate(${n(x)} ${n(y)}) rotate(${n(deg)})` + (scale === 1 ? "" : ` scale(${n4(scale)})`),
  };
}

/** @param {[number, number]} q @param {Pt} like @returns {Pt} */
const withCorner = (q, like) => (like[2] ? [q[0], q[1], like[2]] : q);

/** A number as drawing text, to a hundredth. @param {number} v */
export const n = (v) => String(Math.round(v * 100) / 100);
/** To a ten-thousandth, for scales. @param {number} v */
const n4 = (v) => String(Math.round(v * 1e4) / 1e4);
/** @param {number} a @param {number} b @param {number} t */
export const mix = (a, b, t) => a + (b - a) * t;
/** @param {number} v */
export const clamp = (v, lo = 0, hi = 1) => Math.min(hi, Math.max(lo, v));
/** Distance, never nought. @param {Pt} a @param {Pt} b */
export const dist = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]) || 1e-6;

/** Point `i` of a line; asking past its ends is a mistake in the drawing. @param {Line} line @param {number} i @returns {Pt} */
export function point(line, i) {
  const p = line[i < 0 ? line.length + i : i];
  if (!p) throw new RangeError(`a line of ${line.length} points has no point ${i}`);
  return p;
}

/** Direction from a to b, of length one. @param {Pt} a @param {Pt} b @returns {[number, number]} */
const unit = (a, b) => { const d = dist(a, b); return [(b[0] - a[0]) / d, (b[1] - a[1]) / d]; };

/** @typedef {[Pt, Pt, Pt, Pt]} Bezier */

/** Bezier segments through the points (Catmull-Rom with uneven knots). @param {Line} line @param {boolean} [closed] @returns {Bezier[]} */
function beziers(line, closed = false) {
  const N = line.length;
  /** @type {Bezier[]} */
  const out = [];
  /** @param {number} i */
  const P = (i) => point(line, (i + N) % N);
  /** @param {number} i @param {number} side @returns {[number, number]} */
  const tangent = (i, side) => {
    const p = P(i);
    if (!closed && i === 0) return unit(p, P(1));
    if (!closed && i === N - 1) return unit(P(N - 2), p);
    if (p[2] === "c") return side > 0 ? unit(p, P(i + 1)) : unit(P(i - 1), p);
    const a = P(i - 1), b = P(i + 1), d0 = dist(a, p), d1 = dist(p, b);
    /** @param {0 | 1} k */
    const along1 = (k) => (((p[k] - a[k]) / d0) * d1 + ((b[k] - p[k]) / d1) * d0) / (d0 + d1);
    return [along1(0), along1(1)];
  };
  for (let i = 0; i < (closed ? N : N - 1); i++) {
    const a = P(i), b = P(i + 1), d = dist(a, b) / 3, ta = tangent(i % N, 1), tb = tangent((i + 1) % N, -1);
    out.push([a, [a[0] + ta[0] * d, a[1] + ta[1] * d], [b[0] - tb[0] * d, b[1] - tb[1] * d], b]);
  }
  return out;
}

/** @param {Pt} q */
const xy = (q) => `${n(q[0])} ${n(q[1])}`;

/** Smooth path through points. `move` false goes on from where the pen is. @param {Line} line @param {boolean} [closed] @param {boolean} [move] */
export function smooth(line, closed = false, move = true) {
  const start = xy(point(line, 0));
  return (move ? `M${start}` : `L${start}`) + beziers(line, closed).map((s) => `C${xy(s[1])} ${xy(s[2])} ${xy(s[3])}`).join("") + (closed ? "Z" : "");
}

/** Straight path through points. @param {Line} line @param {boolean} [closed] */
export const poly = (line, closed = true) => "M" + line.map(xy).join("L") + (closed ? "Z" : "");

/** @param {Bezier} s @param {number} t @returns {[number, number]} */
function onBezier([a, b, c, d], t) {
  /** @param {0 | 1} k */
  const one = (k) => (1 - t) ** 3 * a[k] + 3 * (1 - t) ** 2 * t * b[k] + 3 * (1 - t) * t * t * c[k] + t ** 3 * d[k];
  return [one(0), one(1)];
}

/** Points along the smooth curve, `per` to a segment. @param {Line} line @param {number} [per] @param {boolean} [closed] @returns {Pt[]} */
export function sample(line, per = 8, closed = false) {
  /** @type {Pt[]} */
  const out = [];
  const segs = beziers(line, closed);
  segs.forEach((s, i) => {
    for (let k = 0; k < per; k++) out.push(onBezier(s, k / per));
    if (i === segs.length - 1) out.push(onBezier(s, 1));
  });
  return out;
}

/** Length of a polyline. @param {Line} line */
function lengthOf(line) {
  let L = 0;
  for (let i = 1; i < line.length; i++) L += dist(point(line, i - 1), point(line, i));
  return L;
}

/** Point and direction at share t of the length of a polyline. @param {Line} line @param {number} t @returns {{p: [number, number], d: [number, number], length: number}} */
export function along(line, t) {
  const L = lengthOf(line), want = clamp(t) * L;
  let walked = 0;
  for (let i = 1; i < line.length; i++) {
    const a = point(line, i - 1), b = point(line, i), step = dist(a, b);
    if (walked + step >= want || i === line.length - 1) {
      const f = (want - walked) / step;
      return { p: [mix(a[0], b[0], f), mix(a[1], b[1], f)], d: unit(a, b), length: L };
    }
    walked += step;
  }
  const p = point(line, 0);
  return { p: [p[0], p[1]], d: [1, 0], length: 0 };
}

/** Number of the line's point that lies nearest. @param {Line} line @param {Pt} p */
export function nearest(line, p) {
  let best = 0, least = Infinity;
  line.forEach((q, i) => { const d = Math.hypot(q[0] - p[0], q[1] - p[1]); if (d < least) { least = d; best = i; } });
  return best;
}

/** Both sides of a line of changing half width. @param {Line} line @param {(share: number) => number} half @returns {Pt[]} */
function ribbon(line, half) {
  const N = line.length - 1;
  /** @type {Pt[]} */
  const L = [];
  /** @type {Pt[]} */
  const R = [];
  line.forEach((p, i) => {
    const a = point(line, Math.max(0, i - 1)), b = point(line, Math.min(N, i + 1)), [dx, dy] = unit(a, b), w = half(i / N);
    L.push([p[0] - dy * w, p[1] + dx * w]);
    R.push([p[0] + dy * w, p[1] - dx * w]);
  });
  return [...L, ...R.reverse()];
}

/** Path of a pen line that swells in its middle: an engraver's line. @param {Line} line @param {number} [w] @param {number} [from] @param {number} [to] */
export const brushPath = (line, w = 2.4, from = 0.25, to = 0.25) =>
  poly(ribbon(sample(line, 6), (t) => (w / 2) * Math.min(1, mix(from, 1, Math.min(1, t / 0.35))) * Math.min(1, mix(to, 1, Math.min(1, (1 - t) / 0.35)))));
/** The same, drawn. @param {Line} line @param {number} [w] @param {number} [from] @param {number} [to] */
export const brush = (line, w, from, to) => `<path class="nib" d="${brushPath(line, w, from, to)}"/>`;

/** Path of short strokes from curve A to curve B: engraver's shading. @param {Line} A @param {Line} B @param {number} count @param {{ease?: boolean, from?: number, to?: number}} [how] */
function hatchPath(A, B, count, { ease = true, from = 0, to = 1 } = {}) {
  const a = sample(A, 6), b = sample(B, 6);
  let d = "";
  for (let i = 0; i < count; i++) {
    const t = (i + 0.5) / count, p = along(a, t).p, q = along(b, t).p, e = from + (to - from) * (ease ? Math.sin(Math.PI * t) * 0.75 + 0.25 : 1);
    d += `M${n(mix(p[0], q[0], from))} ${n(mix(p[1], q[1], from))}L${n(mix(p[0], q[0], e))} ${n(mix(p[1], q[1], e))}`;
  }
  return d;
}
/** The same, drawn. @param {Line} A @param {Line} B @param {number} count @param {{cls?: string, ease?: boolean, from?: number, to?: number}} [how] */
export const hatch = (A, B, count, how = {}) => `<path class="${how.cls ?? "hair"}" d="${hatchPath(A, B, count, how)}"/>`;

/** Outline of a limb or a lumen: a centre line with half widths along it. @param {Line} centre @param {readonly number[]} half @param {number} [per] @returns {Pt[]} */
export function tube(centre, half, per = 6) {
  return ribbon(sample(centre, per), (t) => {
    const s = t * (half.length - 1), j = Math.min(half.length - 2, Math.floor(s));
    return mix(half[j] ?? 0, half[j + 1] ?? 0, s - j);
  });
}

/** The same number (0 up to 1) for the same place: a hash, so that a drawing never flickers. @param {number} i @param {number} [j] @param {number} [seed] */
export function hash(i, j = 0, seed = 1) {
  let h = (i * 374761393 + j * 668265263 + seed * 2147483647) | 0;
  h = Math.imul(h ^ (h >>> 13), 1274126177);
  h ^= h >>> 16;
  return ((h >>> 0) % 100003) / 100003;
}

/** @param {Pt} p @param {Line} polygon */
export function inside(p, polygon) {
  let c = false;
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    const a = point(polygon, i), b = point(polygon, j);
    if (a[1] > p[1] !== b[1] > p[1] && p[0] < ((b[0] - a[0]) * (p[1] - a[1])) / (b[1] - a[1]) + a[0]) c = !c;
  }
  return c;
}

/** A path. @param {string} cls @param {string} d @param {string} [extra] */
export const P = (cls, d, extra = "") => `<path class="${cls}" d="${d}"${extra ? " " + extra : ""}/>`;
/** A closed shape, washed and lined. @param {string} fill @param {string} pen @param {string} d */
export const shape = (fill, pen, d) => P(fill, d) + P(pen, d);
/** A group. @param {string} transform @param {...string} kids */
export const G = (transform, ...kids) => `<g transform="${transform}">${kids.join("")}</g>`;
/** @param {string} cls @param {number} x @param {number} y @param {number} r */
export const circle = (cls, x, y, r) => `<circle class="${cls}" cx="${n(x)}" cy="${n(y)}" r="${n(r)}"/>`;
/** @param {string} cls @param {number} x @param {number} y @param {string | number} s @param {string} [extra] */
export const text = (cls, x, y, s, extra = "") => `<text class="${cls}" x="${n(x)}" y="${n(y)}"${extra ? " " + extra : ""}>${s}</text>`;
