// Contract of the twelve places: what a tap records follows the equipment, and nothing else.
import assert from "node:assert/strict";
import { test } from "node:test";

import { faceOf, flowActs, sitsWrong } from "../../../src/tidalbay/web/static/pages/check-off/offers.mjs";
import { meterMeant, objectsFor } from "../../../src/tidalbay/web/static/acts/things.mjs";
import { acts, first, place, ward, world } from "./world.mjs";

const only = (face) => {
  assert.equal(face.offers.length, 1, JSON.stringify(face.offers));
  return face.offers[0].acts;
};

test("every place has a face while nothing at all is at hand, and each empty one says why or asks", () => {
  const bare = { supplies: [], flowmeters: [], tubes: [], devices: [], probe: null };
  for (const each of first.places) {
    const face = faceOf(each, world(bare));
    assert.ok(face.button && face.about, each.id);
    if (face.offers.length === 0 && !["numbers"].includes(each.shape)) assert.match(face.why ?? "", /\.$/, each.id);
  }
});

test("one tap records both that it was told and that it was agreed", () => {
  assert.deepEqual(only(faceOf(place("told"), world(ward()))).map((each) => each.act), ["explained", "agreed"]);
});

test("what is offered never names an act, an object or a value the catalogue does not know", () => {
  const things = ward();
  things.devices.push({ id: "mask", kind: "non_rebreathing_mask", worn: true }, { id: "venturi", kind: "air_entrainment_mask", worn: false });
  for (const each of first.places)
    for (const offer of faceOf(each, world(things)).offers)
      for (const act of offer.acts) {
        const kind = acts.get(act.act);
        assert.ok(kind, act.act);
        for (const [name, value] of Object.entries(act.values ?? {})) {
          const argument = kind.arguments.find((one) => one.name === name);
          assert.ok(argument, `${act.act} has no ${name}`);
          if (argument.choices.length) assert.ok(argument.choices.includes(value), `${act.act} ${name} ${value}`);
        }
        if (act.on) assert.ok(kind.on.length > 0, `${act.act} is done to nothing`);
      }
});

test("the label of the only outlet is one tap, and the tubing that is on already is not connected again", () => {
  assert.deepEqual(only(faceOf(place("gas"), world(ward()))), [{ act: "outlet_chosen", on: "outlet", values: { gas: "oxygen" } }]);
});

test("two outlets and one loose device ask which label was read", () => {
  const things = ward();
  things.tubes = [];
  things.supplies.push({ id: "air_outlet", kind: "wall_air", gas_name: "MEDICAL AIR" });
  things.flowmeters.push({ id: "air_flowmeter", supply: "air_outlet", max_lpm: 15 });
  const { offers } = faceOf(place("gas"), world(things));
  assert.deepEqual(offers.map((each) => each.words), ["Oxygen outlet to nasal cannula", "Air outlet to nasal cannula"]);
  assert.deepEqual(offers[1].acts, [
    { act: "outlet_chosen", on: "air_outlet", values: { gas: "air" } },
    { act: "tubing_connected", values: { from: "air_flowmeter", to: "cannula" } },
  ]);
});

test("a cylinder's label is read, and it is connected like an outlet", () => {
  const things = ward();
  things.supplies = [{ id: "bottle", kind: "cylinder" }];
  things.flowmeters = [{ id: "dial", supply: "bottle", max_lpm: 15 }];
  things.tubes = [];
  assert.deepEqual(only(faceOf(place("gas"), world(things))).map((each) => each.act), ["cylinder_chosen", "tubing_connected"]);
});

test("proof of gas is called by what is at hand: the bag, the mist, the printed per cent", () => {
  for (const [kind, button, word] of [
    ["nasal_cannula", "Gas proved", "gas_proved"],
    ["non_rebreathing_mask", "Bag filled", "bag_filled"],
    ["nebuliser_mask", "Mist seen", "observed"],
    ["nebuliser_t_piece", "Mist seen", "observed"],
    ["nebuliser_in_line", "Mist seen", "observed"],
    ["air_entrainment_mask", "Per cent read", "entrainment_set"],
  ]) {
    const things = ward();
    things.devices = [{ id: "cannula", kind, worn: false }];
    const face = faceOf(place("proof"), world(things));
    assert.equal(face.button, button);
    assert.equal(face.offers[0].acts[0].act, word);
    assert.equal(face.offers[0].acts.at(-1).act, "gas_proved");
  }
});

test("the per cents of an entrainment mask are the ones printed on its valves", () => {
  const things = ward();
  things.devices = [{ id: "cannula", kind: "air_entrainment_mask", worn: false }];
  const { offers } = faceOf(place("proof"), world(things));
  assert.deepEqual(offers.map((each) => each.acts[0].values.pct), first.devices.air_entrainment_mask.settings_pct);
});

test("the one device at hand goes on in one tap, and comes off in one tap when it is on", () => {
  const things = ward();
  const on = faceOf(place("device"), world(things));
  assert.equal(on.button, "Device on");
  assert.deepEqual(only(on), [{ act: "device_placed", on: "cannula" }]);
  things.devices[0].worn = true;
  const off = faceOf(place("device"), world(things));
  assert.equal(off.button, "Device off");
  assert.deepEqual(only(off), [{ act: "device_removed", on: "cannula" }]);
});

test("with nothing at hand the place offers the trolley", () => {
  const face = faceOf(place("device"), world({ ...ward(), devices: [], tubes: [] }));
  assert.equal(face.button, "Device taken");
  assert.deepEqual(face.offers[0].acts, [{ act: "device_chosen", values: { device: "nasal_cannula" } }]);
  assert.equal(face.offers.length, acts.get("device_chosen").arguments[0].choices.length);
});

test("prongs can sit wrong in five ways, a mask in none of these", () => {
  const things = ward();
  things.devices[0].worn = true;
  const words = sitsWrong(first.sits, world(things)).map((each) => each.words);
  assert.deepEqual(words, ["Prongs", "Strap", "Padded"]);
  things.devices[0].kind = "simple_mask";
  assert.deepEqual(sitsWrong(first.sits, world(things)).map((each) => each.words), ["Strap", "Nose clip moulded", "Padded"]);
});

test("the flowmeter that feeds the patient is the one meant; where two would do, nobody guesses", () => {
  const things = ward();
  things.flowmeters.push({ id: "air_flowmeter", supply: "air_outlet", max_lpm: 15 });
  assert.equal(meterMeant(things)?.id, "flowmeter");
  things.devices.push({ id: "nebuliser", kind: "nebuliser_mask", worn: false });
  things.tubes.push({ id: "other", from: "air_flowmeter", to: "nebuliser" });
  assert.equal(meterMeant(things), undefined);
  things.devices[0].worn = true;
  assert.equal(meterMeant(things)?.id, "flowmeter");
});

test("a flow is set on the flowmeter that was meant", () => {
  assert.deepEqual(flowActs(place("flow"), 2, "flowmeter"), [{ act: "flow_set", on: "flowmeter", values: { flow_lpm: 2 } }]);
});

test("objects of an act are those of the sorts it is done to", () => {
  const ids = (word) => objectsFor(acts.get(word).on, ward(), first.devices).map((each) => each.id);
  assert.deepEqual(ids("flow_set"), ["flowmeter"]);
  assert.deepEqual(ids("outlet_chosen"), ["outlet"]);
  assert.deepEqual(ids("tubing_freed"), ["cannula"]);
  assert.deepEqual(ids("hands_cleaned"), []);
});
