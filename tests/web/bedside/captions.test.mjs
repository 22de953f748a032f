import assert from "node:assert/strict";
import test from "node:test";
import { bloodGas, counted, endTidal, flows, gauges, measured, pulse, saturation } from "../../../src/tidalbay/web/static/pages/bedside/captions.mjs";
import { nothingKnown } from "../../../src/tidalbay/web/static/lib/store.mjs";

const with_ = (readings, things = {}) => ({
  ...nothingKnown(), readings,
  things: { supplies: [], flowmeters: [], tubes: [], devices: [], probe: { site: "finger" }, ...things },
});
const meter = (id, supply) => ({ id, supply, style: "float", max_lpm: 15, float_frac: 0 });

test("a saturation says where it is taken and how far to believe it", () => {
  const said = (signal) => saturation(with_({ spo2_shown_pct: 91, oximeter_signal: signal }));

  assert.deepEqual([said("good trace").value, said("good trace").unit, said("good trace").anchor], ["91", "%", "finger"]);
  assert.equal(said("good trace").trust, "usual");
  assert.match(said("good trace").lines.join(" "), /^finger, averaged/);
  assert.deepEqual([said("settling").trust, said("poor signal").trust], ["settling", "poor"]);
  assert.match(said("poor signal").lines.join(" "), /poor signal: do not trust it/);
});

test("a probe that came off shows dashes, and how old the last number is", () => {
  const c = saturation(with_({ spo2_shown_pct: null, oximeter_signal: "probe off", oximeter_last_pct: 91, oximeter_age_s: 47 }, { probe: { site: null } }));

  assert.equal(c.value, "\u2013 \u2013");
  assert.deepEqual(c.lines, ["probe off;", "last 91 %, 40 s ago"]);
  assert.equal(c.trust, "stale");
});

test("no number is invented where none was ever shown", () => {
  const c = saturation(with_({}, { probe: { site: null } }));

  assert.deepEqual([c.value, c.trust, c.lines], ["\u2013 \u2013", "none", ["no probe on yet"]]);
});

test("the pulse is the oximeter's until somebody felt it", () => {
  assert.deepEqual(pulse(with_({ pulse_shown_per_min: 104 })), { value: "104", lines: ["by oximeter,", "not yet felt"] });
  assert.deepEqual(pulse(with_({ pulse_shown_per_min: 104, felt_pulse_per_min: 98, felt_pulse_age_s: 130 })).lines, ["by oximeter,", "98 felt, 2 minutes ago"]);
  assert.equal(pulse(with_({})), null);
});

test("breaths a minute only where somebody counted, with the method and its age", () => {
  assert.equal(counted(with_({ rate_per_min: 28 })), null);
  const c = counted(with_({ counted_rate_per_min: 28, counted_rate_seconds: 30, counted_rate_age_s: 240 }));
  assert.deepEqual([c.value, c.lines, c.trust], ["28", ["counted over 30 s,", "4 minutes ago"], "usual"]);
  assert.equal(counted(with_({ counted_rate_per_min: 28, counted_rate_age_s: 1200 })).trust, "stale");
});

test("the flow that feeds the patient is read at its float; a second one only while gas goes through it", () => {
  const things = {
    supplies: [{ id: "air", kind: "medical_air" }, { id: "outlet", kind: "wall_oxygen" }],
    flowmeters: [meter("air-meter", "air"), meter("flowmeter", "outlet")],
    tubes: [{ id: "t", from: "flowmeter", to: "mask" }], devices: [{ id: "mask", kind: "simple_mask", worn: true }],
  };

  const quiet = flows(with_({ air_meter_shown_lpm: 0, flowmeter_shown_lpm: 6 }, things));
  const both = flows(with_({ air_meter_shown_lpm: 8, flowmeter_shown_lpm: 6 }, things));

  assert.deepEqual(quiet.map((c) => [c.value, c.anchor]), [["6", "float:flowmeter"]]);
  assert.deepEqual(both.map((c) => [c.name, c.value, c.anchor]), [["Flow", "6", "float:flowmeter"], ["Flow at the air meter", "8", undefined]]);
  assert.deepEqual(measured(with_({ air_meter_shown_lpm: 8, flowmeter_shown_lpm: 6 }, things)).map((m) => m.name), ["Flow at the air meter"]);
});

