// What the tests of drawings share: a flowmeter to start from, a moment, and what is true of every piece.
import assert from "node:assert/strict";

export const OXYGEN = { id: "f", supply: "s", style: "float", gas_name: "OXYGEN", max_lpm: 15, float_frac: 0.25 };

export const live = (more = {}) => ({ air: 0, breathing_in: false, bag: {}, t_s: 0, shift: [0, 0], ...more });

const BROKEN = /NaN|undefined|Infinity|\[object|null/;

/** Fails with `name` unless a piece is whole: numbers, anchors, elements for its motions, nothing that the page's policy forbids. */
export function drawn(piece, lives, name) {
  assert.ok(!BROKEN.test(piece.still), `${name}: a broken number in the drawing`);
  assert.ok(!/\sstyle=/.test(piece.still + (piece.inset ?? "")), `${name}: a style attribute`);
  for (const [anchor, [x, y]] of Object.entries(piece.anchors)) assert.ok(Number.isFinite(x) && Number.isFinite(y), `${name}: anchor ${anchor}`);
  for (const { id, of } of piece.moving) {
    assert.ok(piece.still.includes(`data-move="${id}"`), `${name}: nothing in the drawing moves as ${id}`);
    for (const l of lives) { const value = of(l); assert.ok(typeof value === "string" && value && !BROKEN.test(value), `${name}: ${id} is ${value}`); }
  }
  return piece;
}

/** Names of a piece's moving parts, each once. */
export const ids = (piece) => [...new Set(piece.moving.map((m) => m.id))];

/** The value of one moving attribute at a moment. */
export function moved(piece, id, at, attr) {
  const found = piece.moving.find((m) => m.id === id && (!attr || m.attr === attr));
  assert.ok(found, `nothing moves as ${id}; there are ${ids(piece).join(", ")}`);
  return found.of(at);
}

/** The numbers of a path's or a transform's text. */
export const numbers = (text) => [...text.matchAll(/-?\d+(?:\.\d+)?/g)].map(Number);
