// @ts-check
// Strips over time: from points to paths, scales that hold two ways, and what stands at a moment. Numbers in, text out.

/**
 * @typedef {{ id: string, name: string, t_s: number[], values: (number | null)[], is_hidden: boolean }} StripLine
 * @typedef {{ low: number, high: number, step: number }} Scale
 * @typedef {object} Strip
 * @property {string} id
 * @property {string} title
 * @property {string} about
 * @property {string} unit
 * @property {"line" | "steps" | "spans"} kind
 * @property {StripLine[]} lines
 * @property {{ from_s: number, to_s: number, words: string }[]} spans
 * @property {[number, number] | null} band
 * @property {Scale} scale
 * @property {Record<string, string>} names
 * @property {string} said
 * @property {number} digits
 */
/** @typedef {{ x: (t_s: number) => number, y: (value: number) => number }} Axes */

const round = (/** @type {number} */ v) => String(Math.round(v * 10) / 10);

/** A scale that holds both of two. @param {Scale} a @param {Scale | undefined} b @returns {Scale} */
export function joined(a, b) {
  if (!b) return a;
  return { low: Math.min(a.low, b.low), high: Math.max(a.high, b.high), step: Math.max(a.step, b.step) };
}

/** @param {{ end_s: number, width: number, high: number, scale: Scale, pad: number }} how @returns {Axes} */
export function axes({ end_s, width, high, scale, pad }) {
  const span = Math.max(1e-9, scale.high - scale.low);
  return {
    x: (t_s) => (Math.min(end_s, Math.max(0, t_s)) / Math.max(1e-9, end_s)) * width,
    y: (value) => pad + (1 - Math.min(1, Math.max(0, (value - scale.low) / span))) * (high - 2 * pad),
  };
}

/** Values whose names stand at a scale. @param {Scale} scale */
export function scaleNames({ low, high, step }) {
  const out = [];
  for (let v = low; v <= high + step * 1e-6; v += step) out.push(Math.round(v * 1e6) / 1e6);
  return out;
}

/** A line as a path: broken where nothing was known, in steps where a value holds. @param {StripLine} line @param {Axes} at @param {boolean} isSteps @param {number} [from_s]  nothing before this moment */
export function linePath(line, at, isSteps, from_s = -Infinity) {
  let path = "", down = false, before = NaN;
  line.values.forEach((value, i) => {
    const t_s = line.t_s[i] ?? 0;
    if (value === null) { down = false; return; }
    if (t_s < from_s) return;
    const x = round(at.x(t_s)), y = at.y(value);
    if (!down) path += `M${x} ${round(y)}`;
    else if (isSteps) path += `H${x}${y === before ? "" : `V${round(y)}`}`;
    else path += `L${x} ${round(y)}`;
    down = true;
    before = y;
  });
  return path;
}

/** @typedef {{ t_s: number[], low: number[], high: number[] }} EffectBand */

/** An area from low to high and back, kept inside the scale. @param {EffectBand} band @param {Axes} at @param {{ low: number, high: number }} scale */
export function bandPath(band, at, scale) {
  const inside = (/** @type {number} */ value) => round(at.y(Math.min(scale.high, Math.max(scale.low, value))));
  const points = (/** @type {number[]} */ values) => values.map((value, i) => `${round(at.x(band.t_s[i] ?? 0))} ${inside(value)}`);
  const edge = [...points(band.high), ...points(band.low).reverse()];
  return edge.length ? `M${edge.join("L")}Z` : "";
}

/** What a line stood at: its last point not after a moment; null before the first and where nothing was known. @param {StripLine} line @param {number} t_s */
export function valueAt(line, t_s) {
  let low = 0, high = line.t_s.length;
  while (low < high) {
    const mid = (low + high) >> 1;
    if ((line.t_s[mid] ?? 0) <= t_s + 1e-6) low = mid + 1; else high = mid;
  }
  return low ? (line.values[low - 1] ?? null) : null;
}

