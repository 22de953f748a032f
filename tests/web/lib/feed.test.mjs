import assert from "node:assert/strict";
import test from "node:test";
import { stationFeed } from "../../../src/tidalbay/web/static/lib/feed.mjs";
import { stepped, STILLS } from "../../../src/tidalbay/web/static/lib/frames.mjs";

function followed() {
  let told;
  const feed = stationFeed({ station: "s1", screen: "A", follow: (how) => { told = how; return { close() {}, connection() {}, again() {} }; } });
  return { feed, hear: (m) => told.hear(m), changed: (c) => told.changed(c) };
}
const clock = (t_ms, state = "running") => ({ t_ms, times: 1, state });
const breath = (n, from_s) => ({ n, from_s, lasts_s: 1, step_s: 0.5, air_ml: [0, 300, 0], bag_pct: {}, breathing_in_s: 0.5 });
const hello = (attempt, t_ms, more = {}) => ({ kind: "hello", role: "learner", station: { id: "s1", attempt }, clock: clock(t_ms, "paused"), entries: [], breath: null, ...more });

test("a first message that carries a whole breath fills everything at once", () => {
  const { feed, hear } = followed();
  hear(hello("a-1", 62_000, { breath: { kind: "breath", breath: breath(20, 61.5), readings: { spo2_shown_pct: 91 }, things: { supplies: [] } } }));

  assert.equal(feed.known.get().readings.spo2_shown_pct, 91);
  assert.equal(feed.breaths.at(62).air_ml, 300);
  assert.equal(feed.t_s(), 62);
  assert.equal(feed.attempt(), "a-1");
});

test("gone back: another attempt's earlier time is shown at once, and no breath of the old one", () => {
  const { feed, hear } = followed();
  hear(hello("a-1", 62_000));
  hear({ kind: "breath", breath: breath(20, 61.5), clock: clock(62_000, "paused") });
  hear(hello("a-2", 60_000));

  assert.equal(feed.t_s(), 60);
  assert.equal(feed.breaths.newest(), null);
});

test("when the line is lost, the time on show is remembered with it", () => {
  const { feed, hear, changed } = followed();
  hear(hello("a-1", 500_000));
  changed({ state: "away", since_ms: 1, words: "" });

  assert.deepEqual([feed.line.get().state, feed.line.get().shown_s], ["away", 500]);
});

test("with less motion a breath is a few still pictures", () => {
  const b = { from_s: 60, lasts_s: 3 };
  const shown = new Set(Array.from({ length: 200 }, (_, i) => stepped(b, 60 + (3 * i) / 200)));

  assert.equal(shown.size, STILLS);
  assert.equal(stepped(b, 60.49), 60);
  assert.equal(stepped(b, 60.5), 60.5);
  assert.equal(stepped(null, 7), 7);
});
