"""Nebulised treatment against measured cups, deposits and effects.

Studies seldom state breathing, cup and flow together; what they leave out is ours and said beside the
row.  A row that took part in choosing a constant says "tuned".
"""

import pytest
from tests.science.treatments import (
    BREATH_ENHANCED,
    IPRATROPIUM,
    JET,
    QUIET,
    SALBUTAMOL,
    dosed_by_minute,
    run_cup,
    treated,
)

from tidalbay.science.aerosol import (
    caught_in_throat_frac,
    deposited_shares,
    droplet_spread,
    inhaled_frac,
    median_droplet_um,
    share_below,
)
from tidalbay.science.inhaled_drug import (
    heart_rate_rise_per_min,
    joint_relief_frac,
    relief_frac,
    tremor_frac,
    vasoconstriction_release_frac,
)
from tidalbay.science.nebuliser_cup import (
    Cup,
    droplets_ml_s,
    filled,
    mist_frac,
    seconds_to_sputter,
    sprayed,
    vapour_ml_s,
)

# ------------------------------------------------------------------------------------------- the droplets


def test_droplets_halve_from_4_to_8_litres_a_minute():
    # Clay 1983, Thorax 38:755-9, four nebulisers, laser sizing. Tuned: the form is this sentence.
    assert median_droplet_um(JET, 4.0) / median_droplet_um(JET, 8.0) == pytest.approx(2.0)


def test_the_flow_for_5_micrometres_is_among_those_of_four_cups():
    # Clay 1983: 4, 6, 6 and 8 L/min. Tuned: the middle was taken.
    assert median_droplet_um(JET, 4.0) > 5.0 >= median_droplet_um(JET, 6.0)
    assert median_droplet_um(JET, 8.0) < 5.0


def test_smaller_droplets_are_more_mixed():
    # Clay 1983: smaller median with larger geometric standard deviation (p < 0.001). Direction.
    spreads = [droplet_spread(size) for size in (3.0, 4.0, 6.0, 8.0)]

    assert spreads == sorted(spreads, reverse=True)


# -------------------------------------------------------------------------------------------------- the cup


@pytest.mark.parametrize("flow", [6.0, 8.0, 10.0])
def test_droplets_are_about_half_of_the_weight_that_is_lost(flow):
    # Dennis 1990, Thorax 45:728-32: 54 % (range 45 to 61) in ten of twelve jet nebulisers.
    share = droplets_ml_s(JET, flow) / (droplets_ml_s(JET, flow) + vapour_ml_s(JET, flow))

    assert 0.45 <= share <= 0.61


def test_a_cup_loses_the_weight_that_cups_lost():
    # Berlinski & Emre 2004, Chest 126:817S: 3 mL, 10 L/min, 5 minutes upright: 0.88 to 1.57 mL by brand
    # (both drug strengths), mean 1.25. Tuned within this range.
    run = run_cup(3.0, 10.0, minutes=5.0)

    assert 0.88 <= run.sprayed_ml + run.vapour_ml <= 1.57


def lost_at_45(fill_ml, minutes):
    upright, tilted = (run_cup(fill_ml, 10.0, minutes=minutes, angle_deg=angle) for angle in (0.0, 45.0))
    return (tilted.sprayed_ml + tilted.vapour_ml) / (upright.sprayed_ml + upright.vapour_ml)


def test_a_cup_with_3_ml_at_45_degrees_gives_three_quarters():
    # Berlinski & Emre 2004: mean of four cups 0.75 with 2.5 mg, 0.78 with 1.25 mg. Tuned.
    assert lost_at_45(3.0, 5.0) == pytest.approx(0.76, abs=0.05)


def test_a_fuller_cup_at_45_degrees_gives_all_at_first():
    # Berlinski & Emre 2004: 5.5 mL, 5 minutes: no cup differed; mean ratio 1.03. Not tuned.
    assert lost_at_45(5.5, 5.0) == pytest.approx(1.03, abs=0.05)


