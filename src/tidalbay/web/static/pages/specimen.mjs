// @ts-check
// The specimen sheet: every piece in every state, with a sentence each. Still at first; one button lets all of it breathe.
import { airAt, breathingIn } from "../draw/breath.mjs";
import { Layer, group } from "../draw/layers.mjs";
import { plate } from "../draw/plate.mjs";
import { patientSections } from "./specimen/patients.mjs";
import { supplySections } from "./specimen/supplies.mjs";
import { wornSections } from "./specimen/worn.mjs";

/** @typedef {import("../draw/piece.mjs").Live} Live */
/** @typedef {import("./specimen/figures.mjs").Figure} Figure */
/** @typedef {import("./specimen/figures.mjs").Section} Section */

const SVG = "http://www.w3.org/2000/svg";
const PACE_MS = 66; // fifteen pictures a second are enough for a sheet of many

/** @type {{ svg: Element, patch: (live: Live) => void, figure: Figure }[]} */
const moving = [];
/** @type {WeakMap<Element, boolean>} */
const inView = new WeakMap();
const watcher = new IntersectionObserver((seen) => { for (const s of seen) inView.set(s.target, s.isIntersecting); });

/** How a figure stands while nothing moves. @param {Figure} f @returns {Live} */
const held = (f) => ({ air: 0, breathing_in: false, t_s: 1.4, shift: [0, 0],
    bag: f.bag ? { [f.bag.id]: f.bag.full } : {}, ...f.live });

/** How it stands at a time of one's own breath. @param {Figure} f @param {number} t_s @returns {Live} */
function breathing(f, t_s) {
  const air = airAt(t_s), still = held(f);
  const bag = f.bag ? { [f.bag.id]: Math.max(0, f.bag.full - f.bag.takes * air) } : still.bag;
  return { ...still, air, breathing_in: breathingIn(t_s), t_s, bag };
}

/** @param {HTMLElement} into @param {Figure} f */
function draw(into, f) {
  const svg = /** @type {SVGSVGElement} */ (document.createElementNS(SVG, "svg"));
  svg.setAttribute("class", "plate");
  svg.setAttribute("role", "img");
  svg.setAttribute("aria-label", f.says);
  into.append(svg);
  if (f.alone) {
    const { piece, box: [x, y, w, h], pen, skin } = f.alone;
    for (const [name, value] of Object.entries(skin)) svg.style.setProperty(name, value);
    svg.setAttribute("viewBox", `${x} ${y} ${w} ${h}`);
    const layer = new Layer(group(svg, "piece"));
    layer.put("piece", "once", () => ({ piece }));
    svg.style.setProperty("--pen", String(Math.min(1.9, Math.max(0.5,
      pen * 0.9 * w / Math.max(60, svg.clientWidth)))));
    layer.patch(held(f));
    if (piece.moving.length) moving.push({ svg, figure: f, patch: (live) => layer.patch(live) });
  } else if (f.scene) {
    const { said, view, crop, grow } = f.scene, p = plate(svg, { view, crop });
    svg.setAttribute("viewBox", crop === "bed" ? "0 0 1920 960" : "0 0 100 100");
    p.scene(said);
    const { x, y, width, height } = svg.viewBox.baseVal, [l, u, r, d] = grow;
    svg.setAttribute("viewBox", `${x - l * width} ${y - u * height} ${width * (1 + l + r)} ${height * (1 + u + d)}`);
    svg.style.setProperty("--pen", String(Math.min(2.4, Math.max(0.5,
      0.82 * width * (1 + l + r) / Math.max(60, svg.clientWidth)))));
    p.breathe(held(f));
    moving.push({ svg, figure: f, patch: (live) => p.breathe(live) });
  }
  watcher.observe(svg);
}

/** @param {HTMLElement} sheet @param {HTMLElement} contents @param {Section} s */
function lay(sheet, contents, s) {
  const section = document.createElement("section"), title = document.createElement("h2"),
      says = document.createElement("p"), row = document.createElement("div"), item = document.createElement("li"),
      link = document.createElement("a");
  section.id = s.id;
  title.textContent = link.textContent = s.title;
  link.href = `#${s.id}`;
  item.append(link);
  contents.append(item);
  says.textContent = s.says;
  row.className = "figures";
  section.append(title, says, row);
  sheet.append(section);
  for (const f of s.figures) {
    const figure = document.createElement("figure"), caption = document.createElement("figcaption");
    figure.className = f.size;
    caption.textContent = f.says;
    row.append(figure);
    draw(figure, f);
    figure.append(caption);
  }
}

const sheet = /** @type {HTMLElement} */ (document.getElementById("sheet")),
    contents = /** @type {HTMLElement} */ (document.getElementById("contents"));
for (const s of [...patientSections, ...wornSections, ...supplySections]) lay(sheet, contents, s);
sheet.removeAttribute("aria-busy");

const button = /** @type {HTMLButtonElement} */ (document.getElementById("breathe"));
let runs = false, last = 0;

/** @param {number} ms */
function step(ms) {
  if (!runs) return;
  requestAnimationFrame(step);
  if (ms - last < PACE_MS) return;
  last = ms;
  for (const m of moving) if (inView.get(m.svg)) m.patch(breathing(m.figure, ms / 1000));
}

button.addEventListener("click", () => {
  runs = !runs;
  button.setAttribute("aria-pressed", String(runs));
  button.textContent = runs ? "Hold still" : "Let it breathe";
  if (runs) requestAnimationFrame(step);
  else for (const m of moving) m.patch(held(m.figure));
});
