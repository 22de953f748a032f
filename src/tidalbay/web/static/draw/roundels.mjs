// @ts-check
// Small round pictures of the place to touch, for the buttons of acts. Each is the inside of an <svg class="plate"
// viewBox="-50 -50 100 100">. They show the place and never a value: what is right to do is not for a picture to say.
import { G, P, circle, frame, hatch, n, pts, smooth, text } from "./geometry.mjs";
import { atHand } from "./at-hand.mjs";
import { bagPaths } from "./bag.mjs";
import { jetValve } from "./entrainment-mask.mjs";
import { worn } from "./equipment.mjs";
import { ball, floatHeight, gasLabel, scaleTube } from "./flowmeter.mjs";
import { cup } from "./nebuliser.mjs";
import { earSeen, head } from "./patient/head.mjs";
import { hose, hosePath } from "./pen.mjs";
import { posture } from "./posture.mjs";

/** @typedef {import("./geometry.mjs").Pt} Pt */

const skin = (/** @type {Pt[]} */ outline) => P("f-skin", smooth(outline, true)) +
    P("contour", smooth(outline, true));
const paper = (/** @type {string} */ d) => P("f-linen", d) + P("ink", d);

/** A cupped hand under a pump. */
const hands = () => [
  P("f-wash", "M-50 -50H50V-34H-50Z"), P("f-steel", "M2 -50V-38Q2 -31 9 -31H20V-20H12V-24H4Q-8 -24 -8 -37V-50Z"),
    P("ink", "M2 -50V-38Q2 -31 9 -31H20V-20H12V-24H4Q-8 -24 -8 -37V-50"),
  P("f-linen", "M16 -15C21 -8 20 -3 16 -3C12 -3 11 -8 16 -15Z"),
    P("ink", "M16 -15C21 -8 20 -3 16 -3C12 -3 11 -8 16 -15Z"),
  skin(pts([[-62, 40], [-44, 26], [-26, 18], [-8, 16], [2, 19], [0, 25], [-14, 30], [-30, 48], [-50, 62]])),
  skin(pts([[62, 10], [44, 8], [32, 14], [16, 21], [-2, 20], [-18, 11], [-31, 3], [-38, 4], [-37, 11], [-24, 22],
    [-8, 33], [12, 40], [34, 42], [62, 46]])),
  skin(pts([[40, 18], [32, 12], [24, 4], [13, 0], [8, 4], [15, 10], [20, 19], [30, 25]])),
    P("hair", "M-31 9Q-22 17 -14 21M-26 5Q-16 14 -6 20"), hatch(pts([[-20, 25], [4, 38], [34, 41]]),
    pts([[-14, 23], [8, 32], [36, 34]]), 14),
].join("");

const order = () => G("rotate(-5)", paper("M-31 -44H31V46H-31Z"), P("f-wash", "M-31 -44H31V-27H-31Z"),
    P("fine", "M-31 -27H31"), text("t", 0, -31, "Order", 'text-anchor="middle" font-size="14" font-weight="700"'),
  P("fine", "M-23 -14H23M-23 -3H14M-23 8H23M-23 19H6"), P("ink", "M-23 34q5 -8 8 0t7 -2 6 0 8 -2"),
    P("hair", "M-23 38H22")) +
  G("translate(26 22) rotate(38)", paper("M-4.5 -44H4.5V6L0 16L-4.5 6Z"), P("fine", "M-4.5 6H4.5"),
    P("solid", "M-1.8 12L0 16L1.8 12Z"));

const identity = () => G("rotate(-14)", skin(pts([[-64, -18], [-20, -19], [14, -20], [34, -26], [58, -30], [64, 4],
    [58, 28], [34, 27], [14, 21], [-20, 22], [-64, 24]])),
  P("fine", smooth(pts([[32, -25], [44, -12], [64, -10]]))), P("hair", smooth(pts([[14, 12], [18, 2], [16, -10]]))),
    hatch(pts([[-60, 23], [-20, 22], [12, 21]]), pts([[-60, 16], [-20, 15], [12, 14]]), 22),
  paper("M-28 -22Q-34 1 -28 25L4 24Q-1 1 4 -22Z"), P("fine", "M-24 -11H-2M-25 -3H-3M-25 5H-9"),
    P("hair", "M-25 15v5M-21 15v5M-19 15v5M-15 15v5M-12 15v5M-8 15v5M-6 15v5"));

