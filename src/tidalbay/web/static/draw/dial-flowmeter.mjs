// @ts-check
// The flow dial of a cylinder's regulator: a knob with a window that shows what was dialled, gas or no gas. 1 unit =
// 1 mm; the regulator's outlet, where it sits, at 0,0.
import { P, n, text } from "./geometry.mjs";
import { piece } from "./piece.mjs";

/** Flows with an opening of their own on a dial [L/min]; common practice, no source. */
export const DIAL_STOPS = [0, 0.5, 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25];

/** What stands in the window. @param {number} frac of the scale @param {number} maxLpm */
export function dialled(frac, maxLpm) {
  const lpm = Math.max(0, frac) * maxLpm, nearest = DIAL_STOPS.reduce((best, stop) =>
      (Math.abs(stop - lpm) < Math.abs(best - lpm) ? stop : best), 0);
  return String(Math.abs(nearest - lpm) < 0.06 ? nearest : Math.round(lpm * 10) / 10);
}

/**
 * Anchors: `float` (the window, as for a ball), `tail` (where tubing joins), `base`, `knob`.
 * @param {import("./flowmeter.mjs").FlowmeterState} s
 * @returns {import("./piece.mjs").Piece}
 */
export function dialFlowmeter(s) {
  const figure = dialled(s.flush ? 1 : s.floatFrac, s.maxLpm);
  const box = "M0 -32H36Q44 -32 44 -24V26Q44 34 36 34H0Z", pane = "M9 -17H40V11H9Z";
  const grip = Array.from({ length: 9 }, (_, i) => `M44 ${n(-24 + i * 6)}h5`).join("");
  const still = P("f-linen", "M12 34H24L21 66H15Z") + P("ink",
      "M12 34L15 66H21L24 34M13 43h10M13.6 51h8.6M14.4 59h7") + P("f-linen", box) + P("contour", box) +
      P("fine", grip) + P("hair", "M4.5 -30V32") +
    P("f-paper", pane) + P("ink", pane) + text("t", 24.5, 3.6, figure,
      `text-anchor="middle" font-size="${figure.length > 2 ? 15 : 20}" font-weight="700"`) +
    text("t", 25, 26, "L/min", 'text-anchor="middle" font-size="10.5" font-weight="600"');
  return piece(still, [], { float: [24.5, -3], tail: [18, 66], base: [18, 34], knob: [44, 0] }, { supplyDeg: 90 });
}
