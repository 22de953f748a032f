"""Truth beside the readings: the early-warning score as it stands, and how the oximeter lags."""

from collections.abc import Iterable, Mapping
from typing import Any

from tidalbay.attempt import Attempt
from tidalbay.bedside import score_standing
from tidalbay.engine.kernel import PROBE_AVERAGING_S
from tidalbay.judge.early_signs import AIR_PCT, scale_of
from tidalbay.live.watching import COUNTED_S, Watch


def score_of(
    attempt: Attempt, watch: Watch, instruments: Mapping[str, float | None], case: Mapping[str, Any]
) -> dict[str, Any]:
    """The score of the readings as they stand; the rate as a count over half a minute would find it."""
    window = attempt.window(COUNTED_S)
    rates = window.seconds["rate_per_min"]
    last = attempt.run.last_second()
    shown = watch.oximeter
    return score_standing(
        {
            "rate_per_min": float(rates.mean()) if len(rates) else None,
            "spo2_shown_pct": shown.spo2_pct if shown is not None else None,
            "systolic_mmhg": last.get("systolic_mmhg"),
            "heart_rate_per_min": last.get("heart_rate_per_min"),
        },
        watch.found,
        gives_oxygen(instruments, (device.id for device in attempt.equipment.worn())),
        scale_of(case),
        {**case["patient"]["numbers"], **attempt.body.now._asdict()},
    )


def lag_of(attempt: Attempt) -> dict[str, Any] | None:
    """How the oximeter's number is made, from the model's own settings; None while the probe is off."""
    equipment = attempt.equipment
    if equipment.probe_site is None:
        return None
    plan = attempt.plan
    controls = equipment.controls(plan.barometric_mmhg, plan.room_oxygen_frac)
    return {
        "site": equipment.probe_site,
        "averaged_s": PROBE_AVERAGING_S,
        "late_s": controls.probe_delay_s,
    }


def gives_oxygen(instruments: Mapping[str, float | None], worn: Iterable[str]) -> bool:
    """Whether any oxygen goes to what is worn; air from a wall outlet is none."""
    return any(
        (instruments.get(f"{device}.flow_lpm") or 0.0) > 0.0
        and (instruments.get(f"{device}.supplied_o2_pct") or 0.0) > AIR_PCT
        for device in worn
    )
