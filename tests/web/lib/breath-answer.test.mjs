// Laws of the explorer's plot and of what it adds up.
import assert from "node:assert/strict";
import { test } from "node:test";
import { gases, plotPaths, reach, scales, ticks } from "../../../src/tidalbay/web/static/lib/breath-answer.mjs";

const box = { width: 200, height: 100, left: 20, right: 10, top: 10, bottom: 20 };
const curve = [{ flow_lpm: 0, pct: 20, low_pct: 20, high_pct: 20 }, { flow_lpm: 2, pct: 28, low_pct: 25, high_pct: 33 }, { flow_lpm: 4, pct: 36, low_pct: 30, high_pct: 47 }];

test("the ledger's origins add up to three gases and lose nothing", () => {
  const ledger = [{ gas: "supplied", ml: 97 }, { gas: "supplied", ml: 21 }, { gas: "room", ml: 340 }, { gas: "expired", ml: 43 }];
  assert.deepEqual(gases(ledger), [{ kind: "supplied", ml: 118 }, { kind: "room", ml: 340 }, { kind: "expired", ml: 43 }]);
});

test("more flow stands further right, more oxygen further up, and both ends touch the box", () => {
  const { x, y, high } = scales(curve, box);
  assert.equal(x(0), box.left);
  assert.equal(x(4), box.width - box.right);
  assert.ok(y(30) > y(40));
  assert.equal(y(high), box.top);
});

test("the scale begins at 20 % and ends on a round number above the band", () => {
  assert.deepEqual(reach(curve), [20, 50]);
  assert.deepEqual(reach([{ flow_lpm: 15, pct: 99, low_pct: 90, high_pct: 104 }]), [20, 100]);
});

test("the band closes around the line", () => {
  const { line, band } = plotPaths(curve, box);
  assert.equal(line.match(/[ML]/g)?.length, 3);
  assert.equal(band.match(/[ML]/g)?.length, 6);
  assert.ok(band.endsWith("Z"));
});

for (const [low, high, wanted] of [[0, 6, [0, 1, 2, 3, 4, 5, 6]], [0, 15, [0, 5, 10, 15]], [20, 50, [20, 30, 40, 50]]]) {
  test(`lines from ${low} to ${high} stand at round numbers`, () => {
    assert.deepEqual(ticks(low, high, low ? 5 : 6), wanted);
  });
}
