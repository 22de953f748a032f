// @ts-check
// Jet nebuliser: the cup on a mask, on a mouthpiece, on a tracheostomy tube, or in line with wide tubing. The cup hangs upright in the world;
// mist leaves in front of the face, away from the eyes. 1 unit = 1 mm.
import { G, P, along, circle, clamp, frame, hash, n, poly, pts, sample, smooth, tube } from "./geometry.mjs";
import { neckMask, teeInTubing, wideEnds } from "./in-line.mjs";
import { PORT, fitOf, largeHoles, mask } from "./mask.mjs";
import { hosePath, ribbedPath } from "./pen.mjs";
import { moves, piece } from "./piece.mjs";
import { tracheostomy } from "./tracheostomy-mask.mjs";

/** @typedef {import("./geometry.mjs").Pt} Pt */
/** @typedef {import("./piece.mjs").Moving} Moving */
/** @typedef {import("./piece.mjs").Live} Live */

/**
 * `tiltDeg`: from upright.
 * @typedef {{ ml: number, misting: boolean, sputtering: boolean, tiltDeg: number }} CupState
 */

const CUP_FULL_ML = 6;
const PUFFS = 7;

/**
 * One puff: small waves, a mark that is none of the three gases.
 * @param {number} seed
 * @param {number} r
 * @param {number} count
 */
function puffPath(seed, r, count) {
  return Array.from({ length: count }, (_, i) => {
    const a = hash(i, 1, seed) * Math.PI * 2, d = Math.sqrt(hash(i, 2, seed)) * r;
    return `M${n(Math.cos(a) * d - 4)} ${n(Math.sin(a) * d)}q2 -3.4 4 0t4 0`;
  }).join("");
}

/**
 * Mist that leaves a place in the world: puffs that drift, spread and thin. It comes out as the patient
 * breathes out, and is
 * drawn back as the breath goes in; sputtering gives short bursts.
 * @param {string} id
 * @param {Pt} at
 * @param {number} deg the way it leaves
 * @param {{ reach: number, sputtering: boolean, withBreath: boolean }} how
 */
export function mist(id, [x, y], deg, { reach, sputtering, withBreath }) {
  const a = deg * Math.PI / 180;
  const place = (/** @type {number} */ i, /** @type {Live | null} */ live) => {
    const t = ((live?.t_s ?? 0.37) * 0.55 + i / PUFFS) % 1, d = reach * t;
    return `translate(${n(x + Math.cos(a) * d)} ${n(y + Math.sin(a) * d - 14 * t * t)}) scale(${n(0.45 + 0.85 * t)})`;
  };
  const shown = (/** @type {number} */ i, /** @type {Live | null} */ live) => {
    const s = live?.t_s ?? 0.37, t = (s * 0.55 + i / PUFFS) % 1,
        burst = sputtering ? (Math.sin(s * 11 + i * 2.4) > 0.35 ? 0.7 : 0.12) : 1;
    const breath = withBreath && live?.breathing_in ? 0.2 : 1; // what is breathed in does not come out in front
    return n(clamp(Math.sin(Math.PI * Math.min(1, t * 1.15 + 0.1)) * 0.9) * burst * breath);
  };
  const ids = Array.from({ length: PUFFS }, (_, i) => `mist:${id}:${i}`);
  /** @type {Moving[]} */
  const moving = ids.flatMap((name, i) => [
    { id: name, attr: "transform", of: (/** @type {Live} */ live) => place(i, live) },
      { id: name, attr: "opacity", of: (/** @type {Live} */ live) => shown(i, live) }]);
  const still = ids.map((name, i) =>
      `<path ${moves(name)} class="fine quiet" d="${puffPath(i + 3, 14, sputtering ? 6 : 12)}" transform="${place(i, null)}" opacity="${shown(i, null)}"/>`).join("");
  return { still, moving };
}

