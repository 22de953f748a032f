// What the drawing's tests share: a document just large enough for the plate, and ways to look at drawn text.

/** An element that remembers attributes; markup put into it becomes stubs for what moves. */
class FakeElement {
  constructor(tag, doc) {
    this.tagName = tag;
    this.ownerDocument = doc;
    this.attributes = new Map();
    this.children = [];
    this.styles = {};
    this.style = { setProperty: (name, value) => { this.styles[name] = value; } };
    this.classList = { add: (name) => this.setAttribute("class", name) };
    this.written = 0;
    this.markup = "";
    this.textContent = "";
  }
  get clientWidth() { return this.size?.[0] ?? 0; }
  get clientHeight() { return this.size?.[1] ?? 0; }
  setAttribute(name, value) { this.attributes.set(name, String(value)); this.written += 1; }
  getAttribute(name) { return this.attributes.get(name) ?? null; }
  hasAttribute(name) { return this.attributes.has(name); }
  removeAttribute(name) { this.attributes.delete(name); }
  append(child) { child.parent = this; this.children.push(child); }
  prepend(child) { child.parent = this; this.children.unshift(child); }
  replaceChildren() { this.children = []; }
  remove() { this.parent.children = this.parent.children.filter((c) => c !== this); }
  insertAdjacentHTML(_where, markup) { this.markup += markup; }
  set innerHTML(markup) {
    this.markup = markup;
    this.children = [...markup.matchAll(/data-move="([^"]+)"/g)].map(([, id]) => {
      const stub = new FakeElement("stub", this.ownerDocument);
      stub.setAttribute("data-move", id);
      stub.parent = this;
      return stub;
    });
  }
  get innerHTML() { return this.markup; }
  querySelectorAll(selector) {
    const id = /^\[data-move="([^"]+)"\]$/.exec(selector)?.[1];
    return this.children.filter((c) => c.getAttribute("data-move") === id);
  }
  querySelector(selector) {
    const tag = /^:scope > (\w+)$/.exec(selector)?.[1];
    return this.children.find((c) => c.tagName === tag) ?? null;
  }
}

/** An svg in a document of its own, `width` by `height` px. */
export function fakeSvg(width = 1920, height = 960) {
  const doc = { createElementNS: (_ns, tag) => new FakeElement(tag, doc) };
  const svg = new FakeElement("svg", doc);
  svg.size = [width, height];
  return svg;
}

/** The text of everything drawn below an element. */
export const drawn = (el) => el.markup + el.children.map(drawn).join("");

/** Groups of the plate by name. */
export const layer = (svg, name) => svg.children.find((c) => c.getAttribute("data-layer") === name);

/** A piece as text at one moment: its still drawing with every moving attribute as it is then. */
export function frozen(piece, live) {
  let text = piece.still;
  for (const m of piece.moving) text = text.replaceAll(new RegExp(`(data-move="${m.id}"[^>]*? ${m.attr}=")[^"]*`, "g"), (_, before) => before + m.of(live));
  return text;
}

/** What moves of a piece, as text at one moment. */
export const moved = (piece, live) => piece.moving.map((m) => m.of(live)).join(" ");

/** Words that only a broken number leaves in a drawing. */
export const broken = /NaN|undefined|Infinity|null|\[object/;

/** One moment. */
export const at = (air, more = {}) => ({ air, breathing_in: true, bag: {}, t_s: 0, shift: [0, 0], ...more });

/** Numbers of a path, in pairs. */
export function points(d) {
  const all = [...d.matchAll(/-?\d+(?:\.\d+)?/g)].map(Number);
  return Array.from({ length: Math.floor(all.length / 2) }, (_, i) => [all[2 * i], all[2 * i + 1]]);
}

export const builds = ["woman", "man", "child", "infant"];
export const postures = ["flat", "propped", "upright", "sitting_out", "side"];
