// What was measured on the way to the lab, in words; and what a code looks like.
import assert from "node:assert/strict";
import test from "node:test";
import { looksWhole } from "../../../src/tidalbay/web/static/pages/join/code.mjs";
import { ASKED, middle, tripWords, verdict } from "../../../src/tidalbay/web/static/pages/reach/measure.mjs";

const all = (ms) => Array(ASKED).fill(ms);

test("the middle one, whatever their order", () => {
  assert.equal(middle([9, 1, 5]), 5);
  assert.equal(middle([4, 1, 3, 2]), 2);
  assert.equal(middle([]), null);
});

test("times are said as people say them", () => {
  assert.deepEqual([0.2, 8, 999, 1200].map(tripWords), ["1 ms", "8 ms", "999 ms", "1.2 s"]);
});

test("the verdict begins with yes, half or no", () => {
  assert.match(verdict(all(8), true), /^Yes\. A tap is answered before/);
  assert.match(verdict(all(300), true), /^Yes\. A tap is answered a little later/);
  assert.match(verdict(all(2500), true), /^Yes, but slowly/);
  assert.match(verdict(all(8).slice(2), true), /^Yes, but 2 answers were lost/);
  assert.match(verdict(all(8).slice(1), true), /^Yes, but 1 answer was lost/);
  assert.match(verdict(all(8), false), /^Half\. .*router/);
  assert.match(verdict([], false), /^No\./);
});

test("a code is a word and four digits, however it is typed", () => {
  for (const typed of ["heron 4127", "Heron4127", " HERON - 4127 "]) assert.ok(looksWhole(typed), typed);
  for (const typed of ["", "heron", "4127", "heron 412", "heron 41277", "her0n 4127"]) assert.ok(!looksWhole(typed), typed);
});
