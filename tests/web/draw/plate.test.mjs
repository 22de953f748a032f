import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { wornKinds } from "../../../src/tidalbay/web/static/draw/equipment.mjs";
import { HEIGHT, WIDTH, cropBox, onPlate, patientSpot, route, supplySpots } from "../../../src/tidalbay/web/static/draw/layout.mjs";
import { faces } from "../../../src/tidalbay/web/static/draw/patient/faces.mjs";
import { sites, skinPicture, soreMark } from "../../../src/tidalbay/web/static/draw/patient/skin-marks.mjs";
import { plate } from "../../../src/tidalbay/web/static/draw/plate.mjs";
import { posture, usualRecline_deg } from "../../../src/tidalbay/web/static/draw/posture.mjs";
import { feeding, patientState } from "../../../src/tidalbay/web/static/draw/scene.mjs";
import { broken, builds, drawn, fakeSvg, layer, postures } from "./world.mjs";

const catalogue = (name) => readFileSync(new URL(`../../../src/tidalbay/catalogue/${name}.yaml`, import.meta.url), "utf8");

const things = (more = {}) => ({
  supplies: [{ id: "wall", kind: "wall_oxygen", gas_name: "OXYGEN" }, { id: "air", kind: "medical_air", gas_name: "MEDICAL AIR" }],
  flowmeters: [{ id: "meter", supply: "wall", style: "float", max_lpm: 15, float_frac: 0.27, set_frac: 0.27 }],
  tubes: [{ id: "hose", from: "meter", to: "mask", kinked: false }],
  devices: [{ id: "mask", kind: "non_rebreathing_mask", worn: true, snug: "snug", port_discs: 2, bag_valve: true, clip_pinched: true }],
  probe: { site: "finger" }, ...more,
});
const patient = { age_years: 68, sex: "female", skin_tone: 2, hair_tone: "grey" };
const said = (more = {}) => ({ patient, look: { posture: "upright", recline_deg: 45, effort: 0.5 }, things: things(), inspected: [], ...more });
const started = (how, scene = said(), svg = fakeSvg()) => { const p = plate(svg, how); p.scene(scene); return { p, svg }; };

test("the same scene told again builds nothing", () => {
  const { p } = started({});
  const before = p.built();

  p.scene(said());
  p.scene(structuredClone(said()));

  assert.equal(p.built(), before);
});

test("a flow that changes builds the flowmeter and nothing of the patient", () => {
  const { p, svg } = started({}), before = p.built(), head = layer(svg, "head").children[0].markup;

  p.scene(said({ things: things({ flowmeters: [{ ...things().flowmeters[0], float_frac: 0.5 }] }) }));

  assert.equal(p.built(), before + 1);
  assert.equal(layer(svg, "head").children[0].markup, head);
});

test("a look too small to be seen builds nothing; one that is seen leaves the supply alone", () => {
  const { p, svg } = started({}), before = p.built(), supply = drawn(layer(svg, "supply"));

  p.scene(said({ look: { posture: "upright", recline_deg: 45.2, effort: 0.51 } }));
  assert.equal(p.built(), before);
  p.scene(said({ look: { posture: "upright", recline_deg: 45, effort: 0.9 } }));

  assert.ok(p.built() > before);
  assert.equal(drawn(layer(svg, "supply")), supply);
});

test("breathing builds nothing, changes the front of the chest, and writes nothing twice", () => {
  const { p, svg } = started({}), before = p.built(), chest = layer(svg, "trunk").children[0].children[0];
  p.breathe({ air: 0.2, t_s: 1, breathing_in: true, bag: { mask: 0.9 } });
  const first = chest.getAttribute("d"), written = chest.written;
  p.breathe({ air: 0.2, t_s: 1, breathing_in: true, bag: { mask: 0.9 } });

  assert.equal(chest.written, written);
  p.breathe({ air: 0.8, t_s: 1.5, breathing_in: true, bag: { mask: 0.6 } });

  assert.notEqual(chest.getAttribute("d"), first);
  assert.equal(p.built(), before);
});

test("a device taken away is drawn no more, nor is its hose's end at the face", () => {
  const { p, svg } = started({});
  assert.equal(layer(svg, "worn").children.length, 1);

  p.scene(said({ things: things({ devices: [], tubes: [{ id: "hose", from: "meter", to: null }] }) }));

  assert.equal(layer(svg, "worn").children.length, 0);
  assert.equal(layer(svg, "hose").children.length, 1);
  assert.equal(p.anchor("device:mask"), null);
});

