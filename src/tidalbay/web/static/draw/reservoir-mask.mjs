// @ts-check
// Masks with a reservoir bag: non-rebreathing (a valve at the bag, discs on two, one or no port places) and partial
// rebreathing (plain open ports, no valve: the first of the breath out goes back into the bag).
import { G, P, clamp, n } from "./geometry.mjs";
import { bagMarks, bagPaths, neckFrame } from "./bag.mjs";
import { pick } from "./gas.mjs";
import { INLET, INLET_DEG, PORT, collar, fitOf, mask, ports } from "./mask.mjs";
import { moves, piece } from "./piece.mjs";

/** @typedef {import("./bag.mjs").Hang} Hang */
/** @typedef {import("./piece.mjs").Live} Live */
/** @typedef {import("./piece.mjs").Moving} Moving */

const BAG_MM = 236;
const KINDS = /** @type {const} */ (["supplied", "room", "expired"]);
const CLASS = { supplied: "o2", room: "air", expired: "exp" };

/**
 * The marks of one kind of gas in the bag, as one path.
 * @param {typeof KINDS[number]} kind
 * @param {Hang} h
 * @param {number} full
 * @param {import("./piece.mjs").GasShares} gas
 */
function marksPath(kind, h, full, gas) {
  const r = kind === "expired" ? 2.6 : 2.2, one = kind === "room" ? `l4 -6.2`
      : `m${-r} 0a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`;
  return bagMarks(h, full).filter((m) => pick(gas, m.u) === kind).map((m) =>
      `M${n(kind === "room" ? m.x - 2 : m.x)} ${n(kind === "room" ? m.y + 3.1 : m.y)}${one}`).join("") || "M0 0";
}

/**
 * How the bag hangs from a face in this posture.
 * @param {import("./posture.mjs").Posture} frames
 * @param {boolean} twisted
 * @returns {Hang}
 */
export function hangOf(frames, twisted) {
  const { head, trunk } = frames, [x, y] = head.at(INLET[0] + 6, INLET[1] + 3);
  const recline = trunk.deg + 90; // the chest slopes as the back-rest does, and a full bag lies along it
  return { x, y, neckDeg: head.deg + INLET_DEG + 16, liesDeg: Math.min(84, recline + 3), length: BAG_MM * head.scale,
      twisted };
}

/**
 * The bag with its neck as a moving drawing, by device id.
 * @param {string} id
 * @param {Hang} h
 * @param {{ valve: boolean, gas?: import("./piece.mjs").GasShares | undefined, full: number }} s
 */
export function reservoirBag(id, h, s) {
  /** @type {{ at: number, paths: ReturnType<typeof bagPaths> }} */
  let last = { at: -1, paths: bagPaths(h, s.full) };
  const paths = (/** @type {Live | null} */ live) => {
    const at = Math.round(clamp(live?.bag[id] ?? s.full) * 250) / 250; // a two-hundred-and-fiftieth of the bag is less than the pen's width
    if (at !== last.at) last = { at, paths: bagPaths(h, at) };
    return last.paths;
  };
  const first = paths(null), neck = neckFrame(h);
  const marks = s.gas ? KINDS.map((kind) =>
      `<path ${moves(`bag-${kind}:${id}`)} class="${CLASS[kind]}" d="${marksPath(kind, h, s.full, s.gas ?? {})}"/>`).join("") : "";
  // The valve at the neck: a disc whose edge shows as a line with the way it opens; without it the neck is simply open.
  const valve = s.valve ? P("ink", "M-4 -9V9") + P("solid", "M-4 -6L-9 0L-4 6Z") : "";
  const still = `<path ${moves(`bag-body:${id}`)} class="f-clear" d="${first.body}"/>` + marks +
    `<path ${moves(`bag-shade:${id}`)} class="hair" d="${first.shade || "M0 0"}"/><path ${moves(`bag-line:${id}`)} class="contour" d="${first.body}"/>` +
    `<path ${moves(`bag-creases:${id}`)} class="nib" d="${first.creases || "M0 0"}"/>` +
    G(neck.transform + ` scale(${n(h.length / BAG_MM)})`, P("f-linen", "M-16 -9H12V9H-16Z"),
      P("ink", "M-16 -9H12V9H-16Z"), valve,
      P("f-linen", "M-6 9L-4.6 26H1L3 9Z"), P("ink", "M-6 9L-4.6 26H1L3 9M-5.6 15H2.4M-5 21H1.6"));
  /** @type {[string, "body" | "shade" | "creases"][]} */
  const parts = [["bag-body", "body"], ["bag-line", "body"], ["bag-shade", "shade"], ["bag-creases", "creases"]];
  /** @type {Moving[]} */
  const moving = parts.map(([name, part]) => ({ id: `${name}:${id}`, attr: "d",
      of: (live) => paths(live)[part] || "M0 0" })), gas = s.gas;
  if (gas) for (const kind of KINDS) moving.push({ id: `bag-${kind}:${id}`, attr: "d",
      of: (live) => marksPath(kind, h, live.bag[id] ?? s.full, gas) });
  return { still, moving, neck };
}

/** @param {boolean} rebreathes @returns {import("./piece.mjs").Worn} */
const reservoirMaskOf = (rebreathes) => (frames, s) => {
  const { head } = frames, h = hangOf(frames, s.bag_twisted ?? false);
  const bag = reservoirBag(s.id, h, { valve: !rebreathes && (s.bag_valve ?? true), full: 0,
      gas: s.cut ? s.gas ?? { supplied: 1 } : undefined });
  const port = ports(s.id, rebreathes ? -1 : s.port_discs ?? 2);
  const still = bag.still + G(head.transform, mask(fitOf(frames, s), port.still, collar()));
  const k = h.length / BAG_MM, at = (/** @type {number} */ u, /** @type {number} */ v) => bag.neck.at(u * k, v * k);
  const middle = Math.cos(h.liesDeg * Math.PI / 180), down = Math.sin(h.liesDeg * Math.PI / 180);
  return piece(still, [...bag.moving, ...port.moving], {
    supply: at(-2, 26), bag: [h.x + middle * h.length * 0.55, h.y + down * h.length * 0.55],
      words: [h.x + middle * h.length * 0.6, h.y + down * h.length * 0.6],
    edge: head.at(98, -4), port: head.at(PORT[0], PORT[1]),
  }, { supplyDeg: bag.neck.deg + 90 });
};

/** Anchors: `supply`, `words` and `bag` (its middle), `edge`, `port`. */
export const nonRebreathingMask = reservoirMaskOf(false);
/** Anchors as for the non-rebreathing mask. */
export const partialRebreathingMask = reservoirMaskOf(true);