/** Lips that speak. */
const explained = () => {
  const face = posture({ build: "woman", mouth: 0.35 });
  return G("translate(-14 -6)", head({ ...face, head: frame(-78, -34, 0, 0.84) }).still) +
      P("ink", "M28 2q5 6 0 13M37 -4q9 12 0 25M46 -10q13 18 0 37");
};

const satUp = () => [
  P("f-wash", "M-46 -30Q-42 -36 -37 -31L-8 20H50V32H-14Q-17 32 -19 29Z"),
    P("ink", "M-46 -30Q-42 -36 -37 -31L-8 20H50M50 32H-14Q-17 32 -19 29L-46 -30"),
    P("fine", "M-26 44H50M-4 32V44M36 32V44"),
  P("f-linen", smooth(pts([[-40, -36], [-31, -42], [-22, -30], [-25, -18], [-33, -18]]), true)),
    P("ink", smooth(pts([[-40, -36], [-31, -42], [-22, -30], [-25, -18], [-33, -18]]), true)),
  P("f-cloth", smooth(pts([[-24, -16], [-15, -19], [-4, -8], [6, 6], [10, 18], [-6, 18], [-20, -6]]), true)),
    P("ink", smooth(pts([[-24, -16], [-15, -19], [-4, -8], [6, 6], [10, 18], [-6, 18], [-20, -6]]), true)),
  circle("f-skin", -17, -32, 10.5), circle("ink", -17, -32, 10.5),
    P("f-hair", "M-18 -43Q-29 -41 -28 -30Q-26 -22 -22 -22Q-24 -33 -13 -40Z"),
    P("f-wash2", smooth(pts([[4, 8], [16, 2], [28, -4], [40, 4], [52, 12], [52, 20], [6, 19]]), true)),
    P("ink", smooth(pts([[4, 8], [16, 2], [28, -4], [40, 4], [52, 12]]))),
  P("ink", "M26 -22A34 34 0 0 0 4 -44"), P("solid", "M-1 -45L8 -48L7 -39Z"),
].join("");

const gasName = (/** @type {string} */ gas) => P("f-steel", "M-60 -60H60V60H-60Z") + circle("f-linen", 0, -22, 22) +
    circle("ink", 0, -22, 22) + circle("fine", 0, -22, 18) + circle("f-wash2", 0, -22, 10) +
    circle("ink", 0, -22, 10) + circle("solid", 0, -22, 3.6) +
  gasLabel(gas, 0, 20, 80, 24);

const flow = () => G(`translate(-6 ${n(52 + floatHeight(0.4))})`, scaleTube(15),
    G(`translate(0 ${n(-52 - floatHeight(0.4))})`, ball()));

/** The open end of the tubing, held to a hand. */
const gasProved = () => hose(pts([[-62, 34], [-40, 26], [-24, 10], [-14, 0]]), 11) +
    G("translate(-8 -4) rotate(-34)", paper("M-16 -10H4V10H-16Z"),
    P("f-wash2", "M4 -10a3 10 0 0 1 0 20a3 10 0 0 1 0 -20Z"), P("ink", "M4 -10a3 10 0 0 1 0 20a3 10 0 0 1 0 -20Z")) +
  P("fine", "M2 -18q2 -8 8 -12M6 -12q4 -5 9 -7M8 -5q4 -1 9 0") +
    G("translate(-13 3)", skin(pts([[80, -50], [56, -48], [34, -44], [30, -36], [38, -32], [54, -33], [34, -26],
    [32, -18], [40, -14], [56, -18], [38, -9], [36, -1], [44, 2], [58, -3], [46, 8], [47, 15], [80, 16]])));

const bagFilled = () => {
  const h = { x: -19, y: -24, neckDeg: 42, liesDeg: 44, length: 92, twisted: false }, p = bagPaths(h, 1);
  return P("f-linen", p.body) + P("hair", p.shade) + P("contour", p.body) + P("nib", p.creases) +
      G("translate(-19 -24) rotate(42)", paper("M-20 -9H8V9H-20Z"), P("ink", "M-4 -9V9")) +
    skin(pts([[-66, -6], [-52, -16], [-40, -26], [-31, -31], [-26, -38], [-33, -45], [-46, -38], [-66, -32]])) +
      P("fine", "M-32 -43q5 2 4 8");
};

