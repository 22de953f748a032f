// @ts-check
// Groups of the plate: each holds one drawn piece, is built anew only when its key changes, and is patched while it breathes.

/** @typedef {import("./piece.mjs").Piece} Piece */
/** @typedef {import("./piece.mjs").Live} Live */
/** @typedef {{els: Element[], attr: string, of: (live: Live) => string, last: string}} Patch */

const SVG = "http://www.w3.org/2000/svg";

/** @param {Element} parent @param {string} name @returns {SVGGElement} */
export function group(parent, name) {
  const g = /** @type {SVGGElement} */ (parent.ownerDocument.createElementNS(SVG, "g"));
  g.setAttribute("data-layer", name);
  parent.append(g);
  return g;
}

/** The pieces inside one group. */
export class Layer {
  /** @type {Map<string, {g: SVGGElement, key: string, patches: Patch[], piece: Piece}>} */
  #held = new Map();
  built = 0;

  /** @param {Element} g */
  constructor(g) { this.g = g; }

  /**
   * Holds a piece under a name; `draw` is called only if the key is new. `thickness`: pen inside a scaled group.
   * @param {string} name @param {string} key @param {() => {piece: Piece, transform?: string, thickness?: number}} draw
   */
  put(name, key, draw) {
    const held = this.#held.get(name);
    if (held?.key === key) return held.piece;
    const { piece, transform, thickness } = draw(), g = held?.g ?? group(this.g, name);
    if (transform) g.setAttribute("transform", transform);
    // Custom properties through the style object: the pages' policy forbids style attributes in markup.
    if (thickness) g.style.setProperty("--k", String(Math.round(thickness * 1000) / 1000));
    g.innerHTML = piece.still;
    const patches = piece.moving.map((m) => ({ els: [...g.querySelectorAll(`[data-move="${m.id}"]`)], attr: m.attr, of: m.of, last: "" }));
    this.#held.set(name, { g, key, patches, piece });
    this.built += 1;
    return piece;
  }

  /** Keeps only these names. @param {ReadonlySet<string>} names */
  keep(names) {
    for (const [name, held] of this.#held) if (!names.has(name)) { held.g.remove(); this.#held.delete(name); }
  }

  /** Holds this one no more. @param {string} name */
  drop(name) {
    this.#held.get(name)?.g.remove();
    this.#held.delete(name);
  }

  /** @param {Live} live */
  patch(live) {
    for (const { patches } of this.#held.values()) for (const p of patches) {
      const value = p.of(live);
      if (value === p.last) continue;
      p.last = value;
      for (const el of p.els) el.setAttribute(p.attr, value);
    }
  }

  /** @param {string} name */
  piece(name) { return this.#held.get(name)?.piece ?? null; }
  /** @param {string} name */
  group(name) { return this.#held.get(name)?.g ?? null; }
}