test("places for words: within the picture, where the thing is, and none for what is not there", () => {
  const { p } = started({});
  for (const name of ["finger", "chest", "mouth", "probe", "float:meter", "device:mask", "supply:wall", "tube:hose"]) {
    const at = p.anchor(name);
    assert.ok(at && at.x > 0 && at.x < WIDTH && at.y > 0 && at.y < HEIGHT, name);
  }
  assert.ok(p.anchor("float:meter").x < p.anchor("mouth").x && p.anchor("mouth").y < p.anchor("finger").y);
  assert.equal(p.anchor("float:other"), null);
});

test("places are in the svg's own pixels, also where it has room left over", () => {
  const wide = started({}, said(), fakeSvg(1920, 960)).p.anchor("finger"), half = started({}, said(), fakeSvg(960, 480)).p.anchor("finger"), tall = started({}, said(), fakeSvg(960, 1000)).p.anchor("finger");

  assert.ok(Math.abs(half.x - wide.x / 2) < 1e-9 && Math.abs(half.y - wide.y / 2) < 1e-9);
  assert.ok(Math.abs(tall.x - half.x) < 1e-9 && Math.abs(tall.y - half.y - 260) < 1e-9);
});

test("the cut view shows no outlet, of which only a knob would stand at its edge; the hose comes in all the same", () => {
  const layer = (view, name) => started({ view }, said()).svg.children.find((/** @type {any} */ g) => g.getAttribute("data-layer") === name);

  assert.equal(layer("cut", "supply").getAttribute("display"), "none");
  assert.equal(layer("cut", "hose").getAttribute("display"), null);
  assert.equal(layer("seen", "supply").getAttribute("display"), null);
});

test("as seen shows no gas and no inside; cut open shows both and no sleeve", () => {
  const gas = { nose: { supplied: 1 }, lung: { room: 1 } }, seen = drawn(started({ view: "seen" }, said({ gas })).svg), cut = drawn(started({ view: "cut" }, said({ gas })).svg);

  assert.ok(!/class="(o2|air|exp)"/.test(seen) && !seen.includes("f-bone"));
  for (const name of ["nose", "windpipe", "lung"]) assert.ok(started({ view: "cut" }, said({ gas })).p.anchor(`inside:${name}`), name);
  assert.ok(/class="o2"/.test(cut) && /class="air"/.test(cut) && cut.includes("f-bone") && !cut.includes("f-cloth"));
});

