// @ts-check
// What is worn, on the face, near, and laid out: every device kind of the catalogue in the states that hands and time
// can put it in.
import { atHand } from "../../draw/at-hand.mjs";
import { wornKinds } from "../../draw/equipment.mjs";
import { jetValve } from "../../draw/entrainment-mask.mjs";
import { cup } from "../../draw/nebuliser.mjs";
import { noseInset } from "../../draw/nose-inset.mjs";
import { piece } from "../../draw/piece.mjs";
import { reservoirBag } from "../../draw/reservoir-mask.mjs";
import { alone, scene } from "./figures.mjs";
import { child, infant, man, woman } from "./patients.mjs";

/** @typedef {import("./figures.mjs").Section} Section */
/** @typedef {import("./figures.mjs").Figure} Figure */

const dark = { ...man, skin_tone: 5 };
/** A tube, so that the device's hose is seen. @param {string} kind @param {object} [more] */
const on = (kind, more = {}) => ({
  supplies: [{ id: "wall", kind: "wall_oxygen", gas_name: "OXYGEN" }],
    flowmeters: [{ id: "meter", supply: "wall", style: /** @type {const} */ ("float"), max_lpm: 15,
    float_frac: 0.4 }],
  tubes: [{ id: "tube", from: "meter", to: "worn" }], devices: [{ id: "worn", kind, worn: true, clip_pinched: true,
    ...more }],
});
/**
 * @param {string} says
 * @param {string} kind
 * @param {object} [state]
 * @param {Partial<Figure> & { patient?: object }} [more]
 */
const face = (says, kind, state = {}, { patient = woman, ...more } = {}) =>
    scene(says, { patient, things: on(kind, state) }, { crop: "face", ...more });
/**
 * With what hangs below the face.
 * @param {string} says
 * @param {string} kind
 * @param {object} [state]
 * @param {Partial<Figure> & { patient?: object }} [more]
 */
const hanging = (says, kind, state = {}, { patient = woman, ...more } = {}) =>
    scene(says, { patient, things: on(kind, state) }, { crop: "face", grow: [0, 0, 0.55, 0.35], size: "large",
    ...more });

/** @type {Section} */
const prongs = {
  id: "cannula", title: "Nasal cannula",
    says: "From the side the ways of wearing it look much alike, so the plate has an inset of the nose seen near.",
  figures: [
    face("Worn: prongs down, snug.", "nasal_cannula"), face("The strap's slide is loose; the tubing sags.",
      "nasal_cannula", { snug: "loose" }, { patient: dark }),
      face("The tubing is tight and draws in the cheek.", "nasal_cannula", { snug: "tight" }),
    face("Padding lies at the ear and under the tubing on the cheek.", "nasal_cannula",
      { padded: ["right_ear", "right_cheek"] }), face("Prongs curve up.", "nasal_cannula", { prongs: "up" }),
      face("One prong is out.", "nasal_cannula", { prongs: "one_out" }),
    face("The prongs lie below the nose.", "nasal_cannula", { prongs: "below" }),
      face("The prongs lie on the cheek.", "nasal_cannula", { prongs: "cheek" }, { patient: dark }),
      face("On a child.", "child_nasal_cannula", {}, { patient: child }),
      face("On an infant.", "infant_nasal_cannula", {}, { patient: infant }),
    face("Wide prongs for high flow.", "high_flow_nasal_cannula", { oxygen_share_pct: 40 }),
      face("Wide prongs, strap tight, padded at the ear.", "high_flow_nasal_cannula",
      { snug: "tight", padded: ["right_ear"] }, { patient: dark }),
    .../** @type {[import("../../draw/cannula.mjs").Way, string][]} */ ([["down",
      "Both in, curving down: the ends are out of sight."],
      ["up", "Both turned over: they arch out and press on the rim."], ["one_out", "One in, one beside the nose."],
      ["below", "Both below the nose, open ends in view."], ["cheek", "Both on the cheek, the nostrils empty."]])
      .flatMap(([way, says]) => [alone(`Near. ${says}`, piece(near(way, "thin"), [], {}), [-100, -100, 200, 200]),
        alone(`Near, wide prongs. ${says}`, piece(near(way, "wide"), [], {}), [-100, -100, 200, 200])]),
  ],
};

