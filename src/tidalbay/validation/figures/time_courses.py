"""Plots over time: apnoea, oxygen going in, steps, oxygen in lung disease, carbon monoxide."""

import numpy as np

from tidalbay.validation.asking import Words, course, seconds
from tidalbay.validation.figure import Figure, Line, Results, at, figure
from tidalbay.validation.questions.time_course import apnoea
from tidalbay.validation.questions.time_course import step as stepped

READY = [{"minutes": 5, "room_oxygen_frac": 1}]
OBESE = {"height_cm": 172, "weight_kg": 105, "frc_ml": 1500}
MORBIDLY_OBESE = {"height_cm": 170, "weight_kg": 135, "frc_ml": 1200}


def apnoea_carbon_dioxide(results: Results) -> Figure:
    """Carbon dioxide rising in apnoea."""
    trace, start = apnoea(ready=READY, minutes=5)
    paco2 = seconds(trace, "paco2_mmhg")[start : start + 301 : 10]
    return figure(
        "apnoea-co2",
        "In apnoea carbon dioxide steps up in the first minute and then climbs",
        "Rise of arterial carbon dioxide after pure oxygen, airway shut.",
        ("Minutes of apnoea", "Rise, mmHg"),
        (0.0, 5.0),
        (0.0, 30.0),
        [Line("model", [i / 6.0 for i in range(len(paco2))], list(paco2 - paco2[0]))],
        at(results, {"apnoea-first-page": 0.94, "apnoea-first": 1.0, "apnoea-first-classic": 1.06}),
    )


def apnoea_saturation(results: Results) -> Figure:
    """Saturation falling in apnoea."""

    def line(label: str, overrides: Words) -> Line:
        trace, start = apnoea(
            ready=[{"minutes": 4, "room_oxygen_frac": 1}], minutes=16, overrides=dict(overrides)
        )
        after = seconds(trace, "sao2_pct")[start::5]
        shown = after >= 70.0
        return Line(label, [5.0 * i for i in range(len(after)) if shown[i]], [float(x) for x in after[shown]])

    return figure(
        "apnoea-saturation",
        "After pure oxygen apnoea is borne for minutes, and by the obese for far fewer",
        "Arterial saturation, airway shut. Published times to 95 % and 90 % lie along the line at that"
        " value.",
        ("Seconds of apnoea", "Saturation, %"),
        (0.0, 800.0),
        (80.0, 101.0),
        [line("70 kg", {}), line("105 kg", OBESE), line("135 kg", MORBIDLY_OBESE)],
        [
            *at(results, {"obese-95": 95}, across=True),
            *at(results, {"lean-90": 90, "morbid-90": 90.6, "obese-90-lying": 89.4}, across=True),
        ],
    )


def preoxygenation(results: Results) -> Figure:
    """Expired oxygen while oxygen is breathed."""

    def line(label: str, stage: Words) -> Line:
        trace = course([{"minutes": 1}, {"minutes": 5, **stage}])
        share = 100.0 * seconds(trace, "end_tidal_o2_frac")[59::10]
        return Line(label, [i / 6.0 for i in range(len(share))], list(share))

    return figure(
        "preoxygenation",
        "Oxygen fills the lungs within three minutes",
        "Oxygen at the end of a breath out, a healthy man breathing as he pleases.",
        ("Minutes of oxygen", "Expired oxygen, %"),
        (0.0, 5.0),
        (10.0, 100.0),
        [
            line("pure oxygen", {"room_oxygen_frac": 1.0}),
            line("mask, 8 L/min", {"device": "simple_mask", "flow_lpm": 8.0}),
        ],
        at(
            results,
            {"circle-plateau": 2.5, "three-minutes": 3, "mask-preoxygenation": 3, "air-expired": 0},
            scale=100.0,
        ),
    )


def step(results: Results) -> Figure:
    """A step of inspired oxygen in a ventilated patient."""

    def line(label: str, first: float, then: float) -> Line:
        held = {"breathing": "held"}
        clock, values = stepped(
            "pao2_mmhg",
            {**held, "room_oxygen_frac": first},
            {**held, "room_oxygen_frac": then},
            30,
            patient="pneumonia",
            overrides={"shunt_frac": 0.15},
        )
        done = 100.0 * (values - values[0]) / (np.mean(values[-60:]) - values[0])
        shown = slice(0, 661, 10)
        return Line(label, list(clock[shown]), list(done[shown]))

    return figure(
        "step",
        "Arterial oxygen follows a change of oxygen within minutes",
        "Share of the whole change after a step between 0.35 and 0.55, shunt 15 %. Published times to "
        "90 % lie along that value.",
        ("Minutes", "Share of the change, %"),
        (0.0, 11.0),
        (0.0, 110.0),
        [line("rise", 0.35, 0.55), line("fall", 0.55, 0.35)],
        at(results, {"step-up-90": 90, "step-down-90": 88}, across=True),
    )


def oxygen_in_lung_disease(results: Results) -> Figure:
    """Carbon dioxide on oxygen in retainers and non-retainers."""

    def line(label: str, overrides: Words) -> Line:
        trace = course(
            [{"minutes": 5}, {"minutes": 40, "room_oxygen_frac": 1.0}],
            patient="copd_retainer",
            overrides=dict(overrides),
        )
        paco2 = seconds(trace, "paco2_mmhg")
        shown = paco2[299::30]
        return Line(label, [0.5 * i for i in range(len(shown))], list(shown - np.mean(paco2[240:300])))

    drives = {"co2_sensitivity_l_min_mmhg": 1.2, "hypoxic_sensitivity_l_min_mmhg": 0.33, "vq_log_sd": 0.77}
    return figure(
        "lung-disease",
        "Pure oxygen raises carbon dioxide in those who retain it, and hardly in others",
        "Change of arterial carbon dioxide; the catalogue's patient, and the same lungs with the "
        "drives of a healthy person of that age.",
        ("Minutes of pure oxygen", "Change, mmHg"),
        (0.0, 40.0),
        (-6.0, 30.0),
        [
            line("retainer", {}),
            line("non-retainer", {"paco2_habitual_mmhg": 44, "base_excess_mmol_l": 0, **drives}),
        ],
        at(results, {"retainer-co2": 20, "non-retainer-co2": 20}),
    )


def carbon_monoxide(results: Results) -> Figure:
    """Carboxyhaemoglobin washed out."""

    def line(label: str, fio2: float, minutes: float) -> Line:
        trace = course([{"minutes": minutes, "room_oxygen_frac": fio2}], patient="carbon_monoxide")
        share = seconds(trace, "cohb_frac")[299::60]
        return Line(label, [float(i) for i in range(len(share))], list(100.0 * share / share[0]))

    return figure(
        "carbon-monoxide",
        "Oxygen drives carbon monoxide out",
        "Carboxyhaemoglobin over its start, breathing free. Published half-lives lie along 50 %.",
        ("Minutes", "Of the start, %"),
        (0.0, 360.0),
        (0.0, 105.0),
        [
            line("air", 0.2095, 365.0),
            line("50 % oxygen", 0.5, 365.0),
            line("90 %", 0.9, 245.0),
            line("pure", 1.0, 245.0),
        ],
        [
            *at(results, {"co-air": 50, "co-half": 50}, across=True),
            *at(results, {"co-oxygen": 53, "co-charcoal": 50, "co-volunteers": 47}, across=True),
        ],
    )
