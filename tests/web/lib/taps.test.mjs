import assert from "node:assert/strict";
import test from "node:test";
import { tapQueue } from "../../../src/tidalbay/web/static/lib/taps.mjs";

/** A shelf like the browser's own. */
function shelf(full = false) {
  const kept = new Map();
  return {
    getItem: (k) => kept.get(k) ?? null,
    setItem: (k, v) => { if (full) throw new Error("full"); kept.set(k, v); },
    removeItem: (k) => kept.delete(k),
    key: (i) => [...kept.keys()][i] ?? null,
    get length() { return kept.size; },
    taps: () => [...kept.keys()].filter((k) => k.startsWith("tidalbay.tap.")).length,
  };
}

/** A station that remembers keys, and can be cut off, deaf after hearing, or of the opinion that something is wrong. */
function server() {
  const heard = [], receipts = new Map();
  const it = {
    heard, cut: false, answer_lost: false, refuse: null, status: null,
    async send(url, { body }) {
      if (it.cut) throw new TypeError("no network");
      if (it.status) return { ok: false, status: it.status, json: async () => ({ sentence: it.sentence ?? "No." }) };
      const sort = url.split("/").pop(), said = JSON.parse(body)[sort];
      if (it.whole_refused && said.some(it.whole_refused)) {
        return { ok: false, status: 422, json: async () => ({ sentence: "One of these is not an act." }) };
      }
      const answers = said.map((what) => {
        const key = what.key.join();
        if (!receipts.has(key)) {
          heard.push({ url, ...what });
          receipts.set(key, it.refuse?.(what) ? { refused: it.refuse(what) } : { n: heard.length, t_ms: 1000 * heard.length });
        }
        return receipts.get(key);
      });
      if (it.answer_lost) { it.answer_lost = false; throw new TypeError("cut while answering"); }
      return { ok: true, status: 200, json: async () => ({ receipts: answers }) };
    },
  };
  return it;
}

/** Timers that go off when told. */
function timers() {
  let due = [];
  return {
    setTimeout: (f) => { due.push(f); return f; },
    clearTimeout: (f) => { due = due.filter((g) => g !== f); },
    go() { const now = due; due = []; now.forEach((f) => f()); },
    get waiting() { return due.length; },
  };
}
const settle = async () => { for (let i = 0; i < 20; i++) await Promise.resolve(); };

function bench(over = {}) {
  const s = server(), t = timers(), k = shelf(), answers = [], standings = [];
  const how = {
    station: "s1", screen: "A", t_ms: () => 62400.4, send: s.send, timers: t, shelf: k, now: () => 0,
    answered: (a) => answers.push(a), changed: (c) => standings.push(c), ...over,
  };
  return { s, t, k: over.shelf ?? k, answers, standings, how, queue: tapQueue(how) };
}

test("a tap is sent, and leaves the list with its receipt", async () => {
  const { s, k, answers, queue } = bench();
  queue.act({ act: "flow_set", on: "flowmeter", values: { flow_lpm: 4 } });
  assert.equal(k.taps(), 1);
  await settle();

  assert.equal(queue.standing().waiting, 0);
  assert.equal(k.taps(), 0);
  assert.deepEqual(s.heard[0], { url: "/stations/s1/acts", act: "flow_set", on: "flowmeter", values: { flow_lpm: 4 }, key: ["A", 1] });
  assert.equal(answers[0].n, 1);
});

test("seven taps without a network wait, are counted, and go in order when it is back, saying when they were seen", async () => {
  let now = 0;
  const { s, t, answers, queue } = bench({ now: () => now });
  s.cut = true;
  for (let i = 1; i <= 7; i++) queue.act({ act: "observed", values: { what: "rate", i } });
  await settle();
  assert.equal(queue.standing().waiting, 7);
  assert.match(queue.standing().words, /kept on this tablet/);

  s.cut = false;
  now = 30000;
  t.go();
  await settle();

  assert.deepEqual(s.heard.map((h) => h.values.i), [1, 2, 3, 4, 5, 6, 7]);
  assert.deepEqual(s.heard.map((h) => h.seen_at_ms), Array(7).fill(62400));
  assert.equal(queue.standing().waiting, 0);
  assert.equal(queue.standing().words, "");
  assert.equal(answers.length, 7);
});

test("an answer lost on the way is asked for again under the same key: one act, not two", async () => {
  const { s, t, queue } = bench();
  s.answer_lost = true;
  queue.act({ act: "hands_cleaned" });
  await settle();
  assert.equal(queue.standing().waiting, 1);

  t.go();
  await settle();

  assert.equal(s.heard.length, 1);
  assert.equal(queue.standing().waiting, 0);
});

