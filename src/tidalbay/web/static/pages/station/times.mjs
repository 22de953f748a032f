// @ts-check
// The station's time controls: what may be pressed in which state and mode. Pure.

/** @typedef {{ id: string, words: string, body: Record<string, unknown>, first?: boolean }} Control */

export const PACES = [1, 2, 5, 10, 30, 60];
const BACK_MS = 30_000;

/**
 * @param {{ state?: string, mode?: string | null }} station @param {number} t_ms  now @param {number | null} picked_ms  a moment picked on the rule
 * @returns {Control[]}
 */
export function controls({ state, mode }, t_ms, picked_ms) {
  const held = state === "running" || state === "paused" || state === "ready";
  if (!held) return [];
  const assessed = mode === "summative";
  /** @type {Control[]} */
  const out = [state === "running"
    ? { id: "pause", words: "Pause", body: { do: "pause" }, first: true }
    : { id: "go", words: state === "ready" ? "Begin" : "Go on", body: { do: "go" }, first: true }];
  if (!assessed && state !== "running") out.push({ id: "step", words: "One breath", body: { do: "step" } });
  if (state !== "ready") out.push({ id: "five", words: "Five minutes later", body: { do: "skip", minutes: 5 } });
  if (!assessed) {
    if (state !== "ready") out.push({ id: "hours", words: "Four hours later", body: { do: "skip", minutes: 240 } });
    if (picked_ms !== null && picked_ms < t_ms) out.push({ id: "back-to", words: "Back to the mark", body: { do: "back", to_ms: Math.round(picked_ms) } });
    else if (t_ms > BACK_MS) out.push({ id: "back", words: "Back 30 s", body: { do: "back", to_ms: Math.round(t_ms - BACK_MS) } });
    if (state !== "ready") out.push({ id: "branch", words: "Branch here", body: { do: "branch" } });
  }
  return out;
}

/** Why some controls are missing. @param {string | null | undefined} mode */
export const modeWords = (mode) => ({
  demonstration: "Demonstration: time goes as you like, back and branch begin a log of their own.",
  practice: "Practice: time goes as you like, back and branch begin a log of their own.",
  formative: "Formative check-off: everything you do with time is logged.",
  summative: "Assessment: time runs at the pace of life. Pause and five minutes later are logged, the same for everyone.",
}[String(mode)] ?? "");
