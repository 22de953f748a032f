// The board's rows: what is said of a station and what can be pressed there.
import assert from "node:assert/strict";
import test from "node:test";
import { canStart, leftWords, lineWords, nextFor, paceWords, patientWords, presses, whoWords } from "../../../src/tidalbay/web/static/pages/today/rows.mjs";

const row = (more = {}) => ({
  id: "s1", title: "Station 1", mode: "formative", state: "running", minutes: 16, learner: "p-1", learner_name: "Ana Pereira",
  clock: { t_ms: 60_000, times: 1, state: "running" }, screens: [], notice: null, code: "heron 4127", gas: null, asks_gas: ["formative", "summative"], put_back: [],
  case: { id: "post-operative", title: "The day after bowel surgery", patient: "Mr T. Oakley", form: "a" }, oximeter: "91 %, pulse 98 by oximeter", ...more,
});
const line = [
  { learner: "p-1", name: "Ana", station: null, state: "absent" },
  { learner: "p-2", name: "Bo", station: "s2", state: "waiting" },
  { learner: "p-3", name: "Chidi", station: null, state: "waiting" },
];

test("a station is told in a line", () => {
  assert.equal(whoWords(row()), "Ana Pereira, formative");
  assert.equal(whoWords(row({ learner: null, learner_name: null })), "No name, formative");
  assert.equal(whoWords(row({ state: "empty", mode: null })), "Nobody yet");
  assert.equal(patientWords(row()), "Mr T. Oakley, the day after bowel surgery; saturation shown 91 %, pulse 98 by oximeter.");
  assert.equal(patientWords(row({ oximeter: "the signal is poor" })), "Mr T. Oakley, the day after bowel surgery; the signal is poor.");
  assert.equal(patientWords(row({ state: "ended" })), "Mr T. Oakley, the day after bowel surgery.");
});

test("where a case has forms, the one that lies there and the one that comes are said", () => {
  const oakley = row({ state: "ended", next_form: "b" });
  const selwick = row({ state: "ended", next_form: "a", case: { id: "post-operative", title: "The day after bowel surgery, form B", patient: "Mr H. Selwick", form: "b" } });
  assert.equal(patientWords(oakley), "Mr T. Oakley, the day after bowel surgery, form A.");
  assert.equal(patientWords(selwick), "Mr H. Selwick, the day after bowel surgery, form B.");
  assert.equal(presses(oakley, line[2], "b")[0].words, "Next: Chidi, form B");
  assert.equal(presses(selwick, null, "a")[0].words, "Same case, fresh patient, form A");
  assert.equal(presses(selwick, line[2])[0].words, "Next: Chidi");
});

test("time left is counted down, and over it is said to be over", () => {
  assert.equal(leftWords(row(), 60_000), "15:00 left");
  assert.equal(leftWords(row(), 60_001), "15:00 left");
  assert.equal(leftWords(row(), 16 * 60_000), "00:00 left");
  assert.equal(leftWords(row(), 17 * 60_000), "01:00 over");
  assert.equal(leftWords(row({ state: "ended" }), 0), "Ended at 01:00");
  assert.equal(leftWords(row({ state: "empty" }), 0), "");
});

test("a pace that is not life's and a kind stop are said", () => {
  assert.equal(paceWords(row()), "Running");
  assert.equal(paceWords(row({ clock: { t_ms: 0, times: 10, state: "running" } })), "Running, 10 times as fast");
  assert.equal(paceWords(row({ state: "paused", stopped_kindly: true })), "Stopped, kindly");
});

test("the next learner is the first who waits for this station or for any", () => {
  assert.equal(nextFor(line, "s1")?.name, "Chidi");
  assert.equal(nextFor(line, "s2")?.name, "Bo");
  assert.equal(nextFor([], "s1"), null);
});

test("one press is first, and what ends an attempt is there only while there is one", () => {
  for (const state of ["empty", "ready", "running", "paused", "ended"]) {
    const offered = presses(row({ state }), null);
    assert.deepEqual(offered.filter((each) => each.is_first), [offered[0]]);
    assert.equal(offered.some((each) => each.id === "void"), ["running", "paused"].includes(state));
    assert.equal(canStart(row({ state })), offered.some((each) => each.id === "start"));
  }
  assert.equal(presses(row({ state: "ended" }), line[2])[0].words, "Next: Chidi");
  assert.ok(presses(row({ state: "paused", stopped_kindly: true }), null).some((each) => each.id === "kindly"));
});

test("where a learner stands in the line is said", () => {
  const stations = [row(), row({ id: "s2", title: "Station 2" })];
  assert.equal(lineWords(line[1], stations), "waits for Station 2");
  assert.equal(lineWords(line[2], stations), "waits");
  assert.equal(lineWords({ ...line[2], state: "at_station", station: "s2" }, stations), "at Station 2");
  assert.equal(lineWords(line[0], stations), "absent");
});
