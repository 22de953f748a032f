// @ts-check
// The carbon dioxide sampling line: a thin tube from its opening (at a nostril, in a mask's hole, at a valve or a tube in the
// neck) under the jaw and over the shoulder to a monitor that stands beside the bed and is not drawn. World coordinates.
import { G, P, mix, n, pts, shape } from "./geometry.mjs";
import { piece } from "./piece.mjs";
import { runningOut } from "./probe.mjs";

/** @typedef {import("./posture.mjs").Posture} Posture */
/** @typedef {import("./geometry.mjs").Pt} Pt */
/** @typedef {"nose" | "mask" | "circuit" | "neck"} SamplingPlace  `neck`: in a circuit, on a tracheostomy tube */

/** From the opening to below the jaw, head coordinates. @type {Readonly<Record<"nose" | "mask" | "circuit", readonly Pt[]>>} */
const ON_FACE = Object.freeze({
  nose: pts([[112, 29], [106, 37], [92, 42], [66, 56], [44, 82]]),
  mask: pts([[124, 72], [118, 86], [94, 102], [62, 112], [40, 104]]),
  circuit: pts([[146, 50], [148, 78], [124, 108], [82, 122], [44, 110]]),
});
const FITTING = shape("f-linen", "ink", "M-6 -4.5H6V4.5H-6Z") + P("hair", "M-1 -4.5V4.5M3 -4.5V4.5");

/**
 * Anchor: `sampling`, the opening.
 * @param {Posture} f @param {{site: SamplingPlace, ends?: import("./probe.mjs").Ends}} state @returns {import("./piece.mjs").Piece}
 */
export function samplingLine(f, { site, ends }) {
  const k = Math.max(0.6, f.head.scale), [sx, sy] = f.shoulder, [tx, ty] = f.anchors.throat;
  const start = site === "neck" ? /** @type {Pt[]} */ ([[tx + 26 * k, ty - 6 * k], [tx + 20 * k, ty + 22 * k], [mix(tx, sx, 0.5), ty + 40 * k]]) : ON_FACE[site].map(([x, y]) => f.head.at(x, y));
  const [x = 0, y = 0] = start[start.length - 1] ?? [], open = start[0] ?? f.anchors.nostril;
  const away = /** @type {Pt[]} */ ([[mix(x, sx, 0.7), mix(y, sy, 0.8)], [sx - 54 * k, sy + 66 * k], [sx - 100 * k, sy + 240 * k], [sx - 108 * k, sy + 900 * k]]);
  const fitting = site === "nose" ? "" : G(`translate(${n(open[0])} ${n(open[1])}) rotate(${n(f.head.deg + 68)}) scale(${n(k)})`, FITTING);
  return piece(runningOut([...start, ...away], ends, "low", "sampling") + fitting, [], { sampling: open });
}
