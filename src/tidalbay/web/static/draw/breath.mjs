// @ts-check
// Breath shapes for the specimen and for tests, and the still pictures of reduced motion. On a station the model's own
// breath moves the drawing.

/** @typedef {{rate_per_min?: number, share_in?: number, tau_s?: number, depth?: number}} Shape */

/** Air in the chest (0..1) t seconds into quiet, even breathing. `tau_s`: time constant of breathing out. @param {number} t_s @param {Shape} [shape] */
export function airAt(t_s, { rate_per_min = 16, share_in = 0.38, tau_s = 0.6, depth = 0.6 } = {}) {
  const cycle = 60 / rate_per_min, u = ((t_s % cycle) + cycle) % cycle, ti = cycle * share_in;
  return depth * (u < ti ? (1 - Math.cos((Math.PI * u) / ti)) / 2 : Math.exp(-(u - ti) / Math.min(tau_s, (cycle - ti) / 3)));
}

/** Is gas going in just now? @param {number} t_s @param {Shape} [shape] */
export const breathingIn = (t_s, { rate_per_min = 16, share_in = 0.38 } = {}) => (((t_s * rate_per_min) / 60) % 1) < share_in;

/** Reduced motion: the share of a breath (0..1) at which its still picture is taken, `count` pictures to a breath. @param {number} share @param {number} [count] */
export const stepped = (share, count = 6) => Math.min(count - 1, Math.max(0, Math.floor(share * count))) / count;
