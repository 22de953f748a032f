import assert from "node:assert/strict";
import test from "node:test";
import { afterMessage, nothingKnown, store } from "../../../src/tidalbay/web/static/lib/store.mjs";

const hello = {
  kind: "hello", seq: 1, role: "learner", station: { id: "s1", state: "running", mode: "formative" },
  case: { patient: { name: "Mr T. Oakley" } }, clock: { t_ms: 5, times: 1, state: "running" },
  entries: [{ n: 1, act: "attempt_started" }], breath: null, notice: null, me: "x",
};

test("a hello starts afresh: nothing of another attempt stays", () => {
  const before = { ...nothingKnown(), readings: { spo2_shown_pct: 88 }, notice: "old" };

  const after = afterMessage(before, hello);

  assert.deepEqual(after.readings, {});
  assert.equal(after.notice, "");
  assert.equal(after.case.patient.name, "Mr T. Oakley");
});

test("a breath brings its readings and leaves the rest as the same objects", () => {
  const before = afterMessage(nothingKnown(), hello);

  const after = afterMessage(before, { kind: "breath", seq: 2, breath: { n: 1 }, readings: { spo2_shown_pct: 91 }, findings: [] });

  assert.equal(after.readings.spo2_shown_pct, 91);
  assert.equal(after.case, before.case);
  assert.equal(after.entries, before.entries);
});

test("an entry taken back keeps its place and says so", () => {
  const before = afterMessage(afterMessage(nothingKnown(), hello), { kind: "entries", entries: [{ n: 2, act: "flow_set", taken_back: false }] });

  const after = afterMessage(before, { kind: "entries", entries: [{ n: 3, act: "taken_back" }, { n: 2, taken_back: true }] });

  assert.deepEqual(after.entries.map((e) => [e.n, e.act, e.taken_back]), [[1, "attempt_started", undefined], [2, "flow_set", true], [3, "taken_back", undefined]]);
});

test("watchers hear of their part only", () => {
  const s = store({ a: 1, b: 1 }), heard = [];
  s.watch((v) => v.a, (a) => heard.push(a));
  s.set({ a: 1, b: 2 });
  s.set({ a: 2, b: 2 });

  assert.deepEqual(heard, [1, 2]);
});
