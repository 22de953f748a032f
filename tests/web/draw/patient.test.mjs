import assert from "node:assert/strict";
import test from "node:test";
import { inside, sample } from "../../../src/tidalbay/web/static/draw/geometry.mjs";
import { arm } from "../../../src/tidalbay/web/static/draw/patient/arm.mjs";
import { bed } from "../../../src/tidalbay/web/static/draw/patient/bed.mjs";
import { cover } from "../../../src/tidalbay/web/static/draw/patient/cover.mjs";
import { faces } from "../../../src/tidalbay/web/static/draw/patient/faces.mjs";
import { head } from "../../../src/tidalbay/web/static/draw/patient/head.mjs";
import { sectionGas } from "../../../src/tidalbay/web/static/draw/patient/section-gas.mjs";
import { section } from "../../../src/tidalbay/web/static/draw/patient/section.mjs";
import { skinVariables, skins } from "../../../src/tidalbay/web/static/draw/patient/skin.mjs";
import { front, trunk } from "../../../src/tidalbay/web/static/draw/patient/trunk.mjs";
import { headShift, landmarks, posture, usualRecline_deg } from "../../../src/tidalbay/web/static/draw/posture.mjs";
import { probe } from "../../../src/tidalbay/web/static/draw/probe.mjs";
import { at, broken, builds, frozen, moved, postures } from "./world.mjs";

const GAS = { nose: { supplied: 1 }, throat: { room: 1 }, windpipe: { expired: 1 }, mouth: { room: 1 }, lung: { supplied: 1, room: 1, expired: 1 } };
const everything = (f) => [bed(f, 560), trunk(f), head(f), cover(f, 560), arm(f), probe(f, { site: "finger" }), section(f), sectionGas(f, GAS, "x")];

test("every state is drawn in finite numbers: builds, postures, work, air, mouth", () => {
  let states = 0;
  for (const build of builds) for (const place of postures) for (const effort of [0, 0.3, 0.55, 0.75, 1]) for (const mouth of [0, 0.5, 1]) {
    const f = posture({ build, posture: place, recline_deg: usualRecline_deg[place], effort, mouth, lids: mouth, nod_deg: 24 * effort, sweat: effort, blue: mouth });
    const pieces = [bed(f, 560), trunk(f), head(f), cover(f, 560), arm(f), section(f)];
    for (const p of pieces) assert.doesNotMatch(p.still, broken, `${build} ${place} effort ${effort} mouth ${mouth}`);
    for (const air of [0, 0.35, 0.7, 1, 1.4]) for (const p of pieces) {
      assert.doesNotMatch(moved(p, at(air)), broken, `${build} ${place} effort ${effort} mouth ${mouth} air ${air}`);
      states += 1;
    }
  }
  assert.ok(states >= 1372, `${states} drawings`);
});

test("every angle of the back-rest, every probe place and every gas gives finite numbers", () => {
  for (const build of builds) for (let recline_deg = 0; recline_deg <= 80; recline_deg += 4) {
    const f = posture({ build, posture: recline_deg < 15 ? "flat" : "upright", recline_deg, mouth: 0.4 });
    for (const p of everything(f)) assert.doesNotMatch(p.still + moved(p, at(0.6)), broken, `${build} at ${recline_deg}`);
    for (const site of ["finger", "ear", "toe"]) assert.doesNotMatch(probe(f, { site }).still, broken);
  }
});

test("the same state gives the same bytes", () => {
  for (const build of builds) {
    const once = everything(posture({ build, effort: 0.7, tone: 4 })), again = everything(posture({ build, effort: 0.7, tone: 4 }));
    assert.deepEqual(once.map((p) => frozen(p, at(0.4))), again.map((p) => frozen(p, at(0.4))));
  }
});

test("more air moves chest and belly outward, in every build, and never the hip", () => {
  for (const build of builds) {
    const f = posture({ build });
    let before = front(f, 0);
    for (let air = 0.1; air <= 1.0001; air += 0.1) {
      const now = front(f, air);
      assert.ok(now[3][0] > before[3][0] && now[7][0] > before[7][0], `${build} at ${air}`);
      now.forEach((p, i) => assert.ok(p[0] >= before[i][0] && p[1] <= before[i][1] + 1e-9));
      before = now;
    }
    assert.deepEqual(before.at(-1), front(f, 0).at(-1));
  }
});

