"""Blood against published tables, worked values and independent models."""

import math

import pytest

from tidalbay.science.acid_base import (
    base_excess_mmol_l,
    bicarbonate_mmol_l,
    ph_from_base_excess,
    standard_base_excess_mmol_l,
)
from tidalbay.science.blood import (
    blood_contents,
    bohr_ln_po2_per_ph,
    co2_content_ml_dl,
    oxygen_content_ml_dl,
    oxygen_saturation_frac,
    plasma_co2_content_ml_dl,
    standard_saturation_frac,
    warmth_ln_po2_per_degc,
)

# Standard human blood, 37 °C, pH 7.40: Severinghaus JW. J Appl Physiol 1979;46:599-602, Table 1, all
# 51 points, checked against a public transcription of the table, not the page.
STANDARD_CURVE = """
1:0.60 2:1.19 4:2.56 6:4.37 8:6.68 10:9.58 12:12.96 14:16.89 16:21.40 18:26.50 20:32.12 22:37.60 24:43.14
26:48.27 28:53.16 30:57.54 32:61.69 34:65.16 36:68.63 38:71.94 40:74.69 42:77.29 44:79.55 46:81.71 48:83.52
50:85.08 52:86.59 54:87.70 56:88.93 58:89.95 60:90.85 65:92.73 70:94.06 75:95.10 80:95.84 85:96.42 90:96.88
95:97.25 100:97.49 110:97.91 120:98.21 130:98.44 140:98.62 150:98.77 175:99.03 200:99.20 225:99.32 250:99.41
300:99.53 400:99.65 500:99.72
"""
POINTS = [tuple(map(float, pair.split(":"))) for pair in STANDARD_CURVE.split()]


@pytest.mark.parametrize(("po2_mmhg", "published_pct"), POINTS)
def test_saturation_keeps_within_the_error_its_author_states(po2_mmhg, published_pct):
    computed_pct = 100 * standard_saturation_frac(po2_mmhg)

    assert computed_pct == pytest.approx(published_pct, abs=0.55)


# Severinghaus 1979, eqs 3 and 4, worked by hand at four pressures; rounded as written.
@pytest.mark.parametrize(
    ("po2_mmhg", "per_ph", "per_degc"),
    [(26.6, -1.200, 0.0710), (40, -1.122, 0.0710), (60, -1.039, 0.0710), (100, -0.924, 0.0708)],
)
def test_shift_coefficients_have_their_worked_values(po2_mmhg, per_ph, per_degc):
    assert bohr_ln_po2_per_ph(po2_mmhg) == pytest.approx(per_ph, abs=0.0006)
    assert warmth_ln_po2_per_degc(po2_mmhg) == pytest.approx(per_degc, abs=0.00006)


def test_warmth_coefficient_falls_at_high_pressure():
    # Severinghaus 1979, eq. 3: 0.0578 at 300 mmHg.
    assert warmth_ln_po2_per_degc(300) == pytest.approx(0.0578, abs=0.00006)


def tanh_saturation_frac(po2_mmhg, ph, temperature_degc):
    """Siggaard-Andersen O et al. Clin Chem 1984;30:1646-1651, with DPG 5 mmol/L and base excess 0."""
    bohr = 1.04 * (7.4 - ph)
    x = math.log(po2_mmhg / 7.50062) - (1.946 + bohr + 0.055 * (temperature_degc - 37.0))
    y = 1.875 + x + (3.5 + bohr) * math.tanh(0.5343 * x)
    return 1 / (1 + math.exp(-y))


# An independent model of the same curve and of both shifts; 0.55 points is the error that the author of ours
# gives for it.
@pytest.mark.parametrize("po2_mmhg", [20, 30, 40, 60, 90, 150])
@pytest.mark.parametrize(
    ("ph", "temperature_degc"),
    [(7.4, 37.0), (7.2, 37.0), (7.3, 37.0), (7.5, 37.0), (7.4, 35.0), (7.4, 39.5), (7.3, 40.0)],
)
def test_saturation_agrees_with_an_independent_model(po2_mmhg, ph, temperature_degc):
    ours = oxygen_saturation_frac(po2_mmhg, ph, temperature_degc)

    assert ours == pytest.approx(tanh_saturation_frac(po2_mmhg, ph, temperature_degc), abs=0.0055)


# West JB, Respiratory Physiology (from memory): about 20 and 15 mL/dL with 15 g/dL of haemoglobin.
@pytest.mark.parametrize(("po2", "ph", "published"), [(95.0, 7.40, 20.0), (40.0, 7.37, 15.0)])
def test_oxygen_content_of_resting_blood_is_the_textbook_one(po2, ph, published):
    content = oxygen_content_ml_dl(po2, oxygen_saturation_frac(po2, ph, 37.0), 15.0, 0.0)

    assert content == pytest.approx(published, abs=0.5)


