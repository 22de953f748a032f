// Laws of a recording that is played: the same messages whatever way the moment was reached.
import assert from "node:assert/strict";
import { test } from "node:test";
import { afterMessage, nothingKnown } from "../../../src/tidalbay/web/static/lib/store.mjs";
import { captionAt, recordedStation, saidBetween, standingAt } from "../../../src/tidalbay/web/static/lib/recorded.mjs";

const breath = (n, at_ms, more = {}) => ({ kind: "breath", at_ms, breath: { n, from_s: at_ms / 1000, lasts_s: 3, step_s: 0.1, air_ml: [0], bag_pct: {}, breathing_in_s: 1 }, ...more });
const run = {
  hello: { kind: "hello", role: "projector", station: { id: "recorded", attempt: "x" }, case: { patient: {} }, entries: [{ n: 1 }], breath: breath(0, 1, { readings: { spo2_shown_pct: 88 }, look: { effort: 0 }, things: { tubes: [] } }) },
  messages: [breath(1, 3000, { readings: { spo2_shown_pct: 89 } }), { kind: "entries", at_ms: 4000, entries: [{ n: 2 }] }, breath(2, 6000), breath(3, 9000, { look: { effort: 0.4 } })],
};

/** @param {any[]} messages */
const known = (messages) => messages.reduce((k, said) => afterMessage(k, said), nothingKnown());

test("a moment reached by a leap shows what it shows when reached by playing", () => {
  for (const t_ms of [1, 2999, 3000, 5000, 6000, 9000, 12_000]) {
    const leapt = known(standingAt(run, t_ms, "a"));
    const played = known([...standingAt(run, 0, "a"), ...saidBetween(run, 0, t_ms)]);
    for (const part of ["entries", "breath", "readings", "look", "things"]) assert.deepEqual(leapt[part], played[part], `${part} at ${t_ms}`);
  }
});

test("parts that no message repeats stand on", () => {
  const at = known(standingAt(run, 7000, "a"));
  assert.deepEqual([at.readings.spo2_shown_pct, at.look.effort, at.entries.length], [89, 0, 2]);
});

test("a caption stands for half a minute, and the next one takes its place", () => {
  const captions = [{ at_s: 5, say: "first" }, { at_s: 20, say: "second" }];
  assert.deepEqual([4, 5, 19, 20, 49, 50].map((t) => captionAt(captions, t)), ["", "first", "first", "second", "second", ""]);
});

function playing() {
  const heard = /** @type {any[]} */ ([]);
  const player = recordedStation([run, run], 10_000);
  player.follow({ hear: (m) => heard.push(m) });
  return { heard, player };
}

test("it begins standing still, plays at the pace chosen, and stops at its end", () => {
  const { heard, player } = playing();
  player.tick(0);
  player.tick(400);
  assert.equal(player.t_ms(), 1);
  player.pace(10);
  player.play(true);
  player.tick(800);
  assert.equal(player.t_ms(), 4001);
  assert.deepEqual(heard.filter((m) => m.kind === "entries").map((m) => m.entries[0].n), [2]);
  for (let t = 1200; t < 3000; t += 400) player.tick(t);
  assert.equal(player.t_ms(), 10_000);
  assert.equal(player.isPlaying(), false);
  assert.equal(heard.at(-1).clock.state, "paused");
});

test("a tab that slept does not leap", () => {
  const { player } = playing();
  player.pace(1);
  player.play(true);
  player.tick(0);
  player.tick(60_000);
  assert.equal(player.t_ms(), 501);
});

test("another way or another moment is another life, so that nothing of the old one stays on the page", () => {
  const { heard, player } = playing();
  const lives = () => heard.filter((m) => m.kind === "hello").map((m) => m.station.attempt);
  player.seek(5000);
  player.choose(1);
  assert.equal(new Set(lives()).size, 3);
  assert.equal(player.t_ms(), 5000);
});
