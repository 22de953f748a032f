import assert from "node:assert/strict";
import test from "node:test";
import { reading } from "../../../src/tidalbay/web/static/draw/cylinder-told.mjs";
import { amongThings, meter, supply, worn } from "../../../src/tidalbay/web/static/draw/equipment.mjs";
import { floatHeight, scaleOf } from "../../../src/tidalbay/web/static/draw/flowmeter.mjs";
import { needleDeg, scaleEnd } from "../../../src/tidalbay/web/static/draw/gauge.mjs";
import { posture } from "../../../src/tidalbay/web/static/draw/posture.mjs";
import { lowestShare, tubing } from "../../../src/tidalbay/web/static/draw/tubing.mjs";
import { OXYGEN, live, moved, numbers } from "./pieces.mjs";

const shares = Array.from({ length: 41 }, (_, i) => i / 40);

test("the ball stands higher the more flows, and highest when it is pinned", () => {
  const heights = shares.map((float_frac) => -meter({ ...OXYGEN, float_frac }).anchors.float[1]);

  for (let i = 1; i < heights.length; i++) assert.ok(heights[i] > heights[i - 1]);
  assert.ok(-meter({ ...OXYGEN, float_frac: 1, flush: true }).anchors.float[1] > heights.at(-1) + 10);
});

test("the ball's middle is level with the stroke of the flow it reads, on every scale", () => {
  for (const max_lpm of [1, 3, 5, 10, 15, 30, 70]) for (const lpm of scaleOf(max_lpm).named) {
    const { still, anchors } = meter({ ...OXYGEN, max_lpm, float_frac: lpm / max_lpm }), y = Math.round(anchors.float[1] * 100) / 100;
    assert.ok(still.includes(`M12 ${y}h9`), `${lpm} of ${max_lpm} L/min: no stroke at ${y}`);
  }
});

test("numbers of a scale do not run into one another", () => {
  for (const max_lpm of [1, 3, 5, 6, 10, 15, 30, 70]) {
    const heights = scaleOf(max_lpm).named.map((lpm) => floatHeight(lpm / max_lpm));
    for (let i = 1; i < heights.length; i++) assert.ok(heights[i] - heights[i - 1] > 11, `${max_lpm} L/min: ${scaleOf(max_lpm).named[i]}`);
  }
});

test("news of the float moves the ball without a new drawing", () => {
  const piece = meter({ ...OXYGEN, float_frac: 0 }), y = (float) => numbers(moved(piece, "float:f", live({ float })))[1];

  assert.ok(y({ f: 0.8 }) < y({ f: 0.2 }) - 50);
  assert.equal(y({}), -52);
});

test("outlet and flowmeter both carry the printed gas name", () => {
  for (const gas_name of ["OXYGEN", "MEDICAL AIR"]) {
    const printed = (still) => [...still.matchAll(/<text[^>]*>([^<]*)<\/text>/g)].map((m) => m[1]).join(" ");
    assert.ok(printed(supply({ id: "s", kind: "wall_oxygen", gas_name }).still).includes(gas_name));
    assert.ok(printed(meter({ ...OXYGEN, gas_name }).still).includes(gas_name));
  }
});

test("gases are told apart by print alone: the drawings are otherwise the same", () => {
  const plain = (gas_name) => supply({ id: "s", kind: "wall_oxygen", gas_name }).still.replace(/<text.*?<\/text>/g, "");
  assert.equal(plain("OXYGEN"), plain("HELIOX"));
});

test("there is a humidifier only where the flowmeter has one, and bubbles only where gas goes through water", () => {
  const bubbles = (more) => meter({ ...OXYGEN, ...more }).moving.filter((m) => m.id.startsWith("bubble")).length;

  assert.equal(meter(OXYGEN).anchors.water, undefined);
  assert.ok(meter({ ...OXYGEN, humidified: true }).anchors.water);
  assert.ok(bubbles({ humidified: true, water: "to_the_line", bubbling: true }) > 5);
  assert.equal(bubbles({ humidified: true, water: "to_the_line", bubbling: false }), 0);
  assert.equal(bubbles({ humidified: true, water: "none", bubbling: true }), 0);
});

