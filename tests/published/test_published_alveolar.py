"""Alveolar gas and shunt against worked examples."""

import pytest

from tidalbay.science.blood import oxygen_content_ml_dl, oxygen_saturation_frac
from tidalbay.science.gas import alveolar_co2_mmhg, alveolar_oxygen_mmhg, inspired_oxygen_mmhg, shunt_frac

HAEMOGLOBIN_G_DL = 14.0
TAKEN_ML_DL = 5.0
FIO2 = (0.21, 0.30, 0.40, 0.50, 0.60, 0.80, 1.00)

# Iso-shunt grid, arterial PO2 in mmHg by shunt and FIO2, computed beforehand from Severinghaus 1979 eq. 1,
# the full alveolar gas equation and the shunt equation under the conditions of Benatar SR, Hewlett AM,
# Nunn JF. Br J Anaesth 1973;45:711-718 (conditions from memory): 760 mmHg, PaCO2 40, R 0.8,
# haemoglobin 14 g/dL, 5 mL/dL taken up. Rounded to 1 mmHg.
ISO_SHUNT_MMHG = {
    0.00: (102, 167, 239, 311, 384, 528, 673),
    0.05: (88, 124, 172, 233, 302, 444, 588),
    0.10: (77, 99, 123, 161, 216, 351, 494),
    0.15: (70, 83, 96, 114, 144, 252, 390),
    0.20: (63, 73, 80, 90, 103, 159, 276),
    0.25: (58, 65, 70, 75, 82, 106, 166),
    0.30: (53, 58, 62, 66, 70, 82, 104),
    0.40: (45, 48, 50, 52, 54, 59, 65),
    0.50: (38, 40, 41, 42, 43, 46, 48),
}


def content_ml_dl(po2_mmhg):
    saturation = oxygen_saturation_frac(po2_mmhg, 7.40, 37.0)
    return oxygen_content_ml_dl(po2_mmhg, saturation, HAEMOGLOBIN_G_DL, 0.0)


def po2_mmhg_with(content):
    low, high = 1.0, 800.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if content_ml_dl(middle) < content else (low, middle)
    return low


@pytest.mark.parametrize("fio2", FIO2)
@pytest.mark.parametrize("shunt", ISO_SHUNT_MMHG)
def test_iso_shunt_grid_comes_out_of_curve_gas_equation_and_mixing(shunt, fio2):
    capillary = content_ml_dl(alveolar_oxygen_mmhg(fio2, 760.0, 40.0, 0.8))
    arterial = capillary - TAKEN_ML_DL * shunt / (1 - shunt)
    published = ISO_SHUNT_MMHG[shunt][FIO2.index(fio2)]

    assert po2_mmhg_with(arterial) == pytest.approx(published, abs=1.0)
    assert shunt_frac(capillary, arterial, arterial - TAKEN_ML_DL) == pytest.approx(shunt, abs=1e-12)


def test_worked_normal_case():
    # West JB, Respiratory Physiology (from memory): 760 mmHg, FIO2 0.21, PaCO2 40, R 0.8 give an inspired
    # PO2 of 149.7, an alveolar one of 99.7 by the short equation and about 2 mmHg more by the full one.
    inspired = inspired_oxygen_mmhg(0.21, 760.0)
    alveolar = alveolar_oxygen_mmhg(0.21, 760.0, 40.0, 0.8)

    assert inspired == pytest.approx(149.7, abs=0.05)
    assert alveolar == pytest.approx(101.8, abs=0.05)
    assert alveolar - (inspired - 40.0 / 0.8) == pytest.approx(2.0, abs=0.2)


def test_alveolar_ventilation_equation():
    # West JB, Respiratory Physiology (from memory): 200 mL/min and 4.3 L/min give 40 mmHg; half the
    # ventilation gives twice the pressure.
    assert alveolar_co2_mmhg(200.0, 4.3) == pytest.approx(40.0, abs=0.3)
    assert alveolar_co2_mmhg(200.0, 2.15) == pytest.approx(80.0, abs=0.6)
