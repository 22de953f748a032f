import assert from "node:assert/strict";
import test from "node:test";
import { entryRows, peopleWords } from "../../../src/tidalbay/web/static/pages/station/entries.mjs";
import { canGo, faultActs, grouped, simplySo, struck, thrown, waitsFor } from "../../../src/tidalbay/web/static/pages/station/making.mjs";
import { because, facts, gasShares, lagWords, ledger, remember, score } from "../../../src/tidalbay/web/static/pages/station/so.mjs";
import { controls } from "../../../src/tidalbay/web/static/pages/station/times.mjs";
import { nothingKnown } from "../../../src/tidalbay/web/static/lib/store.mjs";

const known = (readings, ledger_ml, more = {}) => ({ ...nothingKnown(), clock: { t_ms: 0, times: 1, state: "running" }, truth: { readings, ledger_ml }, ...more });
const cause = (id, more = {}) => ({ id, strikes: "equipment", type: "yes_no", unit: "", low: null, high: null, choices: [], numbers: [], on: ["tube"], sentence: "the tubing kinked", ...more });

test("the ledger keeps every millilitre under its own name, and the drawing its share", () => {
  const k = known({}, { inspired_ml: 500, supplied_ml: 100, nose_and_throat_ml: 25, mask_ml: 0, bag_ml: 0, room_ml: 325, expired_ml: 50 });

  assert.deepEqual(ledger(k).map((r) => [r.ml, r.gas]), [[100, "supplied"], [25, "supplied"], [325, "room"], [50, "expired"]]);
  assert.deepEqual(gasShares(k).windpipe, { supplied: 0.25, room: 0.65, expired: 0.1 });
  assert.equal(gasShares(known({}, {})), undefined);
});

test("facts carry both units and what the screen shows beside the blood", () => {
  const k = known({ sao2_pct: 89.6, pao2_mmhg: 60, paco2_mmhg: 40, ph: 7.4 }, {}, { readings: { spo2_shown_pct: 91 } });

  assert.deepEqual(facts(k).map((f) => [f.name, f.value, f.line]), [
    ["Arterial saturation", "89.6", "the screen shows 91 %"], ["PaO2", "60", "8 kPa"], ["PaCO2", "40", "5.3 kPa, pH 7.40"],
  ]);
});

test("a shorter pause is named only when rate rose and the stored gas fell", () => {
  const at = (t_s, rate, stored, past) => {
    const k = known({ rate_per_min: rate }, { inspired_ml: 500, nose_and_throat_ml: stored, expired_ml: 50, fio2_frac: 0.3 }, { clock: { t_ms: 1000 * t_s, times: 1, state: "running" } });
    return [k, remember(past, k)];
  };
  const [, first] = at(100, 20, 50, []);
  const [faster, then] = at(300, 28, 20, first);
  const [same] = at(300, 21, 50, first);

  assert.deepEqual(because(faster, then), ["At 28 a minute the pause is shorter than at 20: nose and throat gave 10 % of a breath then and 4 % now."]);
  assert.deepEqual(because(same, remember(first, same)), []);
});

test("a jump back forgets, and nothing is said of a past that was not", () => {
  const k = (t_ms) => known({ rate_per_min: 20 }, { inspired_ml: 500 }, { clock: { t_ms, times: 1, state: "running" } });
  const past = remember(remember([], k(100_000)), k(200_000));

  assert.equal(past.length, 2);
  assert.deepEqual(remember(past, k(50_000)), []);
});

test("a flow that does not arrive is said", () => {
  const k = known({ flowmeter_flow_lpm: 3 }, {}, { readings: { flowmeter_shown_lpm: 6 }, things: { supplies: [], flowmeters: [{ id: "flowmeter", supply: "o" }], tubes: [], devices: [] } });

  assert.deepEqual(because(k, []), ["The flowmeter shows 6 L/min; 3 L/min flow."]);
});

test("an assessment has no pace, no step and no way back; a demonstration has them all", () => {
  const offered = (state, mode, t_ms = 100_000, picked = null) => controls({ state, mode }, t_ms, picked).map((c) => c.id);

  assert.deepEqual(offered("running", "summative"), ["pause", "five"]);
  assert.deepEqual(offered("paused", "summative"), ["go", "five"]);
  assert.deepEqual(offered("paused", "demonstration"), ["go", "step", "five", "hours", "back", "branch"]);
  assert.deepEqual(offered("running", "formative", 100_000, 60_000), ["pause", "five", "hours", "back-to", "branch"]);
  assert.deepEqual(offered("ended", "demonstration"), []);
  assert.deepEqual(controls({ state: "paused", mode: "practice" }, 100_000, 60_000.4).find((c) => c.id === "back-to").body, { do: "back", to_ms: 60_000 });
});

test("what can go wrong is found by any of its words and stands under what it strikes", () => {
  const causes = [cause("tube_kinked"), cause("valve_shut", { on: ["cylinder"] }), cause("pain", { strikes: "patient", on: [], type: "number" })];
  const faults = [["kinks", "tube_kinked", "the float sinks"], ["shut", "valve_shut", "no gas is felt"], ["hurts", "pain", "ask for a number"]].map(([id, c, cue]) => ({ id, title: id, cue, answer: "", throws: [{ cause: c }] }));
  const found = (words) => grouped(faults, (f) => causes.find((c) => c.id === f.throws[0].cause), (f) => `${f.title} ${f.cue}`, words);

  assert.deepEqual(found("").map((g) => g.title), ["Tubing", "Flowmeter and supply", "Patient"]);
  assert.deepEqual(found("gas shut").flatMap((g) => g.those.map((f) => f.id)), ["shut"]);
  assert.deepEqual(found("tubing").flatMap((g) => g.those.map((f) => f.id)), ["kinks"]);
  assert.deepEqual(found("nothing like it"), []);
});

