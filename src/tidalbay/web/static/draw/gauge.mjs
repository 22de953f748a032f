// @ts-check
// A contents gauge. 1 unit = 1 mm, the needle's axle at 0,0.
import { P, circle, clamp, mix, n, text } from "./geometry.mjs";
import { moves } from "./piece.mjs";

/** What the gauge itself reads: pressure in its own chamber, trapped or not. `unit` as printed on its face.
 * @typedef {{ id: string, reading: number, unit: "bar"|"psi", highest: number }} GaugeState */

export const GAUGE_R_MM = 38;
const FROM_DEG = -225;
const TO_DEG = 45;
const RESERVE = { bar: 14,
    psi: 200 }; // about 200 psi: state emergency-services guidance sheet on oxygen cylinders, 2010

/** Scale's end that holds a filling pressure. @param {number} filled @param {"bar"|"psi"} unit */
export const scaleEnd = (filled, unit) => (unit === "psi" ? [3000, 5000] : [200, 300, 400]).find((end) =>
    filled <= end) ?? (unit === "psi" ? 5000 : 400);

/** Direction of the needle [degrees, clockwise from +x]. @param {number} reading @param {number} highest */
export const needleDeg = (reading, highest) => mix(FROM_DEG, TO_DEG, clamp(reading / highest));

/** @param {number} deg @param {number} r */
const on = (deg, r) => `${n(Math.cos(deg * Math.PI / 180) * r)} ${n(Math.sin(deg * Math.PI / 180) * r)}`;

/** @param {GaugeState} s @returns {{ still: string, moving: import("./piece.mjs").Moving[] }} */
export function gauge(s) {
  const parts = s.unit === "psi" ? s.highest / 1000 : s.highest / 100;
  const share = (/** @type {number} */ i, /** @type {number} */ of) => needleDeg(i / of * s.highest, s.highest);
  const long = Array.from({ length: parts + 1 },
      (_, i) => `M${on(share(i, parts), 27)}L${on(share(i, parts), 34)}`).join("");
  const short = Array.from({ length: parts * 4 + 1 }, (_, i) =>
      `M${on(share(i, parts * 4), 30.5)}L${on(share(i, parts * 4), 34)}`).join("");
  const figures = Array.from({ length: parts + 1 }, (_, i) => {
    const at = share(i, parts) * Math.PI / 180;
    return text("t", Math.cos(at) * 19.5, Math.sin(at) * 19.5 + 3, String(Math.round(s.highest / parts * i)),
        'text-anchor="middle" font-size="8.6" font-weight="600"');
  }).join("");
  // The part of the scale at which a full one is fetched: closely stroked, whatever the country's colours.
  const reserveEnd = RESERVE[s.unit] / s.highest;
  const reserve = Array.from({ length: 7 }, (_, i) => { const deg = needleDeg(i / 6 * reserveEnd,
      1); return `M${on(deg, 24.5)}L${on(deg, 34)}`; }).join("");
  const still = circle("f-paper", 0, 0, GAUGE_R_MM) + circle("contour", 0, 0, GAUGE_R_MM) +
      circle("hair", 0, 0, 34.6) +
    P("fine", long) + P("hair", short) + P("fine", reserve) + figures +
      text("t t-q", 0, 27, s.unit, 'text-anchor="middle" font-size="9.5"') +
    `<g ${moves(`gauge:${s.id}`)} transform="rotate(${n(needleDeg(s.reading, s.highest))})">${P("ink", "M-8 0H27")}</g>` + circle("solid", 0, 0, 3.6);
  return { still, moving: [{ id: `gauge:${s.id}`, attr: "transform",
    of: (live) => `rotate(${n(needleDeg(live.gauge?.[s.id] ?? s.reading, s.highest))})` }] };
}
