// @ts-check
// Where the patient's parts are: frames that turn with the back-rest, and the places other pieces join to.
// World: the hip joint is 0,0, the feet lie towards +x, +y is down, 1 is 1 mm.
import { clamp, frame } from "./geometry.mjs";
import { bodies } from "./patient/bodies.mjs";

/** @typedef {import("./geometry.mjs").Pt} Pt */
/** @typedef {import("./geometry.mjs").Frame} Frame */
/** @typedef {import("./patient/bodies.mjs").Build} Build */
/** @typedef {import("./patient/bodies.mjs").Body} Body */
/** @typedef {"flat" | "propped" | "upright" | "sitting_out" | "side"} Place */

/**
 * Everything a drawing of the patient depends on.
 * @typedef {object} PatientState
 * @property {Build} build
 * @property {Place} posture  `side` is drawn from above, the others from the side
 * @property {number} recline_deg  of the back-rest above flat
 * @property {number} air  0..1 share of a large breath now in the chest (volume above rest over 900 mL in an adult)
 * @property {number} effort  0..1 work of breathing
 * @property {number} nod_deg  how far the head has sunk towards the chest
 * @property {number} lids  0 open .. 1 shut
 * @property {number} mouth  0 closed .. 1 open
 * @property {number} blue  0..1 greyish blue of lips and nail; the caller knows when it may show
 * @property {number} sweat  0..1
 * @property {"bob" | "short" | "long" | "curls" | "wisps" | "none"} hair
 * @property {"brown" | "dark" | "grey" | "fair"} hair_tone
 * @property {1 | 2 | 3 | 4 | 5} tone
 */

/** @type {PatientState} */
export const resting = {
  build: "woman", posture: "upright", recline_deg: 45, air: 0, effort: 0, nod_deg: 0, lids: 0.1, mouth: 0, blue: 0, sweat: 0,
  hair: "bob", hair_tone: "brown", tone: 2,
};

/** Back-rest of each posture when no angle is told [degrees]. Propped is 20 to 30, upright 45 or more, as the act says. */
export const usualRecline_deg = Object.freeze({ flat: 6, propped: 28, upright: 50, sitting_out: 94, side: 0 });

/**
 * In the head's frame every patient's face has these places, so that a device fits each face.
 * @type {Readonly<Record<"nostril" | "lips" | "bridge" | "underChin" | "chin" | "cheek" | "maskPort", Pt>>}
 */
export const landmarks = { nostril: [110, 26], lips: [104, 50], bridge: [97, -8], underChin: [62, 97], chin: [98, 84], cheek: [64, 24], maskPort: [131, 60] };

/** The ear's place and size in the head's frame: a child's sits lower and further back. @type {Readonly<Record<Build, Pt>>} */
const ears = { woman: [0, 0], man: [0, 0], child: [-4, 4], infant: [-10, 8] };

/** Occiput, in the head's frame. @type {Readonly<Record<Build, Pt>>} */
const occiputs = { woman: [-99, -20], man: [-101, -22], child: [-112, -36], infant: [-119, -44] };

/**
 * @typedef {object} Posture
 * @property {PatientState} s
 * @property {Body} body
 * @property {Frame} trunk
 * @property {Frame} neck
 * @property {Frame} head  carries `scale`; its coordinates are an adult's face in mm
 * @property {Frame} ear  place of the near ear's canal within the head's frame, with its own scale (adult 1)
 * @property {number} rise  of the chest [mm]
 * @property {number} belly  of the belly [mm]
 * @property {number} lift  of the shoulders [mm]
 * @property {Pt} shoulder
 * @property {Pt} elbow
 * @property {Pt} wrist
 * @property {Readonly<Record<"nostril" | "mouth" | "ear" | "earTop" | "behindEar" | "lobe" | "bridge" | "cheek" | "underChin" | "chin" | "occiput" | "neck" | "chest" | "belly" | "maskPort" | "finger" | "throat" | "lap", Pt>>} anchors  world
 */

