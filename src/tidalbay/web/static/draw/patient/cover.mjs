// @ts-check
// What lies over lap and legs: a blanket in bed, from above and in a chair; an infant's bare legs and nappy.
import { P, brush, hatch, n, point, pts, shape, smooth, tube } from "../geometry.mjs";
import { sheet } from "../sheet.mjs";
import { front } from "./trunk.mjs";

/** @typedef {import("../posture.mjs").Posture} Posture */
/** @typedef {import("../geometry.mjs").Pt} Pt */

/** @param {Posture} f @param {number} reach @returns {import("../piece.mjs").Piece} */
export const cover = (f, reach) => (f.s.build === "infant" ? infantLegs(f) : f.s.posture === "sitting_out" ? lap(f) : f.s.posture === "side" ? blanketFromAbove(f, reach) : blanket(f, reach));

/** Where the blanket meets the belly (world). @param {Posture} f @param {number} air @returns {Pt} */
function edge(f, air) {
  const b = point(front(f, air), 7), u = f.body.unit;
  return f.trunk.at(b[0] + 2 * u, b[1] + 15 * u);
}
/** @param {number} u */
const scaled = (u) => (/** @type {Pt[]} */ line) => /** @type {Pt[]} */ (line.map(([x, y]) => [x * u, y * u]));

/** @param {Posture} f @param {number} reach */
function blanket(f, reach) {
  const d = sheet(), u = f.body.unit, S = scaled(u), low = 128 * u;
  /** @param {number} air @returns {Pt[]} */
  const top = (air) => { const [bx, by] = edge(f, air); return [[bx - 6 * u, by - 4 * u], [bx + 26 * u, by + 8 * u], [Math.max(52 * u, bx + 42 * u), -152 * u], [Math.max(110 * u, bx + 86 * u), -158 * u], ...S([[210, -188], [310, -224], [392, -240], [452, -214], [510, -150], [552, -88]]), [Math.max(reach, 560 * u), -60 * u]]; };
  /** @param {number} air @returns {Pt[]} */
  const fold = (air) => { const [bx, by] = edge(f, air); return [[bx - 6 * u, by - 4 * u], [bx - 34 * u, by + 40 * u], ...S([[-70, -70], [-96, -2], [-110, 60], [-112, 100]])]; };
  /** @param {number} air @returns {Pt[]} */
  const band = (air) => { const [bx, by] = edge(f, air); return [[bx + 22 * u, by + 6 * u], [bx + 6 * u, by + 52 * u], ...S([[-18, -56], [-34, 4], [-44, 66], [-46, 104]])]; };
  const hem = [...S([[-112, 100], [-46, 122], [60, 128], [200, 126], [380, 132]]), /** @type {Pt} */ ([Math.max(reach, 560 * u), low])];
  d.path("f-wash2", (live) => smooth(top(live.air)) + "L" + smooth([...hem].reverse()).slice(1) + smooth(fold(live.air).reverse(), false, false) + "Z");
  d.path("f-linen", (live) => smooth(fold(live.air)) + "L" + smooth([point(hem, 0), point(S([[-80, 116]]), 0), point(band(0), -1)]).slice(1) + smooth(band(live.air).reverse(), false, false) + "Z");
  d.path("contour", (live) => smooth(top(live.air))).path("ink", (live) => smooth(fold(live.air))).path("fine", (live) => smooth(band(live.air)));
  d.add(P("ink", smooth(hem)), folds(S));
  return d.done();
}

/** Folds over the thigh. @param {(line: Pt[]) => Pt[]} S */
function folds(S) {
  const strokes = /** @type {[Pt[], number][]} */ ([
    [[[60, -146], [130, -100], [190, -10], [210, 80]], 2.2], [[[210, -184], [250, -120], [262, -30], [250, 70]], 2.2], [[[330, -226], [352, -150], [356, -60], [340, 40]], 2.2], [[[400, -236], [440, -160], [452, -60], [446, 50]], 2.2],
    [[[-10, 0], [40, 40], [120, 66], [180, 100]], 2], [[[300, -30], [310, 40], [300, 110]], 1.8], [[[470, -190], [500, -120], [512, -40]], 1.8],
  ]);
  return strokes.map(([l, w]) => brush(S(l), w)).join("") +
    hatch(S([[70, -140], [140, -96], [196, -8], [212, 70]]), S([[100, -146], [172, -110], [226, -20], [236, 60]]), 40) + hatch(S([[336, -220], [356, -150], [360, -60], [346, 30]]), S([[366, -222], [384, -150], [386, -70], [372, 20]]), 36) +
    hatch(S([[404, -230], [446, -150], [456, -60], [450, 40]]), S([[436, -214], [474, -150], [482, -70], [474, 20]]), 34) + hatch(S([[-104, 40], [-108, 70], [-108, 98]]), S([[-80, 44], [-84, 74], [-84, 104]]), 12);
}

