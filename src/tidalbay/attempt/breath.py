"""One settled breath on given equipment: what it holds, and where each millilitre came from."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from itertools import product
from typing import Any

import numpy as np

from tidalbay.engine import BREATH_COLUMNS, Patient, Run, first_state
from tidalbay.equipment import Equipment

SETTLING_S = 360.0
SEED = 0  # a held pattern throws no die

# Plausible breathing round a stated pattern, for the band: a third slower to a third faster, a
# quarter shallower to a quarter deeper (assumed; resting adults span more between persons).
RATES = (0.67, 1.0, 1.33)
DEPTHS = (0.75, 1.0, 1.25)


@dataclass(frozen=True, slots=True)
class Pattern:
    """A breathing pattern held from outside.

    Parameters
    ----------
    rate_per_min : float
    tidal_ml : float
        [mL BTPS]
    inspiratory_share : float
        Share of the breath, pause left out, spent breathing in. [1]
    pause_s : float
        Still time at the end of each breath out. [s]
    mouth_share : float
        0 mouth shut, 1 wide open. [1]
    """

    rate_per_min: float = 15.0
    tidal_ml: float = 500.0
    inspiratory_share: float = 0.42
    pause_s: float = 0.0
    mouth_share: float = 0.0

    def on(self, patient: Patient) -> Patient:
        """That patient, made to breathe so."""
        return patient._replace(
            held_rate_per_min=self.rate_per_min,
            held_tidal_ml=self.tidal_ml,
            held_pause_s=self.pause_s,
            inspiratory_share=self.inspiratory_share,
            mouth_share=self.mouth_share,
            breath_variability_frac=0.0,
        )


@dataclass(frozen=True, slots=True)
class Breath:
    """What one settled breath holds.  Fractions of dry gas, volumes in mL BTPS.

    `fio2_frac` is volume-weighted at the windpipe, gas breathed again included (room air gives
    0.203); `throat_mean_o2_frac` is what a sampling tube behind the uvula reads on average while
    breathing in, and many studies measured that: it is higher under a cannula.  The low and high
    ends span plausible breathing round the pattern, and where asked for also how the device may sit
    and how far the mouth may be open.  `rate_per_min` and `tidal_ml` say which breath this is.
    """

    fio2_frac: float
    fio2_low_frac: float
    fio2_high_frac: float
    throat_peak_o2_frac: float
    throat_mean_o2_frac: float
    end_tidal_o2_frac: float
    inspired_ml: float
    ledger_ml: Mapping[str, float]
    inspired_co2_ml: float
    peak_inspiratory_flow_lpm: float
    bag_min_ml: float | None
    fio2_if_room_air_frac: float
    rate_per_min: float
    tidal_ml: float

    def as_plain(self) -> dict[str, Any]:
        """Plain values for JSON."""
        return {**asdict(self), "ledger_ml": dict(self.ledger_ml)}


LEDGER = ("supplied", "nose_and_throat", "mask", "bag", "room", "expired")


def settled_breath(
    patient: Patient,
    equipment: Equipment,
    pattern: Pattern,
    barometric_mmhg: float = 760.0,
    room_oxygen_frac: float = 0.2095,
    near_equipment: Sequence[Equipment] = (),
    near_mouth_shares: Sequence[float] = (),
) -> Breath:
    """The breath a patient takes on this equipment once gas and blood have settled.

    Parameters
    ----------
    patient : Patient
    equipment : Equipment
    pattern : Pattern
        Held, so that the answer belongs to it.
    barometric_mmhg, room_oxygen_frac : float
        The room. [mmHg], [1]
    near_equipment : sequence of Equipment
        The same device as it may sit otherwise: the band reaches there.
    near_mouth_shares : sequence of float
        How the mouth may be open otherwise: the band reaches there too. [1]
    """
    row = _last_breath(patient, equipment, pattern, barometric_mmhg, room_oxygen_frac)
    near = [(equipment, breathing) for breathing in _near(pattern)]
    for breathing in _ends(pattern):
        near += [(other, breathing) for other in near_equipment]
        near += [(equipment, replace(breathing, mouth_share=share)) for share in near_mouth_shares]
    band = [
        _last_breath(patient, worn, breathing, barometric_mmhg, room_oxygen_frac)["fio2_frac"]
        for worn, breathing in near
    ]
    bare = _last_breath(patient, Equipment.bare(), pattern, barometric_mmhg, room_oxygen_frac)
    has_bag = equipment.controls(barometric_mmhg).bag_volume_ml > 0.0
    return Breath(
        fio2_frac=row["fio2_frac"],
        fio2_low_frac=min(band),
        fio2_high_frac=max(band),
        throat_peak_o2_frac=row["throat_peak_o2_frac"],
        throat_mean_o2_frac=row["throat_mean_o2_frac"],
        end_tidal_o2_frac=row["end_tidal_o2_frac"],
        inspired_ml=row["inspired_ml"],
        ledger_ml={source: row[f"{source}_ml"] for source in LEDGER},
        inspired_co2_ml=row["inspired_co2_ml"],
        peak_inspiratory_flow_lpm=row["peak_inspiratory_flow_lpm"],
        bag_min_ml=row["bag_min_ml"] if has_bag else None,
        fio2_if_room_air_frac=bare["fio2_frac"],
        rate_per_min=pattern.rate_per_min,
        tidal_ml=pattern.tidal_ml,
    )


def _near(pattern: Pattern) -> list[Pattern]:
    return [_scaled(pattern, rate, depth) for rate, depth in product(RATES, DEPTHS)]


def _ends(pattern: Pattern) -> list[Pattern]:
    """The quietest and the hardest of it: between them most devices give their most and least."""
    return [_scaled(pattern, RATES[0], DEPTHS[0]), _scaled(pattern, RATES[-1], DEPTHS[-1])]


def _scaled(pattern: Pattern, rate: float, depth: float) -> Pattern:
    return replace(
        pattern,
        rate_per_min=pattern.rate_per_min * rate,
        tidal_ml=pattern.tidal_ml * depth,
        pause_s=pattern.pause_s / rate,
    )


def _last_breath(
    patient: Patient, equipment: Equipment, pattern: Pattern, barometric_mmhg: float, room_oxygen_frac: float
) -> dict[str, float]:
    controls = equipment.controls(barometric_mmhg, room_oxygen_frac)
    body = pattern.on(patient)
    run = Run(first_state(body, controls), body, SEED)
    run.advance_to(SETTLING_S, controls)
    rows = np.vstack(run.breaths)
    return dict(zip(BREATH_COLUMNS, map(float, rows[-1]), strict=True))
