// Contract of a sheet that comes back: what is ticked becomes marks that say they are from paper, and nothing else does.
import assert from "node:assert/strict";
import { test } from "node:test";

import { bornOn, identityNumber, marksOfSheet, seconds } from "../../../src/tidalbay/web/static/pages/paper/entry.mjs";
import { first } from "./world.mjs";

const data = (values) => ({ get: (name) => values[name] });
const [one, two] = first.steps;

test("times are read as people write them", () => {
  assert.deepEqual(["2:05", "02:05", "1:02:05", "12.30", " 0:00 ", ""].map(seconds), [125, 125, 3725, 750, 0, undefined]);
  assert.deepEqual(["2:75", "soon", "205", "-1:00"].map(seconds), [null, null, null, null]);
});

test("only what is ticked is entered, and every entry says it is from paper", () => {
  const read = marksOfSheet(data({ [`state-${one.id}`]: "done", [`at-${one.id}`]: "2:05", [`state-${two.id}`]: "missed", rating: "3", note: "sat her\n up first" }), first.steps);
  assert.deepEqual(read, { marks: [
    { kind: "step_state", about: one.id, values: { state: "done", at_s: 125, from_paper: true } },
    { kind: "step_state", about: two.id, values: { state: "missed", from_paper: true } },
    { kind: "global_rating", values: { rating: 3, from_paper: true } },
    { kind: "note", values: { text: "sat her up first", from_paper: true } },
  ] });
});

test("a time without a box, a time that is none, and an empty sheet are told in words", () => {
  assert.deepEqual(marksOfSheet(data({ [`at-${one.id}`]: "2:05" }), first.steps), { sentence: "Item 1 has a time and no box; tick one, or take the time out.", field: `at-${one.id}` });
  assert.deepEqual(marksOfSheet(data({ [`state-${one.id}`]: "done", [`at-${one.id}`]: "soon" }), first.steps), { sentence: 'Item 1: "soon" is not a time of the station\'s clock; write it as 2:05.', field: `at-${one.id}` });
  assert.deepEqual(marksOfSheet(data({}), first.steps), { sentence: "Nothing is ticked or written yet.", field: "" });
});

test("the wristband's day of birth fits the age and does not change between prints", () => {
  assert.equal(bornOn("Mr T. Oakley", 58, 2026), bornOn("Mr T. Oakley", 58, 2026));
  assert.match(bornOn("Mr T. Oakley", 58, 2026), /^\d{1,2} [A-Z][a-z]+ 1967$/);
});

test("an identity number is the same for the same name, another for another, and says that it is none", () => {
  assert.equal(identityNumber("Mr T. Oakley"), identityNumber("Mr T. Oakley"));
  assert.notEqual(identityNumber("Mr T. Oakley"), identityNumber("Mr H. Selwick"));
  assert.match(identityNumber("Mr H. Selwick"), /^PRACTICE \d{3} \d{3}$/);
});
