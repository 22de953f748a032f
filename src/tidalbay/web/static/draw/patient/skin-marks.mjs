// @ts-check
// What a look at the skin finds, at every place of the catalogue's skin sites: on the face where it is seen from this
// side, else in an inset (behind the ear with the ear folded forward, the far side, the back of the head, the nose from below).
import { G, P, circle, hash, hatch, n, pts, shape, smooth } from "../geometry.mjs";
import { posture } from "../posture.mjs";
import { head } from "./head.mjs";

/** @typedef {import("../posture.mjs").Posture} Posture */
/** @typedef {import("../geometry.mjs").Pt} Pt */
/** @typedef {0 | 1 | 2 | 3} Stage */
/** @typedef {{x: number, y: number, rx: number, ry: number, turn?: number, ear?: boolean}} Place */

/** Places seen from this side, in the head's frame (`ear`: in the ear's). The patient's right side faces us. @type {Readonly<Record<string, Place>>} */
export const onFace = {
  right_ear: { x: -9, y: -29, rx: 12, ry: 5.5, turn: -8, ear: true }, right_cheek: { x: 56, y: 17, rx: 24, ry: 5, turn: 28 }, nostrils: { x: 105, y: 27, rx: 8, ry: 4.6, turn: 6 }, septum: { x: 112, y: 27.5, rx: 5, ry: 3.4, turn: 6 },
  nose_bridge: { x: 95.5, y: -7, rx: 4, ry: 10, turn: -34 }, chin: { x: 87, y: 88, rx: 11, ry: 5, turn: -24 }, neck: { x: 14, y: 122, rx: 34, ry: 7, turn: 22 },
};

/** Places that need an inset, and which picture it is. @type {Readonly<Record<string, "behind" | "cheek" | "nape" | "below">>} */
const insetOf = {
  right_ear: "behind", left_ear: "behind", behind_right_ear: "behind", behind_left_ear: "behind", left_cheek: "cheek", back_of_head: "nape", nostrils: "below", septum: "below",
};

/** Every site this drawing knows. */
export const sites = Object.freeze([...new Set([...Object.keys(onFace), ...Object.keys(insetOf)])]);

/** A mark about 0,0: pink is a soft patch, red that does not fade a dense hatched one, broken skin a ragged edge. @param {Stage} stage @param {number} rx @param {number} ry */
export function soreMark(stage, rx, ry) {
  if (stage === 0) return "";
  const e = (/** @type {number} */ k, /** @type {number} */ o) => `<ellipse class="f-sore" rx="${n(rx * k)}" ry="${n(ry * k)}" opacity="${o}"/>`;
  if (stage === 1) return e(1.15, 0.16) + e(0.9, 0.18) + e(0.6, 0.16);
  const edge = /** @type {Pt[]} */ (Array.from({ length: 11 }, (_, i) => { const a = (i / 11) * 2 * Math.PI, k = 0.62 + 0.34 * hash(i, 5, stage); return [Math.cos(a) * rx * k, Math.sin(a) * ry * k]; }));
  const strokes = Array.from({ length: 7 }, (_, i) => { const x = (-0.8 + (1.6 * i) / 6) * rx, h = Math.sqrt(Math.max(0, 1 - (x / rx) ** 2)) * ry * 0.9; return `M${n(x - 1)} ${n(h)}L${n(x + 1)} ${n(-h)}`; }).join("");
  const dense = e(1.2, 0.2) + e(1, 0.5) + P("hair", strokes);
  return stage === 2 ? dense : e(1.25, 0.3) + e(1.05, 0.55) + P("f-broken", smooth(edge, true)) + P("fine", smooth(edge, true)) + P("hair", `M${n(-rx * 0.3)} 0l${n(rx * 0.2)} ${n(-ry * 0.3)}M${n(rx * 0.1)} ${n(ry * 0.2)}l${n(rx * 0.2)} ${n(-ry * 0.3)}`);
}

/** Marks on the face for what was looked at (world coordinates). @param {Posture} f @param {readonly {site: string, stage: Stage}[]} found */
export function marksOnFace(f, found) {
  const drawn = found.map(({ site, stage }) => {
    const p = onFace[site];
    if (!p || !stage) return "";
    const [x, y] = p.ear ? f.ear.at(p.x, p.y) : [p.x, p.y];
    return G(`translate(${n(x)} ${n(y)}) rotate(${p.turn ?? 0})`, soreMark(stage, p.rx, p.ry));
  }).join("");
  return drawn && `<g class="onskin" transform="${f.head.transform}">${drawn}</g>`;
}

/** Where an inset of this site points to on the face, or null where none is needed. @param {Posture} f @param {string} site @returns {Pt | null} */
export function insetPoint(f, site) {
  const kind = insetOf[site];
  if (!kind) return null;
  return kind === "behind" ? f.anchors.behindEar : kind === "cheek" ? f.anchors.cheek : kind === "nape" ? f.anchors.occiput : f.anchors.nostril;
}

/** The same as a disc by itself. `clip` names a clip path that the page must not reuse. @param {Posture} f @param {string} site @param {Stage} stage @param {string} clip */
export const skinInset = (f, site, stage, clip) => `<clipPath id="${clip}"><circle r="92"/></clipPath>` + circle("f-paper", 0, 0, 92) + `<g clip-path="url(#${clip})">${skinPicture(f, site, stage)}</g>` + circle("ink", 0, 0, 92);

