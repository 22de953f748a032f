import assert from "node:assert/strict";
import test from "node:test";
import { airShare, breathAt, breathsHeard, between } from "../../../src/tidalbay/web/static/lib/breath-now.mjs";

const breath = (n, from_s, air_ml, more = {}) => ({
  n, from_s, lasts_s: (air_ml.length - 1) * 0.5, step_s: 0.5, air_ml, bag_pct: {}, breathing_in_s: 1, ...more,
});

test("between two samples the line is straight, before and after it stays", () => {
  assert.equal(between([0, 100, 50], 0.25, 0.5), 50);
  assert.equal(between([0, 100, 50], 0.75, 0.5), 75);
  assert.equal(between([0, 100, 50], -1, 0.5), 0);
  assert.equal(between([0, 100, 50], 9, 0.5), 50);
  assert.equal(between([], 1, 0.5), 0);
});

test("a moment of a breath has its air, its bags and whether the patient breathes in", () => {
  const b = breath(3, 60, [0, 400, 200, 0], { bag_pct: { mask: [100, 80, 90, 100] } });

  assert.deepEqual(breathAt(b, 60.25), { air_ml: 200, bag: { mask: 0.9 }, breathing_in: true, n: 3 });
  assert.equal(breathAt(b, 61.2).breathing_in, false);
  assert.deepEqual(breathAt(null, 5), { air_ml: 0, bag: {}, breathing_in: false, n: 0 });
});

test("a breath heard early does not cut the one before it short", () => {
  const heard = breathsHeard();
  heard.hear(breath(1, 0, [0, 300, 0]));
  heard.hear(breath(2, 1, [0, 500, 0]));

  assert.equal(heard.at(0.5).air_ml, 300);
  assert.equal(heard.at(1.5).air_ml, 500);
});

test("a breath that an act has changed takes the place of the one foretold", () => {
  const heard = breathsHeard();
  heard.hear(breath(1, 0, [0, 300, 0]));
  heard.hear(breath(2, 1, [0, 500, 0]));
  heard.hear(breath(2, 1, [0, 420, 0]));

  assert.equal(heard.at(1.5).air_ml, 420);
});

test("another attempt's breath, earlier in time, sweeps away what was held", () => {
  const heard = breathsHeard();
  heard.hear(breath(90, 300, [0, 300, 0]));
  heard.hear(breath(1, 0, [0, 500, 0]));

  assert.equal(heard.at(0.5).n, 1);
  assert.equal(heard.at(400).n, 1);
});

test("the drawing's chest stays within its bounds", () => {
  assert.equal(airShare(450), 0.5);
  assert.equal(airShare(-20), 0);
  assert.equal(airShare(2400), 1);
  assert.equal(airShare(75, 150), 0.5);
});
