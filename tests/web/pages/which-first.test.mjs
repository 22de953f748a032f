// Contract of "which came first?": asked once, only where order matters and the taps lie inside tap error.
import assert from "node:assert/strict";
import { test } from "node:test";

import { answer, justBefore_ms, keyOf, matters, questions } from "../../../src/tidalbay/web/static/pages/check-off/which-first.mjs";
import { first } from "./world.mjs";

const rule = first.which_first;
const entry = (n, t_s, act, more = {}) => ({ n, t_ms: t_s * 1000, act, manner: "done", sentence: act, ...more });
const pairs = (entries) => questions(entries, rule).map((each) => keyOf(each.first.n, each.second.n));

test("flow and face ten seconds apart are asked about, sixteen apart are not", () => {
  assert.deepEqual(pairs([entry(5, 60, "flow_set"), entry(6, 70, "device_placed")]), ["5-6"]);
  assert.deepEqual(pairs([entry(5, 60, "flow_set"), entry(6, 76, "device_placed")]), []);
  assert.deepEqual(pairs([entry(5, 60, "flow_set"), entry(6, 75, "device_placed")]), [], "fifteen seconds is outside");
});

test("the other way round is asked about just as well", () => {
  assert.deepEqual(pairs([entry(5, 60, "device_placed"), entry(6, 63, "gas_proved")]), ["5-6"]);
});

test("what was only said, and what was taken back, raises no question", () => {
  assert.deepEqual(pairs([entry(5, 60, "flow_set", { manner: "said" }), entry(6, 62, "device_placed")]), []);
  assert.deepEqual(pairs([entry(5, 60, "flow_set", { taken_back: true }), entry(6, 62, "device_placed")]), []);
});

test("clean hands are asked about against the first touch alone", () => {
  const log = [entry(3, 30, "positioned"), entry(4, 35, "hands_cleaned"), entry(5, 41, "device_placed")];
  assert.deepEqual(pairs(log), ["3-4"]);
});

test("a tap that was said to be earlier counts from when it was seen", () => {
  assert.deepEqual(pairs([entry(5, 60, "flow_set", { seen_at_ms: 20000 }), entry(6, 62, "device_placed")]), []);
});

test("an answer names both entries, the first one first", () => {
  assert.deepEqual(answer(entry(6, 0, "a"), entry(5, 0, "b")), { kind: "which_first", values: { first: 6, second: 5 } });
  assert.ok(matters("device_placed", "flow_set", rule));
  assert.ok(!matters("order_read", "help_called", rule));
});

test("just before that is two seconds before the newest deed, and never before the start", () => {
  const log = [entry(5, 60, "device_placed"), entry(6, 61, "taken_back")];
  assert.equal(justBefore_ms(log, 64000), 58000);
  assert.equal(justBefore_ms([entry(2, 1, "order_read")], 3000), 0);
  assert.equal(justBefore_ms([], 30000), 25000);
  assert.equal(justBefore_ms([entry(2, 10, "order_read")], 200000), 195000, "an old act is no anchor");
});
