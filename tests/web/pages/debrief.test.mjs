// @ts-check
// Contract: a change is asked for and told in words, and what went well is read first.
import assert from "node:assert/strict";
import { test } from "node:test";
import { changeOf, changeWords, choiceWords, inOrder, lastAct } from "../../../src/tidalbay/web/static/pages/debrief/words.mjs";

const flow = { n: 5, t_s: 160, kind: "flow_set", label: "Set flow: 2", sentence: "Set the flow to 2 L/min.", manner: "done", on: "flowmeter", is_taken_back: false, is_changeable: true, values: { flow_lpm: 2 } };

test("each way asks for what it needs and nothing else", () => {
  assert.deepEqual(changeOf("removed", flow, 90), { way: "removed", entry: 5 });
  assert.deepEqual(changeOf("moved", flow, 90.4), { way: "moved", entry: 5, t_ms: 90400 });
  assert.deepEqual(changeOf("changed", flow, 90, { act: "flow_set", on: "other", values: { flow_lpm: 6 } }), { way: "changed", entry: 5, on: "flowmeter", values: { flow_lpm: 6 } });
  assert.deepEqual(changeOf("added", undefined, 0, { act: "positioned", values: { position: "upright" } }), { way: "added", t_ms: 1, kind: "positioned", values: { position: "upright" } });
});

test("the change is a clause that reads aloud", () => {
  assert.equal(changeWords({ way: "removed", entry: 5 }, flow, ""), "if “Set flow: 2” at 02:40 had not been done");
  assert.equal(changeWords({ way: "moved", entry: 5, t_ms: 90_000 }, flow, ""), "if “Set flow: 2” at 02:40 had come at 01:30");
  assert.equal(changeWords({ way: "changed", entry: 5, values: { flow_lpm: 6 } }, flow, ""), "if “Set flow: 2” at 02:40 had been: 6");
  assert.equal(changeWords({ way: "added", t_ms: 61_000, values: { position: "chair" } }, undefined, "Position the patient"), "if “Position the patient: chair” had been done at 01:01");
});

test("the last act at a moment", () => {
  assert.equal(choiceWords(flow), "02:40 Set flow: 2");
  assert.equal(lastAct([flow], 159), undefined);
  assert.equal(lastAct([flow], 160), flow);
});

test("what went well is read first, and musts before the rest", () => {
  const told = (/** @type {string} */ id, /** @type {string} */ verdict, must = false) => ({ id, say: id, must, verdict, word: "", why: "", moments: [], overruled: null, reason: "" });
  const groups = inOrder([told("a", "not_met"), told("b", "not_met", true), told("c", "met"), told("d", "cannot_be_judged")]);
  assert.deepEqual(groups.map((g) => [g.head, g.verdicts.map((v) => v.id)]), [["What went well", ["c"]], ["Not met", ["b", "a"]], ["Open", ["d"]]]);
});
