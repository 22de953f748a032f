// @ts-check
// An oxygen concentrator on castors, its flowmeter built in. 1 unit = 1 mm; the middle of its foot at 0,0.
import { G, P, circle, n, text } from "./geometry.mjs";
import { ball, ballAt, floatHeight, gasLabel, scaleTube } from "./flowmeter.mjs";
import { moves, piece } from "./piece.mjs";

/** @typedef {import("./piece.mjs").Piece} Piece */

/**
 * `alarms`: its lamp is lit and it sounds.
 * @typedef {{ id: string, gas: string, large: boolean, on: boolean, alarms: boolean }} ConcentratorState
 */

/**
 * The flowmeter in a concentrator's panel: tube, ball, knob, and the nipple at the machine's side. Drawn about
 * the machine's
 * anchor `socket`. @param {import("./flowmeter.mjs").FlowmeterState} s @returns {Piece}
 */
export function panelFlowmeter(s) {
  const still = scaleTube(s.maxLpm) + `<g ${moves(`float:${s.id}`)} transform="${ballAt(s)}">${ball()}</g>` +
    P("f-steel", "M-32 -42H40V26H-32Z") + P("contour", "M-32 -42H40V26H-32Z") + circle("f-linen", 4, -8, 22) +
      circle("contour", 4, -8, 22) +
    G(`rotate(${n((s.setFrac ?? 0) * 250)} 4 -8)`, P("hair", "M-8 -23V7M-2 -27V11M4 -29V13M10 -27V11M16 -23V7")) +
    G("translate(96 4)", P("f-linen", "M0 -8L36 -4.6V4.6L0 8Z"),
      P("ink", "M0 -8L36 -4.6V4.6L0 8M10 -7.4v14.8M20 -6.6v13.2"));
  const height = s.flush ? 184 : floatHeight(s.floatFrac);
  return piece(still, [{ id: `float:${s.id}`, attr: "transform", of: (live) => ballAt(s, live) }],
    { float: [0, -52 - height], tail: [132, 4], knob: [4, -8], base: [0, 26] }, { supplyDeg: 0 });
}

/**
 * Anchors: `socket` (where its flowmeter is drawn), `switch`, `lamp`, `name`.
 * @param {ConcentratorState} s
 * @returns {Piece}
 */
export function concentrator(s) {
  const w = s.large ? 216 : 190;
  const h = s.large ? 660 : 600;
  const louvres = Array.from({ length: 9 }, (_, i) => `M${-w + 34} ${-h + 330 + i * 17}H${w - 34}`).join("");
  const body = `M${-w + 22} ${-h}H${w - 22}Q${w} ${-h} ${w} ${-h + 24}V-34Q${w} -18 ${w - 16} -18H${-w + 16}Q${-w} -18 ${-w} -34V${-h + 24}Q${-w} ${-h} ${-w + 22} ${-h}Z`;
  const rocker = G(`translate(${-w + 74} ${-h + 180})`, P("f-linen", "M-26 -34H26V34H-26Z"),
      P("contour", "M-26 -34H26V34H-26Z"),
    P("f-wash2", s.on ? "M-20 0H20V28H-20Z" : "M-20 -28H20V0H-20Z"), P("ink", "M-20 0H20"),
    text("t", 0, -9, "I", 'text-anchor="middle" font-size="17" font-weight="700"'), circle("ink", 0, 15, 6.5),
    text("t", 0, 54, s.on ? "on" : "off", 'text-anchor="middle" font-size="15" font-weight="600"'));
  const rays = s.alarms ? P("ink", [0, 60, 120, 180, 240, 300].map((deg) => {
    const c = Math.cos(deg * Math.PI / 180), q = Math.sin(deg * Math.PI / 180);
    return `M${n(c * 17)} ${n(q * 17)}L${n(c * 26)} ${n(q * 26)}`;
  }).join("")) : "";
  const lamp = G(`translate(${-w + 74} ${-h + 98})`, circle(s.alarms ? "solid" : "f-paper", 0, 0, 11),
      circle("ink", 0, 0, 11), rays,
    text("t", 0, -22 - (s.alarms ? 10 : 0), "low oxygen", 'text-anchor="middle" font-size="13" font-weight="600"'));
  const sound = s.alarms ? P("fine",
      `M${-w - 12} ${-h + 90}q-10 14 0 28M${-w - 24} ${-h + 82}q-16 22 0 44M${-w - 36} ${-h + 74}q-22 30 0 60`) : "";
  const castors = [-w + 40, w - 40].map((x) => P("f-steel", `M${x - 14} -18H${x + 14}V-6H${x - 14}Z`) +
      P("ink", `M${x - 14} -18H${x + 14}V-6H${x - 14}Z`) + circle("f-linen", x, 4, 15) + circle("contour", x, 4, 15) +
      circle("fine", x, 4, 5)).join("");
  const grip = `M-56 ${-h}V${-h - 16}Q-56 ${-h - 30} -42 ${-h - 30}H42Q56 ${-h - 30} 56 ${-h - 16}V${-h}`;
  // What runs is heard: small waves at the grille.
  const hum = s.on ? P("hair",
      `M${-w - 12} ${-h + 380}q-8 10 0 20t0 20 0 20M${-w - 24} ${-h + 370}q-8 10 0 20t0 20 0 20 0 20`) : "";
  const still = [
    castors, P("contour", grip), P("f-steel", body), P("contour", body),
      P("hair", `M${-w + 12} ${-h + 34}V-40M${w - 12} ${-h + 34}V-40`),
    P("f-paper", `M${w - 170} ${-h + 44}H${w - 40}V${-h + 416}H${w - 170}Z`),
      P("fine", `M${w - 170} ${-h + 44}H${w - 40}V${-h + 416}H${w - 170}Z`),
    rocker, lamp, P("fine", louvres.replaceAll(`H${w - 34}`, `H${w - 190}`)), gasLabel(s.gas, -40, -78, 190, 40),
    P("hair", `M${-w + 34} -128H${w - 34}M${-w + 34} -34H${w - 34}`),
    sound, hum,
  ].join("");
  return piece(still, [], { socket: [w - 96, -h + 370], switch: [-w + 74, -h + 180], lamp: [-w + 74, -h + 98],
      name: [-40, -78] });
}
