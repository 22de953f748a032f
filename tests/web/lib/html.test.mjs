import assert from "node:assert/strict";
import test from "node:test";
import { chem, escaped, html } from "../../../src/tidalbay/web/static/lib/html.mjs";

test("what a person wrote never becomes markup", () => {
  const name = `<img src=x onerror="alert('a')">&`;

  assert.equal(
    html`<p title="${name}">${name}</p>`.text,
    `<p title="&#60;img src=x onerror=&#34;alert(&#39;a&#39;)&#34;&#62;&#38;">&#60;img src=x onerror=&#34;alert(&#39;a&#39;)&#34;&#62;&#38;</p>`,
  );
});

test("markup put into markup stays, lists are joined, nothing leaves nothing", () => {
  const rows = ["a", "<b>"].map((row) => html`<li>${row}</li>`);

  assert.equal(html`<ul>${rows}${null}${false}${undefined}</ul>`.text, "<ul><li>a</li><li>&#60;b&#62;</li></ul>");
});

test("text that says it is markup is not believed", () => {
  assert.equal(html`${{ text: "<b>" , toString: () => "<i>" }}`.text, "&#60;i&#62;");
  assert.equal(html`${["<b>"]}`.text, "&#60;b&#62;");
});

test("numbers go through as they are", () => {
  assert.equal(html`${0} ${1.5}`.text, "0 1.5");
  assert.equal(escaped("`"), "&#96;");
});

test("the 2 of a gas stands low, and what surrounds it stays escaped", () => {
  assert.equal(html`${chem("PaCO2 <40")} ${chem("H2O, SpO2 92")}`.text, "PaCO<sub>2</sub> &#60;40 H2O, SpO<sub>2</sub> 92");
});
