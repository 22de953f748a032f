import assert from "node:assert/strict";
import test from "node:test";
import { bagWords, flagsOf, newsWords, plateWords, said, seenAndHeard, stateWords, stoppedKindly, whoWords } from "../../../src/tidalbay/web/static/pages/bedside/telling.mjs";
import { nothingKnown } from "../../../src/tidalbay/web/static/lib/store.mjs";

const THINGS = {
  supplies: [{ id: "outlet", kind: "wall_oxygen", gas_name: "OXYGEN" }], flowmeters: [{ id: "flowmeter", supply: "outlet" }],
  tubes: [{ id: "t", from: "flowmeter", to: "mask", kinked: true }], devices: [{ id: "mask", kind: "non_rebreathing_mask", worn: true, snug: "loose" }],
};
const known = (more) => ({ ...nothingKnown(), clock: { t_ms: 500_000, times: 1, state: "running" }, things: THINGS, ...more });
const found = (what, words, at_s) => ({ what, words, since_s: 0, ...(at_s === undefined ? {} : { at_s }) });

test("what is seen comes in a nurse's order, what hands found with its age, what is said last and quoted", () => {
  const k = known({ findings: [found("chest_sounds", "wheeze over both sides", 380), found("colour", "lips are dusky"), found("effort", "breathes quietly"), found("says", "\u201cI'm cold.\u201d")] });

  assert.deepEqual(seenAndHeard(k), ["Breathes quietly.", "Lips are dusky.", "Wheeze over both sides, found 2 minutes ago."]);
  assert.equal(said(k), "\u201cI'm cold.\u201d");
  assert.equal(said(known({ findings: [found("says", "says nothing")] })), "");
});

test("a bag that runs short is told, a full one is not, nor one that lies on the bed", () => {
  const bag = (pct, devices = THINGS.devices) => bagWords(known({ breath: { bag_pct: { mask: pct } }, things: { ...THINGS, devices } }));

  assert.deepEqual(bag([100, 80, 100]), []);
  assert.deepEqual(bag([90, 20, 90]), ["The bag sinks below a third with the breath in."]);
  assert.deepEqual(bag([60, 2, 60]), ["The bag empties with the breath in."]);
  assert.deepEqual(bag([3, 0, 2]), ["The bag hangs empty."]);
  assert.deepEqual(bag([3, 0, 2], [{ id: "mask", worn: false }]), []);
});

test("the plate in words says what is worn, how, and where its tube leads", () => {
  const words = plateWords(known({ case: { patient: { name: "Mr T. Oakley", age_years: 58, bed: "bay 2, bed 5" } }, look: { posture: "propped", recline_deg: 30 } }));

  assert.equal(words.title, "Mr T. Oakley, 58, bay 2, bed 5, in bed");
  assert.equal(words.text, "Propped, head of the bed at 30 degrees. Wears a non-rebreathing mask (loose). Tubing runs from the OXYGEN flowmeter to the non-rebreathing mask; it is kinked.");
});

test("an infant's age is in months", () => {
  assert.equal(whoWords({ name: "Baby L.", age_years: 0.5, bed: "cot 1" }), "Baby L., 6 months, cot 1");
});

test("only what is new is announced, and nothing on arrival", () => {
  const before = known({ findings: [found("effort", "breathes quietly")], readings: { oximeter_signal: "good trace" } });
  const after = known({ findings: [found("effort", "leans forward")], readings: { oximeter_signal: "poor signal" } });

  assert.equal(newsWords(after, before), "Leans forward. Oximeter: poor signal.");
  assert.equal(newsWords(before, before), "");
  assert.equal(newsWords(after, known({})), "");
});

test("flags are acts of care that still stand", () => {
  const e = (n, act, sentence, more = {}) => ({ n, t_ms: n * 1000, act, sentence, manner: "done", ...more });
  const flags = flagsOf(known({ entries: [e(1, "attempt_started", "started"), e(2, "flow_set", "set the flow to 4 L/min"), e(3, "flow_set", "x", { taken_back: true }), e(4, "paused", "y"), e(5, "agreed", "agreed", { manner: "said" })] }));

  assert.deepEqual(flags.map((f) => f.label), ["Set the flow to 4 L/min", "Agreed (said)"]);
});

test("time that stands still, runs fast or has ended is said", () => {
  const state = (s, times = 1) => stateWords(known({ clock: { t_ms: 500_000, times, state: s } }));

  assert.equal(state("running"), "");
  assert.equal(state("running", 10), "Time runs 10 times as fast.");
  assert.equal(state("paused"), "Time stands still, at 08:20.");
  assert.equal(state("ended"), "The attempt has ended, at 08:20.");
});

test("a kind stop is what the station says it is", () => {
  assert.equal(stoppedKindly(known({ station: { state: "paused", stopped_kindly: true } })), true);
  assert.equal(stoppedKindly(known({ station: { state: "paused", stopped_kindly: false } })), false);
  assert.equal(stoppedKindly(known({})), false);
});
