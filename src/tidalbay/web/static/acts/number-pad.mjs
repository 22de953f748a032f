// @ts-check
/** A number as it is typed, key by key, and what is wrong with it in words. Pure. */

export const KEYS = ["1", "2", "3", "4", "5", "6", "7", "8", "9", ".", "0", "delete"];

const LONGEST = 6;

/** The text after one more key. A second point, a leading row of noughts and an endless number are not typed.
 * @param {string} text @param {string} key */
export function typed(text, key) {
  if (key === "delete") return text.slice(0, -1);
  if (key === "." && text.includes(".")) return text;
  if (text.length >= LONGEST) return text;
  if (key === ".") return text === "" ? "0." : `${text}.`;
  return text === "0" ? key : text + key;
}

/**
 * The number that was typed, or a sentence.
 * @param {string} text
 * @param {{words: string, unit: string, low: number, high: number, whole?: boolean}} asked
 * @returns {{number: number} | {sentence: string}}
 */
export function readNumber(text, asked) {
  const wanted = `${plain(asked.low)} to ${plain(asked.high)} ${asked.unit}`.trim();
  const cleaned = text.trim().replace(",", ".");
  if (cleaned === "") return { sentence: `${asked.words}: type a number, ${wanted}.` };
  if (!/^\d+\.?\d*$|^\.\d+$/.test(cleaned)) return { sentence: `${asked.words}: "${text.trim()}" is not a number; type ${wanted}.` };
  const number = Number(cleaned);
  if (asked.whole && !Number.isInteger(number)) return { sentence: `${asked.words}: ${plain(number)} is not whole; type ${wanted}.` };
  if (number < asked.low || number > asked.high) return { sentence: `${asked.words}: ${plain(number)} is outside ${wanted}.` };
  return { number };
}

/** @param {number} number */
const plain = (number) => String(Number(number.toFixed(3)));