test("nothing drawn carries a style attribute or a broken number, in any posture, build or crop", () => {
  for (const view of ["seen", "cut"]) for (const build of builds) for (const place of postures) for (const crop of view === "cut" ? ["bed"] : ["bed", "face", "supply"]) {
    const { svg } = started({ view, crop }, said({ patient: { ...patient, build }, look: { posture: place, effort: 0.8, mouth: 0.3 }, inspected: [{ site: "right_ear", stage: 2, at_s: 1 }], gas: { lung: { room: 1 } } }));
    const text = drawn(svg);
    assert.doesNotMatch(text, / style="/);
    assert.doesNotMatch(text + svg.getAttribute("viewBox"), broken, `${view} ${build} ${place} ${crop}`);
  }
});

test("two plates in one page share no id", () => {
  const ids = (svg) => [...drawn(svg).matchAll(/ id="([^"]+)"/g)].map((m) => m[1]), a = ids(started({ view: "cut" }, said({ gas: { nose: { room: 1 } } })).svg), b = ids(started({ view: "cut" }, said({ gas: { nose: { room: 1 } } })).svg);

  assert.ok(a.length >= 2);
  assert.deepEqual(a.filter((id) => b.includes(id)), []);
});

test("the patient is on the plate in every build and posture, and so is the bed's foot", () => {
  for (const build of builds) for (const place of postures) for (const recline_deg of place === "upright" ? [45, 60, 80] : [usualRecline_deg[place]]) {
    const f = posture({ build, posture: place, recline_deg, effort: 1, air: 1 }), spot = patientSpot(f), skull = f.head.all(faces[build].skull).map((p) => onPlate(spot, p));
    assert.ok(Math.min(...skull.map((p) => p[1])) > 0, `${build} ${place}: head`);
    assert.ok(Math.min(...skull.map((p) => p[0])) > 520, `${build} ${place}: head runs into the supply`);
    const [x, y] = onPlate(spot, f.anchors.finger);
    assert.ok(x < WIDTH - 60 && y < HEIGHT, `${build} ${place}: finger`);
  }
});

test("a hose is one line from the outlet to the device, leaves and arrives the way they say, and stays on the plate", () => {
  for (const place of postures) {
    const f = posture({ posture: place, recline_deg: usualRecline_deg[place] }), spot = patientSpot(f), to = { at: onPlate(spot, f.anchors.underChin), deg: 60 }, from = { at: [322, 508], deg: 90 };
    const way = route(from, to, onPlate(spot, f.shoulder));
    assert.deepEqual([way[0], way.at(-1)], [from.at, to.at]);
    assert.ok(way[1][1] > way[0][1] && way.at(-2)[1] > way.at(-1)[1]);
    for (const [x, y] of way) assert.ok(x > 0 && x < WIDTH && y > 0 && y < HEIGHT, `${place}: ${x}, ${y}`);
  }
});

test("the supply that feeds the patient is the largest, wherever it stands in the list", () => {
  const supplies = [{ id: "air", kind: "medical_air" }, { id: "bottle", kind: "cylinder" }, { id: "wall", kind: "wall_oxygen" }];
  for (const first of ["air", "bottle", "wall"]) {
    const spots = supplySpots(supplies, first, new Set([first]));
    for (const { id } of supplies) assert.ok(id === first || spots[id].scale < spots[first].scale);
  }
  assert.equal(feeding(things()), "wall");
  assert.equal(feeding({ ...things(), tubes: [{ id: "x", from: "m2", to: "mask" }], flowmeters: [...things().flowmeters, { id: "m2", supply: "air", style: "float", max_lpm: 15, float_frac: 0 }] }), "air");
});

test("crops hold what they are named for", () => {
  for (const build of builds) {
    const f = posture({ build }), spot = patientSpot(f), holds = (box, p) => p[0] > box.x && p[0] < box.x + box.width && p[1] > box.y && p[1] < box.y + box.height;
    for (const place of ["nostril", "mouth", "ear", "chin", "cheek", "bridge"]) assert.ok(holds(cropBox("face", f, spot, false), onPlate(spot, f.anchors[place])), `${build} ${place}`);
    assert.ok(holds(cropBox("hands", f, spot, false), onPlate(spot, f.anchors.finger)));
    for (const place of ["occiput", "nostril", "chest", "belly"]) assert.ok(holds(cropBox("bed", f, spot, true), onPlate(spot, f.anchors[place])));
  }
});

test("every skin site of the catalogue has its place, and behind the ear is looked at behind the ear", () => {
  const named = [...catalogue("skin_sites").matchAll(/\{id: (\w+), words:/g)].map((m) => m[1]);

  assert.equal(named.length, 12);
  for (const site of named) assert.ok(sites.includes(site), site);
  for (const site of ["left_ear", "right_ear", "behind_left_ear", "behind_right_ear"]) assert.ok(skinPicture(posture(), site, 2).includes("f-sore"), site);
});

test("stages of sore skin look different, and none is drawn where skin is as usual", () => {
  assert.equal(soreMark(0, 10, 5), "");
  assert.equal(new Set([1, 2, 3].map((s) => soreMark(s, 10, 5))).size, 3);
  assert.ok(soreMark(3, 10, 5).includes("f-broken") && !soreMark(2, 10, 5).includes("f-broken") && !soreMark(1, 10, 5).includes("hair"));
  const marks = (inspected) => drawn(layer(started({}, said({ inspected })).svg, "marks"));
  assert.equal(marks([]), "");
  assert.equal(marks([{ site: "chin", stage: 0 }]).includes("f-sore"), false);
  assert.ok(marks([{ site: "chin", stage: 1 }]).includes("f-sore"));
});

test("the picture of a place that was looked at goes after a minute", () => {
  const { p, svg } = started({}, said({ inspected: [{ site: "left_ear", stage: 1, at_s: 100 }] })), inset = layer(svg, "inset").children[0];
  p.breathe({ air: 0, t_s: 130 });
  assert.equal(inset.hasAttribute("visibility"), false);
  p.breathe({ air: 0, t_s: 161 });

  assert.equal(inset.getAttribute("visibility"), "hidden");
});

test("every device, probe place and posture of the catalogue is drawn", () => {
  const devices = [...catalogue("devices").matchAll(/^ {2}- id: (\w+)/gm)].map((m) => m[1]);
  assert.ok(devices.length >= 13);
  for (const kind of devices) {
    assert.ok(wornKinds[kind], kind);
    const { p } = started({}, said({ things: things({ devices: [{ id: "mask", kind, worn: true, snug: "snug", prongs: "down" }] }) }));
    assert.ok(p.anchor("device:mask"), kind);
  }
  const probes = /id: probe_placed[\s\S]*?choices: \[([^\]]+)\]/.exec(catalogue("acts"))[1].split(", ");
  for (const site of probes) assert.ok(started({}, said({ things: things({ probe: { site } }) })).p.anchor("probe"), site);
  const lines = /id: sampling_line_placed[\s\S]*?choices: \[([^\]]+)\]/.exec(catalogue("acts"))[1].split(", ");
  for (const site of lines) {
    const { p } = started({}, said({ things: things({ sampling_line: { site } }) }));
    assert.ok(p.anchor("sampling"), site);
  }
  const places = /id: positioned[\s\S]*?choices: \[([^\]]+)\]/.exec(catalogue("acts"))[1].split(", ");
  assert.deepEqual(places.filter((x) => !postures.includes(x)), []);
});