/** The picture of an inset: fills a disc of radius 92 about 0,0, into which the plate clips it. @param {Posture} f @param {string} site @param {Stage} stage */
export function skinPicture(f, site, stage) {
  const kind = insetOf[site], left = site.includes("left");
  if (!kind) return "";
  const inner = kind === "behind" ? behindEar(stage) : kind === "below" ? noseFromBelow(site, stage) : kind === "nape" ? backOfHead(stage) : farCheek(f, stage);
  // The far side is the near side's mirror image.
  return `<g class="onskin">${left ? G("scale(-1 1)", inner) : inner}</g>`;
}

/** The ear folded forward by a finger, its back and the groove behind it in view. @param {Stage} stage */
function behindEar(stage) {
  const back = smooth(pts([[6, -62], [34, -58], [52, -34], [54, -4], [44, 26], [28, 52], [12, 58], [4, 40], [0, 8], [-2, -34]]), true);
  const hairline = smooth(pts([[-20, -110], [-34, -70], [-44, -30], [-50, 20], [-46, 60], [-60, 110]]));
  return P("f-skin", "M-100 -100H100V100H-100Z") + P("f-hair", hairline + "L-110 110V-110Z") + P("fine", hairline) + hatch([[-24, -96], [-38, -60], [-48, -20], [-54, 30]], [[-50, -92], [-64, -60], [-74, -20], [-80, 30]], 22) +
    P("f-hair", smooth(pts([[-20, -110], [10, -84], [50, -78], [110, -92]])) + "V-120H-20Z") + P("fine", smooth(pts([[-20, -110], [10, -84], [50, -78], [110, -92]]))) +
    shape("f-skin", "contour", back) + P("fine", smooth(pts([[30, -46], [40, -22], [38, 6], [26, 34]]))) + P("ink", smooth(pts([[2, -66], [-8, -36], [-9, 4], [-2, 44], [8, 62]]))) +
    hatch([[-6, -50], [-9, -10], [-4, 36]], [[3, -50], [2, -8], [6, 34]], 18) + G("translate(-12 -20) rotate(84)", soreMark(stage, 30, 9)) +
    P("f-skin", smooth(pts([[110, 14], [76, 0], [56, -8], [48, -2], [54, 8], [72, 18], [110, 42]]))) + P("ink", smooth(pts([[110, 14], [76, 0], [56, -8], [48, -2], [54, 8], [72, 18], [110, 42]]))) + P("hair", smooth(pts([[50, -4], [56, -4], [60, 2]])));
}

/** Nose from below: both nostrils and the skin between them. @param {string} site @param {Stage} stage */
function noseFromBelow(site, stage) {
  const rim = smooth(pts([[-66, 34], [-60, 2], [-34, -26], [0, -40], [34, -26], [60, 2], [66, 34], [40, 46], [14, 40], [0, 46], [-14, 40], [-40, 46]]), true);
  const hole = (/** @type {number} */ s) => smooth(pts([[s * 14, 26], [s * 18, 2], [s * 30, -8], [s * 46, 8], [s * 48, 28], [s * 30, 34]]), true);
  const marks = site === "septum" ? G("translate(0 22) rotate(90)", soreMark(stage, 18, 8)) : [-1, 1].map((s) => G(`translate(${s * 51} 20) rotate(${s * 62})`, soreMark(stage, 22, 7))).join("");
  return P("f-skin", "M-100 -100H100V100H-100Z") + shape("f-skin", "contour", rim) + P("f-dark", hole(-1)) + P("f-dark", hole(1)) + P("ink", hole(-1)) + P("ink", hole(1)) + marks +
    P("fine", smooth(pts([[-8, 46], [-9, 62], [-14, 76]]))) + P("fine", smooth(pts([[8, 46], [9, 62], [14, 76]]))) + P("f-lip", smooth(pts([[-60, 104], [-28, 84], [-12, 76], [0, 80], [12, 76], [28, 84], [60, 104]]), true)) + P("fine", smooth(pts([[-60, 104], [-28, 84], [-12, 76], [0, 80], [12, 76], [28, 84], [60, 104]])));
}

/** Hair parted at the back of the head. @param {Stage} stage */
function backOfHead(stage) {
  const part = smooth(pts([[-70, 4], [-40, -16], [0, -22], [40, -16], [70, 4], [40, 20], [0, 24], [-40, 20]]), true);
  let strands = "";
  for (let i = -8; i <= 8; i++) strands += `M${i * 9} ${n(-20 + Math.abs(i) * 1.6)}q${i * 2} -34 ${i * 5} -80M${i * 9} ${n(22 - Math.abs(i) * 1.4)}q${i * 2} 34 ${i * 4} 78`;
  return P("f-hair", "M-100 -100H100V100H-100Z") + P("curl", strands) + shape("f-skin", "ink", part) + G("translate(0 2)", soreMark(stage, 36, 12));
}

/** The far cheek, as the near one mirrored. @param {Posture} f @param {Stage} stage */
function farCheek(f, stage) {
  const level = posture({ ...f.s, posture: "upright", recline_deg: 67, nod_deg: 0, effort: 0 }), at = level.head, k = 1.15 / at.scale, p = onFace.right_cheek ?? { x: 56, y: 17, rx: 24, ry: 5, turn: 28 };
  const [cx, cy] = at.at(62, 20);
  return G(`scale(${n(k)}) translate(${n(-cx)} ${n(-cy)})`, head(level).still, `<g transform="${at.transform}">${G(`translate(${p.x} ${p.y}) rotate(${p.turn ?? 0})`, soreMark(stage, p.rx, p.ry))}</g>`);
}


