// @ts-check
// Where things stand on the plate: the patient to the right, supplies to the left, hoses between them.
// Plate units: 1920 wide, 960 high; supplies are drawn larger than the patient, so that a float can be read.
import { clamp, dist, mix } from "./geometry.mjs";
import { faces } from "./patient/faces.mjs";

/** @typedef {import("./posture.mjs").Posture} Posture */
/** @typedef {import("./geometry.mjs").Pt} Pt */
/** @typedef {{x: number, y: number, scale: number}} Spot */
/** @typedef {{x: number, y: number, width: number, height: number}} Box */
/** @typedef {"bed" | "face" | "hands" | "supply"} Crop */

export const WIDTH = 1920;
export const HEIGHT = 960;

/** How large each build is drawn: an infant at its own size would be too small to read. */
const sizes = Object.freeze({ woman: 0.93, man: 0.9, child: 1.28, infant: 1.75 });
/** How far below the hip what they rest on goes [mm, of the woman's]. */
const footing = Object.freeze({ flat: 240, propped: 240, upright: 240, sitting_out: 330, side: 336 });

/** Where the hip joint stands and at what scale, so that head and bed are on the plate. @param {Posture} f @returns {Spot} */
export function patientSpot(f) {
  const { s, body, head } = f, top = Math.min(...head.all(faces[s.build].skull).map((p) => p[1])) - 26;
  const low = s.build === "infant" && s.posture !== "sitting_out" && s.posture !== "side" ? 186 : footing[s.posture] * body.unit;
  const up = s.posture === "side" ? Math.max(-top, 480 * body.unit) : -top;
  const scale = Math.min(sizes[s.build], (HEIGHT - 34) / (low + up));
  return { x: clamp(1010 - head.x * scale, 1130, 1390), y: HEIGHT - 14 - low * scale, scale };
}

/** How far the bed goes towards the feet, in the patient's world. @param {Spot} spot */
export const reachOf = (spot) => (WIDTH + 16 - spot.x) / spot.scale;

/** World to plate. @param {Spot} spot @param {Pt} p @returns {Pt} */
export const onPlate = (spot, p) => [spot.x + p[0] * spot.scale, spot.y + p[1] * spot.scale];

/** Supplies that stand on the floor, with the height they need. @param {string} kind */
const floorHeight = (kind) => (kind === "cylinder" ? 800 : kind.endsWith("concentrator") ? 700 : 0);

/**
 * Spots for supplies: the one that feeds the patient large, the others small. The spot of a wall outlet is its socket, of
 * a thing on the floor the middle of its base.
 * @param {readonly {id: string, kind: string}[]} supplies @param {string | null} first  id of the one that feeds the patient
 * @param {ReadonlySet<string>} used  ids of those with a flowmeter: an outlet's name then stands beside it and takes room
 * @returns {Record<string, Spot>}
 */
export function supplySpots(supplies, first, used) {
  /** @type {Record<string, Spot>} */
  const spots = {};
  const main = supplies.find((s) => s.id === first) ?? supplies[0];
  if (!main) return spots;
  const tall = floorHeight(main.kind) > 0, wide = main.kind.endsWith("concentrator");
  spots[main.id] = tall ? { x: wide ? 300 : 230, y: HEIGHT - 44, scale: Math.min(1.1, (HEIGHT - 70) / floorHeight(main.kind)) } : { x: 322, y: 404, scale: 1.28 };
  let walls = 0, floors = 0;
  for (const s of supplies) {
    if (s.id === main.id) continue;
    if (floorHeight(s.kind)) spots[s.id] = { x: (tall ? 560 : 500) - floors * 130, y: HEIGHT - 24, scale: 0.42 }, floors++;
    else if (used.has(s.id)) spots[s.id] = tall ? { x: 600, y: 210 + walls * 260, scale: 0.62 } : { x: 190 + walls * 210, y: 786, scale: 0.62 }, walls++;
    else spots[s.id] = tall ? { x: 560, y: 210 + walls * 260, scale: 0.62 } : { x: 130 + walls * 200, y: 838, scale: 0.86 }, walls++;
  }
  return spots;
}

