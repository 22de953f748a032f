"""The published early-warning score of a patient as they stand, for those who see the truth."""

from collections.abc import Iterable, Mapping
from typing import Any, Final

from tidalbay.bedside.findings import Finding
from tidalbay.science.warning import CREDIT, WarningRefusedError, early_warning

USUAL_TEMPERATURE_DEGC: Final = 37.0
USUAL_AGE_YEARS: Final = 40.0


def consciousness_of(found: Iterable[Finding]) -> str:
    """The level of the score from what is found; the rungs of the table of findings are its levels."""
    return next((each.rung for each in found if each.what == "alertness"), "alert")


def score_standing(
    now: Mapping[str, float | None],
    found: Iterable[Finding],
    on_oxygen: bool,
    scale: int,
    numbers: Mapping[str, Any],
) -> dict[str, Any]:
    """The score as if a full set had been taken now, as plain data.

    Parameters
    ----------
    now : mapping
        `rate_per_min`, `spo2_shown_pct`, `systolic_mmhg`, `heart_rate_per_min`.
    found : iterable of Finding
    on_oxygen : bool
    scale : int
        1 or 2.
    numbers : mapping
        Of the patient: `temperature_degc`, `age_years`.

    Returns
    -------
    dict
        As `WarningScore.as_plain`; or `early_warning_scale`, `early_warning_refused` with the sentence why
        there is none, and `early_warning_credit`.
    """
    try:
        return early_warning(
            rate_per_min=now.get("rate_per_min"),
            spo2_pct=now.get("spo2_shown_pct"),
            on_oxygen=on_oxygen,
            systolic_mmhg=now.get("systolic_mmhg"),
            pulse_per_min=now.get("heart_rate_per_min"),
            consciousness=consciousness_of(found),
            temperature_degc=float(numbers.get("temperature_degc", USUAL_TEMPERATURE_DEGC)),
            age_years=float(numbers.get("age_years", USUAL_AGE_YEARS)),
            scale=scale,
        ).as_plain()
    except WarningRefusedError as refused:
        return {
            "early_warning_scale": scale,
            "early_warning_refused": str(refused).replace("\n", " "),
            "early_warning_credit": CREDIT,
        }
