// @ts-check
// The clear face piece that simple, entrainment, reservoir and nebuliser masks share: shell, strap, nose clip, and
// what its side carries (holes or ports). Head coordinates; 1 unit = 1 mm on an adult, frames carry the scale.
import { P, brush, circle, clamp, hatch, mix, n, pts, smooth } from "./geometry.mjs";
import { jet } from "./gas.mjs";
import { moves } from "./piece.mjs";

/** @typedef {import("./geometry.mjs").Pt} Pt */
/** @typedef {import("./piece.mjs").Moving} Moving */

/**
 * `ear`: the ear's place in head coordinates; `back`: how far back the head with its hair reaches at the strap.
 * @typedef {{ snug: "loose"|"snug"|"tight", clip: boolean, padded: readonly string[], worn: boolean, cut: boolean, ear: Pt, back: number }} Fit
 */

/**
 * What a device's state says of its fit.
 * @param {import("./posture.mjs").Posture} frames
 * @param {import("./piece.mjs").DeviceState} s
 * @returns {Fit}
 */
export const fitOf = (frames, s) => ({ snug: s.snug ?? "snug", clip: s.clip_pinched ?? false, padded: s.padded ?? [],
    worn: s.worn ?? true, cut: s.cut ?? false, ear: earOf(frames), back: backOf(frames) });

/** The ear canal in head coordinates. @param {import("./posture.mjs").Posture} frames @returns {Pt} */
export const earOf = (frames) => [frames.ear.x, frames.ear.y];

/**
 * How far back head and hair reach where a strap goes round them, head coordinates.
 * @param {import("./posture.mjs").Posture} frames
 */
export function backOf({ head, anchors, s }) {
  const [x, y] = anchors.occiput, a = -head.deg * Math.PI / 180;
  const skull = ((x - head.x) * Math.cos(a) - (y - head.y) * Math.sin(a)) / head.scale;
  return skull - { bob: 12, short: 5, long: 13, curls: 13, wisps: 2, none: -2 }[s.hair];
}

/** Where the inlet points out of the front, head coordinates. */
export const INLET = /** @type {Pt} */ ([144, 64.5]);
export const INLET_DEG = 24;
/** Middle of the port or of the holes on the side that is seen. */
export const PORT = /** @type {Pt} */ ([92, 39]);

/** @param {Fit} fit */
function outline(fit) {
  const off = (fit.snug === "loose" ? 6 : 0) + (fit.clip || !fit.worn ? 0
      : 2.5); // loose and unpinched: it stands off the bridge
  const front = pts([[100.5 + off, -7 - off * 0.4], [110 + off * 0.7, -1.5], [121.5 + off * 0.4, 9], [130, 25],
      [135.5, 44], [133.5, 59], [125.5, 73], [114, 85], [105, 95], [95, 101.5]]);
  const rim = pts([[95, 101.5], [84, 97], [74.5, 83], [68, 66], [64.5, 47], [66, 31], [74, 18], [87 + off * 0.5, 6],
      [100.5 + off, -7 - off * 0.4]]);
  const inner = pts([[96, 95.5], [87, 91.5], [79.5, 79.5], [73.5, 64], [70.5, 47.5], [72, 33.5], [79.5, 22.5],
      [91 + off * 0.5, 12], [102.5 + off, 0 - off * 0.3]]);
  return { off, front, rim, inner };
}

/**
 * The elastic strap from the mask's side round the back of the head, above the ear. Tight it runs straight and bites;
 * loose it sags. @param {Fit} fit
 */
function strap(fit) {
  const [ex, ey] = fit.ear, sag = { loose: 13, snug: 0, tight: -3 }[fit.snug];
  if (!fit.worn) {
    const loop = smooth([[68, 34], [30, 60], [4, 104], [22, 142], [64, 132], [76, 96], [69, 44]]);
    return P("fine", loop) + P("hair", smooth([[70, 37], [34, 62], [10, 104], [26, 136], [60, 127], [71, 96],
        [66, 48]]));
  }
  const top = pts([[68, 30], [ex + 44, ey + 6 + sag], [ex + 12, ey - 24 + sag * 0.6], [ex - 8, ey - 36 + sag * 0.2],
      [ex - 50, ey - 46 + sag * 0.5], [fit.back, ey - 50 + sag]]);
  const low = top.map(([x, y]) => /** @type {Pt} */ ([x, y + (fit.snug === "tight" ? 6.6 : 8)]));
  const band = smooth(top) + smooth([...low].reverse(), false, false) + "Z";
  const bite = fit.snug === "tight" ? hatch([[60, 34], [ex + 40, ey + 14], [ex + 16, ey - 10]],
      [[58, 40], [ex + 38, ey + 20], [ex + 12, ey - 5]], 12, { ease: false }) : "";
  const slack = fit.snug === "loose" ? P("fine", `M${n(ex - 62)} ${n(ey - 30)}q-14 16 -2 26q10 2 6 -12`) : "";
  return P("f-linen", band) + P("fine", smooth(top)) + P("fine", smooth(low)) +
      P("hair", smooth(top.map(([x, y]) => /** @type {Pt} */ ([x, y + 4])))) + bite + slack + pads(fit);
}

