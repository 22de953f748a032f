// @ts-check
// High-flow nasal oxygen: the wide prongs on the face, and the set that feeds them (blender with its two gases and its
// share, flowmeter, heated humidifier). 1 unit = 1 mm.
import { G, P, circle, clamp, hatch, mix, n, pts, smooth, text } from "./geometry.mjs";
import { ball, ballAt, floatHeight, gasLabel, scaleTube } from "./flowmeter.mjs";
import { looseCannula } from "./loose-cannula.mjs";
import { prongsInSection } from "./cannula.mjs";
import { backOf, earOf } from "./mask.mjs";
import { noseInset } from "./nose-inset.mjs";
import { hose, ribbedPath } from "./pen.mjs";
import { moves, piece } from "./piece.mjs";

/** @typedef {import("./geometry.mjs").Pt} Pt */

/** Wide prongs on the face. Anchors: `supply` (where the wide tubing begins, below the cheek), `words`, `ear`. @type {import("./piece.mjs").Worn} */
export const highFlowCannula = (frames, s) => {
  if (s.worn === false) return looseCannula(frames, true);
  const { head } = frames, [ex, ey] = earOf(frames), way = s.prongs ?? "down", low = way === "below" ? 10 : 0, aside = way === "cheek" ? -30 : 0;
  const sag = { loose: 10, snug: 0, tight: -2 }[s.snug ?? "snug"];
  const top = pts([[98 + aside, 35 + low], [78, 22], [44, -2 + sag], [ex + 10, ey - 26], [ex - 10, ey - 36], [ex - 52, ey - 40 + sag * 0.5], [backOf(frames), ey - 40 + sag]]);
  const band = smooth(top) + smooth(top.map(([x, y]) => /** @type {Pt} */ ([x, y + 8])).reverse(), false, false) + "Z";
  const tubeLine = pts([[102 + aside, 40 + low], [88, 44 + low], [70, 56], [58, 80], [56, 110]]);
  const body = smooth(pts([[95 + aside, 34 + low], [106 + aside, 32.5 + low], [115 + aside, 34 + low], [115 + aside, 43 + low], [104 + aside, 46 + low], [95 + aside, 43 + low]]), true);
  const prongs = {
    down: hose(pts([[110, 38], [111.6, 31], [110.4, 25.6]]), 8.4), up: hose(pts([[111, 38], [120, 33], [121.4, 25.4], [117, 21]]), 8.4),
    one_out: hose(pts([[112, 34], [112, 27]]), 9) + hose(pts([[107, 33], [103, 24], [104, 13]]), 9), below: hose(pts([[112, 43], [119, 37.6], [127, 37]]), 9), cheek: hose(pts([[80, 32], [86, 25], [94, 24]]), 9),
  };
  const bite = s.snug === "tight" ? hatch(pts([[84, 26], [50, 5], [26, -12]]), pts([[84, 30], [48, 10], [24, -7]]), 14, { ease: false }) : "";
  const pad = (s.padded ?? []).some((site) => site.includes("ear")) ? (() => { const d = smooth(pts([[ex + 20, ey - 26], [ex - 6, ey - 42], [ex - 34, ey - 42], [ex - 32, ey - 28], [ex - 6, ey - 24], [ex + 12, ey - 12]]), true); return P("f-linen", d) + P("fine", d); })() : "";
  const still = s.cut ? G(head.transform, prongsInSection(frames, way, 8)) : G(head.transform, P("f-linen", band), P("fine", band), pad, bite, hose(tubeLine, 12),
    way === "up" || way === "one_out" ? P("f-linen", body) + P("ink", body) + prongs[way] : prongs[way] + P("f-linen", body) + P("ink", body),
    P("f-linen", "M46 104H66V122H46Z") + P("ink", "M46 104H66V122H46ZM54 112H74M54 118H74"));
  return piece(still, [], { supply: head.at(56, 122), words: head.at(108 + aside, 36 + low), ear: head.at(ex - 6, ey - 34) }, { supplyDeg: head.deg + 90, inset: noseInset(way, "wide") });
};

/**
 * The set on its pole. `sharePct`: what its share dial says. `meter`: its flowmeter. `waterFrac` of the chamber.
 * @typedef {{ id: string, gas: string, sharePct: number, meter: import("./flowmeter.mjs").FlowmeterState, waterFrac: number, warm: boolean }} HighFlowSetState
 */

/**
 * The set, from the front; the middle of the blender at 0,0. Anchors: `barb` (where the wide tubing leaves), `float`,
 * `share`, `oxygen` and `air` (where the two hoses arrive), `water`. @param {HighFlowSetState} s @returns {import("./piece.mjs").Piece}
 */
