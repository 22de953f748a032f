// @ts-check
// Simple mask: face piece with small holes, tubing straight into its front.
import { G } from "./geometry.mjs";
import { BARB, INLET_DEG, PORT, barbInlet, fitOf, holes, mask } from "./mask.mjs";
import { piece } from "./piece.mjs";

/** Anchors: `supply`, `words`, `edge` (at the bridge), `port`. @type {import("./piece.mjs").Worn} */
export const simpleMask = (frames, s) => {
  const { head } = frames;
  return piece(G(head.transform, mask(fitOf(frames, s), holes(), barbInlet())), [],
    { supply: head.at(...xy(BARB)), words: head.at(112, 60), edge: head.at(98, -4), port: head.at(...xy(PORT)) },
      { supplyDeg: head.deg + INLET_DEG });
};

/** @param {import("./geometry.mjs").Pt} p @returns {[number, number]} */
const xy = (p) => [p[0], p[1]];