test("where the role may have no flow in print, there is none", () => {
  assert.deepEqual(flows(with_({}, { supplies: [{ id: "o", kind: "wall_oxygen" }], flowmeters: [meter("flowmeter", "o")] })), []);
});

test("a gauge tells both units", () => {
  const [c] = gauges(with_({}, { supplies: [{ id: "c", kind: "cylinder", size: "E", gauge_bar: 134.4, gauge_psi: 1949 }] }));

  assert.deepEqual([c.value, c.unit, c.lines], ["134", "bar", ["1950 psi"]]);
});

test("a blood gas is first awaited, then told with its age", () => {
  const awaited = bloodGas(with_({ gas_drawn_s: 190, gas_due_in_s: 236 }));
  const come = bloodGas(with_({ gas_drawn_s: 190, gas_age_s: 300, gas_ph: 7.3, gas_po2_mmhg: 60, gas_base_excess_mmol_l: -1.4, gas_words: "x" }));

  assert.equal(awaited.words, "The result comes in about 4 minutes.");
  assert.equal(come.head, "Arterial blood gas, drawn at 03:10, 5 minutes ago");
  assert.deepEqual(come.rows, [["pH", "7.30"], ["PO2", "60 mmHg, 8 kPa"], ["Base excess", "\u22121 mmol/L"]]);
  assert.equal(bloodGas(with_({})), null);
});

test("where air and oxygen both feed the face, each says its gas and the oxygen is the large one", () => {
  const things = {
    supplies: [{ id: "air", kind: "wall_air", gas_name: "MEDICAL AIR" }, { id: "outlet", kind: "wall_oxygen", gas_name: "OXYGEN" }],
    flowmeters: [meter("air-meter", "air"), meter("flowmeter", "outlet")],
    tubes: [{ id: "t", from: "air-meter", to: "nebuliser" }, { id: "u", from: "flowmeter", to: "cannula" }],
    devices: [{ id: "nebuliser", kind: "nebuliser_mask", worn: true }, { id: "cannula", kind: "nasal_cannula", worn: true }],
  };

  const both = flows(with_({ air_meter_shown_lpm: 8, flowmeter_shown_lpm: 2 }, things));
  const off = flows(with_({ air_meter_shown_lpm: 8, flowmeter_shown_lpm: 2 }, { ...things, devices: [things.devices[0], { ...things.devices[1], worn: false }] }));

  assert.deepEqual(both.map((c) => [c.gas, c.value, c.main, c.anchor]), [["Oxygen", "2", true, "float:flowmeter"], ["Medical air", "8", false, "float:air-meter"]]);
  assert.deepEqual(off.map((c) => [c.gas, c.value, c.main]), [["Medical air", "8", true], ["Oxygen", "2", false]]);
});

test("carbon dioxide is shown while a line is on, in the region's unit first, with where and how it looks", () => {
  const on = (readings, site = "nose") => with_({ capnogram: [[0, 0], [4, 30]], capnogram_start_s: 8, capnogram_words: "a flat top", ...readings }, { sampling_line: { site } });

  assert.equal(endTidal(with_({})), null);
  assert.deepEqual(endTidal(on({ end_tidal_co2_shown_mmhg: 38 })), { value: "38", unit: "mmHg", lines: ["5.1 kPa", "at the nose", "a flat top"] });
  assert.deepEqual(endTidal(on({ end_tidal_co2_shown_mmhg: 38 }, "circuit"), "kPa"), { value: "5.1", unit: "kPa", lines: ["38 mmHg", "in the breathing circuit", "a flat top"] });
  assert.deepEqual([endTidal(on({ end_tidal_co2_shown_mmhg: null })).value, endTidal(on({ end_tidal_co2_shown_mmhg: null })).unit], ["\u2013 \u2013", ""]);
});
