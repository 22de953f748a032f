// @ts-check
// The plate: one drawing of patient, equipment and what joins them. `scene` builds what changed, `breathe` only patches
// attributes, `anchor` tells where things are for words and buttons laid over it.
import { clamp, circle, frame, n, P } from "./geometry.mjs";
import { amongThings, inDrawingOrder, meter, supply, takesWideTubing, worn } from "./equipment.mjs";
import { Layer, group } from "./layers.mjs";
import { HEIGHT, WIDTH, cropBox, lowestSupply, onPlate, patientSpot, reachOf, route, supplySpots } from "./layout.mjs";
import { arm } from "./patient/arm.mjs";
import { bed } from "./patient/bed.mjs";
import { cover } from "./patient/cover.mjs";
import { head } from "./patient/head.mjs";
import { sectionGas } from "./patient/section-gas.mjs";
import { section, sectionWords } from "./patient/section.mjs";
import { insetPoint, marksOnFace, skinPicture } from "./patient/skin-marks.mjs";
import { skinVariables } from "./patient/skin.mjs";
import { trunk } from "./patient/trunk.mjs";
import { piece } from "./piece.mjs";
import { headShift, posture } from "./posture.mjs";
import { footInset, probe } from "./probe.mjs";
import { samplingLine } from "./sampling-line.mjs";
import { feeding, patientState } from "./scene.mjs";
import { atRest } from "./sheet.mjs";
import { tubing } from "./tubing.mjs";

/** @typedef {import("./geometry.mjs").Pt} Pt */
/** @typedef {import("./layout.mjs").Spot} Spot */
/** @typedef {import("./layout.mjs").Box} Box */
/** @typedef {import("./layout.mjs").Crop} Crop */
/** @typedef {import("./posture.mjs").Posture} Posture */
/** @typedef {import("./scene.mjs").SceneSaid} SceneSaid */
/** @typedef {import("./scene.mjs").ThingsSaid} ThingsSaid */
/** @typedef {import("./piece.mjs").Live} Live */

/** Back to front. In the cut view hoses pass behind the body: before it, one reads as a tube into the lung. */
const ORDER = /** @type {const} */ (["supply", "bed", "hoseBehind", "behind", "trunk", "head", "marks", "cover", "fade", "arm", "worn", "hose", "probe", "inset"]);
/** These depend on the breath alone, not on time or bags. */
const BREATH_ONLY = new Set(["bed", "trunk", "head", "marks", "cover", "arm", "probe"]);
/** How long the picture of a place that was looked at stays [s of the station]. */
const INSET_STAYS_S = 60;
let plates = 0;

/**
 * @param {SVGSVGElement} svg @param {{view?: "seen" | "cut", crop?: Crop}} [how]
 */
