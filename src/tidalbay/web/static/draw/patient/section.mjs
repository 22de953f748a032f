// @ts-check
// The same patient cut open: nose, throat, voice box, windpipe and lung in section. Same frames and outlines as outside.
// Child and infant use the adult's diagram at their own size; real ones differ (larger tongue, higher and softer voice box).
import { G, P, along, frame, hatch, n, point, pts, sample, shape, smooth } from "../geometry.mjs";
import { sheet } from "../sheet.mjs";
import { diaphragm, inTrunk, lung, mouthLumen, noseLumen, shelves, spine, throatLumen, windpipe, windpipeLine } from "./airways.mjs";
import { faces } from "./faces.mjs";
import { front, nape, throat } from "./trunk.mjs";

/** @typedef {import("../posture.mjs").Posture} Posture */
/** @typedef {import("../geometry.mjs").Pt} Pt */
/** @typedef {ReturnType<typeof sheet>} Sheet */

/** What is to be said beside the drawing. @param {import("./bodies.mjs").Build} build */
export const sectionWords = (build) => "A diagram, drawn from general knowledge: parts are simplified so that the way of the gas can be followed." +
  (build === "child" || build === "infant" ? ` It is an adult's, at the size of ${build === "child" ? "a child" : "an infant"}: a young tongue is larger for its mouth, and the voice box lies higher.` : "");

/** Anchors: `nose`, `throat`, `voice_box`, `windpipe`, `lung`, `heart`, `diaphragm`, for words. @param {Posture} f */
export function section(f) {
  const d = sheet(), T = inTrunk(f), H = f.head.all;
  d.path("f-flesh2", (live) => outline(f, live.air) + "Z");
  cranium(d, f);
  d.add(bodies(f));
  d.path("f-wash", (live) => smooth([...T([...diaphragm(live.air), [-84, -120], [0, -60]]), ...f.trunk.all([point(front(f, live.air), 8), point(front(f, live.air), 6)])], true));
  gullet(d, f);
  d.path("f-paper,contour", (live) => smooth(T(lung(live.air)), true));
  d.path("contour", (live) => smooth(T(diaphragm(live.air)))).path("hair", (live) => strokesUnder(T, live.air)).path("contour", (live) => outline(f, live.air));
  d.add(shape("f-paper", "ink", smooth(thin(windpipe(f), 3), true)), P("f-paper", smooth(H(throatLumen), true)), P("f-paper", smooth(H(noseLumen), true)));
  if (f.s.mouth > 0.06) d.add(P("f-paper", smooth(H(mouthLumen(f.s.mouth)), true)));
  mouthAndNose(d, f);
  voiceBox(d, f);
  const inside = (/** @type {Pt} */ p) => point(T([p]), 0), head = (/** @type {Pt} */ p) => point(H([p]), 0);
  return d.done({ nose: head([72, 20]), throat: head([26, 52]), voice_box: head([33, 112]), windpipe: inside([2, -486]), lung: inside([50, -440]), heart: inside([46, -350]), diaphragm: inside([-8, -300]) });
}

/** @param {readonly Pt[]} line @param {number} by @returns {Pt[]} */
const thin = (line, by) => line.filter((_, i) => i % by === 0);

/** The outside, from forehead over the front to the groin, up the back and over the skull (world, open). @param {Posture} f @param {number} air */
function outline(f, air) {
  const face = faces[f.s.build], { seat, hipBack, back } = f.body;
  return smooth(f.head.all(face.profile(f.s.mouth))) + smooth(f.head.all(face.jaw(f.s.mouth)), false, false) + smooth(throat(f, air), false, false) + smooth(f.trunk.all(front(f, air)), false, false) +
    smooth([point(f.trunk.all(front(f, air)), -1), ...seat, hipBack, ...f.trunk.all([...back].reverse())], false, false) + smooth([...nape(f)].reverse(), false, false) + smooth(f.head.all(face.skull.slice(5)), false, false);
}

/** Skull with its two tables; the brain is left unprinted. @param {Sheet} d @param {Posture} f */
function cranium(d, f) {
  const adult = f.s.build === "woman" || f.s.build === "man", back = { woman: 1, man: 1.02, child: 1.13, infant: 1.2 }[f.s.build], up = { woman: 1, man: 1.02, child: 1.14, infant: 1.24 }[f.s.build];
  const H = (/** @type {Pt[]} */ l) => f.head.all(l.map(([x, y]) => [x < 0 ? x * back : x * (adult ? 1 : y < -50 ? 1.06 : 1), y < 0 ? y * up : y]));
  const outer = H([[84, -40], [80, -74], [62, -102], [20, -117], [-26, -114], [-62, -96], [-85, -60], [-90, -24], [-80, 10], [-50, 26], [-16, 20], [20, -4], [48, -22], [66, -27]]);
  const inner = H([[74, -46], [70, -72], [54, -94], [18, -107], [-26, -105], [-55, -88], [-76, -56], [-80, -24], [-70, 4], [-48, 16], [-18, 10], [16, -14], [44, -32], [62, -37]]);
  d.add(shape("f-bone", "ink", smooth(outer, true)), shape("f-paper", "fine", smooth(inner, true)), shape("f-bone", "fine", smooth(f.head.all([[92, -30], [90, -44], [84, -44], [84, -32]]), true)));
}

