// @ts-check
// A device that is at hand and not on the patient: laid out on its own, its straps or tubing loose. 1 unit = 1 mm; the
// middle of the thing at 0,0.
import { G, P, frame, pts, smooth } from "./geometry.mjs";
import { worn } from "./equipment.mjs";
import { hose } from "./pen.mjs";
import { piece } from "./piece.mjs";
import { posture } from "./posture.mjs";

/** Nosepiece, its two limbs looped, the slide, and the end that joins the tubing. @param {boolean} wide */
function looseCannula(wide) {
  const w = wide ? 10 : 5.2, prong = wide ? 9 : 6;

  const body = smooth(pts([[-18, -40], [0, -43], [18, -40], [16, -28], [0, -26], [-16, -28]]), true);
  return [hose(pts([[-16, -34], [-70, -44], [-104, -10], [-70, 40], [-14, 52]]), w), hose(pts([[16, -34], [70, -44], [104, -10], [70, 40], [14, 52]]), w),
    hose(pts([[-8, -38], [-8, -50], [-7, -58]]), prong), hose(pts([[8, -38], [8, -50], [7, -58]]), prong), P("f-linen", body), P("ink", body), hose(pts([[0, 52], [2, 76], [-2, 96]]), w + 1),
    P("f-linen", "M-12 44H12V60H-12Z"), P("ink", "M-12 44H12V60H-12ZM-5 44V60M5 44V60"), P("f-linen", "M-7 92H7V110H-7Z"), P("ink", "M-7 92H7V110H-7ZM-7 98H7M-7 104H7")].join("");
}

/** Anchors: `supply`, `words`. @param {import("./piece.mjs").DeviceState} state @returns {import("./piece.mjs").Piece} */
export function atHand(state) {
  if (state.kind.endsWith("cannula")) {
    const wide = state.kind.startsWith("high_flow"), size = state.kind.startsWith("infant") ? 0.55 : state.kind.startsWith("child") ? 0.78 : 1;
    const f = frame(0, 0, 0, size), [x, y] = f.at(0, 110);
    return piece(G(f.transform, looseCannula(wide)), [], { supply: [x, y], words: [0, 0] }, { supplyDeg: 90 });
  }
  const size = state.kind.startsWith("child") ? 0.78 : 1, upright = posture({ recline_deg: 62 });
  // The face it would sit on, without the face: the head's frame put so that the device is about its own middle.
  const [dx, dy] = state.kind === "tracheostomy_mask" ? upright.anchors.throat : [0, 0];
  if (state.kind === "tracheostomy_mask") {
    const own = worn(upright, { ...state, worn: false });
    return shifted(own, -dx, -dy);
  }
  const frames = { ...upright, head: frame(-100 * size, -42 * size, -8, size), ear: frame(0, 0) };
  return worn(frames, { ...state, worn: false, snug: "snug" });
}

/** @param {import("./piece.mjs").Piece} own @param {number} dx @param {number} dy @returns {import("./piece.mjs").Piece} */
const shifted = (own, dx, dy) => piece(`<g transform="translate(${Math.round(dx * 100) / 100} ${Math.round(dy * 100) / 100})">${own.still}</g>`, own.moving,
  Object.fromEntries(Object.entries(own.anchors).map(([name, [x, y]]) => [name, /** @type {import("./geometry.mjs").Pt} */ ([x + dx, y + dy])])), own.supplyDeg === undefined ? {} : { supplyDeg: own.supplyDeg });
