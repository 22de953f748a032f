import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { atHand } from "../../../src/tidalbay/web/static/draw/at-hand.mjs";
import { inDrawingOrder, meter, supply, supplyKinds, worn, wornKinds } from "../../../src/tidalbay/web/static/draw/equipment.mjs";
import { posture } from "../../../src/tidalbay/web/static/draw/posture.mjs";
import { tubing } from "../../../src/tidalbay/web/static/draw/tubing.mjs";
import { OXYGEN, drawn, ids, live } from "./pieces.mjs";

const catalogue = (name) => readFileSync(new URL(`../../../src/tidalbay/catalogue/${name}.yaml`, import.meta.url), "utf8");
/** Ids of the rows of one list of a catalogue file. */
function rows(file, list) {
  const at = file.indexOf(`\n${list}:`), end = file.slice(at + 1).search(/\n[a-z_]+:\n?/);
  return [...file.slice(at, end < 0 ? undefined : at + 1 + end).matchAll(/- (?:\{)?id: ([a-z_]+)/g)].map((m) => m[1]);
}

const builds = ["woman", "man", "child", "infant"];
const fits = [{}, { snug: "loose" }, { snug: "tight", clip_pinched: true, padded: ["left_ear", "right_cheek", "nose_bridge", "chin", "back_of_head"] }];
const states = [
  {}, { prongs: "up" }, { prongs: "one_out" }, { prongs: "below" }, { prongs: "cheek" }, { port_discs: 2 }, { port_discs: 1 }, { port_discs: 0, bag_valve: false }, { bag_twisted: true }, { entrainment_pct: 60, ports_covered_frac: 0.5 },
  { misting: true, sputtering: true, cup_ml: 1 }, { cup_ml: 6, misting: true }, { squeezed: true }, { worn: false }, { cut: true, gas: { supplied: 0.6, room: 0.3, expired: 0.1 } },
];
const lives = [live(), live({ air: 1, breathing_in: true, bag: { d: 0 }, t_s: 1e5 }), live({ air: 0.4, breathing_in: false, bag: { d: 0.37 }, t_s: 12.3, shift: [3, -9] })];

test("every device of the catalogue has a drawing, and no drawing is of a device it does not know", () => {
  const known = rows(catalogue("devices"), "devices");

  assert.ok(known.length >= 15, `only ${known.length} devices were read from the catalogue`);
  assert.deepEqual(Object.keys(wornKinds).sort(), known.sort());
});

test("every outlet and concentrator of the catalogue has a drawing, and the cylinder", () => {
  const file = catalogue("supplies");
  for (const kind of [...rows(file, "outlets"), ...rows(file, "concentrators"), "cylinder", "medical_air"]) assert.ok(supplyKinds[kind], kind);
});

test("both styles of flowmeter that the catalogue names are drawn, and differ", () => {
  const styles = new Set([...catalogue("supplies").matchAll(/style: (\w+)/g)].map((m) => m[1]));
  assert.deepEqual([...styles].sort(), ["dial", "float"]);
  assert.notEqual(meter({ ...OXYGEN, style: "float" }).still, meter({ ...OXYGEN, style: "dial" }).still);
});

test("an unknown kind is refused with a sentence that names the known ones", () => {
  assert.throws(() => worn(posture(), { id: "d", kind: "snorkel" }), /No drawing for the device kind "snorkel".*nasal_cannula/);
  assert.throws(() => supply({ id: "s", kind: "well", gas_name: "OXYGEN" }), /No drawing for the supply kind "well".*cylinder/);
});

test("no state of any device on anyone gives a broken number, a style attribute or a motion without its element", () => {
  let count = 0;
  for (const build of builds) for (const recline_deg of [15, 45, 75]) {
    const frames = posture({ build, recline_deg, nod_deg: recline_deg === 75 ? 20 : 0 });
    for (const kind of Object.keys(wornKinds)) for (const state of states) for (const fit of recline_deg === 45 ? fits : [fits[0]]) {
      drawn(worn(frames, { id: "d", kind, worn: true, ...fit, ...state }), lives, `${kind} on ${build} ${JSON.stringify(state)}`);
      count += 1;
    }
  }
  assert.ok(count > 4000, `${count}`);
});

test("the same state gives the same bytes", () => {
  for (const kind of Object.keys(wornKinds)) {
    const once = () => { const p = worn(posture({ build: "man" }), { id: "d", kind, worn: true, misting: true, cup_ml: 2 }); return p.still + p.moving.map((m) => m.of(lives[2])).join(); };
    assert.equal(once(), once(), kind);
  }
});

test("every worn device says where its hose joins and which way it leaves", () => {
  for (const kind of Object.keys(wornKinds)) {
    const p = worn(posture(), { id: "d", kind, worn: true });
    assert.ok(p.anchors.supply?.every(Number.isFinite), `${kind} has no hose`);
    assert.ok(Number.isFinite(p.supplyDeg), `${kind} does not say which way its hose leaves`);
    assert.ok(p.anchors.words?.every(Number.isFinite), kind);
  }
});

test("a child's mask is smaller than an adult's", () => {
  const width = (build, kind) => { const { anchors } = worn(posture({ build }), { id: "d", kind, worn: true }); return Math.hypot(anchors.supply[0] - anchors.edge[0], anchors.supply[1] - anchors.edge[1]); };
  assert.ok(width("child", "child_simple_mask") < 0.95 * width("woman", "simple_mask"));
});

test("a cannula that is kept on is drawn under the mask", () => {
  const order = inDrawingOrder([{ kind: "nebuliser_mask" }, { kind: "nasal_cannula" }]).map((d) => d.kind);
  assert.deepEqual(order, ["nasal_cannula", "nebuliser_mask"]);
});

test("a device at hand is drawn otherwise than one that is on", () => {
  for (const kind of Object.keys(wornKinds)) if (!kind.startsWith("bag_valve") && kind !== "nebuliser_mouthpiece") {
    const frames = posture(), shape = (p) => p.still.length;
    assert.notEqual(shape(worn(frames, { id: "d", kind, worn: true })), shape(worn(frames, { id: "d", kind, worn: false })), kind);
  }
  for (const kind of Object.keys(wornKinds)) drawn(atHand({ id: "d", kind }), lives, `${kind} at hand`);
});

test("supplies and tubes have no broken state either", () => {
  for (const kind of Object.keys(supplyKinds)) for (const size of [undefined, "E", "CD", "HX", "G", "US-D", "UK-J"]) for (const more of [{}, { valve_open: true, regulator: true, gauge_bar: 90, gauge_frac: 0.6 }, { regulator: true, gauge_psi: 0, gauge_frac: 0, secured: true }, { switched_on: true, alarms: ["low_oxygen"] }, { used: true }])
    drawn(supply({ id: "s", kind, gas_name: "OXYGEN", size, ...more }), lives, `${kind} ${size}`);
  for (const style of ["float", "dial"]) for (const max_lpm of [1, 3, 5, 10, 15, 25, 70]) for (const float_frac of [0, 0.31, 1]) for (const more of [{}, { flush: true }, { humidified: true, water: "to_the_line", bubbling: true }, { humidified: true, water: "none" }, { humidified: true, water: "low", whistles: true }])
    drawn(meter({ ...OXYGEN, style, max_lpm, float_frac, ...more }), lives, `${style} ${max_lpm}`);
  const way = (shift) => [[0, 0], [100, 180], [300, 120], [420 + shift[0], -60 + shift[1]]];
  for (const to of ["d", null]) for (const from of ["f", null]) for (const kinked of [true, false]) for (const wet_frac of [0, 0.4, 1]) for (const wide of [true, false])
    drawn(tubing(way, { id: "t", from, to, kinked, wet_frac, gurgles: true, hisses: true, carries: true, wide }), lives, "tube");
});

test("ids of moving parts are unique among things of different names", () => {
  const frames = posture(), all = ["a", "b"].flatMap((id) => ids(worn(frames, { id, kind: "non_rebreathing_mask", worn: true })));
  assert.equal(new Set(all).size, all.length);
});
