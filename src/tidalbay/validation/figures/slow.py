"""Plots of supply, nebulised medicine and skin."""

from tidalbay.validation.figure import Figure, Line, Results, at, figure
from tidalbay.validation.questions.nebuliser import minutes_of_mist, placed_pct
from tidalbay.validation.questions.slow_things import hours_to_redness
from tidalbay.validation.questions.supply import compressibility

PLACES = {"lung": "lung", "airways": "bronchi", "alveoli": "alveoli", "throat": "throat"}


def compressed_oxygen(results: Results) -> Figure:
    """Compressibility of oxygen."""
    pressures = [float(bar) for bar in range(0, 310, 10)]
    return figure(
        "compressed-oxygen",
        "Oxygen in a full cylinder is six per cent more than an ideal gas would be",
        "Compressibility at 20 °C; our polynomial was fitted to this equation of state.",
        ("Gauge, bar", "Compressibility"),
        (0.0, 310.0),
        (0.92, 1.01),
        [Line("model", pressures, [compressibility(bar) for bar in pressures])],
        at(results, {"z-137": 137, "z-300": 300}),
    )


def nebuliser_time(results: Results) -> Figure:
    """How long a cup mists."""
    fills = [2.0, 2.5, 3.0, 4.0, 5.0, 6.0]
    return figure(
        "nebuliser-time",
        "A fuller cup mists longer, a faster gas empties it sooner",
        "Minutes until no more mist is seen.",
        ("Fill, mL", "Minutes of mist"),
        (1.5, 6.0),
        (0.0, 30.0),
        [
            Line(f"{flow:.0f} L/min", fills, [minutes_of_mist(fill, flow) for fill in fills])
            for flow in (6.0, 8.0, 10.0)
        ],
        at(results, {"label-time": 3, "treatment-time": 4}),
    )


def nebuliser_places(results: Results) -> Figure:
    """Where a dose ends."""
    slow = {"inspiratory_s": 2.5, "expiratory_s": 3.0, "pause_s": 0.0, "tidal_ml": 750.0}
    found = [placed_pct(where, 2.5, 8.0, **slow) for where in PLACES]
    places = [float(i + 1) for i in range(len(PLACES))]
    return figure(
        "nebuliser-places",
        "Of a nebulised dose about a tenth reaches the lung",
        "2.5 mL at 8 L/min through a mouthpiece, 750 mL breathed at 300 mL/s. Bars span nineteen nebulisers.",
        ("", "Of the dose, %"),
        (0.5, 4.5),
        (0.0, 26.0),
        [Line("model", places, found)],
        at(results, {"lung-dose": 1, "airway-dose": 2, "alveolar-dose": 3, "throat-dose": 4}),
        dict(zip(places, PLACES.values(), strict=True)),
    )


def skin(results: Results) -> Figure:
    """Hours to redness by pressure."""
    pressures = [float(p) for p in (45, 50, 60, 70, 80, 100, 120, 150, 180, 200, 210, 220, 240, 260)]
    return figure(
        "skin",
        "Pressure and time trade against each other, and great pressure needs little time",
        "Hours of constant pressure until redness stays, skin of a healthy adult.",
        ("Pressure, mmHg", "Hours"),
        (40.0, 260.0),
        (0.0, 8.5),
        [Line("model", pressures, [hours_to_redness(p) for p in pressures])],
        at(
            results,
            {"skin-150": 150, "skin-60": 60, "skin-onset": 100, "skin-crushed": 240, "skin-threshold": 232},
        ),
    )
