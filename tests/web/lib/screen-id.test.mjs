import assert from "node:assert/strict";
import test from "node:test";
import { screenId } from "../../../src/tidalbay/web/static/lib/screen-id.mjs";

test("a tab keeps its name over a reload, and two tabs have two", () => {
  const kept = new Map(), shelf = { getItem: (k) => kept.get(k) ?? null, setItem: (k, v) => kept.set(k, v) };

  const first = screenId(shelf);

  assert.equal(screenId(shelf), first);
  assert.notEqual(screenId({ getItem: () => null, setItem: () => {} }), first);
  assert.match(first, /^s-[0-9a-f]{18}$/);
});

test("a store that refuses costs nothing but the memory of it", () => {
  assert.match(screenId({ getItem: () => null, setItem: () => { throw new Error("full"); } }), /^s-/);
});
