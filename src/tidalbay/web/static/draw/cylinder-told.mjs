// @ts-check
// From what the station tells of a cylinder to what its drawing depends on: how it is built, and its gauge.
import { scaleEnd } from "./gauge.mjs";

/** @typedef {import("./piece.mjs").SupplyState} SupplyState */

/**
 * Sizes whose bottle is drawn small or tall, whose regulator is one piece with the valve, and those marked in
 * bar; by the
 * letters of catalogue/cylinders.yaml. The rest is drawn middling, with a loose regulator, and read in psi.
 */
const SMALL = /^(US-|UK-)?(C|D|CD)$/, TALL = /^(US-|UK-)?(G|H|K|H\/K|M|J)$/, ONE_PIECE = /^(UK-)?(CD|HX|ZX)$/,
    IN_BAR = /^UK-|^(CD|HX|ZX|J)$/;
/** Where the scale of a gauge ends that is filled to 137, 230 and 300 bar; common practice, no source. */
const SCALE_BAR = { ordinary: 200, CD: 300, HX: 300, ZX: 400 };
const SCALE_PSI = 3000;

/**
 * What the gauge shows. Both units may be told; the face is printed in one. Its scale belongs to the bottle and
 * stays while the
 * bottle empties.
 * @param {SupplyState} s @returns {{ unit: "bar" | "psi", highest: number, reading: number }}
 */
export function reading(s) {
  const size = s.size ?? "", hasBar = s.gauge_bar !== undefined, hasPsi = s.gauge_psi !== undefined;
  const unit = hasBar && hasPsi ? (IN_BAR.test(size) ? "bar" : "psi") : hasPsi ? "psi" : hasBar || IN_BAR.test(size)
      ? "bar" : "psi";
  const told = unit === "bar" ? s.gauge_bar : s.gauge_psi;
  const own = unit === "psi" ? SCALE_PSI : SCALE_BAR[/** @type {keyof typeof SCALE_BAR} */ (size.replace("UK-",
      ""))] ?? SCALE_BAR.ordinary;
  const highest = (told ?? 0) > own ? scaleEnd(told ?? 0, unit) : own;
  return { unit, highest, reading: told ?? (s.gauge_frac ?? 0) * highest };
}

/** @param {SupplyState} s @returns {import("./cylinder.mjs").CylinderState} */
export function cylinderOf(s) {
  const size = s.size ?? "";
  return {
    id: s.id, gas: s.gas_name, size: size.replace(/^(US|UK)-/, ""),
      build: SMALL.test(size) ? "small" : TALL.test(size) ? "large" : "middle",
    regulator: !s.regulator ? "none" : ONE_PIECE.test(size) ? "built_in" : "clamped",
    open: s.valve_open ?? false, secured: s.secured ?? false, hisses: s.hisses ?? false, ...reading(s),
  };
}