test("water stands lower the less there is", () => {
  const surface = (water) => meter({ ...OXYGEN, humidified: true, water }).anchors.water[1];
  assert.ok(surface("to_the_line") < surface("low") && surface("low") < surface("none"));
});

test("bubbles rise", () => {
  const piece = meter({ ...OXYGEN, humidified: true, water: "to_the_line", bubbling: true }), y = (t_s) => numbers(moved(piece, "bubble:f:0", live({ t_s })))[1];
  const risen = shares.map((s) => y(s)).filter((v, i, all) => i && v < all[i - 1]).length;
  assert.ok(risen >= 38, `${risen} of 40 steps went up`);
});

const E = { id: "c", kind: "cylinder", gas_name: "OXYGEN", size: "E", regulator: true, secured: true, valve_open: true };

test("the needle goes on turning one way as pressure rises", () => {
  const turns = shares.map((s) => needleDeg(s * 3000, 3000));
  for (let i = 1; i < turns.length; i++) assert.ok(turns[i] > turns[i - 1]);
  const drawn = (gauge_psi) => numbers(moved(supply({ ...E, gauge_psi, gauge_frac: gauge_psi / 2000 }), "gauge:c", live()))[0];
  assert.ok(drawn(200) < drawn(900) && drawn(900) < drawn(1900));
});

test("a gauge shows what it is told whether the valve is open or shut: trapped pressure stays until it is bled", () => {
  const needle = (more) => moved(supply({ ...E, gauge_psi: 1200, gauge_frac: 0.6, ...more }), "gauge:c", live());

  assert.equal(needle({ valve_open: false }), needle({ valve_open: true }));
  assert.notEqual(needle({ valve_open: false, gauge_psi: 0, gauge_frac: 0 }), needle({ valve_open: false }));
  assert.notEqual(supply({ ...E, gauge_psi: 1200, valve_open: false }).still, supply({ ...E, gauge_psi: 1200, valve_open: true }).still); // the key has turned
});

test("a gauge's scale does not change as the bottle empties", () => {
  const printed = (gauge_bar) => supply({ ...E, size: "UK-E", gauge_bar, gauge_frac: gauge_bar / 137 }).still.match(/font-size="8.6"[^>]*>\d+/g);
  assert.deepEqual(printed(137), printed(4));
  assert.deepEqual(printed(137), printed(0));
});

test("a gauge is printed in the unit of its bottle's country, whichever units are told, and its scale holds the filling pressure", () => {
  const told = (size, bar) => reading({ ...E, size, gauge_bar: bar, gauge_psi: bar * 14.504, gauge_frac: 0.6 });
  for (const [size, unit, bar] of [["E", "psi", 138], ["US-D", "psi", 138], ["UK-E", "bar", 137], ["CD", "bar", 230], ["HX", "bar", 230], ["ZX", "bar", 300]]) {
    const r = told(size, bar);
    assert.equal(r.unit, unit, size);
    assert.ok(r.reading > 0.6 * r.highest && r.reading < r.highest, `${size}: ${r.reading} of ${r.highest}`);
  }
  assert.ok(told("E", 310).highest >= 310 * 14.5, "a case may start with more");
  assert.equal(scaleEnd(250, "bar"), 300);
});

test("what escapes is heard at the bottle's valve, at a free nipple and at a bag's connector", () => {
  for (const drawn of [(hisses) => supply({ ...E, regulator: false, hisses }), (hisses) => meter({ ...OXYGEN, hisses }), (hisses) => meter({ ...OXYGEN, humidified: true, hisses }), (hisses) => worn(posture(), { id: "d", kind: "non_rebreathing_mask", worn: true, hisses })])
    assert.ok(drawn(true).still.length > drawn(false).still.length);
});

