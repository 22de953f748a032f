// @ts-check
// What is measured, as captions: what, value with unit, two lines that say where from and how old. Pure.

import { feeding, feeds } from "../../draw/scene.mjs";
import { ageWords, clockWords, figure, isNumber, kpa, plain, sentence, spanWords } from "../../lib/words.mjs";

/** @typedef {import("../../lib/store.mjs").Known} Known */
/**
 * @typedef {object} Caption
 * @property {string} id
 * @property {string} name
 * @property {string} value
 * @property {string} unit
 * @property {readonly string[]} lines
 * @property {"usual" | "settling" | "poor" | "stale" | "none"} trust  how far the number can be believed; the lines say it too
 * @property {string} [anchor]  where on the plate it is taken
 * @property {string} [gas]  of a flow, where there are several
 * @property {boolean} [main]  of a flow: whether it is the large one
 */

const DASHES = "\u2013 \u2013";
/** After this long a count is old enough to be said with emphasis; ours. [s] */
const OLD_COUNT_S = 900;

/** @param {Known} known @returns {Caption | null} */
export function saturation({ readings: r, things }) {
  const site = things?.probe?.site, on = site ? plain(site) : "";
  const shown = r.spo2_shown_pct, signal = String(r.oximeter_signal ?? "");
  const base = { id: "saturation", name: "Oxygen saturation", unit: "%", ...(site ? { anchor: site } : {}) };
  if (isNumber(shown)) {
    const trust = signal === "settling" ? "settling" : signal === "poor signal" ? "poor" : "usual";
    const told = { settling: "settling: wait for it", poor: "poor signal: do not trust it", usual: "good trace" }[trust];
    return { ...base, value: figure(shown), lines: [`${on || "probe"}, averaged over`, "some seconds;", told], trust: /** @type {Caption["trust"]} */ (trust) };
  }
  if (isNumber(r.oximeter_last_pct)) {
    const why = signal === "poor signal" ? "poor signal, no number" : "probe off";
    return { ...base, value: DASHES, unit: "", lines: [`${why};`, `last ${figure(r.oximeter_last_pct)} %, ${ageWords(Number(r.oximeter_age_s ?? 0))}`], trust: "stale" };
  }
  return { ...base, value: DASHES, unit: "", lines: [on ? `${on}: ${signal || "nothing shown yet"}` : "no probe on yet"], trust: "none" };
}

/** The pulse as the probe counts it, and the pulse that fingers felt. @param {Known} known @returns {{ value: string, lines: string[] } | null} */
export function pulse({ readings: r }) {
  const felt = isNumber(r.felt_pulse_per_min)
    ? `${figure(r.felt_pulse_per_min)} felt, ${ageWords(Number(r.felt_pulse_age_s ?? 0))}`
    : "not yet felt";
  if (isNumber(r.pulse_shown_per_min)) return { value: figure(r.pulse_shown_per_min), lines: ["by oximeter,", felt] };
  return isNumber(r.felt_pulse_per_min)
    ? { value: figure(r.felt_pulse_per_min), lines: ["pulse felt", ageWords(Number(r.felt_pulse_age_s ?? 0))] }
    : null;
}

/** Breaths a minute, only where somebody counted. @param {Known} known @returns {Caption | null} */
export function counted({ readings: r }) {
  if (!isNumber(r.counted_rate_per_min)) return null;
  const age_s = Number(r.counted_rate_age_s ?? 0);
  return {
    id: "rate", name: "Breaths a minute", value: figure(r.counted_rate_per_min), unit: "",
    lines: [`counted over ${figure(Number(r.counted_rate_seconds ?? 30))} s,`, ageWords(age_s)],
    trust: age_s > OLD_COUNT_S ? "stale" : "usual", anchor: "chest",
  };
}

/** The supply that feeds the patient stands large on the plate; its flow is read there. @param {Known} known */
const atHand = (known) => (known.things ? feeding(known.things) : null);

/**
 * Flows where the role may have them in print; elsewhere the float is read by eye. The first is the one that the patient's
 * device hangs on, oxygen before air; another one that feeds something worn stands beside it, and others are told only
 * while gas goes through them. Where there are several, each says its gas.
 * @param {Known} known @returns {Caption[]}
 */
export function flows(known) {
  const { readings: r, things } = known, first = atHand(known), meters = things?.flowmeters ?? [], fed = new Set(things ? feeds(things).map((f) => f.from) : []);
  const told = meters.flatMap((meter) => {
    const lpm = r[`${meter.id.replaceAll("-", "_")}_shown_lpm`], main = meter.supply === first, worn = main || fed.has(meter.id);
    if (!isNumber(lpm) || (!worn && lpm < 0.05)) return [];
    const flush = meter.flush === true, dial = meter.style === "dial", gas = things?.supplies.find((s) => s.id === meter.supply)?.gas_name;
    return [{
      id: `flow-${meter.id}`, name: worn ? "Flow" : `Flow at the ${plain(meter.id)}`, value: flush ? "above" : figure(lpm, 1), unit: "L/min",
      ...(meters.length > 1 && gas ? { gas: sentence(gas.toLowerCase()).replace(/\.$/, "") } : {}),
      lines: [flush ? "past the end of the scale" : dial ? "as the dial is set" : "at the middle of the ball"],
      trust: /** @type {const} */ ("usual"), ...(worn ? { anchor: `float:${meter.id}` } : {}), main,
    }];
  });
  return told.sort((a, b) => Number(b.main) - Number(a.main) || Number(!a.anchor) - Number(!b.anchor));
}

