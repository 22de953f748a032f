// @ts-check
// A portable cylinder: bottle, valve and key, regulator with gauge; its flow dial is in dial-flowmeter.mjs. 1 unit = 1 mm; the middle of its
// foot at 0,0.
import { G, P, circle, hatch, n, pts, smooth, text } from "./geometry.mjs";
import { GAUGE_R_MM, gauge } from "./gauge.mjs";
import { piece } from "./piece.mjs";

/** @typedef {import("./piece.mjs").Piece} Piece */

/**
 * `regulator`: none, one clamped on, or one that is one piece with the valve. `reading`: what the gauge reads,
 * which stays after the valve is shut until the regulator is bled.
 * @typedef {{ id: string, gas: string, size: string, build: "small"|"middle"|"large", regulator: "none"|"clamped"|"built_in",
 * open: boolean, secured: boolean, hisses: boolean, reading: number, unit: "bar"|"psi", highest: number }}
 * CylinderState
 */

/** Half the width and the height of the bottle up to the valve's foot [mm]. */
const BUILDS = { small: { half: 50, height: 400 }, middle: { half: 56, height: 540 },
    large: { half: 74, height: 700 } };

/** @param {CylinderState} s */
function bottle(s) {
  const { half: w, height: h } = BUILDS[s.build];
  const shoulder = h - 110;
  const body = `M${-w} -12V${-shoulder}Q${-w} ${54 - h} -24 ${32 - h}V${-h}H24V${32 - h}Q${w} ${54 - h} ${w} ${-shoulder}V-12Q${w} 0 ${w - 12} 0H${12 - w}Q${-w} 0 ${-w} -12Z`;
  const top = 0.36 * h; // the label stands below the strap, which holds at two thirds of the height
  const label = `M${12 - w} ${-top - 112}H${w - 16}V${-top + 6}H${12 - w}Z`;
  const mid = -2;
  const line = (/** @type {number} */ y, /** @type {string} */ words, /** @type {number} */ size, weight = 400) =>
    text("t", mid, y, words,
      `text-anchor="middle" font-size="${n(size)}" font-weight="${weight}" letter-spacing=".03em"`);
  const room = 2 * w - 34;
  return [
    P("f-steel", body),
    hatch([[w - 2, -shoulder], [w - 2, -h / 2], [w - 2, -8]], [[w - 22, -shoulder], [w - 24, -h / 2], [w - 22, -8]],
      Math.round(h / 6), { ease: false }),
    hatch([[w - 4, -shoulder - 10], [w - 16, 56 - h], [24, 36 - h]],
      [[w - 26, -shoulder - 8], [w - 34, 70 - h], [12, 50 - h]], 12),
    P("contour", body), P("hair", `M${14 - w} ${-shoulder}V-20`), P("fine", `M${-w} ${-shoulder}H${w}`),
    P("f-paper", label), P("fine", label), line(-top - 84, s.gas, Math.min(18, room / (s.gas.length * 0.72)), 700),
    line(-top - 64, "compressed", Math.min(12, room / 7)), line(-top - 49, "medical gas", Math.min(12, room / 7)),
      s.size ? line(-top - 18, s.size, Math.min(26, room / (s.size.length * 0.62)), 700) : "",
    P("hair", `M${22 - w} ${-top - 4}H${w - 26}`),
  ].join("");
}

/**
 * The key on the valve's stem, seen a little from above: a flat bar that turns round the stem.
 * @param {boolean} open
 */
function key(open) {
  const turn = (open ? 62 : 6) * Math.PI / 180;
  /**
   * A place on the key's plan, turned and seen aslant.
   * @param {number} u along the bar
   * @param {number} v across it
   * @param {number} drop
   */
  const seen = (u, v, drop) =>
      `${n(u * Math.cos(turn) - v * Math.sin(turn))} ${n((u * Math.sin(turn) + v * Math.cos(turn)) * 0.36 - 90 + drop)}`;
  const bar = (/** @type {number} */ drop) => {
    const p = (/** @type {number} */ u, /** @type {number} */ v) => seen(u, v, drop);
    return `M${p(-30, -7)}L${p(-12, -7)}L${p(-8, -12)}L${p(8, -12)}L${p(12, -7)}L${p(30, -7)}Q${p(38, -7)} ${p(38, 0)}Q${p(38, 7)} ${p(30, 7)}L${p(12, 7)}L${p(8, 12)}L${p(-8, 12)}L${p(-12, 7)}L${p(-30, 7)}Q${p(-38, 7)} ${p(-38, 0)}Q${p(-38, -7)} ${p(-30, -7)}Z`;
  };
  const hole = `M${seen(-27, 0, 0)}m-3 0a3 1.4 0 1 0 6 0a3 1.4 0 1 0 -6 0`;
  return P("f-steel", "M-7 -66H7V-86H-7Z") + P("ink", "M-7 -66H7V-86H-7Z") + P("f-linen", bar(7)) + P("ink", bar(7)) +
      P("f-linen", bar(0)) + P("ink", bar(0)) +
    `<ellipse class="f-steel" cx="0" cy="-90" rx="6" ry="2.6"/><ellipse class="fine" cx="0" cy="-90" rx="6" ry="2.6"/>` + P("hair", hole);
}

const BLOCK = P("f-steel", "M-20 0H20V-66H-20Z") + P("contour", "M-20 0H20V-66H-20Z") + P("fine", "M-20 -12H20");

