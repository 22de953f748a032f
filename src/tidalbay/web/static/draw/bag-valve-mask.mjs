// @ts-check
// Bag-valve-mask, held to the face by hands: cushion mask, patient valve, the bag that is squeezed, inlet with the oxygen
// nipple, and the reservoir behind it, or its bare inlet. 1 unit = 1 mm.
import { G, P, brush, circle, clamp, frame, mix, n, pts, smooth } from "./geometry.mjs";
import { bagHand, maskHand } from "./gloved-hands.mjs";
import { reservoirBag } from "./reservoir-mask.mjs";
import { moves, piece } from "./piece.mjs";

/** @typedef {import("./geometry.mjs").Pt} Pt */
/** @typedef {import("./piece.mjs").Live} Live */

const BAG_MM = 226;

/**
 * Outline of the bag along +x for a squeeze of 0..1; fingers press the far side in, a thumb the near one.
 * @param {number} squeeze
 */
export function squeezeOutline(squeeze) {
  const q = clamp(squeeze), d = (/** @type {number} */ open, /** @type {number} */ shut) => mix(open, shut, q);
  return pts([[0, -13], [14, -22], [34, d(-52, -48)], [66, d(-63, -44)], [96, d(-65, -25)], [122, d(-65, -21)],
      [148, d(-63, -31)], [178, d(-56, -50)], [204, -30], [BAG_MM, -15],
    [BAG_MM, 15], [204, 30], [178, d(56, 52)], [150, d(63, 40)], [128, d(65, 30)], [104, d(65, 38)], [84, d(64, 29)],
      [62, d(62, 42)], [34, d(52, 48)], [14, 22], [0, 13]]);
}

/** Rounds of thicker wall that spring it open again. @param {number} squeeze */
function rings(squeeze) {
  const q = clamp(squeeze), one = (/** @type {number} */ x, /** @type {number} */ open,
      /** @type {number} */ shut) => { const h = mix(open, shut,
      q); return `M${x} ${n(-h)}Q${x + 13} 0 ${x} ${n(h)}`; };
  return one(44, 53, 46) + one(86, 61, 31) + one(128, 61, 25) + one(170, 55, 45);
}

/** The cushion mask, in head coordinates. @param {"loose" | "snug" | "tight"} snug */
function cushionMask(snug) {
  const off = snug === "loose" ? 7 : 0;
  const dome = pts([[102 + off, -8], [118 + off, -2], [133 + off, 14], [143 + off, 32], [147 + off, 40],
      [147 + off, 62], [141 + off, 70], [128, 84], [114, 96], [96, 104]]);
  const rim = pts([[96, 104], [84, 98], [75, 84], [69, 66], [66, 47], [68, 30], [77, 16], [90 + off * 0.5, 4],
      [102 + off, -8]]);
  // The air cushion: a soft roll between shell and skin.
  const roll = pts([[98, 110], [83, 106], [70, 90], [62, 68], [59, 46], [61, 25], [71, 10], [86 + off * 0.5, -4],
      [101 + off, -15], [108 + off, -9], [99 + off, 1], [85, 12], [75, 28], [72, 46], [75, 64], [82, 82], [90, 93],
      [102, 101]]);
  return P("f-clear", smooth(dome) + smooth(rim, false, false) + "Z") + P("contour", smooth(dome)) +
      P("f-linen", smooth(roll, true)) + P("ink", smooth(roll, true)) +
    P("hair", smooth(pts([[88, 101], [76, 87], [68.5, 67], [65.5, 46], [67.5, 28], [76, 14], [91 + off * 0.5, 2]]))) +
      brush(pts([[128, 14], [138, 30], [141, 44]]), 1.8, 0.1, 0.1) +
    P("f-linen", "M145 38H160V64H145Z", off ? `transform="translate(${off} 0)"` : "") +
      P("ink", "M145 38H160V64H145ZM149 38V64", off ? `transform="translate(${off} 0)"` : "");
}

/**
 * @param {boolean} withReservoir
 * @returns {import("./piece.mjs").Worn}
 */