/** Where the open circles of the other way stand: evenly, so that it is told apart without colour. @param {StripLine} line @param {Axes} at @param {number} from_s @param {number} end_s @param {number} width */
export function ringsOf(line, at, from_s, end_s, width) {
  end_s = Math.min(end_s, line.t_s.at(-1) ?? 0);
  const count = Math.max(3, Math.min(14, Math.round((width * (end_s - from_s)) / Math.max(1, end_s) / 85)));
  const out = [];
  for (let n = 1; n <= count; n += 1) {
    const t_s = from_s + ((end_s - from_s) * n) / count, value = valueAt(line, t_s);
    if (value !== null) out.push({ x: at.x(t_s), y: at.y(value) });
  }
  return out;
}

/** When a line first stands in a range for good part of a minute; null if never. @param {StripLine} line @param {[number, number]} band @param {number} from_s */
export function firstIn(line, [low, high], from_s) {
  for (let t_s = Math.ceil(from_s); t_s <= (line.t_s.at(-1) ?? 0); t_s += 5) {
    const holds = [0, 10, 20, 30].every((later) => { const v = valueAt(line, t_s + later); return v !== null && v >= low && v <= high; });
    if (holds) return t_s;
  }
  return null;
}

/**
 * How much sooner or later the other way comes into the range, in half minutes; null where that is not to be said.
 * @param {StripLine | undefined} was @param {StripLine | undefined} would @param {[number, number] | null} band @param {number | null} from_s
 */
export function sooner(was, would, band, from_s) {
  if (!was || !would || !band || from_s === null) return null;
  const a = firstIn(was, band, from_s), b = firstIn(would, band, from_s);
  if (a === null || b === null) return null;
  const halves = Math.round((a - b) / 30);
  if (Math.abs(halves) < 1) return null;
  return { was_s: a, would_s: b, words: `about ${minutesWords(Math.abs(halves) / 2)} ${halves > 0 ? "sooner" : "later"} in range` };
}

/** Half minutes in words. @param {number} minutes */
export function minutesWords(minutes) {
  if (minutes === 0.5) return "half a minute";
  const whole = Math.floor(minutes);
  return `${whole}${minutes > whole ? "\u00bd" : ""} ${minutes === 1 ? "minute" : "minutes"}`;
}

/** A value of a strip in words. @param {Strip} strip @param {number | null} value */
export function valueWords(strip, value) {
  if (value === null) return "not known";
  const name = strip.names[String(Math.round(value))];
  if (name) return name;
  return `${value.toFixed(strip.digits)}${strip.unit ? `\u00a0${strip.unit}` : ""}`;
}

/** What a strip stood at, line by line or span. @param {Strip} strip @param {number} t_s @returns {{ name: string, words: string }[]} */
export function readingsAt(strip, t_s) {
  if (strip.kind === "spans") {
    const span = strip.spans.find((each) => each.from_s <= t_s && t_s < each.to_s) ?? strip.spans.find((each) => each.to_s === t_s);
    return [{ name: strip.title, words: span?.words ?? "nothing" }];
  }
  return strip.lines.map((line) => ({
    name: strip.lines.length > 1 ? `${strip.title}, ${line.name}` : strip.title,
    words: valueWords(strip, valueAt(line, t_s)),
  }));
}

/** The strips as a table: a head and a row for each minute. @param {Strip[]} strips @param {number} end_s */
export function tableOf(strips, end_s) {
  const some = strips.filter((strip) => strip.lines.length || strip.spans.length);
  const head = ["Time", ...some.flatMap((strip) => readingsAt(strip, 0).map((each) => each.name))];
  const rows = [];
  for (let t_s = 0; t_s <= end_s; t_s += 60) rows.push({ t_s, cells: some.flatMap((strip) => readingsAt(strip, t_s).map((each) => each.words)) });
  return { head, rows };
}
