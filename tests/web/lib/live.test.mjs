import assert from "node:assert/strict";
import test from "node:test";
import { liveStation, SILENT_MS } from "../../../src/tidalbay/web/static/lib/live.mjs";

function bench() {
  const sockets = [], heard = [], changes = [];
  let now = 0, due = [];
  const timers = {
    setTimeout: (f, ms) => { const it = { f, at: now + ms }; due.push(it); return it; },
    clearTimeout: (it) => { due = due.filter((d) => d !== it); },
  };
  const pass = (ms) => {
    const until = now + ms;
    for (;;) {
      const next = due.filter((d) => d.at <= until).sort((a, b) => a.at - b.at)[0];
      if (!next) break;
      due = due.filter((d) => d !== next);
      now = next.at;
      next.f();
    }
    now = until;
  };
  const live = liveStation({
    station: "s1", screen: "A b", base: "ws://lab", hear: (m) => heard.push(m), changed: (c) => changes.push(c.state),
    open: (url) => { const s = { url, close() { s.shut = true; } }; sockets.push(s); return s; }, now: () => now, timers,
  });
  const say = (m) => sockets.at(-1).onmessage({ data: JSON.stringify(m) });
  return { sockets, heard, changes, pass, live, say };
}

test("it connects with its screen and hears messages in order", () => {
  const { sockets, heard, changes, say } = bench();
  say({ kind: "hello", seq: 1 });
  say({ kind: "breath", seq: 2 });

  assert.equal(sockets[0].url, "ws://lab/live/s1?after=0&screen=A%20b");
  assert.deepEqual(heard.map((m) => m.seq), [1, 2]);
  assert.deepEqual(changes, ["connected"]);
});

test("a lost line is sought again, from the last number heard", () => {
  const { sockets, changes, pass, say } = bench();
  say({ kind: "breath", seq: 41 });
  sockets[0].onclose({ code: 1006 });
  pass(500);

  assert.match(sockets[1].url, /after=41&/);
  assert.deepEqual(changes, ["connected", "away"]);
  say({ kind: "beat" });
  assert.deepEqual(changes, ["connected", "away", "connected"]);
});

test("silence longer than some beats is a lost line", () => {
  const { sockets, changes, pass, say } = bench();
  say({ kind: "hello", seq: 1 });
  pass(SILENT_MS + 2000);

  assert.equal(sockets[0].shut, true);
  assert.ok(sockets.length >= 2);
  assert.deepEqual(changes, ["connected", "away"]);
});

test("beats keep it", () => {
  const { sockets, pass, say } = bench();
  for (let i = 0; i < 10; i++) { say({ kind: "beat", t_ms: i }); pass(2000); }

  assert.equal(sockets.length, 1);
});

test("tries grow further apart, to a limit", () => {
  const { sockets, pass } = bench();
  const at = [];
  for (let i = 0; i < 6; i++) { sockets.at(-1).onclose({ code: 1006 }); let ms = 0; const n = sockets.length; while (sockets.length === n) { pass(50); ms += 50; } at.push(ms); }

  assert.deepEqual(at, [400, 800, 1600, 3200, 4000, 4000]);
});

test("a refusal is a sentence and is not tried again", () => {
  const { sockets, pass, live } = bench();
  sockets[0].onclose({ code: 4403, reason: "This screen may not see this station." });
  pass(60000);

  assert.equal(sockets.length, 1);
  assert.deepEqual([live.connection().state, live.connection().words], ["refused", "This screen may not see this station."]);
});
