// Contract of what is typed and sought: numbers refused in words, acts found by any word a nurse would use.
import assert from "node:assert/strict";
import { test } from "node:test";

import { foundActs, GROUP_WORDS, inGroups } from "../../../src/tidalbay/web/static/acts/find-acts.mjs";
import { KEYS, readNumber, typed } from "../../../src/tidalbay/web/static/acts/number-pad.mjs";
import { notRecorded, spokenStates, stepOf, tapped_ms } from "../../../src/tidalbay/web/static/pages/check-off/spoken.mjs";
import { acts, first, kinds } from "./world.mjs";

const flow = { words: "Flow", unit: "L/min", low: 0, high: 15 };
const press = (keys) => keys.split("").reduce((text, key) => typed(text, key === "<" ? "delete" : key), "");

test("keys make the number that was meant", () => {
  assert.equal(press("2.5"), "2.5");
  assert.equal(press("12<5"), "15");
  assert.equal(press(".5"), "0.5");
  assert.equal(press("007"), "7");
  assert.equal(press("1..5"), "1.5");
  assert.equal(KEYS.length, 12);
});

test("a number outside, no number and half a number are refused in words", () => {
  assert.deepEqual(readNumber("2.5", flow), { number: 2.5 });
  assert.deepEqual(readNumber("2,5", flow), { number: 2.5 });
  assert.deepEqual(readNumber("40", flow), { sentence: "Flow: 40 is outside 0 to 15 L/min." });
  assert.deepEqual(readNumber("", flow), { sentence: "Flow: type a number, 0 to 15 L/min." });
  assert.deepEqual(readNumber("two", flow), { sentence: 'Flow: "two" is not a number; type 0 to 15 L/min.' });
  assert.deepEqual(readNumber("1e3", flow), { sentence: 'Flow: "1e3" is not a number; type 0 to 15 L/min.' });
  assert.match(readNumber("91.5", { words: "Entry", unit: "", low: 2, high: 99, whole: true }).sentence, /not whole/);
});

test("acts are found by the words of the bedside", () => {
  const found = (words) => foundActs(kinds, words).map((each) => each.id);
  assert.equal(found("set flow")[0], "flow_set");
  assert.ok(found("SBAR").includes("handoff_given"));
  assert.ok(found("venturi").includes("entrainment_set"));
  assert.ok(found("wristband").includes("identity_checked"));
  assert.deepEqual(found("zzz"), []);
  assert.equal(found("").length, kinds.length);
});

test("every group has words of its own", () => {
  for (const { group } of inGroups(kinds)) assert.ok(GROUP_WORDS[group], group);
});

test("a step is not recorded until somebody speaks, and the newest word stands", () => {
  const mark = (about, state) => ({ kind: "step_state", about, values: { state } });
  const states = spokenStates([mark("hands-before-touch", "missed"), { kind: "note", values: {} }, mark("hands-before-touch", "done")]);
  assert.deepEqual([...states], [["hands-before-touch", "done"]]);
  assert.equal(notRecorded(first.steps, states), first.steps.length - 1);
});

test("a time is printed beside a step once all that shows it was tapped as done", () => {
  const step = first.steps.find((each) => each.id === "flow-before-face");
  const tap = (act, t_ms, more = {}) => ({ act, t_ms, manner: "done", ...more });
  assert.equal(tapped_ms(step, [tap("flow_set", 1000)]), null);
  assert.equal(tapped_ms(step, [tap("flow_set", 1000), tap("gas_proved", 2000)]), 2000);
  assert.equal(tapped_ms(step, [tap("flow_set", 1000), tap("gas_proved", 2000, { manner: "said" })]), null);
  assert.equal(tapped_ms(step, [tap("flow_set", 1000), tap("gas_proved", 2000, { taken_back: true })]), null);
  assert.equal(tapped_ms(first.steps.find((each) => each.taps.length === 0), []), null);
});

test("each of the twelve places but the numbers is about a step", () => {
  for (const place of first.places) {
    const words = [...place.acts.map((each) => each.act), ...Object.values(place.by_supply ?? {}).map((each) => each.act)];
    for (const word of words) assert.ok(acts.has(word));
    assert.ok(stepOf(words, first.steps), place.id);
  }
});