/** The valve alone: its opening and the two holes that fit only the right regulator. */
const BARE = BLOCK + circle("f-linen", 0, -42, 9) + circle("ink", 0, -42, 9) + circle("solid", 0, -42, 3.4) +
    circle("solid", -7, -23, 2.4) + circle("solid", 7, -23, 2.4);

/** @param {CylinderState} s @param {ReturnType<typeof gauge>} face */
function clamped(s, face) {
  return [
    BLOCK, P("f-steel", "M-30 -58H34V-16H-30Z"), P("contour", "M-30 -58H34V-16H-30Z"),
      P("f-linen", "M-50 -44H-30V-30H-50Z"),
    P("ink", "M-50 -44H-30V-30H-50ZM-56 -52H-50V-22H-56Z"), P("f-steel", "M34 -52H58L64 -60H88V-14H64L58 -22H34Z"),
    P("contour", "M34 -52H58L64 -60H88V-14H64L58 -22H34Z"), P("f-steel", "M68 -60H84V-72H68Z"),
      P("ink", "M68 -60H84V-72H68Z"),
    G(`translate(76 ${-70 - GAUGE_R_MM})`, face.still), key(s.open),
  ].join("");
}

/**
 * Valve, regulator and gauge in one guarded head; the hand wheel at its side opens the valve.
 * @param {CylinderState} s
 * @param {ReturnType<typeof gauge>} face
 */
function builtIn(s, face) {
  const guard = smooth(pts([[-34, 0], [-52, -30], [-54, -110], [-40, -150], [-20, -160], [24, -160], [44, -150],
      [58, -110], [56, -30], [36, 0]]));
  const grip = "M-22 -158Q-22 -176 -8 -176H12Q26 -176 26 -158";
  const turned = s.open ? 12 : 0;
  const wheel = Array.from({ length: 6 }, (_, i) => `M-74 ${n(-66 + ((i * 7 + turned) % 36))}H-55`).join("");
  return [
    P("f-steel", guard + "Z"), P("contour", guard + "Z"), P("contour", grip), G("translate(2 -104)", face.still),
    P("f-linen", "M-76 -70H-54V-28H-76Z"), P("contour", "M-76 -70H-54V-28H-76Z"), P("hair", wheel),
    text("t", -24, -36, s.open ? "open" : "shut", 'text-anchor="middle" font-size="12" font-weight="600"'),
      P("fine", "M-44 -48q-5 -2 -8 -6M-44 -48l-2 -7M-44 -48l-7 1"),
  ].join("");
}

/**
 * A stand with a strap round the bottle at two thirds of its height; without it the bottle stands free.
 * @param {CylinderState} s
 * @param {"behind"|"before"} where
 */
function stand(s, where) {
  const { half: w, height: h } = BUILDS[s.build];
  const y = -Math.round(h * 2 / 3);
  if (!s.secured) return where === "behind" ? P("fine", `M${-w - 40} 2H${w + 40}`) : "";
  if (where === "behind") return P("f-wash2", `M${-w - 16} 16V${y - 60}H${-w - 6}V16Z`) +
      P("ink", `M${-w - 16} 16V${y - 60}H${-w - 6}V16Z`);
  const strap = `M${-w - 16} ${y - 11}H${w + 3}V${y + 11}H${-w - 16}Z`;
  return P("f-wash2", strap) + P("ink", strap) + P("hair", `M${-w - 8} ${y - 5}H${w}M${-w - 8} ${y + 5}H${w}`) +
    P("f-linen", `M-14 ${y - 15}H14V${y + 15}H-14Z`) + P("ink",
      `M-14 ${y - 15}H14V${y + 15}H-14ZM-7 ${y - 9}H7V${y + 9}H-7Z`) +
    P("f-wash2", `M${-w - 20} 0H${w + 12}V18H${-w - 20}Z`) + P("contour", `M${-w - 20} 0H${w + 12}V18H${-w - 20}Z`) +
    circle("f-linen", -w - 6, 26, 9) + circle("ink", -w - 6, 26, 9) + circle("f-linen", w, 26, 9) +
      circle("ink", w, 26, 9);
}

const HISS = P("fine", "M-26 -4q-10 -1 -16 4M-26 4q-9 4 -13 11M26 -4q10 -1 16 4M26 4q9 4 13 11");

/**
 * Anchors: `socket` (where a regulator's flow dial sits), `gauge`, `valve`, `name`, `strap`.
 * @param {CylinderState} s
 * @returns {Piece}
 */
export function cylinder(s) {
  const { height: h } = BUILDS[s.build];
  const face = gauge(s);
  const head = s.regulator === "none" ? BARE + key(s.open) : s.regulator === "clamped" ? clamped(s, face)
      : builtIn(s, face);
  const still = stand(s, "behind") + bottle(s) + stand(s, "before") +
      G(`translate(0 ${-h})`, head, s.hisses ? HISS : "");
  const one = s.regulator === "built_in";
  return piece(still, s.regulator === "none" ? [] : face.moving, {
    socket: one ? [54, -44 - h] : [88, -38 - h], gauge: one ? [2, -104 - h] : [76, -70 - GAUGE_R_MM - h],
      valve: one ? [-65, -49 - h] : [0, -84 - h],
    name: [-2, -0.36 * h - 90], strap: [0, -h * 2 / 3],
  });
}
