// @ts-check
// The helper's gloved hands at a bag-valve-mask: one holds the mask to the face, one holds the bag. 1 unit = 1 mm.
import { P, hatch, pts, smooth } from "./geometry.mjs";

/** @typedef {import("./geometry.mjs").Pt} Pt */

/** A finger or a thumb from its root to its tip, drawn over what lies under it. @param {Pt[]} outline */
const digit = (outline) => P("f-linen", smooth(outline) + "Z") + P("ink", smooth(outline));

/**
 * Holding the mask, in head coordinates: thumb and index finger press it down, three fingers draw the jaw up to
 * it. The helper
 * stands behind the head.
 */
export const maskHand = [
  // back of the hand, coming from behind the head over the ear
  P("f-linen", smooth(pts([[-96, -34], [-60, -40], [-20, -36], [20, -24], [52, -10], [62, 10], [60, 34], [48, 54],
    [28, 66],
    [4, 66], [-26, 50], [-60, 34], [-100, 22]])) + "Q-88 -6 -96 -34Z"), P("contour", "M-96 -34Q-88 -6 -100 22"),
  P("contour", smooth(pts([[-96, -34], [-60, -40], [-20, -36], [20, -24], [50, -12]]))),
  P("contour", smooth(pts([[-100, 22], [-60, 34], [-26, 50], [4, 66], [14, 70]]))),
  P("fine", "M-86 -36Q-78 -6 -89 25"),
  digit(pts([[12, 56], [20, 76], [32, 92], [44, 104], [52, 107], [56, 101], [50, 90], [42, 76], [34, 60]])),
  digit(pts([[28, 52], [40, 74], [54, 92], [66, 104], [75, 107], [79, 101], [72, 90], [62, 74], [52, 54]])),
  digit(pts([[44, 44], [58, 64], [74, 84], [88, 98], [98, 103], [103, 97], [97, 87], [84, 70], [70, 50], [60, 38]])),
  digit(pts([[54, 22], [76, 34], [100, 54], [120, 72], [131, 79], [138, 74], [135, 66], [118, 50], [96, 32], [72, 16],
    [58, 8]])),
  digit(pts([[36, -18], [58, -14], [84, -6], [108, 4], [124, 12], [128, 19], [121, 23], [104, 18], [80, 10],
    [60, 8]])),
  P("hair", smooth(pts([[120, 68], [127, 70], [133, 66]]))),
    P("hair", smooth(pts([[112, 14], [118, 14], [121, 10]]))),
  hatch(pts([[-20, 52], [6, 64], [26, 64]]), pts([[-16, 43], [8, 54], [28, 54]]), 14),
    P("hair", "M34 44q6 -3 9 -9M20 52q7 -2 11 -8M6 54q7 -1 12 -7"),
].join("");

/**
 * Holding the bag, in its own coordinates with the bag's middle line along +x: palm below, four fingers across
 * the near side.
 */
export const bagHand = [
  P("f-linen", smooth(pts([[70, 44], [72, 70], [86, 96], [96, 128], [98, 168], [148, 168], [152, 128], [164, 96],
    [172, 66], [168, 40], [120, 30]])) + "Z"), P("contour", "M98 168Q122 174 148 168"),
  P("contour", smooth(pts([[70, 44], [72, 70], [86, 96], [96, 128], [98, 168]]))),
    P("contour", smooth(pts([[148, 168], [152, 128], [164, 96], [172, 66]]))),
  P("fine", "M97 156Q122 162 149 156"),
  ...[74, 98, 122, 146].map((x, i) => digit(pts([[x, 66], [x - 1, 40], [x + 1, 8 + i * 2], [x + 4, -14 + i * 4],
    [x + 12, -20 + i * 4], [x + 20, -13 + i * 4], [x + 23, 10 + i * 2],
    [x + 24, 40], [x + 24, 66]]))),
  P("hair", [74, 98, 122, 146].map((x, i) => `M${x + 3} ${16 + i}q9 4 18 0M${x + 3} ${42 + i}q9 4 18 0`).join("")),
  hatch(pts([[88, 96], [97, 128], [99, 164]]), pts([[98, 94], [106, 128], [108, 164]]), 18),
].join("");
