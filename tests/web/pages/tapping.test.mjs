// Contract of one tap: its acts go together, in the manner held, as one finger's landing, and come back together.
import assert from "node:assert/strict";
import { test } from "node:test";

import { tapping, TWICE_MS } from "../../../src/tidalbay/web/static/pages/check-off/tapping.mjs";
import { first } from "./world.mjs";

/** A checker's hand over a queue that only writes down. */
function bench(entries = []) {
  const said = [];
  let count = 0, now = 10000;
  const key = (sort, what) => { said.push({ sort, ...what }); return ["screen", ++count]; };
  const hand = tapping({
    taps: { act: (act) => key("act", act), mark: (mark) => key("mark", mark) },
    t_ms: () => 60000, entries: () => entries, steps: first.steps, rule: first.which_first, now: () => now,
  });
  return { hand, said, wait: (ms) => { now += ms; }, answer: (counter, n, act) => hand.answered({ key: ["screen", counter], n, sort: "acts", what: { act } }) };
}

const told = [{ act: "explained" }, { act: "agreed" }];

test("one tap sends its acts in their order, as the learner's hands", () => {
  const { hand, said } = bench();
  assert.equal(hand.tap("told", "Told and agreed", told), true);
  assert.deepEqual(said, [{ sort: "act", act: "explained", hands: "learner" }, { sort: "act", act: "agreed", hands: "learner" }]);
});

test("a glove that lands twice is one tap; the next place, and the same a second later, are others", () => {
  const { hand, said, wait } = bench();
  hand.tap("device", "Device on", [{ act: "device_placed" }]);
  wait(TWICE_MS - 1);
  assert.equal(hand.tap("device", "Device off", [{ act: "device_removed" }]), false);
  assert.equal(hand.tap("hands", "Hands", [{ act: "hands_cleaned" }]), true);
  wait(TWICE_MS);
  assert.equal(hand.tap("device", "Device off", [{ act: "device_removed" }]), true);
  assert.deepEqual(said.map((each) => each.act), ["device_placed", "hands_cleaned", "device_removed"]);
});

test("said only holds for one tap and no more", () => {
  const { hand, said, wait } = bench();
  hand.hold("said");
  hand.tap("order", "Order", [{ act: "order_read" }]);
  wait(1000);
  hand.tap("hands", "Hands", [{ act: "hands_cleaned" }]);
  assert.equal(said[0].manner, "said");
  assert.equal(said[1].manner, undefined);
});

test("a prompt is an act of its own before the act that followed it", () => {
  const { hand, said } = bench();
  hand.hold("prompted");
  hand.tap("hands", "Hands", [{ act: "hands_cleaned" }]);
  assert.deepEqual(said, [
    { sort: "act", act: "prompted", values: { what: "Hands" } },
    { sort: "act", act: "hands_cleaned", manner: "prompted", hands: "learner" },
  ]);
});

test("not seen is a mark about the step, never an act", () => {
  const { hand, said } = bench();
  hand.hold("not_seen");
  hand.tap("hands", "Hands", [{ act: "hands_cleaned" }]);
  assert.deepEqual(said, [{ sort: "mark", kind: "step_state", about: "hands-before-touch", values: { state: "not_seen" } }]);
  assert.equal(hand.last(), undefined, "there is nothing to take back");
});

test("just before that says when, and answers which came first by itself", () => {
  const entries = [{ n: 4, t_ms: 55000, act: "device_placed", manner: "done", sentence: "" }];
  const { hand, said, answer } = bench(entries);
  hand.justBefore(true);
  hand.tap("flow-2", "Flow 2 L/min", [{ act: "flow_set", values: { flow_lpm: 2 } }]);
  assert.equal(said[0].seen_at_ms, 53000);
  answer(1, 5, "flow_set");
  assert.deepEqual(said[1], { sort: "mark", kind: "which_first", values: { first: 5, second: 4 } });
});

test("taking back takes back all acts of the last tap, by their numbers", () => {
  const { hand, said, wait, answer } = bench();
  hand.tap("told", "Told and agreed", told);
  answer(1, 5, "explained");
  answer(2, 6, "agreed");
  wait(1000);
  assert.deepEqual(hand.takeBack(), { back: true, words: "Taken back: Told and agreed." });
  assert.deepEqual(said.slice(2).map((each) => each.values), [{ entry: 5 }, { entry: 6 }]);
  assert.equal(hand.last(), undefined);
});

test("a tap that is still on its way is not taken back behind the station's back", () => {
  const { hand, said } = bench();
  hand.tap("hands", "Hands", [{ act: "hands_cleaned" }]);
  assert.deepEqual(hand.takeBack(), { back: false, words: '"Hands" is not yet sent; take it back once it is.' });
  assert.equal(said.length, 1);
});

test("a tap that was refused is not the last one", () => {
  const { hand } = bench();
  hand.tap("device", "Device on", [{ act: "device_placed" }]);
  hand.answered({ key: ["screen", 1], refused: "Take that off first.", sort: "acts", what: { act: "device_placed" } });
  assert.equal(hand.last(), undefined);
});
