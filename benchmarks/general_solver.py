"""The reference for speed: the engine's equations as SciPy's LSODA solves them, right-hand side compiled.

The equations are those of the tests' oracle with the windpipe as a chain of tanks.  They carry less
than the engine does: no labels of origin, no noise, no oximeter, no drive; held breathing only.
"""

import time
from typing import Any, NamedTuple

import numba
import numpy as np
from scipy.integrate import odeint
from tests.engine import oracle

from tidalbay.engine import Patient
from tidalbay.engine.layout import Floats
from tidalbay.science.controls import Controls

# What does not matter, by unknown: mL of gas, fractions, contents in mL/mL, mmHg.  The share that does
# not matter (rtol) decides; these only keep it from asking for digits of a zero.
ABSOLUTE_ML, ABSOLUTE_FRAC, ABSOLUTE_CONTENT, ABSOLUTE_MMHG = 1e-2, 1e-5, 1e-5, 1e-2


class Solved(NamedTuple):
    """What a stretch of breaths cost, and where it ended."""

    cpu_s: float
    calls: int  # of the right-hand side
    last: oracle.Breath


class GeneralSolver:
    """LSODA on one held patient from an engine state that stands between two breaths."""

    def __init__(
        self,
        state: Floats,
        patient: Patient,
        controls: Controls,
        tanks: int,
        rtol: float,
        haste: float = 1.0,
    ) -> None:
        self._rates, self.y = oracle.chain(state, patient, controls, tanks, haste)
        self._measured = oracle.Oracle(state, patient, controls).measured
        self.breath_s = 60.0 / patient.held_rate_per_min
        self.rtol = rtol
        self.atol = np.full(len(self.y), ABSOLUTE_FRAC)
        for first, size, absolute in (
            (oracle.PASSED, 1, ABSOLUTE_ML),
            (oracle.BAG, 1, ABSOLUTE_ML),
            (oracle.ARTERIAL, 8, ABSOLUTE_CONTENT),
            (oracle.BODY_PN2, 1, ABSOLUTE_MMHG),
            (oracle.INSPIRED, oracle.SIZE - oracle.INSPIRED, ABSOLUTE_ML),
        ):
            self.atol[first : first + size] = absolute
        self._rates(self.y, 0.0)  # compile

    def breathe(self, n_breaths: int) -> Solved:
        """Solve on, from breath's end to breath's end in one call."""
        ends_s = self.breath_s * np.arange(n_breaths + 1)
        start = time.process_time()
        ends, told = odeint(
            self._rates, self.y, ends_s, rtol=self.rtol, atol=self.atol, full_output=True, mxstep=100_000
        )
        cpu_s = time.process_time() - start
        last = ends[-1].copy()
        last[[oracle.INSPIRED, oracle.INSPIRED_O2]] -= ends[-2][[oracle.INSPIRED, oracle.INSPIRED_O2]]
        self.y = ends[-1].copy()
        self.y[[oracle.INSPIRED, oracle.INSPIRED_O2]] = 0.0
        return Solved(cpu_s, int(told["nfe"][-1]), self._measured(last))

    def cost_of_a_call_s(self, calls: int = 100_000) -> float:
        """What one evaluation costs when compiled code calls it: what LSODA would cost at the least."""
        rates, y = self._rates, self.y.copy()

        @numba.njit(error_model="numpy")
        def many(y: Any, calls: int) -> float:
            total = 0.0
            for i in range(calls):
                total += rates(y, 1e-5 * i)[0]
            return total

        many(y, 1)
        start = time.process_time()
        many(y, calls)
        return (time.process_time() - start) / calls