/** Seven bones of the neck and ten of the chest, growing downwards, with the thorns behind them. @param {Posture} f */
function bodies(f) {
  const line = spine(f), k = (f.head.scale + f.body.unit) / 2, N = 17, out = [];
  // Neck bones are lower than those of the chest: places along the line are drawn together at its top.
  const share = (/** @type {number} */ i) => { const t = i / N; return 0.78 * t + 0.22 * t * t; };
  for (let i = 0; i < N; i++) {
    const { p: [x, y], d: [c, q], length } = along(line, share(i + 0.5)), w = (9 + i * 0.45) * k, h = ((share(i + 1) - share(i)) * length) / 2 - 1.6 * k;
    const at = (/** @type {number} */ u, /** @type {number} */ v) => /** @type {Pt} */ ([x + c * v - q * u, y + q * v + c * u]);
    out.push(shape("f-bone", "fine", smooth([at(-w, -h), at(0, -h + k), at(w, -h), at(w - 2 * k, 0), at(w, h), at(0, h - k), at(-w, h), at(-w + 2 * k, 0)], true)));
    const thorn = at(w + (i < 7 ? 18 + i : 22 - (i - 7) * 0.5) * k * (f.s.build === "infant" ? 0.8 : 1), h * (i < 7 ? 0.6 : 1.5));
    if (i > 0) out.push(shape("f-bone", "hair", smooth([at(w + 9 * k, -h * 0.5), at(w + 15 * k, -h * 0.3), thorn, at(w + 9 * k, h * 0.5)], true)));
  }
  // The canal between bodies and thorns.
  const canal = Array.from({ length: N }, (_, i) => { const { p: [x, y], d: [c, q] } = along(line, share(i + 0.5)), u = (9 + i * 0.45 + 5) * k; return /** @type {Pt} */ ([x - q * u, y + c * u]); });
  return out.map((s) => s).join("") + P("hair quiet", smooth(canal));
}

/** @param {(line: readonly Pt[]) => Pt[]} T @param {number} air */
function strokesUnder(T, air) {
  const line = sample(T(diaphragm(air)), 6);
  return line.map(([x, y]) => `M${n(x)} ${n(y)}l-2 11`).join("");
}

/** The gullet, closed, between windpipe and spine. @param {Sheet} d @param {Posture} f */
function gullet(d, f) {
  const H = f.head.all, T = inTrunk(f);
  d.add(P("ink", smooth([...H([[22, 104], [24, 116], [31, 132]]), ...T([[4, -556], [-8, -508], [-30, -456], [-46, -400], [-58, -330], [-60, -270]])])), P("hair", smooth([...H([[20, 106], [21, 118], [27, 134]]), ...T([[0, -556], [-12, -508], [-34, -456], [-50, -400], [-62, -330], [-64, -270]])])));
}