/** @param {import("../../draw/cannula.mjs").Way} way @param {"thin" | "wide"} bore */
function near(way, bore) {
  const id = `specimen-nose-${way}-${bore}`;
  return `<clipPath id="${id}"><circle r="96"/></clipPath><g clip-path="url(#${id})">${noseInset(way, bore)}</g><circle class="ink" r="96"/>`;
}

/** @type {Section} */
const masks = {
  id: "masks", title: "Simple and air-entrainment masks",
    says: "The rim sits on the bridge below the eyes. Loose, pinched, tight and padded can be told apart.",
  figures: [
    face("Simple mask, snug, the clip moulded to the nose.", "simple_mask"),
      face("The clip is flat as it left its bag; a gap stays at the bridge.", "simple_mask", { clip_pinched: false }),
      face("The strap is loose and the edge stands off.", "simple_mask", { snug: "loose", clip_pinched: false },
      { patient: dark }),
    face("The strap is tight and the edge draws in the skin.", "simple_mask", { snug: "tight" }),
      face("Padded at bridge, cheek, chin and ear.", "simple_mask",
      { padded: ["nose_bridge", "chin", "right_ear", "right_cheek"] }),
      face("On a child.", "child_simple_mask", {}, { patient: child }),
    hanging("Air-entrainment mask, valve for 24 per cent: wide windows.", "air_entrainment_mask",
      { entrainment_pct: 24 }), hanging("Valve for 60 per cent: small windows.", "air_entrainment_mask",
      { entrainment_pct: 60 }, { patient: dark }), hanging("Bedding covers the windows.", "air_entrainment_mask",
      { entrainment_pct: 28, ports_covered_frac: 1 }),
    ...[24, 28, 31, 35, 40, 50, 60].map((percent) => alone(`The valve printed ${percent} per cent, with its flow.`,
      piece(jetValve({ percent }), [], {}), [-8, -34, 136, 68], { size: "small" })),
      alone("Half covered.", piece(jetValve({ percent: 28, covered: 0.5 }), [], {}), [-8, -34, 136, 68],
      { size: "small" }),
  ],
};

const lyingBag = { x: 0, y: 0, neckDeg: 0, liesDeg: 0, length: 236, twisted: false };
/** @param {number} full @param {boolean} [twisted] */
const bagOnly = (full, twisted = false) => { const b = reservoirBag("bag", { ...lyingBag, twisted },
    { valve: true, full }); return piece(b.still, b.moving, {}); };

/** @type {Section} */
const reservoirs = {
  id: "reservoir", title: "Masks with a bag",
    says: "The bag's fullness comes from the breath itself. It hangs limp when it is empty.",
  figures: [
    ...[1, 0.75, 0.5, 0.25, 0].map((full) => hanging(["The bag is drawn together and hangs limp.",
      "The bag is a quarter full.", "The bag is half full.", "The bag is three quarters full.",
      "The bag is full."][Math.round(full * 4)] ?? "", "non_rebreathing_mask", {},
      { bag: { id: "worn", full, takes: full ? 0.22 : 0 } })),
    face("Two discs: they lift as the patient breathes out.", "non_rebreathing_mask", { port_discs: 2 },
      { live: { air: 0.6, breathing_in: false } }), face("Two discs: they lie flat as the patient breathes in.",
      "non_rebreathing_mask", { port_discs: 2 }, { live: { air: 0.6, breathing_in: true } }),
    face("One disc: the near place has lost its own.", "non_rebreathing_mask", { port_discs: 1 }),
      face("No disc: both places are open.", "non_rebreathing_mask", { port_discs: 0 }, { patient: dark }),
    hanging("The valve at the bag's neck is missing.", "non_rebreathing_mask", { bag_valve: false },
      { bag: { id: "worn", full: 0.7, takes: 0.2 } }), hanging("The bag's neck is twisted.", "non_rebreathing_mask",
      { bag_twisted: true }, { patient: dark, bag: { id: "worn", full: 0.12, takes: 0.05 } }),
    hanging("Partial rebreathing mask: plain open ports, no valve at the bag.", "partial_rebreathing_mask", {},
      { bag: { id: "worn", full: 0.85, takes: 0.3 } }), hanging("On a child.", "child_non_rebreathing_mask", {},
      { patient: child, bag: { id: "worn", full: 0.9, takes: 0.2 } }),
    ...[1, 0.8, 0.6, 0.4, 0.2, 0].map((full) => alone(full === 1 ? "The bag alone, full." : full === 0
      ? "The bag alone, empty." : `The bag alone, ${Math.round(full * 100)} per cent.`, bagOnly(full),
      [-30, -60, 284, 210], { live: { bag: { bag: full } } })),
  ],
};

