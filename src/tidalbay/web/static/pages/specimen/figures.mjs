// @ts-check
// What a figure on the specimen sheet is: a whole scene on a plate, or one piece in a box of its own; and a sentence.

/** @typedef {import("../../draw/piece.mjs").Live} Live */
/** @typedef {import("../../draw/piece.mjs").Piece} Piece */

/** `live`: how it stands while the sheet is still; `bag`: how full it is at rest and how much a breath takes out of it.
 * @typedef {object} Figure
 * @property {string} says  the sentence under it
 * @property {"mini" | "small" | "usual" | "large" | "wide"} size
 * @property {Partial<Live>} live
 * @property {{ id: string, full: number, takes: number } | null} bag
 * @property {{ said: import("../../draw/scene.mjs").SceneSaid, view: "seen" | "cut", crop: "bed" | "face" | "hands" | "supply", grow: readonly [number, number, number, number] } | null} scene
 *   `grow`: by how much of its width and height the crop is let out to the left, up, right and down
 * @property {{ piece: Piece, box: readonly [number, number, number, number], pen: number, skin: Readonly<Record<string, string>> } | null} alone  box: left, top, width, height
 */

/** @typedef {{ id: string, title: string, says: string, figures: readonly Figure[] }} Section */

/** @param {string} says @param {Partial<Figure>} more @returns {Figure} */
const figure = (says, more) => ({ says, size: "usual", live: {}, bag: null, scene: null, alone: null, ...more });

/**
 * One piece alone.
 * @param {string} says
 * @param {Piece} piece
 * @param {readonly [number, number, number, number]} box
 * @param {Partial<Figure> & { pen?: number, skin?: Readonly<Record<string, string>> }} [more]
 */
export const alone = (says, piece, box, { pen = 1, skin = {}, ...more } = {}) =>
    figure(says, { alone: { piece, box, pen, skin }, ...more });

/**
 * A whole scene.
 * @param {string} says
 * @param {import("../../draw/scene.mjs").SceneSaid} said
 * @param {Partial<Figure> & { view?: "seen" | "cut", crop?: "bed" | "face" | "hands" | "supply", grow?: readonly [number, number, number, number] }} [more]
 */
export const scene = (says, said, { view = "seen", crop = "bed", grow = [0, 0, 0, 0], ...more } = {}) =>
    figure(says, { scene: { said, view, crop, grow }, ...more });
