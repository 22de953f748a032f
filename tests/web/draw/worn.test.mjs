import assert from "node:assert/strict";
import test from "node:test";
import { areaOf, bagMarks, bagOutline } from "../../../src/tidalbay/web/static/draw/bag.mjs";
import { squeezeOutline } from "../../../src/tidalbay/web/static/draw/bag-valve-mask.mjs";
import { prongTip } from "../../../src/tidalbay/web/static/draw/cannula.mjs";
import { PRINTED_LPM, jetValve, windowMm } from "../../../src/tidalbay/web/static/draw/entrainment-mask.mjs";
import { worn } from "../../../src/tidalbay/web/static/draw/equipment.mjs";
import { mask } from "../../../src/tidalbay/web/static/draw/mask.mjs";
import { cup } from "../../../src/tidalbay/web/static/draw/nebuliser.mjs";
import { noseInset } from "../../../src/tidalbay/web/static/draw/nose-inset.mjs";
import { posture } from "../../../src/tidalbay/web/static/draw/posture.mjs";
import { hangOf } from "../../../src/tidalbay/web/static/draw/reservoir-mask.mjs";
import { pictureOf, roundel, roundels } from "../../../src/tidalbay/web/static/draw/roundels.mjs";
import { live, moved, numbers } from "./pieces.mjs";
import { readFileSync } from "node:fs";

const frames = posture({ recline_deg: 45 });
const on = (kind, more = {}) => worn(frames, { id: "d", kind, worn: true, ...more });
const tenths = Array.from({ length: 11 }, (_, i) => i / 10);

test("the bag's outline shrinks as it gives, and what is left is a fraction of it", () => {
  const h = hangOf(frames, false), areas = tenths.map((full) => areaOf(bagOutline(h, full)));

  for (let i = 1; i < areas.length; i++) assert.ok(areas[i] > areas[i - 1] * 1.03, `${i}`);
  assert.ok(areas[0] < 0.2 * areas[10]);
});

test("an empty bag hangs: its foot is lower and further back than a full bag's", () => {
  for (const recline_deg of [20, 45, 70]) {
    const h = hangOf(posture({ recline_deg }), false), foot = (full) => { const o = bagOutline(h, full); return o[Math.floor(o.length / 2)]; };
    assert.ok(foot(0)[1] > foot(1)[1] + 5, `${recline_deg}`);
    assert.ok(foot(0)[0] < foot(1)[0] - 12, `${recline_deg}`);
  }
});

test("the drawn bag follows the breath it is told, by its own id", () => {
  const piece = on("non_rebreathing_mask"), path = (bag) => moved(piece, "bag-body:d", live({ bag }));

  assert.notEqual(path({ d: 0.9 }), path({ d: 0.5 }));
  assert.equal(path({ other: 0.9 }), path({}));
});

test("marks of gas in the bag are as many as the bag is full, and lie inside it", () => {
  const h = hangOf(frames, false), xs = (line) => line.map((p) => p[0]);
  assert.equal(bagMarks(h, 0).length, 0);
  assert.ok(Math.abs(bagMarks(h, 0.5).length - bagMarks(h, 1).length / 2) <= 1);
  const o = bagOutline(h, 0.6);
  for (const m of bagMarks(h, 0.6)) assert.ok(m.x > Math.min(...xs(o)) && m.x < Math.max(...xs(o)));
});

test("discs lift as gas goes out and lie flat as it comes in; a missing disc does not move", () => {
  const two = on("non_rebreathing_mask", { port_discs: 2 }), disc = (piece, name, breathing_in) => moved(piece, name, live({ air: 0.7, breathing_in }));

  assert.notEqual(disc(two, "disc:d", false), disc(two, "disc:d", true));
  assert.notEqual(disc(two, "far-disc:d", false), disc(two, "far-disc:d", true));
  assert.throws(() => disc(on("non_rebreathing_mask", { port_discs: 1 }), "disc:d", false));
  assert.throws(() => disc(on("non_rebreathing_mask", { port_discs: 0 }), "far-disc:d", false));
});

test("masks with two, one and no disc, with and without the bag's valve, and the partial rebreathing mask all differ", () => {
  const seen = [{ port_discs: 2 }, { port_discs: 1 }, { port_discs: 0 }, { port_discs: 2, bag_valve: false }, { bag_twisted: true }].map((s) => on("non_rebreathing_mask", s).still);
  seen.push(on("partial_rebreathing_mask").still);
  assert.equal(new Set(seen).size, seen.length);
});

test("a partial rebreathing mask has neither disc nor valve, whatever it is told", () => {
  const plain = on("partial_rebreathing_mask"), told = on("partial_rebreathing_mask", { port_discs: 2, bag_valve: true });
  assert.equal(told.still, plain.still);
  assert.ok(!plain.moving.some((m) => m.id.includes("disc")));
});

test("the mask's rim is below the eye: nothing of the shell touches the pupil", () => {
  const fit = { snug: "snug", clip: true, padded: [], worn: true, cut: false, ear: [0, 0], back: -110 };
  const shell = [...mask(fit, "", "").matchAll(/class="contour" d="([^"]+)"/g)].map((m) => numbers(m[1]));
  assert.equal(shell.length, 2);
  const pupil = [82.4, -15], reach = shell.flatMap((n) => n.filter((_, i) => i % 2 === 0).map((x, i) => Math.hypot(x - pupil[0], n[2 * i + 1] - pupil[1])));
  assert.ok(Math.min(...reach) > 15, `${Math.min(...reach)} mm`);
});

