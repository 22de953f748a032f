// @ts-check
// A device that is at hand and not on the patient, laid out on its own, its straps or tubing loose. 1 unit = 1 mm; about
// the middle of the thing.
import { frame } from "./geometry.mjs";
import { worn } from "./equipment.mjs";
import { posture } from "./posture.mjs";

/**
 * Anchors as of the worn device.
 * @param {import("./piece.mjs").DeviceState} state
 * @returns {import("./piece.mjs").Piece}
 */
export function atHand(state) {
  const size = state.kind.startsWith("infant") ? 0.55 : state.kind.startsWith("child") ? 0.78 : 1;
  // The face it would sit on, without the face: the head's frame put so that the device is about its own middle.
  const frames = { ...posture({ recline_deg: 62 }), head: frame(-100 * size, -42 * size, -8, size) };
  return worn(frames, { ...state, worn: false, snug: "snug" });
}