export function plate(svg, { view = "seen", crop = "bed" } = {}) {
  const own = `plate-${++plates}`;
  svg.classList.add("plate");
  svg.replaceChildren();
  const layers = /** @type {Record<typeof ORDER[number], Layer>} */ (Object.fromEntries(ORDER.map((name) => [name, new Layer(group(svg, name))])));
  // The cut view shows head to belly: of outlets only a knob would stand at its edge.
  if (view === "cut") layers.supply.g.setAttribute("display", "none");
  /** @type {Posture} */
  let f = posture();
  let spot = patientSpot(f), box = cropBox("bed", f, spot, false), insetAt_s = NaN, last = atRest, low = HEIGHT;
  /** @type {Map<string, Pt>} plate units */
  const places = new Map();

  /** Layers that the head carries along; in the cut view the head's section stands still. */
  const carried = /** @type {readonly (typeof ORDER[number])[]} */ (view === "cut" ? [] : ["behind", "head", "marks", "worn"]);

  /** @param {SceneSaid} said */
  function scene({ patient, look = {}, things = {}, inspected = [], gas }) {
    f = posture(patientState(patient, look));
    spot = patientSpot(f);
    places.clear();
    for (const [name, value] of Object.entries(skinVariables(f.s))) svg.style.setProperty(name, value);
    for (const [name, p] of Object.entries(f.anchors)) places.set(name, onPlate(spot, p));
    drawPatient(gas);
    drawSkin(inspected);
    low = lowestSupply(things.supplies ?? []);
    const ends = drawSupplies(things);
    drawDevices(things, ends, gas);
    drawHoses(things, ends);
    drawProbe(things);
    show();
    patch({ ...last, shift: shiftAt(last.air) }, true);
  }

  const inWorld = () => ({ transform: `translate(${n(spot.x)} ${n(spot.y)}) scale(${spot.scale.toFixed(4)})`, thickness: 1 / spot.scale });
  const inHead = () => ({ ...inWorld(), thickness: 1 / (spot.scale * f.head.scale) });

  /** @param {import("./scene.mjs").GasPlaces} [gas] */
  function drawPatient(gas) {
    const { s } = f, frames = JSON.stringify([s.build, s.posture, s.recline_deg, s.nod_deg, s.effort]), fade = s.posture === "sitting_out" ? "down" : "right";
    layers.bed.put("bed", frames, () => ({ piece: bed(f, reachOf(spot)), ...inWorld() }));
    layers.cover.put("cover", frames, () => ({ piece: cover(f, reachOf(spot)), ...inWorld() }));
    layers.fade.put("fade", fade, () => ({ piece: piece(fadeOut(own, fade), [], {}) }));
    if (view === "cut") {
      const cut = layers.trunk.put("section", frames + s.mouth, () => ({ piece: section(f), ...inWorld() }));
      for (const [name, p] of Object.entries(cut.anchors)) places.set(`inside:${name}`, onPlate(spot, p));
      layers.head.put("gas", frames + s.mouth + JSON.stringify(gas ?? null), () => ({ piece: sectionGas(f, gas ?? {}, own), ...inWorld() }));
      return;
    }
    layers.trunk.put("trunk", frames + s.mouth, () => ({ piece: trunk(f), ...inWorld() }));
    layers.head.put("head", JSON.stringify(s), () => ({ piece: head(f), ...inHead() }));
    layers.arm.put("arm", frames, () => ({ piece: arm(f), ...inWorld() }));
  }

  /** @param {readonly import("./scene.mjs").Inspected[]} inspected */
  function drawSkin(inspected) {
    const found = inspected.map(({ site, stage = 0 }) => ({ site, stage: /** @type {0 | 1 | 2 | 3} */ (clamp(Math.round(stage), 0, 3)) }));
    if (view === "seen") layers.marks.put("marks", JSON.stringify([f.s, found]), () => ({ piece: piece(marksOnFace(f, found), [], {}), ...inHead() }));
    const newest = [...inspected].filter((i) => insetPoint(f, i.site)).sort((a, b) => (b.at_s ?? 0) - (a.at_s ?? 0))[0], to = newest && insetPoint(f, newest.site);
    insetAt_s = newest?.at_s ?? NaN;
    if (!newest || !to || crop !== "bed") return layers.inset.drop("skin");
    const stage = /** @type {0 | 1 | 2 | 3} */ (clamp(Math.round(newest.stage ?? 0), 0, 3)), at = insetSpot(-286, 0), end = onPlate(spot, to);
    layers.inset.put("skin", JSON.stringify([f.s, newest.site, stage]), () => ({ piece: piece(disc(at, end, 1, `${own}-inset`, skinPicture(f, newest.site, stage)), [], {}) }));
    places.set("inset", at);
  }

  /** Place of an inset beside the head. @param {number} dx @param {number} dy @returns {Pt} */
  function insetSpot(dx, dy) {
    const [x, y] = onPlate(spot, f.head.at(0, -20));
    return [clamp(x + dx, 110, WIDTH - 110), clamp(y + dy, 110, HEIGHT - 110)];
  }

  /** Draws supplies with their flowmeters; returns where tubing may join, by id. @param {ThingsSaid} things */
  function drawSupplies(things) {
    const supplies = things.supplies ?? [], meters = things.flowmeters ?? [], spots = supplySpots(supplies, feeding(things), new Set(meters.map((m) => m.supply)));
    /** @type {Map<string, {at: Pt, deg: number}>} */
    const ends = new Map();
    const names = new Set();
    for (const s of supplies) {
      const at = spots[s.id];
      if (!at) continue;
      const mine = meters.filter((m) => m.supply === s.id), state = { ...s, used: mine.length > 0 }, put = (/** @type {Pt} */ p) => /** @type {Pt} */ ([at.x + p[0] * at.scale, at.y + p[1] * at.scale]);
      names.add(s.id);
      const drawn = layers.supply.put(s.id, JSON.stringify([state, at]), () => ({ piece: supply(state), transform: `translate(${n(at.x)} ${n(at.y)}) scale(${n(at.scale)})`, thickness: 1 / at.scale ** 0.6 }));
      for (const [name, p] of Object.entries(drawn.anchors)) places.set(`${name}:${s.id}`, put(p));
      places.set(`supply:${s.id}`, put(drawn.anchors.name ?? [0, 0]));
      if (drawn.anchors.barb) ends.set(s.id, { at: put(drawn.anchors.barb), deg: drawn.supplyDeg ?? 90 });
      for (const m of mine) {
        const told = amongThings(m, s, things), seat = put(drawn.anchors.socket ?? drawn.anchors.dial ?? [0, 0]);
        names.add(m.id);
        const gauge = layers.supply.put(m.id, JSON.stringify([told, seat]), () => ({ piece: meter(told, s.kind), transform: `translate(${n(seat[0])} ${n(seat[1])}) scale(${n(at.scale)})`, thickness: 1 / at.scale ** 0.6 }));
        for (const [name, p] of Object.entries(gauge.anchors)) places.set(`${name}:${m.id}`, [seat[0] + p[0] * at.scale, seat[1] + p[1] * at.scale]);
        const tail = gauge.anchors.tail;
        if (tail) ends.set(m.id, { at: [seat[0] + tail[0] * at.scale, seat[1] + tail[1] * at.scale], deg: gauge.supplyDeg ?? 90 });
        else if (ends.has(s.id)) ends.set(m.id, /** @type {{at: Pt, deg: number}} */ (ends.get(s.id)));
      }
    }
    layers.supply.keep(names);
    return ends;
  }

  /** @param {ThingsSaid} things @param {Map<string, {at: Pt, deg: number}>} ends @param {import("./scene.mjs").GasPlaces} [gas] */
  function drawDevices(things, ends, gas) {
    const names = new Set(), behind = new Set();
    let nose = "", bagged = false;
    let aside = 0;
    for (const d of inDrawingOrder(things.devices ?? [])) {
      const on = d.worn !== false, frames = on ? f : laidDown(f, aside++, d.kind), state = view === "cut" ? { ...d, cut: true, gas: d.gas ?? gas?.bag ?? bagHolds(d) } : d, key = JSON.stringify([f.s, state, aside]);
      names.add(d.id);
      const drawn = layers.worn.put(d.id, key, () => ({ piece: worn(frames, state), ...inHead() }));
      if (drawn.behind) { behind.add(d.id); layers.behind.put(d.id, key, () => ({ piece: piece(drawn.behind ?? "", [], {}), ...inHead() })); }
      for (const [name, p] of Object.entries(drawn.anchors)) places.set(`${name}:${d.id}`, onPlate(spot, p));
      places.set(`device:${d.id}`, onPlate(spot, drawn.anchors.words ?? drawn.anchors.supply ?? f.anchors.mouth));
      if (drawn.anchors.supply) ends.set(d.id, { at: onPlate(spot, drawn.anchors.supply), deg: drawn.supplyDeg ?? 90 });
      if (on && drawn.inset) nose = drawn.inset;
      if (on && d.kind.includes("rebreathing")) bagged = true;
    }
    layers.worn.keep(names);
    layers.behind.keep(behind);
    drawNose(nose, bagged);
  }

  /** The nose seen near: which way the prongs lie cannot be told from the side. A bag that hangs from a mask is left room. @param {string} picture @param {boolean} bagged */
  function drawNose(picture, bagged) {
    if (!picture || crop !== "bed" || view === "cut") return layers.inset.drop("nose");
    const lying = f.s.posture === "flat" || f.s.posture === "side", face = 130 * spot.scale * f.head.scale;
    const at = lying ? insetSpot(20, -face - 150) : bagged ? insetSpot(face + 172, -118) : insetSpot(face + 118, -36);
    layers.inset.put("nose", JSON.stringify([picture, at, f.anchors.nostril]), () => ({ piece: piece(disc(at, onPlate(spot, f.anchors.nostril), 0.84, `${own}-nose`, picture), [], {}) }));
    places.set("nose", at);
  }

  /** @param {ThingsSaid} things @param {Map<string, {at: Pt, deg: number}>} ends */
  function drawHoses(things, ends) {
    const names = new Set(), layer = view === "cut" ? layers.hoseBehind : layers.hose, shoulder = onPlate(spot, f.shoulder), worn = new Set((things.devices ?? []).filter((d) => d.worn !== false).map((d) => d.id));
    for (const t of things.tubes ?? []) {
      const from = (t.from && ends.get(t.from)) || { at: /** @type {Pt} */ ([560, 800]), deg: 60 }, to = (t.to && ends.get(t.to)) || null, sc = spot.scale;
      const wide = (things.devices ?? []).some((d) => d.id === t.to && takesWideTubing(d.kind)), carried = t.to !== null && worn.has(t.to ?? "");
      const way = (/** @type {Pt} */ shift) => route(from, to && carried ? { at: [to.at[0] + shift[0] * sc, to.at[1] + shift[1] * sc], deg: to.deg } : to, shoulder);
      const state = { ...t, wide, carries: view === "cut", to: to ? t.to : null };
      names.add(t.id);
      const drawn = layer.put(t.id, JSON.stringify([state, from, to, shoulder]), () => ({ piece: tubing(way, state) }));
      for (const [name, p] of Object.entries(drawn.anchors)) places.set(`${name}:${t.id}`, p);
      places.set(`tube:${t.id}`, drawn.anchors.words ?? from.at);
    }
    layer.keep(names);
  }

  /** @param {ThingsSaid} things */
  function drawProbe(things) {
    drawSampling(things);
    const site = things.probe?.site;
    if (view === "cut" || (site !== "finger" && site !== "ear" && site !== "toe")) { layers.inset.drop("foot"); return layers.probe.drop("probe"); }
    const toe = layers.cover.piece("cover")?.anchors.toe ?? null, ends = { id: `${own}-cable`, right: (WIDTH - spot.x) / spot.scale, low: (HEIGHT - spot.y) / spot.scale };
    const drawn = layers.probe.put("probe", JSON.stringify([f.s, site]), () => ({ piece: probe(f, { site, toe, ends }), ...inWorld() }));
    if (site === "toe" && !toe && crop === "bed") {
      const at = /** @type {Pt} */ ([WIDTH - 190, clamp(spot.y - 300 * spot.scale * f.body.unit, 130, HEIGHT - 140)]), end = onPlate(spot, drawn.anchors.probe ?? [0, 0]);
      layers.inset.put("foot", JSON.stringify([at, end, f.s.tone]), () => ({ piece: piece(disc(at, end, 1, `${own}-foot`, `<g class="onskin">${footInset()}</g>`), [], {}) }));
    } else layers.inset.drop("foot");
    places.set("probe", onPlate(spot, drawn.anchors.probe ?? f.anchors.finger));
  }

  /** The sampling line runs beside the hose; in the cut view it would hide the airway. @param {ThingsSaid} things */
  function drawSampling(things) {
    const said = things.sampling_line?.site;
    if (view === "cut" || (said !== "nose" && said !== "mask" && said !== "circuit")) return layers.probe.drop("sampling");
    const atNeck = said !== "nose" && (things.devices ?? []).some((d) => d.worn !== false && d.kind.startsWith("tracheostomy")), site = atNeck ? "neck" : said;
    const ends = { id: `${own}-sampling`, right: (WIDTH - spot.x) / spot.scale, low: (HEIGHT - spot.y) / spot.scale };
    const drawn = layers.probe.put("sampling", JSON.stringify([f.s, site]), () => ({ piece: samplingLine(f, { site, ends }), ...inWorld() }));
    places.set("sampling", onPlate(spot, drawn.anchors.sampling ?? f.anchors.nostril));
  }

  /** Which part is shown, and how thick the pen is there. */
  function show() {
    box = cropBox(crop, f, spot, view === "cut", low);
    svg.setAttribute("viewBox", `${n(box.x)} ${n(box.y)} ${n(box.width)} ${n(box.height)}`);
    pen();
  }

  /** Lines stay near two pixels, whatever the size of the picture. */
  function pen() {
    const width = svg.clientWidth || 0, perPx = width ? Math.max(box.width / width, box.height / (svg.clientHeight || Infinity)) : 1;
    svg.style.setProperty("--pen", String(Math.round(clamp(0.92 * perPx, 0.45, 1.7) * 100) / 100));
  }

  /** The head's way at this breath; in the cut view it stands still. @param {number} air @returns {Pt} */
  const shiftAt = (air) => (view === "cut" ? [0, 0] : headShift(f, air));

  /**
   * One moment: patches attributes, builds nothing.
   * @param {{air: number, bag?: Readonly<Record<string, number>>, t_s?: number, breathing_in?: boolean, gauge?: Live["gauge"], float?: Live["float"]}} now
   */
  function breathe(now) {
    const air = clamp(now.air), shift = shiftAt(air);
    patch({ ...now, air, bag: now.bag ?? {}, t_s: now.t_s ?? 0, breathing_in: now.breathing_in ?? air > last.air, shift }, false);
  }

  /** @param {Live} live @param {boolean} anew  some piece was built and stands as at rest */
  function patch(live, anew) {
    const { shift } = live, same = !anew && live.air === last.air && live.breathing_in === last.breathing_in;
    last = live;
    const carry = `translate(${n(shift[0] * spot.scale)} ${n(shift[1] * spot.scale)})`;
    for (const name of carried) if (layers[name].g.getAttribute("transform") !== carry) layers[name].g.setAttribute("transform", carry);
    for (const name of ORDER) if (!same || !BREATH_ONLY.has(name)) layers[name].patch(live);
    const inset = layers.inset.group("skin"), old = live.t_s > 0 && live.t_s - insetAt_s > INSET_STAYS_S;
    if (inset && inset.hasAttribute("visibility") !== old) old ? inset.setAttribute("visibility", "hidden") : inset.removeAttribute("visibility");
  }

  /**
   * Where something is, in CSS px from the svg's upper left corner; null while it is not drawn. Names: parts of the body
   * ("finger", "chest", "mouth"), "probe", "inset", "nose", and "float:<id>", "gauge:<id>", "device:<id>", "supply:<id>", "tube:<id>";
   * in the cut view "inside:nose", "inside:throat", "inside:windpipe", "inside:lung", "inside:heart", "inside:diaphragm".
   * @param {string} name @returns {{x: number, y: number} | null}
   */
  function anchor(name) {
    const p = places.get(name);
    if (!p) return null;
    const w = svg.clientWidth || box.width, h = svg.clientHeight || box.height, k = Math.min(w / box.width, h / box.height);
    return { x: (p[0] - box.x) * k + (w - box.width * k) / 2, y: (p[1] - box.y) * k + (h - box.height * k) / 2 };
  }

  /** What the picture is called and what it shows, for those who do not see it. @param {string} title @param {string} description */
  function words(title, description) {
    svg.setAttribute("role", "img");
    svg.setAttribute("aria-labelledby", `${own}-title ${own}-desc`);
    for (const [tag, text] of /** @type {const} */ ([["desc", description], ["title", title]])) {
      let el = svg.querySelector(`:scope > ${tag}`);
      if (!el) { el = svg.ownerDocument.createElementNS("http://www.w3.org/2000/svg", tag); el.id = `${own}-${tag}`; svg.prepend(el); }
      if (el.textContent !== text) el.textContent = text;
    }
  }

  if (typeof ResizeObserver === "function") new ResizeObserver(pen).observe(svg);

  /** How many pieces were built so far. */
  const built = () => ORDER.reduce((sum, name) => sum + layers[name].built, 0);

  /** What a page says beside a cut view. */
  const saysOfSection = () => sectionWords(f.s.build);

  return { scene, breathe, anchor, words, built, saysOfSection };
}