/** How far down the plate supplies and the sag of their hose reach: one outlet on the wall leaves the floor empty. @param {readonly {kind: string}[]} supplies */
export const lowestSupply = (supplies) => (supplies.length > 1 || supplies.some((s) => floorHeight(s.kind)) ? HEIGHT : 660);

/**
 * Way of a hose (plate units): away from its outlet, sagging beside the bed, up over the shoulder, to the device, which it
 * meets from the side the device says.
 * @param {{at: Pt, deg: number}} from @param {{at: Pt, deg: number} | null} to @param {Pt} shoulder @returns {Pt[]}
 */
export function route(from, to, shoulder) {
  const go = (/** @type {{at: Pt, deg: number}} */ a, /** @type {number} */ far) => /** @type {Pt} */ ([a.at[0] + Math.cos((a.deg * Math.PI) / 180) * far, a.at[1] + Math.sin((a.deg * Math.PI) / 180) * far]);
  const [sx, sy] = shoulder, start = [from.at, go(from, 62)], low = Math.min(HEIGHT - 40, Math.max(from.at[1] + 76, sy + 196));
  const sag = /** @type {Pt[]} */ ([[mix(from.at[0], sx, 0.1), mix(from.at[1] + 62, low, 0.66)], [mix(from.at[0], sx, 0.34), low], [mix(from.at[0], sx, 0.66), mix(low, sy, 0.24)]]);
  if (!to) return [...start, ...sag.slice(0, 2), [mix(from.at[0], sx, 0.58), low - 30]];
  const near = go(to, 44 + 0.12 * dist(to.at, shoulder)), last = go(to, 16), over = /** @type {Pt} */ ([mix(sx, near[0], 0.42), mix(sy, near[1], 0.3) + 14]);
  return [...start, ...sag, [sx - 66, sy + 62], over, near, last, to.at];
}

/** Head to belly, for the cut view: marks of gas must be large enough to be counted. @param {Posture} f @param {Spot} spot @returns {Box} */
function airwaysBox(f, spot) {
  const spread = [f.anchors.occiput, f.anchors.chest, f.anchors.belly, f.trunk.at(f.body.back[4]?.[0] ?? -138, (f.body.back[4]?.[1] ?? -170) + 40 * f.body.unit), f.head.at(30, -170), f.head.at(250, 70)].map((p) => onPlate(spot, p));
  const xs = spread.map((p) => p[0]), ys = spread.map((p) => p[1]), m = 26 * spot.scale, x = Math.min(...xs) - m, y = Math.min(...ys) - m * 0.3;
  return { x, y, width: Math.max(...xs) + m - x, height: Math.max(...ys) + m - y };
}

/** The part of the plate a crop shows. `bed` in the cut view is head to belly. @param {Crop} crop @param {Posture} f @param {Spot} spot @param {boolean} cut @param {number} [low]  how far down the supplies reach @returns {Box} */
export function cropBox(crop, f, spot, cut, low = HEIGHT) {
  const around = (/** @type {Pt} */ c, /** @type {number} */ half) => ({ x: c[0] - half, y: c[1] - half, width: 2 * half, height: 2 * half });
  if (crop === "face") return around(onPlate(spot, f.head.at(24, 4)), 172 * f.head.scale * spot.scale);
  if (crop === "hands") return around(onPlate(spot, f.anchors.finger), 150 * Math.max(0.6, f.body.hand) * spot.scale);
  if (crop === "supply") return { x: 0, y: 0, width: 640, height: low };
  if (cut) return airwaysBox(f, spot);
  return { x: 0, y: 0, width: WIDTH, height: HEIGHT };
}
