// @ts-check
// High-flow nasal oxygen: the wide prongs on the face, and the set that feeds them (blender with its
// share, heated humidifier, under the flowmeter). 1 unit = 1 mm.
import { G, P, circle, clamp, hatch, mix, n, pts, smooth, text } from "./geometry.mjs";
import { gasLabel } from "./flowmeter.mjs";
import { looseCannula } from "./loose-cannula.mjs";
import { prongsInSection } from "./cannula.mjs";
import { prongsEnd, teeInTubing } from "./in-line.mjs";
import { backOf, earOf } from "./mask.mjs";
import { noseInset } from "./nose-inset.mjs";
import { hose, ribbedPath } from "./pen.mjs";
import { piece } from "./piece.mjs";

/** @typedef {import("./geometry.mjs").Pt} Pt */

/**
 * Wide prongs on the face. Anchors: `supply` (where the wide tubing begins, below the cheek), `words`, `ear`.
 * @type {import("./piece.mjs").Worn}
 */
export const highFlowCannula = (frames, s) => {
  if (s.worn === false) return looseCannula(frames, true);
  const { head } = frames, [ex, ey] = earOf(frames), way = s.prongs ?? "down", low = way === "below" ? 10 : 0,
      aside = way === "cheek" ? -30 : 0;
  const sag = { loose: 10, snug: 0, tight: -2 }[s.snug ?? "snug"];
  const top = pts([[98 + aside, 35 + low], [78, 22], [44, -2 + sag], [ex + 10, ey - 26], [ex - 10, ey - 36],
      [ex - 52, ey - 40 + sag * 0.5], [backOf(frames), ey - 40 + sag]]);
  const band = smooth(top) + smooth(top.map(([x, y]) => /** @type {Pt} */ ([x, y + 8])).reverse(), false, false) +
      "Z";
  const tubeLine = pts([[102 + aside, 40 + low], [88, 44 + low], [70, 56], [58, 80], [56, 110]]);
  const body = smooth(pts([[95 + aside, 34 + low], [106 + aside, 32.5 + low], [115 + aside, 34 + low],
      [115 + aside, 43 + low], [104 + aside, 46 + low], [95 + aside, 43 + low]]), true);
  const prongs = {
    down: hose(pts([[110, 38], [111.6, 31], [110.4, 25.6]]), 8.4),
      up: hose(pts([[111, 38], [120, 33], [121.4, 25.4], [117, 21]]), 8.4),
    one_out: hose(pts([[112, 34], [112, 27]]), 9) + hose(pts([[107, 33], [103, 24], [104, 13]]), 9),
      below: hose(pts([[112, 43], [119, 37.6], [127, 37]]), 9), cheek: hose(pts([[80, 32], [86, 25], [94, 24]]), 9),
  };
  const bite = s.snug === "tight" ? hatch(pts([[84, 26], [50, 5], [26, -12]]), pts([[84, 30], [48, 10], [24, -7]]),
      14, { ease: false }) : "";
  const pad = (s.padded ?? []).some((site) => site.includes("ear"))
      ? (() => { const d = smooth(pts([[ex + 20, ey - 26], [ex - 6, ey - 42], [ex - 34, ey - 42], [ex - 32, ey - 28],
      [ex - 6, ey - 24], [ex + 12, ey - 12]]), true); return P("f-linen", d) + P("fine", d); })() : "";
  const still = s.cut ? G(head.transform, prongsInSection(frames, way, 8))
      : G(head.transform, P("f-linen", band), P("fine", band), pad, bite, hose(tubeLine, 12),
    way === "up" || way === "one_out" ? P("f-linen", body) + P("ink", body) + prongs[way] : prongs[way] +
      P("f-linen", body) + P("ink", body),
    P("f-linen", "M46 104H66V122H46Z") + P("ink", "M46 104H66V122H46ZM46 110H66M46 116H66"));
  const end = prongsEnd(frames), hosed = s.cup_in_line ? teeInTubing(end, head.scale).far : end;
  return piece(still, [], { supply: hosed.at, words: head.at(108 + aside, 36 + low),
      ear: head.at(ex - 6, ey - 34) }, { supplyDeg: hosed.deg, inset: noseInset(way, "wide") });
};

