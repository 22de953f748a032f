"""The published early-warning score NEWS2, computed from seven signs as they are charted.

Credit: Royal College of Physicians. National Early Warning Score (NEWS) 2: Standardising the assessment of
acute-illness severity in the NHS. Updated report of a working party. London: RCP, 2017. The score is
computed here; its charts are the publisher's and are not redrawn. The words beside a result are ours.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import floor, isfinite
from typing import Final

CREDIT: Final = (
    "Royal College of Physicians. National Early Warning Score (NEWS) 2: Standardising the assessment of "
    "acute-illness severity in the NHS. Updated report of a working party. London: RCP, 2017."
)

CONSCIOUSNESS: Final = ("alert", "confused", "voice", "pain", "unresponsive")  # ACVPU; confused: newly so
SCALES: Final = (1, 2)
YOUNGEST_YEARS: Final = 16

Bands = tuple[tuple[float, int], ...]

# Points up to and including a bound, by rising bounds; beyond the last bound the last entry holds.
_ABOVE: Final = float("inf")
RESPIRATION_BANDS: Final[Bands] = ((8, 3), (11, 1), (20, 0), (24, 2), (_ABOVE, 3))
SATURATION_1_BANDS: Final[Bands] = ((91, 3), (93, 2), (95, 1), (_ABOVE, 0))
SATURATION_2_BANDS: Final[Bands] = ((83, 3), (85, 2), (87, 1), (92, 0), (94, 1), (96, 2), (_ABOVE, 3))
SYSTOLIC_BANDS: Final[Bands] = ((90, 3), (100, 2), (110, 1), (219, 0), (_ABOVE, 3))
PULSE_BANDS: Final[Bands] = ((40, 3), (50, 1), (90, 0), (110, 1), (130, 2), (_ABOVE, 3))
TEMPERATURE_BANDS: Final[Bands] = ((35.0, 3), (36.0, 1), (38.0, 0), (39.0, 1), (_ABOVE, 2))
SCALE_2_AIR_FREE_FROM_PCT: Final = 93  # on air nothing is too high

# What a person in bed can show; beyond it somebody has mistyped.
_POSSIBLE: Final = {
    "respiration rate": (0.0, 120.0, "/min"),
    "oxygen saturation": (0.0, 100.0, "%"),
    "systolic pressure": (0.0, 300.0, "mmHg"),
    "pulse": (0.0, 300.0, "/min"),
    "temperature": (20.0, 45.0, "°C"),
}


@dataclass(frozen=True, slots=True)
class Response:
    """What a score asks for, in our words.

    Attributes
    ----------
    id : str
        `routine`, `watched`, `one_sign`, `urgent` or `emergency`.
    words : str
        One sentence for a nurse in training; local policy comes first.
    look_again_within_h : float
        Longest time to the next full set of signs; 0 is continuous watching. [h]
    """

    id: str
    words: str
    look_again_within_h: float


# Intervals and who is called: RCP 2017, clinical response to the trigger thresholds.
RESPONSES: Final = {
    response.id: response
    for response in (
        Response("routine", "No sign is out of range; the full set is taken again within 12 hours.", 12.0),
        Response(
            "watched",
            "A registered nurse looks at the patient now and decides how often to look again, at the latest "
            "in 4 to 6 hours.",
            6.0,
        ),
        Response(
            "one_sign",
            "One sign alone is far out of range: the patient's own team is told and reviews, with signs at "
            "least every hour.",
            1.0,
        ),
        Response(
            "urgent",
            "Urgent: the team is told at once and somebody skilled in acute illness comes, with signs at "
            "least every hour.",
            1.0,
        ),
        Response(
            "emergency",
            "Emergency: a team that can manage an airway is called now, and the patient is watched without "
            "a break.",
            0.0,
        ),
    )
}


@dataclass(frozen=True, slots=True)
class WarningPart:
    """One of the seven signs and the points it gives.

    Attributes
    ----------
    what : str
        respiration rate, oxygen saturation, air or oxygen, systolic pressure, pulse, consciousness,
        temperature.
    found : str
        The sign as it is charted, with its unit.
    points : int
        From 0 to 3.
    """

    what: str
    found: str
    points: int


@dataclass(frozen=True, slots=True)
class WarningScore:
    """The score of one set of signs.

    Attributes
    ----------
    scale : int
        Oxygen scale used: 1, or 2 for a target of 88 to 92 %.
    parts : tuple of WarningPart
        Seven, in the order of the publisher.
    total : int
        Their sum, 0 to 20.
    single_three : bool
        Whether one sign alone gives 3; a review is due even when the total is low.
    response : Response
    """

    scale: int
    parts: tuple[WarningPart, ...]
    total: int
    single_three: bool
    response: Response

    @property
    def words(self) -> str:
        """The score in one line and what it asks for."""
        return f"{self.total} by oxygen scale {self.scale}. {self.response.words}"

    def as_plain(self) -> dict[str, object]:
        """Names and plain values, for a screen or a record."""
        return {
            "early_warning_score": self.total,
            "early_warning_scale": self.scale,
            "early_warning_single_three": self.single_three,
            "early_warning_parts": [[part.what, part.found, part.points] for part in self.parts],
            "early_warning_response": self.response.id,
            "early_warning_words": self.words,
            "early_warning_credit": CREDIT,
        }


class WarningRefusedError(ValueError):
    """A score that must not or cannot be computed; the text has a sentence for each reason."""


def respiration_points(rate_per_min: float) -> int:
    """Points for the counted rate. [1]

    Parameters
    ----------
    rate_per_min : float
        Breaths; charted whole, halves up. [1/min]

    References
    ----------
    RCP 2017 (see the module): at most 8 gives 3, 9-11 gives 1, 12-20 gives 0, 21-24 gives 2, from 25 gives 3.
    """
    return _points(_whole(rate_per_min), RESPIRATION_BANDS)


def saturation_points(spo2_pct: float, scale: int, on_oxygen: bool) -> int:
    """Points for the saturation shown. [1]

    Parameters
    ----------
    spo2_pct : float
        As the oximeter shows it; charted whole, halves up. [%]
    scale : int
        1, or 2 where hypercapnic failure is known and 88 to 92 % is the target.
    on_oxygen : bool
        Whether any oxygen is given; on scale 2 nothing is too high on air.

    References
    ----------
    RCP 2017 (see the module), both scales.
    """
    shown = _whole(spo2_pct)
    if scale == 1:
        return _points(shown, SATURATION_1_BANDS)
    if not on_oxygen and shown >= SCALE_2_AIR_FREE_FROM_PCT:
        return 0
    return _points(shown, SATURATION_2_BANDS)


def oxygen_points(on_oxygen: bool) -> int:
    """Points for breathing any added oxygen. [1]

    References
    ----------
    RCP 2017 (see the module): oxygen gives 2, air 0.
    """
    return 2 if on_oxygen else 0


def systolic_points(systolic_mmhg: float) -> int:
    """Points for the upper blood pressure. [1]

    Parameters
    ----------
    systolic_mmhg : float
        Charted whole, halves up. [mmHg]

    References
    ----------
    RCP 2017 (see the module).
    """
    return _points(_whole(systolic_mmhg), SYSTOLIC_BANDS)


def pulse_points(pulse_per_min: float) -> int:
    """Points for the pulse. [1]

    Parameters
    ----------
    pulse_per_min : float
        Charted whole, halves up. [1/min]

    References
    ----------
    RCP 2017 (see the module).
    """
    return _points(_whole(pulse_per_min), PULSE_BANDS)


def consciousness_points(consciousness: str) -> int:
    """Points for how the patient answers. [1]

    Parameters
    ----------
    consciousness : str
        One of `CONSCIOUSNESS`; `confused` is confusion that is new.

    References
    ----------
    RCP 2017 (see the module): anything but alert gives 3.
    """
    return 0 if consciousness == "alert" else 3


def temperature_points(temperature_degc: float) -> int:
    """Points for the temperature. [1]

    Parameters
    ----------
    temperature_degc : float
        Charted to a tenth, halves up. [°C]

    References
    ----------
    RCP 2017 (see the module).
    """
    return _points(_tenth(temperature_degc), TEMPERATURE_BANDS)


def early_warning(
    *,
    rate_per_min: float | None,
    spo2_pct: float | None,
    on_oxygen: bool | None,
    systolic_mmhg: float | None,
    pulse_per_min: float | None,
    consciousness: str | None,
    temperature_degc: float | None,
    age_years: float,
    pregnant: bool = False,
    scale: int = 1,
) -> WarningScore:
    """The score of one full set of signs. [1]

    Parameters
    ----------
    rate_per_min, spo2_pct, systolic_mmhg, pulse_per_min, temperature_degc : float or None
        As they were measured; None is not measured. [1/min, %, mmHg, 1/min, °C]
    on_oxygen : bool or None
        Whether any oxygen is given.
    consciousness : str or None
        One of `CONSCIOUSNESS`.
    age_years : float
        The score is for people of 16 and over. [years]
    pregnant : bool
        The score is not for pregnancy.
    scale : int
        1, or 2 for those whose own target is 88 to 92 % because of known hypercapnic failure.

    Raises
    ------
    WarningRefusedError
        With a sentence for everything that forbids a score: age, pregnancy, a sign missing, a value no
        patient has.

    References
    ----------
    RCP 2017 (see the module), where pregnancy and age below 16 are left out of its scope.
    """
    measured = {
        "respiration rate": rate_per_min,
        "oxygen saturation": spo2_pct,
        "systolic pressure": systolic_mmhg,
        "pulse": pulse_per_min,
        "temperature": temperature_degc,
    }
    reasons = [
        *_scope_reasons(age_years, pregnant, scale),
        *_sign_reasons(measured, on_oxygen, consciousness),
    ]
    if reasons:
        raise WarningRefusedError("\n".join(reasons))
    parts = _parts(
        {what: value for what, value in measured.items() if value is not None},
        bool(on_oxygen),
        str(consciousness),
        scale,
    )
    total = sum(part.points for part in parts)
    single_three = any(part.points == 3 for part in parts)
    return WarningScore(scale, parts, total, single_three, response_to(total, single_three))


def response_to(total: int, single_three: bool) -> Response:
    """What a total asks for. [1]

    Parameters
    ----------
    total : int
        Sum of the points, 0 to 20. [1]
    single_three : bool
        Whether one sign alone gives 3.

    References
    ----------
    RCP 2017 (see the module): from 7 emergency, from 5 urgent, one sign of 3 a review, else by total.
    """
    if total >= 7:
        return RESPONSES["emergency"]
    if total >= 5:
        return RESPONSES["urgent"]
    if single_three:
        return RESPONSES["one_sign"]
    return RESPONSES["watched" if total >= 1 else "routine"]


def _parts(
    found: dict[str, float], on_oxygen: bool, consciousness: str, scale: int
) -> tuple[WarningPart, ...]:
    rate, spo2 = found["respiration rate"], found["oxygen saturation"]
    systolic, pulse = found["systolic pressure"], found["pulse"]
    warmth = found["temperature"]
    return (
        WarningPart("respiration rate", f"{_whole(rate):.0f} /min", respiration_points(rate)),
        WarningPart("oxygen saturation", f"{_whole(spo2):.0f} %", saturation_points(spo2, scale, on_oxygen)),
        WarningPart("air or oxygen", "oxygen" if on_oxygen else "air", oxygen_points(on_oxygen)),
        WarningPart("systolic pressure", f"{_whole(systolic):.0f} mmHg", systolic_points(systolic)),
        WarningPart("pulse", f"{_whole(pulse):.0f} /min", pulse_points(pulse)),
        WarningPart("consciousness", consciousness, consciousness_points(consciousness)),
        WarningPart("temperature", f"{_tenth(warmth):.1f} °C", temperature_points(warmth)),
    )


def _points(value: float, bands: Bands) -> int:
    return next(points for bound, points in bands if value <= bound)


def _whole(value: float) -> float:
    return float(floor(value + 0.5))


def _tenth(value: float) -> float:
    # Through the nearest millionth first: 38.05 is stored as a hair less, and a hand charts 38.1.
    return floor(round(value * 10.0, 6) + 0.5) / 10.0


def _scope_reasons(age_years: float, pregnant: bool, scale: int) -> Iterable[str]:
    if not isfinite(age_years) or age_years < 0:
        yield f"The age is {age_years:g} years; write the patient's age, a number from 0 up."
    elif age_years < YOUNGEST_YEARS:
        yield (
            f"This score is for people of 16 and over, and the patient is {age_years:g}; "
            "use a chart made for children."
        )
    if pregnant:
        yield "This score is not for pregnancy, which shifts every sign; use a maternity chart."
    if scale not in SCALES:
        yield (
            f"There is no oxygen scale {scale}; write 1, or 2 where 88 to 92 % is ordered "
            "for known hypercapnic failure."
        )


def _sign_reasons(
    measured: dict[str, float | None], on_oxygen: bool | None, consciousness: str | None
) -> Iterable[str]:
    missing = [what for what, value in measured.items() if value is None]
    missing += ["air or oxygen"] if on_oxygen is None else []
    missing += ["consciousness"] if consciousness is None else []
    if missing:
        yield f"The score needs all seven signs; measure first: {', '.join(missing)}."
    for what, value in measured.items():
        low, high, unit = _POSSIBLE[what]
        if value is not None and not low <= value <= high:
            yield f"The {what} is {value:g} {unit}; no patient has that. Write {low:g} to {high:g} {unit}."
    if consciousness is not None and consciousness not in CONSCIOUSNESS:
        yield f"Consciousness is {consciousness!r}; write one of {', '.join(CONSCIOUSNESS)}."
