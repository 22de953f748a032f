import assert from "node:assert/strict";
import test from "node:test";
import { airAt, breathingIn, stepped } from "../../../src/tidalbay/web/static/draw/breath.mjs";
import { fill, ledgerBar, mark, pick, scatter } from "../../../src/tidalbay/web/static/draw/gas.mjs";
import { inside } from "../../../src/tidalbay/web/static/draw/geometry.mjs";
import { diaphragm, heart, lung, spine, throatLumen, windpipeLine } from "../../../src/tidalbay/web/static/draw/patient/airways.mjs";
import { sectionGas } from "../../../src/tidalbay/web/static/draw/patient/section-gas.mjs";
import { posture } from "../../../src/tidalbay/web/static/draw/posture.mjs";
import { at, builds } from "./world.mjs";

const box = [[0, 0], [400, 0], [400, 300], [0, 300]];
const count = (text, cls) => (text.match(new RegExp(`class="${cls}"`, "g")) ?? []).length;

test("marks stand in the shares of the breath, to within one in fifty", () => {
  for (const share of [{ supplied: 66, room: 342, expired: 72 }, { supplied: 1, room: 1, expired: 1 }, { supplied: 0.05, room: 0.95 }]) {
    const text = fill(box, share), all = count(text, "o2") + count(text, "air") + count(text, "exp"), sum = (share.supplied ?? 0) + (share.room ?? 0) + (share.expired ?? 0);
    assert.ok(Math.abs(count(text, "o2") / all - (share.supplied ?? 0) / sum) < 0.02);
    assert.ok(Math.abs(count(text, "exp") / all - (share.expired ?? 0) / sum) < 0.02);
  }
});

test("the three gases differ by shape, not only by colour", () => {
  const shapes = ["supplied", "room", "expired"].map((k) => mark(k, 0, 0).replaceAll(/class="\w+"/g, ""));

  assert.equal(new Set(shapes).size, 3);
  assert.ok(shapes[1].includes("<path") && shapes[0].includes("<circle"));
});

test("no mark leaves its outline and none is drawn twice in a place", () => {
  const places = scatter(box), seen = new Set(places.map((p) => `${p.x.toFixed(1)},${p.y.toFixed(1)}`));

  assert.equal(seen.size, places.length);
  for (const p of places) assert.ok(inside([p.x, p.y], box));
});

test("a share of nothing else is never picked", () => {
  for (let u = 0; u < 1; u += 0.01) assert.equal(pick({ room: 3 }, u), "room");
});

test("a ledger bar is as wide as the breath, each part by its amount, and an empty part does no harm", () => {
  const bar = ledgerBar([{ kind: "supplied", ml: 100 }, { kind: "room", ml: 300 }, { kind: "expired", ml: 0 }], { width: 400 });

  assert.match(bar, /M0 0h100v/);
  assert.match(bar, /M100 0h300v/);
  assert.doesNotMatch(bar, /NaN/);
});

test("as air comes in the diaphragm goes down, the lung grows and the heart follows the diaphragm", () => {
  for (let air = 0.1; air <= 1; air += 0.1) {
    diaphragm(air).forEach((p, i) => assert.ok(p[1] >= diaphragm(air - 0.1)[i][1]));
    assert.ok(area(lung(air)) > area(lung(air - 0.1)));
    assert.ok(heart(air)[5][1] > heart(air - 0.1)[5][1]);
  }
});

test("the spine lies close behind the throat, behind the windpipe all the way, and in front of the skin of the back", () => {
  const f = posture(), line = spine(f), back = Math.min(...throatLumen.map((p) => p[0]));
  const neck = line.slice(0, 12).map((p) => toLocal(f.head, p)[0]);

  for (const x of neck) assert.ok(back - x > 9 && back - x < 26, `${(back - x).toFixed(1)} mm behind the back wall of the throat`);
  const pipe = windpipeLine(f).map((p) => toLocal(f.trunk, p)), bones = line.map((p) => toLocal(f.trunk, p));
  for (const [x, y] of pipe.slice(2)) assert.ok(Math.min(...bones.filter((b) => Math.abs(b[1] - y) < 14).map((b) => x - b[0])) > 15);
  for (const [x] of bones.filter((b) => b[1] > -520)) assert.ok(x > -100);
});

test("gas is carried by transforms only: the text of the marks stays while the breath moves them", () => {
  for (const build of builds) {
    const gas = { nose: { supplied: 1 }, throat: { room: 1 }, windpipe: { expired: 1 }, lung: { room: 1 } }, piece = sectionGas(posture({ build }), gas, "x");
    const carried = piece.moving.filter((m) => m.attr === "transform");
    assert.equal(carried.length, 4);
    for (const m of carried) assert.notEqual(m.of(at(0)), m.of(at(1)));
    assert.ok(piece.moving.every((m) => m.attr === "transform" || m.of(at(0)).length < 700));
  }
});

test("gas in a place that is not told is not drawn, and the mouth's only when it is open", () => {
  const text = (mouth, gas) => sectionGas(posture({ mouth }), gas, "x").still;

  assert.equal(count(text(0, {}), "(o2|air|exp)"), 0);
  assert.equal(count(text(0, { mouth: { room: 1 } }), "air"), 0);
  assert.ok(count(text(0.6, { mouth: { room: 1 } }), "air") > 10);
});

test("a stand-in breath starts and ends at rest, rises while gas goes in and falls after", () => {
  const dt = 0.02;
  for (let t = 0; t < 3.6; t += dt) {
    const up = airAt(t + dt) - airAt(t);
    if (breathingIn(t + dt) && breathingIn(t)) assert.ok(up >= 0);
    else if (!breathingIn(t)) assert.ok(up <= 0 || breathingIn(t + dt));
  }
  assert.ok(airAt(3.74) < 0.04);
});

test("reduced motion is six pictures a breath", () => {
  assert.equal(new Set(Array.from({ length: 100 }, (_, i) => stepped(i / 100))).size, 6);
  assert.equal(stepped(1), 5 / 6);
});

function area(line) {
  return Math.abs(line.reduce((sum, [x, y], i) => { const [u, v] = line[(i + 1) % line.length]; return sum + x * v - u * y; }, 0)) / 2;
}
function toLocal(frame, [x, y]) {
  const a = (-frame.deg * Math.PI) / 180, dx = (x - frame.x) / frame.scale, dy = (y - frame.y) / frame.scale;
  return [dx * Math.cos(a) - dy * Math.sin(a), dx * Math.sin(a) + dy * Math.cos(a)];
}
