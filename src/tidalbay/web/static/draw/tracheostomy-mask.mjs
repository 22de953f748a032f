// @ts-check
// Tracheostomy mask: a small dome over the opening in the neck, wide open in front, its wide tubing on a swivel. The
// tracheostomy tube's flange and ties show through it. 1 unit = 1 mm.
import { G, P, brush, frame, n, pts, smooth } from "./geometry.mjs";
import { neckMask, swivelEnd, teeInTubing } from "./in-line.mjs";
import { piece } from "./piece.mjs";

/** Flange, short outer end of the tube, ties round the neck. */
export const tracheostomy = P("f-linen", "M-6 -1H44V-6H-6Z") + P("ink", "M-6 -1H44V-6H-6Z") +
    P("f-linen", "M10 -6H28V-19H10Z") + P("ink", "M10 -6V-19H28V-6M10 -15H28") + P("hair", "M13 -19V-6");

/** Anchors: `supply` (the wide tubing's swivel), `words`, `edge`. @type {import("./piece.mjs").Worn} */
export const tracheostomyMask = (frames, s) => {
  const lift = s.snug === "loose" ? 7 : 0, tight = s.snug === "tight", off = s.worn === false;
  const place = off ? frame(...frames.head.at(88, 60), frames.head.deg + 8, frames.head.scale) : neckMask(frames);
  const dome = pts([[-26, -2 - lift], [-20, -20 - lift], [-2, -36 - lift], [20, -42 - lift], [42, -36 - lift],
      [60, -18 - lift], [64, -1 - lift * 0.4]]);
  const shell = smooth(dome) + "L-26 " + n(-2 - lift) + "Z";
  const strap = smooth(pts([[-12, -3 - lift], [-22, 36], [-46, 92], [-78, 150]])),
      band = smooth(pts([[-2, -3 - lift], [-13, 39], [-37, 96], [-69, 154]]));
  const swivel = G("translate(44 -34) rotate(62)", P("f-linen", "M-13 8V-16Q-13 -22 -7 -22H34V2H12V8Z"),
      P("ink", "M-13 8V-16Q-13 -22 -7 -22H34V2H12V8"), P("hair", "M24 -22V2M29 -22V2"), P("fine", "M-15 4H14"));
  const mouth = `<ellipse class="f-paper" cx="10" cy="${n(-40 - lift)}" rx="17" ry="5.4" transform="rotate(-6 10 -40)"/><ellipse class="ink" cx="10" cy="${n(-40 - lift)}" rx="17" ry="5.4" transform="rotate(-6 10 -40)"/>`;
  const still = G(place.transform, off ? "" : tracheostomy,
      P("f-linen", strap + smooth(pts([[-69, 154], [-37, 96], [-13, 39], [-2, -3 - lift]]), false, false) + "Z"),
      P("fine", strap), P("fine", band), tight ? P("hair", "M-14 6l-4 3M-13 14l-5 3M-12 22l-5 3M-11 30l-5 3") : "",
    P("f-clear", shell), P("contour", smooth(dome)), P("ink",
      `M-26 ${n(-2 - lift)}Q18 ${n(3 - lift)} 64 ${n(-1 - lift * 0.4)}`),
      brush(pts([[30, -36 - lift], [46, -28 - lift], [55, -14 - lift]]), 1.6, 0.1, 0.1), mouth, swivel);
  const end = swivelEnd(place), hose = s.cup_in_line && !off ? teeInTubing(end, frames.head.scale).far : end;
  return piece(still, [], { supply: hose.at, words: place.at(20, -44), edge: place.at(-26, -2) },
      { supplyDeg: hose.deg });
};
