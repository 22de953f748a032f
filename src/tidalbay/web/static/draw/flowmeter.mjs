// @ts-check
// The flowmeter: tube, ball and scale, block with the printed gas name, knob and hose tail. 1 unit = 1 mm, seen
// from the front, the plug at 0,0.
import { P, circle, clamp, n, smooth, text } from "./geometry.mjs";
import { moves, piece } from "./piece.mjs";

/** @typedef {import("./piece.mjs").Piece} Piece */

/**
 * What a flowmeter looks like just now. `floatFrac`: the middle of the ball as a share of the scale (0..1), as
 * the station sends it. `setFrac`: how far the knob is open, null where it is not to be seen.
 * @typedef {{ id: string, gas: string, maxLpm: number, floatFrac: number, setFrac: number|null, flush: boolean }} FlowmeterState
 */

const ZERO_MM = -52;
const TOP_MM = 168;
const PINNED_MM = 184;

/** Height of the ball's middle above the tube's zero line [mm] for a share of the scale; not quite even, as on real tubes.
 * @param {number} frac */
export const floatHeight = (frac) => TOP_MM * Math.pow(clamp(frac), 0.82);

/**
 * @type {[number, number[], number[]][]} scale's end, flows named in print, flows with a short stroke; all in L/min
 */
const SCALES = [
  [1, [0.2, 0.4, 0.6, 0.8, 1], [0.1, 0.3, 0.5, 0.7, 0.9]],
  [3, [0.5, 1, 1.5, 2, 2.5, 3], [0.25, 0.75, 1.25]],
  [6, [1, 2, 3, 4, 5, 6], [0.5, 1.5, 2.5, 3.5, 4.5, 5.5]],
  [10, [1, 2, 3, 4, 5, 6, 8, 10], [7, 9]],
  [16, [1, 2, 4, 6, 8, 10, 12, 15], [3, 5, 7, 9, 11, 13, 14]],
  [30, [2, 5, 10, 15, 20, 25, 30], [1, 3, 4]],
  [Infinity, [10, 20, 30, 40, 50, 60, 70, 80, 90, 100], [5, 15, 25, 35, 45, 55, 65]],
];

/** Strokes and numbers of a scale that ends at `maxLpm`. @param {number} maxLpm */
export function scaleOf(maxLpm) {
  const row = SCALES.find(([end]) => maxLpm <= end) ?? SCALES[SCALES.length - 1];
  const [, named, short] = /** @type {[number, number[], number[]]} */ (row);
  const within = (/** @type {number[]} */ flows) => flows.filter((lpm) => lpm <= maxLpm);
  return { named: within(named), short: within(short) };
}

/** The gas name on a paper label, set as large as the label allows, in two lines where that makes it larger.
 * @param {string} gas
 * @param {number} x
 * @param {number} y middle of the label
 * @param {number} width
 * @param {number} height
 */
export function gasLabel(gas, x, y, width, height) {
  const words = gas.split(" "), longest = Math.max(...words.map((w) => w.length));
  const one = Math.min(height * 0.74, (width - 6) / (gas.length * 0.72)),
      two = words.length === 2 ? Math.min(height * 0.44, (width - 6) / (longest * 0.72)) : 0;
  const size = Math.max(one, two), lines = two > one ? words : [gas];
  const box = `M${n(x - width / 2)} ${n(y - height / 2)}h${n(width)}v${n(height)}h${n(-width)}Z`;
  return P("f-paper", box) + P("fine", box) + lines.map((row, i) =>
      text("t", x, y + size * (0.35 + (i - (lines.length - 1) / 2) * 0.98), row,
    `text-anchor="middle" font-size="${n(size)}" font-weight="700" letter-spacing=".02em"`)).join("");
}

