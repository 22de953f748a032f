// @ts-check
/**
 * What is at hand, as the station tells it: outlets and cylinders, flowmeters, tubes, devices. Pure questions
 * about that; nothing here knows a page.
 */

/**
 * @typedef {{id: string, kind: string, gas_name?: string}} Supply
 * @typedef {{id: string, supply: string|null, max_lpm: number, style?: string, set_frac?: number,
 *   float_frac?: number}} Flowmeter
 * @typedef {{id: string, from: string|null, to: string|null}} Tube
 * @typedef {{id: string, kind: string, worn: boolean, prongs?: string, snug?: string,
 *   entrainment_pct?: number, oxygen_share_pct?: number}} Device
 * @typedef {{supplies: Supply[], flowmeters: Flowmeter[], tubes: Tube[], devices: Device[],
 *   probe?: {site: string|null}|null, sampling_line?: {site: string|null}|null}} Things
 * @typedef {{words: string, families: string[], worn_on: string, settings_pct: number[]}} DeviceWords
 * @typedef {Record<string, DeviceWords>} DeviceKinds
 */

/** @type {Things} */
export const NOTHING = { supplies: [], flowmeters: [], tubes: [], devices: [], probe: null };

/** Whether a device belongs to a family, for instance "prongs". `worn` is one of them while it is on.
 * @param {Device} device @param {string} family @param {DeviceKinds} kinds */
export function belongs(device, family, kinds) {
  if (family === "worn") return device.worn;
  return kinds[device.kind]?.families.includes(family) ?? false;
}

/** "outlet", "cylinder" or "concentrator".
 * @param {Supply} supply */
export function sortOfSupply(supply) {
  if (supply.kind === "cylinder") return "cylinder";
  return supply.kind.includes("concentrator") ? "concentrator" : "outlet";
}

/** The word that an act about outlets uses for the gas on the label.
 * @param {Supply} supply @returns {"oxygen"|"air"} */
export function gasOf(supply) {
  const name = `${supply.gas_name ?? ""} ${supply.kind}`.toLowerCase();
  return name.includes("air") ? "air" : "oxygen";
}

/** A supply in words, told apart from its like by a number where there are several.
 * @param {Supply} supply @param {Things} things */
export function supplyWords(supply, things) {
  const sort = sortOfSupply(supply);
  const words = sort === "outlet" ? `${gasOf(supply) === "air" ? "air" : "oxygen"} outlet` : sort;
  const alike = things.supplies.filter((each) => each.kind === supply.kind);
  return alike.length > 1 ? `${words} ${alike.indexOf(supply) + 1}` : words;
}

/** A device in words.
 * @param {Device} device @param {Things} things @param {DeviceKinds} kinds */
export function deviceWords(device, things, kinds) {
  const words = kinds[device.kind]?.words ?? device.kind.replaceAll("_", " ");
  const alike = things.devices.filter((each) => each.kind === device.kind);
  return alike.length > 1 ? `${words} ${alike.indexOf(device) + 1}` : words;
}

/** A flowmeter by what it hangs on.
 * @param {Flowmeter} meter @param {Things} things */
export function meterWords(meter, things) {
  const supply = things.supplies.find((each) => each.id === meter.supply);
  return supply ? supplyWords(supply, things) : meter.id.replaceAll("_", " ");
}

/** The flowmeter that feeds a device, or undefined.
 * @param {Device} device @param {Things} things */
export function feeding(device, things) {
  const tube = things.tubes.find((each) => each.to === device.id && each.from !== null);
  return tube && things.flowmeters.find((meter) => meter.id === tube.from);
}

/** The flowmeter that is meant when nobody says which: the only one, or the only one that feeds a device, worn
 * before unworn; undefined where two would do.
 * @param {Things} things */
export function meterMeant(things) {
  if (things.flowmeters.length === 1) return things.flowmeters[0];
  for (const worn of [true, false]) {
    const fed = things.devices.filter((device) => device.worn === worn).map((device) => feeding(device, things));
    const meters = [...new Set(fed.filter((meter) => meter !== undefined))];
    if (meters.length === 1) return meters[0];
    if (meters.length > 1) return undefined;
  }
  return undefined;
}

/** The things of one sort that an act may be done to: the sorts of the catalogue's `on`.
 * @param {string[]} sorts @param {Things} things @param {DeviceKinds} kinds
 * @returns {{id: string, words: string}[]} */
export function objectsFor(sorts, things, kinds) {
  const found = [];
  for (const sort of sorts) {
    if (sort === "flowmeter") found.push(...things.flowmeters.map((m) => ({ id: m.id, words: `flowmeter, ${meterWords(m, things)}` })));
    if (sort === "device") found.push(...things.devices.map((d) => ({ id: d.id, words: deviceWords(d, things, kinds) })));
    if (sort === "outlet" || sort === "cylinder" || sort === "concentrator")
      found.push(...things.supplies.filter((s) => sortOfSupply(s) === sort).map((s) => ({ id: s.id, words: supplyWords(s, things) })));
    if (sort === "tube") found.push(...things.tubes.map((t) => ({ id: t.id, words: tubeWords(t, things, kinds) })));
  }
  // A tube and the device at its end answer to the same act: the device's name is enough.
  return sorts.includes("tube") && sorts.includes("device") ? found.filter((each) => things.devices.some((d) => d.id === each.id)) : found;
}

/** @param {Tube} tube @param {Things} things @param {DeviceKinds} kinds */
function tubeWords(tube, things, kinds) {
  const device = things.devices.find((each) => each.id === tube.to);
  return device ? `tubing of the ${deviceWords(device, things, kinds)}` : "loose tubing";
}