test("loose, snug, tight, pinched and padded masks can be told apart", () => {
  const seen = [{}, { snug: "loose" }, { snug: "tight" }, { clip_pinched: true }, { padded: ["nose_bridge"] }, { padded: ["left_ear"] }].map((s) => on("simple_mask", s).still);
  assert.equal(new Set(seen).size, seen.length);
});

const WAYS = ["down", "up", "one_out", "below", "cheek"];

test("the five ways of the prongs differ on the face, near, and cut open", () => {
  for (const kind of ["nasal_cannula", "high_flow_nasal_cannula"]) {
    assert.equal(new Set(WAYS.map((prongs) => on(kind, { prongs }).still)).size, 5);
    assert.equal(new Set(WAYS.map((prongs) => on(kind, { prongs }).inset)).size, 5);
    assert.equal(new Set(WAYS.map((prongs) => on(kind, { prongs, cut: true }).still)).size, 5);
  }
  assert.equal(new Set(WAYS.flatMap((way) => [noseInset(way, "thin"), noseInset(way, "wide")])).size, 10);
});

test("prongs that curve down lead along the floor of the nose, those that curve up to its roof", () => {
  assert.ok(prongTip("down").tip[1] > prongTip("up").tip[1] + 10);
  assert.ok(Math.abs(Math.sin(prongTip("down").deg * Math.PI / 180)) < 0.2);
  assert.ok(Math.sin(prongTip("up").deg * Math.PI / 180) < -0.7);
});

test("a jet valve prints its share and flow, and its windows are smaller the more oxygen it gives", () => {
  for (const [percent, lpm] of Object.entries(PRINTED_LPM)) assert.match(jetValve({ percent: Number(percent) }), new RegExp(`>${percent} %<.*>${lpm} L/min<`));
  const open = Object.keys(PRINTED_LPM).map((p) => windowMm(Number(p)));
  for (let i = 1; i < open.length; i++) assert.ok(open[i] < open[i - 1]);
  assert.notEqual(jetValve({ percent: 28, covered: 0 }), jetValve({ percent: 28, covered: 0.5 }));
});

test("mist keeps away from the eyes in every posture", () => {
  for (const recline_deg of [15, 45, 75]) for (const kind of ["nebuliser_mask", "nebuliser_mouthpiece"]) {
    const f = posture({ recline_deg }), [ex, ey] = f.head.at(80, -15), piece = worn(f, { id: "d", kind, worn: true, misting: true, cup_ml: 3 });
    const puffs = piece.moving.filter((m) => m.id.startsWith("mist") && m.attr === "transform");
    assert.ok(puffs.length >= 5);
    for (const puff of puffs) for (let t_s = 0; t_s < 4; t_s += 0.13) {
      const [x, y, scale] = numbers(puff.of(live({ t_s })));
      assert.ok(Math.hypot(x - ex, y - ey) - 14 * scale > 22, `${kind} at ${recline_deg} degrees, ${t_s} s`);
    }
  }
});

test("no mist where none is made, and little in front of the face while the breath goes in", () => {
  assert.ok(!on("nebuliser_mask", { misting: false, cup_ml: 3 }).moving.some((m) => m.id.startsWith("mist")));
  const piece = on("nebuliser_mask", { misting: true, cup_ml: 3 }), seen = (breathing_in) => piece.moving.filter((m) => m.attr === "opacity").reduce((sum, m) => sum + Number(m.of(live({ t_s: 2, breathing_in }))), 0);
  assert.ok(seen(true) < 0.4 * seen(false));
});

test("the cup's liquid stays level when the cup is tilted, and falls as it is used", () => {
  const surface = (state) => numbers(cup({ ml: 3, misting: false, sputtering: false, tiltDeg: 0, ...state }).match(/class="f-wash2" d="([^"]+)"/)[1]).slice(0, 4);
  for (const tiltDeg of [-20, 0, 20]) {
    const [x1, y1, x2, y2] = surface({ tiltDeg }), a = tiltDeg * Math.PI / 180;
    assert.ok(Math.abs((x2 - x1) * Math.sin(a) + (y2 - y1) * Math.cos(a)) < 1.5, `${tiltDeg} degrees`);
  }
  assert.ok(surface({ ml: 1 })[1] > surface({ ml: 4 })[1]);
});

test("a squeezed bag is smaller, and is squeezed only when hands squeeze it", () => {
  const areas = tenths.map((q) => areaOf(squeezeOutline(q)));
  for (let i = 1; i < areas.length; i++) assert.ok(areas[i] < areas[i - 1]);
  const free = on("bag_valve_mask"), held = on("bag_valve_mask", { squeezed: true }), at = (piece, air) => moved(piece, "squeeze:d", live({ air }));
  assert.equal(at(free, 1), at(free, 0));
  assert.notEqual(at(held, 1), at(held, 0));
});

test("round pictures are whole, differ, and belong to acts that exist", () => {
  const all = Object.keys(roundels).map((name) => roundel(name));
  for (const picture of all) assert.ok(!/NaN|undefined|Infinity| style=/.test(picture));
  assert.equal(new Set(all).size, all.length);
  const acts = readFileSync(new URL("../../../src/tidalbay/catalogue/acts.yaml", import.meta.url), "utf8");
  for (const [act, name] of Object.entries(pictureOf)) { assert.ok(roundels[name], name); assert.ok(acts.includes(`- id: ${act}\n`), act); }
  assert.throws(() => roundel("hat"), /No round picture named "hat"/);
});

test("no round picture says a percentage or a flow of the day: what is right is not for a picture to tell", () => {
  const printed = [...roundel("per_cent_read").matchAll(/<text[^>]*>([^<]*)<\/text>/g)].map((m) => m[1]);
  assert.deepEqual(printed, ["%", "L/min"]);
});