@pytest.mark.xfail(
    reason="two of the four cups fed badly although liquid was left; ours feeds until it is short"
)
def test_a_fuller_cup_at_45_degrees_gives_less_later():
    # Berlinski & Emre 2004: 5.5 mL, 9.2 minutes: mean ratio 0.85. Not tuned, and missed.
    assert lost_at_45(5.5, 9.2) == pytest.approx(0.85, abs=0.05)


@pytest.mark.parametrize("flow", [6.0, 8.0, 10.0])
def test_3_ml_take_as_long_as_the_label_says(flow):
    # Salbutamol 0.083 % label: 2.5 mg in 3 mL, about 5 to 15 minutes. Tuned within this range.
    assert 5.0 <= run_cup(3.0, flow).minutes <= 15.0


@pytest.mark.parametrize("fill", [2.5, 3.0, 4.0, 5.0])
def test_what_stays_behind_is_what_cups_keep(fill):
    # AARC guide to aerosol delivery devices (from memory): 0.5 to 1.5, some 2.0 mL. Tuned within it.
    assert 0.5 <= run_cup(fill, 8.0).left_ml <= 1.5


def test_two_millilitres_are_over_in_five_minutes_and_more_takes_longer():
    # Common practice, no source: two to five minutes, by how much is in the cup; longer fills take longer.
    minutes = [run_cup(fill, 8.0).minutes for fill in (2.0, 2.5, 3.0, 4.0, 5.0)]

    assert minutes == sorted(minutes)
    assert 2.0 <= minutes[0] <= 5.0


@pytest.mark.parametrize("flow", [8.0, 10.0])
def test_most_of_the_drug_comes_in_the_first_five_minutes(flow):
    # O'Callaghan 1989, Arch Dis Child 64:1270-3: over 80 % of all output within 5 minutes in three of four
    # systems. Fill not seen; 2 mL, the volume of the drug's vial, is ours. Not tuned.
    in_five, in_all = run_cup(2.0, flow, minutes=5.0), run_cup(2.0, flow, minutes=30.0)

    assert in_five.emitted_frac > 0.8 * in_all.emitted_frac


def test_output_halves_within_20_seconds_of_the_first_spitting():
    # Malone 1993, Chest 104:1114-8. Tuned.
    cup = filled(Cup(), 3.0, 1.0)
    first_spit_s = seconds_to_sputter(cup, JET, 8.0, 0.0)

    later = sprayed(cup, JET, 8.0, 0.0, first_spit_s + 20.0).cup

    assert mist_frac(later, JET, 8.0, 0.0) <= 0.5


def test_running_on_after_the_first_spitting_brings_next_to_nothing():
    # Malone 1993: delivery ceases with the spitting, and what is left has grown stronger. Not tuned.
    cup = filled(Cup(), 3.0, 1.0)
    spitting = sprayed(cup, JET, 8.0, 0.0, seconds_to_sputter(cup, JET, 8.0, 0.0)).cup

    ten_minutes_on = sprayed(spitting, JET, 8.0, 0.0, 600.0)

    assert ten_minutes_on.sprayed_mg < 0.05
    assert spitting.drug_mg / (spitting.volume_ml + spitting.on_walls_ml) > 1.2 / 3.0


@pytest.mark.parametrize("flow", [6.0, 8.0])
def test_tapping_a_cup_with_2_ml_wins_back_what_was_measured(flow):
    # Everard, Evans & Milner 1994, Arch Dis Child 70:538-9: a further 38 % by five minutes if tapped, after
    # delivery had ceased. Flow and rounds of tapping not seen; every 30 s for two minutes is ours. Tuned.
    alone = run_cup(2.0, flow)

    seconds = round(60 * alone.minutes)
    with_taps = run_cup(
        2.0, flow, minutes=alone.minutes + 2.0, tapped_every_s=30.0, tapped_from_s=float(seconds)
    )

    assert with_taps.emitted_frac / alone.emitted_frac - 1.0 == pytest.approx(0.38, abs=0.08)


