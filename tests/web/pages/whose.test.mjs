// Whose hands: names on the page, opaque ids in what is sent.
import assert from "node:assert/strict";
import test from "node:test";
import { handsOffered } from "../../../src/tidalbay/web/static/pages/check-off/whose.mjs";
import { entryRows } from "../../../src/tidalbay/web/static/pages/station/entries.mjs";

const told = { id: "p-1", name: "Ana Pereira", learners: [{ id: "p-1", name: "Ana Pereira" }, { id: "p-2", name: "Bo Lindqvist" }] };

test("the learner whose attempt it is comes first, then the others of the line, each once", () => {
  assert.deepEqual(handsOffered(told), [
    { id: "p-1", words: "Ana Pereira" }, { id: "p-2", words: "Bo Lindqvist" }, { id: "peer", words: "a helper’s" },
  ]);
});

test("without a line there is a learner of no name and a helper", () => {
  assert.deepEqual(handsOffered({ name: null, id: null, learners: [] }), [{ id: "learner", words: "the learner’s" }, { id: "peer", words: "a helper’s" }]);
  assert.equal(handsOffered({ name: null, id: "p-gone" })[0].id, "learner"); // the name was erased
});

test("the instructor reads names where the log has ids, and never an id", () => {
  const entry = { n: 2, t_ms: 1000, act: "order_read", sentence: "read the order", by: "checker-ab12", hands: "p-2", manner: "done" };
  assert.equal(entryRows([entry], new Map([["p-2", "Bo Lindqvist"]]))[0].who, "Bo Lindqvist, tapped by checker-ab12");
  assert.equal(entryRows([entry])[0].who, "a learner, tapped by checker-ab12");
  assert.equal(entryRows([{ ...entry, hands: "learner" }])[0].who, "learner, tapped by checker-ab12");
});
