import assert from "node:assert/strict";
import test from "node:test";
import { breathCount, countedAct } from "../../../src/tidalbay/web/static/pages/bedside/counting.mjs";
import { leaderPath } from "../../../src/tidalbay/web/static/pages/bedside/leaders.mjs";

test("a count runs on the patient's time, stands still with it, and asks at thirty seconds", () => {
  const count = breathCount();
  count.start(100);
  count.tap();
  count.tap();

  assert.deepEqual(count.at(110.2), { phase: "counting", left_s: 20, taps: 2 });
  assert.deepEqual(count.at(110.2), { phase: "counting", left_s: 20, taps: 2 });
  assert.deepEqual(count.at(130), { phase: "asking", left_s: 0, taps: 2 });
});

test("hours skipped or another attempt end the count", () => {
  for (const t_s of [100 + 4 * 3600, 3]) {
    const count = breathCount();
    count.start(100);
    assert.equal(count.at(t_s).phase, "idle");
  }
});

test("taps after the end do not count", () => {
  const count = breathCount();
  count.start(0);
  count.at(31);
  count.tap();

  assert.equal(count.now().taps, 0);
});

test("eleven in thirty seconds are twenty-two a minute, said as counted", () => {
  assert.deepEqual(countedAct(11), { act: "observed", values: { what: "rate", found: 22, method: "counted", seconds: 30 } });
});

test("a leader leaves its words at the side of the place it leads to", () => {
  const box = { left: 100, top: 100, right: 200, bottom: 140 };

  assert.equal(leaderPath(box, { x: 400, y: 120 }), "M210 120L400 120");
  assert.equal(leaderPath(box, { x: 20, y: 120 }), "M90 120L20 120");
  assert.equal(leaderPath(box, { x: 20, y: 250 }), "M110 150V185L20 250");
});