# ----------------------------------------------------------------------------------------------- the patient

HESS = [(fill, flow) for fill in (3.0, 4.0, 5.0) for flow in (6.0, 8.0, 10.0)]


def respirable_mg(fill, flow):
    """Of 2.5 mg, what comes to the lips between 1 and 5 µm."""
    size = median_droplet_um(JET, flow)
    spread = droplet_spread(size)
    between = share_below(5.0, size, spread) - share_below(1.0, size, spread)
    return 2.5 * run_cup(fill, flow).emitted_frac * inhaled_frac(JET, flow, QUIET) * between


@pytest.mark.parametrize(("fill", "flow"), HESS)
def test_less_than_half_a_milligram_of_respirable_drug_comes_to_the_lips(fill, flow):
    # Hess 1996, Chest 110:498-505, 17 nebulisers, 2.5 mg salbutamol. Breathing ours. Not tuned.
    assert 0.1 < respirable_mg(fill, flow) < 0.5


@pytest.mark.parametrize("flow", [6.0, 8.0, 10.0])
def test_a_larger_fill_leaves_less_drug_behind(flow):
    # Hess 1996: 3 to 5 mL, less in the dead volume and more to the patient (both p < 0.001).
    emitted = [run_cup(fill, flow).emitted_frac for fill in (3.0, 4.0, 5.0)]

    assert emitted[0] < emitted[1] < emitted[2]


@pytest.mark.parametrize("fill", [3.0, 4.0, 5.0])
def test_more_flow_brings_more_respirable_drug(fill):
    # Hess 1996: 6 to 10 L/min, more mass between 1 and 5 µm (p = 0.004).
    found = [respirable_mg(fill, flow) for flow in (6.0, 8.0, 10.0)]

    assert found == sorted(found)


def test_about_half_of_a_constant_output_is_lost():
    # Dampage 2021, J Pharm Innov: 50 % lost while breathing out. Breathing ours. Not tuned.
    assert 1.0 - inhaled_frac(JET, 8.0, QUIET) == pytest.approx(0.5, abs=0.1)


def test_a_breath_enhanced_cup_brings_the_labels_share_to_the_lips():
    # Label of a 1.25 mg vial of 3 mL with such a cup: about 43 % at the mouthpiece. Tuned.
    emitted = run_cup(3.0, 8.0, jet=BREATH_ENHANCED).emitted_frac

    assert emitted * inhaled_frac(BREATH_ENHANCED, 8.0, QUIET) == pytest.approx(0.43, abs=0.04)


def test_what_is_inhaled_hardly_depends_on_size_once_air_is_drawn_in():
    # Collis, Cole & LeSouef 1990, Lancet 336:341-3: whoever breathes in faster than the gas comes inhales a
    # constant share; infants below six months do not, and inhale less. Not tuned.
    grown, child, infant = (
        inhaled_frac(JET, 8.0, QUIET._replace(tidal_ml=tidal, pause_s=0.0)) for tidal in (600, 250, 40)
    )

    assert grown == child
    assert infant < 0.5 * child


def test_lung_dose_is_within_what_nineteen_nebulisers_gave():
    # Finlay 1998, J Aerosol Med 11:65-80: 2.5 mL, tidal volume 750 mL at 300 mL/s: lung 3.1 to 23.4 %,
    # tracheobronchial 1.6 to 10.6, alveolar 1.6 to 12.8, extrathoracic 1.8 to 9.5 % of nominal. Flow and
    # expiration are ours: 8 L/min, 3 s. Not tuned.
    slow = QUIET._replace(inspiratory_s=2.5, expiratory_s=3.0, pause_s=0.0, tidal_ml=750)

    placed = treated(2.5, 8.0, slow)

    assert 3.1 <= 100 * (placed.airways + placed.alveoli) <= 23.4
    assert 1.6 <= 100 * placed.airways <= 10.6
    assert 1.6 <= 100 * placed.alveoli <= 12.8
    assert 1.8 <= 100 * placed.throat <= 9.5


