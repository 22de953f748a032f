"""The patient as causes change them: each number follows what struck it at its own pace.

A cause is something that happens to a body (a shunt grows, pain eases, the patient is sat up).
Nothing here sets a reading: saturation, rate and the rest follow in the engine.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import isclose
from types import MappingProxyType

from tidalbay.engine import Patient, patient_from
from tidalbay.units import SECONDS_PER_MINUTE

# Resting lung volume and blood that passes unaired lung, against half sitting.  Volume: 0.5 to
# 1.0 L less lying flat than upright (textbooks); shunt: assumed, collapse grows where lungs hang.
POSTURES: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "flat": (0.82, 1.10),
        "side": (0.90, 1.05),
        "propped": (0.94, 1.00),
        "upright": (1.00, 0.90),
        "sitting_out": (1.03, 0.88),
    }
)
POSTURE_LAG_S = SECONDS_PER_MINUTE
_NEAR = 1e-4


@dataclass(frozen=True, slots=True)
class Body:
    """One patient's numbers now, what they are on their way to, and how fast.

    A value: `struck` and `a_second_later` answer with a new one.
    """

    now: Patient
    wanted: Mapping[str, float]
    lag_s: Mapping[str, float]
    posture: str
    first_posture: str

    @classmethod
    def at_rest(cls, numbers: Mapping[str, float], posture: str) -> "Body":
        """A patient who is where their numbers put them.

        Parameters
        ----------
        numbers : mapping of patient fields to values
        posture : str, one of `POSTURES`
            The posture for which lung volume and shunt are given.
        """
        patient = patient_from(numbers)
        return cls(patient, {}, {}, posture, posture)

    @property
    def is_moving(self) -> bool:
        """Whether any number is still on its way."""
        return bool(self.wanted)

    def struck(self, cause: str, value: float | str, lag_s: float) -> "Body":
        """The body after a cause: a field's new value, or `posture` and its word."""
        if cause == "posture":
            return self._sat(str(value))
        if cause not in Patient._fields:
            return self  # a number of the patient that the model does not use
        factor = POSTURES[self.posture][1] / POSTURES[self.first_posture][1] if cause == "shunt_frac" else 1.0
        return self._towards(cause, float(value) * factor, lag_s)

    def _sat(self, posture: str) -> "Body":
        if posture == self.posture:
            return self
        volume, shunt = (
            new / old for new, old in zip(POSTURES[posture], POSTURES[self.posture], strict=True)
        )
        aimed_ml = self.wanted.get("frc_ml", self.now.frc_ml) * volume
        aimed_frac = min(0.7, self.wanted.get("shunt_frac", self.now.shunt_frac) * shunt)
        shunt_lag_s = max(self.lag_s.get("shunt_frac", 0.0), 2.0 * POSTURE_LAG_S)
        moved = self._towards("frc_ml", aimed_ml, POSTURE_LAG_S)._towards(
            "shunt_frac", aimed_frac, shunt_lag_s
        )
        return replace(moved, posture=posture)

    def _towards(self, field: str, value: float, lag_s: float) -> "Body":
        if lag_s <= 0.0:
            on_its_way = {name: aim for name, aim in self.wanted.items() if name != field}
            return replace(self, now=self.now._replace(**{field: value}), wanted=on_its_way)
        return replace(self, wanted={**self.wanted, field: value}, lag_s={**self.lag_s, field: lag_s})

    def a_second_later(self) -> "Body":
        """Every number a second further on its way; one that has arrived stands still."""
        if not self.wanted:
            return self
        steps = {
            field: value + (getattr(self.now, field) - value) * (1.0 - 1.0 / (1.0 + self.lag_s[field]))
            for field, value in self.wanted.items()
        }
        arrived = {
            field
            for field, value in self.wanted.items()
            if isclose(steps[field], value, rel_tol=_NEAR, abs_tol=1e-9)
        }
        for field in arrived:
            steps[field] = self.wanted[field]
        return replace(
            self,
            now=self.now._replace(**steps),
            wanted={field: value for field, value in self.wanted.items() if field not in arrived},
            lag_s={field: lag for field, lag in self.lag_s.items() if field not in arrived},
        )