test("an infant breathes with the belly, an adult with chest and belly", () => {
  const share = (build) => { const f = posture({ build, air: 1 }); return f.rise / f.belly; };

  assert.ok(share("infant") < 0.6 && share("woman") > 0.65 && share("man") > share("infant"));
});

test("at rest nothing lifts; with hard work shoulders and head rise with each breath", () => {
  const quiet = posture({ effort: 0 }), hard = posture({ effort: 1 });

  assert.deepEqual(headShift(quiet, 1).map(Math.abs), [0, 0]);
  assert.ok(headShift(hard, 1)[1] < headShift(hard, 0.5)[1] && headShift(hard, 0.5)[1] < 0);
  assert.ok(posture({ effort: 1, air: 1 }).lift > posture({ effort: 1 }).lift && posture({ effort: 0, air: 1 }).lift === 0);
});

test("the head's shift is how far the head stands from where it was", () => {
  for (const build of builds) for (const effort of [0.4, 1]) {
    const rest = posture({ build, effort }), high = posture({ build, effort, air: 1 }), [dx, dy] = headShift(rest, 1);
    assert.ok(Math.abs(high.head.x - rest.head.x - dx) < 1e-9 && Math.abs(high.head.y - rest.head.y - dy) < 1e-9);
  }
});

test("signs of work come in order: neck cord, then the hollow above the collar bone; a quiet neck has neither", () => {
  const lines = (effort) => (trunk(posture({ effort })).still.match(/<path/g) ?? []).length;

  assert.ok(lines(0.45) > lines(0.3), "cord");
  assert.ok(trunk(posture({ effort: 0.6 })).still.includes("f-deep") && !trunk(posture({ effort: 0.45 })).still.includes("f-deep"));
});

test("recession under the ribs is drawn for a small chest at hard work and dips as breath goes in", () => {
  const dip = (breathing_in) => frozen(trunk(posture({ build: "infant", effort: 0.9 })), at(0.5, { breathing_in }));

  assert.notEqual(dip(true), dip(false));
  assert.equal(trunk(posture({ build: "infant", effort: 0.9 })).moving.length, trunk(posture({ build: "woman", effort: 0.9 })).moving.length + 1);
});

test("nostrils flare as breath goes in, and only with work", () => {
  const nose = (effort, breathing_in) => frozen(head(posture({ effort })), at(0.5, { breathing_in }));

  assert.equal(nose(0, true), nose(0, false));
  assert.notEqual(nose(0.8, true), nose(0.8, false));
});

test("lips turn by the number that is told, less on darker skin, and not at all at nought", () => {
  const lip = (tone, blue) => skinVariables({ tone, blue, hair_tone: "brown" })["--lip"];
  const far = (a, b) => Math.hypot(...[1, 3, 5].map((i) => parseInt(a.slice(i, i + 2), 16) - parseInt(b.slice(i, i + 2), 16)));

  for (const tone of [1, 2, 3, 4, 5]) {
    assert.equal(lip(tone, 0).toUpperCase(), skins[tone].lip);
    assert.ok(far(lip(tone, 0), lip(tone, 1)) > far(lip(tone, 0), lip(tone, 0.5)));
  }
  assert.ok(far(lip(1, 0), lip(1, 1)) > far(lip(5, 0), lip(5, 1)));
});

test("shut lids hide the eye; open ones show it; the mouth opens downwards", () => {
  const face = (state) => head(posture(state)).still;
  const chin = (mouth) => Math.max(...faces.woman.jaw(mouth).map((p) => p[1]));

  assert.ok(face({ lids: 0 }).includes('rx="2.6"') && !face({ lids: 1 }).includes('rx="2.6"'));
  assert.ok(chin(1) > chin(0.5) && chin(0.5) > chin(0));
});

