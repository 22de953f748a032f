// @ts-check
// What a join code looks like. Pure.

/** Whether a word and four digits stand there, however they are spaced and cased. @param {string} typed */
export const looksWhole = (typed) => /^\s*[a-z]{3,12}[\s-]*\d{4}\s*$/i.test(typed);
