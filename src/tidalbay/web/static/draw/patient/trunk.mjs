// @ts-check
// Neck, trunk and gown. The front of chest and belly, the collar and the folds of the gown follow the breath.
import { P, brushPath, hatch, pts, smooth, point } from "../geometry.mjs";
import { sheet } from "../sheet.mjs";
import { faces } from "./faces.mjs";

/** @typedef {import("../posture.mjs").Posture} Posture */
/** @typedef {import("../geometry.mjs").Pt} Pt */
/** @typedef {import("../piece.mjs").Live} Live */

/** What a breath does to this body [mm]. @param {Posture} f @param {number} air 0..1 */
export const measures = (f, air) => ({
  rise: f.body.rise_mm * air, belly: f.body.belly_mm * air, lift: f.body.lift_mm * f.s.effort * (0.35 + 0.65 * air),
});

/** Front of the trunk, notch to groin, in trunk coordinates. @param {Posture} f @param {number} air @returns {Pt[]} */
export function front(f, air) {
  const { rise, belly, lift } = measures(f, air);
  return f.body.front.map(([x, y, r, b, l]) => [x + rise * r + belly * b, y - lift * l]);
}

/** Under the jaw to the notch, in the world. @param {Posture} f @param {number} air @returns {Pt[]} */
export function throat(f, air) {
  const jaw = faces[f.s.build].jaw(f.s.mouth), under = point(jaw, -1), notch = point(front(f, air), 0);
  return [...f.head.all([under, [under[0] - 8, under[1] + 2.1]]), ...f.trunk.all([...f.body.throat, notch])];
}

/** Back of the neck, in the world. @param {Posture} f @returns {Pt[]} */
export function nape(f) {
  const [x, y] = f.body.c7;
  // An infant has next to no neck: the head goes over into the shoulders.
  if (f.s.build === "infant") return [...f.head.all(faces.infant.nape), ...f.trunk.all([point(f.body.back, 0)])];
  return [...f.head.all(faces[f.s.build].nape), ...f.trunk.all([[x - 7 * f.body.unit, y - 10 * f.body.unit], point(f.body.back, 0)])];
}

/** Neck line of the gown, trunk coordinates. @param {Posture} f @param {number} lift @returns {Pt[]} */
const yoke = (f, lift) => f.body.yoke.map(([x, y], i) => [x, y - lift * (i === 0 ? 0 : i === 3 ? 0.4 : 0.5)]);

/** Closed outline of the gown (world). @param {Posture} f @param {number} air */
function gown(f, air) {
  const { lift } = measures(f, air), { trunk, body } = f, F = front(f, air), Y = yoke(f, lift);
  return smooth(trunk.all([point(Y, -1), ...F])) + smooth([...trunk.all([point(F, -1)]), ...body.seat, body.hipBack, ...trunk.all([...body.back].reverse())], false, false) +
    smooth(trunk.all(Y), false, false) + "Z";
}

/** @param {Posture} f */
export function trunk(f) {
  const { s, body, head: h, trunk: t } = f, d = sheet(), u = body.unit, work = s.effort, notch = point(front(f, 0), 0);
  d.add(`<g class="onskin">`);
  d.path("f-skin", (live) => neckFill(f, live.air)).path("contour", (live) => smooth(throat(f, live.air))).add(P("ink", smooth(nape(f))));
  if (s.build !== "infant") d.add(hatch(h.all([[56, 98], [42, 94], [24, 84]]), h.all([[54, 106], [38, 110], [18, 104]]), 16));
  else d.add(P("hair", smooth(h.all([[26, 108], [44, 112], [60, 108]]))));
  cords(d, f, notch, work);
  d.add("</g>");
  d.path("f-cloth", (live) => gown(f, live.air)).path("contour", (live) => smooth(t.all(front(f, live.air))));
  // In bed the mattress hides most of the back; in a chair and on the side all of it is seen.
  d.add(P("ink", smooth([...t.all(s.posture === "sitting_out" || s.posture === "side" ? body.back : body.back.slice(-2)), body.hipBack, ...(s.posture === "side" ? [...body.seat].reverse() : [])])));
  d.path("ink", (live) => { const m = measures(f, live.air); return smooth(t.all([...yoke(f, m.lift), [notch[0], notch[1] - m.lift * 0.5 + work * body.lift_mm * 0.175]])); });
  d.path("hair", (live) => smooth(t.all(yoke(f, measures(f, live.air).lift).map(([x, y]) => [x + 5 * u, y + 12 * u]))));
  folds(d, f);
  return d.done();
}