test("taps survive a reload, and new ones never take an old key", async () => {
  const first = bench();
  first.s.cut = true;
  first.queue.act({ act: "order_read" });
  first.queue.act({ act: "agreed" });
  await settle();
  first.queue.close();

  const second = bench({ shelf: first.k });
  second.queue.act({ act: "explained" });
  await settle();

  assert.deepEqual(second.s.heard.map((h) => h.act), ["order_read", "agreed", "explained"]);
  assert.deepEqual(second.s.heard.map((h) => h.key), [["A", 1], ["A", 2], ["A", 3]]);
  assert.equal(first.k.taps(), 0);
});

test("after everything was sent, a reload still goes on counting", async () => {
  const first = bench();
  first.queue.act({ act: "order_read" });
  await settle();

  const second = bench({ shelf: first.k });

  assert.deepEqual(second.queue.act({ act: "agreed" }), ["A", 2]);
});

test("a closed tab's taps are sent by the next tab, under their own keys", async () => {
  const first = bench();
  first.s.cut = true;
  first.queue.act({ act: "order_read" });
  await settle();

  const second = bench({ shelf: first.k, screen: "B" });
  await settle();

  assert.deepEqual(second.s.heard.map((h) => h.key), [["A", 1]]);
});

test("a refused act leaves the list with its sentence, the others count", async () => {
  const { s, answers, queue } = bench();
  s.refuse = (what) => what.act === "flow_set" && "There is no flowmeter yet; fit one first.";
  queue.act({ act: "flow_set" });
  queue.act({ act: "hands_cleaned" });
  await settle();

  assert.equal(answers[0].refused, "There is no flowmeter yet; fit one first.");
  assert.equal(answers[1].n, 2);
  assert.equal(queue.standing().waiting, 0);
});

test("one tap that spoils its request does not take the others with it", async () => {
  const { s, t, answers, queue } = bench();
  s.cut = true;
  queue.act({ act: "order_read" });
  queue.act({ act: "nonsense" });
  queue.act({ act: "agreed" });
  await settle();
  s.cut = false;
  s.whole_refused = (what) => what.act === "nonsense";
  t.go();
  await settle();

  assert.deepEqual(s.heard.map((h) => h.act), ["order_read", "agreed"]);
  assert.deepEqual(answers.map((a) => a.refused ?? "in"), ["in", "One of these is not an act.", "in"]);
});

for (const status of [401, 403, 429, 500, 503]) {
  test(`an answer of ${status} keeps the tap, shows the sentence and tries again`, async () => {
    const { s, t, k, queue } = bench();
    s.status = status;
    s.sentence = "The disk is full; make room, nothing is lost.";
    queue.act({ act: "help_called" });
    await settle();
    assert.equal(queue.standing().words, "The disk is full; make room, nothing is lost.");
    assert.equal(k.taps(), 1);

    s.status = null;
    t.go();
    await settle();

    assert.equal(s.heard.length, 1);
  });
}

test("marks go to their own address and keep their place among acts", async () => {
  const { s, t, queue } = bench();
  s.cut = true;
  queue.act({ act: "explained" });
  queue.mark({ kind: "step", about: "explained-kindly", values: { state: "done" } });
  queue.act({ act: "agreed" });
  await settle();
  s.cut = false;
  t.go();
  await settle();

  assert.deepEqual(s.heard.map((h) => h.url.split("/").pop()), ["acts", "marks", "acts"]);
});

test("taps of an attempt that is over are not sent into the next one", async () => {
  const { s, t, queue } = bench();
  queue.of("a-1");
  s.cut = true;
  queue.act({ act: "device_placed" });
  await settle();
  queue.of("a-2");
  s.cut = false;
  t.go();
  await settle();

  assert.equal(s.heard.length, 0);
  assert.deepEqual([queue.standing().waiting, queue.standing().left], [0, 1]);
  queue.forgetLeft();
  assert.equal(queue.standing().left, 0);
});

test("a tap says for which attempt it was made", async () => {
  const { s, queue } = bench();
  queue.of("a-1");
  queue.act({ act: "agreed" });
  queue.mark({ kind: "step", values: {} });
  await settle();

  assert.deepEqual(s.heard.map((h) => h.attempt), ["a-1", "a-1"]);
});

test("a tablet whose store is full still sends, and says that nothing is kept", async () => {
  const { s, queue } = bench({ shelf: shelf(true) });
  queue.act({ act: "hands_cleaned" });
  await settle();

  assert.equal(s.heard.length, 1);
  assert.equal(queue.standing().kept, false);
});