const mistSeen = () => G("translate(0 -14) scale(.86)", cup({ ml: 3, misting: true, sputtering: false,
    tiltDeg: 0 })) + P("fine quiet", [[-20, -26], [-8, -32], [4, -26], [16, -33], [-14, -40], [0, -42], [12, -42],
    [26, -26], [-28, -36], [24, -40]].map(([x, y]) => `M${x} ${y}q3 -5 6 0t6 0`).join(""));

const perCent = () => G("translate(-74 0) scale(1.08)", jetValve({ percent: 28 })).replace(/>28 %</,
    ">%<").replace(/>4 L\/min</, ">L/min<");

/** A face and what goes on it; held a little away for taking it off. @param {string} kind @param {boolean} away */
function onFace(kind, away) {
  const face = posture({ build: "woman", recline_deg: 66 }), at = frame(-28, -6, 0, 0.44),
      neck = kind === "tracheostomy_mask" || kind === "nebuliser_t_piece";
  const frames = { ...face, head: at }, device = { ...frames, head: away ? frame(-12, 4, 8, 0.44) : at,
      anchors: { ...face.anchors, underChin: /** @type {Pt} */ ([0, 38]), throat: /** @type {Pt} */ ([4, 66]) } };
  const nape = pts([[-60, 30], [-58, 70], [-50, 110], [30, 110], [6, 72], [-1, 52], [0, 30]]);
  const drawnOn = away && kind.endsWith("cannula") ? G("translate(22 24) rotate(-24) scale(.4)",
      atHand({ id: "roundel", kind }).still)
    : worn(device, { id: "roundel", kind, worn: !away, clip_pinched: true, cup_ml: 3 }).still;
  return G(neck ? "translate(0 -30)" : "translate(0 0)", P("f-skin", smooth(nape, true)),
      P("contour", smooth(pts([[-1, 38], [-1, 52], [6, 72], [30, 110]]))), head(frames).still, drawnOn);
}

/** Behind the ear, which a finger holds forward. */
const ears = () => `<g class="onskin">${P("f-skin", "M-60 -60H60V60H-60Z")}</g>` +
    P("f-hair", smooth(pts([[-60, -60], [60, -60], [44, -44], [20, -40], [0, -36], [-26, -34], [-34, -10], [-36, 20],
    [-44, 60], [-64, 60]]), true)) + P("fine", smooth(pts([[44, -44], [20, -40], [0, -36], [-26, -34], [-34, -10],
    [-36, 20], [-44, 60]]))) +
  `<g class="onskin" transform="translate(10 2) scale(1.16)">${earSeen()}</g>` +
    hose(pts([[62, -2], [40, -18], [18, -34], [2, -36], [-14, -28], [-24, -8], [-24, 16], [-18, 34], [-4, 62]]), 6) +
  skin(pts([[-64, 24], [-40, 22], [-24, 20], [-13, 15], [-8, 19], [-11, 26], [-22, 32], [-40, 38], [-64, 44]])) +
    P("fine", "M-12 17q-4 3 -3 8");

/** A probe on the finger, its cable over the back of the hand. */
const numbers = () => skin(pts([[-64, -24], [-40, -26], [-14, -22], [10, -17], [28, -13], [35, -6], [28, 1], [8, 3],
    [-10, 6], [6, 13], [14, 20], [9, 27], [-4, 24], [-16, 18], [-2, 28], [3, 35], [-3, 40], [-15, 36], [-28, 28],
    [-40, 34], [-64, 38]])) +
  P("hair", smooth(pts([[-24, 10], [-18, 17], [-8, 24]]))) +
    hatch(pts([[-60, 37], [-40, 33], [-28, 27]]), pts([[-60, 30], [-42, 26], [-30, 20]]), 12) +
  G("translate(16 -7) rotate(4)", P("f-linen", smooth(CLASP, true)), P("contour", smooth(CLASP, true)),
    P("fine", "M-19 0H26"), P("hair", "M-8 -11H12M-8 -7H12"), circle("fine", -15, 0, 2.6)) +
    hosePath("M-6 -22C-22 -36 -40 -28 -64 -38", 4);
