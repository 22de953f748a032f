// @ts-check
// The patient's part of the specimen sheet: builds, postures, work of breathing, skins, the cut view, skin sites.
import { fill, kinds, ledgerBar } from "../../draw/gas.mjs";
import { G, P } from "../../draw/geometry.mjs";
import { skinInset } from "../../draw/patient/skin-marks.mjs";
import { skinVariables } from "../../draw/patient/skin.mjs";
import { piece } from "../../draw/piece.mjs";
import { posture } from "../../draw/posture.mjs";
import { capnogramPath, ruled } from "../../el/pen-line.mjs";
import { alone, scene } from "./figures.mjs";

/** @typedef {import("./figures.mjs").Section} Section */
/** @typedef {import("./figures.mjs").Figure} Figure */

export const woman = { age_years: 66, sex: "female", build: "woman", skin_tone: 2, hair: "bob", hair_tone: "grey" };
export const man = { age_years: 58, sex: "male", build: "man", skin_tone: 4, hair: "short", hair_tone: "dark" };
export const child = { age_years: 6, sex: "female", build: "child", skin_tone: 3, hair: "long", hair_tone: "brown" };
export const infant = { age_years: 0.6, sex: "male", build: "infant", skin_tone: 5, hair: "wisps",
    hair_tone: "dark" };

const finger = { probe: { site: "finger" } };
const large = /** @type {const} */ ({ size: "large", grow: [-0.27, 0, 0, 0] });

/** @type {Section} */
const asSeen = {
  id: "patient", title: "The patient, as seen",
    says: "Drawn from the side. Nothing is shown that a nurse at the bedside could not see.",
  figures: [
    scene("A woman rests with the back-rest at 45 degrees, a probe on her finger.",
      { patient: woman, look: { recline_deg: 45 }, things: finger }, large),
    scene("A man works hard: shoulders lift, the neck's cords stand out, sweat on the brow, back-rest at 60 degrees.",
      { patient: man, look: { recline_deg: 60, effort: 1, sweat: 1, mouth: 0.3, blue: 0.5 }, things: finger },
      { ...large, live: { air: 0.9, breathing_in: true } }),
    scene("A child sits up in bed.", { patient: child, look: { recline_deg: 50 }, things: finger }, large),
    scene("An infant lies in a cot with the head raised.", { patient: infant,
      look: { posture: "propped", recline_deg: 28 } }, large),
    scene("A drowsy man: the head sinks, the lids are nearly shut.",
      { patient: { ...man, hair_tone: "grey", skin_tone: 1 }, look: { nod_deg: 16, lids: 0.95, mouth: 0.2 } }, large),
    scene("A woman leans forward in a chair to breathe.", { patient: { ...woman, skin_tone: 3, hair_tone: "dark" },
      look: { posture: "sitting_out", effort: 0.8 } }, { ...large, live: { air: 0.5, breathing_in: true } }),
    scene("A man lies flat.", { patient: { ...man, skin_tone: 5 }, look: { posture: "flat" } }, large),
    scene("A man lies propped, back-rest at 28 degrees.", { patient: { ...man, skin_tone: 2, hair: "none" },
      look: { posture: "propped" } }, large),
    scene("A woman lies on her side, seen from above.", { patient: woman, look: { posture: "side" } }, large),
  ],
};

/** @type {Section} */
const skins = {
  id: "skins", title: "Skins, and what shows on each",
    says: "Greyish-blue lips show less on darker skin. The drawing is honest about that, so the words beside it always say what is seen.",
  figures: [1, 2, 3, 4, 5].flatMap((tone) => {
    const who = { ...(tone % 2 ? man : woman), skin_tone: tone,
        hair: tone === 3 ? "curls" : tone % 2 ? "short" : "bob",
        hair_tone: tone > 2 ? "dark" : tone === 1 ? "fair" : "brown" };
    return [scene(`Skin ${tone}, lips as usual.`, { patient: who }, { crop: "face", size: "small" }),
        scene(`Skin ${tone}, lips greyish blue.`, { patient: who, look: { blue: 1, mouth: 0.1 } },
        { crop: "face", size: "small" })];
  }),
};

