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
 * @param {object} how
 * @param {HTMLDetailsElement} how.part @param {string} how.station
 * @param {(about: string, verdict: string, reason: string) => void} how.overruled  somebody saw it otherwise
 * @param {typeof fetch} [how.get]
 */
export function verdictsOnPage({ part, station, overruled, get = fetch }) {
  const sum = /** @type {HTMLElement} */ (part.querySelector(".verdict-sum")), list = /** @type {HTMLElement} */ (part.querySelector(".verdicts"));
  let due = 0;
  const ask = async () => {
    if (!part.open) return;
    say(sum, list.firstElementChild ? sum.textContent ?? "" : "Reading the record.");
    try {
      const reply = await get(`/stations/${station}/verdicts.json`), said = await reply.json();
      if (!reply.ok) { say(sum, said.sentence); return; }
      say(sum, sumWords(said));
      if (!part.contains(document.activeElement) || document.activeElement === part.querySelector("summary")) show(list, html`${said.criteria.map(row)}`);
    } catch {
      say(sum, "The lab does not answer; what stands here is from before.");
    }
  };
  part.addEventListener("toggle", (event) => { if (event.target === part) ask(); });
  list.addEventListener("submit", (event) => {
    event.preventDefault();
    const form = /** @type {HTMLFormElement} */ (event.target), data = new FormData(form), reason = String(data.get("reason") ?? "").trim();
    if (!reason) return;
    overruled(String(form.dataset.about), String(data.get("verdict")), reason);
    /** @type {HTMLElement | null} */ (part.querySelector("summary"))?.focus();
  });
  /** Something was done or judged: the record is read again, a moment later. */
  return { changed() { clearTimeout(due); if (part.open) due = window.setTimeout(ask, 800); }, ask };
}
