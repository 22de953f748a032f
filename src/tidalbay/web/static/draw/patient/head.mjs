// @ts-check
// The head as seen: face, eye, lips, nose, ear, sweat. Drawn in the head's frame; the plate carries it along with the breath.
import { P, brush, clamp, hatch, mix, n, point, pts, smooth } from "../geometry.mjs";
import { sheet } from "../sheet.mjs";
import { earOutline, faces } from "./faces.mjs";
import { hair } from "./hair.mjs";

/** @typedef {import("../posture.mjs").Posture} Posture */
/** @typedef {import("../posture.mjs").PatientState} PatientState */
/** @typedef {import("../piece.mjs").Live} Live */

/** @param {Posture} frames */
export function head(frames) {
  const { s, head: at, ear } = frames, face = faces[s.build], o = clamp(s.mouth), d = sheet();
  const profile = face.profile(o), jaw = face.jaw(o), corner = /** @type {import("../geometry.mjs").Pt} */ ([87, 51.5 + o * 5]);
  const [j1, j2, j3] = [point(jaw, 1), point(jaw, 2), point(jaw, 3)];
  const upperLip = pts([[103.6, 37.5], [108.2, 42.5], [107.6, 46.5], [102, 49.5 - o * 1.5, "c"], [95, 50.2], corner, [96, 46]]);
  const lowerLip = pts([[102, 50.6 + o * 13, "c"], j1, j2, [j3[0] - 1, j3[1] - 1], [96, 57 + o * 15], corner]);
  d.add('<g class="onskin">', P("f-skin", smooth(profile) + smooth(jaw, false, false) + smooth(face.skull, false, false) + "Z"));
  if (o > 0.05) d.add(P("f-dark", smooth([[101, 49.5], corner, [101, 51 + o * 13]], true)));
  d.add(blush(face.cheekRound), P("f-lip", smooth(upperLip, true)), P("f-lip", smooth(lowerLip, true)), P("contour", smooth(profile)), P("contour", smooth(jaw)));
  d.add(P("fine", smooth([[102, 49.8 - o], [95, 50.3 + o], corner])), P("hair", `M${n(corner[0] + 1)} ${n(corner[1] - 4)} q -4 5 -1 9`));
  d.add(P("fine", smooth(face.jawLine)), hatch([[26, 70], [46, 83], [66, 89]], [[22, 77], [44, 90], [66, 95]], s.build === "infant" ? 0 : 14));
  d.add(face.cheekRound > 0.5 ? P("hair", smooth([[84, 58], [77, 66], [66, 68]])) : P("hair", smooth([[98, 24], [90, 33], [85, 44]])));
  d.add(eye(s), brow(s));
  nose(d, s);
  d.add("</g>", hair(s), '<g class="onskin">', `<g transform="${ear.transform}">${earSeen()}</g>`, sweat(s), "</g>");
  return d.done({}, (inner) => `<g transform="${at.transform}">${inner}</g>`);
}

/** @param {number} round */
const blush = (round) => [27, 24, 21, 18, 15, 12, 9].map((r) => `<ellipse class="f-blush" cx="${n(64 + round * 8)}" cy="${n(27 + round * 8)}" rx="${n(r * (1 + round * 0.2))}" ry="${n(r * (0.8 + round * 0.2))}"/>`).join("");

