// @ts-check
// Where the gas comes from, what it passes through, and the round pictures on buttons: the supply part of the sheet.
import { meter, supply } from "../../draw/equipment.mjs";
import { G, n } from "../../draw/geometry.mjs";
import { piece } from "../../draw/piece.mjs";
import { roundel, roundels } from "../../draw/roundels.mjs";
import { tubing } from "../../draw/tubing.mjs";
import { alone } from "./figures.mjs";

/** @typedef {import("./figures.mjs").Section} Section */
/** @typedef {import("../../draw/piece.mjs").SupplyState} SupplyState */
/** @typedef {import("../../draw/piece.mjs").FlowmeterState} FlowmeterState */

/**
 * A supply with its flowmeter in its place.
 * @param {SupplyState} source
 * @param {Partial<FlowmeterState> | null} reads
 */
function stand(source, reads) {
  const own = supply({ ...source, used: reads !== null });
  if (!reads) return own;
  const [x, y] = own.anchors.socket ?? [0, 0];
  const m = meter({ id: `${source.id}-meter`, supply: source.id, style: "float", gas_name: source.gas_name,
      max_lpm: 15, float_frac: 0, ...reads }, source.kind);
  return piece(own.still + G(`translate(${n(x)} ${n(y)})`, m.still), [...own.moving, ...m.moving], {});
}

const wall = { id: "wall", kind: "wall_oxygen", gas_name: "OXYGEN" },
    air = { id: "air", kind: "medical_air", gas_name: "MEDICAL AIR" };
const onWall = /** @type {const} */ ([-206, -286, 300, 390]), tubeOnly = /** @type {const} */ ([-60, -286, 150, 390]),
    withBottle = /** @type {const} */ ([-206, -286, 332, 520]);

/** @type {Section} */
const flowmeters = {
  id: "flowmeters", title: "Outlets, flowmeters, humidifier",
    says: "The printed gas name is what tells the gases apart; colours differ from country to country and mean nothing here. The ball is read at its middle.",
  figures: [
    alone("An oxygen outlet, nothing plugged in.", stand(wall, null), [-72, -64, 140, 146], { size: "small" }),
      alone("A medical-air outlet.", stand(air, null), [-72, -64, 140, 146], { size: "small" }),
    alone("A flowmeter in the oxygen outlet, shut.", stand(wall, { float_frac: 0 }), onWall),
      alone("It reads 4 L/min.", stand(wall, { float_frac: 4 / 15 }), onWall),
      alone("It reads 10 L/min.", stand(wall, { float_frac: 10 / 15, set_frac: 0.66 }), onWall),
      alone("Opened past its scale: the ball is pinned at the top.",
      stand(wall, { float_frac: 1, flush: true, set_frac: 1 }), onWall),
    alone("A flowmeter in the medical-air outlet.", stand(air, { float_frac: 6 / 15 }), onWall),
    ...[1, 3, 5, 10, 30, 70].map((max_lpm) => alone(`A scale that ends at ${max_lpm} L/min, half way up.`,
      stand(wall, { max_lpm, float_frac: 0.5 }), tubeOnly, { size: "small" })),
    alone("With a humidifier, water to the line, bubbling.",
      stand(wall, { float_frac: 0.3, humidified: true, water: "to_the_line", bubbling: true }),
      withBottle, { live: { t_s: 4 } }), alone("The water is low.",
      stand(wall, { float_frac: 0.3, humidified: true, water: "low", bubbling: true }),
      withBottle, { live: { t_s: 2 } }),
    alone("The bottle is empty.", stand(wall, { float_frac: 0.3, humidified: true,
      water: "none" }), withBottle),
      alone("The tubing is blocked: the relief valve lifts and whistles.",
      stand(wall, { float_frac: 0.3, humidified: true, water: "to_the_line", whistles: true }),
      withBottle),
  ],
};

const bottle = (/** @type {Partial<SupplyState>} */ more) =>
    ({ id: "bottle", kind: "cylinder", gas_name: "OXYGEN", size: "E", regulator: true, valve_open: true,
    secured: true, gauge_psi: 1500, gauge_frac: 0.75, ...more });
const dial = (/** @type {number} */ lpm) => /** @type {const} */ ({ style: "dial", float_frac: lpm / 15 });
const whole = /** @type {const} */ ([-110, -740, 290, 790]), top = /** @type {const} */ ([-90, -704, 250, 190]);

/** @type {Section} */
const cylinders = {
  id: "cylinders", title: "Cylinders",
    says: "The key turns on its stem. A gauge keeps the pressure trapped behind a shut valve until it is bled.",
  figures: [
    alone("In its stand, strapped at two thirds of its height, valve open, 4 L/min dialled.",
      stand(bottle({}), dial(4)), whole), alone("It stands free: not secured.",
      stand(bottle({ secured: false }), dial(4)), whole), alone("No regulator yet: the valve's bare opening.",
      stand(bottle({ regulator: false, valve_open: false, secured: true }), null), whole),
    alone("A small one, valve and regulator in one piece, gauge in bar.",
      stand(bottle({ size: "CD", gauge_psi: undefined, gauge_bar: 180, gauge_frac: 180 / 230 }), dial(2)),
      [-110, -640, 290, 690]), alone("A tall one.", stand(bottle({ size: "G", gauge_psi: 2000 }), dial(8)),
      [-120, -890, 310, 940]),
    alone("Valve open, half full, 15 L/min dialled.", stand(bottle({ gauge_psi: 1000, gauge_frac: 0.5 }), dial(15)),
      top, { size: "large" }), alone("Valve shut; the gauge still shows what is trapped.",
      stand(bottle({ valve_open: false, gauge_psi: 1000, gauge_frac: 0.5 }), dial(0)), top, { size: "large" }),
      alone("Valve shut and bled: the needle lies at nought.",
      stand(bottle({ valve_open: false, gauge_psi: 0, gauge_frac: 0 }), dial(0)), top, { size: "large" }),
    alone("In the reserve, which is closely stroked.", stand(bottle({ gauge_psi: 150, gauge_frac: 0.075 }), dial(10)),
      top, { size: "large" }), alone("A gauge in bar.", stand(bottle({ size: "UK-E", gauge_psi: undefined,
      gauge_bar: 90, gauge_frac: 90 / 137 }), dial(2.5)), top, { size: "large" }),
    alone("In one piece, valve shut: its gauge shows the contents all the same.",
      stand(bottle({ size: "HX", valve_open: false, gauge_psi: undefined, gauge_bar: 180, gauge_frac: 180 / 230 }),
      dial(0)), [-90, -726, 250, 190], { size: "large" }),
  ],
};