/** From above, the knees drawn up. @param {Posture} f @param {number} reach */
function blanketFromAbove(f, reach) {
  const d = sheet(), u = f.body.unit, S = scaled(u), end = Math.max(reach, 560 * u);
  /** @param {number} air @returns {Pt[]} */
  const top = (air) => { const [bx, by] = edge(f, air); return [[bx - 8 * u, by - 4 * u], [bx + 40 * u, by - 18 * u], ...S([[70, -190], [170, -276], [250, -318], [316, -300], [366, -226], [430, -150], [500, -112]]), [end, -100 * u]]; };
  /** @param {number} air @returns {Pt[]} */
  const fold = (air) => { const [bx, by] = edge(f, air); return [[bx - 8 * u, by - 4 * u], [bx - 16 * u, by + 60 * u], ...S([[-140, 20], [-132, 90], [-118, 150]])]; };
  const hem = [...S([[-118, 150], [0, 176], [200, 184], [400, 180]]), /** @type {Pt} */ ([end, 182 * u])];
  d.path("f-wash2", (live) => smooth(top(live.air)) + "L" + smooth([...hem].reverse()).slice(1) + smooth(fold(live.air).reverse(), false, false) + "Z");
  d.path("contour", (live) => smooth(top(live.air))).path("ink", (live) => smooth(fold(live.air)));
  d.path("fine", (live) => smooth(fold(live.air).map(([x, y], i) => [x + 46 * u, y - (i < 2 ? 6 : 0) * u])));
  d.add(P("ink", smooth(hem)));
  for (const [l, w] of /** @type {[Pt[], number][]} */ ([[[[60, -176], [110, -90], [120, 10], [110, 120]], 2.2], [[[180, -276], [200, -180], [190, -80], [160, 10]], 2.2], [[[262, -312], [268, -220], [300, -120], [350, -40]], 2.2], [[[-30, -20], [40, -40], [120, -100]], 2], [[[360, -220], [350, -150], [380, -90]], 1.8]])) d.add(brush(S(l), w));
  d.add(hatch(S([[68, -170], [116, -86], [126, 10], [118, 110]]), S([[98, -186], [146, -96], [154, 4], [142, 100]]), 40), hatch(S([[190, -268], [208, -176], [198, -76], [170, 4]]), S([[220, -286], [236, -186], [224, -86], [196, -10]]), 34));
  return d.done();
}

/** In a chair: a blanket over the knees, and the chair's near arm. @param {Posture} f */
function lap(f) {
  const d = sheet(), u = f.body.unit, b = f.body, k = b.thigh_mm, th = b.thick_mm, S = scaled(u);
  /** @param {number} air @returns {Pt[]} */
  const top = (air) => { const [bx, by] = edge(f, air); return [[bx - 20 * u, by - 6 * u], [bx + 30 * u, -th - 60 * u], [k * 0.5, -th - 18 * u], [k - 60 * u, -th - 8 * u], [k - 4 * u, -th + 18 * u], [k + 24 * u, -10 * u], [k + 16 * u, 100 * u], [k + 6 * u, 240 * u], [k + 10 * u, 380 * u]]; };
  const under = pts([[k - 150 * u, 380 * u], [k - 132 * u, 240 * u], [k - 126 * u, 120 * u], [k - 150 * u, 84 * u], [60 * u, 92 * u], [-110 * u, 90 * u]]);
  /** Across the hip, from the small of the back to the belly. @param {number} air @returns {Pt[]} */
  const hip = (air) => { const [bx, by] = edge(f, air); return [[-110 * u, 90 * u], [-120 * u, 40 * u], [-76 * u, -20 * u], [0, -70 * u], [bx - 60 * u, by + 26 * u], [bx - 20 * u, by - 6 * u]]; };
  d.path("f-wash2", (live) => smooth(top(live.air)) + smooth(under, false, false) + smooth(hip(live.air), false, false) + "Z").path("ink", (live) => smooth(hip(live.air)));
  d.path("contour", (live) => smooth(top(live.air))).add(P("ink", smooth(under)));
  for (const l of [pts([[k - 20 * u, -th + 10 * u], [k - 60 * u, 60 * u], [k - 50 * u, 200 * u]]), pts([[k * 0.6, -th - 12 * u], [k * 0.66, -10 * u], [k * 0.6, 60 * u]]), pts([[k - 6 * u, 60 * u], [k - 22 * u, 180 * u], [k - 20 * u, 320 * u]]), pts([[k - 90 * u, 140 * u], [k - 84 * u, 240 * u], [k - 100 * u, 340 * u]])]) d.add(brush(l, 2.2));
  d.add(hatch([[k - 126 * u, 130 * u], [k - 132 * u, 240 * u], [k - 144 * u, 340 * u]], [[k - 96 * u, 130 * u], [k - 100 * u, 240 * u], [k - 112 * u, 340 * u]], 34), hatch([[60 * u, 90 * u], [k - 150 * u, 84 * u]], [[70 * u, 62 * u], [k - 140 * u, 60 * u]], 28));
  const y = f.wrist[1] + 32 * u, arm = `M${n(-236 * u)} ${n(y)}H${n(196 * u)}q${n(24 * u)} 0 ${n(24 * u)} ${n(18 * u)}t${n(-24 * u)} ${n(18 * u)}H${n(-228 * u)}Z`;
  d.add(shape("f-linen", "ink", `M${n(150 * u)} ${n(y + 34 * u)}L${n(158 * u)} ${n(92 * u)}H${n(196 * u)}L${n(190 * u)} ${n(y + 34 * u)}Z`), shape("f-wash", "contour", arm), P("hair", `M${n(-220 * u)} ${n(y + 24 * u)}H${n(190 * u)}`), hatch(S([[-200, 0], [0, 0], [180, 0]]).map(([x]) => [x, y + 35 * u]), S([[-190, 0], [10, 0], [186, 0]]).map(([x]) => [x, y + 22 * u]), 50, { ease: false }));
  return d.done();
}

