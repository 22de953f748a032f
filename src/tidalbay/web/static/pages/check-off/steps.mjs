// @ts-check
/** The steps, each with its five states as real radio groups. Nothing is chosen until somebody speaks. */
import { html, say, show } from "../../lib/html.mjs";
import { clockWords, count } from "../../lib/words.mjs";
import { notRecorded, tapped_ms } from "./spoken.mjs";

/** @typedef {import("./spoken.mjs").Step} Step */
/** @typedef {import("./spoken.mjs").Mark} Mark */
/** @typedef {{ id: string, words: string, about: string }} State */

/**
 * @param {object} how
 * @param {HTMLElement} how.list @param {HTMLElement} how.sum
 * @param {readonly Step[]} how.steps @param {readonly State[]} how.states
 * @param {(step: string, state: string) => void} how.spoken  somebody spoke about a step
 */
export function stepsOnPage({ list, sum, steps, states, spoken }) {
  const draw = () => show(list, html`${steps.map((step) => html`<li><fieldset id="step-${step.id}" class="step"><legend><span class="item">${step.item}</span><span class="say">${step.say}</span></legend>
    <p class="stands"><span class="state-words">not recorded</span><span class="tapped quiet"></span></p>
    <div class="states">${states.map((state) => html`<label><input type="radio" name="step-${step.id}" value="${state.id}"><span>${state.words}</span></label>`)}</div></fieldset></li>`)}`);
  draw();
  list.addEventListener("change", (event) => {
    const input = event.target;
    if (input instanceof HTMLInputElement) spoken(input.name.replace(/^step-/, ""), input.value);
  });
  return {
    /** The steps are others now. */
    list: draw,
    /** @param {Map<string, string>} spokenOf @param {readonly any[]} entries */
    refresh(spokenOf, entries) {
      for (const step of steps) {
        const group = document.getElementById(`step-${step.id}`);
        const state = spokenOf.get(step.id);
        const row = states.find((each) => each.id === state);
        group?.classList.toggle("open", !row);
        group?.classList.toggle("missed", state === "missed");
        say(group?.querySelector(".state-words") ?? null, row ? row.words : "not recorded");
        for (const input of group?.querySelectorAll("input") ?? []) input.checked = input.value === state;
        const at_ms = tapped_ms(step, [...entries]);
        say(group?.querySelector(".tapped") ?? null, at_ms === null ? "" : `tapped ${clockWords(at_ms / 1000)}`);
      }
      const open = notRecorded([...steps], spokenOf);
      say(sum, open === 0 ? "Every step has been spoken about." : `${count(open, "step")} not recorded.`);
    },
  };
}

/** Keeps this page's own marks over a reload, beside those that the station sends back.
 * @param {string} station @param {Pick<Storage, "getItem" | "setItem"> | null} shelf */
export function marksKept(station, shelf) {
  const place = (/** @type {string} */ attempt) => `tidalbay.marks.${station}.${attempt}`;
  return {
    /** @param {string} attempt @returns {Mark[]} */
    read(attempt) {
      try { const kept = JSON.parse(shelf?.getItem(place(attempt)) ?? "[]"); return Array.isArray(kept) ? kept : []; } catch { return []; }
    },
    /** @param {string} attempt @param {Mark[]} marks */
    write(attempt, marks) {
      try { shelf?.setItem(place(attempt), JSON.stringify(marks)); } catch { /* a full store: the station has them */ }
    },
  };
}