/**
 * Bed and blanket are not framed: paper is laid over them towards the feet, over a chair towards the floor. A mask would
 * do the same at three times the cost of a frame. @param {string} own @param {"right" | "down"} way
 */
function fadeOut(own, way) {
  const [x, y] = way === "right" ? [WIDTH - 150, -HEIGHT] : [640, HEIGHT - 110], to = way === "right" ? `x1="${x}" x2="${WIDTH - 6}" y1="0" y2="0"` : `x1="0" x2="0" y1="${y}" y2="${HEIGHT - 4}"`;
  return `<linearGradient id="${own}-fade" gradientUnits="userSpaceOnUse" ${to}><stop class="to-paper" stop-opacity="0"/><stop offset="1" class="to-paper"/></linearGradient>` +
    `<rect x="${x}" y="${y}" width="${2 * WIDTH}" height="${3 * HEIGHT}" fill="url(#${own}-fade)"/>`;
}

/** What a reservoir holds when the station does not tell: what flows into it. A partial rebreather's also takes in breath. @param {import("./piece.mjs").DeviceState} d @returns {import("./piece.mjs").GasShares | undefined} */
const bagHolds = (d) => (d.kind.startsWith("partial") ? undefined : { supplied: 1 });

/** An inset: a round picture of radius 92 about 0,0, and a fine line from its edge to the place it shows. @param {Pt} at @param {Pt} to @param {number} scale @param {string} clip @param {string} picture */
function disc(at, to, scale, clip, picture) {
  const a = Math.atan2(to[1] - at[1], to[0] - at[0]), r = 92 * scale;
  return P("fine", `M${n(at[0] + Math.cos(a) * r)} ${n(at[1] + Math.sin(a) * r)}L${n(to[0])} ${n(to[1])}`) + circle("solid", to[0], to[1], 3.2) +
    `<g transform="translate(${n(at[0])} ${n(at[1])}) scale(${scale})"><clipPath id="${clip}"><circle r="92"/></clipPath>${circle("f-paper", 0, 0, 92)}<g clip-path="url(#${clip})">${picture}</g>${circle("ink", 0, 0, 92)}</g>`;
}

