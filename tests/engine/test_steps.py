"""Law: how finely a breath is cut, and how often the linear blood is renewed, decides nothing.

A second compiled copy of the kernel is made with other numbers in it and must come to the same
settled patient.  The goals are those of test_oracle.py.
"""

import pytest
from tests.engine.test_oracle import (
    FIO2,
    PACO2_MMHG,
    PAO2_MMHG,
    PAO2_SHARE,
    PATIENTS,
    SAO2,
    SET_UPS,
    at_end_of_breath,
    at_rest,
)

from tidalbay.engine import breathing, compiling, kernel, lungs
from tidalbay.science.arithmetic import cosine_of_half_turn
from tidalbay.science.jit import compiled

pytestmark = [pytest.mark.slow, pytest.mark.usefixtures("model")]

FINER = 4


@pytest.fixture(scope="module")
def finer_steps():
    """The kernel with four times as many sub-intervals in a breath."""
    with pytest.MonkeyPatch.context() as other:
        rising = FINER * breathing.RISING_STEPS
        rise = tuple(0.5 - 0.5 * cosine_of_half_turn(i / rising) for i in range(rising + 1))
        other.setattr(breathing, "RISING_STEPS", rising)
        other.setattr(breathing, "FALLING_STEPS", FINER * breathing.FALLING_STEPS)
        other.setattr(kernel, "RISE", rise)
        return twin()


@pytest.fixture(scope="module")
def closer_blood():
    """The kernel that renews its linear blood when a unit has moved a tenth as far."""
    with pytest.MonkeyPatch.context() as other:
        other.setattr(lungs, "RENEW_O2_FRAC", 0.1 * lungs.RENEW_O2_FRAC)
        other.setattr(lungs, "RENEW_CO2_MMHG", 0.1 * lungs.RENEW_CO2_MMHG)
        return twin()


def twin():
    """A compiled copy with the numbers as they stand now."""
    copy = compiled(kernel.advance, None)
    compiling._warm(copy)
    return copy


@pytest.mark.parametrize("worn", SET_UPS)
@pytest.mark.parametrize("who", ["healthy", "shunt", "wide V/Q"])
@pytest.mark.parametrize("other", ["finer_steps", "closer_blood"])
def test_a_finer_kernel_comes_to_the_same_settled_patient(request, monkeypatch, other, who, worn):
    patient, controls = PATIENTS[who], SET_UPS[worn]
    usual = at_end_of_breath(at_rest(patient, controls))

    finer = request.getfixturevalue(other)
    monkeypatch.setattr(compiling, "current", lambda: finer)
    pao2, paco2, sao2, fio2 = at_end_of_breath(at_rest(patient, controls))

    assert usual[0] == pytest.approx(pao2, abs=PAO2_MMHG, rel=PAO2_SHARE)
    assert usual[1] == pytest.approx(paco2, abs=PACO2_MMHG)
    assert usual[2] == pytest.approx(sao2, abs=SAO2)
    assert usual[3] == pytest.approx(fio2, abs=FIO2)
    assert usual != [pao2, paco2, sao2, fio2]  # the other kernel did run