/** The cup, its neck's top at 0,0, its hose tail at 0,84. @param {CupState} s */
export function cup({ ml, misting, sputtering, tiltDeg }) {
  const level = 62 - clamp(ml / CUP_FULL_ML) * 30, half = (/** @type {number} */ y) => 23 - (y - 18) * 0.24;
  const lean = Math.tan(tiltDeg * Math.PI / 180) * 17; // the surface stays level in the world
  const left = clamp(level + lean, 22, 64), right = clamp(level - lean, 22, 64);
  const wave = sputtering ? "l8 -4 8 4 8 -4 8 3" : `L${n(half(right))} ${n(right)}`;
  const inside = misting ? P("fine quiet", Array.from({ length: sputtering ? 6 : 13 },
      (_, i) => `M${n((hash(i, 1, 6) - 0.5) * 34 - 3)} ${n(22 + hash(i, 2, 6) * Math.max(4, level - 26))}q1.6 -2.8 3.2 0t3.2 0`).join(""), 'opacity=".8"') : "";
  const drops = sputtering ? circle("solid", -9, 46, 1.3) + circle("solid", 8, 40, 1.3) +
      circle("solid", 12, 50, 1.1) : "";
  return G(`rotate(${n(tiltDeg)})`,
    P("f-clear", "M-23 18L-13 64Q-12 70 -5 71H5Q12 70 13 64L23 18Z"),
    ml > 0.05 ? P("f-wash2",
      `M${n(-half(left))} ${n(left)}L${n(half(right))} ${n(right)}L12 64Q11 69 5 69H-5Q-11 69 -12 64Z`) +
      P("fine", `M${n(-half(left))} ${n(left)}${wave}`) : "",
    P("ink", "M-3 66V36L-7 30H7L3 36V66"), inside, drops, P("contour",
      "M-23 18L-13 64Q-12 70 -5 71H5Q12 70 13 64L23 18"),
    P("hair", [28, 38, 48, 58].map((y) => `M${n(half(y))} ${y}h-6`).join("")), P("f-linen", "M-26 8H26V19H-26Z"),
      P("ink", "M-26 8H26V19H-26Z"),
    P("hair", "M-18 8V19M-10 8V19M-2 8V19M6 8V19M14 8V19"), P("f-linen", "M-10 -6H10V8H-10Z"),
      P("ink", "M-10 -6V8M10 -6V8"),
    P("f-linen", "M-5 71H5L3.4 84H-3.4Z"), P("ink", "M-5 71L-3.4 84H3.4L5 71"));
}

/** @param {import("./piece.mjs").DeviceState & { tilt_deg?: number }} s @returns {CupState} */
export const cupOf = (s) => ({ ml: s.cup_ml ?? 0, misting: s.misting ?? false, sputtering: s.sputtering ?? false,
    tiltDeg: s.tilt_deg ?? 0 });

/**
 * On a mask. Anchors: `supply` (under the cup), `words` and `cup`, `edge`, `port`.
 * @type {import("./piece.mjs").Worn}
 */
export const nebuliserMask = (frames, s) => {
  const { head } = frames, k = head.scale, c = cupOf(s), start = head.at(129, 60), out = head.at(141, 64.5);
  const top = /** @type {Pt} */ ([out[0] + 12 * k, out[1] + 24 * k]), hang = frame(top[0], top[1], 0, k);
  const bend = tube([start, out, [top[0] - 2 * k, top[1] - 15 * k], [top[0], top[1] - 1]],
      [9.5 * k, 9.5 * k, 10 * k, 10 * k]);
  const half = bend.length / 2, elbow = P("f-linen", poly(bend)) + P("ink", smooth(bend.slice(0, half))) +
      P("ink", smooth(bend.slice(half)));
  const from = head.at(127, 30), fog = mist(s.id, from, Math.min(40, head.deg + 34),
      { reach: 96 * k, sputtering: c.sputtering, withBreath: true });
  const still = G(head.transform, mask(fitOf(frames, s), largeHoles(), "")) + elbow + G(hang.transform, cup(c)) +
      (c.misting ? fog.still : "");
  const tilt = c.tiltDeg * Math.PI / 180, tail = hang.at(-Math.sin(tilt) * 84, Math.cos(tilt) * 84);
  return piece(still, c.misting ? fog.moving : [], { supply: tail, cup: hang.at(0, 44), words: hang.at(22, 40),
      edge: head.at(98, -4), port: head.at(PORT[0], PORT[1]) }, { supplyDeg: 90 + c.tiltDeg });
};

/**
 * Mouthpiece between the lips, tee, cup below, open tail. Anchors: `supply`, `words` and `cup`, `tail`.
 * @type {import("./piece.mjs").Worn}
 */
