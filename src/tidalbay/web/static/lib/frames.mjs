// @ts-check
// Calls that follow the screen's own rate, not oftener than is seen, and stepped where motion is not wanted.

/** Thirty pictures a second are enough for a breath, and leave a small tablet its battery. [ms] */
const LEAST_MS = 30;
/** With reduced motion: so many still pictures a breath. */
export const STILLS = 6;

/** Whether this person asked for less motion. */
export const wantsStill = () => globalThis.matchMedia?.("(prefers-reduced-motion: reduce)").matches ?? false;

/**
 * A moment of a breath, moved back to the last of its still pictures.
 * @param {{ from_s: number, lasts_s: number } | null} breath @param {number} t_s
 */
export function stepped(breath, t_s) {
  if (!breath || !(breath.lasts_s > 0)) return t_s;
  const share = Math.min(1, Math.max(0, (t_s - breath.from_s) / breath.lasts_s));
  return breath.from_s + (Math.floor(share * STILLS + 1e-9) / STILLS) * breath.lasts_s;
}

/** @param {(at_ms: number) => void} draw @returns {() => void} ends it */
export function eachFrame(draw) {
  let last_ms = -LEAST_MS, asked = 0;
  /** @param {number} at_ms */
  const next = (at_ms) => {
    asked = requestAnimationFrame(next);
    if (at_ms - last_ms < LEAST_MS) return;
    last_ms = at_ms;
    draw(at_ms);
  };
  asked = requestAnimationFrame(next);
  return () => cancelAnimationFrame(asked);
}
