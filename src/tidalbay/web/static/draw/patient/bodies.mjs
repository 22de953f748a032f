// @ts-check
// Four bodies in their own proportions, in trunk coordinates: hip joint 0,0, up the spine -y, chest towards +x, 1 is 1 mm.
// Sizes from memory of growth and anthropometric tables (woman about 1.65 m, man 1.78 m, six years 1.15 m, nine months 0.71 m).

/** @typedef {import("../geometry.mjs").Pt} Pt */
/** @typedef {"woman" | "man" | "child" | "infant"} Build */
/**
 * A point of the front of the trunk and how much of the chest's rise, the belly's rise and the shoulders' lift it takes.
 * @typedef {readonly [x: number, y: number, rise: number, belly: number, lift: number]} FrontPoint
 */

/**
 * @typedef {object} Body
 * @property {number} unit  cloth folds and hatching, compared with the woman's
 * @property {Pt} c7  seventh neck vertebra
 * @property {Pt} ear  ear canal, from there, in the neck's frame
 * @property {number} headScale  size of the face compared with the woman's
 * @property {number} rise_mm  chest at a large breath; larger than life, to be seen across a room
 * @property {number} belly_mm
 * @property {number} lift_mm  shoulders at the hardest work
 * @property {number} bob  share of the lift that moves the head
 * @property {readonly FrontPoint[]} front  notch above the breast bone to groin
 * @property {readonly Pt[]} throat  from under the jaw to the notch
 * @property {readonly Pt[]} back  shoulder to loin
 * @property {Pt} hipBack  world
 * @property {readonly Pt[]} seat  world: the underside from groin to hip
 * @property {readonly Pt[]} yoke  neck line of the gown, back to front
 * @property {readonly Pt[]} sleeve
 * @property {Pt} shoulder
 * @property {Pt} elbow
 * @property {Pt} wrist  world, half sitting
 * @property {number} limb  thickness of the arm compared with the woman's
 * @property {number} hand  size of the hand compared with the woman's
 * @property {number} thigh_mm  sitting: hip to knee
 * @property {number} shin_mm
 * @property {number} thick_mm  half thickness of the thigh
 */

/** @type {Readonly<Record<Build, Body>>} */
export const bodies = {
  woman: {
    unit: 1, c7: [-85, -575], ear: [75, -165], headScale: 1, rise_mm: 15, belly_mm: 21, lift_mm: 9, bob: 0.45,
    front: [[36, -502, 0, 0, 0.5], [66, -470, 0.5, 0, 0], [96, -425, 0.9, 0, 0], [114, -372, 1, 0, 0], [117, -315, 0.95, 0, 0], [113, -264, 0.55, 0.3, 0], [121, -215, 0, 0.85, 0], [128, -165, 0, 1, 0], [119, -110, 0, 0.7, 0], [92, -58, 0, 0, 0]],
    throat: [[45, -574], [42, -546], [38, -520]],
    back: [[-112, -540], [-128, -480], [-137, -400], [-137, -280], [-138, -170]], hipBack: [-110, 58], seat: [[40, 60], [-40, 84]],
    yoke: [[-112, -540], [-70, -508], [-20, -494], [20, -516]],
    sleeve: [[-112, -512], [-70, -548], [-26, -546], [10, -512], [26, -450], [30, -380], [26, -322], [-50, -312], [-138, -318], [-132, -400], [-124, -470]],
    shoulder: [-32, -488], elbow: [-86, -205], wrist: [44, -158], limb: 1, hand: 1, thigh_mm: 415, shin_mm: 400, thick_mm: 78,
  },
  man: {
    unit: 1.05, c7: [-88, -592], ear: [80, -172], headScale: 1.04, rise_mm: 16, belly_mm: 19, lift_mm: 10, bob: 0.45,
    front: [[42, -520, 0, 0, 0.5], [78, -490, 0.5, 0, 0], [112, -444, 0.9, 0, 0], [126, -392, 1, 0, 0], [122, -332, 0.95, 0, 0], [119, -276, 0.55, 0.3, 0], [128, -222, 0, 0.85, 0], [136, -168, 0, 1, 0], [126, -112, 0, 0.7, 0], [96, -58, 0, 0, 0]],
    throat: [[56, -596], [52, -566], [46, -540]],
    back: [[-124, -552], [-142, -488], [-149, -404], [-146, -284], [-144, -170]], hipBack: [-114, 60], seat: [[42, 62], [-42, 88]],
    yoke: [[-124, -552], [-76, -520], [-22, -508], [24, -532]],
    sleeve: [[-130, -520], [-86, -566], [-30, -566], [18, -530], [38, -460], [40, -382], [34, -318], [-56, -306], [-152, -312], [-148, -400], [-142, -474]],
    shoulder: [-34, -500], elbow: [-90, -208], wrist: [58, -158], limb: 1.17, hand: 1.12, thigh_mm: 445, shin_mm: 440, thick_mm: 84,
  },
  child: {
    unit: 0.66, c7: [-50, -382], ear: [54, -118], headScale: 0.84, rise_mm: 11, belly_mm: 16, lift_mm: 7, bob: 0.5,
    front: [[24, -334, 0, 0, 0.5], [42, -314, 0.5, 0, 0], [58, -284, 0.9, 0, 0], [68, -248, 1, 0, 0], [71, -210, 0.95, 0, 0], [71, -176, 0.55, 0.3, 0], [78, -142, 0, 0.85, 0], [81, -108, 0, 1, 0], [75, -72, 0, 0.7, 0], [58, -38, 0, 0, 0]],
    throat: [[28, -380], [27, -362], [25, -346]],
    back: [[-70, -358], [-80, -318], [-85, -266], [-85, -188], [-85, -112]], hipBack: [-68, 40], seat: [[26, 40], [-26, 54]],
    yoke: [[-70, -358], [-44, -338], [-14, -330], [14, -344]],
    sleeve: [[-70, -340], [-44, -364], [-16, -362], [8, -340], [19, -300], [22, -254], [19, -216], [-32, -208], [-88, -212], [-84, -266], [-78, -312]],
    shoulder: [-20, -324], elbow: [-56, -136], wrist: [34, -112], limb: 0.6, hand: 0.68, thigh_mm: 270, shin_mm: 260, thick_mm: 48,
  },
  infant: {
    unit: 0.44, c7: [-36, -234], ear: [12, -82], headScale: 0.66, rise_mm: 6, belly_mm: 12, lift_mm: 6, bob: 0.9,
    front: [[22, -204, 0, 0, 0.5], [36, -192, 0.5, 0, 0], [48, -172, 0.9, 0, 0], [54, -148, 1, 0, 0], [56, -124, 0.9, 0.1, 0], [60, -102, 0.4, 0.5, 0], [70, -80, 0, 0.9, 0], [75, -56, 0, 1, 0], [68, -32, 0, 0.7, 0], [50, -10, 0, 0, 0]],
    throat: [[30, -224], [27, -214]],
    back: [[-46, -222], [-58, -196], [-63, -160], [-62, -112], [-62, -66]], hipBack: [-52, 26], seat: [[10, 44], [-26, 44]],
    yoke: [[-46, -222], [-30, -210], [-8, -204], [12, -210]],
    sleeve: [[-46, -206], [-30, -226], [-8, -226], [10, -210], [18, -184], [19, -156], [15, -132], [-20, -126], [-56, -132], [-58, -160], [-54, -188]],
    shoulder: [-16, -198], elbow: [-34, -98], wrist: [-18, -96], limb: 0.5, hand: 0.46, thigh_mm: 120, shin_mm: 115, thick_mm: 34,
  },
};
