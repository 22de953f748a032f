"""Plots of blood, lung, drive and oximeter."""

import numpy as np

from tidalbay.validation.figure import Figure, Line, Results, at, figure
from tidalbay.validation.questions.blood import saturation_pct
from tidalbay.validation.questions.control import answer_to_low_oxygen, at_height, expired_oxygen_at_height
from tidalbay.validation.questions.gas_exchange import arterial_oxygen, iso_shunt_held, iso_shunt_tidal_ml
from tidalbay.validation.questions.readings import shown_pct


def dissociation(results: Results) -> Figure:
    """The dissociation curve and its shifts."""
    pressures = [float(po2) for po2 in (*range(4, 60, 2), *range(60, 156, 5))]

    def line(label: str, ph: float = 7.4, temperature_degc: float = 37.0) -> Line:
        return Line(label, pressures, [saturation_pct(po2, ph, temperature_degc) for po2 in pressures])

    return figure(
        "dissociation",
        "The dissociation curve, its author's table, and two other authors' curves",
        "Points a to e come from the table that our equation was fitted to by its author; f to h and i"
        " to k are independent curves.",
        ("Oxygen pressure, mmHg", "Saturation, %"),
        (0.0, 155.0),
        (0.0, 102.0),
        [line("pH 7.40, 37 °C"), line("pH 7.20", ph=7.2), line("39.5 °C", temperature_degc=39.5)],
        at(
            results,
            {
                "curve-20": 20, "curve-40": 40, "curve-60": 60, "curve-100": 100, "curve-150": 150,
                "other-curve-40": 40.6, "other-curve-60": 60.6, "other-curve-100": 100.6,
                "tanh-40": 39.4, "tanh-acid": 60, "tanh-fever": 40,
            },
        ),
    )  # fmt: skip


def iso_shunt(results: Results) -> Figure:
    """Iso-shunt lines through the whole model."""
    shares = [0.21, 0.3, 0.4, 0.6, 0.8, 1.0]
    lines = []
    for shunt in (0.1, 0.2, 0.3, 0.5):
        tidal_ml = iso_shunt_tidal_ml(shunt, 0.4)
        found = [iso_shunt_held(shunt, share, tidal_ml) for share in shares]
        lines.append(Line(f"shunt {100 * shunt:.0f} %", [100.0 * share for share in shares], found))
    return figure(
        "iso-shunt",
        "More oxygen mends little of a large shunt",
        "Arterial oxygen through breaths, lung units and blood pools, ventilation held at a carbon "
        "dioxide near 40 mmHg, 5 mL/dL taken up.",
        ("Inspired oxygen, %", "Arterial oxygen, mmHg"),
        (18.0, 100.0),
        (0.0, 520.0),
        lines,
        at(
            results,
            {"iso-10-30": 30, "iso-20-40": 40, "iso-30-60": 60, "iso-20-100": 100, "iso-50-100": 99},
        ),
    )


def age(results: Results) -> Figure:
    """Arterial oxygen over age."""
    ages = [20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0]
    return figure(
        "age",
        "Arterial oxygen falls with age",
        "A healthy man at rest on room air, only his age changed.",
        ("Age, years", "Arterial oxygen, mmHg"),
        (18.0, 82.0),
        (60.0, 110.0),
        [Line("model", ages, [arterial_oxygen(overrides={"age_years": years}) for years in ages])],
        at(
            results,
            {"pao2-25": 25, "pao2-40": 40, "pao2-70": 70, "pao2-lying-40": 41, "pao2-lying-65": 65},
        ),
    )


def hypoxic_answer(results: Results) -> Figure:
    """Answer to low oxygen at one carbon dioxide."""
    pressures = [float(po2) for po2 in range(38, 105, 2)]
    found = [answer_to_low_oxygen(po2) for po2 in pressures]
    return figure(
        "hypoxic-answer",
        "Low oxygen drives breathing along a hyperbola",
        "Ventilation asked for above that at 100 mmHg, carbon dioxide held at 40 mmHg: the equation of"
        " the drive alone.",
        ("Arterial oxygen, mmHg", "Ventilation gained, L/min"),
        (35.0, 102.0),
        (0.0, 30.0),
        [Line("model", pressures, found)],
        at(results, {"hypoxic-40": 40, "hypoxic-45": 45, "hypoxic-60": 60}),
    )


def height(results: Results) -> Figure:
    """Saturation after ascent."""
    heights = [198.0, 1000.0, 1829.0, 2438.0, 3000.0, 3500.0, 4000.0]
    found = [at_height("sao2_pct", metres, from_m=198.0) for metres in heights]
    return figure(
        "height",
        "At height saturation falls",
        "Change of arterial saturation an hour after ascent from 198 m, a healthy man at rest.",
        ("Height, m", "Change of saturation, points"),
        (0.0, 4000.0),
        (-25.0, 2.0),
        [Line("model", heights, found)],
        at(results, {"cabin-2438": 2438}),
    )


def height_expired(results: Results) -> Figure:
    """Expired oxygen after ascent."""
    heights = [0.0, 440.0, 1500.0, 3000.0, 4000.0, 5500.0, 6000.0]
    found = [expired_oxygen_at_height(metres) for metres in heights]
    return figure(
        "height-expired",
        "At height the lungs hold less oxygen",
        "Oxygen pressure at the end of a breath out, an hour after ascent.",
        ("Height, m", "Oxygen, mmHg"),
        (0.0, 6000.0),
        (20.0, 115.0),
        [Line("model", heights, found)],
        at(results, {"chamber-440": 440, "chamber-3000": 3000, "chamber-5500": 5500}),
    )


def oximeter_and_carbon_monoxide(results: Results) -> Figure:
    """What an oximeter reads under carbon monoxide."""
    shares = [float(share) for share in np.linspace(0.0, 0.40, 21)]
    return figure(
        "oximeter-co",
        "An oximeter counts carbon monoxide as oxygen",
        "Shown saturation, and the oxyhaemoglobin behind it, with 2 % of neither.",
        ("Carboxyhaemoglobin, %", "%"),
        (0.0, 40.0),
        (55.0, 102.0),
        [
            Line("shown", [100.0 * x for x in shares], [shown_pct(0.98 - x, x) for x in shares]),
            Line("oxygen carried", [100.0 * x for x in shares], [98.0 - 100.0 * x for x in shares]),
        ],
        at(results, {"co-shown": 10.7, "co-15": 15, "co-30": 30}),
    )
