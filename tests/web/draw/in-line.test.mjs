// A nebuliser's cup in line: on a tracheostomy tube, and in the wide tubing of another device.
import assert from "node:assert/strict";
import test from "node:test";
import { worn } from "../../../src/tidalbay/web/static/draw/equipment.mjs";
import { wideEnds } from "../../../src/tidalbay/web/static/draw/in-line.mjs";
import { posture } from "../../../src/tidalbay/web/static/draw/posture.mjs";
import { live, numbers } from "./pieces.mjs";

const hosts = Object.keys(wideEnds);
const cup = { id: "cup", kind: "nebuliser_in_line", worn: true, joined_worn: true, misting: true, cup_ml: 3 };
const apart = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]);
const puffs = (piece) => piece.moving.filter((m) => m.id.startsWith("mist") && m.attr === "transform");

test("the hose of a set moves to the tee's far end while a cup is in its tubing, and back when it is out", () => {
  for (const kind of hosts) for (const recline_deg of [15, 45, 75]) {
    const frames = posture({ recline_deg }), host = { id: "host", kind, worn: true };
    const without = worn(frames, host).anchors.supply, fitted = worn(frames, { ...host, cup_in_line: true }).anchors.supply;
    assert.deepEqual(without, wideEnds[kind](frames).at);
    assert.ok(apart(without, fitted) > 60 * frames.head.scale, kind);
    assert.ok(fitted[1] > without[1], "it hangs");
  }
});

test("mist in tubing runs from the tee to the device and never leaves the tubing", () => {
  for (const kind of hosts) {
    const frames = posture({ recline_deg: 45 }), end = wideEnds[kind](frames).at, piece = worn(frames, { ...cup, joined_kind: kind });
    const far = (t_s) => puffs(piece).map((puff) => apart(numbers(puff.of(live({ t_s }))).slice(0, 2), end));
    assert.ok(puffs(piece).length >= 5);
    const start = far(0), later = far(0.2), nearer = start.filter((d, i) => later[i] < d).length;
    assert.ok(nearer >= puffs(piece).length - 3, `${nearer} puffs come nearer to the ${kind}`);
    for (let t_s = 0; t_s < 4; t_s += 0.2) assert.ok(Math.max(...far(t_s)) < 140 * frames.head.scale);
  }
});

test("a cup that is fitted hangs where its device is, and apart from it while that is off", () => {
  const frames = posture({ recline_deg: 45 }), kind = "high_flow_nasal_cannula", end = wideEnds[kind](frames).at;
  const on = worn(frames, { ...cup, joined_kind: kind }), off = worn(frames, { ...cup, joined_kind: kind, joined_worn: false });
  assert.ok(apart(on.anchors.cup, end) < 200 * frames.head.scale);
  assert.ok(apart(off.anchors.cup, end) > 200 * frames.head.scale);
});

test("no mist where none is made", () => {
  assert.equal(puffs(worn(posture(), { ...cup, joined_kind: hosts[0], misting: false })).length, 0);
  assert.equal(puffs(worn(posture(), { id: "t", kind: "nebuliser_t_piece", worn: true, cup_ml: 3 })).length, 0);
});

test("a T-piece's mist leaves its open limb, away from the eyes, and little of it while the breath goes in", () => {
  for (const recline_deg of [15, 45, 75]) {
    const f = posture({ recline_deg }), [ex, ey] = f.head.at(80, -15), piece = worn(f, { id: "t", kind: "nebuliser_t_piece", worn: true, misting: true, cup_ml: 3 });
    for (const puff of puffs(piece)) for (let t_s = 0; t_s < 4; t_s += 0.13) {
      const [x, y, scale] = numbers(puff.of(live({ t_s })));
      assert.ok(Math.hypot(x - ex, y - ey) - 14 * scale > 22, `at ${recline_deg} degrees, ${t_s} s`);
    }
    const seen = (breathing_in) => piece.moving.filter((m) => m.attr === "opacity").reduce((sum, m) => sum + Number(m.of(live({ t_s: 2, breathing_in }))), 0);
    assert.ok(seen(true) < 0.4 * seen(false));
  }
});

test("the cup hangs upright under a T-piece whatever the neck does", () => {
  for (const recline_deg of [15, 45, 75]) {
    const { anchors } = worn(posture({ recline_deg }), { id: "t", kind: "nebuliser_t_piece", worn: true, cup_ml: 3 });
    assert.ok(Math.abs(anchors.supply[0] - anchors.cup[0]) < 1e-6);
    assert.ok(anchors.supply[1] > anchors.cup[1]);
  }
});