export const nebuliserMouthpiece = (frames, s) => {
  const { head } = frames, k = head.scale, c = cupOf(s), turn = frame(0, 0, Math.max(-18, -head.deg - 4));
  // The tee is held level, whatever the head does: the cup works upright.
  const lips = head.at(101, 51), tee = frame(lips[0], lips[1], head.deg + turn.deg * 0.75, k);
  const parts = [
    P("f-linen", "M-4 -5L22 -10H70V11H22L-4 5Z"), P("ink", "M-4 -5L22 -10H70M-4 5L22 11H70M-4 -5V5M22 -10V11"),
    P("f-linen", "M58 -13H98V14H58Z"),
      P("ink", "M58 -13q3 -3 6 0t6 0 6 0 6 0 6 0 8 0M58 14q3 3 6 0t6 0 6 0 6 0 6 0 8 0"),
      `<ellipse class="f-wash2" cx="97" cy="0.5" rx="4" ry="13.5"/><ellipse class="ink" cx="97" cy="0.5" rx="4" ry="13.5"/>`, P("hair", "M66 -12v25M74 -12v25M82 -12v25"),
  ].join("");
  const under = tee.at(42, 12), hang = frame(under[0], under[1] + 5 * k, 0, k), mouth = tee.at(102, 0);
  const fog = mist(s.id, mouth, tee.deg, { reach: 84 * k, sputtering: c.sputtering, withBreath: true });
  const still = G(hang.transform, cup(c)) + G(tee.transform, parts) + (c.misting ? fog.still : "");
  const tilt = c.tiltDeg * Math.PI / 180;
  return piece(still, c.misting ? fog.moving : [], { supply: hang.at(-Math.sin(tilt) * 84, Math.cos(tilt) * 84),
      tail: mouth, cup: hang.at(0, 44), words: hang.at(22, 40) }, { supplyDeg: 90 + c.tiltDeg });
};

/** Mist on its way through wide tubing: small puffs that run along it. @param {string} id @param {Pt[]} way @param {CupState} c */
function mistInTubing(id, way, { sputtering }) {
  const path = sample(way, 6), far = 9, ids = Array.from({ length: far }, (_, i) => `mist:${id}:${i}`);
  const share = (/** @type {number} */ i, /** @type {Live | null} */ live) => ((live?.t_s ?? 0.37) * 0.6 + i / far) % 1;
  const place = (/** @type {number} */ i, /** @type {Live | null} */ live) => {
    const [x, y] = along(path, share(i, live)).p;
    return `translate(${n(x)} ${n(y)}) scale(.9)`;
  };
  const shown = (/** @type {number} */ i, /** @type {Live | null} */ live) => {
    const burst = sputtering && Math.sin((live?.t_s ?? 0.37) * 11 + i * 2.4) <= 0.35 ? 0.15 : 1;
    return n(clamp(1.15 * Math.sin(Math.PI * clamp(share(i, live) * 0.92 + 0.06))) * burst);
  };
  /** @type {Moving[]} */
  const moving = ids.flatMap((name, i) => [{ id: name, attr: "transform", of: (/** @type {Live} */ live) => place(i, live) },
      { id: name, attr: "opacity", of: (/** @type {Live} */ live) => shown(i, live) }]);
  const still = ids.map((name, i) =>
      `<path ${moves(name)} class="fine" d="${puffPath(i + 3, 5, 3)}" transform="${place(i, null)}" opacity="${shown(i, null)}"/>`).join("");
  return { still, moving };
}

/** The tee of wide tubing, its middle at 0,0. */
const tee = P("f-linen", "M-42 -13H42V13H-42Z") + P("contour", "M-42 -13H42M-42 13H42M-42 -13V13M42 -13V13") +
    P("fine", "M-32 -13V13M32 -13V13");

/**
 * In line: the tee in another device's wide tubing, its cup beside it on an elbow, upright; the hose from the set joins the
 * tee's far end. Laid out alone while it is not fitted, and apart while its device is off. Anchors: `supply` (under the
 * cup), `words` and `cup`.
 * @type {import("./piece.mjs").Worn}
 */
