"""Plots of devices: inspired oxygen, pressure and ventilation over flow or setting."""

from collections.abc import Sequence
from itertools import product
from typing import Any

from tidalbay.validation.asking import breath
from tidalbay.validation.figure import Figure, Line, Results, at, figure
from tidalbay.validation.questions.devices import effective_oxygen, throat_pressure, ventilation_with

PCT = 100.0
CANNULA = {"device": "nasal_cannula"}


def _windpipe(label: str, flows: Sequence[float], **words: Any) -> Line:
    answers = [breath(flow_lpm=flow, **words) for flow in flows]
    return Line(
        label,
        flows,
        [PCT * each.fio2_frac for each in answers],
        [PCT * each.fio2_low_frac for each in answers],
        [PCT * each.fio2_high_frac for each in answers],
    )


def _bare(line: Line) -> Line:
    return Line(line.label, line.x, line.y)


def _throat(label: str, flows: Sequence[float], rate: float, tidal: float, is_banded: bool) -> Line:
    def read(flow: float, rate_per_min: float, tidal_ml: float) -> float:
        answer = breath(flow_lpm=flow, rate_per_min=rate_per_min, tidal_ml=tidal_ml, **CANNULA)
        return PCT * answer.throat_mean_o2_frac

    middle = [read(flow, rate, tidal) for flow in flows]
    if not is_banded:
        return Line(label, flows, middle)
    near = [
        [read(flow, rate * r, tidal * t) for r, t in product((0.67, 1.33), (0.75, 1.25))] for flow in flows
    ]
    return Line(label, flows, middle, [min(each) for each in near], [max(each) for each in near])


def cannula_throat(results: Results) -> Figure:
    """Throat samples under a cannula."""
    flows = [1.0, 2.0, 4.0, 6.0, 8.0, 10.0, 12.0, 15.0]
    return figure(
        "cannula-throat",
        "A tube behind the uvula samples more than the windpipe gets, and more at rest than in haste",
        "Mean oxygen in the throat while breathing in, mouth shut. Rest: 15 breaths of 550 mL a "
        "minute, with a band for a third slower to a third faster and a quarter shallower to a quarter"
        " deeper; rapid: 27 of 360 mL. Both patterns were chosen with the constants.",
        ("Flow, L/min", "Oxygen in the throat, %"),
        (0.0, 15.0),
        (20.0, 100.0),
        [_throat("at rest", flows, 15.0, 550.0, True), _throat("rapid", flows, 27.0, 360.0, False)],
        at(
            results,
            {"throat-rest-1": 1, "throat-rest-6": 6, "throat-rest-15": 15, "throat-rapid-6": 6.25},
            scale=PCT,
        ),
    )


def cannula_windpipe(results: Results) -> Figure:
    """Windpipe oxygen under a cannula."""
    flows = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0]
    return figure(
        "cannula-windpipe",
        "What a cannula gives at the windpipe depends on the breath; a rule of one number cannot hold",
        "Oxygen entering the windpipe, by volume; 15 breaths of 500 mL a minute and its band, and 20 a"
        " minute.",
        ("Flow, L/min", "Oxygen at the windpipe, %"),
        (0.0, 10.0),
        (15.0, 90.0),
        [
            _windpipe("15 a minute", flows, **CANNULA),
            _bare(_windpipe("20 a minute", flows, rate_per_min=20.0, **CANNULA)),
        ],
        at(
            results,
            {
                "rule-1": 1, "rule-2": 2, "rule-3": 3, "rule-4": 4, "rule-6": 6, "reservoir-arithmetic": 6.2,
                "taught-cannula-3": 3.2, "guideline-cannula-5": 5, "early-prongs-3": 2.8,
                "early-prongs-10": 10,
            },
            scale=PCT,
        ),
    )  # fmt: skip


def simple_mask(results: Results) -> Figure:
    """Simple mask by flow."""
    flows = [0.0, 2.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0]
    mask = {"device": "simple_mask"}
    return figure(
        "simple-mask",
        "A simple mask has no one number: fit and breathing span what books and studies print",
        "Oxygen entering the windpipe; snug with the band of breathing, and tight. Points c and d are "
        "throat samples under a tight mask.",
        ("Flow, L/min", "Inspired oxygen, %"),
        (0.0, 15.0),
        (15.0, 90.0),
        [_windpipe("snug", flows, **mask), _bare(_windpipe("tight", flows, fit=1.0, **mask))],
        at(
            results,
            {
                "early-mask-10": 10.2, "early-mask-15": 15, "bare-mask-5": 5.2, "bare-mask-8": 8.2,
                "brunner-mask-5": 5, "brunner-mask-8": 8, "open-mask-6": 6, "open-mask-10": 10,
                "guideline-mask-8": 7.8,
            },
            scale=PCT,
        ),
    )  # fmt: skip


