// @ts-check
/** The catalogue of acts as the server tells it. */

/** @typedef {import("../pages/check-off/offers.mjs").ActKind} ActKind */

/** Every act by id, in the catalogue's order. @returns {Promise<Map<string, ActKind>>} */
export async function actKinds() {
  const told = await (await fetch("/acts.json", { credentials: "same-origin" })).json();
  /** @type {any[]} */
  const rows = Array.isArray(told) ? told : (told.acts ?? []);
  return new Map(rows.map((row) => [row.id, { ...row, arguments: Array.isArray(row.arguments) ? row.arguments : Object.values(row.arguments ?? {}) }]));
}