test("a fault of two causes is two acts, each with its value, on the part that was chosen", () => {
  const fault = { id: "x", title: "", cue: "", answer: "", throws: [{ cause: "a", value: 18 }, { cause: "b" }] };

  assert.deepEqual(faultActs(fault, { on: "t2" }), [{ act: "cause_thrown", on: "t2", values: { cause: "a", value: 18 } }, { act: "cause_thrown", on: "t2", values: { cause: "b" } }]);
  assert.deepEqual(faultActs(fault, { gone: true }).map((a) => a.values), [{ cause: "a", gone: true }, { cause: "b", gone: true }]);
});

test("a cause strikes what is there; a thrown one says what, on which, how much, or that it is gone", () => {
  const things = { supplies: [{ id: "e", kind: "cylinder" }], flowmeters: [], tubes: [{ id: "t1" }, { id: "t2" }], devices: [] };
  const pain = cause("pain", { strikes: "patient", on: [], type: "number" }), prongs = cause("prongs_out", { type: "choice", choices: ["below"] });

  assert.deepEqual(struck(cause("x"), things).map((p) => p.id), ["t1", "t2"]);
  assert.deepEqual(thrown(cause("tube_kinked"), { on: "t2" }), { act: "cause_thrown", on: "t2", values: { cause: "tube_kinked" } });
  assert.deepEqual(thrown(cause("tube_kinked"), { on: "t2", gone: true }), { act: "cause_thrown", on: "t2", values: { cause: "tube_kinked", gone: true } });
  assert.deepEqual(thrown(pain, { value: "7" }).values, { cause: "pain", value: 7 });
  assert.deepEqual(thrown(prongs, { value: "below" }).values, { cause: "prongs_out", value: "below" });
  assert.deepEqual([simplySo(cause("x")), canGo(cause("x")), canGo(pain)], [true, true, false]);
});

test("what an event waits for is said", () => {
  assert.equal(waitsFor({ event: "a", at_s: 600, waits_for_acts: [] }), "waits for time to reach 10:00");
  assert.equal(waitsFor({ event: "b", waits_for_acts: ["medicine_given"], then_after_s: 120 }), "waits for medicine given, then 120 s");
  assert.equal(waitsFor({ event: "c", waits_for_acts: [], by_hand: true }), "happens only when you say so");
});

test("entries stand newest first; what was taken back stays and cannot be taken back twice", () => {
  const rows = entryRows([
    { n: 1, t_ms: 0, act: "attempt_started", sentence: "started the attempt", by: "station" },
    { n: 2, t_ms: 61_000, act: "flow_set", sentence: "set the flow to 7 L/min", by: "checker", hands: "learner", manner: "said", taken_back: true },
    { n: 3, t_ms: 65_000, act: "agreed", sentence: "agreed", by: "checker", hands: "checker", manner: "done" },
  ]);

  assert.deepEqual(rows.map((r) => [r.n, r.can, r.back]), [[3, true, false], [2, false, true], [1, false, false]]);
  assert.deepEqual([rows[1].words, rows[1].who, rows[1].at], ["Set the flow to 7 L/min (said)", "learner, tapped by checker", "01:01"]);
  assert.equal(entryRows([{ n: 1, t_ms: 0, act: "attempt_started", sentence: "started the attempt", by: "p-1f" }])[0].who, "for a learner");
  assert.equal(peopleWords([{ role: "learner" }, { role: "learner" }, { role: "checker" }]), "2 learners, 1 checker");
});

test("the score says its number, its scale and why, and which signs count", () => {
  const early_warning = {
    early_warning_score: 5, early_warning_scale: 2, early_warning_parts: [["respiration rate", "22 /min", 2], ["pulse", "88 /min", 0]],
    early_warning_words: "5 by oxygen scale 2. Urgent.", early_warning_credit: "The publisher.",
  };
  const k = { ...nothingKnown(), truth: { readings: {}, early_warning }, case: { order: { target_spo2_pct: [88, 92] } } };

  assert.deepEqual([score(k).head, score(k).words, score(k).credit], ["NEWS2 5", "Urgent.", "The publisher."]);
  assert.match(score(k).why, /^Oxygen scale 2, as 88 to 92 % is ordered\./);
  assert.deepEqual(score(k).rows.map((r) => r.points), [2, 0]);
  const none = { ...k, truth: { readings: {}, early_warning: { early_warning_scale: 1, early_warning_refused: "For people of 16 and over.", early_warning_credit: "" } } };
  assert.deepEqual([score(none).head, score(none).rows, score(none).words], ["NEWS2: no score", [], "For people of 16 and over."]);
  assert.equal(score(nothingKnown()), null);
});

test("how the oximeter's number is made is told from what the station says, and nothing where it says nothing", () => {
  const k = { ...nothingKnown(), truth: { readings: {}, oximeter: { site: "finger", averaged_s: 8, late_s: 25 } } };

  assert.equal(lagWords(k), "an average over 8 s, from the finger, about 25 s late");
  assert.equal(lagWords({ ...nothingKnown(), truth: { readings: {}, oximeter: null } }), "");
});
