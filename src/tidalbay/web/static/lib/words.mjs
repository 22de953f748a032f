// @ts-check
// Numbers and moments as a calm senior nurse would say them. Pure; no document.

/** 500 s as "08:20", from an hour on as "1:08:20". @param {number} t_s */
export function clockWords(t_s) {
  const s = Math.max(0, Math.floor(t_s + 1e-6)), h = Math.floor(s / 3600);
  const two = (/** @type {number} */ v) => String(v).padStart(2, "0");
  return (h ? `${h}:` : "") + `${two(Math.floor(s / 60) % 60)}:${two(s % 60)}`;
}

/** How long something lasts: "40 s", "4 minutes", "2 h 10 min". @param {number} s */
export function spanWords(s) {
  const whole = Math.max(0, Math.round(s));
  if (whole < 90) return `${whole} s`;
  const min = Math.round(whole / 60);
  if (min < 90) return count(min, "minute");
  const h = Math.floor(min / 60), rest = min % 60;
  return rest ? `${h} h ${rest} min` : `${h} h`;
}

/** How old something is: "just now", "40 s ago", "4 minutes ago". Steps of 10 s, so that it does not flicker. @param {number} s */
export function ageWords(s) {
  if (s < 10) return "just now";
  return `${spanWords(s < 90 ? Math.floor(s / 10) * 10 : s)} ago`;
}

/** "1 minute", "2 minutes". @param {number} n @param {string} one @param {string} [many] */
export const count = (n, one, many = one + "s") => `${n} ${n === 1 ? one : many}`;

/** A number with so many places after the point, no needless ones, a true minus sign. @param {number} v @param {number} [places] */
export function figure(v, places = 0) {
  const text = String(Number(v.toFixed(places)));
  return text.startsWith("-") ? "\u2212" + text.slice(1) : text;
}

/** A number, or nothing to show. @param {unknown} v @returns {v is number} */
export const isNumber = (v) => typeof v === "number" && Number.isFinite(v);

/** A clause as a sentence: first letter up, a full stop unless it ends itself. @param {string} clause */
export function sentence(clause) {
  const text = clause.trim();
  if (!text) return "";
  const first = text.charAt(0).toUpperCase() + text.slice(1);
  return /[.!?\u2026]["\u201d\u2019]?$/.test(first) ? first : first + ".";
}

/** "a, b and c". @param {readonly string[]} parts */
export const list = (parts) => (parts.length < 2 ? parts.join("") : `${parts.slice(0, -1).join(", ")} and ${parts[parts.length - 1]}`);

/** An id as words: "left_ear" is "left ear", "pain-eases" is "pain eases". @param {string} id */
export const plain = (id) => id.replaceAll(/[_-]/g, " ");

export const KPA_PER_MMHG = 0.133322;

/** mmHg to kPa, as printed. @param {number} mmhg */
export const kpa = (mmhg) => figure(mmhg * KPA_PER_MMHG, 1);

/** "7 not yet sent", or nothing. @param {number} waiting */
export const notYetSent = (waiting) => (waiting ? `${waiting} not yet sent` : "");

/** Said of a page that has lost its station. @param {number} away_s @param {number} shown_s */
export const awayWords = (away_s, shown_s) =>
  `Not connected since ${clockWords(away_s)}; what you see is from ${clockWords(shown_s)}.`;
