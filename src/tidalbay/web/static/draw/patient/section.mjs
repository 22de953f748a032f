// @ts-check
import { piece } from "../piece.mjs";
/** @param {import("../posture.mjs").Posture} f @param {import("../scene.mjs").GasPlaces} gas */
export const section = (f, gas) => piece(f && gas ? "" : "", [], {});