const breath = [0, 0.35, 0.75, 1, 0.6, 0.2];
/** @type {Section} */
const oneBreath = {
  id: "breath", title: "One breath in six pictures",
    says: "This is also what is shown where motion is not wanted: six still pictures to a breath.",
  figures: breath.map((air, i) => scene(["1. At rest, the bag is full.", "2. The breath goes in.",
    "3. The bag gives.", "4. The top of the breath.", "5. The breath goes out, the discs lift.",
    "6. The bag fills again."][i] ?? "", { patient: woman, look: { effort: 0.7 },
    things: on("non_rebreathing_mask") },
    { crop: "face", grow: [0, 0, 0.5, 0.35], size: "large",
      live: { air, breathing_in: i > 0 && i < 4, bag: { worn: 1 - 0.3 * air } } })),
};

/** @type {Section} */
const neck = {
  id: "squeezed", title: "Bag-valve-mask and tracheostomy mask",
    says: "Held to the face by hands, and worn on the neck.",
  figures: [
    scene("Bag-valve-mask with its reservoir, between two squeezes.",
      { patient: man, look: { posture: "propped", lids: 0.95 }, things: on("bag_valve_mask", { snug: "tight" }) },
      { size: "wide", live: { bag: { worn: 0.95 } } }),
    scene("The bag is squeezed and the chest rises.", { patient: man, look: { posture: "propped", lids: 0.95 },
      things: on("bag_valve_mask", { snug: "tight", squeezed: true }) },
      { size: "wide", live: { air: 0.8, breathing_in: true, bag: { worn: 0.6 } } }),
    scene("Without its reservoir: the inlet is open to the room. The edge stands off.",
      { patient: woman, look: { posture: "propped", lids: 0.95 },
      things: on("bag_valve_mask_without_reservoir", { snug: "loose" }) }, { size: "wide" }),
    scene("Tracheostomy mask over the opening in the neck.", { patient: man, things: on("tracheostomy_mask") },
      { crop: "face", grow: [0, 0, 0.2, 0.5] }), scene("The strap is loose and the mask stands off.",
      { patient: woman, things: on("tracheostomy_mask", { snug: "loose" }) },
      { crop: "face", grow: [0, 0, 0.2, 0.5] }),
  ],
};

const cups = /** @type {[string, import("../../draw/nebuliser.mjs").CupState][]} */ ([
  ["The cup is full and makes mist.", { ml: 5, misting: true, sputtering: false, tiltDeg: 0 }],
    ["Half is left.", { ml: 2.5, misting: true, sputtering: false, tiltDeg: 0 }],
    ["It sputters.", { ml: 0.9, misting: true, sputtering: true, tiltDeg: 0 }],
  ["It is done: no mist.", { ml: 0.4, misting: false, sputtering: false, tiltDeg: 0 }],
    ["It is dry.", { ml: 0, misting: false, sputtering: false, tiltDeg: 0 }],
    ["It is tilted: the liquid stays level and the mist stops.",
    { ml: 3, misting: false, sputtering: false, tiltDeg: 50 }],
]);
/** A cup in the wide tubing of another device, driven by air. @param {string} kind */
const inLine = (kind) => ({
  supplies: [{ id: "wall", kind: "wall_oxygen", gas_name: "OXYGEN" },
    { id: "air", kind: "medical_air", gas_name: "MEDICAL AIR" }],
  flowmeters: [{ id: "meter", supply: "wall", style: /** @type {const} */ ("float"), max_lpm: 70, float_frac: 0.5 },
    { id: "air-meter", supply: "air", style: /** @type {const} */ ("float"), max_lpm: 15, float_frac: 8 / 15 }],
  tubes: [{ id: "tube", from: "meter", to: "host" }, { id: "air-tube", from: "air-meter", to: "cup" }],
  devices: [{ id: "host", kind, worn: true, oxygen_share_pct: 50, cup_in_line: true },
    { id: "cup", kind: "nebuliser_in_line", worn: true, joined_to: "host", joined_kind: kind, joined_worn: true, cup_ml: 3, misting: true }],
});

