// @ts-check
// Air-entrainment mask: large holes, a short ribbed neck, and the jet valve with its printed percentage and flow.
import { G, P, frame, n, text } from "./geometry.mjs";
import { jet } from "./gas.mjs";
import { INLET, INLET_DEG, PORT, collar, fitOf, largeHoles, mask } from "./mask.mjs";
import { piece } from "./piece.mjs";

/**
 * Per cent and the least oxygen flow [L/min] printed beside it, as in the device catalogue.
 * @type {Record<number, number>}
 */
export const PRINTED_LPM = { 24: 2, 28: 4, 31: 6, 35: 8, 40: 10, 50: 12, 60: 15 };

/** Length of the window that lets room air in [mm]: wide open at 24 %, small at 60 %. @param {number} percent */
export const windowMm = (percent) => 24 - (percent - 24) / 36 * 17;

/**
 * The valve alone, along +x from the mask (0) to the hose (118). `covered`: share of the windows blocked by
 * bedding or a hand.
 * @param {{ percent: number, covered?: number }} s
 */
export function jetValve({ percent, covered = 0 }) {
  const wide = windowMm(percent);
  const windows = `M42 -12h${n(wide)}V-2H42ZM42 3h${n(wide)}V12H42Z`;
  const cloth = covered > 0.02 ? (() => {
    const reach = 38 + covered * 32;
    const d = `M34 -24Q40 -29 ${n(reach - 6)} -25Q${n(reach + 3)} -10 ${n(reach - 1)} 4Q${n(reach + 2)} 16 ${n(reach - 5)} 26Q42 30 34 24Q30 0 34 -24Z`;
    return P("f-wash2", d) + P("ink", d) + P("hair", `M39 -22q4 22 0 42M${n((38 + reach) / 2)} -24q5 24 -1 46`);
  })() : "";
  const ribs = Array.from({ length: 6 }, (_, i) => `M${4 + i * 6} -14q3 14 0 28`).join("");
  const flow = PRINTED_LPM[percent];
  return [
    P("f-linen", "M0 -13H36V13H0Z"), P("ink", "M0 -13q3 -3 6 0t6 0 6 0 6 0 6 0 6 0M0 13q3 3 6 0t6 0 6 0 6 0 6 0 6 0"),
      P("hair", ribs),
    P("f-steel", "M36 -17H94V17H36Z"), P("ink", "M36 -17H94V17H36Z"), P("f-paper", windows), P("ink", windows),
      P("hair", "M42 0.5H66"), cloth,
    P("f-linen", "M70 -18H92V18H70Z"), P("fine", "M70 -18H92V18H70Z"), P("f-linen", "M94 -12L106 -5V5L94 12Z"),
      P("ink", "M94 -12L106 -5V5L94 12M106 -4H118L116.5 0 118 4H106"),
    G("translate(81 0) rotate(-90)", text("t", 0, -0.6, `${percent} %`,
      'text-anchor="middle" font-size="11" font-weight="700"'),
      flow ? text("t", 0, 8.4, `${flow} L/min`, 'text-anchor="middle" font-size="7.4" font-weight="600"') : ""),
  ].join("");
}

/** Cut view: room air that the jet draws in at the windows; none where they are covered. @param {number} covered */
const drawnIn = (covered) => { const count = Math.round(9 * (1 - covered)); return jet("room", [54, -42], 90,
    { length: 30, spread: 30, count, r: 2.2 }) + jet("room", [54, 42], -90,
    { length: 30, spread: 30, count, r: 2.2, seed: 3 }); };

/** Anchors: `supply`, `words` (the windows), `edge`, `port`. @type {import("./piece.mjs").Worn} */
export const entrainmentMask = (frames, s) => {
  const { head } = frames, valve = frame(INLET[0] - 2, INLET[1] - 0.5, INLET_DEG + 20);
  const at = (/** @type {number} */ u) => head.at(...valve.at(u, 0));
  const inner = mask(fitOf(frames, s), largeHoles(), collar()) +
      G(valve.transform, jetValve({ percent: s.entrainment_pct ?? 28, covered: s.ports_covered_frac ?? 0 }),
      s.cut ? drawnIn(s.ports_covered_frac ?? 0) : "");
  return piece(G(head.transform, inner), [], { supply: at(117), words: at(54), windows: at(54), edge: head.at(98, -4),
      port: head.at(PORT[0], PORT[1]) },
    { supplyDeg: head.deg + valve.deg });
};