/** Foam under the strap where a site is padded. @param {Fit} fit */
function pads(fit) {
  const [ex, ey] = fit.ear;
  const has = (/** @type {string} */ part) => fit.padded.some((site) => site.includes(part));
  const pad = (/** @type {Pt[]} */ line) => P("f-linen", smooth(line, true)) + P("fine", smooth(line, true));
  return (has("ear") ? pad(pts([[ex + 18, ey - 28], [ex - 4, ey - 42], [ex - 26, ey - 44], [ex - 30, ey - 31],
      [ex - 8, ey - 26], [ex + 10, ey - 14]])) + P("hair", smooth([[ex + 12, ey - 22], [ex - 6, ey - 33],
      [ex - 26, ey - 37]])) : "") +
    (has("cheek") ? pad(pts([[66, 26], [54, 20], [46, 28], [52, 40], [64, 44]])) : "") +
      (has("back_of_head") ? pad(pts([[fit.back + 26, ey - 56], [fit.back + 1, ey - 58], [fit.back + 1, ey - 36],
      [fit.back + 26, ey - 36]])) : "");
}

/** Foam under the rim at the bridge and the chin. @param {Fit} fit */
function rimPads(fit) {
  const pad = (/** @type {Pt[]} */ line) => P("f-linen", smooth(line, true)) + P("fine", smooth(line, true));
  return (fit.padded.includes("nose_bridge") ? pad(pts([[82, 9], [90, -4], [99, -18], [107, -14], [104, -2],
      [94, 8]])) : "") +
    (fit.padded.includes("chin") ? pad(pts([[76, 96], [88, 106], [103, 106], [106, 98], [92, 94]])) : "");
}

/** The soft metal strip over the bridge: moulded, or flat as it left its bag. @param {Fit} fit @param {number} off */
function clip(fit, off) {
  const line = fit.clip
    ? pts([[94, 3], [101 + off, -5.5], [110 + off, 0], [118 + off, 7.5], [114 + off, 10], [107 + off, 4],
      [101 + off, 0.5], [96.5, 7]])
    : pts([[103 + off, -11], [113 + off, -4.5], [123 + off, 3.5], [121.5 + off, 6.5], [111.5 + off, -1],
      [101.5 + off, -7]]);
  return P("f-steel", smooth(line, true)) + P("ink", smooth(line, true));
}

/**
 * Cut view: gas from the inlet, and room air that finds its way in where the edge stands off.
 * @param {Fit} fit
 * @param {number} off
 */
const streams = (fit, off) => (fit.cut && fit.worn ? jet("supplied", [127, 59], 202,
    { length: 38, spread: 30, count: 12, r: 1.9 }) +
  (off > 5 ? jet("room", [97, -38], 76, { length: 46, spread: 22, count: 11, r: 2.2 }) : "") : "");

/** Skin drawn in by a tight edge. @param {Fit} fit */
const bitten = (fit) => (fit.worn && fit.snug === "tight"
  ? hatch([[96, -6], [82, 6], [69, 18], [61, 32], [59.5, 48], [63, 66], [70, 84]],
    [[98, -2], [85, 9], [73, 21], [65, 34], [63.5, 48], [67, 65], [74, 82]], 30, { ease: false }) : "");

/** Six small holes to the room. */
export const holes = () => [0, 1, 2, 3, 4, 5].map((i) => circle("fine", 86 + (i % 3) * 8.4 + (i > 2 ? 3.2 : 0),
    33 + Math.floor(i / 3) * 9.2, 2.5)).join("");

/** Larger openings, as entrainment and aerosol masks have. */
export const largeHoles = () =>
    `<ellipse class="f-paper" cx="92" cy="38" rx="8" ry="10.5" transform="rotate(14 92 38)"/><ellipse class="ink" cx="92" cy="38" rx="8" ry="10.5" transform="rotate(14 92 38)"/><path class="hair" d="M87.6 31.4q4 4 3.4 14M93.4 28.6q4 4.6 3.4 15.4"/>` +
  '<ellipse class="fine" cx="127.5" cy="27" rx="3.4" ry="9" transform="rotate(-19 127.5 27)" stroke-dasharray="3 3"/>';

/** Open port places: a ring and a plain hole. @param {number} x @param {number} y @param {number} r */
const plainPort = (x, y, r) => circle("f-linen", x, y, r) + circle("ink", x, y, r) +
    circle("f-paper", x, y, r * 0.62) + circle("fine", x, y, r * 0.62);

/**
 * The two port places. Discs lie on the spokes and lift as gas goes out; a place without its disc is open to
 * the room.
 * The far place is seen on edge at the front of the shell. With one disc the near place has lost its own.
 * @param {string} id
 * @param {number} discs 0, 1 or 2; or -1: open holes that never had discs
 * @returns {{ still: string, moving: Moving[] }}
 */