/** @param {Posture} f @param {number} air */
function neckFill(f, air) {
  const u = f.body.unit, [nx, ny] = point(front(f, 0), 0);
  return smooth(throat(f, air)) + "L" + smooth([...f.trunk.all([[nx - 16 * u, ny + 32 * u], [nx - 96 * u, ny + 22 * u]]), ...nape(f).reverse()]).slice(1) + "Z";
}

/** The cord of the neck stands out above 0.4 of work, the hollow above the collar bone shows above 0.5 and deepens as the patient breathes in.
 * @param {ReturnType<typeof sheet>} d @param {Posture} f @param {Pt} notch @param {number} work */
function cords(d, f, notch, work) {
  const u = f.body.unit, { head: h, trunk: t } = f;
  if (f.s.build === "infant" && work <= 0.4) return;
  const [nx, ny] = notch, top = h.all([[-8, 46], [4, 72]]), low = t.all([[nx - 30 * u, ny - 58 * u], [nx - 12 * u, ny - 10 * u]]), line = [...top, ...low];
  d.add(P(work > 0.4 ? "ink" : "hair", smooth(line)));
  if (work > 0.4) {
    d.add(hatch(line, line.map(([x, y]) => [x - 9 * u, y + 5 * u]), 16), P("fine", smooth([...h.all([[20, 84]]), ...t.all([[nx - 12 * u, ny - 52 * u], [nx - 2 * u, ny - 14 * u]])])));
  }
  if (work > 0.5) {
    const hollow = t.all([[nx - 4 * u, ny - 16 * u], [nx - 26 * u, ny - 4 * u], [nx - 52 * u, ny - 8 * u], [nx - 30 * u, ny - 18 * u]]);
    d.group("opacity", (live) => String(Math.round((0.35 + 0.65 * (live.breathing_in ? 1 : 0)) * 100) / 100), P("f-deep", smooth(hollow, true)), P("fine", smooth(hollow.slice(0, 3))));
  }
}

/** Folds drawn tight or slack by the breath: points on the woman's gown, scaled. @type {readonly (readonly [Pt[], number])[]} */
const foldLines = [
  [pts([[104, -400], [70, -380], [40, -340]]), 2], [pts([[112, -330], [80, -300], [44, -280]]), 1.8], [pts([[116, -240], [86, -222], [40, -210]]), 1.8], [pts([[124, -190], [90, -176], [50, -150]]), 1.6],
];

/** @param {ReturnType<typeof sheet>} d @param {Posture} f */
function folds(d, f) {
  const { body, trunk: t, s } = f, u = body.unit, dx = (point(front(f, 0), 3)[0] - 114 * u) * 0.8;
  /** @param {readonly Pt[]} line @returns {Pt[]} */
  const S = (line) => t.all(line.map(([x, y]) => [x * u + dx, y * u]));
  d.path("nib", (live) => {
    const m = measures(f, live.air);
    return foldLines.map(([line, w], i) => brushPath(t.all(line.map(([x, y], k) => [x * u + dx + (i < 2 ? m.rise : m.belly * 0.8) * (0.95 - 0.475 * k), y * u])), w * (0.3 + 0.7 * u))).join("");
  });
  d.add(`<path class="nib" d="${brushPath(S([[40, -480], [46, -430], [36, -380]]), 1.6 * (0.3 + 0.7 * u))}"/>`, hatch(S([[30, -460], [24, -380], [6, -290], [-10, -220]]), S([[56, -456], [50, -380], [34, -290], [14, -214]]), 46));
  if (s.effort > 0.6 && (s.build === "infant" || s.build === "child")) { // recession under the ribs, drawn in with each breath
    const y = point(front(f, 0), 5)[1];
    d.path("ink", (live) => { const x = point(front(f, live.air), 5)[0], dip = live.breathing_in ? 9 * u : 3 * u; return smooth(t.all([[x - 3 * u, y - 30 * u], [x - 8 * u - dip, y - 4 * u], [x - 34 * u, y + 16 * u]])); });
  }
}
