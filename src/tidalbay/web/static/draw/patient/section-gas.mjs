// @ts-check
// Gas inside the section: marks in the shares of the breath, carried by transforms as air goes in and out.
import { P, clamp, n, smooth, tube, inside } from "../geometry.mjs";
import { mark, pick, scatter } from "../gas.mjs";
import { sheet } from "../sheet.mjs";
import { bronchi, heart, inTrunk, lung, mouthLumen, noseLumen, shelves, throatLumen, windpipe, windpipeLine } from "./airways.mjs";
import { vocalFolds } from "./section.mjs";

/** @typedef {import("../posture.mjs").Posture} Posture */
/** @typedef {import("../geometry.mjs").Pt} Pt */
/** @typedef {import("../piece.mjs").GasShares} GasShares */

/** How far marks travel in the airways at a large breath [mm]. */
const TRAVEL_MM = 16;

/** @param {Posture} f @param {import("../scene.mjs").GasPlaces} gas @param {string} own  makes ids of clip paths unique in the page */
export function sectionGas(f, gas, own) {
  const d = sheet(), T = inTrunk(f), k = (f.head.scale + f.body.unit) / 2;
  if (gas.lung) lungMarks(d, f, gas.lung, k);
  const tubes = bronchi.map(([line, half]) => smooth(tube(T(line), half.map((w) => w * k)).filter((_, i) => i % 2 === 0), true));
  const pipeShape = smooth(windpipe(f).filter((_, i) => i % 3 === 0), true);
  // What lies in the lung stands before its marks, which move.
  d.add(tubes.map((t) => P("ink", t)).join(""), P("ink", pipeShape), tubes.map((t) => P("f-paper", t)).join(""), P("f-paper", pipeShape));
  d.path("f-flesh,ink", (live) => smooth(T(heart(live.air)), true)).path("hair", (live) => smooth(T(heart(live.air).slice(0, 4).map(([x, y], i) => [x - 8 + i * 2, y + 18 - i * 3]))));
  const H = f.head.all, turn = f.head.deg, rad = (turn * Math.PI) / 180, back = /** @type {Pt} */ ([-Math.cos(rad), -Math.sin(rad)]), down = /** @type {Pt} */ ([-Math.sin(rad), Math.cos(rad)]);
  const pipe = windpipeLine(f), a = pipe[1] ?? [0, 0], b = pipe[pipe.length - 1] ?? [0, 1], far = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1, along = /** @type {Pt} */ ([(b[0] - a[0]) / far, (b[1] - a[1]) / far]);
  const holes = Object.values(shelves).map((s) => smooth(H(s), true)).join("");
  const flows = /** @type {[string, GasShares | undefined, Pt[], string, Pt][]} */ ([
    ["windpipe", gas.windpipe, windpipe(f), "", along], ["nose", gas.nose, H(noseLumen), holes, back], ["throat", gas.throat, H(throatLumen), "", down],
  ]);
  if (f.s.mouth > 0.06) flows.push(["mouth", gas.mouth, H(mouthLumen(f.s.mouth)), "", back]);
  for (const [name, share, outline, without, way] of flows) {
    if (!share) continue;
    const id = `${own}-${name}`;
    d.add(`<clipPath id="${id}"><path clip-rule="evenodd" d="${smooth(outline.filter((_, i) => outline.length < 40 || i % 3 === 0), true)}${without}"/></clipPath><g clip-path="url(#${id})">`);
    const marks = scatter(grown(outline, way, TRAVEL_MM * k), { gap: 6.4 * k, r: 1.9 * k * 0.5, seed: name.length }).map((p) => mark(pick(share, p.u), p.x, p.y, 1.9 * k)).join("");
    d.group("transform", (live) => `translate(${n(way[0] * TRAVEL_MM * k * live.air)} ${n(way[1] * TRAVEL_MM * k * live.air)})`, marks);
    d.add("</g>");
  }
  d.add(vocalFolds(f));
  return d.done();
}

/** The outline with what will be carried into it: itself and itself moved back against the way of breathing in. @param {readonly Pt[]} outline @param {Pt} way @param {number} far @returns {Pt[]} */
function grown(outline, way, far) {
  const moved = /** @type {Pt[]} */ (outline.map(([x, y]) => [x - way[0] * far, y - way[1] * far])), all = [...outline, ...moved];
  return hull(all);
}

/** Convex hull; marks outside the lumen are clipped away. @param {readonly Pt[]} points @returns {Pt[]} */
function hull(points) {
  const sorted = [...points].sort((p, q) => p[0] - q[0] || p[1] - q[1]);
  const half = (/** @type {Pt[]} */ line) => {
    /** @type {Pt[]} */
    const out = [];
    for (const p of line) {
      for (;;) {
        const a = out[out.length - 2], b = out[out.length - 1];
        if (!a || !b || (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) > 0) break;
        out.pop();
      }
      out.push(p);
    }
    return out.slice(0, -1);
  };
  return [...half(sorted), ...half(sorted.reverse())];
}

/** Marks of the lung: scattered at rest, carried out with its front and down with its base. @param {ReturnType<typeof sheet>} d @param {Posture} f @param {GasShares} share @param {number} k */
function lungMarks(d, f, share, k) {
  const T = inTrunk(f), outline = T(lung(0)), sac = T(heart(0.4)), fork = T([[-26, -500]])[0] ?? [0, 0], t = f.trunk;
  const places = scatter(outline, { gap: 10.8 * k, r: 2.6 * k, seed: 5, keep: (x, y) => !inside([x, y], sac) });
  const marks = places.map((p) => mark(pick(share, p.u), p.x, p.y, 2.5 * k)).join("");
  // In the trunk's own directions: the front goes out 15 of about 160 mm, the base down 24 of about 230.
  d.group("transform", (live) => { const a = clamp(live.air); return `translate(${n(fork[0])} ${n(fork[1])}) rotate(${n(t.deg)}) scale(${(1 + 0.09 * a).toFixed(4)} ${(1 + 0.1 * a).toFixed(4)}) rotate(${n(-t.deg)}) translate(${n(-fork[0])} ${n(-fork[1])})`; }, marks);
}