export function highFlowSet(s) {
  const shareDeg = mix(-135, 135, clamp((s.sharePct - 21) / 79));
  const ticks = [21, 30, 40, 50, 60, 70, 80, 90, 100].map((pct) => {
    const a = (mix(-135, 135, (pct - 21) / 79) - 90) * Math.PI / 180, c = Math.cos(a), q = Math.sin(a);
    return P("fine", `M${n(c * 38)} ${n(q * 38)}L${n(c * 44)} ${n(q * 44)}`) + (pct === 30 || pct === 50 || pct === 70 || pct === 90 ? "" : text("t", c * 55, q * 53 + 4, String(pct), 'text-anchor="middle" font-size="11" font-weight="600"'));
  }).join("");
  const dial = G("translate(34 0)", ticks, circle("f-linen", 0, 0, 32), circle("contour", 0, 0, 32),
    G(`rotate(${n(shareDeg)})`, P("ink", "M0 -31V-12"), P("solid", "M-5 -20L0 -31L5 -20Z"), P("hair", "M-14 -10V14M-7 -12V16M0 -8V17M7 -12V16M14 -10V14")), text("t", 0, 70, "oxygen, %", 'text-anchor="middle" font-size="13" font-weight="600"'));
  const tube = G("translate(-66 -40)", scaleTube(s.meter.maxLpm), `<g ${moves(`float:${s.meter.id}`)} transform="${ballAt(s.meter)}">${ball()}</g>`, P("f-steel", "M-30 -42H30V-30H-30Z"), P("ink", "M-30 -42H30V-30H-30Z"));
  const surface = 262 - clamp(s.waterFrac) * 56;
  const heat = s.warm ? P("fine", "M-8 288q-5 -6 0 -11M8 288q-5 -6 0 -11M24 288q-5 -6 0 -11M-24 288q-5 -6 0 -11") : "";
  const chamber = G("translate(0 0)", ribbedPath(smooth(pts([[-66, 88], [-74, 120], [-58, 156], [-26, 170]])), 20),
    P("f-clear", "M-58 180Q-58 168 -46 168H46Q58 168 58 180V262H-58Z", 'fill-opacity=".7"'), s.waterFrac > 0 ? P("f-wash", `M-57 ${n(surface)}H57V261H-57Z`) + P("ink", `M-57 ${n(surface)}H57`) : "",
    P("contour", "M-58 180Q-58 168 -46 168H46Q58 168 58 180V262H-58Z"), P("fine", "M30 214h26"), text("t t-q", 28, 218, "max", 'text-anchor="end" font-size="11"'),
    P("f-steel", "M-36 152H-16V170H-36Z"), P("ink", "M-36 152H-16V170H-36Z"), P("f-steel", "M18 150H38V170H18Z"), P("ink", "M18 150H38V170H18Z"),
    P("f-steel", "M-74 262H74V318Q74 326 66 326H-66Q-74 326 -74 318Z"), P("contour", "M-74 262H74V318Q74 326 66 326H-66Q-74 326 -74 318Z"), P("f-paper", "M-56 292H56V316H-56Z"), P("fine", "M-56 292H56V316H-56Z"),
    text("t", 0, 309, s.warm ? "37 °C, warm" : "off", 'text-anchor="middle" font-size="13" font-weight="600"'), heat);
  const pole = P("f-steel", "M96 -320H104V420H96Z") + P("ink", "M96 -320H104V420H96Z");
  const still = [
    pole, ribbedPath(smooth(pts([[28, 152], [30, 128], [60, 120], [96, 132], [140, 136]])), 20), tube,
    P("f-steel", "M-106 -82H104Q112 -82 112 -74V80Q112 88 104 88H-106Q-114 88 -114 80V-74Q-114 -82 -106 -82Z"), P("contour", "M-106 -82H104Q112 -82 112 -74V80Q112 88 104 88H-106Q-114 88 -114 80V-74Q-114 -82 -106 -82Z"), dial,
    circle("f-linen", -66, -24, 22), circle("contour", -66, -24, 22), P("hair", "M-78 -36V-12M-70 -40V-8M-62 -40V-8M-54 -36V-12"), text("t", -66, 14, "flow", 'text-anchor="middle" font-size="13" font-weight="600"'),
    hose(pts([[-150, 46], [-128, 44], [-108, 44]]), 9), hose(pts([[-150, 72], [-128, 70], [-108, 70]]), 9), gasLabel(s.gas, -68, 44, 78, 18), gasLabel("MEDICAL AIR", -68, 70, 78, 18), chamber,
  ].join("");
  const high = s.meter.flush ? 184 : floatHeight(s.meter.floatFrac);
  return piece(still, [{ id: `float:${s.meter.id}`, attr: "transform", of: (live) => ballAt(s.meter, live) }],
    { barb: [146, 136], float: [-66, -92 - high], share: [34, 0], oxygen: [-150, 46], air: [-150, 72], water: [0, surface], name: [-68, 44] });
}
