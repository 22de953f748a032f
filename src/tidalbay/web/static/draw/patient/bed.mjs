// @ts-check
// What the patient lies or sits on: a bed with a back-rest, a cot with a raised head end, an armchair, and the bed from above.
// Nothing here moves: the plate keeps it as a group of its own.
import { P, brush, frame, hatch, n, point, shape, smooth } from "../geometry.mjs";
import { piece } from "../piece.mjs";

/** @typedef {import("../posture.mjs").Posture} Posture */
/** @typedef {import("../geometry.mjs").Pt} Pt */

/** @param {Posture} f @param {number} reach how far the bed goes towards the feet, in the world's mm @returns {import("../piece.mjs").Piece} */
export function bed(f, reach) {
  const { posture: p, build } = f.s;
  return piece(p === "sitting_out" ? chair(f) : p === "side" ? fromAbove(f, reach) : build === "infant" ? cot(f, reach) : backRest(f, reach), [], {});
}

/** Depth of the back behind the hip: where mattress meets patient. @param {Posture} f */
const depth = (f) => Math.min(...f.body.back.map((p) => p[0])) - 2;

/** @param {Posture} f @param {number} reach @param {number} [thick] @param {number} [length] */
function mattress(f, reach, thick = 98, length = 900) {
  const { trunk, body } = f, u = body.unit, b = depth(f), L = length * (u < 0.9 ? 1.12 * u : 1), flat = Math.max(0, 1 - (90 + trunk.deg) / 26), low = (body.seat[1]?.[1] ?? 84) + (19 + 36 * flat) * u, joint = (-70 + 64 * flat) * u, th = thick * Math.max(0.62, u);
  const T = trunk.all;
  const top = [...T([[b - 1, -L], [b, -L * 0.66], [b + 2, -L * 0.33], [b + 5, -90 * u]]), /** @type {Pt} */ ([-30 * u, low - 11 * u * (1 - flat)]), /** @type {Pt} */ ([60 * u, low]), /** @type {Pt} */ ([reach, low])];
  const bottom = [/** @type {Pt} */ ([reach, low + th]), /** @type {Pt} */ ([60 * u, low + th]), /** @type {Pt} */ ([joint, low + th - 2]), ...T([[b - th, -30 * u - 60 * u * flat], [b - th - 8, -L * 0.33], [b - th - 11, -L * 0.66], [b - th - 13, -L]])];
  const end = [point(bottom, -1), ...T([[b - th + 4, -L - 26], [b - 22, -L - 30]]), point(top, 0)];
  return { top, bottom, end, b, L, low, th, u, joint, flat, outline: smooth(top) + "L" + smooth(bottom).slice(1) + smooth(end, false, false) + "Z" };
}

