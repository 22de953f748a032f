// @ts-check
/** The twelve places on the page. They are in the markup already and never move; only words and a mark change. */
import { asChips, askNumber } from "../../acts/number-sheet.mjs";
import { choose, chooseOf } from "../../acts/sheet.mjs";
import { meterMeant, meterWords } from "../../acts/things.mjs";
import { roundel } from "../../draw/roundels.mjs";
import { drawn, html, say, show } from "../../lib/html.mjs";
import { figure, isNumber } from "../../lib/words.mjs";
import { faceOf, flowActs, sitsWrong } from "./offers.mjs";

/**
 * @typedef {import("./offers.mjs").Place} Place
 * @typedef {import("./offers.mjs").World} World
 * @typedef {import("./offers.mjs").Act} Act
 * @typedef {(place: string, words: string, acts: readonly Act[]) => void} Tap
 */

/** Pressed at least this long, "Device on or off" asks how it sits. [ms] */
const LONG_MS = 550;

/**
 * @param {object} how
 * @param {HTMLElement} how.list  holds an element with data-place for each place
 * @param {readonly Place[]} how.places @param {any[]} how.sits
 * @param {() => World} how.world
 * @param {() => Record<string, any>} how.readings
 * @param {Tap} how.tap @param {(words: string) => void} how.told  a sentence for the checker
 */
