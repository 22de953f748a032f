// @ts-check
// Law: a line on a strip is broken where nothing was known, in steps where a value holds, and told true at the mark.
import assert from "node:assert/strict";
import { test } from "node:test";
import { axes, bandPath, firstIn, joined, linePath, minutesWords, readingsAt, ringsOf, scaleNames, sooner, tableOf, valueAt } from "../../../src/tidalbay/web/static/lib/strip-layout.mjs";

const at = axes({ end_s: 100, width: 200, high: 110, scale: { low: 80, high: 100, step: 10 }, pad: 5 });
const line = (/** @type {[number, number | null][]} */ points, name = "shown") => ({ id: name, name, t_s: points.map((p) => p[0]), values: points.map((p) => p[1]), is_hidden: false });
/** @param {object} [more] */
const strip = (more) => /** @type {any} */ ({ id: "saturation", title: "Saturation", about: "", unit: "%", kind: "line", lines: [], spans: [], band: [94, 98], scale: { low: 80, high: 100, step: 10 }, names: {}, said: "", digits: 0, ...more });

test("places: the end of time is the end of the width, the top of the scale is on top, and nothing leaves the strip", () => {
  assert.deepEqual([at.x(0), at.x(50), at.x(100), at.x(400)], [0, 100, 200, 200]);
  assert.deepEqual([at.y(100), at.y(90), at.y(80), at.y(30)], [5, 55, 105, 105]);
});

test("a line is broken where nothing was known and begins again after it", () => {
  assert.equal(linePath(line([[0, 100], [10, 90], [20, null], [30, 80]]), at, false), "M0 5L20 55M60 105");
});

test("steps hold their value until the next point", () => {
  assert.equal(linePath(line([[0, 100], [50, 90], [100, 90]]), at, true), "M0 5H100V55H200");
});

test("the other way is drawn from the change on only", () => {
  assert.equal(linePath(line([[0, 100], [50, 90], [100, 80]]), at, false, 50), "M100 55L200 105");
});

test("what stood at a moment is the last point not after it", () => {
  const some = line([[0, 90], [10, 91], [20, null], [30, 93]]);
  assert.deepEqual([-1, 0, 9.9, 10, 25, 30, 99].map((t) => valueAt(some, t)), [null, 90, 90, 91, null, 93, 93]);
});

test("a joined scale holds both", () => {
  assert.deepEqual(joined({ low: 20, high: 40, step: 10 }, { low: 0, high: 30, step: 20 }), { low: 0, high: 40, step: 20 });
  assert.deepEqual(scaleNames({ low: 0, high: 0.3, step: 0.1 }), [0, 0.1, 0.2, 0.3]);
});

test("rings stand on the line and end where it ends", () => {
  const rings = ringsOf(line([[0, 100], [80, 100]]), at, 20, 100, 900);
  assert.ok(rings.length >= 3);
  assert.ok(rings.every((r) => r.y === 5 && r.x > 40 && r.x <= 160));
});

test("sooner in range is told in half minutes, and not where it is less than that", () => {
  const low = (/** @type {number} */ from) => line(Array.from({ length: 121 }, (_, i) => [i * 5, i * 5 >= from ? 95 : 90]));
  assert.equal(firstIn(low(100), [94, 98], 0), 100);
  assert.equal(sooner(low(300), low(110), [94, 98], 0)?.words, "about 3 minutes sooner in range");
  assert.equal(sooner(low(110), low(200), [94, 98], 0)?.words, "about 1\u00bd minutes later in range");
  assert.equal(sooner(low(110), low(115), [94, 98], 0), null);
  assert.equal(sooner(low(110), line([[0, 80], [600, 80]]), [94, 98], 0), null);
  assert.equal(minutesWords(1), "1 minute");
});

test("a table has a row for each minute and a cell for each line", () => {
  const strips = [strip({ lines: [line([[0, 90], [61, 95]]), line([[0, 91.4]], "true")] }), strip({ id: "worn", title: "Worn", kind: "spans", spans: [{ from_s: 60, to_s: 100, words: "cannula" }] }), strip({ id: "none" })];
  const { head, rows } = tableOf(strips, 125);
  assert.deepEqual(head, ["Time", "Saturation, shown", "Saturation, true", "Worn"]);
  assert.deepEqual(rows.map((row) => row.cells), [["90\u00a0%", "91\u00a0%", "nothing"], ["90\u00a0%", "91\u00a0%", "cannula"], ["95\u00a0%", "91\u00a0%", "nothing"]]);
  assert.deepEqual(readingsAt(strip({ lines: [line([[0, null]])] }), 5), [{ name: "Saturation", words: "not known" }]);
});

test("a band goes along its upper edge and back along its lower one, kept inside the scale", () => {
  const band = { t_s: [0, 50, 100], low: [90, 85, 70], high: [90, 95, 120] };
  assert.equal(bandPath(band, at, { low: 80, high: 100 }), "M0 55L100 30L200 5L200 105L100 80L0 55Z");
  assert.equal(bandPath({ t_s: [], low: [], high: [] }, at, { low: 80, high: 100 }), "");
});
