// @ts-check
/** A learner alone chooses whom to look after: title and one line, nothing of what the case teaches. */
import { ask } from "../../lib/feed.mjs";
import { html, show } from "../../lib/html.mjs";

/** @typedef {{ id: string, title: string, line: string, minutes: number }} CaseOffered */

/** The list as it stands on the page. @param {readonly CaseOffered[]} cases */
export const caseRows = (cases) => html`${cases.map((each) => html`<li><button type="button" class="slip" data-case="${each.id}"><span><b>${each.title}</b><small>${each.line}</small><small>${Math.round(each.minutes)} minutes</small></span></button></li>`)}`;

/**
 * @param {{ part: HTMLElement, list: HTMLElement, station: string, told: (words: string) => void, begun: () => void }} how
 * told: why it could not begin; begun: a patient lies there now
 */
export function choosing({ part, list, station, told, begun }) {
  let asked = false;
  list.addEventListener("click", async (event) => {
    const id = /** @type {HTMLElement | null} */ (/** @type {Element} */ (event.target).closest("[data-case]"))?.dataset.case;
    if (!id) return;
    for (const button of list.querySelectorAll("button")) button.disabled = true;
    const { ok, words } = await ask(`/stations/${encodeURIComponent(station)}/start`, { case: id, mode: "practice", go: true });
    for (const button of list.querySelectorAll("button")) button.disabled = false;
    if (ok) begun();
    else told(words);
  });

  return {
    /** Shows the list, or puts it away. @param {boolean} is */
    async open(is) {
      part.hidden = !is;
      if (!is || asked) return;
      asked = true;
      try {
        const answer = await fetch("/cases.json", { credentials: "same-origin" });
        if (!answer.ok) throw new Error(String(answer.status));
        show(list, caseRows((await answer.json()).cases));
      } catch {
        asked = false;
        told("The cases could not be asked for; load the page again when the lab answers.");
      }
    },
  };
}
