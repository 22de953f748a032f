// @ts-check
// Hair as seen from the side, fitted to a skull.
import { P, brush, pts, smooth } from "../geometry.mjs";
import { faces } from "./faces.mjs";

/** @typedef {import("../geometry.mjs").Pt} Pt */
/** @typedef {import("../posture.mjs").PatientState} PatientState */
/** @typedef {{outer: Pt[], inner: Pt[], strands: Pt[][]}} Cut */

/** Drawn on the woman's skull; other skulls stretch it. @type {Readonly<Record<"bob" | "short" | "long", Cut>>} */
const cuts = {
  bob: {
    outer: pts([[80, -93], [64, -116], [30, -134], [-14, -140], [-58, -128], [-92, -100], [-110, -58], [-114, -14], [-112, 30], [-98, 76], [-78, 104]]),
    inner: pts([[-44, 98], [-34, 62], [-32, 30], [-33, 0], [-30, -22], [-18, -34], [-2, -33], [10, -26], [16, -38], [34, -58], [54, -74], [70, -84]]),
    strands: [
      pts([[74, -94], [40, -112], [-10, -104], [-44, -66], [-52, -10]]), pts([[66, -104], [20, -124], [-40, -108], [-76, -60], [-80, 10], [-70, 84]]), pts([[40, -122], [-20, -128], [-76, -96], [-98, -30], [-96, 40]]), pts([[70, -88], [40, -92], [6, -76], [-22, -46]]),
      pts([[60, -84], [30, -76], [8, -56], [-4, -38]]), pts([[-36, -34], [-46, 10], [-46, 60], [-56, 98]]), pts([[-48, -60], [-64, -10], [-62, 50], [-66, 100]]),
    ],
  },
  short: {
    outer: pts([[80, -93], [64, -116], [30, -134], [-14, -140], [-58, -128], [-92, -100], [-110, -58], [-114, -14], [-104, 16], [-86, 46], [-70, 62]]),
    inner: pts([[-54, 58], [-42, 40], [-34, 14], [-32, -12], [-28, -28], [-12, -36], [2, -32], [8, -14], [13, 2], [19, -10], [22, -34], [40, -52], [58, -74], [72, -84]]),
    strands: [
      pts([[72, -92], [40, -112], [0, -112], [-40, -92]]), pts([[60, -106], [10, -126], [-40, -114], [-80, -70]]), pts([[-20, -100], [-60, -80], [-86, -30], [-84, 20]]), pts([[64, -86], [30, -92], [-10, -80], [-44, -48], [-60, 0], [-62, 40]]),
      pts([[40, -66], [10, -62], [-20, -46], [-42, -10]]), pts([[-50, -20], [-56, 20], [-58, 50]]),
    ],
  },
  long: {
    outer: pts([[80, -93], [66, -117], [32, -136], [-14, -142], [-60, -130], [-95, -102], [-113, -58], [-118, -10], [-120, 46], [-124, 100], [-112, 146], [-84, 172]]),
    inner: pts([[-64, 166], [-48, 140], [-42, 100], [-38, 56], [-34, 20], [-33, -4], [-30, -24], [-16, -35], [0, -33], [10, -24], [16, -38], [34, -58], [54, -74], [70, -84]]),
    strands: [
      pts([[74, -94], [40, -112], [-10, -104], [-46, -66], [-54, -6]]), pts([[66, -106], [20, -126], [-42, -110], [-80, -60], [-84, 20], [-82, 110]]), pts([[40, -124], [-20, -130], [-80, -98], [-102, -30], [-104, 60], [-104, 130]]), pts([[70, -88], [40, -92], [6, -76], [-22, -46]]),
      pts([[-40, -30], [-52, 30], [-58, 90], [-76, 160]]), pts([[-60, -50], [-70, 10], [-70, 80], [-90, 150]]),
    ],
  },
};

