// @ts-check
// A nasal cannula, thin or wide, that lies at hand. 1 unit = 1 mm on an adult.
import { G, P, frame, pts, smooth } from "./geometry.mjs";
import { hose } from "./pen.mjs";
import { piece } from "./piece.mjs";

/**
 * A cannula that is not worn: nosepiece, its two limbs looped, the slide, and the end that joins the tubing. It
 * lies where
 * the head's frame says the face is.
 * @param {import("./posture.mjs").Posture} frames
 * @param {boolean} wide
 * @returns {import("./piece.mjs").Piece}
 */
export function looseCannula(frames, wide) {
  const w = wide ? 10 : 5.2, prong = wide ? 9 : 6;

  const body = smooth(pts([[-18, -40], [0, -43], [18, -40], [16, -28], [0, -26], [-16, -28]]), true);
  const f = frame(...frames.head.at(100, 42), frames.head.deg + 8, frames.head.scale);
  const drawn = [hose(pts([[-16, -34], [-70, -44], [-104, -10], [-70, 40], [-14, 52]]), w),
      hose(pts([[16, -34], [70, -44], [104, -10], [70, 40], [14, 52]]), w),
    hose(pts([[-8, -38], [-8, -50], [-7, -58]]), prong), hose(pts([[8, -38], [8, -50], [7, -58]]), prong),
      P("f-linen", body), P("ink", body), hose(pts([[0, 52], [2, 76], [-2, 96]]), w + 1),
    P("f-linen", "M-12 44H12V60H-12Z"), P("ink", "M-12 44H12V60H-12ZM-5 44V60M5 44V60"),
      P("f-linen", "M-7 92H7V110H-7Z"), P("ink", "M-7 92H7V110H-7ZM-7 98H7M-7 104H7")].join("");
  return piece(G(f.transform, drawn), [], { supply: f.at(0, 110), words: f.at(0, 0), tip: f.at(0, -58) },
      { supplyDeg: f.deg + 90 });
}