/** @param {Partial<PatientState>} [state] @returns {Posture} */
export function posture(state = {}) {
  const s = { ...resting, ...state }, body = bodies[s.build], air = clamp(s.air);
  const leaning = s.posture === "sitting_out" ? 14 * clamp((s.effort - 0.35) / 0.4) : 0;
  const recline = s.posture === "side" ? 0 : s.recline_deg + leaning, trunk = frame(0, 0, recline - 90);
  const lift = body.lift_mm * s.effort * (0.35 + 0.65 * air);
  const c7 = trunk.at(body.c7[0], body.c7[1] - lift * body.bob);
  // Above 60 degrees the head stays level instead of following the back-rest; flat, a pillow holds it up.
  const above = Math.max(0, recline - 60), look = s.posture === "side" ? -80 : Math.max(-58, recline - 67 - 0.85 * above);
  const neck = frame(c7[0], c7[1], recline - 75 - 0.25 * above + s.nod_deg * 0.5 + (s.posture === "flat" ? 8 : 0));
  const ear0 = neck.at(body.ear[0], body.ear[1]);
  const head = frame(ear0[0], ear0[1], look + s.nod_deg - 2 * s.effort, body.headScale);
  const rise = body.rise_mm * air, belly = body.belly_mm * air;
  const [ex, ey] = ears[s.build], ear = frame(ex, ey, 0, s.build === "infant" ? 1.12 : s.build === "child" ? 1.06 : s.build === "man" ? 1.05 : 1);
  const { wrist, elbow } = armPlaces(s, body, trunk);
  /** @param {number} x @param {number} y */
  const H = (x, y) => head.at(x, y);
  /** @param {number} u @param {number} v @returns {Pt} */
  const E = (u, v) => { const p = ear.at(u, v); return H(p[0], p[1]); };
  const f = body.front[3] ?? [0, 0], b = body.front[7] ?? [0, 0], o = occiputs[s.build], k = body.hand;
  return {
    s, body, trunk, neck, head, ear, rise, belly, lift, wrist, elbow,
    shoulder: trunk.at(body.shoulder[0], body.shoulder[1] - lift),
    anchors: {
      nostril: H(110, 26), mouth: H(104, 50), ear: E(-4, -27), earTop: E(-6, -29), behindEar: E(-27, 2), lobe: E(-4, 30), bridge: H(97, -8), cheek: H(64, 24),
      underChin: H(62, 97), chin: H(98, 84), occiput: H(o[0], o[1]), neck: H(18, 128), maskPort: H(131, 60), throat: trunk.at(body.throat[1]?.[0] ?? 30, body.throat[1]?.[1] ?? -300),
      chest: trunk.at(f[0] + rise, f[1]), belly: trunk.at(b[0] + belly, b[1]),
      finger: [wrist[0] + (s.build === "infant" ? 112 : 143) * k, wrist[1] + 29 * k], lap: [230 * body.unit, -190 * body.unit],
    },
  };
}

/** Where elbow and wrist rest: on the lap in bed, on the thigh in a chair, in front of the chest on the side. @param {PatientState} s @param {Body} b @param {Frame} trunk @returns {{wrist: Pt, elbow: Pt}} */
function armPlaces(s, b, trunk) {
  const k = b.unit;
  if (s.posture === "sitting_out") {
    const e = trunk.at(b.elbow[0] * 0.35, b.elbow[1]);
    return { elbow: e, wrist: [e[0] + 235 * k, -b.thick_mm - 34 * k] };
  }
  if (s.posture === "side") return { elbow: trunk.at(b.elbow[0] + 226 * k, b.elbow[1] - 14 * k), wrist: trunk.at(b.elbow[0] + 282 * k, b.elbow[1] - 236 * k) };
  if (s.build === "infant") return { elbow: trunk.at(b.elbow[0], b.elbow[1]), wrist: trunk.at(46, -78) };
  return { elbow: trunk.at(b.elbow[0], b.elbow[1]), wrist: b.wrist };
}

/** How far the head is moved, at this breath, from where it lies at rest (world). @param {Posture} rest @param {number} air @returns {Pt} */
export function headShift(rest, air) {
  const up = rest.body.lift_mm * rest.s.effort * 0.65 * clamp(air) * rest.body.bob;
  const o = rest.trunk.at(0, 0), p = rest.trunk.at(0, -up);
  return [p[0] - o[0], p[1] - o[1]];
}