def test_a_labelled_spray_ends_where_a_camera_saw_it():
    # "Fractional deposition from a jet nebulizer", Br J Dis Chest 1985;79:361-7, eight subjects: 66 % stayed
    # in the apparatus, 20 % was breathed out, 2 % in the mouth, 12 % in the lungs. Fill and breathing not
    # seen; 2 mL at 8 L/min are ours. Not tuned.
    placed = treated(2.0, 8.0)

    assert 100 * placed.left == pytest.approx(66, abs=6)
    assert 100 * placed.lost == pytest.approx(20, abs=6)
    assert 100 * placed.throat == pytest.approx(2, abs=4)
    assert 100 * (placed.airways + placed.alveoli) == pytest.approx(12, abs=4)


def kept_above(nose_frac):
    """Of what stays anywhere, the share of nose, mouth and throat; spray and size as in the study."""
    stays = deposited_shares(6.0, 2.5, 1.5, 600.0, nose_frac)
    return stays.throat / (1.0 - stays.breathed_out)


def test_a_nose_keeps_nearly_all_of_a_coarse_spray():
    # "Mist therapy reconsidered", 1969, 15 adults: jet spray of 6.0 µm (2.5), by nose: 91.5 (SD 5.5) % of
    # the deposit was in the upper tract; two standard deviations. Breathing ours. Not tuned.
    assert 100 * kept_above(1.0) == pytest.approx(91.5, abs=11.0)


def test_a_mouth_keeps_about_half_of_it():
    # Same study, through a tube in the mouth: 43 to 59 %. Not tuned.
    assert 43 <= 100 * kept_above(0.0) <= 59


def test_through_the_nose_much_less_comes_to_the_lung():
    # Everard 1993, Thorax 48:1045-7, eight adults, gamma camera. Direction.
    mouth, nose = treated(4.0, 8.0), treated(4.0, 8.0, QUIET._replace(nose_frac=1.0))

    assert nose.airways + nose.alveoli < 0.6 * (mouth.airways + mouth.alveoli)


def test_droplets_stop_where_their_size_says():
    # Task group on lung dynamics 1966, as quoted: above 10 µm mouth and throat, below 5 µm the lower airways,
    # below 0.5 µm may be breathed out again. Not tuned.
    quick = 500.0 / 1.6
    large = caught_in_throat_frac(12.0, quick, 500.0, False)
    middle = deposited_shares(3.0, 1.05, 1.6, 500.0, 0.0)
    tiny = deposited_shares(0.4, 1.05, 1.6, 500.0, 0.0)

    assert large > 0.5
    assert middle.airways + middle.alveoli > 0.6
    assert tiny.breathed_out > 0.5


# ------------------------------------------------------------------------------------------------ the effect


@pytest.mark.parametrize(("action", "dose"), [(SALBUTAMOL, 5.0), (IPRATROPIUM, 0.5)])
def test_both_drugs_begin_within_a_quarter_of_an_hour(action, dose):
    # "Bronchodilator responses to nebulised ipratropium and salbutamol ... in chronic bronchitis", 20
    # patients: onset of each within 15 minutes. A quarter of its most as "onset" is ours. Tuned within it.
    course = [relief_frac(dosed, action) for dosed in dosed_by_minute(action, dose, 240)]

    assert course[15] > 0.25 * max(course)


@pytest.mark.parametrize(("action", "dose"), [(SALBUTAMOL, 5.0), (IPRATROPIUM, 0.25), (IPRATROPIUM, 0.5)])
def test_relief_is_near_its_most_between_one_and_two_hours(action, dose):
    # Jenkins 1981, Aust NZ J Med: peak between one and two hours, ten patients. Tuned: onsets.
    course = [relief_frac(dosed, action) for dosed in dosed_by_minute(action, dose, 300)]

    assert min(course[60:121]) > 0.8 * max(course)


