// @ts-check
/** Whose hands a tap tells of: people by their names on the page, by opaque ids in the log. Pure. */

/**
 * @typedef {{ id: string, name: string }} Learner
 * @typedef {{ name?: string | null, id?: string | null, learners?: readonly Learner[] }} Whose as the lab tells it
 */

/** What is offered: whose attempt it is first, then the others of the line, then a helper of no name.
 * @param {Whose} told @returns {{ id: string, words: string }[]} */
export function handsOffered(told) {
  const others = (told.learners ?? []).filter((each) => each.id !== told.id);
  const own = { id: told.name && told.id ? told.id : "learner", words: told.name || "the learner’s" };
  return [own, ...others.map((each) => ({ id: each.id, words: each.name })), { id: "peer", words: "a helper’s" }];
}