test("a nodding head sinks towards the chest", () => {
  const chin = (nod_deg) => { const f = posture({ nod_deg }); return Math.hypot(f.anchors.chin[0] - f.anchors.throat[0], f.anchors.chin[1] - f.anchors.throat[1]); };

  assert.ok(chin(0) > chin(14) && chin(14) > chin(24));
});

test("places that others join to lie on the outline of the face", () => {
  for (const build of builds) {
    const f = posture({ build }), face = faces[build], line = [...face.profile(0), ...face.jaw(0)].map(([x, y]) => f.head.at(x, y)), outline = sample(line, 12);
    const gap = (name) => Math.min(...outline.map((p) => Math.hypot(p[0] - f.anchors[name][0], p[1] - f.anchors[name][1]))) / f.head.scale;
    for (const [name, most] of [["nostril", 5], ["mouth", 4], ["bridge", 6], ["chin", 7], ["underChin", 6]]) assert.ok(gap(name) <= most, `${build} ${name}: ${gap(name).toFixed(1)} mm off`);
  }
});

test("every face has the same places for a device, whatever its size", () => {
  for (const build of builds) {
    const f = posture({ build }), [x, y] = f.head.at(...landmarks.chin);
    assert.ok(Math.hypot(x - f.anchors.chin[0], y - f.anchors.chin[1]) < 1e-9);
  }
  assert.ok(posture({ build: "infant" }).head.scale < posture({ build: "child" }).head.scale && posture({ build: "child" }).head.scale < 1);
});

test("chest and belly anchors ride on the moving front; the finger lies at the end of the hand", () => {
  for (const build of builds) for (const air of [0, 1]) {
    const f = posture({ build, air }), line = f.trunk.all(front(f, air));
    for (const name of ["chest", "belly"]) assert.ok(Math.min(...line.map((p) => Math.hypot(p[0] - f.anchors[name][0], p[1] - f.anchors[name][1]))) < 1e-9);
    assert.ok(f.anchors.finger[0] > f.wrist[0]);
  }
});

test("children are not small adults: the head is larger beside the trunk the younger they are", () => {
  const ratio = (build) => { const f = posture({ build }), skull = faces[build].skull; return ((Math.max(...skull.map((p) => p[1])) - Math.min(...skull.map((p) => p[1]))) * f.head.scale) / -f.body.c7[1]; };

  assert.ok(ratio("infant") > ratio("child") * 1.3 && ratio("child") > ratio("woman") * 1.2);
  assert.ok(ratio("woman") / ratio("man") > 0.93 && ratio("woman") / ratio("man") < 1.07);
});

test("a patient in a chair leans forward when breathing is hard; nobody leans out of a bed", () => {
  const chest = (place, effort) => posture({ posture: place, recline_deg: usualRecline_deg[place], effort }).trunk.deg;

  assert.ok(chest("sitting_out", 0.9) > chest("sitting_out", 0) + 10);
  assert.equal(chest("upright", 0.9), chest("upright", 0));
});

test("an infant in bed lies in a cot without a pillow, and only an infant's legs are bare", () => {
  const f = (build) => posture({ build, posture: "propped", recline_deg: 28 });

  assert.ok(cover(f("infant"), 560).anchors.toe && !cover(f("child"), 560).anchors.toe);
  assert.notEqual(bed(f("infant"), 560).still, bed(f("child"), 560).still);
});

test("the chest's inside stays inside: lung marks lie within the trunk at rest and at a large breath", () => {
  for (const build of builds) {
    const f = posture({ build }), gas = sectionGas(f, { lung: { supplied: 1 } }, "x");
    const box = f.trunk.all([...f.body.throat, ...front(f, 1), ...[...f.body.back].reverse(), f.body.c7]);
    const marks = [...gas.still.matchAll(/class="o2" cx="([-\d.]+)" cy="([-\d.]+)"/g)].map(([, x, y]) => [Number(x), Number(y)]);
    assert.ok(marks.length > 60, `${build}: ${marks.length} marks can be counted`);
    for (const p of marks) assert.ok(inside(p, box), `${build}: mark at ${p}`);
  }
});