/** How a skull stretches what was drawn on the woman's: above the ear and behind it. */
const stretch = Object.freeze({ woman: [1, 1], man: [1.02, 1.02], child: [1.13, 1.15], infant: [1.27, 1.32] });

/** @param {PatientState} s */
export function hair(s) {
  const skull = faces[s.build].skull.slice(s.build === "infant" ? 2 : 4), bare = P("contour", smooth([...skull].reverse()));
  if (s.hair === "none") return bare + (s.build === "infant" ? down(skull) : "");
  if (s.hair === "wisps") return bare + down(skull);
  const [back, up] = /** @type {[number, number]} */ (stretch[s.build]), limit = s.build === "woman" || s.build === "man" ? 0 : 6;
  /** @param {Pt[]} line @returns {Pt[]} */
  const fit = (line) => line.map(([x, y]) => [x < 0 ? x * back : x * (s.build === "infant" ? 0.86 : s.build === "child" ? 0.94 : s.build === "man" ? 0.98 : 1), y < 0 ? y * up : y - limit]);
  if (s.hair === "curls") return curls(fit(cuts.short.outer), fit(cuts.short.inner));
  const cut = cuts[s.hair], outer = fit(cut.outer), inner = fit(cut.inner);
  return P("f-hair", smooth(outer) + smooth(inner, false, false) + "Z") + P("contour", smooth(outer)) + P("fine", smooth(inner)) +
    `<g class="strands">${cut.strands.map((t) => brush(fit(t), 1.7, 0.1, 0.1)).join("")}</g>`;
}

/** An infant's down: short fine strokes that follow the skull. @param {readonly Pt[]} skull */
function down(skull) {
  let d = "";
  for (let row = 0; row < 4; row++) for (let i = 1; i < skull.length - 1; i++) {
    const p = skull[i], q = skull[i + 1];
    if (!p || !q) continue;
    for (let k = 0; k < 4; k++) {
      const t = k / 4 + (row % 2) * 0.12, m = 1 - 0.07 - row * 0.075, x = (p[0] + (q[0] - p[0]) * t) * m, y = (p[1] + (q[1] - p[1]) * t) * m - (1 - m) * 20;
      if (y > 30 || (x > 40 && y > -104)) continue;
      const a = Math.atan2(y + 40, x) + 1.9;
      d += `M${x.toFixed(1)} ${y.toFixed(1)}q${(Math.cos(a) * 5).toFixed(1)} ${(Math.sin(a) * 5 - 1).toFixed(1)} ${(Math.cos(a) * 11).toFixed(1)} ${(Math.sin(a) * 11).toFixed(1)}`;
    }
  }
  return `<path class="down" d="${d}"/>`;
}

/** Tight curls: a scalloped edge and small loops inside. @param {Pt[]} outer @param {Pt[]} inner */
function curls(outer, inner) {
  const edge = scallops(outer), loops = outer.slice(1, -1).flatMap((p, i) => [0.9, 0.78, 0.66].map((m, j) => `M${(p[0] * m + i).toFixed(1)} ${(p[1] * m + 4 * j).toFixed(1)}q6 -7 9 0t-7 5`)).join("");
  return P("f-hair", edge + smooth(inner, false, false) + "Z") + P("contour", edge) + P("fine", smooth(inner)) + `<path class="curl" d="${loops}"/>`;
}
/** @param {Pt[]} line */
function scallops(line) {
  const first = line[0] ?? [0, 0];
  let d = `M${first[0].toFixed(1)} ${first[1].toFixed(1)}`;
  for (let i = 1; i < line.length; i++) {
    const a = line[i - 1], b = line[i];
    if (!a || !b) continue;
    for (let k = 1; k <= 3; k++) {
      const x = a[0] + ((b[0] - a[0]) * k) / 3, y = a[1] + ((b[1] - a[1]) * k) / 3;
      d += `A8 8 0 0 0 ${x.toFixed(1)} ${y.toFixed(1)}`;
    }
  }
  return d;
}
