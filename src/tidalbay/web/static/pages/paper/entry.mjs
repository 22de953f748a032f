// @ts-check
/** A filled sheet as marks: only what was ticked, each saying that it came from paper. Pure. */

/**
 * @typedef {{ kind: string, about?: string, values: Record<string, unknown> }} Mark
 * @typedef {{ get(name: string): unknown }} Data
 */

/** Seconds of "2:05", "02:05" or "1:02:05"; undefined where nothing is written, null where it is no time.
 * @param {string} text @returns {number | null | undefined} */
export function seconds(text) {
  const cleaned = text.trim();
  if (cleaned === "") return undefined;
  const parts = /^(?:(\d{1,2}):)?(\d{1,3})[:.](\d{2})$/.exec(cleaned);
  if (!parts || Number(parts[3]) > 59) return null;
  return Number(parts[1] ?? 0) * 3600 + Number(parts[2]) * 60 + Number(parts[3]);
}

/**
 * The marks of a sheet, or the sentence that says what is wrong with it.
 * @param {Data} data @param {readonly { id: string, item: number }[]} steps
 * @returns {{ marks: Mark[] } | { sentence: string, field: string }}
 */
export function marksOfSheet(data, steps) {
  /** @type {Mark[]} */
  const marks = [];
  for (const step of steps) {
    const state = String(data.get(`state-${step.id}`) ?? ""), written = String(data.get(`at-${step.id}`) ?? "");
    const at_s = seconds(written);
    if (at_s === null) return { sentence: `Item ${step.item}: "${written.trim()}" is not a time of the station's clock; write it as 2:05.`, field: `at-${step.id}` };
    if (!state && at_s !== undefined) return { sentence: `Item ${step.item} has a time and no box; tick one, or take the time out.`, field: `at-${step.id}` };
    if (state) marks.push({ kind: "step_state", about: step.id, values: { state, ...(at_s === undefined ? {} : { at_s }), from_paper: true } });
  }
  const rating = String(data.get("rating") ?? ""), text = String(data.get("note") ?? "").trim().replace(/\s+/g, " ");
  if (rating) marks.push({ kind: "global_rating", values: { rating: Number(rating), from_paper: true } });
  if (text) marks.push({ kind: "note", values: { text, from_paper: true } });
  return marks.length ? { marks } : { sentence: "Nothing is ticked or written yet.", field: "" };
}

/** A day of birth for the wristband that fits the age and is the same for the same name; invented.
 * @param {string} name @param {number} age_years @param {number} year this year */
export function bornOn(name, age_years, year) {
  const die = [...name].reduce((sum, letter) => (sum * 31 + (letter.codePointAt(0) ?? 0)) % 997, 7);
  const months = ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"];
  return `${(die % 28) + 1} ${months[die % 12]} ${year - Math.floor(age_years) - 1}`;
}

/** An identity number for the wristband that is the same for the same name; invented, and of no real series. @param {string} name */
export function identityNumber(name) {
  const die = [...name].reduce((sum, letter) => (sum * 37 + (letter.codePointAt(0) ?? 0)) % 999_983, 11);
  const digits = String(die).padStart(6, "0");
  return `PRACTICE ${digits.slice(0, 3)} ${digits.slice(3)}`;
}
