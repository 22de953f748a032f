// @ts-check
// The explorer's question and its answer, and the numbers of its plot. Knows no page.

/** @typedef {{flow_lpm: number, pct: number, low_pct: number, high_pct: number}} CurvePoint */
/** @typedef {{width: number, height: number, left: number, right: number, top: number, bottom: number}} Box */

/** A round number of steps that reaches from `low` to `high`: where a scale has its lines. @param {number} low @param {number} high @param {number} most @returns {number[]} */
export function ticks(low, high, most = 6) {
  const raw = (high - low) / most, ten = 10 ** Math.floor(Math.log10(raw || 1));
  const step = [1, 2, 5, 10].map((k) => k * ten).find((s) => s >= raw) ?? raw;
  const out = [];
  for (let v = Math.ceil(low / step) * step; v <= high + step * 1e-6; v += step) out.push(Math.round(v * 1e6) / 1e6);
  return out;
}

/** The reach of the plot's upright scale: from 20 % to a round number above all. @param {readonly CurvePoint[]} curve @returns {[number, number]} */
export function reach(curve) {
  const top = Math.max(40, ...curve.map((p) => p.high_pct));
  return [20, Math.min(100, Math.ceil(top / 10) * 10)];
}

/** @param {readonly CurvePoint[]} curve @param {Box} box */
export function scales(curve, box) {
  const last = Math.max(1e-6, ...curve.map((p) => p.flow_lpm)), [low, high] = reach(curve);
  return {
    x: (/** @type {number} */ flow_lpm) => box.left + ((box.width - box.left - box.right) * flow_lpm) / last,
    y: (/** @type {number} */ pct) => box.height - box.bottom - ((box.height - box.top - box.bottom) * (Math.max(low, pct) - low)) / (high - low),
    last, low, high,
  };
}

/** The line and the band of the plot as paths. @param {readonly CurvePoint[]} curve @param {Box} box */
export function plotPaths(curve, box) {
  const { x, y } = scales(curve, box), at = (/** @type {number} */ f, /** @type {number} */ v) => `${x(f).toFixed(1)} ${y(v).toFixed(1)}`;
  const line = curve.map((p, i) => (i ? "L" : "M") + at(p.flow_lpm, p.pct)).join("");
  const band = curve.map((p, i) => (i ? "L" : "M") + at(p.flow_lpm, p.high_pct)).join("") + [...curve].reverse().map((p) => "L" + at(p.flow_lpm, p.low_pct)).join("") + (curve.length ? "Z" : "");
  return { line, band };
}

/** The three gases of a ledger in millilitres, in the order of the texture bar. @param {readonly {gas: string, ml: number}[]} ledger @returns {{kind: "supplied" | "room" | "expired", ml: number}[]} */
export function gases(ledger) {
  return /** @type {const} */ (["supplied", "room", "expired"]).map((kind) => ({ kind, ml: ledger.filter((r) => r.gas === kind).reduce((a, r) => a + r.ml, 0) }));
}