/** @param {Posture} f @param {number} reach */
function backRest(f, reach) {
  const { trunk, head } = f, m = mattress(f, reach), T = trunk.all, { b, L, low, th, u, joint, flat } = m;
  const under = [...T([[b - th - 38, -L + 20], [b - th - 34, -L * 0.55], [b - th - 30, -40 * u - 60 * u * flat]]), /** @type {Pt} */ ([joint - 10 * u, low + th + 32]), /** @type {Pt} */ ([40 * u, low + th + 38]), /** @type {Pt} */ ([reach, low + th + 38])];
  const occiput = f.s.build === "child" ? -13 : 0, H = frame(head.x, head.y, head.deg + 3, head.scale).all;
  const pillow = H([[-70, -118 + occiput * 2], [-104, -112 + occiput * 2], [-150 + occiput, -70], [-178 + occiput, 0], [-186, 70], [-172, 140], [-130, 186], [-84, 200], [-50, 178], [-44, 120], [-60, 70], [-94, 20], [-104, -24], [-98, -70]]);
  return [
    P("f-wash", m.outline), P("ink", smooth(m.top)), P("ink", smooth(m.end)), P("ink", smooth([...m.bottom].reverse())),
    P("hair quiet", smooth(T([[b - 12, -L + 20], [b - 10, -L * 0.66], [b - 8, -L * 0.33], [b - 6, -80 * u]]))), P("hair quiet", smooth(T([[b - th, -L + 20], [b - th + 2, -L * 0.66], [b - th + 6, -L * 0.33], [b - th + 16, -40 * u]]))),
    hatch([...T([[b - th - 12, -L + 20], [b - th - 10, -L * 0.55], [b - th, -30 * u]]), [joint, low + th - 3]], [...T([[b - th + 20, -L + 32], [b - th + 22, -L * 0.55], [b - th + 32, -40 * u]]), [joint + 16 * u, low + th - 30]], 90, { ease: false }),
    hatch([[-60 * u, low + th - 2], [reach * 0.45, low + th - 1], [reach, low + th - 1]], [[-44 * u, low + th - 28], [reach * 0.46, low + th - 24], [reach + 12, low + th - 18]], 66, { ease: false }),
    P("contour", smooth(under)), P("fine", smooth([...T([[b - th - 50, -L + 20], [b - th - 46, -L * 0.55], [b - th - 42, -36 * u - 60 * u * flat]]), [joint - 16 * u, low + th + 46], [36 * u, low + th + 52], [reach, low + th + 52]])),
    shape("f-linen", "ink", smooth(pillow, true)),
    brush(H([[-88, 34], [-120, 40], [-150, 30]]), 1.8), brush(H([[-74, 62], [-110, 78], [-146, 70]]), 1.8), brush(H([[-108 + occiput, -40], [-128 + occiput, -44], [-144 + occiput, -36]]), 1.6),
    hatch(H([[-182, 40], [-176, 120], [-128, 184]]), H([[-162, 40], [-154, 108], [-112, 160]]), 30), brush(H([[-70, 96], [-100, 118], [-124, 116]]), 1.8),
  ].join("");
}

/** A cot: firm thin mattress, its head end raised, no pillow; the far side's bars behind, the near side let down. @param {Posture} f @param {number} reach */
function cot(f, reach) {
  const m = mattress(f, reach, 92, 830), { b, L, low, th } = m, T = f.trunk.all, floor = low + th + 26, left = point(T([[b - th, -L - 20]]), 0)[0] - 26, rail = -214;
  let bars = "";
  for (let x = left + 34; x < reach; x += 46) bars += `M${n(x)} ${rail}V${n(floor)}M${n(x + 8)} ${rail}V${n(floor)}`;
  const post = `M${n(left)} ${rail - 34}q0 -12 13 -12t13 12V${n(floor + 44)}h-26Z`, bar = `M${n(left)} ${rail - 16}H${n(reach)}V${rail}H${n(left)}Z`, base = `M${n(left)} ${n(floor)}H${n(reach)}V${n(floor + 20)}H${n(left)}Z`;
  const wedge = smooth([point(m.bottom, -1), ...T([[b - th - 8, -L * 0.5]]), [-30, low + th]]) + `L${n(left + 26)} ${n(floor)}Z`;
  return [
    P("hair quiet", bars), shape("f-linen", "fine", bar), shape("f-wash2", "fine", wedge),
    P("f-linen", m.outline), P("ink", smooth(m.top)), P("ink", smooth(m.end)), P("ink", smooth([...m.bottom].reverse())),
    P("hair quiet", smooth(T([[b - 7, -L + 10], [b - 7, -L * 0.66], [b - 6, -L * 0.33], [b - 2, -40]]))),
    hatch([...T([[b - th - 8, -L + 6], [b - th - 8, -L * 0.55], [b - th, -20]]), [-30, low + th - 2]], [...T([[b - th + 10, -L + 12], [b - th + 10, -L * 0.55], [b - th + 18, -24]]), [-22, low + th - 18]], 60, { ease: false }),
    hatch([[-24, low + th - 1], [reach, low + th - 1]], [[-16, low + th - 16], [reach + 8, low + th - 16]], 50, { ease: false }),
    shape("f-linen", "ink", base), shape("f-linen", "ink", post),
  ].join("");
}

