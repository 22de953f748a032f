import assert from "node:assert/strict";
import test from "node:test";
import { supplyKinds, wornKinds } from "../../../src/tidalbay/web/static/draw/equipment.mjs";
import { patientSections } from "../../../src/tidalbay/web/static/pages/specimen/patients.mjs";
import { supplySections } from "../../../src/tidalbay/web/static/pages/specimen/supplies.mjs";
import { wornSections } from "../../../src/tidalbay/web/static/pages/specimen/worn.mjs";
import { drawn, live } from "./pieces.mjs";

const sections = [...patientSections, ...wornSections, ...supplySections], figures = sections.flatMap((s) => s.figures);

test("every caption is a sentence", () => {
  for (const f of figures) assert.match(f.says, /^[A-Z0-9].*\.$/, f.says);
  for (const s of sections) assert.match(s.says, /\.$/);
});

test("sections have names of their own", () => {
  assert.equal(new Set(sections.map((s) => s.id)).size, sections.length);
});

test("every device kind, build and way of the prongs is on the sheet", () => {
  const said = figures.flatMap((f) => (f.scene ? [f.scene.said] : [])), devices = said.flatMap((s) => s.things?.devices ?? []);
  const kinds = new Set(devices.filter((d) => d.worn !== false).map((d) => d.kind));
  assert.deepEqual(Object.keys(wornKinds).filter((k) => !kinds.has(k)), []);
  for (const build of ["woman", "man", "child", "infant"]) assert.ok(said.some((s) => s.patient.build === build), build);
  for (const way of ["up", "one_out", "below", "cheek"]) assert.ok(devices.some((d) => d.prongs === way), way);
  for (const tone of [1, 2, 3, 4, 5]) assert.ok(said.some((s) => s.patient.skin_tone === tone), `skin ${tone}`);
  assert.ok(Object.keys(supplyKinds).length >= 5);
});

test("every piece that stands alone is whole", () => {
  for (const f of figures) if (f.alone) drawn({ anchors: {}, ...f.alone.piece }, [live(), live({ air: 0.8, t_s: 9 })], f.says);
});