# West JB, Respiratory Physiology (from memory): 48 arterial and 52 mixed venous, both rounded. The SD of
# the fit is 1.19 mL/dL: Douglas AR, Jones NL, Reed JW. J Appl Physiol 1988;65:473-477.
@pytest.mark.parametrize(
    ("pco2", "ph", "saturation", "published"), [(40.0, 7.40, 0.975, 48.0), (46.0, 7.37, 0.75, 52.0)]
)
def test_carbon_dioxide_content_of_resting_blood_is_the_textbook_one(pco2, ph, saturation, published):
    content = co2_content_ml_dl(pco2, ph, saturation, 15.0, 37.0)

    assert content == pytest.approx(published, abs=1.5)


# The same equations worked with a pocket calculator's functions: Douglas 1988, Kelman GR. Respir Physiol
# 1967;3:111-115 (solubility and pK from memory).
@pytest.mark.parametrize(
    ("pco2", "ph", "saturation", "haemoglobin", "temperature"),
    [(40.0, 7.40, 0.975, 15.0, 37.0), (46.0, 7.37, 0.75, 15.0, 37.0), (70.0, 7.25, 0.9, 9.0, 39.0)],
)
def test_carbon_dioxide_content_follows_its_equations(pco2, ph, saturation, haemoglobin, temperature):
    solubility = 0.0307 + 0.00057 * (37 - temperature) + 0.00002 * (37 - temperature) ** 2
    pk = 6.086 + 0.042 * (7.4 - ph) + (38 - temperature) * (0.00472 + 0.00139 * (7.4 - ph))
    plasma = 2.226 * solubility * pco2 * (1 + 10 ** (ph - pk))
    whole = plasma * (1 - 0.0289 * haemoglobin / ((3.352 - 0.456 * saturation) * (8.142 - ph)))

    assert plasma_co2_content_ml_dl(pco2, ph, temperature) == pytest.approx(plasma, rel=1e-13)
    assert co2_content_ml_dl(pco2, ph, saturation, haemoglobin, temperature) == pytest.approx(
        whole, rel=1e-13
    )


def test_uptake_of_oxygen_frees_carbon_dioxide():
    # Haldane effect: from venous to arterial blood at one PCO2 the content falls by about a third to a
    # half of the 4 mL/dL exchanged at rest (West JB, Respiratory Physiology: the two curves; from memory).
    venous = blood_contents(40.0, 43.0, 15.0, 0.0, 37.0, 0.0, 0.0)
    arterial = blood_contents(95.0, 43.0, 15.0, 0.0, 37.0, 0.0, 0.0)

    assert 1.0 < venous[1] - arterial[1] < 2.2


# Lang W, Zander R. Clin Chem Lab Med 2002;40:404-410: 24.26 mmol/L at pH 7.40 and 40 mmHg.
def test_normal_blood_has_the_published_bicarbonate_and_no_base_excess():
    assert bicarbonate_mmol_l(40.0, 7.40) == pytest.approx(24.26, abs=0.005)
    assert base_excess_mmol_l(40.0, 7.40, 15.0, 1.0) == pytest.approx(0.0, abs=0.005)
    assert ph_from_base_excess(40.0, 0.0, 15.0, 1.0) == pytest.approx(7.40, abs=0.0005)


# An independent equation: the analyser (NCCLS) form with its own bicarbonate. Lang and Zander 2002 give
# mean errors of 0.86 and 1.40 mmol/L for the two, so they may differ by the sum.
@pytest.mark.parametrize("haemoglobin", [8.0, 15.0])
@pytest.mark.parametrize("pco2", [25.0, 40.0, 60.0])
@pytest.mark.parametrize("ph", [7.20, 7.30, 7.40, 7.50])
def test_base_excess_agrees_with_the_analyser_form(ph, pco2, haemoglobin):
    bicarbonate = 10 ** (ph - 7.608 + math.log10(pco2))
    of_blood = (1 - 0.014 * haemoglobin) * (bicarbonate - 25 + (1.43 * haemoglobin + 7.7) * (ph - 7.4))
    of_fluid = bicarbonate - 25 + 16.2 * (ph - 7.4)

    assert base_excess_mmol_l(pco2, ph, haemoglobin, 1.0) == pytest.approx(of_blood, abs=0.86 + 1.40)
    assert standard_base_excess_mmol_l(pco2, ph) == pytest.approx(of_fluid, abs=0.86 + 1.40)


def test_a_rise_of_carbon_dioxide_acidifies_blood_as_acid_base_charts_show():
    # Acute change in the body: pH falls about 0.008 per mmHg of PCO2 (bedside rule, from memory); blood in a
    # tube, which this is, buffers better than the body: between half of that and all of it.
    fall = ph_from_base_excess(40.0, 0.0, 15.0, 1.0) - ph_from_base_excess(50.0, 0.0, 15.0, 1.0)

    assert 0.04 < fall < 0.08