/** @param {Sheet} d @param {Posture} f */
function mouthAndNose(d, f) {
  const H = f.head.all, o = f.s.mouth;
  const drop = (/** @type {Pt[]} */ l) => H(l.map(([x, y]) => [x - o * 2, y + o * 11 * Math.max(0, (x - 20) / 80)]));
  const soft = pts([[50, 23.5], [43, 29], [36, 38], [31, 48], [30, 56], [34, 55], [38, 47], [44, 36], [50, 29]]), tongue = pts([[94, 56], [91, 48], [82, 41], [70, 37.5], [56, 38], [45, 45], [39, 57], [37.5, 72], [37, 84], [39, 93], [48, 91], [62, 82], [80, 74], [91, 66]]);
  const wall = pts([[115.5, 24], [113, 13], [105, 2], [96, -10], [88, -18], [76, -21], [64, -19], [54, -13], [47, -6], [38, -5], [29, 1], [23, 12], [20, 28], [19, 48], [19, 70], [20, 90], [22, 104]]), palate = pts([[104, 26.5], [96, 23], [80, 22.5], [62, 23], [50, 23.5], [50, 28], [62, 29], [80, 29.5], [92, 32.5], [98, 38]]);
  d.add(P("ink", smooth(H(wall))), P("f-bone", smooth(H([...palate, [103, 37]]), true)), P("ink", smooth(H(palate))), hatch(H([[96, 24], [76, 23.4], [52, 24]]), H([[94, 31], [74, 28.6], [50, 27.6]]), 14, { ease: false }));
  d.add(P("f-flesh", smooth(H(soft), true)), P("ink", smooth(H(soft))));
  for (const shelf of Object.values(shelves)) d.add(shape("f-flesh", "fine", smooth(H(shelf), true)));
  d.add(shape("f-flesh", "ink", smooth(drop(tongue), true)), hatch(drop(pts([[88, 56], [70, 48], [54, 56], [46, 76]])), drop(pts([[80, 66], [68, 62], [58, 68], [52, 82]])), 18));
  d.add(shape("f-bone", "fine", smooth(drop(pts([[94, 60], [99, 66], [96, 76], [97, 85], [90, 92], [84, 88], [84, 76], [89, 66]])), true)));
  if (f.s.build !== "infant") d.add(shape("f-linen", "fine", smooth(H([[99, 37], [101.4, 38], [101, 47], [98.6, 47.4]]), true)), shape("f-linen", "fine", smooth(drop(pts([[95, 61], [98.6, 60], [99.2, 52], [97, 51.6]])), true)));
  d.add(G(f.head.transform, P("fine ghost", "M86 -16 C 84 -23 74 -23 66 -12 C 74 -7.5 80 -7.5 84 -9.5")));
}

/** Lid of the voice box, tongue bone, shield and ring cartilage, vocal folds, and the rings of the windpipe. @param {Sheet} d @param {Posture} f */
function voiceBox(d, f) {
  const H = f.head.all, line = sample(windpipeLine(f), 8);
  const lid = pts([[38, 96], [34, 90], [29, 80], [27, 80.5], [30, 92], [36, 102]]);
  d.add(P("f-flesh", smooth(H(lid), true)), P("ink", smooth(H(lid))), shape("f-bone", "fine", smooth(H([[46, 96], [51, 95], [52, 100], [47, 101]]), true)));
  const front = voiceFrame(f);
  d.add(shape("f-bone", "ink", smooth(front(pts([[9, -10], [13.4, -9], [14.6, 2], [13, 14], [9.6, 14], [9.4, 2]])), true)));
  d.add(shape("f-bone", "ink", smooth(front(pts([[9.2, 19], [12.6, 19], [12.8, 25], [9.4, 25]])), true)), shape("f-bone", "ink", smooth(front(pts([[-8.6, 10], [-12.8, 12], [-13, 24], [-9, 25]])), true)));
  d.add(`<path class="ring" d="${rings(f, line)}"/>`);
}

/** Carries points from the voice box to the world: y down the windpipe, x towards the front of the neck, 0,0 in its middle. @param {Posture} f @returns {(l: Pt[]) => Pt[]} */
function voiceFrame(f) {
  const line = sample(windpipeLine(f), 8), { p, d: [c, q] } = along(line, 0.1), L = frame(p[0], p[1], (Math.atan2(q, c) * 180) / Math.PI - 90, f.head.scale), side = -facing(f, line);
  return (l) => L.all(l.map(([x, y]) => [x * side, y]));
}

/** False and true vocal folds with the pocket between them, seen on the far wall. @param {Posture} f */
export function vocalFolds(f) {
  const front = voiceFrame(f);
  return shape("f-flesh", "fine", smooth(front(pts([[6, -1.4], [0, -2.4], [-5.6, -0.6], [0, 1.6], [6, 1.6]])), true)) + shape("f-flesh", "ink", smooth(front(pts([[6.2, 4.6], [0, 4.2], [-6, 6.4], [0, 7.4], [6.2, 7]])), true));
}

/** Which side of the line the front of the neck lies on: 1 or -1. @param {Posture} f @param {Pt[]} line */
function facing(f, line) {
  const { p, d: [c, q] } = along(line, 0.3), [x, y] = f.anchors.throat;
  return (x - p[0]) * q - (y - p[1]) * c > 0 ? -1 : 1;
}

/** Short strokes along the front wall, one for each ring. @param {Posture} f @param {Pt[]} line */
function rings(f, line) {
  const k = (f.head.scale + f.body.unit) / 2, side = facing(f, line);
  let d = "";
  for (let i = 0; i < 14; i++) {
    const { p: [x, y], d: [c, q] } = along(line, 0.3 + (i * 0.66) / 14), u = side * 9.6 * k, m = 2.6 * k;
    d += `M${n(x + q * -u - c * m)} ${n(y + c * u - q * m)}L${n(x + q * -u + c * m)} ${n(y + c * u + q * m)}`;
  }
  return d;
}