/** An armchair with a high back; the near arm is drawn with the lap. @param {Posture} f */
function chair(f) {
  const u = f.body.unit, b = -150 * u, t = Math.max(1, u);
  /** @param {Pt[]} l @returns {Pt[]} */
  const S = (l) => l.map(([x, y]) => [x * u, y * u]);
  const back = smooth(S([[-170, 150], [-200, -60], [-232, -360], [-262, -640], [-266, -800], [-240, -838], [-196, -836], [-170, -800], [-158, -640], [-150, -360], [-142, -60], [-126, 90]]), false) + "Z";
  const seat = smooth(S([[-170, 84], [60, 90], [330, 88], [392, 98], [398, 140], [380, 168], [200, 174], [-170, 176]]), true);
  return [
    shape("f-wash", "contour", back), P("hair quiet", smooth(S([[-186, -780], [-176, -600], [-168, -300], [-160, -60]]))),
    hatch(S([[-256, -780], [-248, -600], [-222, -340], [-190, -40]]), S([[-232, -780], [-226, -600], [-200, -340], [-170, -40]]), Math.round(70 * t), { ease: false }),
    shape("f-wash", "contour", seat), hatch(S([[-150, 172], [100, 172], [370, 166]]), S([[-140, 150], [110, 148], [382, 144]]), 60, { ease: false }),
    shape("f-linen", "ink", `M${n(-176 * u)} ${n(176 * u)}l${n(-16 * u)} ${n(250 * u)}h${n(34 * u)}l${n(16 * u)} ${n(-250 * u)}ZM${n(330 * u)} ${n(170 * u)}l${n(10 * u)} ${n(256 * u)}h${n(34 * u)}l${n(-8 * u)} ${n(-256 * u)}Z`),
    P("fine", `M${n(b)} ${n(-60 * u)}L${n(b + 30 * u)} ${n(84 * u)}`),
  ].join("");
}

/** From above, for a patient on the side. @param {Posture} f @param {number} reach */
function fromAbove(f, reach) {
  const { body, head } = f, u = body.unit, left = f.anchors.occiput[0] - 170 * head.scale, top = -470 * u, foot = 330 * u;
  const r = 46 * u, sheet = `M${n(reach)} ${n(top)}H${n(left + r)}Q${n(left)} ${n(top)} ${n(left)} ${n(top + r)}V${n(foot - r)}Q${n(left)} ${n(foot)} ${n(left + r)} ${n(foot)}H${n(reach)}`, i = 20 * u;
  const hem = `M${n(reach)} ${n(top + i)}H${n(left + r)}Q${n(left + i)} ${n(top + i)} ${n(left + i)} ${n(top + r)}V${n(foot - r)}Q${n(left + i)} ${n(foot - i)} ${n(left + r)} ${n(foot - i)}H${n(reach)}`;
  const k = head.scale, px = head.x - 20 * k, py = head.y - 10 * k;
  /** @param {Pt[]} l @returns {Pt[]} */
  const at = (l) => l.map(([x, y]) => [px + x * k, py + y * k]);
  const pillow = at([[-150, -236], [-40, -246], [92, -232], [128, -190], [122, -40], [126, 120], [112, 226], [70, 250], [-60, 244], [-150, 248], [-184, 206], [-178, 60], [-184, -80], [-186, -196]]);
  return [
    P("f-wash", sheet + "Z"), P("contour", sheet), P("hair quiet", hem),
    hatch([[left + 90 * u, foot], [reach, foot]], [[left + 100 * u, foot - 20 * u], [reach + 10, foot - 20 * u]], 100, { ease: false }),
    f.s.build === "infant" ? "" : shape("f-linen", "ink", smooth(pillow, true)) + brush(at([[-168, -196], [-130, -176], [-110, -150]]), 1.8) + brush(at([[112, 200], [84, 176], [70, 150]]), 1.8) + brush(at([[-166, 200], [-132, 178], [-120, 150]]), 1.8) + brush(at([[100, -210], [84, -190], [70, -170]]), 1.6) +
    hatch(at([[-150, 244], [-40, 242], [66, 246]]), at([[-146, 226], [-36, 222], [62, 228]]), 40),
  ].join("");
}
