// @ts-check
/** Acts found by words: of the button, the act itself, its group and the words of the catalogue. Pure. */

/** @typedef {{id: string, group: string, button: string, words: string[], by: string[], plausible: string}} Kind */

/**
 * Acts that fit everything that was typed, best first: a button that begins so, then a word that begins so, then
 * one that holds it. With nothing typed, all of them in the catalogue's order.
 * @template {Kind} K
 * @param {K[]} kinds @param {string} typed @returns {K[]}
 */
export function foundActs(kinds, typed) {
  const sought = typed.toLowerCase().split(/\s+/).filter(Boolean);
  if (sought.length === 0) return [...kinds];
  const ranked = [];
  for (const [place, kind] of kinds.entries()) {
    const ranks = sought.map((word) => rank(kind, word));
    const whole = kind.button.toLowerCase().startsWith(typed.toLowerCase().trim()) ? 1 : 0;
    if (ranks.every((each) => each > 0)) ranked.push({ kind, place, rank: Math.min(...ranks) + 4 * whole });
  }
  ranked.sort((a, b) => b.rank - a.rank || a.place - b.place);
  return ranked.map((each) => each.kind);
}

/** @param {Kind} kind @param {string} word */
function rank(kind, word) {
  const button = kind.button.toLowerCase();
  if (button.startsWith(word)) return 4;
  const words = [button, kind.id.replaceAll("_", " "), ...kind.words].join(" ").toLowerCase().split(/[\s,-]+/);
  if (words.some((each) => each.startsWith(word))) return 3;
  if (words.some((each) => word.length > 2 && each.includes(word))) return 2;
  return kind.group.startsWith(word) ? 1 : 0;
}

/** Acts by the catalogue's group, in its order.
 * @template {Kind} K
 * @param {K[]} kinds @returns {{group: string, kinds: K[]}[]} */
export function inGroups(kinds) {
  const groups = new Map();
  for (const kind of kinds) groups.set(kind.group, [...(groups.get(kind.group) ?? []), kind]);
  return [...groups].map(([group, mine]) => ({ group, kinds: mine }));
}

/** Words over a group.
 * @type {Record<string, string>} */
export const GROUP_WORDS = {
  ready: "Getting ready",
  look: "Looking",
  supply: "Gas and flow",
  device: "Device",
  nebuliser: "Nebuliser",
  treat: "Treatment",
  people: "People",
  record: "Chart",
  time: "Time",
};
