// The guided minutes: their acts are acts of the catalogue, and a station in use is left alone.
import assert from "node:assert/strict";
import test from "node:test";
import { buttonWords, CASE, isUsed, STEPS, timeWords, whyNot } from "../../../src/tidalbay/web/static/pages/welcome/steps.mjs";
import { acts } from "./world.mjs";

test("every act of the steps exists, may be logged by the instructor and says what it must", () => {
  for (const said of STEPS.flatMap((step) => step.acts ?? [])) {
    const kind = acts.get(said.act);
    assert.ok(kind, said.act);
    assert.ok(kind.by.includes("instructor"), said.act);
    for (const needed of kind.arguments.filter((each) => !each.optional)) assert.ok(needed.name in (said.values ?? {}), `${said.act}: ${needed.name}`);
  }
});

test("each step does something and says what to look at", () => {
  for (const step of STEPS) {
    assert.ok(step.acts || step.clock, step.title);
    assert.ok(step.before && step.after && step.button, step.title);
  }
});

test("an attempt that is not this demonstration is left alone", () => {
  const station = (more) => ({ station: { id: "s1", title: "Station 1", state: "running", mode: "demonstration", ...more }, case: { id: CASE } });
  assert.equal(whyNot(station({})), "");
  assert.equal(whyNot(station({ state: "empty" })), "");
  assert.match(whyNot(station({ mode: "summative" })), /^Station 1 holds another attempt/);
  assert.match(whyNot({ ...station({}), case: { id: "transport" } }), /another attempt/);
  assert.equal(whyNot(station({ mode: "summative", state: "ended" })), "");
});

test("time is told in words", () => {
  assert.equal(timeWords(60, "running", 1, () => "01:00"), "01:00 of the station’s time, at the pace of life.");
  assert.equal(timeWords(60, "running", 10, () => "01:00"), "01:00 of the station’s time, 10 times as fast as life.");
  assert.equal(timeWords(60, "paused", 1, () => "01:00"), "01:00 of the station’s time, standing still.");
});

test("where hands have been at the patient already, the minutes begin again with a fresh one", () => {
  const known = (entries, state = "running") => ({ station: { id: "s1", state }, entries: entries.map((act) => ({ act })) });
  const begun = known(["attempt_started", "resumed"]), used = known(["attempt_started", "resumed", "flow_set"]);
  assert.deepEqual([isUsed(begun), isUsed(used)], [false, true]);
  assert.equal(buttonWords(STEPS[0], known([], "empty")), "Let time go");
  assert.equal(buttonWords(STEPS[0], begun), "Begin");
  assert.equal(buttonWords(STEPS[0], used), "Begin again, a fresh patient");
  assert.equal(buttonWords(STEPS[1], used), STEPS[1].button);
});
