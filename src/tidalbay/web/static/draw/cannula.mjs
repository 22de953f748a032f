// @ts-check
// Nasal cannula worn: nosepiece under the nose, one limb over the ear, slide under the chin. Head coordinates; 1 unit
// = 1 mm on an adult. The near view of the nose that tells the ways apart is in nose-inset.mjs.
import { G, P, hatch, n, pts, smooth } from "./geometry.mjs";
import { jet } from "./gas.mjs";
import { looseCannula } from "./loose-cannula.mjs";
import { earOf } from "./mask.mjs";
import { noseInset } from "./nose-inset.mjs";
import { hose } from "./pen.mjs";
import { piece } from "./piece.mjs";

/** @typedef {import("./geometry.mjs").Pt} Pt */
/** @typedef {"down" | "up" | "one_out" | "below" | "cheek"} Way */

/**
 * The nosepiece's place and its prongs as seen from the side: `near` is the prong towards the eye, `far` the
 * other where it
 * can be seen. A prong in its nostril shows only its first few millimetres.
 * @type {Record<Way, { at: Pt, turn: number, near: Pt[], far: Pt[] }>}
 */
const WAYS = {
  down: { at: [110.5, 34], turn: 0, near: pts([[111.5, 33], [111.6, 28.6], [110.4, 25]]), far: [] },
  up: { at: [110.5, 35], turn: 0, near: pts([[112, 33.5], [118.5, 30], [119.6, 24.6], [116.6, 21.8]]), far: [] },
  one_out: { at: [110.5, 34], turn: -8, near: pts([[110, 32], [107, 25], [105.5, 17], [108.5, 11.5]]),
    far: pts([[113, 32], [113.6, 28.4], [113, 25.4]]) },
  below: { at: [111, 43.5], turn: 8, near: pts([[112, 42], [114.8, 36.6], [119.6, 34], [124, 34.6]]),
    far: pts([[114, 42], [117.6, 38], [122, 36.6], [126, 37.6]]) },
  cheek: { at: [74, 34], turn: -22, near: pts([[76, 31], [79.6, 24.6], [86, 22.2], [91.6, 23.4]]),
    far: pts([[82, 33], [86, 28], [91, 26.4], [95.5, 28]]) },
};

/**
 * Where gas leaves the prongs and which way, head coordinates; for the teaching view.
 * @param {Way} way
 * @returns {{ tip: Pt, deg: number }}
 */
export function prongTip(way) {
  if (way === "down") return { tip: [95.5, 20], deg: 173 };
  if (way === "up") return { tip: [104, 6], deg: -125 };
  const { near } = WAYS[way], a = near[near.length - 2] ?? [0, 0], b = near[near.length - 1] ?? [1, 0];
  return { tip: b, deg: Math.atan2(b[1] - a[1], b[0] - a[0]) * 180 / Math.PI };
}

/** @param {Pt} at @param {number} turn @param {boolean} tabUp */
const nosepiece = (at, turn, tabUp) => {
  const d = smooth([[-6, -2.6], [0, -4.2], [5, -1.4], [4, 4], [-5.4, 4]], true);
  // The flat tab that lies on the lip; the wrong way round it stands away from it.
  const tab = tabUp ? smooth([[3, -2], [8.5, -1], [9, 4.5], [4, 4]])
      : smooth([[-5, 3.6], [-5.4, 8], [1.5, 8.6], [3.4, 4]]);
  return G(`translate(${at[0]} ${at[1]}) rotate(${turn})`, P("f-linen", tab + "Z"), P("fine", tab), P("f-linen", d),
      P("ink", d));
};

/** Foam between tubing and ear. @param {Pt} ear */
const earPad = ([x, y]) => {
  const d = smooth([[x + 8, y - 29], [x - 6, y - 40], [x - 24, y - 36], [x - 36, y - 16], [x - 30, y - 8],
      [x - 22, y - 20], [x - 6, y - 25], [x + 4, y - 22]], true);
  return P("f-linen", d) + P("fine", d) + hatch([[x + 2, y - 30], [x - 10, y - 36], [x - 30, y - 20]],
      [[x, y - 25], [x - 10, y - 29], [x - 26, y - 14]], 9);
};

/** Foam on the cheek under the tubing. */
const cheekPad = () => { const d = smooth([[46, -8], [66, 6], [80, 20], [76, 30], [58, 18], [40, 4]],
    true); return P("f-linen", d) + P("fine", d); };

/**
 * A prong in section, from the nosepiece to its open end: along the floor of the nose, up to its roof, or
 * outside it.
 * @type {Record<Way, Pt[]>}
 */
const IN_SECTION = {
  down: pts([[112, 34], [111.4, 26.5], [108.4, 21.6], [102, 19.2], [95.5, 20]]),
    up: pts([[112, 34], [112.6, 26], [111.4, 18], [107.4, 9.5], [103, 3.4]]),
  one_out: pts([[112, 34], [111.4, 26.5], [108.4, 21.6], [102, 19.2], [95.5, 20]]),
    below: pts([[112, 43], [113.4, 37], [117.5, 33], [123, 32]]), cheek: pts([[118, 44], [124, 40], [130, 40]]),
};

