// @ts-check
// Which drawing belongs to which kind of the station's `things`: one adapter for each sort, from the plain objects a
// page receives to the numbers a drawing depends on. Kinds are the catalogue's own words; one that is not listed here
// is an error that says so.
import { bagValveMask, bagValveMaskWithoutReservoir } from "./bag-valve-mask.mjs";
import { n } from "./geometry.mjs";
import { cannula } from "./cannula.mjs";
import { concentrator, panelFlowmeter } from "./concentrator.mjs";
import { cylinder } from "./cylinder.mjs";
import { cylinderOf } from "./cylinder-told.mjs";
import { dialFlowmeter } from "./dial-flowmeter.mjs";
import { entrainmentMask } from "./entrainment-mask.mjs";
import { flowmeter } from "./flowmeter.mjs";
import { highFlowCannula, highFlowUnit } from "./high-flow.mjs";
import { WATER_FRAC, humidifier } from "./humidifier.mjs";
import { nebuliserInLine, nebuliserMask, nebuliserMouthpiece, nebuliserTPiece } from "./nebuliser.mjs";
import { outlet } from "./outlet.mjs";
import { piece } from "./piece.mjs";
import { nonRebreathingMask, partialRebreathingMask } from "./reservoir-mask.mjs";
import { simpleMask } from "./simple-mask.mjs";
import { HISS } from "./tubing.mjs";
import { tracheostomyMask } from "./tracheostomy-mask.mjs";

/** @typedef {import("./piece.mjs").Worn} Worn */
/** @typedef {import("./piece.mjs").Piece} Piece */
/** @typedef {import("./piece.mjs").SupplyState} SupplyState */

/**
 * Worn devices by kind, as catalogue/devices.yaml names them; a child's takes its size from the head it is on.
 * @type {Readonly<Record<string, Worn>>}
 */
export const wornKinds = Object.freeze({
  nasal_cannula: cannula, child_nasal_cannula: cannula, infant_nasal_cannula: cannula,
    high_flow_nasal_cannula: highFlowCannula,
  simple_mask: simpleMask, child_simple_mask: simpleMask, air_entrainment_mask: entrainmentMask,
    partial_rebreathing_mask: partialRebreathingMask,
  non_rebreathing_mask: nonRebreathingMask, child_non_rebreathing_mask: nonRebreathingMask,
    bag_valve_mask: bagValveMask,
  bag_valve_mask_without_reservoir: bagValveMaskWithoutReservoir, tracheostomy_mask: tracheostomyMask,
    nebuliser_mask: nebuliserMask, nebuliser_mouthpiece: nebuliserMouthpiece, nebuliser_t_piece: nebuliserTPiece,
    nebuliser_in_line: nebuliserInLine,
});

/** What lies under what on the face: a cannula under a mask. */
const UNDER_FIRST = ["nasal_cannula", "child_nasal_cannula", "infant_nasal_cannula", "high_flow_nasal_cannula",
    "tracheostomy_mask"];

/**
 * Worn devices in the order they are drawn.
 * @template {{ kind: string }} D
 * @param {readonly D[]} devices
 * @returns {D[]}
 */
export const inDrawingOrder = (devices) => [...devices].sort((a, b) =>
    Number(!UNDER_FIRST.includes(a.kind)) - Number(!UNDER_FIRST.includes(b.kind)));

/** @type {Worn} */
export function worn(frames, state) {
  const draw = wornKinds[state.kind];
  if (!draw) throw new Error(`No drawing for the device kind "${state.kind}". Add it to wornKinds in equipment.mjs; known: ${Object.keys(wornKinds).join(", ")}.`);
  return heard(draw(frames, state), "supply", state, frames.head.scale);
}

/**
 * Gas that is heard to escape: three strokes beside the place.
 * @param {Piece} own
 * @param {string} at an anchor
 * @param {{ hisses?: boolean }} state
 * @param {number} [scale]
 * @returns {Piece}
 */
function heard(own, at, state, scale = 1) {
  const [x, y] = own.anchors[at] ?? [0, 0];
  if (!state.hisses) return own;
  const strokes = `<g transform="translate(${n(x)} ${n(y)}) rotate(${n((own.supplyDeg ?? 90) - 62)}) scale(${n(scale)})">${HISS}</g>`;
  return piece(own.still + strokes, own.moving, own.anchors, { ...own });
}

const rings = (/** @type {SupplyState["alarms"]} */ alarms) =>
    (Array.isArray(alarms) ? alarms.length > 0 : Boolean(alarms));

