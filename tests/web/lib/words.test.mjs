import assert from "node:assert/strict";
import test from "node:test";
import * as words from "../../../src/tidalbay/web/static/lib/words.mjs";

test("moments", () => {
  assert.equal(words.clockWords(0), "00:00");
  assert.equal(words.clockWords(500.9), "08:20");
  assert.equal(words.clockWords(4 * 3600 + 61), "4:01:01");
});

test("ages are steady and short", () => {
  const said = [3, 14, 19.9, 75, 90, 240, 5400, 7800].map(words.ageWords);

  assert.deepEqual(said, ["just now", "10 s ago", "10 s ago", "70 s ago", "2 minutes ago", "4 minutes ago", "1 h 30 min ago", "2 h 10 min ago"]);
});

test("figures", () => {
  assert.equal(words.figure(4), "4");
  assert.equal(words.figure(-1.25, 1), "\u22121.3");
  assert.equal(words.figure(2.04, 1), "2");
  assert.equal(words.kpa(60), "8");
});

test("clauses become sentences, spoken words keep their own end", () => {
  assert.equal(words.sentence("leans forward"), "Leans forward.");
  assert.equal(words.sentence("\u201cCan't\u2026 breathe.\u201d"), "\u201cCan't\u2026 breathe.\u201d");
  assert.equal(words.sentence(" "), "");
});

test("what waits and what is lost, in words", () => {
  assert.equal(words.notYetSent(0), "");
  assert.equal(words.notYetSent(7), "7 not yet sent");
  assert.equal(words.awayWords(12, 500), "Not connected since 00:12; what you see is from 08:20.");
});

test("lists", () => {
  assert.equal(words.list(["a"]), "a");
  assert.equal(words.list(["a", "b", "c"]), "a, b and c");
  assert.equal(words.count(1, "breath"), "1 breath");
});