const machine = (/** @type {Partial<SupplyState>} */ more) =>
    ({ id: "machine", kind: "concentrator", gas_name: "OXYGEN", switched_on: true, alarms: [], ...more });
const highFlow = /** @type {const} */ ([-206, -286, 390, 630]);

/** @type {Section} */
const machines = {
  id: "machines", title: "Concentrator and high-flow set",
    says: "The concentrator's flowmeter is in its panel. The set blends two gases, and warms and wets the mixture.",
  figures: [
    alone("It runs, 2 L/min.", stand(machine({}), { max_lpm: 5, float_frac: 0.4 }), [-250, -650, 520, 690],
      { size: "large" }), alone("It is switched off.", stand(machine({ switched_on: false }),
      { max_lpm: 5, float_frac: 0 }), [-250, -650, 520, 690], { size: "large" }),
      alone("A larger one: its lamp is lit and it sounds, low oxygen.",
      stand(machine({ kind: "large_concentrator", alarms: ["low_oxygen"] }), { max_lpm: 10, float_frac: 0.8 }),
      [-280, -710, 560, 750], { size: "large" }),
    alone("High-flow set: 50 L/min, 45 per cent oxygen, warm.",
      stand(wall, { max_lpm: 70, float_frac: 50 / 70, high_flow_share_pct: 45 }), highFlow, { size: "large" }),
    alone("The same at 90 per cent, the chamber dry.", stand(wall,
      { max_lpm: 70, float_frac: 30 / 70, high_flow_share_pct: 90, water: "none" }), highFlow,
      { size: "large" }),
  ],
};

const way = () => /** @type {import("../../draw/geometry.mjs").Pt[]} */ ([[0, 40], [90, 76], [180, 34], [270, 70],
    [360, 40]]);
/** @param {string} says @param {Partial<import("../../draw/piece.mjs").TubeState> & { wide?: boolean }} state */
const tube = (says, state) => alone(says, tubing(way, { id: "hose", from: "meter", to: "worn", ...state }),
    [-20, -16, 400, 116], { size: "large", live: { t_s: 0.2 } });

/** @type {Section} */
const hoses = {
  id: "tubing", title: "Tubing",
    says: "One line from the source to the face. A kink, water and an open end show in the line itself, without a mark round them.",
  figures: [
    tube("Sound.", {}), tube("Kinked.", { kinked: true }), tube("The end is open: nothing is joined, and it hisses.",
      { to: null, hisses: true }), tube("It has come off its source.", { from: null }),
      tube("A little water lies in the low loop.", { wet_frac: 0.25 }),
      tube("The loop is full and gurgles.", { wet_frac: 1, gurgles: true }),
    tube("Wide tubing, for high flow and tracheostomy masks.", { wide: true }),
      tube("Wide tubing with water in the loop.", { wide: true, wet_frac: 0.8, gurgles: true }),
      tube("Teaching view: marks travel with the gas.", { carries: true }),
      tube("Teaching view: a kink holds the gas back.", { carries: true, kinked: true }),
  ],
};

/** @param {string} says @param {string} name @param {{ gas?: string, kind?: string }} [with_] */
const round = (says, name, with_) => alone(says, piece(roundel(name, with_), [], {}), [-50, -50, 100, 100],
    { size: "mini" });
const places = { hands: "Clean hands.", order: "The order.", identity: "The wristband.",
    explained: "Told and agreed.", sat_up: "Sat up.", gas_label: "The gas label.", flow: "The flow.",
    gas_proved: "Gas proved.", bag_filled: "Bag filled.", mist_seen: "Mist seen.", per_cent_read: "Per cent read.",
    device_on: "Device on.", device_off: "Device off.", skin: "Behind the ears.", numbers: "Numbers said.",
    help: "Help called.", breathing: "Breathing watched." };
/** @type {Section} */
const rounds = {
  id: "round", title: "Round pictures for buttons", says: "The place to touch, and never a value.",
  figures: [...Object.keys(roundels).map((name) => round(places[/** @type {keyof typeof places} */ (name)] ?? name,
    name)), round("Medical air's label.", "gas_label", { gas: "MEDICAL AIR" }),
    round("Mask with a bag on.", "device_on", { kind: "non_rebreathing_mask" }),
    round("Nebuliser on.", "device_on", { kind: "nebuliser_mask" }),
    round("Neck mask on.", "device_on", { kind: "tracheostomy_mask" }),
    round("Mask off.", "device_off", { kind: "simple_mask" })],
};

export const supplySections = [flowmeters, cylinders, machines, hoses, rounds];
