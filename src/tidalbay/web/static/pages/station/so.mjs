// @ts-check
// What is so: the numbers behind the patient, the breath's ledger, and sentences that follow from them. Pure.

import { figure, isNumber, kpa } from "../../lib/words.mjs";

/** @typedef {import("../../lib/store.mjs").Known} Known */
/** @typedef {{ name: string, value: string, unit: string, line: string }} Fact */
/** @typedef {"supplied" | "room" | "expired"} Gas */
/** @typedef {{ words: string, ml: number, gas: Gas }} LedgerRow */
/** @typedef {{ t_s: number, rate_per_min: number, stored_share: number, expired_share: number }} Past */

/** Numbers of the truth, wherever the message carries them. @param {Known} known @returns {Record<string, any>} */
export const truthOf = (known) => ({ ...known.readings, ...(known.truth?.readings ?? {}) });

/** @param {Known} known @returns {Fact[]} */
export function facts(known) {
  const t = truthOf(known), out = /** @type {Fact[]} */ ([]);
  const shown = known.readings.spo2_shown_pct;
  if (isNumber(t.sao2_pct)) {
    const line = isNumber(shown) ? `the screen shows ${figure(shown)} %` : "the screen shows no number";
    out.push({ name: "Arterial saturation", value: figure(t.sao2_pct, 1), unit: "%", line });
  }
  if (isNumber(t.pao2_mmhg)) out.push({ name: "PaO2", value: figure(t.pao2_mmhg), unit: "mmHg", line: `${kpa(t.pao2_mmhg)} kPa` });
  if (isNumber(t.paco2_mmhg)) {
    const ph = isNumber(t.ph) ? `, pH ${t.ph.toFixed(2)}` : "";
    out.push({ name: "PaCO2", value: figure(t.paco2_mmhg), unit: "mmHg", line: `${kpa(t.paco2_mmhg)} kPa${ph}` });
  }
  const fio2 = known.truth?.ledger_ml?.fio2_frac ?? t.fio2_frac;
  if (isNumber(fio2)) out.push({ name: "Inspired oxygen", value: figure(100 * fio2, 1), unit: "%", line: "the last whole breath" });
  if (isNumber(t.shunt_frac)) out.push({ name: "Shunt", value: figure(100 * t.shunt_frac), unit: "%", line: "of blood passes lung without gas" });
  if (isNumber(t.rate_per_min)) {
    const tidal = isNumber(t.tidal_ml) ? `${figure(t.tidal_ml)} mL a breath` : "";
    out.push({ name: "Breathing", value: figure(t.rate_per_min), unit: "a minute", line: tidal });
  }
  if (isNumber(t.effort_index_frac)) {
    const tired = isNumber(t.fatigue_frac) ? `, muscles ${figure(100 * t.fatigue_frac)} % spent` : "";
    out.push({ name: "Effort index", value: figure(t.effort_index_frac, 3), unit: "", line: `0.15 tires${tired}` });
  }
  if (isNumber(t.alertness_frac)) out.push({ name: "Alertness", value: figure(100 * t.alertness_frac), unit: "%", line: alertWords(t.alertness_frac, t.confusion_frac) });
  return out;
}

/** @param {number} alert @param {unknown} confused  cuts as the table of findings has them */
function alertWords(alert, confused) {
  if (alert < 0.25) return "does not answer";
  if (alert < 0.5) return "answers to a firm squeeze";
  if (alert < 0.8) return "drowsy";
  return isNumber(confused) && confused >= 0.5 ? "awake and muddled" : "awake";
}

/** The last whole breath by origin, as the gas comes; on the wall of a demonstration it is among the readings. @param {Known} known @returns {LedgerRow[]} */
export function ledger(known) {
  const l = /** @type {Record<string, any>} */ (known.truth?.ledger_ml ?? known.readings);
  /** @type {[string, string, Gas][]} */
  const rows = [
    ["supplied_ml", "straight from the supply", "supplied"],
    ["nose_and_throat_ml", "from the nose and throat, filled in the pause", "supplied"],
    ["mask_ml", "from the mask", "supplied"],
    ["bag_ml", "from the bag", "supplied"],
    ["room_ml", "room air", "room"],
    ["expired_ml", "own expired gas, breathed again", "expired"],
  ];
  return rows.flatMap(([name, words, gas]) => (isNumber(l[name]) && l[name] >= 0.5 ? [{ words, ml: l[name], gas }] : []));
}

/**
 * Shares for the cut view: the last whole breath by origin, in every place it went. What was in the lung before is not told
 * and not drawn.
 * @param {Known} known
 */
export function gasShares(known) {
  const sum = { supplied: 0, room: 0, expired: 0 };
  for (const row of ledger(known)) sum[row.gas] += row.ml;
  const total = sum.supplied + sum.room + sum.expired;
  if (!total) return undefined;
  // Twentieths: a change that nobody sees builds no new picture.
  const share = (/** @type {number} */ ml) => Math.round((20 * ml) / total) / 20;
  const mix = { supplied: share(sum.supplied), room: share(sum.room), expired: share(sum.expired) };
  return { nose: mix, throat: mix, mouth: mix, windpipe: mix, lung: mix };
}

/** How far back a comparison looks, and how old what it finds may be. [s] */
const BACK_S = 120, KEPT_S = 600;