/** @type {Section} */
const probes = {
  id: "probe", title: "Where the probe is",
    says: "On a finger with its cable over the back of the hand, on the ear, on a toe, or off.",
  figures: [
    scene("The probe is on the index finger.", { patient: woman, things: { probe: { site: "finger" } } },
      { crop: "hands" }), scene("The probe is off.", { patient: woman, things: { probe: { site: null } } },
      { crop: "hands" }),
    scene("The probe is on the ear lobe.", { patient: man, things: { probe: { site: "ear" } } }, { crop: "face" }),
      scene("The probe is on a toe.", { patient: infant, look: { posture: "flat" },
      things: { probe: { site: "toe" } } }, { size: "large" }),
  ],
};

/** One strip of carbon dioxide: three breaths of a shape, told as the station tells them. @param {string} words @param {readonly (readonly [number, number])[]} line */
function waves(words, line) {
  const box = { width: 250, height: 66 }, breaths = [0, 4, 8].map((start_s) => ({ start_s, line }));
  const d = capnogramPath(breaths, { from_s: 0, to_s: 12, top_mmhg: 60, box });
  return alone(words, piece(P("hair", `M0 0V${box.height}H${box.width}${ruled(box, 12, 5)}`) + P("hair", `M0 22H${box.width}`, 'stroke-dasharray="1 6"') + P("ink", d), [], {}), [-4, -4, 260, 80], { size: "small" });
}

/** @type {Section} */
const sampling = {
  id: "sampling", title: "The carbon dioxide sampling line, and its wave",
    says: "A thin line from nose, mask, circuit or tracheostomy tube, under the jaw and over the shoulder. The wave is drawn breath by breath, as high as the gas at the line's opening.",
  figures: [
    scene("At the nose, with a cannula.", { patient: woman, things: { devices: [{ id: "worn", kind: "nasal_cannula", worn: true }], sampling_line: { site: "nose" } } }, { crop: "face" }),
    scene("Into a simple mask.", { patient: man, things: { devices: [{ id: "worn", kind: "simple_mask", worn: true, clip_pinched: true }], sampling_line: { site: "mask" } } }, { crop: "face" }),
    scene("Between the valve and the mask of a bag.", { patient: woman, things: { devices: [{ id: "worn", kind: "bag_valve_mask", worn: true }], sampling_line: { site: "circuit" } } }, { crop: "face" }),
    scene("On a tracheostomy tube.", { patient: man, things: { devices: [{ id: "worn", kind: "tracheostomy_mask", worn: true }], sampling_line: { site: "circuit" } } }, { crop: "face" }),
    waves("A whole wave: up with the breath out, a flat top.", [[0, 36], [0.2, 2], [0.5, 0], [1.6, 0], [1.8, 14], [2, 33], [2.6, 36], [4, 37]]),
    waves("Narrow airways: the top slants.", [[0, 40], [0.2, 3], [0.5, 0], [1.4, 0], [1.7, 12], [2.2, 24], [3, 33], [4, 41]]),
    waves("Oxygen at the nose: lower, and it sags before its end.", [[0, 8], [0.3, 1], [1.6, 0], [1.8, 12], [2.1, 29], [2.6, 26], [3.2, 17], [4, 8]]),
    waves("Hardly any breath reaches the line.", [[0, 0.6], [1.6, 0], [2.2, 1.6], [3, 1.2], [4, 0.6]]),
  ],
};