const bagValveMaskOf = (withReservoir) => (frames, s) => {
  const { head, trunk } = frames, k = head.scale, small = k < 0.8 ? 0.86 : 1;
  const [vx, vy] = head.at(174, 51), lies = frame(vx, vy, Math.max(-20, Math.min(64, trunk.deg + 90 - 16)),
      k * small);
  const squeeze = (/** @type {Live | null} */ live) => (s.squeezed ? Math.round(clamp(live?.air ?? 0) * 100) / 100
      : 0);
  const outline = (/** @type {Live | null} */ live) => smooth(squeezeOutline(squeeze(live)), true);
  // The hand goes with the near side of the bag, which gives way under it.
  const held = s.worn !== false, grip = (/** @type {Live | null} */ live) => `translate(0 ${n(-16 * squeeze(live))})`;
  const inlet = lies.at(24 + BAG_MM + 44, 0);
  const hang = { x: inlet[0], y: inlet[1], neckDeg: lies.deg, liesDeg: Math.min(84, lies.deg + 22),
      length: 236 * k * small, twisted: false };
  const reservoir = withReservoir ? reservoirBag(s.id, hang,
      { valve: true, full: 0, gas: s.cut ? s.gas ?? { supplied: 1 } : undefined }) : null;
  const body = [
    // inlet end: valve housing, the nipple for the oxygen, and without a reservoir its open mouth
    P("f-steel", "M246 -15H282V15H246Z"), P("contour", "M246 -15H282V15H246Z"), P("fine", "M256 -15V15M272 -15V15"),
      P("f-linen", "M258 15H268L266 36H260Z"), P("ink", "M258 15L260 36H266L268 15M259 22h8M259.4 29h7"),
    withReservoir ? "" : `<ellipse class="f-dark" cx="282" cy="0" rx="4.6" ry="14"/><ellipse class="ink" cx="282" cy="0" rx="4.6" ry="14"/>`,
    G("translate(24 0)", `<path ${moves(`squeeze:${s.id}`)} class="f-linen" d="${outline(null)}"/><path ${moves(`squeeze:${s.id}`)} class="contour" d="${outline(null)}"/><path ${moves(`rings:${s.id}`)} class="fine" d="${rings(0)}"/>`,
        held ? `<g ${moves(`hand:${s.id}`)} transform="${grip(null)}">${bagHand}</g>` : ""),
    P("f-steel", "M10 -13H28V13H10Z"), P("ink", "M10 -13H28V13H10Z"),
  ].join("");
  // The patient valve: a round house that turns; its port to the room has a flap that lifts as the patient breathes out.
  const flap = (/** @type {Live | null} */ live) =>
      `rotate(${n(live && !live.breathing_in ? -34 * clamp(live.air * 3) : 0)} -13 -27)`;
  const house = [
    P("f-linen", "M-11 -16H11V-30H-11Z"), P("ink", "M-11 -16V-30M11 -16V-30"),
      `<path ${moves(`flap:${s.id}`)} class="contour" d="M-13 -30H13" transform="${flap(null)}"/>`,
    circle("f-steel", 0, 0, 20), circle("contour", 0, 0, 20), circle("f-paper", 0, 0, 12), circle("fine", 0, 0, 12),
      P("fine", "M-7 -7Q0 -2 7 -7M-7 7Q0 2 7 7"),
  ].join("");
  const still = (reservoir?.still ?? "") + G(lies.transform, body) +
      G(head.transform, cushionMask(s.snug ?? "snug"), G("translate(174 51)", P("f-linen", "M-16 -11H0V11H-16Z"),
      P("ink", "M-16 -11H0V11H-16Z"), house), held ? G(s.snug === "loose" ? "translate(-18 3)" : "translate(0 0)",
        maskHand) : "");
  const nipple = lies.at(263, 36);
  return piece(still, [
    { id: `squeeze:${s.id}`, attr: "d", of: outline }, { id: `rings:${s.id}`, attr: "d",
      of: (live) => rings(squeeze(live)) },
    { id: `flap:${s.id}`, attr: "transform", of: flap },
    ...(held ? [{ id: `hand:${s.id}`, attr: "transform", of: grip }] : []), ...(reservoir?.moving ?? []),
  ], { supply: nipple, words: lies.at(136, 0), bag: withReservoir ? [inlet[0] + 110 * k, inlet[1] + 70 * k]
    : lies.at(136, 0), valve: [vx, vy], edge: head.at(100, -10) }, { supplyDeg: lies.deg + 90 });
};

export const bagValveMask = bagValveMaskOf(true);
export const bagValveMaskWithoutReservoir = bagValveMaskOf(false);
