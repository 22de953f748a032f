// @ts-check
// What a drawn piece is: the promise between the pieces (patient, devices, supplies) and the plate that composes them.
//
// A piece is drawn once for a state and then only patched: `still` is built when its state changes, `moving` says which
// attributes follow the breath. Nothing here knows the document.

/** @typedef {import("./geometry.mjs").Pt} Pt */
/** @typedef {import("./posture.mjs").Posture} Posture */

/**
 * What changes many times a second.
 * @typedef {object} Live
 * @property {number} air  0..1, share of a large breath now in the chest
 * @property {boolean} breathing_in
 * @property {Readonly<Record<string, number>>} bag  0..1 by device id; a device that is not named here has no news of its bag
 * @property {number} t_s  seconds of the station, for bubbles and mist; stands still with reduced motion
 * @property {Readonly<Record<string, number>>} [gauge]  contents gauges by supply id, in the unit printed on them
 * @property {Readonly<Record<string, number>>} [float]  floats by flowmeter id, 0..1 of the scale
 * @property {Pt} shift  how far the head has moved from where it lies at rest, in world units: worn pieces are carried along
 *   by the plate, only what hangs between two places (a hose) needs it
 */

/**
 * One attribute that follows the breath. In `still` its element carries data-move="<id>"; ids are unique within a piece.
 * @typedef {object} Moving
 * @property {string} id
 * @property {string} attr
 * @property {(live: Live) => string} of
 */

/**
 * @typedef {object} Piece
 * @property {string} still  drawing, as the plate puts it in place
 * @property {readonly Moving[]} moving
 * @property {Readonly<Record<string, Pt>>} anchors  places where something joins or words may point, in the piece's coordinates
 * @property {number} [supplyDeg]  the way a hose leaves `anchors.supply` [degrees: 0 to the right, 90 down]
 * @property {string} [behind]  drawn before the head (what lies on the pillow or behind the ear)
 * @property {string} [inset]  a drawing of its own for an inset of 200 by 200 with its origin in the middle (prongs seen near)
 */

/**
 * A worn device. `still` and `anchors` are in world coordinates at rest (air 0): draw in `frames.head` for what sits on the
 * face, which carries scale for children, in plain world coordinates for what hangs by gravity. In the coordinates of
 * `frames.head` every patient's nostril, lips, bridge of the nose and chin stand where the adult's do (see `landmarks` in
 * posture.mjs); the ear's place differs and is `frames.ear`. Where a hose joins is `anchors.supply`; where words may point,
 * `anchors.words`. A kind that shows in the cut view adds marks of gas itself when `state.cut` is true.
 * @typedef {(frames: Posture, state: DeviceState) => Piece} Worn
 */

/**
 * A device as the station tells it (see `things.devices`), every field but id and kind may be absent.
 * @typedef {object} DeviceState
 * @property {string} id
 * @property {string} kind
 * @property {boolean} [worn]
 * @property {"loose" | "snug" | "tight"} [snug]
 * @property {"down" | "up" | "one_out" | "below" | "cheek"} [prongs]
 * @property {number} [port_discs]
 * @property {boolean} [bag_valve]
 * @property {boolean} [bag_twisted]
 * @property {boolean} [clip_pinched]
 * @property {number} [entrainment_pct]
 * @property {number} [ports_covered_frac]
 * @property {number} [oxygen_share_pct]
 * @property {string} [joined_to]  the device in whose wide tubing an in-line nebuliser is
 * @property {string} [joined_kind]  and what that is
 * @property {boolean} [joined_worn]  and whether that is on the patient
 * @property {boolean} [cup_in_line]  a nebuliser's cup is in its tubing
 * @property {boolean} [misting]
 * @property {boolean} [sputtering]
 * @property {number} [cup_ml]
 * @property {readonly string[]} [padded]  skin sites with padding
 * @property {boolean} [hisses]  gas is heard to escape at its connector
 * @property {boolean} [squeezed]  a bag-valve-mask: hands squeeze it with each breath
 * @property {boolean} [cut]  drawn in the cut view
 * @property {GasShares} [gas]  cut view: what the device holds or gives
 */

/**
 * Shares of the three gases in one place, on any scale.
 * @typedef {object} GasShares
 * @property {number} [supplied]
 * @property {number} [room]
 * @property {number} [expired]
 */

/**
 * A supply as the station tells it (see `things.supplies`), drawn from the front in its own coordinates: an outlet's socket, a cylinder's base or a concentrator's base in
 * the middle is 0,0. `anchors.socket` is where a flowmeter plugs in, `anchors.barb` where tubing joins one that has its own dial.
 * @typedef {(state: SupplyState) => Piece} Supply
 */

/**
 * @typedef {object} SupplyState
 * @property {string} id
 * @property {string} kind
 * @property {string} gas_name
 * @property {string} [size]
 * @property {number} [gauge_frac]
 * @property {number} [gauge_psi]
 * @property {number} [gauge_bar]
 * @property {boolean} [valve_open]
 * @property {boolean} [secured]
 * @property {boolean} [regulator]
 * @property {boolean} [switched_on]
 * @property {readonly string[] | boolean} [alarms]
 * @property {boolean} [hisses]  gas is heard to escape at its valve
 * @property {boolean} [used]  a flowmeter is plugged in
 */

/**
 * A flowmeter, with its humidifier if it has one; its plug, where it sits in a supply's socket, is 0,0. `anchors.tail` is
 * where tubing joins, `anchors.base` where a humidifier screws on, `anchors.float` the middle of the float.
 * @typedef {(state: FlowmeterState) => Piece} Flowmeter
 */

/**
 * @typedef {object} FlowmeterState
 * @property {string} id
 * @property {string} supply
 * @property {"float" | "dial"} style
 * @property {string} [gas_name]  of the supply, set by the plate
 * @property {number} max_lpm
 * @property {number} float_frac
 * @property {number} [set_frac]
 * @property {boolean} [flush]
 * @property {boolean} [humidified]
 * @property {"to_the_line" | "low" | "none" | null} [water]  in the humidifier
 * @property {boolean} [bubbling]
 * @property {boolean} [whistles]
 * @property {boolean} [hisses]  gas is heard to escape: no tubing is on it, or the humidifier's lid is loose
 * @property {number} [high_flow_share_pct]  what the blender of the high-flow set it feeds says; set by the plate
 */

/**
 * Tubing, in the plate's coordinates, as one continuous line. `route(shift)` gives the points from the outlet to the face
 * for a head moved by `shift`; its end nearest the face moves, so the paths' `d` are `moving`. A tube with no `to` ends open,
 * one with no `from` starts open: both ends show their open lumen.
 * @typedef {(route: (shift: Pt) => Pt[], state: TubeState) => Piece} Tubing
 */

/**
 * @typedef {object} TubeState
 * @property {string} id
 * @property {string | null} from
 * @property {string | null} to
 * @property {boolean} [kinked]
 * @property {number} [wet_frac]
 * @property {boolean} [gurgles]
 * @property {boolean} [hisses]
 * @property {boolean} [carries]  cut view: draw the supplied gas moving inside
 */

/** Marks an element as moving, within the text of `still`. @param {string} id */
export const moves = (id) => `data-move="${id}"`;

/** @param {string} still @param {readonly Moving[]} moving @param {Readonly<Record<string, Pt>>} anchors @param {Partial<Piece>} [more] @returns {Piece} */
export const piece = (still, moving, anchors, more = {}) => ({ ...more, still, moving, anchors });