test("the strap that secures a cylinder is at two thirds of its height", () => {
  for (const [size, height] of [["CD", 400], ["E", 540], ["G", 700]]) assert.ok(Math.abs(supply({ ...E, size }).anchors.strap[1] + height * 2 / 3) < 2, size);
  assert.notEqual(supply({ ...E, secured: false }).still, supply(E).still);
});

test("no drawing of equipment uses the attention colour or a fixed colour", () => {
  const all = [meter({ ...OXYGEN, humidified: true, whistles: true, bubbling: true }), supply({ ...E, gauge_psi: 20, gauge_frac: 0.01 }), supply({ id: "k", kind: "concentrator", gas_name: "OXYGEN", alarms: ["low_oxygen"] })].map((p) => p.still).join("");
  assert.ok(!/attend|line-att|f-att|#[0-9A-Fa-f]{3}/.test(all));
});

test("a larger share turns the high-flow dial further, and the ball above it is live", () => {
  const set = (high_flow_share_pct) => meter({ ...OXYGEN, max_lpm: 70, high_flow_share_pct }), turn = (pct) => Number(set(pct).still.match(/rotate\((-?[\d.]+)\)"><path class="ink" d="M0 -23/)[1]);
  for (const [less, more] of [[21, 30], [30, 60], [60, 100]]) assert.ok(turn(less) < turn(more));
  assert.notEqual(moved(set(40), "float:f", live({ float: { f: 0.1 } })), moved(set(40), "float:f", live({ float: { f: 0.9 } })));
});

test("a flowmeter that feeds high-flow prongs gets their set, and no other does", () => {
  const tubes = [{ id: "t", from: "f", to: "d" }], source = { id: "s", kind: "wall_oxygen", gas_name: "OXYGEN" };
  const told = (kind, from = "f") => amongThings({ ...OXYGEN, gas_name: undefined }, source, { tubes: [{ ...tubes[0], from }], devices: [{ id: "d", kind, oxygen_share_pct: 40 }] });
  assert.equal(told("high_flow_nasal_cannula").high_flow_share_pct, 40);
  assert.equal(told("high_flow_nasal_cannula").gas_name, "OXYGEN");
  assert.equal(told("high_flow_nasal_cannula", "other").high_flow_share_pct, undefined);
  assert.equal(told("nasal_cannula").high_flow_share_pct, undefined);
});

const way = (shift) => [[0, 0], [120, 160], [260, 40], [420 + shift[0], 20 + shift[1]]];
const hose = (more) => tubing(way, { id: "t", from: "f", to: "d", ...more });

test("a kinked tube, a wet one, an open one and a sound one all differ", () => {
  const seen = [{}, { kinked: true }, { wet_frac: 0.6 }, { to: null }, { from: null }, { to: null, hisses: true }, { wide: true }].map((more) => hose(more).still);
  assert.equal(new Set(seen).size, seen.length);
});

test("water lies in the lowest loop", () => {
  const line = way([0, 0]), at = lowestShare(line);
  assert.ok(at > 0.2 && at < 0.45, `${at}`);
  assert.ok(Math.abs(hose({ wet_frac: 1 }).anchors.water[1] - 160) < 6);
});

test("marks travel only in the teaching view, and not past a kink", () => {
  assert.ok(!hose({}).still.includes("--supplied"));
  assert.ok(hose({ carries: true }).still.includes("--supplied"));
  const end = (piece) => numbers(moved(piece, "tube-marks:t", live(), "d")).slice(-2);
  assert.ok(end(hose({ carries: true }))[0] > 400);
  assert.ok(end(hose({ carries: true, kinked: true }))[0] < 200);
  assert.equal(hose({ carries: true, kinked: true }).moving.filter((m) => m.attr === "stroke-dashoffset").length, 0);
});

test("a hose's end follows the head, its source stays", () => {
  const path = (shift) => numbers(moved(hose({}), "tube-first:t", live({ shift })));
  const rest = path([0, 0]), lifted = path([4, -9]);
  assert.deepEqual(lifted.slice(0, 2), rest.slice(0, 2));
  assert.deepEqual(lifted.slice(-2), [424, 11]);
});