export function placesOnPage({ list, places, sits, world, readings, tap, told }) {
  /** The flowmeter a checker chose where two would do. @type {string | undefined} */
  let chosenMeter;

  for (const place of places) {
    const item = list.querySelector(`[data-place="${place.id}"]`);
    const button = item?.querySelector("button.slip");
    if (!item || !button) throw new Error(`The page has no place ${place.id}; check-off.html and first_acts.yaml must agree.`);
    button.addEventListener("click", () => { if (!long.taken()) void press(place); });
    item.querySelector(".sits")?.addEventListener("click", () => void askSits());
    item.querySelector(".chips")?.addEventListener("click", (event) => {
      const chip = /** @type {Element} */ (event.target).closest("button[data-lpm]");
      if (chip instanceof HTMLElement) void setFlow(place, Number(chip.dataset.lpm));
    });
    item.querySelector(".other-flow")?.addEventListener("click", () => void typeFlow(place));
  }
  const long = longPress(/** @type {HTMLElement} */ (list.querySelector('[data-place="device"] button.slip')), () => void askSits());

  /** @param {Place} place */
  async function press(place) {
    if (place.shape === "flow") return typeFlow(place);
    if (place.shape === "numbers") return askNumbers(place);
    const face = faceOf(place, world());
    if (face.offers.length === 0) return told(face.why ?? "Nothing to record here now.");
    const [first] = face.offers;
    const offer = face.offers.length === 1 ? first : await choose(face.button, face.offers.map((each) => ({ words: each.words, value: each })));
    if (offer) tap(place.id, face.offers.length === 1 ? face.button : offer.words, offer.acts);
  }

  /** Which flowmeter is meant: the only one, the one that feeds the patient, else one more choice. @returns {Promise<string | undefined>} */
  async function meter() {
    const { things } = world();
    if (things.flowmeters.length === 0) { told("No flowmeter is fitted yet; see All acts."); return undefined; }
    const meant = meterMeant(things)?.id ?? (things.flowmeters.some((each) => each.id === chosenMeter) ? chosenMeter : undefined);
    if (meant) return meant;
    chosenMeter = await choose("Which flowmeter?", things.flowmeters.map((each) => ({ words: meterWords(each, things), value: each.id })));
    return chosenMeter;
  }

  /** @param {Place} place @param {number} flow_lpm */
  async function setFlow(place, flow_lpm) {
    const on = await meter();
    const fitted = world().things.flowmeters.find((each) => each.id === on);
    if (!on || !fitted) return;
    if (flow_lpm > fitted.max_lpm) return told(`${figure(flow_lpm, 1)} L/min is off this flowmeter's scale, which ends at ${figure(fitted.max_lpm, 1)}.`);
    tapFlow(place, flow_lpm, on);
  }

  /** @param {Place} place @param {number} flow_lpm @param {string} on */
  function tapFlow(place, flow_lpm, on) {
    const { things } = world(), fitted = things.flowmeters.find((each) => each.id === on);
    const where = fitted && things.flowmeters.length > 1 ? `, ${meterWords(fitted, things)}` : "";
    tap(`flow-${flow_lpm}`, `Flow ${figure(flow_lpm, 1)} L/min${where}`, flowActs(place, flow_lpm, on));
  }

  /** @param {Place} place */
  async function typeFlow(place) {
    const { things } = world();
    if (things.flowmeters.length > 1) chosenMeter = await choose("Which flowmeter?", things.flowmeters.map((each) => ({ words: meterWords(each, things), value: each.id })));
    const on = things.flowmeters.length > 1 ? chosenMeter : await meter();
    const fitted = things.flowmeters.find((each) => each.id === on);
    if (!on || !fitted) return;
    const usual = asChips((place.chips_lpm ?? []).filter((each) => each <= fitted.max_lpm));
    const flow_lpm = await askNumber(`Flow, ${meterWords(fitted, things)}`, { words: "Flow", unit: "L/min", low: 0, high: fitted.max_lpm }, usual);
    if (flow_lpm !== undefined) tapFlow(place, flow_lpm, on);
  }

  async function askSits() {
    const groups = sitsWrong(sits, world());
    if (groups.length === 0) return told("No device is at hand whose fit could be wrong.");
    const offer = await chooseOf("How does it sit?", groups.map((group) => ({ words: group.words, choices: group.offers.map((each) => ({ words: each.words, value: { ...each, words: `${group.words}: ${each.words}` } })) })));
    if (offer) tap("sits", offer.words, offer.acts);
  }

  /** @param {Place} place */
  async function askNumbers(place) {
    const rows = place.numbers ?? [];
    const shown = readings();
    const picked = await chooseOf("Which number was said?", rows.map((row) => ({
      words: row.words,
      choices: [
        ...(isNumber(shown[row.shown]) ? [{ words: `${figure(shown[row.shown])} ${row.unit}`, about: row.what === "rate" ? "as counted" : "as shown", value: { row, number: shown[row.shown] } }] : []),
        { words: "Another number", about: "", value: { row, number: undefined } },
      ],
    })), "What the learner said, pointed at or wrote; right or wrong.");
    if (!picked) return;
    const { row } = picked;
    const number = picked.number ?? (await askNumber(`${row.words} said`, row));
    if (number === undefined) return;
    const [written] = place.acts;
    if (!written) return;
    const { act, ...values } = written;
    tap(`number-${row.what}`, `${row.words} ${figure(number, 1)}`, [{ act, values: { ...values, what: row.what, found: number } }]);
  }

  return {
    /** Words and marks of all places, from what is at hand. Where nothing may lead, no place is marked.
     * @param {readonly string[]} plausible acts that make sense now @param {boolean} leads */
    refresh(plausible, leads) {
      const now = world();
      for (const place of places) {
        const item = /** @type {HTMLElement} */ (list.querySelector(`[data-place="${place.id}"]`));
        const face = faceOf(place, now);
        const words = item.querySelector(".face");
        show(words, html`${roundPicture(face.picture)}<span><span class="name">${face.button}</span><small>${face.about}</small></span>`);
        const acts = [...face.offers.flatMap((each) => each.acts.map((one) => one.act)), ...place.acts.map((each) => each.act)];
        const likely = leads && acts.some((act) => plausible.includes(act) && now.acts.get(act)?.plausible !== "always");
        item.classList.toggle("likely", likely);
        say(item.querySelector(".likely-words"), likely ? "makes sense now" : "");
      }
    },
  };
}

/** @param {import("./offers.mjs").Picture} picture */
const roundPicture = ({ name, ...how }) => html`<svg class="plate roundel" viewBox="-50 -50 100 100" aria-hidden="true">${drawn(roundel(name, how))}</svg>`;

/** Long presses of one button. @param {HTMLElement} button @param {() => void} done */
function longPress(button, done) {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let wait;
  let taken = false;
  const stop = () => clearTimeout(wait);
  button.addEventListener("pointerdown", () => { taken = false; stop(); wait = setTimeout(() => { taken = true; done(); }, LONG_MS); });
  for (const end of ["pointerup", "pointercancel", "pointerleave"]) button.addEventListener(end, stop);
  button.addEventListener("contextmenu", (event) => event.preventDefault());
  return { /** Whether the click that comes now belongs to a long press. */ taken: () => { const was = taken; taken = false; return was; } };
}
