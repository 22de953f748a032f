// @ts-check
// A bubble humidifier under a flowmeter. 1 unit = 1 mm; the nut that screws on at 0,0, the bottle hangs below.
import { P, clamp, hash, mix, n, text } from "./geometry.mjs";
import { moves, piece } from "./piece.mjs";

/** @typedef {import("./piece.mjs").Piece} Piece */

/** How full the bottle stands, by the words the station sends. @type {Record<string, number>} */
export const WATER_FRAC = { to_the_line: 0.72, low: 0.26, none: 0 };

/** A bottle of water through which gas may bubble; a blocked way out makes its relief valve whistle.
 * @typedef {{ id: string, waterFrac: number, bubbling: boolean, whistles: boolean }} HumidifierState */

const BUBBLES = 14;

/** Height of the water's surface [mm below the nut]; 162 is the bottom. @param {number} frac */
const surfaceAt = (frac) => 162 - clamp(frac) * 100;

/**
 * Where bubble number `i` is after `t_s` seconds: up from the diffuser, then gone.
 * @param {number} i
 * @param {number} surface
 * @param {number} t_s
 */
function bubbleAt(i, surface, t_s) {
  const rise = (hash(i, 2) + t_s * (0.55 + 0.3 * hash(i, 5))) % 1;
  const x = (hash(i, 1) - 0.5) * (14 + 46 * rise) + 2 * Math.sin(rise * 9 + i);
  return `translate(${n(x)} ${n(mix(150, surface + 4, rise))}) scale(${n(0.6 + 0.6 * rise)})`;
}

/** Anchors: `barb` (where tubing joins), `water` (the surface), `lid`. @param {HumidifierState} s @returns {Piece} */
export function humidifier(s) {
  const surface = surfaceAt(s.waterFrac);
  const moved = s.bubbling && s.waterFrac > 0 ? Array.from({ length: BUBBLES }, (_, i) => ({
    id: `bubble:${s.id}:${i}`, attr: "transform", of: (/** @type {{t_s?: number}} */ live) =>
      bubbleAt(i, surface, live.t_s ?? 0),
  })) : [];
  const bubbles = moved.map(({ id, of }, i) =>
      `<circle class="fine" ${moves(id)} r="${n(1.6 + 2.8 * hash(i, 3))}" transform="${of({})}"/>`).join("");
  const body = "M-40 42Q-48 48 -48 60V150Q-48 168 -30 168H30Q48 168 48 150V60Q48 48 40 42Z";
  const wave = moved.length ? "q6 -3 12 0t12 0 12 0 12 0 12 0 12 0 12 0 10 0" : "H47";
  const water = s.waterFrac > 0 ? P("f-wash", `M-47 ${n(surface)}H47V150Q47 167 30 167H-30Q-47 167 -47 150Z`) +
      P("ink", `M-47 ${n(surface)}${wave}`) : "";
  const ribs = Array.from({ length: 9 }, (_, i) => `M${-34 + i * 8} 24V44`).join("");
  // The relief valve in the lid lifts and sounds: strokes like a whistle's, in ink.
  const whistle = s.whistles ? P("fine", "M-30 12q-7 -4 -14 -2M-32 6q-8 -8 -17 -8M-28 0q-5 -10 -13 -14") : "";
  const relief = P("f-linen", `M-28 ${s.whistles ? 9 : 15}H-18V24H-28Z`) +
      P("ink", `M-28 ${s.whistles ? 9 : 15}H-18V24H-28Z`);
  const still = [
    P("f-clear", body), water, P("fine", "M-4 36V146M4 36V146"),
      P("f-wash2", "M-10 146H10V158H-10Z"),
    P("fine", "M-10 146H10V158H-10Z"), bubbles, P("contour", body), P("hair", "M-38 64V146"),
      P("fine", "M22 90h22M22 136h22"),
    text("t t-q", 41, 86, "max", 'text-anchor="end" font-size="11"'),
      text("t t-q", 41, 148, "min", 'text-anchor="end" font-size="11"'),
    relief, P("f-linen", "M-42 24H42V44H-42Z"), P("contour", "M-42 24H42V44H-42Z"), P("hair", ribs),
    P("f-steel", "M-16 0H16V24H-16Z"), P("ink", "M-16 0H16V24H-16ZM-16 8H16M-16 16H16"),
    P("f-linen", "M42 29L74 31V37L42 40Z"), P("ink", "M42 29L74 31V37L42 40M50 28.5v12M57 29v11"), whistle,
  ].join("");
  return piece(still, moved, { barb: [74, 34], water: [0, surface], lid: [0, 34] });
}