/** @param {PatientState} s */
function eye(s) {
  const { x, y, scale } = faces[s.build].eye, lid = mix(-23, -12.5, s.lids), shut = s.lids > 0.5;
  const drawn = [
    s.lids > 0.85 ? "" : P("f-linen", `M85 -14 C 84 ${n(lid)} 74 ${n(lid)} 68 -12 C 74 -8 80 -8 84.5 -10Z`),
    s.lids < 0.7 ? `<ellipse class="solid" cx="82.4" cy="-15" rx="2.6" ry="${n(4.6 * (1 - s.lids))}"/>` : "",
    P("ink", `M86 ${n(mix(-16, -11, s.lids))} C 84 ${n(lid)} 74 ${n(lid)} 66 -12`), P("fine", "M67 -12 C 74 -7.5 80 -7.5 84 -9.5"),
    P("hair", `M84 ${n(lid - 5)} C 80 ${n(lid - 7)} 74 ${n(lid - 5)} 68 ${n(lid + 2)}`), P("hair", "M68 -3 C 74 0 80 0 85 -3"),
    shut ? P("hair", "M84 -10l3 2M80 -8.6l2.4 2.6M75.6 -8.4l1.4 2.8") : "",
    !shut && faces[s.build].lashes ? P("fine", `M85.6 ${n(mix(-16, -11, s.lids))}l4 ${n(-2.6)}`) : "",
  ].join("");
  return `<g transform="translate(${n(x - 76 * scale)} ${n(y + 13 * scale)}) scale(${scale})">${drawn}</g>`;
}

/** Brows draw together and up with hard work. @param {PatientState} s */
function brow(s) {
  const { eye: e, brow: w } = faces[s.build], k = (e.scale - 1) * 20, e2 = s.effort;
  return `<g${s.build === "infant" || s.build === "child" ? ' opacity=".75"' : ""}>${brush([[97, -36 - e2 * 2 - k], [86, -41 - e2 * 3 - k], [74, -40 - k], [62, -34 - k]], w, 0.5, 0.1)}</g>`;
}

/** Wing and opening of the near nostril; they flare as the patient breathes in. @param {ReturnType<typeof sheet>} d @param {PatientState} s */
function nose(d, s) {
  /** @param {Live} live */
  const flare = (live) => 2.6 * s.effort * (live.breathing_in ? 1 : 0.45);
  d.path("fine", (live) => { const f = flare(live); return `M106 ${n(10 - f)} C ${n(99 - f)} ${n(9 - f)} ${n(95 - f)} 17 ${n(97 - f)} 23 C ${n(99 - f)} 28 105 27.5 107 26`; });
  d.path("solid", (live) => { const f = flare(live); return `M${n(107.5 - f)} 25.6 C ${n(108 - f)} ${n(22 - f)} ${s.build === "infant" ? 110.6 : 113} ${n(21.4 - f)} ${s.build === "infant" ? 112.8 : 116.4} 23.6 C ${s.build === "infant" ? 111.6 : 114} 26 110 26.6 ${n(107.5 - f)} 25.6Z`; });
}

/** The near ear about its canal. */
export const earSeen = () => [
  P("f-skin", smooth(earOutline, true)), P("ink", smooth(earOutline)),
  P("fine", "M-1 -13 C -4 -23 -15 -26 -21 -18 C -25 -8 -20 8 -14 18"), P("fine", "M-6 -10 C -12 -14 -17 -6 -14 2 C -12 9 -7 14 -3 10"), P("fine", "M2 -3 C -3 0 -4 6 0 9"), P("hair", "M-8 -17 C -13 -18 -17 -12 -17 -5"),
  hatch([[-8, -6], [-12, 2], [-7, 9]], [[-3, -4], [-5, 2], [-3, 6]], 7),
].join("");

/** Drops on the forehead, more of them with more sweat; below 0.15 none. @param {PatientState} s */
function sweat(s) {
  if (s.sweat <= 0.15) return "";
  const drops = pts([[84, -60], [72, -72], [89, -46], [62, -58], [77, -50], [60, 8], [74, 44]]);
  return drops.slice(0, Math.ceil(s.sweat * drops.length)).map(([x, y]) => P("drop", `M${x} ${y - 6}C${x + 5} ${y + 1} ${x + 3} ${y + 6} ${x} ${y + 6}C${x - 3} ${y + 6} ${x - 5} ${y + 1} ${x} ${y - 6}Z`)).join("");
}