/** Thigh, shin and foot of an infant (world): knees fall outwards. @param {Posture} f */
function infantLegs(f) {
  const d = sheet(), k = f.body.thigh_mm;
  const far = tube([[8, -18], [k * 0.6, -62], [k * 0.94, -58], [k * 1.1, -8], [k * 1.24, 30]], [36, 34, 28, 24, 16]);
  const near = tube([[-8, 4], [k * 0.46, -26], [k * 0.84, -36], [k * 1.05, 0], [k * 1.28, 32]], [40, 38, 30, 26, 17]);
  const foot = footAt(f), toe = foot.at;
  d.add(`<g class="onskin">`, shape("f-skin", "ink", smooth(thinned(far), true)), P("f-skin", smooth(thinned(near), true)), P("contour", smooth(thinned(near), true)));
  d.add(shape("f-skin", "contour", smooth(footOutline.map(([x, y]) => toe(x, y)), true)), toes(toe));
  d.add(P("fine", smooth([[k * 0.9, -8], [k * 0.8, -4], [k * 0.72, -14]])), P("hair", smooth([[k * 0.34, 10], [k * 0.36, -14], [k * 0.3, -32]])), P("hair", smooth([[k * 1.2, 34], [k * 1.16, 22], [k * 1.22, 10]])), "</g>");
  const nappy = (/** @type {number} */ air) => { const [bx, by] = edge(f, air); return smooth([[bx - 4, by + 6], [bx * 0.6 + 22, by * 0.5 - 22], [Math.max(34, bx * 0.7), -40], [40, -12], [30, 26], [4, 46], [-34, 46], [-58, 34], [-62, 8], [-46, -18]], true); };
  d.path("f-linen,ink", (live) => nappy(live.air));
  d.add(brush([[30, -36], [22, -6], [18, 22]], 1.6), brush([[-40, 40], [-24, 18], [-22, -6]], 1.4), P("hair", smooth([[36, -20], [22, 12], [-4, 34]])));
  return d.done({ toe: toe(60, -6) });
}
/** @param {Pt[]} l */
const thinned = (l) => l.filter((_, i) => i % 3 === 0);
/** Frame of the near foot. @param {Posture} f */
const footAt = (f) => {
  const k = f.body.thigh_mm, x = k * 1.28, y = 30, a = (-28 * Math.PI) / 180;
  return { at: (/** @type {number} */ u, /** @type {number} */ v) => /** @type {Pt} */ ([x + u * Math.cos(a) - v * Math.sin(a), y + u * Math.sin(a) + v * Math.cos(a)]) };
};
const footOutline = pts([[-16, -14], [-18, 10], [-8, 22], [14, 22], [40, 18], [58, 14], [66, 4], [64, -10], [54, -14], [36, -14], [14, -18]]);
/** @param {(u: number, v: number) => Pt} at */
const toes = (at) => [[62, -8], [64, 0], [61, 7], [56, 12]].map(([u = 0, v = 0], i) => { const p = at(u, v); return `<circle class="f-skin" cx="${n(p[0])}" cy="${n(p[1])}" r="${n(6 - i * 0.8)}"/><circle class="fine" cx="${n(p[0])}" cy="${n(p[1])}" r="${n(6 - i * 0.8)}"/>`; }).join("");