/** @type {Section} */
const aside = {
  id: "aside", title: "Laid aside",
    says: "A device that is not worn lies past the hand and its probe, on the blanket, in the lap or at the feet.",
  figures: [
    scene("A reservoir mask lies on the blanket.", { patient: man, things: { ...finger, devices: [{ id: "aside", kind: "non_rebreathing_mask", worn: false }] } }, { size: "large" }),
    scene("Three things lie aside.", { patient: woman, look: { posture: "propped", recline_deg: 30 }, things: { ...finger, devices: [{ id: "a", kind: "simple_mask", worn: false }, { id: "b", kind: "nasal_cannula", worn: false }, { id: "c", kind: "non_rebreathing_mask", worn: false }] } }, { size: "large" }),
    scene("Out in a chair.", { patient: man, look: { posture: "sitting_out" }, things: { ...finger, devices: [{ id: "aside", kind: "non_rebreathing_mask", worn: false }] } }, { size: "large" }),
    scene("On one side.", { patient: woman, look: { posture: "side" }, things: { ...finger, devices: [{ id: "aside", kind: "simple_mask", worn: false }] } }, { size: "large" }),
    scene("A cannula kept on under a reservoir mask: the inset of the nose leaves the bag to be seen.", { patient: woman, things: { ...finger, devices: [{ id: "a", kind: "nasal_cannula", worn: true }, { id: "b", kind: "non_rebreathing_mask", worn: true, clip_pinched: true }] } }, { size: "large" }),
    scene("An infant's cannula.", { patient: infant, look: { posture: "flat" }, things: { devices: [{ id: "aside", kind: "infant_nasal_cannula", worn: false }] } }, { size: "large" }),
  ],
};

const washed = { nose: { supplied: 0.85, room: 0.15 }, throat: { supplied: 0.6, room: 0.32, expired: 0.08 },
    windpipe: { supplied: 0.35, room: 0.65 }, lung: { supplied: 0.2, room: 0.45, expired: 0.35 },
    mouth: { supplied: 0.3, room: 0.7 } };
const poor = { nose: { supplied: 0.2, room: 0.8 }, throat: { supplied: 0.25, room: 0.7, expired: 0.05 },
    windpipe: { supplied: 0.15, room: 0.85 }, lung: { supplied: 0.1, room: 0.5, expired: 0.4 }, mouth: { room: 1 } };
const rich = { nose: { supplied: 0.9, expired: 0.1 }, throat: { supplied: 0.9, expired: 0.1 },
    windpipe: { supplied: 0.85, expired: 0.15 }, lung: { supplied: 0.6, room: 0.1, expired: 0.3 },
    mouth: { supplied: 0.9, expired: 0.1 } };
const device = (/** @type {string} */ kind, /** @type {object} */ more = {}) =>
    ({ devices: [{ id: "worn", kind, worn: true, clip_pinched: true, ...more }] });
const nose = /** @type {const} */ ({ view: "cut", crop: "face", size: "large", grow: [-0.35, -0.18, -0.02, -0.1] });
const whole = /** @type {const} */ ({ view: "cut", crop: "face", size: "large", grow: [0.1, 0.05, 0.5, 0.4] });

const swatch = (/** @type {"supplied" | "room" | "expired"} */ kind) =>
    piece(fill([[0, 0], [110, 0], [110, 44], [0, 44]], { [kind]: 1 },
    { gap: kind === "supplied" ? 8 : 11, r: kind === "supplied" ? 2.1 : 2.8, seed: 3 }) + P("ink", "M0 0H110V44H0Z"),
    [], {});

