// @ts-check
// Four faces in profile, in the head's frame: ear canal of an adult 0,0, the face looks to +x, the floor of the nose is level.
// Nostril, lips, bridge and chin stand at the same places in all (a device fits each); what differs is the skull, the
// brow, the root of the nose, the chin, the cheek, the eye and the ear.
import { pts } from "../geometry.mjs";

/** @typedef {import("../geometry.mjs").Pt} Pt */
/** @typedef {import("./bodies.mjs").Build} Build */
/**
 * @typedef {object} Face
 * @property {(open: number) => Pt[]} profile  hairline to upper lip
 * @property {(open: number) => Pt[]} jaw  lower lip to under the chin; turns about the jaw's joint
 * @property {readonly Pt[]} skull  from under the jaw, round the back, to the hairline
 * @property {{x: number, y: number, scale: number}} eye  where the drawn eye (middle 76, -13) is put
 * @property {number} brow  thickness of the brow
 * @property {number} lashes  0 or 1
 * @property {number} cheekRound  0..1 fullness of the cheek
 * @property {readonly Pt[]} jawLine  from under the chin towards the ear
 * @property {readonly Pt[]} nape  from the skull downwards
 */

const JOINT = { x: 8, y: 6 };
/** @param {Pt[]} line @param {number} open 0..1, at most 9 degrees @returns {Pt[]} */
function dropped(line, open) {
  const a = (open * 9 * Math.PI) / 180, c = Math.cos(a), q = Math.sin(a);
  return line.map((p) => {
    const u = p[0] - JOINT.x, v = p[1] - JOINT.y, x = JOINT.x + u * c - v * q, y = JOINT.y + u * q + v * c;
    return p[2] ? [x, y, p[2]] : [x, y];
  });
}
/** The lips' meeting place: the upper lip lifts a little as the mouth opens. @param {number} open @returns {Pt} */
const meeting = (open) => [102, 49.5 - open * 1.5, "c"];

/** @type {Readonly<Record<Build, Face>>} */
export const faces = {
  woman: {
    profile: (open) => [[78, -96], [89, -78], [95, -58], [97.5, -44], [95.5, -34], [92.5, -26], [96, -15], [105, 0], [113, 9], [119.5, 15.5], [120.5, 20], [117, 24.5], [111.5, 26.5], [106, 28], [103.6, 33], [104.8, 38], [108.2, 42.5], [107.6, 46.5], meeting(open)],
    jaw: (open) => dropped(pts([[102, 50.6, "c"], [106, 54], [106.8, 58], [103, 63], [98.2, 68.5], [98.6, 74], [100.4, 80], [99.4, 87], [94, 94.5], [85, 98.5], [73, 98.5], [60, 96.5]]), open),
    skull: [[60, 96.5], [40, 94], [14, 96], [-40, 92], [-72, 60], [-92, 20], [-100, -24], [-94, -66], [-68, -104], [-26, -124], [18, -127], [56, -116], [78, -96]],
    eye: { x: 76, y: -13, scale: 1 }, brow: 4.4, lashes: 1, cheekRound: 0.2, jawLine: [[58, 95], [38, 87], [20, 75], [9, 58], [4, 40]], nape: [[-66, 50], [-62, 84]],
  },
  man: {
    profile: (open) => [[76, -98], [88, -80], [95, -60], [99.5, -46], [99.5, -37], [93, -28], [95.5, -18], [106, -2], [116, 8], [122.4, 15], [123.4, 20], [119, 25], [112, 27], [106, 28.4], [103.2, 33.5], [103.6, 38.5], [106.4, 43], [106.2, 46.8], meeting(open)],
    jaw: (open) => dropped(pts([[102, 50.6, "c"], [105, 54], [105.4, 58], [101.4, 63], [98.4, 68.5], [100.6, 74.5], [104, 81], [104, 89.5], [98.5, 98], [88, 103], [74, 103.5], [60, 101]]), open),
    skull: [[60, 101], [40, 99], [14, 98], [-40, 92], [-74, 60], [-95, 20], [-102, -24], [-96, -66], [-70, -106], [-28, -126], [16, -129], [54, -118], [76, -98]],
    eye: { x: 76.5, y: -14, scale: 0.96 }, brow: 6.2, lashes: 0, cheekRound: 0, jawLine: [[58, 99], [38, 94], [16, 86], [3, 68], [0, 46]], nape: [[-70, 50], [-72, 84]],
  },
  child: {
    profile: (open) => [[72, -112], [88, -96], [99, -74], [103, -54], [101, -39], [95.5, -27], [96.5, -14], [104, 0], [111, 9.5], [117, 15.5], [118, 20], [114.6, 25], [110, 26.6], [105.6, 28.2], [104, 33], [105.4, 38], [109, 42.8], [108.2, 46.6], meeting(open)],
    jaw: (open) => dropped(pts([[102, 50.6, "c"], [106, 54], [106.4, 58], [101.6, 63], [97, 68], [97.6, 74], [98.4, 80], [96, 87], [90, 92.6], [82, 95.4], [72, 95.6], [62, 93.4]]), open),
    skull: [[62, 93.4], [42, 90], [14, 90], [-44, 78], [-80, 44], [-104, 4], [-113, -42], [-105, -88], [-78, -124], [-32, -144], [16, -146], [52, -134], [72, -112]],
    eye: { x: 75, y: -9, scale: 1.2 }, brow: 3, lashes: 1, cheekRound: 0.6, jawLine: [[60, 92], [40, 85], [22, 74], [10, 58], [4, 44]], nape: [[-72, 42], [-66, 76]],
  },
  infant: {
    profile: (open) => [[66, -130], [86, -114], [101, -90], [108, -64], [106.5, -44], [99.5, -29], [96.5, -15], [100, -2], [107.4, 7.6], [113.6, 13.6], [115.2, 19], [112.6, 24], [109, 25.8], [106, 27.6], [104.6, 32.6], [106.6, 38], [110.4, 42.6], [109.4, 46.8], meeting(open)],
    jaw: (open) => dropped(pts([[102, 50.6, "c"], [106.6, 54], [106.4, 58.4], [100.8, 62.6], [95.6, 66.6], [95.8, 72], [97, 78], [95, 85], [89, 91], [80, 95.6], [70, 98], [58, 97]]), open),
    skull: [[58, 97], [34, 98], [4, 94], [-48, 80], [-84, 46], [-109, 2], [-120, -48], [-113, -96], [-86, -136], [-38, -158], [12, -160], [46, -147], [66, -130]],
    eye: { x: 74, y: -5, scale: 1.42 }, brow: 2, lashes: 1, cheekRound: 1, jawLine: [[76, 84], [58, 86], [38, 80], [24, 68]], nape: [[-50, 79], [-30, 104]],
  },
};

/** The near ear, about its canal. @type {readonly Pt[]} */
export const earOutline = [[3, -4], [3, -14], [-1, -24], [-10, -30], [-20, -28], [-27, -19], [-28, -7], [-25, 6], [-19, 17], [-14, 27], [-8, 33], [-2, 32], [0, 26], [1, 16]];