def hours_of_effect(action, dose):
    course = [relief_frac(dosed, action) for dosed in dosed_by_minute(action, dose, 600)]
    return max(minute for minute, relief in enumerate(course) if relief >= 0.5 * max(course)) / 60


def test_drugs_last_as_long_as_was_seen():
    # Jenkins 1981: salbutamol 5 mg four hours, ipratropium 0.25 mg six and 0.5 mg five. Half of the most as
    # the end of effect is ours. Tuned: half-times.
    assert hours_of_effect(SALBUTAMOL, 5.0) == pytest.approx(4, abs=1)
    assert hours_of_effect(IPRATROPIUM, 0.25) == pytest.approx(6, abs=1.5)
    assert hours_of_effect(IPRATROPIUM, 0.5) == pytest.approx(5, abs=1.5)


def test_both_together_do_more_than_either():
    # Same 20 patients: magnitude and duration greater than with either alone. Direction.
    salbutamol = dosed_by_minute(SALBUTAMOL, 5.0, 360)
    ipratropium = dosed_by_minute(IPRATROPIUM, 0.5, 360)

    for minute in (30, 120, 360):
        one = relief_frac(salbutamol[minute], SALBUTAMOL)
        other = relief_frac(ipratropium[minute], IPRATROPIUM)
        assert joint_relief_frac(one, other) > max(one, other)


def test_a_large_dose_quickens_the_heart_as_measured():
    # Lipworth 1988, Br J Clin Pharmacol 26:527-33: 14 (SE 5) a minute after 4 mg by inhaler, 14 asthmatics,
    # doubling doses every 20 minutes; 5 mg nebulised is our stand-in for it. Tuned, two standard errors.
    rises = [heart_rate_rise_per_min(dosed, SALBUTAMOL) for dosed in dosed_by_minute(SALBUTAMOL, 5.0, 60)]

    assert max(rises) == pytest.approx(14, abs=10)


def test_a_small_dose_is_felt_by_the_heart_after_a_quarter_of_an_hour():
    # Cureus 2021;13:e13672, 30 volunteers, 2.5 mg in 2 mL: faster at 15 minutes than on saline.
    rises = [
        heart_rate_rise_per_min(dosed, SALBUTAMOL)
        for dosed in dosed_by_minute(SALBUTAMOL, 2.5, 30, fill_ml=2.0)
    ]

    assert rises[15] > 2.0
    assert rises[15] > rises[7]


def test_pulse_and_tremor_grow_with_the_dose():
    # Twelve asthmatics on 1.5, 3.0 and 7.5 mg nebulised (abstract PMC471656): dose-related. Direction.
    peaks = [dosed_by_minute(SALBUTAMOL, dose, 30)[30] for dose in (1.5, 3.0, 7.5)]

    pulses = [heart_rate_rise_per_min(dosed, SALBUTAMOL) for dosed in peaks]
    tremors = [tremor_frac(dosed, SALBUTAMOL) for dosed in peaks]

    assert pulses == sorted(set(pulses))
    assert tremors == sorted(set(tremors))


def test_ipratropium_leaves_heart_and_hands_alone():
    # Common teaching: little of it is absorbed.
    dosed = dosed_by_minute(IPRATROPIUM, 0.5, 30)[30]

    assert heart_rate_rise_per_min(dosed, IPRATROPIUM) == 0.0
    assert tremor_frac(dosed, IPRATROPIUM) == 0.0


def test_the_dip_is_over_half_an_hour_after_the_treatment():
    # Chest 1984;86:868-9, 18 children: saturation lower at 5 and 15, as before at 30 minutes after inhaling.
    course = [
        vasoconstriction_release_frac(dosed, SALBUTAMOL) for dosed in dosed_by_minute(SALBUTAMOL, 2.5, 60)
    ]
    end = round(run_cup(4.0, 8.0).minutes)

    assert course[end + 5] > 0.3
    assert course[end + 30] < 0.25 * course[end + 5]
