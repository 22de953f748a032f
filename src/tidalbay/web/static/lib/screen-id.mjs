// @ts-check
// The name of this browser tab: made once, kept over a reload, told to nobody but the station. Plain HTTP in a lab is
// not a secure context, so the browser's own makers of ids are not there; random numbers are.

const KEY = "tidalbay.screen";

/** @param {Pick<Storage, "getItem" | "setItem"> | null} [kept] @param {(into: Uint8Array<ArrayBuffer>) => unknown} [fill] */
export function screenId(kept = tabStorage(), fill = (into) => crypto.getRandomValues(into)) {
  const old = kept?.getItem(KEY);
  if (old) return old;
  const bytes = new Uint8Array(9);
  fill(bytes);
  const id = "s-" + Array.from(bytes, (b) => b.toString(16).padStart(2, "0")).join("");
  try { kept?.setItem(KEY, id); } catch { /* a full or forbidden store: the id lasts as long as the page */ }
  return id;
}

function tabStorage() {
  try { return window.sessionStorage; } catch { return null; }
}