/** @type {Section} */
const nebulisers = {
  id: "nebuliser", title: "Nebulisers",
    says: "The cup hangs upright. Mist leaves in front of the face, away from the eyes, as the patient breathes out.",
  figures: [
    hanging("On a mask, with mist.", "nebuliser_mask", { cup_ml: 4, misting: true },
      { live: { air: 0.5, breathing_in: false, t_s: 3 } }),
      hanging("On a mask, sputtering.", "nebuliser_mask", { cup_ml: 0.9, misting: true, sputtering: true },
      { patient: dark, live: { air: 0.5, breathing_in: false, t_s: 3.1 } }),
      hanging("On a mask, no mist.", "nebuliser_mask", { cup_ml: 3 }),
    hanging("On a mouthpiece between the lips.", "nebuliser_mouthpiece", { cup_ml: 3, misting: true },
      { live: { air: 0.5, breathing_in: false, t_s: 3 } }),
      hanging("On a mask on a child.", "nebuliser_mask", { cup_ml: 2.5, misting: true },
      { patient: child, live: { air: 0.5, breathing_in: false, t_s: 3 } }),
    scene("Driven by air on the mask, the oxygen cannula kept on under it.", { patient: woman, things: {
      supplies: [{ id: "wall", kind: "wall_oxygen", gas_name: "OXYGEN" },
        { id: "air", kind: "medical_air", gas_name: "MEDICAL AIR" }],
      flowmeters: [{ id: "meter", supply: "wall", style: "float", max_lpm: 15, float_frac: 2 / 15 },
        { id: "air-meter", supply: "air", style: "float", max_lpm: 15, float_frac: 7 / 15 }],
      tubes: [{ id: "tube", from: "meter", to: "prongs" }, { id: "air-tube", from: "air-meter", to: "neb" }],
      devices: [{ id: "neb", kind: "nebuliser_mask", worn: true, clip_pinched: true, cup_ml: 3, misting: true },
        { id: "prongs", kind: "nasal_cannula", worn: true }] } },
        { size: "wide", live: { air: 0.4, breathing_in: false, t_s: 3 } }),
    scene("In line, in the wide tubing of a high-flow set: the mist runs towards the prongs.",
      { patient: woman, things: inLine("high_flow_nasal_cannula") }, { size: "wide", live: { air: 0.4, breathing_in: true, t_s: 3 } }),
    scene("In line, in the tubing of a tracheostomy mask.", { patient: man, things: inLine("tracheostomy_mask") },
      { size: "wide", live: { air: 0.4, breathing_in: true, t_s: 3 } }),
    scene("T-piece on a tracheostomy tube: mist leaves the open limb as the patient breathes out.",
      { patient: man, things: on("nebuliser_t_piece", { cup_ml: 3, misting: true }) },
      { size: "wide", live: { air: 0.5, breathing_in: false, t_s: 3 } }),
    scene("T-piece on a patient who lies nearly flat.",
      { patient: woman, look: { posture: "propped", recline_deg: 20 }, things: on("nebuliser_t_piece", { cup_ml: 3, misting: true }) },
      { size: "wide", live: { air: 0.5, breathing_in: false, t_s: 3 } }),
    ...cups.map(([says, state]) => alone(says, piece(cup(state), [], {}), [-72, -20, 124, 112], { size: "small" })),
  ],
};

const handBox = (/** @type {string} */ kind) =>
    /** @type {readonly [number, number, number, number]} */ (kind.startsWith("bag_valve") ? [-90, -130, 560, 640]
    : kind.endsWith("cannula") ? [-120, -90, 240, 240] : kind.includes("rebreathing") ? [-130, -90, 330, 330]
    : [-130, -90, 300, 240]);
const handWords = (/** @type {string} */ kind) => { const words = kind.replaceAll("_", " ").replace("valve mask",
    "valve-mask").replace("bag valve", "bag-valve").replace("non rebreathing",
    "non-rebreathing").replace("air entrainment", "air-entrainment").replace("high flow",
    "high-flow").replace("nebuliser in line", "in-line nebuliser").replace("t piece", "T-piece").replace(/^child /, "child's ").replace(/^infant /, "infant's "); return `At hand: ${words}.`; };
/** @type {Section} */
const laidOut = {
  id: "at-hand", title: "At hand, not yet on", says: "Every device of the catalogue as it lies ready.",
  figures: Object.keys(wornKinds).map((kind) => alone(handWords(kind), atHand({ id: "ready", kind, cup_ml: 3 }),
    handBox(kind))),
};

export const wornSections = [oneBreath, prongs, masks, reservoirs, neck, nebulisers, laidOut];