test("a patient is drawn from what is told, and what is not known becomes the usual", () => {
  assert.equal(patientState({ age_years: 0.75 }).build, "infant");
  assert.equal(patientState({ age_years: 6, sex: "male" }).build, "child");
  assert.equal(patientState({ age_years: 58, sex: "male" }).build, "man");
  assert.equal(patientState({ build: "woman", hair: "unheard of", skin_tone: 9 }, { posture: "hanging" }).posture, "upright");
  assert.equal(patientState({ skin_tone: 9 }).tone, 5);
  assert.equal(patientState({}, { posture: "propped" }).recline_deg, usualRecline_deg.propped);
});

test("title and description are set once and again only when words change", () => {
  const { p, svg } = started({});
  p.words("Mrs Lind", "She breathes fast.");
  p.words("Mrs Lind", "She breathes slower.");

  assert.equal(svg.getAttribute("role"), "img");
  assert.deepEqual(svg.children.filter((c) => ["title", "desc"].includes(c.tagName)).map((c) => c.textContent), ["Mrs Lind", "She breathes slower."]);
  assert.equal(svg.children[0].tagName, "title");
});

test("the cut view is called a diagram, and an adult's where a child is drawn", () => {
  const says = (build) => started({ view: "cut" }, said({ patient: { ...patient, build } })).p.saysOfSection();

  for (const build of builds) assert.match(says(build), /^A diagram/);
  assert.ok(says("infant").includes("an adult's") && !says("man").includes("an adult's"));
});

test("what is not worn lies past the hand and its probe, and each in a place of its own", () => {
  for (const recline_deg of [20, 45, 70]) {
    const devices = ["simple_mask", "non_rebreathing_mask"].map((kind, i) => ({ id: `d${i}`, kind, worn: false }));
    const { p } = started({}, said({ look: { recline_deg }, things: things({ devices, tubes: [] }) }));
    const finger = p.anchor("probe"), [first, second] = devices.map((d) => p.anchor(`device:${d.id}`));

    assert.ok(first.x > finger.x + 40, `${first.x} ${finger.x}`);
    assert.ok(Math.hypot(first.x - second.x, first.y - second.y) > 60);
    assert.ok(Math.hypot(second.x - finger.x, second.y - finger.y) > 60);
  }
});

test("a supply's plate ends where its supplies end: one outlet on the wall needs no floor", () => {
  const height = (supplies) => { const { svg, p } = started({ crop: "supply" }, said({ things: things({ supplies }) })); assert.ok(p); return Number(svg.getAttribute("viewBox").split(" ")[3]); };

  assert.ok(height([{ id: "wall", kind: "wall_oxygen", gas_name: "OXYGEN" }]) < 700);
  assert.equal(height([{ id: "wall", kind: "wall_oxygen", gas_name: "OXYGEN" }, { id: "air", kind: "wall_air", gas_name: "MEDICAL AIR" }]), 960);
});