export const nebuliserInLine = (frames, s) => {
  const c = cupOf(s), scale = frames.head.scale, k = 0.86 * scale, from = wideEnds[s.joined_kind ?? ""], u = frames.body.unit;
  const fitted = from && s.worn !== false && s.joined_worn !== false ? teeInTubing(from(frames), scale) : null;
  const [lx, ly] = s.worn === false ? frames.head.at(76, 20) : [230 * u, -330 * u];
  const f = fitted?.tee ?? frame(lx, ly, 90, k), way = fitted?.way ?? [f.at(-42, 0), f.at(-66, -2), f.at(-86, -9)];
  const [mx, my] = f.at(4, -10), top = /** @type {Pt} */ ([mx + 38 * k, my + 26 * k]), hang = frame(top[0], top[1], 0, k);
  const bend = tube([[mx, my], [mx + 22 * k, my + 1 * k], [top[0] - 2 * k, my + 8 * k], [top[0], top[1] - 3 * k]],
      [10 * k, 10 * k, 10 * k, 10 * k]), half = bend.length / 2;
  const elbow = P("f-linen", poly(bend)) + P("ink", smooth(bend.slice(0, half))) + P("ink", smooth(bend.slice(half)));
  const fog = mistInTubing(s.id, [f.at(0, 0), ...way], c);
  const stub = fitted ? "" : ribbedPath(smooth([f.at(42, 0), f.at(66, -2), f.at(86, -9)]), 20 * k);
  const still = ribbedPath(smooth(way), 20 * k) + stub + elbow + G(f.transform, tee) + G(hang.transform, cup(c)) +
      (c.misting ? fog.still : "");
  const tilt = c.tiltDeg * Math.PI / 180;
  return piece(still, c.misting ? fog.moving : [], { supply: hang.at(-Math.sin(tilt) * 84, Math.cos(tilt) * 84),
      cup: hang.at(0, 44), words: hang.at(22, 40) }, { supplyDeg: 90 + c.tiltDeg });
};

/**
 * T-piece on a tracheostomy tube: stub, tee, cup below, the open limb of wide tubing away from the neck. Anchors: `supply`,
 * `words` and `cup`, `tail` (the open end).
 * @type {import("./piece.mjs").Worn}
 */
export const nebuliserTPiece = (frames, s) => {
  const c = cupOf(s), off = s.worn === false, neck = neckMask(frames), k = 0.82 * frames.head.scale;
  const [sx, sy] = off ? frames.head.at(62, 34) : neck.at(19, -17), out = off ? 0 : neck.deg - 90;
  const a = out * Math.PI / 180, far = 20 * k, stubEnd = /** @type {Pt} */ ([sx + Math.cos(a) * far, sy + Math.sin(a) * far]);
  const t = frame(stubEnd[0], stubEnd[1], clamp(out, -40, 18), k); // a swivel: the tee stays near level whatever the neck does
  const body = P("f-linen", "M-6 -13H66V13H-6Z") + P("ink", "M-6 -13H66M-6 13H22M50 13H66M-6 -13V13M6 -13V13");
  const limb = smooth([t.at(66, 0), t.at(88, 1), t.at(112, 6)]);
  const under = t.at(36, 13), hang = frame(under[0], under[1] + 4 * k, 0, k), open = t.at(116, 7);
  const rim = G(frame(open[0], open[1], t.deg + 12, k).transform, `<ellipse class="f-wash2" rx="4" ry="11"/><ellipse class="ink" rx="4" ry="11"/>`);
  const fog = mist(s.id, open, Math.max(-10, t.deg + 14), { reach: 84 * k, sputtering: c.sputtering, withBreath: true });
  const still = (off ? "" : G(neck.transform, tracheostomy)) + hosePath(`M${n(sx)} ${n(sy)}L${n(stubEnd[0])} ${n(stubEnd[1])}`, 19 * k) + ribbedPath(limb, 22 * k) + rim +
      G(hang.transform, cup(c)) + G(t.transform, body) + (c.misting ? fog.still : "");
  const tilt = c.tiltDeg * Math.PI / 180;
  return piece(still, c.misting ? fog.moving : [], { supply: hang.at(-Math.sin(tilt) * 84, Math.cos(tilt) * 84), tail: open,
      cup: hang.at(0, 44), words: hang.at(22, 40) }, { supplyDeg: 90 + c.tiltDeg });
};