const CLASP = pts([[-22, -17], [10, -18], [24, -11], [27, 0], [24, 10], [10, 16], [-22, 15], [-26, 9], [-20, 0],
    [-26, -10]]);

/** The hand-held call button on its cord. */
const help = () => P("ink", "M-4 38Q-6 50 -22 52") + G("rotate(10)",
    P("f-linen", "M-15 -20Q-15 -32 -3 -32H5Q17 -32 17 -20V24Q17 38 3 38H-1Q-15 38 -15 24Z"),
    P("contour", "M-15 -20Q-15 -32 -3 -32H5Q17 -32 17 -20V24Q17 38 3 38H-1Q-15 38 -15 24Z"),
    circle("f-wash2", 1, -14, 9.5), circle("ink", 1, -14, 9.5), circle("fine", 1, -14, 6),
    P("hair", "M-8 8H10M-8 14H10M-8 20H10")) +
  P("ink", "M-26 -30q-8 9 -4 20M-36 -36q-12 15 -6 34M32 -24q8 9 4 20M42 -30q12 15 6 34");

/** Breathing: the chest's outline, low and high. */
const breathing = () => P("f-cloth", smooth(pts([[-60, 10], [-34, -18], [-8, -26], [20, -16], [44, 4], [62, 12],
    [62, 60], [-60, 60]]), true)) + P("contour", smooth(pts([[-60, 10], [-34, -18], [-8, -26], [20, -16], [44, 4],
    [62, 12]]))) + P("fine", smooth(pts([[-60, 2], [-34, -30], [-6, -38], [24, -26], [48, -3], [62, 6]])),
    'stroke-dasharray="5 4"') +
  P("fine", smooth(pts([[-20, -16], [-12, 4], [-16, 26]])) + smooth(pts([[10, -14], [16, 4], [10, 26]]))) +
    P("ink", "M-4 16V-14M-10 -8L-4 -15L2 -8M-10 10L-4 17L2 10");

/** @type {Readonly<Record<string, (with_: { gas: string, kind: string }) => string>>} */
export const roundels = Object.freeze({
  hands, order, identity, explained, sat_up: satUp, gas_label: ({ gas }) => gasName(gas), flow, gas_proved: gasProved,
    bag_filled: bagFilled, mist_seen: mistSeen, per_cent_read: perCent,
  device_on: ({ kind }) => onFace(kind, false), device_off: ({ kind }) => onFace(kind, true), skin: ears, numbers,
    help, breathing,
});

/**
 * The picture for an act, by its id in the catalogue; acts that are not listed have none.
 * @type {Readonly<Record<string, string>>}
 */
export const pictureOf = Object.freeze({
  hands_cleaned: "hands", order_read: "order", order_queried: "order", identity_checked: "identity",
    explained: "explained", agreed: "explained", positioned: "sat_up", outlet_chosen: "gas_label",
    tubing_connected: "gas_label",
  flow_set: "flow", gas_proved: "gas_proved", bag_filled: "bag_filled", entrainment_set: "per_cent_read",
    device_placed: "device_on", device_removed: "device_off", seal_checked: "skin", padding_added: "skin",
    observed: "numbers", probe_placed: "numbers", help_called: "help",
});

/**
 * The inside of a round picture. Throws a sentence when there is none of that name.
 * @param {string} name @param {{ gas?: string, kind?: string }} [with_] printed gas name, kind of device
 */
export function roundel(name, { gas = "OXYGEN", kind = "nasal_cannula" } = {}) {
  const draw = roundels[name];
  if (!draw) throw new Error(`No round picture named "${name}". There are: ${Object.keys(roundels).join(", ")}.`);
  const id = `roundel-${name}-${kind}`.replaceAll("_", "-");
  return `<clipPath id="${id}"><circle r="47"/></clipPath><circle class="f-paper" cx="0" cy="0" r="47"/><g clip-path="url(#${id})">${draw({ gas, kind })}</g><circle class="ink" cx="0" cy="0" r="47"/>`;
}