/** Gauges that show pressure, as their needle stands; both units, since countries differ. @param {Known} known @returns {Caption[]} */
export function gauges(known) {
  const first = atHand(known);
  return (known.things?.supplies ?? []).flatMap((supply) => {
    const { gauge_psi: psi, gauge_bar: bar } = supply, main = supply.id === first;
    if (!isNumber(bar) || (!main && bar < 0.5)) return [];
    return [{
      id: `gauge-${supply.id}`, name: `Gauge of cylinder ${supply.size ?? ""}`.trim(), value: figure(bar), unit: "bar",
      lines: isNumber(psi) ? [`${figure(Math.round(psi / 10) * 10)} psi`] : [], trust: /** @type {const} */ ("usual"),
      ...(main ? { anchor: `gauge:${supply.id}` } : {}),
    }];
  });
}

/**
 * What was measured now and then: pressure, temperature, blood gas, in small.
 * @param {Known} known @returns {{ name: string, value: string, unit: string, line: string }[]}
 */
export function measured(known) {
  const r = known.readings, out = [];
  for (const c of [...gauges(known), ...flows(known)]) if (!c.anchor) out.push({ name: c.name, value: c.value, unit: c.unit, line: c.lines.join(" ") });
  if (isNumber(r.measured_systolic_mmhg)) {
    const low = isNumber(r.measured_diastolic_mmhg) ? figure(r.measured_diastolic_mmhg) : "\u2013";
    out.push({ name: "Blood pressure", value: `${figure(r.measured_systolic_mmhg)}/${low}`, unit: "mmHg", line: `by cuff, ${ageWords(Number(r.blood_pressure_age_s ?? 0))}` });
  }
  if (isNumber(r.measured_temperature_degc)) {
    out.push({ name: "Temperature", value: Number(r.measured_temperature_degc).toFixed(1), unit: "\u00b0C", line: ageWords(Number(r.measured_temperature_age_s ?? 0)) });
  }
  return out;
}

/** Where a sampling line lies, in words. */
const SAMPLED = /** @type {Record<string, string>} */ ({ nose: "at the nose", mask: "in the mask", circuit: "in the breathing circuit" });

/**
 * Carbon dioxide at the end of the breath, as the sampling line finds it; null while no line is on. The region's unit is
 * the large one, the other stands behind it.
 * @param {Known} known @param {"mmHg" | "kPa"} [unit] @returns {{ value: string, unit: string, lines: string[] } | null}
 */
export function endTidal({ readings: r, things }, unit = "mmHg") {
  const site = things?.sampling_line?.site;
  if (!site || r.capnogram === undefined) return null;
  const mmhg = r.end_tidal_co2_shown_mmhg, lines = [SAMPLED[site] ?? plain(site), String(r.capnogram_words ?? "")];
  if (!isNumber(mmhg)) return { value: DASHES, unit: "", lines };
  const both = /** @type {const} */ ({ mmHg: figure(mmhg), kPa: kpa(mmhg) }), behind = unit === "kPa" ? "mmHg" : "kPa";
  return { value: both[unit], unit, lines: [`${both[behind]} ${behind}`, ...lines] };
}

/** The blood gas: when it is due, then what it found. @param {Known} known @returns {{ head: string, rows: [string, string][], words: string } | null} */
export function bloodGas({ readings: r }) {
  if (!isNumber(r.gas_drawn_s)) return null;
  const drawn = `Arterial blood gas, drawn at ${clockWords(r.gas_drawn_s)}`;
  if (isNumber(r.gas_due_in_s)) return { head: drawn, rows: [], words: `The result comes in about ${spanWords(Math.max(10, Math.round(r.gas_due_in_s / 10) * 10))}.` };
  /** @type {[string, string][]} */
  const rows = [];
  /** @param {string} name @param {unknown} v @param {number} places @param {string} unit */
  const row = (name, v, places, unit) => { if (isNumber(v)) rows.push([name, `${v.toFixed(places).replace("-", "\u2212")}${unit && " "}${unit}`]); };
  row("pH", r.gas_ph, 2, "");
  if (isNumber(r.gas_po2_mmhg)) rows.push(["PO2", `${figure(r.gas_po2_mmhg)} mmHg, ${kpa(r.gas_po2_mmhg)} kPa`]);
  if (isNumber(r.gas_pco2_mmhg)) rows.push(["PCO2", `${figure(r.gas_pco2_mmhg)} mmHg, ${kpa(r.gas_pco2_mmhg)} kPa`]);
  row("Bicarbonate", r.gas_bicarbonate_mmol_l, 0, "mmol/L");
  row("Base excess", r.gas_base_excess_mmol_l, 0, "mmol/L");
  row("Haemoglobin", r.gas_haemoglobin_g_dl, 1, "g/dL");
  row("Saturation, worked out", r.gas_saturation_pct, 0, "%");
  row("Oxyhaemoglobin, measured", r.gas_o2hb_pct, 1, "%");
  row("Carboxyhaemoglobin", r.gas_cohb_pct, 1, "%");
  row("Methaemoglobin", r.gas_methb_pct, 1, "%");
  return { head: `${drawn}, ${ageWords(Number(r.gas_age_s ?? 0))}`, rows, words: String(r.gas_words ?? "") };
}