/** @type {Section} */
const cut = {
  id: "cut", title: "Cut open: three textures",
    says: "For teaching only: a diagram. Dots are supplied gas, slanted strokes room air, open rings gas that was breathed out.",
  figures: [
    ...(/** @type {const} */ (["supplied", "room", "expired"])).map((kind) =>
      alone(`This texture is ${kinds[kind]}.`, swatch(kind), [-2, -2, 114, 48], { size: "small" })),
    alone("A ledger bar: 66 mL of supplied gas, 342 of room air, 72 breathed out before.",
      piece(G("translate(6 6)", ledgerBar([{ kind: "supplied", ml: 66 }, { kind: "room", ml: 342 },
      { kind: "expired", ml: 72 }], { width: 480, height: 52 })), [], {}), [0, 0, 492, 64], { size: "large" }),
    scene("Prongs curve down: the nose fills with oxygen.",
      { patient: woman, things: device("nasal_cannula"), gas: washed }, nose),
    scene("Prongs curve up: oxygen strikes the roof, room air takes the floor of the nose.",
      { patient: woman, things: device("nasal_cannula", { prongs: "up" }), gas: poor }, nose),
    scene("One prong is out and blows beside the nose.", { patient: woman,
      things: device("nasal_cannula", { prongs: "one_out" }), gas: poor }, nose),
      scene("Both prongs lie below the nose.", { patient: woman, things: device("nasal_cannula", { prongs: "below" }),
      gas: poor }, nose),
    scene("Wide prongs, high flow: the nose is filled and the throat washed.",
      { patient: woman, things: device("high_flow_nasal_cannula"), gas: rich }, nose),
    scene("A jet valve draws in room air through its windows.",
      { patient: woman, things: device("air_entrainment_mask", { entrainment_pct: 28 }), gas: washed }, whole),
    scene("The bag is full and the mask sits: the bag empties into the throat.",
      { patient: woman, things: device("non_rebreathing_mask"), gas: rich },
      { ...whole, live: { air: 0.3, breathing_in: true }, bag: { id: "worn", full: 1, takes: 0.3 } }),
    scene("The bag is flat and the mask loose: room air is drawn in at the edge.",
      { patient: woman, things: device("non_rebreathing_mask", { snug: "loose", clip_pinched: false }), gas: poor },
      { ...whole, live: { air: 0.9, breathing_in: true }, bag: { id: "worn", full: 0.05, takes: 0.05 } }),
  ],
};

/**
 * What is looked at, as a caption begins; the last is a darker skin.
 * @type {readonly (readonly [string, string, 1 | 2 | 3 | 4 | 5])[]}
 */
const lookedAt = [
  ["behind_right_ear", "Behind the right ear", 2], ["left_ear", "Behind the left ear, darker skin", 5],
    ["nostrils", "At the nostrils", 2],
  ["septum", "Between the nostrils", 3], ["left_cheek", "On the far cheek", 2],
    ["back_of_head", "At the back of the head", 2],
];
const found = ["as usual", "pink, and it fades when pressed", "red, and it does not fade when pressed", "broken"];
const foundOnDark = ["as usual", "a little darker, and it fades when pressed",
    "darker or bluish, and it does not fade when pressed", "broken"];

/** @type {Section} */
const skinSites = {
  id: "skin", title: "Skin under devices",
    says: "Only what was looked at is drawn. What is seen from this side is marked on the face; the rest in an inset.",
  figures: [
    ...lookedAt.flatMap(([site, where, tone]) => (/** @type {const} */ ([0, 1, 2, 3])).map((stage) => {
      const f = posture({ build: "woman", tone, hair_tone: tone > 3 ? "dark" : "brown" }),
          says = `${where}: skin ${(tone > 3 ? foundOnDark : found)[stage]}.`;
      return alone(says, piece(skinInset(f, site, stage, `specimen-${site}-${stage}`), [], {}), [-96, -96, 192, 192],
          { size: "small", skin: skinVariables(f.s) });
    })),
    scene("Bridge of the nose, cheek and chin, red and not fading.",
      { patient: woman, inspected: [{ site: "nose_bridge", stage: 2 }, { site: "right_cheek", stage: 2 },
      { site: "chin", stage: 2 }] }, { crop: "face" }),
    scene("The same on darker skin.", { patient: { ...woman, skin_tone: 5, hair_tone: "dark" },
      inspected: [{ site: "nose_bridge", stage: 2 }, { site: "right_cheek", stage: 2 }, { site: "chin", stage: 2 }] },
      { crop: "face" }),
    scene("A look behind the right ear, as the bedside shows it.",
      { patient: woman, things: device("nasal_cannula"), inspected: [{ site: "behind_right_ear", stage: 1,
      at_s: 0 }] }, { size: "wide" }),
  ],
};

export const patientSections = [asSeen, skins, probes, sampling, aside, cut, skinSites];
