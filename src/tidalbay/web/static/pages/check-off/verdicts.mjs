// @ts-check
/** What the record says, folded until somebody opens it: each criterion, why, and a checker's own word beside it. */
import { chem, html, say, show } from "../../lib/html.mjs";

/** @typedef {{ id: string, say: string, must: boolean, verdict: string, record: string, why: string, overruled: string | null, reason: string }} VerdictTold */
/** @typedef {{ folded: string, turn: string[], criteria: VerdictTold[], outcome: { result: string, why: string[] } | null }} Told */

export const WORDS = /** @type {Record<string, string>} */ ({ met: "Met", not_met: "Not met", cannot_be_judged: "Open" });
export const RESULTS = /** @type {Record<string, string>} */ ({ competent: "competent", not_yet_competent: "not yet competent", undecided: "undecided so far", void: "void" });

/** How the record stands, in a line. @param {Told} told */
export function sumWords(told) {
  if (told.folded) return [...told.turn, told.folded].join(" ");
  if (!told.criteria.length) return "This case has no check-off, so the record judges nothing.";
  const of = (/** @type {string} */ verdict) => told.criteria.filter((each) => each.verdict === verdict).length;
  return `${of("met")} met, ${of("not_met")} not met, ${of("cannot_be_judged")} open. Taken together: ${RESULTS[told.outcome?.result ?? ""] ?? "undecided so far"}. ${told.turn.map((words) => `${words} `).join("")}The checker decides, not the program.`;
}

/** @param {VerdictTold} v */
const row = (v) => html`<li class="verdict ${v.verdict}"><p><b>${WORDS[v.verdict]}:</b> ${chem(v.say)}${v.must ? html` <span class="must">must</span>` : ""}</p>
  <p class="quiet small">${chem(v.why)}</p>${v.overruled ? html`<p class="small">The record said ${WORDS[v.record]?.toLowerCase()}; a checker says ${WORDS[v.overruled]?.toLowerCase()}: ${v.reason}</p>` : ""}
  <details class="overrule"><summary>I saw it otherwise</summary><form data-about="${v.id}">
    <label class="field">It is <select name="verdict">${Object.entries(WORDS).filter(([id]) => id !== v.verdict).map(([id, words]) => html`<option value="${id}">${words.toLowerCase()}</option>`)}</select></label>
    <label class="field">Because <input name="reason" maxlength="300" required></label>
    <button type="submit">Let both stand</button></form></details></li>`;

/**
 * What the station tells is kept; it is drawn while the part is open.
 * @param {object} how
 * @param {HTMLDetailsElement} how.part
 * @param {(about: string, verdict: string, reason: string) => void} how.overruled  somebody saw it otherwise
 */
export function verdictsOnPage({ part, overruled }) {
  const sum = /** @type {HTMLElement} */ (part.querySelector(".verdict-sum")), list = /** @type {HTMLElement} */ (part.querySelector(".verdicts"));
  /** @type {Told | null} */
  let now = null;
  const draw = () => {
    if (!part.open) return;
    say(sum, now ? sumWords(now) : "Reading the record.");
    // A reason that is being written is not taken away.
    const isWriting = part.contains(document.activeElement) && document.activeElement !== part.querySelector("summary");
    if (!isWriting) show(list, html`${(now?.criteria ?? []).map(row)}`);
  };
  part.addEventListener("toggle", (event) => { if (event.target === part) draw(); });
  part.addEventListener("focusout", () => setTimeout(draw));
  list.addEventListener("submit", (event) => {
    event.preventDefault();
    const form = /** @type {HTMLFormElement} */ (event.target), data = new FormData(form), reason = String(data.get("reason") ?? "").trim();
    if (!reason) return;
    overruled(String(form.dataset.about), String(data.get("verdict")), reason);
    /** @type {HTMLElement | null} */ (part.querySelector("summary"))?.focus();
  });
  /** What the record says by now. @param {Told | null} said */
  const told = (said) => { now = said; draw(); };
  return { told };
}