/**
 * What hangs under the flowmeter of a high-flow set: blender with its share, heated humidifier.
 * `sharePct`: what the share dial says. `waterFrac`: how full the chamber is. `warm`: its heater is on.
 * @typedef {{ sharePct: number, waterFrac: number, warm: boolean }} HighFlowUnitState
 */

/** The dial's marks, 21 to 100 per cent over three quarters of a turn. @param {number} pct */
const shareDeg = (pct) => mix(-135, 135, clamp((pct - 21) / 79));

/** @param {number} sharePct */
function shareDial(sharePct) {
  const ticks = [21, 30, 40, 50, 60, 70, 80, 90, 100].map((pct) => {
    const a = (shareDeg(pct) - 90) * Math.PI / 180, c = Math.cos(a), q = Math.sin(a),
        named = pct % 20 === 0 || pct === 21;
    return P("fine", `M${n(c * 28)} ${n(q * 28)}L${n(c * 34)} ${n(q * 34)}`) +
      (named ? text("t", c * 44, q * 42 + 3.6, String(pct), 'text-anchor="middle" font-size="10.5" font-weight="600"')
        : "");
  });
  return ticks.join("") + circle("f-linen", 0, 0, 24) + circle("contour", 0, 0, 24) +
    G(`rotate(${n(shareDeg(sharePct))})`, P("ink", "M0 -23V-8"), P("solid", "M-4.4 -14L0 -23L4.4 -14Z"),
      P("hair", "M-10 -7V10M-5 -9V12M0 -5V13M5 -9V12M10 -7V10"));
}

/**
 * The unit from the front; the flowmeter's base, under which it hangs, at 0,0. Anchors: `barb` (where the wide
 * tubing begins),
 * `share`, `air` (where medical air arrives), `water`.
 * @param {HighFlowUnitState} s
 * @returns {import("./piece.mjs").Piece}
 */
export function highFlowUnit(s) {
  const box = "M-84 12H84Q92 12 92 20V116Q92 124 84 124H-84Q-92 124 -92 116V20Q-92 12 -84 12Z",
      glass = "M-48 166Q-48 154 -36 154H36Q48 154 48 166V226H-48Z";
  const surface = 226 - clamp(s.waterFrac) * 50, base = "M-62 226H62V270Q62 278 54 278H-54Q-62 278 -62 270Z";
  const still = [
    P("f-steel", "M-11 -6H11V12H-11Z"), P("ink", "M-11 -6H11V12H-11Z"),
    ribbedPath(smooth(pts([[24, 146], [26, 136], [52, 134], [84, 146], [116, 150]])), 20),
    P("f-steel", box), P("contour", box), G("translate(38 70)", shareDial(s.sharePct)),
      text("t", 38, 119, "oxygen, %", 'text-anchor="middle" font-size="11.5" font-weight="600"'),
    hose(pts([[-128, 96], [-108, 94], [-88, 94]]), 9), gasLabel("MEDICAL AIR", -52, 94, 64, 26),
      text("t", -52, 42, "blended", 'text-anchor="middle" font-size="12" font-weight="600"'),
      P("fine", "M-52 50V74M-57 69L-52 75L-47 69"),
    P("f-steel", "M-14 124H6V154H-14Z"), P("ink", "M-14 124H6V154H-14Z"), P("f-steel", "M15 140H33V154H15Z"),
      P("ink", "M15 140H33V154H15Z"),
    P("f-clear", glass), s.waterFrac > 0 ? P("f-wash", `M-47 ${n(surface)}H47V225H-47Z`) +
      P("ink", `M-47 ${n(surface)}H47`) : "",
    P("contour", glass), P("fine", "M24 184h22"), text("t t-q", 22, 188, "max", 'text-anchor="end" font-size="11"'),
    P("f-steel", base), P("contour", base), P("f-paper", "M-48 248H48V270H-48Z"), P("fine", "M-48 248H48V270H-48Z"),
    text("t", 0, 264, s.warm ? "37 °C, warm" : "cold", 'text-anchor="middle" font-size="12.5" font-weight="600"'),
      s.warm ? P("fine", "M-18 242q-5 -5 0 -9M-6 242q-5 -5 0 -9M6 242q-5 -5 0 -9M18 242q-5 -5 0 -9") : "",
  ].join("");
  return piece(still, [], { barb: [118, 150], share: [38, 70], air: [-128, 96], water: [0, surface] });
}
