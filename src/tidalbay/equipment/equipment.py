"""Everything between the wall and the face as one value: acts make a new one, time makes a new one."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any

from tidalbay.equipment import controls as to_controls
from tidalbay.equipment import faults, flow
from tidalbay.equipment.act import Act
from tidalbay.equipment.graph import Graph
from tidalbay.equipment.hands import ACTS
from tidalbay.equipment.told import readings, seen, sentences
from tidalbay.science.controls import Controls

EQUIPMENT_ACTS = frozenset(ACTS)
CAUSES = tuple(faults.CAUSES)


@dataclass(frozen=True, slots=True)
class Equipment(Graph):
    """The supplies, flowmeters, tubes and devices of one patient, and how they are joined and worn.

    A value: nothing here changes.  `apply` and `with_fault` answer with the equipment after an act
    or a cause, `advance` with the equipment some time later; the rest reads.
    """

    @classmethod
    def bare(cls) -> "Equipment":
        """No equipment at all: a bare face in the room's air, a probe on the finger."""
        return cls()

    def apply(self, act_id: str, on: str | None, values: Mapping[str, Any], t_ms: int) -> "Equipment":
        """The equipment after an act; itself, where the act changes nothing here.

        Parameters
        ----------
        act_id : str
            An act of the catalogue, in the past tense.
        on : str or None
            The part it was done to; None where there is no doubt.
        values : mapping
            The act's arguments.
        t_ms : int
            When, on the attempt's clock. [ms]

        Raises
        ------
        ActRefused
            With a sentence, only where hands cannot do it.  What is foolish is possible.
        """
        act = ACTS.get(act_id)
        if act is None:
            return self
        after: Equipment = act(self, Act(act_id, on, values, t_ms))
        return after

    def with_fault(self, cause: str, on: str | None = None, value: object = None) -> "Equipment":
        """The equipment after a cause of `CAUSES` has struck, or has gone where `value` is False.

        Raises
        ------
        ActRefused
            With a sentence, if there is no such cause or nothing it could strike.
        """
        return faults.with_fault(self, cause, on, value)

    def controls(self, barometric_mmhg: float, room_oxygen_frac: float = 0.2095) -> Controls:
        """What the equipment does to the face now, for the breathing model."""
        return to_controls.controls(self, barometric_mmhg, room_oxygen_frac)

    def next_change_s(self) -> float:
        """Seconds until the equipment changes without hands: a cylinder fades, a concentrator warms. [s]

        inf if it never does.  Advancing by it, or by a little more, arrives at the change.
        """
        return flow.next_change_s(self)

    def advance(self, dt_s: float) -> "Equipment":
        """The equipment a stretch of time later; cylinders give what really leaves them.

        Cutting the stretch in pieces changes nothing beyond rounding.

        Raises
        ------
        ValueError
            If the stretch is negative or not a number.
        """
        if not isfinite(dt_s) or dt_s < 0.0:
            raise ValueError(f"Equipment goes forward in time by 0 s or more, not by {dt_s} s.")
        return flow.advance(self, dt_s)

    def readings(self) -> dict[str, float | None]:
        """What instruments and eyes read off it, by `part.quantity_unit`."""
        return readings.readings(self)

    def seen(self) -> dict[str, Any]:
        """What eyes see of it, part by part, for a drawing; nothing that is hidden inside a part."""
        return seen.seen(self)

    def wearing(self) -> frozenset[str]:
        """The kinds of device worn now; several at once are possible."""
        return frozenset(device.kind for device in self.worn())

    def warnings(self) -> list[str]:
        """Sentences on what can be done and should not be left so."""
        return sentences.warnings(self)

    def describe(self) -> list[str]:
        """One sentence a path, from source to face."""
        return sentences.describe(self)
