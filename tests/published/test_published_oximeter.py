"""What oximeters with two colours were seen to read."""

import pytest

from tidalbay.science.oximetry import functional_reading_frac


def test_a_poisoned_group_reads_what_was_measured():
    # Bozeman WP et al. Ann Emerg Med 1997;30:608-611, 124 patients on high-flow oxygen: COHb 10.7 %,
    # O2Hb 88.7 %, shown 99.2 (SD 1.3) %, gap to O2Hb 10.5 %. What is left over is taken as deoxygenated.
    shown_pct = 100 * functional_reading_frac(0.887, 0.107, 0.0, 0.006)

    assert shown_pct == pytest.approx(99.2, abs=1.3)
    assert shown_pct - 88.7 == pytest.approx(10.5, abs=1.3)


@pytest.mark.parametrize("cohb", [0.30, 0.20, 0.10, 0.01])
def test_one_patient_reads_the_sum_of_both_all_the_way_down(cohb):
    # Vegfors M, Lennmarken C. Br J Anaesth 1991;66:625-626: the reading equalled O2Hb + COHb from 30 to 1 %.
    # One per cent each of deoxy- and methaemoglobin is our assumption; the display has a whole per cent.
    o2hb = 0.98 - cohb

    reading = functional_reading_frac(o2hb, cohb, 0.01, 0.01)

    assert reading == pytest.approx(o2hb + cohb, abs=0.01)


@pytest.mark.parametrize("cohb", [0.25, 0.35, 0.45])
def test_severe_poisoning_is_overread_by_no_more_than_its_carboxyhaemoglobin(cohb):
    # Hampson NB. Chest 1998;114:1036-1041: usually by somewhat less than COHb.
    o2hb = 0.97 - cohb

    over = functional_reading_frac(o2hb, cohb, 0.005, 0.025) - o2hb

    assert 0.8 * cohb < over <= cohb + 0.005


@pytest.mark.parametrize("truth", [0.30, 0.55, 1.0])
def test_much_methaemoglobin_reads_about_85(truth):
    # Barker SJ et al. Anesthesiology 1989;70:112-117 (from memory): with more than a third of the
    # haemoglobin oxidised the reading sits near 85 % whatever the oxygen; 5 points are our allowance.
    methb = 0.45
    rest = 1 - methb

    reading = functional_reading_frac(rest * truth, 0.0, methb, rest * (1 - truth))

    assert reading == pytest.approx(0.85, abs=0.10 if truth < 0.5 else 0.05)