export function ports(id, discs) {
  const [x, y] = PORT;
  if (discs < 0) return { still: plainPort(x, y, 9) +
      `<ellipse class="ink" cx="128.5" cy="27" rx="3" ry="7.5" transform="rotate(-19 128.5 27)"/>`, moving: [] };
  const spokes = [0, 60, 120].map((deg) => { const c = Math.cos(deg * Math.PI / 180) * 12,
      q = Math.sin(deg * Math.PI / 180) * 12; return `M${n(x - c)} ${n(y - q)}L${n(x + c)} ${n(y + q)}`; }).join("");
  const seat = circle("f-linen", x, y, 14) + circle("ink", x, y, 14);
  const near = discs >= 2 ? `<g ${moves(`disc:${id}`)} transform="${nearDisc(0)}"><circle class="f-wash2" cx="0" cy="0" r="11"/><circle class="fine" cx="0" cy="0" r="11"/><circle class="solid" cx="0" cy="0" r="1.7"/></g>`
    : [[-5, -4], [5, -4], [0, 6]].map(([u = 0, v = 0]) => circle("solid", x + u, y + v, 2.6)).join("");
  // The far place, on the shell's other side, shows on edge: ring, and the disc's edge a little outside it.
  const far = `<g transform="translate(129 26) rotate(-19)"><ellipse class="fine" cx="0" cy="0" rx="3.6" ry="10.5"/></g>` +
    (discs >= 1 ? `<g ${moves(`far-disc:${id}`)} transform="${farDisc(0)}"><path class="ink" d="M2.4 -9.5Q5.6 0 2.4 9.5"/></g>` : "");
  /** @type {Moving[]} */
  const moving = [];
  if (discs >= 2) moving.push({ id: `disc:${id}`, attr: "transform", of: (live) => nearDisc(lift(live)) });
  if (discs >= 1) moving.push({ id: `far-disc:${id}`, attr: "transform", of: (live) => farDisc(lift(live)) });
  return { still: seat + P(discs >= 2 ? "hair" : "fine", spokes) + near + far, moving };
}

/** Discs lift while gas goes out and there is some left to go. @param {import("./piece.mjs").Live} live */
const lift = (live) => (live.breathing_in ? 0 : clamp(live.air * 3));
/** @param {number} open */
const nearDisc = (open) =>
    `translate(${n(PORT[0] - open * 4)} ${n(PORT[1] - open * 4.5)}) rotate(${n(-20 * open)}) scale(1 ${n(mix(1, 0.72, open))})`;
/** @param {number} open */
const farDisc = (open) => `translate(${n(129 + open * 4)} ${n(26 - open * 1.5)}) rotate(${n(-19 + open * 12)})`;

/** A short straight inlet with a barb for small tubing. */
export const barbInlet = () => P("f-linen", "M131 50L147 57L142 71L126 66Z") +
    P("ink", "M131 50L147 57L142 71L126 66") + P("f-linen", "M146 60L159 66.5L157.6 70L143.5 67Z") +
    P("ink", "M146 60L159 66.5L157.6 70L143.5 67M150 61.6l-1.6 5.8");
export const BARB = /** @type {Pt} */ ([158, 68]);

/** A wide collar for a bag's neck, an elbow or a jet valve. */
export const collar = () => P("f-linen", "M130 50L146 57L141 71L125 66Z") + P("ink", "M130 50L146 57L141 71L125 66");

/**
 * The face piece, in head coordinates; wrap it in the head's transform. `side` is what its side carries,
 * `front` its inlet.
 * @param {Fit} fit @param {string} side @param {string} front
 */
export function mask(fit, side, front) {
  const { off, front: dome, rim, inner } = outline(fit);
  // A gap that an eye sees: the shell's edge and, beside it, the line of the nose it ought to lie on.
  const gap = fit.worn && off > 5
      ? P("hair", `M${n(94 + off * 0.2)} 0l${n(off * 0.6)} -4M${n(90 + off * 0.2)} 4l${n(off * 0.7)} -3.4M98 -4.4l${n(off * 0.5)} -4`) : "";
  return [
    fit.cut && fit.worn ? "" : strap(fit) + bitten(fit), rimPads(fit),
      P("f-clear", smooth(dome) + smooth(rim, false, false) + "Z"), P("ink", smooth(inner)),
      P("contour", smooth(dome)), P("contour", smooth(rim)),
    brush([[126.5, 30], [130, 44], [127.5, 57]], 2, 0.1, 0.1),
      brush([[108, 5], [116.5, 12], [123, 22]], 1.6, 0.1, 0.1), P("hair", smooth([[118, 73], [109, 82], [101, 90]])),
      P("hair", smooth([[79, 64], [83, 76], [89, 84]])),
    side, clip(fit, off), gap, circle("f-linen", 68, 35, 4.4), circle("fine", 68, 35, 4.4), front, streams(fit, off),
  ].join("");
}