/** Where devices that are not worn lie, in turn: on the blanket past the hand and its probe, over the knees and beside them. [mm, of the woman's] */
const ASIDE = /** @type {const} */ ({ bed: [[236, -92], [330, -190], [178, -16]], chair: [[226, -44], [60, -80], [150, 40]], infant: [[60, 20], [210, 20], [360, 20]] });

/** A bag that is squeezed lies long to the right: nearer, below the hand. [mm] */
const LONG = /** @type {const} */ ([-150, 72]);

/** Frames for a device that is not worn. @param {Posture} f @param {number} nth @param {string} kind @returns {Posture} */
function laidDown(f, nth, kind) {
  const places = ASIDE[f.s.posture === "sitting_out" ? "chair" : f.s.build === "infant" ? "infant" : "bed"], [x, y] = places[nth % places.length] ?? places[0], u = f.body.unit, [dx, dy] = kind.startsWith("bag_valve") && f.s.posture !== "sitting_out" ? LONG : [0, 0];
  const h = frame((x + dx) * u, (y + dy) * u, -18, f.head.scale), at = (/** @type {number} */ along, /** @type {number} */ down) => h.at(along, down);
  return { ...f, head: h, anchors: { ...f.anchors, nostril: at(110, 26), mouth: at(104, 50), bridge: at(97, -8), cheek: at(64, 24), underChin: at(62, 97), chin: at(98, 84), maskPort: at(131, 60), ear: at(-4, -27), occiput: at(-99, -20) } };
}
