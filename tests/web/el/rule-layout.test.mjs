import assert from "node:assert/strict";
import test from "node:test";
import { placeFlags, ruleEnd, ticks, xOf } from "../../../src/tidalbay/web/static/el/rule-layout.mjs";

const room = { from_s: 0, to_s: 900, width: 900, rows: 2, widthOf: (label) => label.length * 10 };

test("names of ticks never touch, on a phone or a wall", () => {
  for (const width of [320, 968, 1800]) for (const to_s of [300, 960, 4 * 3600, 26 * 3600]) {
    const named = ticks(0, to_s, width, 70).filter((t) => t.name);
    for (let i = 1; i < named.length; i++) assert.ok(named[i].x - named[i - 1].x >= 70, `${width} ${to_s}`);
    assert.ok(named.length >= 2, `${width} ${to_s}`);
  }
});

test("flags that would touch take another row", () => {
  const [a, b] = placeFlags([{ at_s: 100, label: "order read" }, { at_s: 150, label: "flow set" }], room);

  assert.notEqual(a.row, b.row);
});

test("in a crowd the newest keep their words and every act keeps its mark", () => {
  const placed = placeFlags(Array.from({ length: 9 }, (_, i) => ({ at_s: 100 + i, label: "flow set" })), room);

  assert.equal(placed.length, 9);
  assert.deepEqual(placed.map((p) => p.row >= 0), [...Array(7).fill(false), true, true]);
});

test("words never overlap within a row, wherever the acts fall", () => {
  let seed = 3;
  const luck = () => (seed = (seed * 16807) % 2147483647) / 2147483647;
  const flags = Array.from({ length: 60 }, () => ({ at_s: luck() * 900, label: "x".repeat(3 + Math.floor(luck() * 15)) }));
  const spans = placeFlags(flags, room).filter((p) => p.row >= 0).map((p) => [p.row, p.left ? p.x - p.w : p.x, p.left ? p.x : p.x + p.w]);

  for (const [r, a, b] of spans) {
    assert.ok(a >= 0 && b <= 900);
    assert.equal(spans.filter(([q, c, d]) => q === r && a < d && c < b).length, 1);
  }
});

test("a flag at the end hangs to the left", () => {
  assert.equal(placeFlags([{ at_s: 890, label: "help called" }], room)[0].left, true);
});

test("the rule grows in whole steps when time goes past its end", () => {
  assert.equal(ruleEnd(960, 500), 960);
  assert.ok(ruleEnd(960, 1000) > 1000);
  assert.ok(ruleEnd(960, 4 * 3600) >= 4 * 3600);
  assert.equal(ruleEnd(960, 1010), ruleEnd(960, 1011));
  assert.equal(xOf(450, 0, 900, 200), 100);
});
