import assert from "node:assert/strict";
import test from "node:test";
import { beat, capnogramPath, penPath, ragged, ruled } from "../../../src/tidalbay/web/static/el/pen-line.mjs";

test("where nothing is known the pen is lifted", () => {
  assert.equal(penPath([0, 1, NaN, 1, 0], { width: 100, height: 50 }), "M0.0 50.0L25.0 0.0M75.0 0.0L100.0 50.0");
});

test("a beat rises within a fifth of its time, has one notch and ends where it began", () => {
  const line = Array.from({ length: 101 }, (_, i) => beat(i / 100));
  const peaks = line.filter((h, i) => i > 0 && i < 100 && h > line[i - 1] && h >= line[i + 1]);

  assert.ok(line.indexOf(Math.max(...line)) <= 25);
  assert.equal(peaks.length, 2);
  assert.ok(line[0] < 0.01 && line[100] < 0.05);
  assert.ok(line.every((h) => h >= 0 && h <= 1));
});

test("a poor line stays small", () => {
  for (let t = 0; t < 100; t += 0.05) assert.ok(ragged(t) > -0.1 && ragged(t) < 0.55);
});

test("breaths stand at their own times and outside the strip the pen is up", () => {
  const strip = { from_s: 10, to_s: 20, top_mmhg: 50, box: { width: 100, height: 50 } };

  assert.equal(
    capnogramPath([{ start_s: 8, line: [[0, 10], [3, 40], [4, 0]] }, { start_s: 15, line: [[0, 0], [1, 60]] }], strip),
    "M10.0 10.0L20.0 50.0M50.0 50.0L60.0 0.0",
  );
});

test("breaths that follow each other at once are one line", () => {
  const strip = { from_s: 0, to_s: 10, top_mmhg: 50, box: { width: 100, height: 50 } };

  assert.equal(
    capnogramPath([{ start_s: 0, line: [[0, 0], [4, 40]] }, { start_s: 4, line: [[0, 40], [1, 0]] }], strip),
    "M0.0 50.0L40.0 10.0L40.0 10.0L50.0 50.0",
  );
});

test("time is marked back from the right end of a strip", () => {
  assert.equal(ruled({ width: 150, height: 60 }, 15, 5), "M150.0 60v5M100.0 60v5M50.0 60v5M0.0 60v5");
});