/** Supplies by kind. @type {Readonly<Record<string, import("./piece.mjs").Supply>>} */
export const supplyKinds = Object.freeze({
  wall_oxygen: (s) => outlet({ gas: s.gas_name, used: s.used ?? false }),
    wall_air: (s) => outlet({ gas: s.gas_name, used: s.used ?? false }),
    medical_air: (s) => outlet({ gas: s.gas_name, used: s.used ?? false }),
  cylinder: (s) => cylinder(cylinderOf(s)),
  concentrator: (s) => concentrator({ id: s.id, gas: s.gas_name, large: false, on: s.switched_on ?? false,
    alarms: rings(s.alarms) }),
  large_concentrator: (s) => concentrator({ id: s.id, gas: s.gas_name, large: true, on: s.switched_on ?? false,
    alarms: rings(s.alarms) }),
});

/** @type {import("./piece.mjs").Supply} */
export function supply(state) {
  const draw = supplyKinds[state.kind];
  if (!draw) throw new Error(`No drawing for the supply kind "${state.kind}". Add it to supplyKinds in equipment.mjs; known: ${Object.keys(supplyKinds).join(", ")}.`);
  return draw(state);
}

/** Whether a device takes wide corrugated tubing. @param {string} kind */
export const takesWideTubing = (kind) => kind.startsWith("high_flow") || kind === "tracheostomy_mask";

/**
 * What a flowmeter's drawing must know of its neighbours: the gas of its supply, and the share of a high-flow
 * set it feeds.
 * @param {import("./piece.mjs").FlowmeterState} m @param {SupplyState} source
 * @param {{ tubes?: readonly import("./piece.mjs").TubeState[], devices?: readonly import("./piece.mjs").DeviceState[] }} things
 * @returns {import("./piece.mjs").FlowmeterState}
 */
export function amongThings(m, source, { tubes = [], devices = [] }) {
  const fed = devices.find((d) => d.kind.startsWith("high_flow")
      && tubes.some((t) => t.from === m.id && t.to === d.id));
  return { ...m, gas_name: m.gas_name ?? source.gas_name, ...(fed
      ? { high_flow_share_pct: fed.oxygen_share_pct ?? 100 } : {}) };
}

/**
 * How full a humidifier stands, by the equipment's words; to the line where none is told.
 * @param {import("./piece.mjs").FlowmeterState["water"]} [water]
 */
export const waterFrac = (water) => WATER_FRAC[water ?? "to_the_line"] ?? 0;

/**
 * A flowmeter by its style, with its humidifier if it has one. A dial sits on its regulator and a
 * concentrator's ball in
 * its panel: all are drawn about the anchor `socket` of their supply, whose kind is told.
 * @param {import("./piece.mjs").FlowmeterState} s
 * @param {string} [supplyKind]
 * @returns {Piece}
 */
export function meter(s, supplyKind = "") {
  const state = { id: s.id, gas: s.gas_name ?? "", maxLpm: s.max_lpm, floatFrac: s.float_frac,
      setFrac: s.set_frac ?? null, flush: s.flush ?? false };
  if (s.style === "dial") return heard(dialFlowmeter(state), "tail", s);
  if (supplyKind.endsWith("concentrator")) return heard(panelFlowmeter(state), "tail", s);
  if (s.high_flow_share_pct !== undefined) return under(flowmeter(state, { tail: false }),
      highFlowUnit({ sharePct: s.high_flow_share_pct, waterFrac: waterFrac(s.water), warm: true }));
  if (!s.humidified) return heard(flowmeter(state), "tail", s);
  return heard(under(flowmeter(state, { tail: false }), humidifier({ id: s.id, waterFrac: waterFrac(s.water),
      bubbling: s.bubbling ?? false, whistles: s.whistles ?? false })), "lid", s);
}

/**
 * A flowmeter with what hangs under it; the hose leaves to the side.
 * @param {Piece} own
 * @param {Piece} hung
 * @returns {Piece}
 */
function under(own, hung) {
  const [bx = 0, by = 0] = own.anchors.base ?? [0, 48];
  const moved = Object.fromEntries(Object.entries(hung.anchors).map(([name, [x, y]]) =>
      [name, /** @type {import("./geometry.mjs").Pt} */ ([bx + x, by + y])]));
  const { barb, ...rest } = moved;
  return piece(own.still + `<g transform="translate(${bx} ${by})">${hung.still}</g>`, [...own.moving, ...hung.moving],
      { ...own.anchors, ...rest, tail: barb ?? [bx, by] }, { supplyDeg: 0 });
}