/** Tube, scale and sleeve, the tube's zero line at y = -52. @param {number} maxLpm */
export function scaleTube(maxLpm) {
  const { named, short } = scaleOf(maxLpm);
  const at = (/** @type {number} */ lpm) => n(ZERO_MM - floatHeight(lpm / maxLpm));
  return [
    P("f-clear", "M-24 -40V-250Q-24 -262 -12 -262H12Q24 -262 24 -250V-40Z"),
    P("ink", "M-24 -40V-250Q-24 -262 -12 -262H12Q24 -262 24 -250V-40"),
    P("fine", "M-9.5 -42L-12 -246H12L9.5 -42"), P("hair", "M-19 -60V-244"), P("fine", `M9 ${ZERO_MM}h12`),
    P("hair", short.map((lpm) => `M12 ${at(lpm)}h6`).join("")),
    P("fine", named.map((lpm) => `M12 ${at(lpm)}h9`).join("")),
    named.map((lpm) => text("t", 28, +at(lpm) + 4.5, String(lpm), 'font-size="13" font-weight="600"')).join(""),
    text("t", 0, -268, "L/min", 'text-anchor="middle" font-size="12.5" font-weight="600"'),
  ].join("");
}

/** The ball, drawn round its own middle. */
export const ball = () => circle("f-wash2", 0, 0, 9.4) + circle("contour", 0, 0, 9.4) +
  '<ellipse class="hair" cx="-2.6" cy="-3" rx="3" ry="2"/>';

/**
 * Where the ball's group stands.
 * @param {FlowmeterState} s
 * @param {{ t_s?: number, float?: Readonly<Record<string, number>> }} [live]
 */
export function ballAt(s, live = {}) {
  const height = s.flush ? PINNED_MM : floatHeight(live.float?.[s.id] ?? s.floatFrac);
  const tremble = s.floatFrac > 0 && !s.flush ? 0.4 * Math.sin((live.t_s ?? 0) * 17)
      : 0; // gas lifts it: it is never quite still
  return `translate(0 ${n(ZERO_MM - height + tremble)})`;
}

/** @param {number|null} setFrac share of a full turn; null leaves the knob as it came */
function knob(setFrac) {
  const outline = smooth([[44, -24], [66, -26], [72, -20], [72, 14], [66, 20], [44, 18]]) + "Z";
  const grooves = Array.from({ length: 7 }, (_, i) => {
    const turned = (((i * 30 + (setFrac ?? 0) * 210) % 210) + 210) % 210 / 210;
    return `M46 ${n(-22 + turned * 38)}H71`;
  }).join("");
  return P("f-steel", "M36 -12H44V6H36Z") + P("ink", "M36 -12H44V6H36Z") + P("f-linen", outline) +
      P("contour", outline) + P("hair", grooves);
}

const TAIL = [
  P("f-steel", "M-11 34H11V48H-11Z"), P("ink", "M-11 34H11V48H-11Z"), P("f-linen", "M-7 48H7L4 84H-4Z"),
  P("ink", "M-7 48L-4 84H4L7 48"), P("fine", "M-7.4 56H7.4M-6.6 64H6.6M-5.8 72H5.8"),
].join("");

/**
 * A flowmeter with a ball. Anchors: `float` (the ball's middle), `tail` (where tubing joins), `base` (where a
 * humidifier screws on), `knob`, `name`.
 * @param {FlowmeterState} s @param {{ tail?: boolean }} [with_] `tail: false` leaves the hose tail to a humidifier
 * @returns {Piece}
 */
export function flowmeter(s, { tail = true } = {}) {
  const still = [
    scaleTube(s.maxLpm), `<g ${moves(`float:${s.id}`)} transform="${ballAt(s)}">${ball()}</g>`,
    P("f-steel", "M-36 -42H36V34H-36Z"), P("contour", "M-36 -42H36V34H-36Z"), P("fine", "M-36 24H36"),
    gasLabel(s.gas, 0, -28, 66, 22), circle("f-linen", 0, 4, 14), circle("ink", 0, 4, 14),
    P("hair", "M-7 -8l-7 12 7 12h14l7 -12 -7 -12z"), knob(s.setFrac),
      tail ? TAIL : P("f-steel", "M-11 34H11V48H-11Z") + P("ink", "M-11 34H11V48H-11Z"),
  ].join("");
  const height = s.flush ? PINNED_MM : floatHeight(s.floatFrac);
  return piece(still, [{ id: `float:${s.id}`, attr: "transform", of: (live) => ballAt(s, live) }],
    { float: [0, ZERO_MM - height], tail: [0, 84], base: [0, 48], knob: [58, -3], name: [0, -30] });
}
