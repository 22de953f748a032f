// Contract of practice: what can be done to each drawn thing as it stands, hints that never judge, a chart kept as written.
import assert from "node:assert/strict";
import { test } from "node:test";

import { readForm } from "../../../src/tidalbay/web/static/acts/act-form.mjs";
import { readEntry } from "../../../src/tidalbay/web/static/pages/practice/chart.mjs";
import { handlesOf, shelf, spread } from "../../../src/tidalbay/web/static/pages/practice/deeds.mjs";
import { nextHint } from "../../../src/tidalbay/web/static/pages/practice/hints.mjs";
import { acts, first, told, ward, world } from "./world.mjs";

const rows = told.handles.on_plate;
const handle = (things, id) => handlesOf(rows, world(things)).find((each) => each.id === id);
const words = (things, id) => handle(things, id)?.deeds.map((each) => each.words);

test("everything drawn has one handle, and each hangs where it is drawn", () => {
  const found = handlesOf(rows, world(ward()));
  assert.deepEqual(found.map((each) => each.anchor), ["mouth", "behindEar", "belly", "finger", "supply:outlet", "knob:flowmeter", "device:cannula", "tube:cannula_tubing"]);
});

test("a device in the hand can go on, one that is on can come off, and neither the other way", () => {
  const things = ward();
  assert.ok(words(things, "device-cannula").includes("Put it on"));
  assert.ok(!words(things, "device-cannula").includes("Take it off"));
  things.devices[0].worn = true;
  assert.ok(words(things, "device-cannula").includes("Take it off"));
  assert.ok(!words(things, "device-cannula").includes("Put it on"));
});

test("prongs are turned on a cannula and a clip is moulded on a mask, each only where there is one", () => {
  assert.ok(words(ward(), "device-cannula").includes("Turn the prongs"));
  const things = ward();
  things.devices[0].kind = "simple_mask";
  assert.ok(!words(things, "device-cannula").includes("Turn the prongs"));
  assert.ok(words(things, "device-cannula").includes("Pinch the nose clip"));
});

test("a cup for tubing is fitted and taken out, and has no strap to set", () => {
  const things = ward();
  things.devices[0].kind = "nebuliser_in_line";
  assert.ok(words(things, "device-cannula").includes("Fit it into the wide tubing"));
  assert.ok(words(things, "device-cannula").includes("Load the drug"));
  things.devices[0].worn = true;
  assert.ok(words(things, "device-cannula").includes("Take it out of the tubing"));
  assert.ok(!words(things, "device-cannula").includes("Set the strap"));
  things.devices[0].kind = "nebuliser_mask";
  assert.ok(words(things, "device-cannula").includes("Set the strap"));
});

test("a loose device can be connected to each flowmeter by name, a connected one to the others only", () => {
  const things = ward();
  things.supplies.push({ id: "air_outlet", kind: "wall_air", gas_name: "MEDICAL AIR" });
  things.flowmeters.push({ id: "air_flowmeter", supply: "air_outlet", max_lpm: 15 });
  const connecting = () => words(things, "device-cannula").filter((each) => each.startsWith("Connect"));
  assert.deepEqual(connecting(), ["Connect to the air outlet"]);
  things.tubes = [];
  assert.deepEqual(connecting(), ["Connect to the oxygen outlet", "Connect to the air outlet"]);
});

test("a shut cylinder can be opened and an open one shut", () => {
  const things = ward();
  things.supplies = [{ id: "bottle", kind: "cylinder", valve_open: false }];
  assert.ok(words(things, "cylinder-bottle").includes("Open the valve"));
  assert.ok(!words(things, "cylinder-bottle").includes("Shut the valve"));
});

test("the shelf holds adults' devices for adults and children's for children", () => {
  const ids = (age) => shelf(world(ward()), age).map((each) => each.values.device);
  assert.ok(ids(58).includes("simple_mask"));
  assert.ok(!ids(58).some((each) => each.startsWith("child_")));
  assert.ok(ids(6).includes("child_simple_mask"));
  assert.ok(!ids(6).includes("simple_mask"));
});

test("handles that would lie on each other are moved apart and stay inside", () => {
  const least = { x: 120, y: 50 }, box = { width: 600, height: 300 };
  const placed = spread([{ x: 300, y: 150 }, { x: 300, y: 150 }, { x: 310, y: 160 }, { x: 598, y: 4 }], least, box);
  for (const [i, a] of placed.entries()) {
    assert.ok(a.x >= 59 && a.x <= 541 && a.y >= 24 && a.y <= 276, JSON.stringify(a));
    for (const b of placed.slice(i + 1)) assert.ok(Math.hypot((a.x - b.x) / least.x, (a.y - b.y) / least.y) > 0.95);
  }
  assert.deepEqual(spread([{ x: 300, y: 150 }], least, box), [{ x: 300, y: 150 }], "alone it stays where its thing is");
});

const plausible = [...acts.keys()];
const done = (...names) => names.map((act, i) => ({ act, manner: "done", t_ms: 1000 * i }));

test("the first hint is about the order, the next one about the next step", () => {
  assert.equal(nextHint(first.steps, [], plausible), first.steps[0].hint);
  assert.equal(nextHint(first.steps, done("order_read"), plausible), first.steps[1].hint);
  assert.equal(nextHint(first.steps, [{ act: "order_read", manner: "said", t_ms: 0 }], plausible), first.steps[0].hint, "said is not done");
});

test("a step whose acts make no sense now is passed over", () => {
  assert.equal(nextHint(first.steps, [], plausible.filter((each) => each !== "order_read")), first.steps[1].hint);
});

test("after a change of oxygen the hint is to look again, until something was read out", () => {
  const until = first.steps.findIndex((each) => each.id === "looked-again");
  const all = done(...first.steps.slice(0, until).flatMap((each) => [...each.taps, ...(each.done_by ?? []).slice(0, 1)]));
  const later = [...all, { act: "flow_set", manner: "done", t_ms: 90000 }];
  assert.equal(nextHint(first.steps, later, plausible), first.steps[until].hint);
  assert.notEqual(nextHint(first.steps, [...later, { act: "observed", manner: "done", t_ms: 95000 }], plausible), first.steps[until].hint);
});

const form = told.forms.find((each) => each.id === "oxygen_entry");
const data = (values) => ({ get: (name) => values[name] });

test("the chart keeps what was written, numbers as numbers, and leaves out what was not", () => {
  assert.deepEqual(readEntry(form, data({ device: "nasal cannula", flow_lpm: "2", spo2_pct: "94", note: " " })), { fields: { device: "nasal cannula", flow_lpm: 2, spo2_pct: 94 } });
  assert.deepEqual(readEntry(form, data({ spo2_pct: "940" })), { sentence: "Saturation: 940 is outside 0 to 100 %." });
  assert.deepEqual(readEntry(form, data({})), { sentence: "Nothing is written yet." });
});

test("a form about an act says what is still open and refuses what cannot be", () => {
  const asked = acts.get("drug_loaded").arguments;
  const whole = { drug: "salbutamol", dose_mg: "5", volume_ml: "4" };
  assert.deepEqual(readForm(data(whole), asked), { values: { drug: "salbutamol", dose_mg: 5, volume_ml: 4 } });
  assert.deepEqual(readForm(data({ ...whole, dose_mg: "" }), asked), { sentence: "Dose is still open." });
  assert.deepEqual(readForm(data({ ...whole, dose_mg: "500" }), asked), { sentence: "Dose: 500 is outside 0 to 20 mg." });
});