/**
 * The cut view: the near prong in section with the gas that leaves it; the limb that was cut away is a dashed line.
 * @param {import("./posture.mjs").Posture} frames
 * @param {Way} way
 * @param {number} bore [mm]
 * @returns {string} in head coordinates
 */
export function prongsInSection(frames, way, bore) {
  const [x, y] = earOf(frames), low = way === "below" ? 9 : way === "cheek" ? 10 : 0, prong = IN_SECTION[way],
      end = prong[prong.length - 1] ?? [0, 0], before = prong[prong.length - 2] ?? [1, 0];
  const deg = Math.atan2(end[1] - before[1], end[0] - before[0]) * 180 / Math.PI,
      body = smooth(pts([[106, 33 + low], [112, 31.4 + low], [117, 34 + low], [115.6, 40 + low], [108, 40 + low]]),
      true);
  const away = smooth(pts([[106, 35 + low], [98, 34 + low], [78, 23], [44, 0], [x + 12, y - 24], [x - 6, y - 31],
      [x - 19, y - 27], [x - 27, y - 12], [x - 26, y + 12], [x - 20, y + 32], [-8, 56], [14, 82], [40, 103]]));
  const aside = way === "one_out" ? hose(pts([[115, 35], [121, 30], [124, 22]]), bore * 0.86) +
      jet("supplied", [124, 21], -78, { length: 22, spread: 12, count: 8, r: 1.4 }) : "";
  const reach = { down: 46, up: 13, one_out: 46, below: 34, cheek: 34 }[way];
  return P("fine quiet", away, 'stroke-dasharray="5 4"') + aside + hose(prong, bore) + P("f-linen", body) +
      P("ink", body) +
    jet("supplied", end, way === "down" || way === "one_out" ? 184 : deg,
      { length: reach, spread: reach > 20 ? 8 : 14, count: way === "one_out" ? 9 : 16, r: 1.4 });
}

/**
 * Anchors: `supply` (under the chin), `words` and `tip` (the prongs), `ear`, `slide`.
 * @type {import("./piece.mjs").Worn}
 */
export const cannula = (frames, s) => {
  if (s.worn === false) return looseCannula(frames, false);
  const { head } = frames, ear = earOf(frames), [x, y] = ear, way = WAYS[s.prongs ?? "down"], snug = s.snug ?? "snug",
      padded = s.padded ?? [];
  const sag = { loose: 9, snug: 0, tight: -2 }[snug], slack = { loose: 26, snug: 6, tight: 0 }[snug];
  const [ax, ay] = way.at, onCheek = s.prongs === "cheek";
  const limb = onCheek ? pts([[ax - 4, ay + 1], [62, 26], [42, 4 + sag], [x + 12, y - 24], [x - 6, y - 31],
      [x - 19, y - 27], [x - 27, y - 12]])
    : pts([[ax - 1, ay], [ax - 12, ay + 0.5], [80, 24 + (ay - 34) * 0.4], [46, 1 + sag], [x + 12, y - 24],
      [x - 6, y - 31], [x - 19, y - 27], [x - 27, y - 12]]);
  const down = pts([[x - 26, y + 12], [x - 20, y + 32], [-8, 56], [14, 82], [40, 103 + slack * 0.6],
      [58, 114 + slack]]);
  // Dragged across: the other limb comes over the lip from the far side.
  const across = onCheek ? hose(pts([[ax + 6, ay], [96, 41], [105, 38]]), 5.2) : "";
  const slide = /** @type {Pt} */ ([49, 108.5 + slack * 0.8]),
      turn = Math.atan2(11 + slack * 0.4, 18) * 180 / Math.PI;
  const slideAt = G(`translate(${n(slide[0])} ${n(slide[1])}) rotate(${n(turn)})`, P("f-linen", "M-9 -6h18v12h-18z"),
      P("ink", "M-9 -6h18v12h-18zM-4 -6v12M4 -6v12"));
  const bite = snug === "tight" ? hatch([[90, 28], [66, 14], [44, -2], [20, -19]],
      [[90, 31], [66, 18], [43, 2.6], [18, -15]], 18, { ease: false }) : "";
  const has = (/** @type {string} */ part) => padded.some((site) => site.includes(part));
  const prong = (/** @type {Pt[]} */ line) => (line.length ? hose(line, 5.6) : "");
  const still = [
    has("cheek") ? cheekPad() : "", across, prong(way.far), hose(limb, 5.2), bite, hose(down, 5.2),
      has("ear") ? earPad(ear) : "",
    s.prongs === "up" || s.prongs === "one_out" ? nosepiece(way.at, way.turn, s.prongs === "up") +
      prong(way.near) : prong(way.near) + nosepiece(way.at, way.turn, false), slideAt,
  ].join("");
  const { tip } = prongTip(s.prongs ?? "down");
  return piece(G(head.transform, s.cut ? prongsInSection(frames, s.prongs ?? "down", 5.4) : still), [], {
    supply: head.at(58, 114 + slack), words: head.at(ax + 4, ay), tip: head.at(tip[0], tip[1]),
      ear: head.at(x - 6, y - 31), slide: head.at(slide[0], slide[1]),
  }, { supplyDeg: head.deg + 42, inset: noseInset(s.prongs ?? "down", "thin") });
};