def reservoir_mask(results: Results) -> Figure:
    """Reservoir masks by flow."""
    flows = [6.0, 8.0, 10.0, 12.0, 15.0]
    mask = {"device": "non_rebreathing_mask"}
    return figure(
        "reservoir-mask",
        "A reservoir mask spans from little to nearly all, by its fit and its discs",
        "Oxygen entering the windpipe, 15 breaths of 500 mL a minute; snug with the band of breathing.",
        ("Flow, L/min", "Inspired oxygen, %"),
        (5.0, 15.5),
        (30.0, 100.0),
        [
            _windpipe("snug, two discs", flows, **mask),
            _bare(_windpipe("tight, two discs", flows, fit=1.0, valves=2, **mask)),
            _bare(_windpipe("one port open", flows, valves=1, **mask)),
            _bare(_windpipe("partial", flows, device="partial_rebreathing_mask")),
        ],
        at(
            results,
            {
                "three-valves-inspired": 15, "brunner-reservoir-12": 12, "open-reservoir-12": 12.25,
                "guideline-reservoir-10": 10.25, "guideline-partial-10": 10, "cards-partial-8": 8,
                "cards-partial-12": 11.75,
            },
            scale=PCT,
        ),
    )  # fmt: skip


def entrainment(results: Results) -> Figure:
    """Air-entrainment mask by setting."""
    settings = [(24, 2.0), (28, 4.0), (31, 6.0), (35, 8.0), (40, 10.0), (50, 12.0), (60, 15.0)]

    def line(label: str, rate: float, tidal: float) -> Line:
        found = [
            PCT
            * effective_oxygen(
                device="air_entrainment_mask",
                setting_pct=setting,
                flow_lpm=flow,
                rate_per_min=rate,
                tidal_ml=tidal,
            )
            for setting, flow in settings
        ]
        return Line(label, [float(setting) for setting, _ in settings], found)

    return figure(
        "entrainment",
        "An entrainment mask keeps its promise up to 40 %, then the breath outruns its flow",
        "Inspired oxygen worked back from alveolar gas, at the flow printed on each valve. Line of "
        "identity dotted.",
        ("Setting, %", "Effective inspired oxygen, %"),
        (20.0, 62.0),
        (20.0, 62.0),
        [
            line("15 of 500 mL", 15.0, 500.0),
            line("30 of 700 mL", 30.0, 700.0),
            Line("as printed", [20.0, 62.0], [20.0, 62.0]),
        ],
        at(
            results,
            {"setting-24": 24, "setting-35": 35, "large-28": 28, "large-40": 40, "large-60": 60},
            scale=PCT,
        ),
    )


def high_flow(results: Results) -> Figure:
    """High flow set to a share."""
    flows = [10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0]

    def line(label: str, rate: float, tidal: float) -> Line:
        words = {
            "device": "high_flow_nasal_cannula",
            "fio2_set": 0.6,
            "rate_per_min": rate,
            "tidal_ml": tidal,
        }
        found = [PCT * breath(flow_lpm=flow, **words).throat_mean_o2_frac for flow in flows]
        return Line(label, flows, found)

    return figure(
        "high-flow",
        "High flow gives the share it is set to, once it exceeds the breath's own flow",
        "Oxygen in the throat, blender at 60 %, mouth shut.",
        ("Flow, L/min", "Oxygen in the throat, %"),
        (5.0, 60.0),
        (20.0, 70.0),
        [
            line("15 of 500 mL", 15.0, 500.0),
            line("30 of 700 mL", 30.0, 700.0),
            line("30 of 1500 mL", 30.0, 1500.0),
        ],
        at(results, {"set-rest-30": 30, "set-rest-50": 50}, scale=PCT),
    )


def high_flow_pressure(results: Results) -> Figure:
    """Pressure under high flow."""
    flows = [10.0, 20.0, 30.0, 40.0, 50.0, 60.0]
    return figure(
        "high-flow-pressure",
        "High flow holds a little pressure, and an open mouth lets it go",
        "Mean pressure in the throat.",
        ("Flow, L/min", "Pressure, cmH2O"),
        (5.0, 60.0),
        (0.0, 6.0),
        [
            Line("mouth shut", flows, [throat_pressure(flow) for flow in flows]),
            Line("mouth open", flows, [throat_pressure(flow, 1.0) for flow in flows]),
        ],
        at(
            results,
            {
                "pressure-30": 30, "pressure-40": 40, "pressure-50": 50,
                "high-pressure-shut": 45, "high-pressure-open": 45.6,
            },
        ),
    )  # fmt: skip


def mask_ventilation(results: Results) -> Figure:
    """Ventilation under a simple mask by flow."""
    flows = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0]
    found = [ventilation_with({"device": "simple_mask", "flow_lpm": flow}) for flow in flows]
    return figure(
        "mask-ventilation",
        "A mask with little flow makes a person breathe more",
        "Ventilation with a snug simple mask over that without, a healthy man breathing as he pleases.",
        ("Flow, L/min", "Ventilation over that without mask"),
        (0.0, 8.0),
        (0.8, 2.0),
        [Line("model", flows, found)],
        at(results, {"mask-ventilation-0": 0, "mask-ventilation-3": 3, "mask-ventilation-6": 6}),
    )
