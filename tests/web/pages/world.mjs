// A station's equipment and the words of the catalogue, as the tests of these pages need them: read from the data
// itself, so that a word renamed there is found here.
import { execFileSync } from "node:child_process";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("../../../", import.meta.url));
const python = process.env.TIDALBAY_PYTHON ?? "python3";
const asked = `
import json
from tidalbay.catalogue.acts import acts
from tidalbay.catalogue.chart_forms import chart_forms_plain
from tidalbay.catalogue.first_acts import first_acts_plain
from tidalbay.catalogue.handles import handles_plain
kinds = [
    {"id": k.id, "group": k.group, "button": k.button, "on": list(k.on), "by": list(k.by), "words": list(k.words),
     "plausible": k.plausible,
     "arguments": [{"name": a.name, "type": a.type, "unit": a.unit, "low": a.low, "high": a.high, "step": a.step,
                    "usual": list(a.usual), "choices": list(a.choices), "optional": a.optional}
                   for a in k.arguments.values()]}
    for k in acts().values()]
print(json.dumps({"kinds": kinds, "first": first_acts_plain(), "handles": handles_plain(), "forms": chart_forms_plain()}))
`;
export const told = JSON.parse(execFileSync(python, ["-c", asked], { cwd: root, env: { ...process.env, PYTHONPATH: `${root}src` }, maxBuffer: 1e7 }).toString());

export const kinds = told.kinds;
export const first = told.first;
export const acts = new Map(kinds.map((kind) => [kind.id, kind]));
export const place = (id) => first.places.find((each) => each.id === id);

/** One oxygen outlet with a flowmeter, a cannula connected and in the hand. */
export const ward = () => ({
  supplies: [{ id: "outlet", kind: "wall_oxygen", gas_name: "OXYGEN" }],
  flowmeters: [{ id: "flowmeter", supply: "outlet", max_lpm: 15 }],
  tubes: [{ id: "cannula_tubing", from: "flowmeter", to: "cannula" }],
  devices: [{ id: "cannula", kind: "nasal_cannula", worn: false }],
  probe: null,
});

export const world = (things) => ({ things, devices: first.devices, acts });
