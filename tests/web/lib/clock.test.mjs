import assert from "node:assert/strict";
import test from "node:test";
import { LEAP_MS, OTHER_LIFE_MS, SETTLE_MS, stationClock, TRUST_MS } from "../../../src/tidalbay/web/static/lib/clock.mjs";

const running = (t_ms, times = 1) => ({ t_ms, times, state: "running" });
const paused = (t_ms) => ({ t_ms, times: 1, state: "paused" });

test("the first message sets the clock and it goes at the station's pace", () => {
  const clock = stationClock(() => 0);
  clock.hear(running(60000, 4), 1000);

  assert.equal(clock.t_ms(1000), 60000);
  assert.equal(clock.t_ms(1500), 62000);
});

test("whatever comes late or early, the clock on the page never runs backwards", () => {
  const clock = stationClock(() => 0);
  let seed = 7, truth = 0, shown = 0, page = 0;
  const luck = () => (seed = (seed * 1103515245 + 12345) % 2147483648) / 2147483648;
  clock.hear(running(0), 0);

  for (let i = 0; i < 4000; i++) {
    const step = luck() * 60;
    page += step;
    truth += step;
    if (luck() < 0.1) clock.hear(running(Math.max(0, truth - luck() * 400)), page);
    const now = clock.t_ms(page);
    assert.ok(now >= shown, `went back from ${shown} to ${now} at ${page}`);
    shown = now;
  }
});

test("a small difference is made good within the settling time and without a jump", () => {
  const clock = stationClock(() => 0);
  clock.hear(running(0), 0);
  clock.hear(running(1300), 1000);

  assert.equal(clock.t_ms(1000), 1000);
  assert.equal(Math.round(clock.t_ms(1000 + SETTLE_MS)), 1300 + SETTLE_MS);
});

test("ahead of the station it goes slower until the two agree", () => {
  const clock = stationClock(() => 0);
  clock.hear(running(0), 0);
  clock.hear(running(500), 1000);

  assert.ok(clock.t_ms(1100) < 1100);
  assert.equal(Math.round(clock.t_ms(2000)), 1500);
});

test("hours skipped are shown at once", () => {
  const clock = stationClock(() => 0);
  clock.hear(running(0), 0);
  clock.hear(running(4 * 3600e3), 1000);

  assert.equal(clock.t_ms(1000), 4 * 3600e3);
});

test("paused, time stands still and does not step back to the moment of the pause", () => {
  const clock = stationClock(() => 0);
  clock.hear(running(0), 0);
  clock.hear(paused(900), 1000);

  assert.equal(clock.t_ms(1000), 1000);
  assert.equal(clock.t_ms(9000), 1000);
});

test("without news the page does not run on by itself", () => {
  const clock = stationClock(() => 0);
  clock.hear(running(0), 0);

  assert.equal(clock.t_ms(60000), TRUST_MS);
});

test("a heartbeat keeps it going at the pace it had", () => {
  const clock = stationClock(() => 0);
  clock.hear(running(0, 10), 0);
  clock.beat(20000, 2000);

  assert.equal(clock.t_ms(2000), 20000);
  assert.equal(clock.t_ms(2500), 25000);
});

test("a station far in the past is another attempt: its own time is shown", () => {
  const clock = stationClock(() => 0);
  clock.hear(running(500000), 0);
  clock.hear(paused(500000 - OTHER_LIFE_MS - 1), 0);

  assert.equal(clock.t_ms(0), 500000 - OTHER_LIFE_MS - 1);
  assert.ok(OTHER_LIFE_MS > TRUST_MS && LEAP_MS < OTHER_LIFE_MS);
});