/** What is remembered of earlier breaths, for comparing; a jump of time back forgets. @param {readonly Past[]} past @param {Known} known @returns {Past[]} */
export function remember(past, known) {
  const t = truthOf(known), l = known.truth?.ledger_ml, t_s = (known.clock?.t_ms ?? 0) / 1000;
  if (!l || !isNumber(l.inspired_ml) || l.inspired_ml <= 0 || !isNumber(t.rate_per_min)) return [...past];
  const last = past[past.length - 1];
  if (last && t_s < last.t_s) return [];
  if (last && t_s - last.t_s < 5) return [...past];
  const now = { t_s, rate_per_min: t.rate_per_min, stored_share: (l.nose_and_throat_ml ?? 0) / l.inspired_ml, expired_share: (l.expired_ml ?? 0) / l.inspired_ml };
  return [...past.filter((p) => t_s - p.t_s < KEPT_S), now];
}

/** Sentences that follow from the numbers; nothing is said that they do not show. @param {Known} known @param {readonly Past[]} past @returns {string[]} */
export function because(known, past) {
  const t = truthOf(known), out = [], l = known.truth?.ledger_ml ?? {}, r = known.readings;
  if (isNumber(t.sao2_pct) && isNumber(r.spo2_shown_pct) && Math.abs(t.sao2_pct - r.spo2_shown_pct) >= 3) {
    const way = r.spo2_shown_pct > t.sao2_pct ? "above" : "below";
    out.push(`The screen stands ${figure(Math.abs(t.sao2_pct - r.spo2_shown_pct))} points ${way} the blood: it is late, or misled.`);
  }
  for (const meter of known.things?.flowmeters ?? []) {
    const shown = r[`${meter.id.replaceAll("-", "_")}_shown_lpm`], real = t[`${meter.id.replaceAll("-", "_")}_flow_lpm`];
    if (isNumber(shown) && isNumber(real) && Math.abs(shown - real) >= 0.5) {
      out.push(`The flowmeter shows ${figure(shown, 1)} L/min; ${figure(real, 1)} L/min flow.`);
    }
  }
  const now = past[past.length - 1];
  const then = now && [...past].reverse().find((p) => now.t_s - p.t_s >= BACK_S);
  if (now && then && now.rate_per_min - then.rate_per_min >= 3 && then.stored_share - now.stored_share >= 0.01) {
    out.push(`At ${figure(now.rate_per_min)} a minute the pause is shorter than at ${figure(then.rate_per_min)}: nose and throat gave ` +
      `${figure(100 * then.stored_share)} % of a breath then and ${figure(100 * now.stored_share)} % now.`);
  }
  if (now && then && now.expired_share - then.expired_share >= 0.05) {
    out.push(`More of each breath is the patient's own expired gas: ${figure(100 * then.expired_share)} % then, ${figure(100 * now.expired_share)} % now.`);
  }
  if (isNumber(l.inspired_ml) && l.inspired_ml > 0) {
    const bag = Object.entries(known.breath?.bag_pct ?? {}).find(([id]) => known.things?.devices.some((d) => d.id === id && d.worn));
    if (bag && Math.min(...bag[1]) < 8 && isNumber(l.room_ml) && l.room_ml / l.inspired_ml > 0.1) {
      out.push(`The bag runs empty within the breath; ${figure(l.room_ml)} mL of room air come in beside it.`);
    }
  }
  if (isNumber(t.shunt_frac) && t.shunt_frac >= 0.25) {
    out.push(`${figure(100 * t.shunt_frac)} % of the blood meets no gas: more oxygen helps little until the lung opens.`);
  }
  return [...out, ...(known.truth?.warnings ?? [])];
}

/**
 * The early-warning score as if a full set had been taken now; which scale, which sign gives how much, and what it asks for.
 * @param {Known} known @returns {{ head: string, why: string, rows: { what: string, found: string, points: number }[], words: string, credit: string } | null}
 */
export function score(known) {
  const s = known.truth?.early_warning;
  if (!s) return null;
  const target = known.case?.order?.target_spo2_pct, ordered = Array.isArray(target) ? `${figure(target[0])} to ${figure(target[1])} % is ordered` : "no range is ordered";
  const why = `Oxygen scale ${s.early_warning_scale}, as ${ordered}. Points from the signs as they stand, the saturation as shown; what somebody charted is theirs.`;
  if (s.early_warning_refused) return { head: "NEWS2: no score", why, rows: [], words: String(s.early_warning_refused), credit: String(s.early_warning_credit) };
  const rows = /** @type {[string, string, number][]} */ (s.early_warning_parts).map(([what, found, points]) => ({ what, found, points }));
  return { head: `NEWS2 ${s.early_warning_score}`, why, rows, words: String(s.early_warning_words).replace(/^\d+ by oxygen scale \d\. /, ""), credit: String(s.early_warning_credit) };
}

/** How the oximeter's number is made, for whoever reads it as if it were now. @param {Known} known */
export function lagWords(known) {
  const o = known.truth?.oximeter;
  if (!o || !isNumber(o.averaged_s) || !isNumber(o.late_s)) return "";
  const from = o.site === "ear" ? "the ear" : `the ${o.site}`;
  return `an average over ${figure(o.averaged_s)} s, from ${from}, about ${figure(o.late_s)} s late`;
}
